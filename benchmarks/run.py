"""Time the candidates against the baseline, all in one process, and print the ratios.

``python -m benchmarks.run [--rounds 9] [--only NAME ...] [--json FILE]``

A machine that others share is never quiet, so no time stands alone: the candidates
take turns, each sample is bracketed by two runs of the baseline, and what counts is
the median over the rounds of (candidate / mean of its two brackets).

A candidate is a callable without arguments that simulates one day of the plant and
returns seconds of wall time per simulated day, compiling apart.  `CANDIDATES` maps a
name to a function that prepares one (compiles it, reads its files).
"""

import argparse
import json
import os
import statistics
from collections.abc import Callable, Iterable
from dataclasses import asdict, dataclass
from itertools import pairwise
from pathlib import Path

# Worker threads of the linear algebra library would spin on the second core.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from benchmarks.baseline import Baseline
from benchmarks.engine import Engine
from benchmarks.integrator import Integrator
from benchmarks.reference import Reference

Candidate = Callable[[], float]


def _baseline() -> Candidate:
    solver = Baseline()
    return lambda: solver.run().wall


def _reference() -> Candidate:
    solver = Reference()
    return lambda: solver.run(600, records=False).wall * 144.0


def _integrator() -> Candidate:
    solver = Integrator()
    return lambda: solver.day(1.0 / 144.0)


CANDIDATES: dict[str, Callable[[], Candidate]] = {
    "engine": lambda: Engine().day,
    "engine, tick by tick": lambda: Engine(1).day,
    "baseline again": _baseline,
    "reference, from 10 min": _reference,
    "solve_ivp LSODA, from 10 min": _integrator,
}


@dataclass(frozen=True)
class Timing:
    """What the rounds say about one candidate.

    Attributes
    ----------
    best : least wall time of a simulated day [s]
    ratio : median over the rounds of its time over the baseline's [-]
    spread : interquartile range of that ratio [-]
    """

    name: str
    best: float
    ratio: float
    spread: float


def measure(candidates: dict[str, Callable[[], Candidate]], rounds: int) -> list[Timing]:
    """Return the timings of `candidates`, the baseline itself first."""
    baseline = _baseline()
    prepared = {name: prepare() for name, prepare in candidates.items()}
    times: dict[str, list[float]] = {name: [] for name in prepared}
    ratios: dict[str, list[float]] = {name: [] for name in prepared}
    brackets = [baseline()]
    for _ in range(rounds):
        for name, candidate in prepared.items():
            taken = candidate()
            brackets.append(baseline())
            times[name].append(taken)
            ratios[name].append(2.0 * taken / (brackets[-2] + brackets[-1]))
    own = [after / before for before, after in pairwise(brackets)]
    timings = [Timing("baseline", min(brackets), 1.0, _spread(own))]
    timings += [
        Timing(name, min(times[name]), statistics.median(ratios[name]), _spread(ratios[name]))
        for name in prepared
    ]
    return timings


def _spread(values: list[float]) -> float:
    if len(values) < 2:
        return 0.0
    quarters = statistics.quantiles(values, n=4)
    return quarters[2] - quarters[0]


def table(timings: Iterable[Timing]) -> str:
    """Return the timings as a table."""
    lines = [f"{'candidate':<32}{'best ms/day':>13}{'days/s':>10}{'x baseline':>12}{'spread':>9}"]
    lines += [
        f"{timing.name:<32}{timing.best * 1e3:>13.2f}{1.0 / timing.best:>10.3g}{timing.ratio:>12.3g}"
        f"{timing.spread:>9.2g}"
        for timing in timings
    ]
    return "\n".join(lines)


def main() -> None:
    """Measure what the command line asks for and print the table."""
    parser = argparse.ArgumentParser(description="Time candidates against the hard-coded baseline.")
    parser.add_argument("--rounds", type=int, default=9)
    parser.add_argument("--only", nargs="*", choices=list(CANDIDATES), default=list(CANDIDATES))
    parser.add_argument("--json", type=Path, help="also write the timings to this file")
    chosen = parser.parse_args()
    timings = measure({name: CANDIDATES[name] for name in chosen.only}, chosen.rounds)
    print(table(timings))
    if chosen.json:
        chosen.json.write_text(json.dumps([asdict(timing) for timing in timings], indent=2) + "\n")


if __name__ == "__main__":
    main()
