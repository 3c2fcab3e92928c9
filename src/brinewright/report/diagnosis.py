"""Likely causes told in words for a terminal: in order, with what speaks for them and where to look next."""

import textwrap
from collections.abc import Iterator

from brinewright.plan.diagnosis import Cause, Diagnosis, Difference, Evidence, Look
from brinewright.results.caution import caution

WIDTH = 96
ZERO = 273.15


def diagnosis_in_words(answer: Diagnosis) -> str:
    """Return the causes in order, what tells the first ones apart, and the next look."""
    lines = [_opening(answer), ""]
    for number, cause in enumerate(answer.causes, start=1):
        lines += [*_cause(number, cause), ""]
    if answer.differences:
        lines += ["What tells the first ones apart", *map(_difference, answer.differences), ""]
    if answer.looks:
        lines += ["Where to look next", *(line for look in answer.looks for line in _look(look)), ""]
    lines += _rest(answer)
    lines.append(textwrap.fill(caution(answer.world), WIDTH))
    return "\n".join(lines) + "\n"


def _opening(answer: Diagnosis) -> str:
    said = f"{answer.name}: {answer.runs} runs compared with what was seen."
    if not answer.finished:
        said += " The search was ended early; what follows is what is known so far."
    if not answer.causes:
        said += " No cause stands out."
    return said


def _cause(number: int, cause: Cause) -> Iterator[str]:
    badly = f" ({cause.how_badly})" if cause.how_badly else ""
    yield f"{number}. {cause.belief:.0%}  {cause.title}{badly}, since about {_span(cause.age_s)}"
    if cause.alike:
        others = "; ".join(
            f"{other.title}{f' ({other.how_badly})' if other.how_badly else ''}" for other in cause.alike
        )
        yield _wrapped(f"can't be told from this by what was seen: {others}")
    for item in cause.speaks_for:
        yield _wrapped(f"+ {_evidence(item)}")
    for item in cause.speaks_against:
        yield _wrapped(f"- {_evidence(item)}")
    if cause.codes:
        yield _wrapped(f"see {', '.join(cause.codes)}")
    if cause.remedy:
        yield _wrapped(f"do: {cause.remedy}")


def _evidence(item: Evidence) -> str:
    if _is_said(item):
        usual = "as in the sound plant" if item.usual >= 1.0 else "not so in the sound plant"
        return f"{item.text}: {'so it would be' if item.expected >= 0.8 else 'it would not be so'}; {usual}"
    return (
        f"{item.text}: seen {_shown(item.seen, item.unit, item.key)}, expected "
        f"{_shown(item.expected, item.unit, item.key)} {_within(item.spread, item.unit)}, "
        f"usually {_shown(item.usual, item.unit, item.key)}"
    )


def _is_said(item: Evidence) -> bool:
    """Tell whether it is a symptom in words, which has a strength and no value."""
    return item.unit == "strength"


def _difference(item: Difference) -> str:
    evidence = item.evidence
    fits = item.first if item.weight > 0.0 else item.other
    if _is_said(evidence):
        return _wrapped(f"{evidence.text}: it fits {fits} better")
    return _wrapped(
        f"{evidence.text}: seen {_shown(evidence.seen, evidence.unit, evidence.key)}; {item.first} says "
        f"{_shown(evidence.expected, evidence.unit, evidence.key)}, {item.other} says "
        f"{_shown(item.other_expected, evidence.unit, evidence.key)}: it fits {fits} better"
    )


def _look(look: Look) -> Iterator[str]:
    yield _wrapped(f"{look.key}, by {look.how} (worth {look.gain:.2f} bit):")
    by_text: dict[str, list[str]] = {}
    for item in look.expected:
        told = f"{_shown(item.value, look.unit, look.key)} {_within(item.spread, look.unit)}"
        by_text.setdefault(told, []).append(item.cause)
    for told, causes in by_text.items():
        yield _wrapped(f"{told} if {', '.join(causes)}", 6)


def _rest(answer: Diagnosis) -> list[str]:
    said = (
        f"Nothing wrong, or nothing that shows: {answer.nothing_shows:.0%}. "
        f"Something that was not simulated: {answer.none_of_these:.0%}."
    )
    if answer.hidden and answer.nothing_shows > 0.05:
        said += f" What would not show in what was seen: {', '.join(answer.hidden)}."
    return [textwrap.fill(said, WIDTH)]


def _shown(value: float, unit: str, key: str) -> str:
    if unit == "K":
        is_difference = any(word in key for word in ("difference", "drop", "rise")) or abs(value) < 100.0
        return f"{value:.2g} K" if is_difference else f"{value - ZERO:.1f} degC"
    if unit == "W":
        return f"{value / 1000.0:.4g} kW"
    if unit == "Pa":
        return f"{value / 1e5:.3g} bar"
    if unit == "1" and "changes" not in key:
        return f"{value:.0%}"
    return f"{value:.4g} {unit}".rstrip(" 1")


def _within(spread: float, unit: str) -> str:
    factor, name = {"W": (1e-3, "kW"), "Pa": (1e-5, "bar"), "1": (100.0, "%")}.get(unit, (1.0, unit))
    return f"+- {spread * factor:.2g} {name}"


def _span(seconds: float) -> str:
    return f"{seconds / 60.0:.0f} min" if seconds < 5400.0 else f"{seconds / 3600.0:.0f} h"


def _wrapped(text: str, indent: int = 4) -> str:
    return textwrap.fill(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2))
