"""Twice the plant costs twice the time, to compile and to march."""

import time

import pytest

from benchmarks.scaling import circuits, measured, rules
from brinewright.compile import compile_plant

SMALL, LARGE = 12, 96
"""Circuits; about 400 and 3,000 parts and lines."""
SLACK = 2.5
"""Caches and a busy machine; what grows with the square would cost eight times as much by part."""


def by_part(number: int, joined: bool) -> tuple[float, float]:
    """Return the least of three timings, by part: to compile, and of a tick [s]."""
    figures = []
    for _ in range(3):
        size, compiled, marched, ticks = measured(circuits(number, joined=joined), rules(), 60.0)
        figures.append((compiled / size, marched / ticks / size))
    return min(figure[0] for figure in figures), min(figure[1] for figure in figures)


@pytest.mark.slow
@pytest.mark.parametrize("joined", [False, True])
def test_the_cost_of_a_part_does_not_grow_with_the_plant(joined):
    small, large = by_part(SMALL, joined), by_part(LARGE, joined)
    assert large[0] < SLACK * small[0], "to compile"
    assert large[1] < SLACK * small[1], "to march"


def test_a_plant_of_five_thousand_parts_compiles_in_seconds():
    loop = circuits(160, joined=True)
    assert len(loop.parts) + len(loop.lines) > 4900
    began = time.perf_counter()
    plant = compile_plant(loop, rules())
    # 0.7 s on a quiet machine
    assert time.perf_counter() - began < 15.0
    assert len(plant.channels) > 30_000
