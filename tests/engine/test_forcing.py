"""Force other values in a compiled plant, and take a running plant over into a changed design."""

from dataclasses import replace

import numpy as np
import pytest

from brinewright.compile import compile_plant, forceable
from brinewright.errors import InputError
from brinewright.files import read_design, with_values
from brinewright.files.scenario import scenario
from brinewright.model.loop import Force
from brinewright.run.carry import carried, unforced
from brinewright.run.forcing import NEVER, forced
from brinewright.run.simulation import Simulation

RIDGE, BOOK = read_design(scenario("kettle-ridge"))
WAITING = tuple(
    Force(target=target, value=0.0, start=NEVER)
    for target in ("P-103.capacity", "TSH-120.set", "MC-603.heat")
)
HOUR = 3600.0


def marched(plant, until, state=None):
    simulation = Simulation(plant, state=state)
    assert simulation.advance(until) == "done"
    return simulation


def test_what_is_forced_later_is_the_same_as_if_it_had_been_compiled():
    acting = [Force(target="TSH-120.set", value=300.0, start=600.0, end=1200.0)]
    waiting = compile_plant(replace(RIDGE, forces=WAITING), BOOK)
    stated = tuple(acting[0] if one.target == acting[0].target else one for one in WAITING)
    compiled = compile_plant(replace(RIDGE, forces=stated), BOOK)
    first, second = (marched(plant, HOUR) for plant in (forced(waiting, acting), compiled))

    assert np.array_equal(first.arrays["X"], second.arrays["X"])
    assert first.greatest[waiting.place("TSH-120", "set")] == 300.0


def test_forces_that_wait_change_nothing():
    bare = marched(compile_plant(RIDGE, BOOK), HOUR)
    waiting = marched(compile_plant(replace(RIDGE, forces=WAITING), BOOK), HOUR)
    recorded = bare.recorded

    assert np.array_equal(bare.arrays["X"][:recorded], waiting.arrays["X"][:recorded])


def test_nothing_else_can_be_forced():
    plant = compile_plant(replace(RIDGE, forces=WAITING), BOOK)

    with pytest.raises(ValueError, match=r"P-101\.capacity"):
        forced(plant, [Force(target="P-101.capacity", value=0.0)])


def test_what_can_be_forced_is_told():
    told = forceable(RIDGE, BOOK)

    assert {"TSH-110", "TSH-110.reading", "TV-110.position", "CH-201.powered", "P-101.capacity"} <= told
    assert "TK-101.temperature" not in told
    for target in sorted(told):
        compile_plant(replace(RIDGE, forces=(Force(target=target, value=1.0, start=NEVER),)), BOOK)


def test_a_state_goes_on_under_other_forces():
    plant = compile_plant(RIDGE, BOOK)
    one = marched(plant, HOUR)
    other = Simulation(compile_plant(replace(RIDGE, forces=WAITING), BOOK), state=unforced(one.state()))
    for simulation in (one, other):
        assert simulation.advance(2 * HOUR) == "done"

    assert np.array_equal(one.arrays["X"][: one.recorded], other.arrays["X"][: one.recorded])


def test_numbers_of_the_changed_design_hold_and_what_the_plant_holds_stays():
    before = compile_plant(RIDGE, BOOK)
    changed = with_values(
        RIDGE, BOOK, {"CH-201.count": "4", "CH-201.hold_up": "20 kg", "TSH-110.set": "19 degC"}
    )
    after = compile_plant(changed, BOOK)
    was = marched(before, HOUR)
    state = carried(was.state(), before, after)
    goes_on = Simulation(after, state=state)

    for tag, quantity in (("TK-101", "temperature"), ("VE-301", "temperature"), ("TK-103", "mass")):
        assert goes_on.value(tag, quantity) == was.value(tag, quantity)
    assert goes_on.value("TSH-110", "set") == pytest.approx(273.15 + 19.0)
    assert goes_on.mass() == pytest.approx(was.mass(), rel=1e-12)
    assert goes_on.energy() == pytest.approx(was.energy(), rel=1e-12)
    goes_on.advance(2 * HOUR)
    assert goes_on.energy_residual() < 1e-9
    assert goes_on.mass_residual() < 1e-9


def test_another_build_cannot_take_a_plant_over():
    before = compile_plant(RIDGE, BOOK)
    fewer = replace(RIDGE, switches=tuple(one for one in RIDGE.switches if one.tag != "TSH-110"))

    with pytest.raises(InputError, match="other parts"):
        carried(marched(before, 60.0).state(), before, compile_plant(fewer, BOOK))
