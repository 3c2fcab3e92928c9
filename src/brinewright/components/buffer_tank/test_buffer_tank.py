"""The buffer tank: layers against closed forms, order of arrival, losses, limits."""

import math

import numpy as np
import pytest
from scipy.special import erfc

from tests.circuits import RULES, STYLISED_RULES, force, line, part, starts
from tests.layers import Layers
from tests.plants import closes, sampled, started

DENSITY, CP, AMBIENT = 1100.0, 3500.0, 293.15
VOLUME, HEIGHT = 2.0, 2.0
FULL = DENSITY * VOLUME
AREA = VOLUME / HEIGHT


def rules(layers: int = 40, conductivity: float = 1.5, loss: float = 0.0, **heights: str) -> str:
    rows = "".join(f'{key} = "{value}"\n' for key, value in heights.items())
    return (
        RULES
        + f"""
[buffer-tank.x]
law = "stratified"
volume = "{VOLUME} m3"
tank_height = "{HEIGHT} m"
layers = {layers}
mixing_conductivity = "{conductivity} W/(m K)"
loss_conductance = "{loss} W/K"
{rows}
[pump.p]
law = "curve"
shut_off_pressure = "40 kPa"
duty_flow = "8 m3/h"
duty_pressure = "30 kPa"
when_off = "stops"
"""
    )


RING = (
    part("X-1", "buffer-tank.x")
    + part("P-1", "pump.p")
    + line("L-1", "X-1.out", "P-1.in", 1.0, 0.06)
    + line("L-2", "P-1.out", "X-1.in", 1.0, 0.06)
)
STANDS = RING + force("P-1.running", 0.0)


def test_a_thermocline_that_stands_spreads_by_conduction_as_erfc():
    simulation = started(rules(), STANDS + starts(X_1=(1.0, 30.0)))
    layers = Layers(simulation)
    layers.write(np.where(np.arange(40) < 20, 283.15, 323.15))
    time = 24 * 3600.0
    simulation.advance(time)
    mass, temperature = layers.read()
    middle = (np.cumsum(mass) - 0.5 * mass) / FULL * HEIGHT - 0.5 * HEIGHT
    diffusivity = 1.5 / (DENSITY * CP)
    exact = 283.15 + 40.0 * 0.5 * erfc(-middle / (2.0 * math.sqrt(diffusivity * time)))

    assert closes(simulation)
    # sqrt(2 a t) is 0.26 m, five layers: the second difference is off by a hundredth of its curvature
    assert np.max(np.abs(temperature - exact)) < 0.15
    assert np.all(np.diff(temperature) >= 0.0)


def test_a_thermocline_is_carried_through_without_smearing():
    # cold liquid is fed at the bottom and warm leaves at the top: conduction alone spreads the front
    below = rules(inlet_height="0 %", outlet_height="100 %", conductivity=0.0)
    loop = (
        part("TK-1", "buffer-tank.wide", elevation="1 m")
        + part("X-1", "buffer-tank.x", elevation="1 m")
        + part("TK-2", "buffer-tank.wide")
        + line("L-1", "TK-1.out", "X-1.in", 4.0, 0.05)
        + line("L-2", "X-1.out", "TK-2.in", 4.0, 0.05)
        + part("HV-9", "shut-off-valve.back")
        + line("L-8", "TK-2.out", "HV-9.in", 0.5, 0.1)
        + line("L-9", "HV-9.out", "TK-1.in", 0.5, 0.1)
        + starts(TK_1=(0.5, 10.0), TK_2=(0.25, 30.0), X_1=(0.6, 60.0))
        + 'HV-9 = { position = "shut" }\n'
    )
    simulation = sampled(below, loop, 2000.0, 2.0)
    simulation.advance(2000.0)

    def trace(tag: str, name: str) -> np.ndarray:
        column = next(k for k, (t, n, *_) in enumerate(simulation.plant.channels) if (t, n) == (tag, name))
        return simulation.trace[:, column]

    leaving = trace("X-1", "outlet temperature")
    brought = np.cumsum(trace("X-1", "inflow")) * 2.0
    level = trace("X-1", "mass")
    warm = leaving > 333.15 - 0.5
    cold = leaving < 283.15 + 0.5
    # what is warm at first leaves whole; between, one layer, in which both may stand
    first_cold = brought[np.argmax(cold)]
    taken = first_cold - (level[np.argmax(cold)] - level[0])

    assert closes(simulation)
    assert warm[1]
    assert taken == pytest.approx(0.6 * FULL, rel=0.06)
    assert np.count_nonzero(~warm & ~cold) <= 0.05 * np.argmax(cold)


def test_a_layer_that_is_warmer_than_the_one_above_turns_over():
    simulation = started(rules(conductivity=0.0), STANDS + starts(X_1=(1.0, 30.0)))
    layers = Layers(simulation)
    layers.write(np.linspace(330.0, 290.0, 40))
    simulation.advance(40.0)
    temperature = layers.read()[1]

    assert closes(simulation)
    np.testing.assert_allclose(temperature, 310.0, rtol=1e-12)


def test_loss_follows_the_exponential_of_the_whole_content():
    simulation = started(rules(loss=120.0), STANDS + starts(X_1=(0.8, 70.0)))
    simulation.advance(7200.0)
    expected = AMBIENT + (343.15 - AMBIENT) * math.exp(-120.0 * 7200.0 / (0.8 * FULL * CP))

    assert closes(simulation)
    # steps of 11 s against 5e4 s
    assert simulation.value("X-1", "temperature") == pytest.approx(expected, abs=1e-3)
    assert simulation.value("X-1", "loss") == pytest.approx(120.0 * (expected - AMBIENT), rel=1e-3)


def test_ledger_closes_while_layers_come_in_at_half_height_and_leave_at_the_bottom():
    simulation = started(
        rules(loss=50.0, inlet_height="50 %", outlet_height="10 %"), RING + starts(X_1=(0.9, 50.0))
    )
    simulation.advance(3600.0)
    mass, temperature = Layers(simulation).read()

    assert closes(simulation)
    assert mass.sum() == pytest.approx(simulation.value("X-1", "mass"))
    assert np.all(np.diff(temperature) >= -1e-9)
    assert mass.size <= 80


ORDERED = (
    STYLISED_RULES
    + """
[buffer-tank.x]
law = "first in first out"
volume = "2 m3"
loss_conductance = "40 W/K"
[pump.p]
law = "fixed capacity"
capacity = "4 kg/s"
power = "0 W"
heat_share = "0 %"
when_off = "stops"
[shut-off-valve.back]
law = "ideal"
fail_position = "stays"
"""
)


def through_ordered(loss: str = "40 W/K") -> tuple[str, str]:
    loop = (
        part("TK-1", "buffer-tank.wide")
        + part("P-1", "pump.p")
        + part("X-1", "buffer-tank.x", loss_conductance=loss)
        + part("P-2", "pump.p")
        + part("TK-2", "buffer-tank.wide")
        + part("HV-9", "shut-off-valve.back")
        + line("L-1", "TK-1.out", "P-1.in", 2.0, 0.08)
        + line("L-2", "P-1.out", "X-1.in", 2.0, 0.08)
        + line("L-3", "X-1.out", "P-2.in", 2.0, 0.08)
        + line("L-4", "P-2.out", "TK-2.in", 2.0, 0.08)
        + line("L-5", "TK-2.out", "HV-9.in", 2.0, 0.08)
        + line("L-6", "HV-9.out", "TK-1.in", 2.0, 0.08)
        + starts(TK_1=(0.5, 60.0), TK_2=(0.2, 60.0), X_1=(0.5, 30.0))
        + 'HV-9 = { position = "shut" }\n'
    )
    return ORDERED, loop


def test_what_came_first_leaves_first_after_the_dead_time_of_the_content():
    simulation = started(*through_ordered("0 W/K"))
    # lines of 2 m hold 11 kg each, two of them and the pump stand before the tank
    dead = 0.5 * FULL / 4.0
    before = (2.0 * 11.06 + 2.0) / 4.0
    simulation.advance(dead + before - 15.0)
    early = simulation.value("X-1", "outlet temperature")
    simulation.advance(dead + before + 15.0)

    assert closes(simulation)
    assert early == pytest.approx(303.15, abs=1e-6)
    assert simulation.value("X-1", "outlet temperature") == pytest.approx(333.15, abs=1e-6)


def test_each_kilogram_loses_its_share_while_it_waits():
    simulation = started(*through_ordered())
    simulation.advance(3000.0)
    waits = 0.5 * FULL / 4.0
    rate = 40.0 / (0.5 * FULL * CP)
    expected = AMBIENT + (333.15 - AMBIENT) * math.exp(-rate * waits)

    assert closes(simulation)
    # one step of 11 s of the 275 s that it waits
    assert simulation.value("X-1", "outlet temperature") == pytest.approx(expected, abs=0.02)
    mean = simulation.value("X-1", "temperature")
    assert simulation.value("X-1", "loss") == pytest.approx(40.0 * (mean - AMBIENT), rel=1e-3)


def test_what_touches_an_ordered_tank_as_a_whole_warms_all_of_it():
    rules_, loop = through_ordered("0 W/K")
    simulation = started(rules_, loop + "")
    node = simulation.plant.place("X-1", "temperature")
    simulation.advance(5.0)
    before = simulation.value("X-1", "temperature")
    heat = 2e6
    simulation.arrays["E"][node] += heat
    simulation.arrays["E0"][node] += heat
    simulation.advance(6.0)

    # the tick brings 4 kg of 30 K more than the mean as well, at most
    assert simulation.value("X-1", "temperature") - before == pytest.approx(
        heat / (0.5 * FULL * CP), abs=4.0 * 30.0 / (0.5 * FULL)
    )
    assert simulation.arrays["E"][node] == 0.0


LIMITED = ORDERED.replace('law = "first in first out"', 'law = "mixed"\ninflow_capacity = "3 kg/s"')


def test_a_tank_takes_no_more_than_its_inflow_capacity():
    loop = through_ordered("0 W/K")[1].replace('"L-6"', '"L-6"')
    simulation = started(LIMITED, loop)
    simulation.advance(60.0)

    assert closes(simulation)
    assert simulation.value("X-1", "inflow") == pytest.approx(3.0)
    assert simulation.value("X-1", "outflow") == pytest.approx(4.0)


def test_an_empty_tank_gives_nothing_more_and_a_full_one_takes_nothing_more():
    loop = (
        part("TK-1", "buffer-tank.x", elevation="3 m")
        + part("TK-2", "buffer-tank.y")
        + line("L-1", "TK-1.out", "TK-2.in", 3.0, 0.08)
        + part("HV-9", "shut-off-valve.back")
        + line("L-8", "TK-2.out", "HV-9.in", 0.5, 0.1)
        + line("L-9", "HV-9.out", "TK-1.in", 0.5, 0.1)
    )
    mixed = """
[buffer-tank.x]
law = "mixed"
volume = "0.5 m3"
lowest_level = "2 %"
[buffer-tank.y]
law = "mixed"
volume = "0.5 m3"
highest_level = "90 %"
"""
    for first, second, tag, level in ((0.3, 0.1, "TK-1", 0.02), (0.9, 0.5, "TK-2", 0.9)):
        begin = starts(TK_1=(first, 30.0), TK_2=(second, 30.0)) + 'HV-9 = { position = "shut" }\n'
        simulation = started(RULES + mixed, loop + begin)
        simulation.advance(600.0)

        assert closes(simulation)
        assert simulation.value("L-1", "flow") == 0.0
        # the flow of one tick is not divided: 22 kg of 550
        assert simulation.value(tag, "level") == pytest.approx(level, abs=0.045)
