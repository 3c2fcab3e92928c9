"""One run of a shipped scenario kept as plain arrays; as a program, the same uncompiled.

    BRINEWRIGHT_UNCOMPILED=1 python -m tests.engine.record SCENARIO SECONDS FOLDER

writes one file for each of `STEPS`.
"""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np

from brinewright.compile import compile_plant
from brinewright.files import read_design
from brinewright.files.scenario import scenario
from brinewright.jit import UNCOMPILED
from brinewright.laws.state import TIME
from brinewright.run import Simulation

STEPS = (1, 11)
"""Most ticks in one step: tick by tick, and with event steps."""
EVERY = 10.0
"""Time between two samples [s]."""
TOP = Path(__file__).parents[2]


def record(name: str, seconds: float, longest_step: int) -> dict[str, Any]:
    """Run a scenario and return its samples, events, switch counts and end state."""
    loop, rules = read_design(scenario(name))
    plant = compile_plant(loop, rules, longest_step=longest_step)
    simulation = Simulation(plant, samples=np.arange(0.0, seconds + 0.5, EVERY))
    assert simulation.advance(seconds) == "done"
    events = simulation.events[: simulation.counters[1]]
    return {
        "names": np.array([f"{tag}.{quantity}" for tag, quantity, _, _ in plant.channels]),
        "trace": simulation.trace,
        "state": simulation.arrays["X"],
        "energy": simulation.arrays["E"],
        "event_times": events[:, 0],
        "event_names": np.array(["/".join(plant.events[int(row[1])][:2]) for row in events]),
        "counts": np.array([simulation.arrays["X"][place] for place in plant.switch_counts.values()]),
        "switches": np.array(list(plant.switch_counts)),
        "steps": simulation.counters[2:4],
        "time": simulation.arrays["X"][TIME],
    }


def recorded_uncompiled(name: str, seconds: float, folder: Path) -> dict[int, Any]:
    """Return the same records made in another process that compiles nothing, by longest step."""
    environment = {
        **os.environ,
        "BRINEWRIGHT_UNCOMPILED": "1",
        "PYTHONPATH": f"{TOP / 'src'}{os.pathsep}{TOP}",
    }
    subprocess.run(
        [sys.executable, "-m", "tests.engine.record", name, str(seconds), str(folder)],
        cwd=TOP, env=environment, check=True, timeout=1800,
    )  # fmt: skip
    return {step: np.load(folder / f"{step}.npz") for step in STEPS}


if __name__ == "__main__":
    assert UNCOMPILED, "this program is the oracle: set BRINEWRIGHT_UNCOMPILED=1"
    for longest in STEPS:
        np.savez(Path(sys.argv[3]) / f"{longest}.npz", **record(sys.argv[1], float(sys.argv[2]), longest))
