"""Reading is quick, and what a good file does not need is not loaded."""

import subprocess
import sys
import time

import pytest

from brinewright.errors import InputError
from brinewright.files import parse_loop
from tests.files.samples import brook_rulebook


def long_loop(tanks: int) -> str:
    """A ring of tanks: each with a line and every third with a switch."""
    rows = [
        'format = "brinewright/loop/1"\nrulebook = "brook"\nliquid = "reedwater"\ntemperature = "14 degC"\n',
    ]
    for number in range(tanks):
        rows.append(
            f'[[part]]\ntag = "TK-{number}"\nuse = "buffer-tank.vat"\nvolume = "{number + 1} m3"\n'
            'lowest_level = "3 %"\n'
            f'\n[[line]]\ntag = "L-{number}"\nfrom = "TK-{number}.out"\nto = "TK-{(number + 1) % tanks}.in"\n'
            'length = "12 m"\nbore = "100 mm"\nuse = "pipe-run.plain"\nsection = "ring" # as drawn\n'
        )
        if number % 3 == 0:
            rows.append(
                f'[[switch]]\ntag = "TSH-{number}"\nsense = "high"\nsenses = "L-{number} at 8 m"\n'
                'set = "15 degC"\ndifferential = "0.5 K"\n'
            )
    starts = (f'TK-{number} = {{ level = 0.5, temperature = "16 degC" }}' for number in range(tanks))
    return "\n".join([*rows, "[start]", *starts, ""])


def test_six_thousand_lines_are_read_within_their_time():
    text = long_loop(340)
    assert text.count("\n") > 6_000
    brook_rulebook()
    began = time.perf_counter()
    loop = parse_loop(text, brook_rulebook())

    assert len(loop.lines) == 340
    # 0.06 s where this was written; the limit is what an editor's user takes for at once.
    assert time.perf_counter() - began < 0.6


def test_many_problems_of_a_long_file_are_placed_within_their_time():
    text = long_loop(340).replace('"100 mm"', '"100 m"').replace('"3 %"', '"3 km"')
    brook_rulebook()
    began = time.perf_counter()
    with pytest.raises(InputError) as caught:
        parse_loop(text, brook_rulebook())

    assert len(caught.value.problems) == 680
    assert time.perf_counter() - began < 1.2


def test_reading_good_files_loads_no_heavy_library():
    program = "import sys, brinewright.files; print(*sorted(sys.modules))"
    loaded = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    ).stdout.split()

    assert "brinewright.files.loop" in loaded
    assert {"numpy", "numba", "scipy", "tomlkit", "tree_sitter", "pint"} & set(loaded) == set()
