"""Plug flow: what a front, a pulse and a heated run must do."""

import math

import numpy as np
import pytest

from brinewright.run.simulation import Simulation
from tests.plants import STYLISED, closes, force, line, part, plant, starts

RULES = (
    STYLISED
    + """
[buffer-tank.wide]
law = "mixed"
volume = "100 m3"
[pump.fixed]
law = "fixed capacity"
capacity = "6 kg/s"
power = "0 W"
heat_share = "0 %"
when_off = "stops"
[three-way-valve.mixer]
law = "ideal"
body = "mixing"
fail_position = "b"
hold_up = "0.1 kg"
[shut-off-valve.tight]
law = "ideal"
fail_position = "stays"
[pipe-run.plain]
law = "declared"
capacity = "50 kg/s"
conductance = "0 W/(m K)"
"""
)
BY_METRE = 12.27
"""Liquid in a metre of run [kg/m]."""
BORE = math.sqrt(BY_METRE / 1100.0 * 4.0 / math.pi)
FLOW, LENGTH = 6.0, 60.0


def traced(
    loop: str, until: float, interval: float, *names: tuple[str, str]
) -> tuple[Simulation, np.ndarray]:
    """Run a loop, in steps of at most the interval, and return some of its channels."""
    compiled = plant(RULES, loop)
    simulation = Simulation(compiled, samples=np.arange(0.0, until + 0.5, interval))
    assert simulation.advance(until) == "done"
    columns = [
        next(k for k, (tag, name, _, _) in enumerate(compiled.channels) if (tag, name) == wanted)
        for wanted in names
    ]
    return simulation, simulation.trace[:, columns]


def once_through(run: str) -> str:
    """Warm or cold liquid goes through a run into a third tank, and nothing comes back."""
    return (
        "".join(part(f"TK-{n}", "buffer-tank.wide") for n in (1, 2, 3))
        + part("TV-1", "three-way-valve.mixer")
        + part("P-1", "pump.fixed")
        + part("HV-1", "shut-off-valve.tight")
        + part("HV-2", "shut-off-valve.tight")
        + line("L-1", "TK-1.out", "TV-1.a", 1.0, 0.08)
        + line("L-2", "TK-2.out", "TV-1.b", 1.0, 0.08)
        + line("L-3", "TV-1.out", "P-1.in", 1.0, 0.08)
        + run
        + "".join(line(f"L-{5 + n}", "TK-3.out", f"HV-{n}.in", 1.0, 0.08) for n in (1, 2))
        + "".join(line(f"L-{7 + n}", f"HV-{n}.out", f"TK-{n}.in", 1.0, 0.08) for n in (1, 2))
    )


STARTS = (
    starts(TK_1=(0.5, 70.0), TK_2=(0.5, 30.0), TK_3=(0.2, 30.0))
    + 'TV-1 = { position = "b" }\nHV-1 = { position = "shut" }\nHV-2 = { position = "shut" }\n'
)


@pytest.mark.parametrize("interval", [1.0, 4.0])
def test_a_pulse_of_a_minute_gains_less_than_a_second_of_spread_over_sixty_metres(interval):
    loop = (
        once_through(line("L-4", "P-1.out", "TK-3.in", LENGTH, BORE))
        + force("TV-1.position", 1.0, 60.0, 120.0)
        + STARTS
    )
    simulation, trace = traced(
        loop, 400.0, interval, ("L-4", "inlet temperature"), ("L-4", "outlet temperature")
    )
    rise = trace - 303.15
    seconds = simulation.samples
    middle = rise.T @ seconds / rise.sum(axis=0)
    spread = [
        np.sqrt(column @ (seconds - at) ** 2 / column.sum())
        for column, at in zip(rise.T, middle, strict=True)
    ]

    assert closes(simulation)
    assert np.max(rise) == pytest.approx(40.0, abs=0.5)
    # the pulse takes as long as the content of the run, to the sample in which it is seen
    assert middle[1] - middle[0] == pytest.approx(LENGTH * BY_METRE / FLOW, abs=interval)
    gained = math.sqrt(max(spread[1] ** 2 - spread[0] ** 2, 0.0))
    assert gained < 1.0


HEATED = """
[pipe-run.warmed]
law = "declared"
capacity = "50 kg/s"
conductance = "700 W/(m K)"
"""


@pytest.mark.parametrize("longest_step", [1, 11])
def test_a_heated_run_follows_the_exponential_of_its_length(longest_step):
    run = line("L-4", "P-1.out", "TK-3.in", LENGTH, BORE).replace("pipe-run.plain", "pipe-run.warmed")
    loop = once_through(run) + STARTS
    compiled = plant(RULES + HEATED, loop, longest_step=longest_step)
    simulation = Simulation(compiled)
    simulation.advance(600.0)
    places = [compiled.place("L-4", name) for name in ("outlet temperature", "temperature", "loss")]
    before = simulation.integral[places].copy()
    simulation.advance(1400.0)
    outlet, mean, loss = (simulation.integral[places] - before) / 800.0
    inlet = simulation.value("L-4", "inlet temperature")
    transfer = 700.0 * LENGTH / (FLOW * 3500.0)
    ambient = 293.15
    expected = ambient + (inlet - ambient) * math.exp(-transfer)

    assert closes(simulation)
    # each parcel exchanges from the middle of its entering to the middle of its leaving: a step of
    # 11 s of the 123 s that it is inside gives (UA / (m cp) 11 s)^2 / 24 = 1e-3 of what is left
    assert loss == pytest.approx(FLOW * 3500.0 * (inlet - expected), rel=2e-4)
    assert mean == pytest.approx(ambient + (inlet - ambient) * -math.expm1(-transfer) / transfer, abs=0.01)
    # what is shown is the last packet of a step, not its mean: up to half a step older or younger
    assert outlet == pytest.approx(expected, abs=0.05)
    assert simulation.value("L-4", "mass") == pytest.approx(LENGTH * BY_METRE)
