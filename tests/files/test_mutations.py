"""Files that chance has damaged: each is read, or refused with a place and a sentence, never a traceback."""

import random
import time

import pytest

from brinewright.errors import InputError
from brinewright.files import parse_loop, parse_rulebook
from tests.files.samples import LOOP_TEXT, RULEBOOK_TEXT, brook_rulebook

TOKENS = [
    '"', "'", "[", "]", "[[", "]]", "{", "}", "=", ".", ",", "#", "\n", "\r", "\0", "\ufeff", "\\", "\\u00",
    '"""', "nan", "-inf", "1e999", "0x", "true", "false", "9" * 400, "-1", "0", "1979-05-27", "07:32:00",
    "[part]", "[[part]]", "tag", "use", "é", "\u202e", "\U0001f600", "TK-101", "TK-101.out", "settled",
    '"1e400 m"', '"0 m"',
    "[[[[[[", "a.b.c.d.e",
]  # fmt: skip


def mutated(text: str, draw: random.Random) -> str:
    """Damage a text in one to four places."""
    for _ in range(draw.randint(1, 4)):
        lines = text.split("\n")
        place = draw.randrange(len(text))
        line = draw.randrange(len(lines))
        kind = draw.randrange(7)
        if kind == 0:
            text = text[:place] + draw.choice(TOKENS) + text[place:]
        elif kind == 1:
            text = text[:place] + text[place + draw.randint(1, 12) :]
        elif kind == 2:
            text = (
                text[:place]
                + chr(draw.choice((draw.randrange(32, 127), draw.randrange(0xD7FF))))
                + text[place + 1 :]
            )
        elif kind == 3:
            lines.insert(draw.randrange(len(lines)), lines[line])
            text = "\n".join(lines)
        elif kind == 4:
            del lines[line]
            text = "\n".join(lines)
        elif kind == 5:
            head, equals, _ = lines[line].partition("=")
            lines[line] = f"{head}{equals} {draw.choice(TOKENS)}"
            text = "\n".join(lines)
        else:
            other = draw.randrange(len(lines))
            lines[line], lines[other] = lines[other], lines[line]
            text = "\n".join(lines)
        text = text or "\n"
    return text


def survive(seed: int) -> tuple[int, int]:
    """Read a damaged loop and a damaged rulebook; return how many were refused, and their problems."""
    draw = random.Random(seed)
    refused = problems = 0
    loop, rulebook = mutated(LOOP_TEXT, draw), mutated(RULEBOOK_TEXT, draw)
    for read in (
        lambda: parse_loop(loop, brook_rulebook(), "x.toml"),
        lambda: parse_rulebook(rulebook, "x.toml"),
    ):
        try:
            read()
        except InputError as error:
            refused += 1
            problems += len(error.problems)
            for problem in error.problems:
                assert problem.line >= 1, (seed, problem)
                assert problem.column >= 1, (seed, problem)
                assert problem.message, seed
    return refused, problems


def survive_many(seeds: range) -> None:
    began = time.perf_counter()
    refused = sum(survive(seed)[0] for seed in seeds)

    # Most damage is seen; some of it falls into comments, texts and unused digits.
    assert refused > len(seeds)
    assert time.perf_counter() - began < 0.1 * len(seeds)


def test_five_hundred_damaged_pairs_of_files_give_no_traceback():
    survive_many(range(500))


@pytest.mark.slow
def test_five_thousand_damaged_pairs_of_files_give_no_traceback():
    survive_many(range(500, 5_500))
