"""Facts of the trade about metal and casings follow from the laws.  Common practice, no source."""

from dataclasses import replace

import pytest

from brinewright.checks import LoopCase
from brinewright.checks.equilibrium import rest
from brinewright.checks.vessels import vessels
from brinewright.model.frozen import Frozen
from brinewright.model.loop import Loop
from tests.checks.seeds import Change, both, found, made_of, part, sound, values

ZERO = 273.15
SOFT = 175.0
"""The soft gold alloy stands 175 degC."""


def in_soft(*tags: str) -> Change:
    return lambda loop, rules: replace(
        loop,
        parts=tuple(
            replace(p, values=Frozen({**p.values, limit_of(p.tag): SOFT + ZERO})) if p.tag in tags else p
            for p in loop.parts
        ),
    )


def limit_of(tag: str) -> str:
    return "casing_limit" if tag.startswith("ST") else "metal_limit"


def rested(name, *changes) -> float:
    loop, rules, folder = sound(name)
    changed = both(*changes)(loop, rules)
    assert isinstance(changed, Loop)
    vessel = vessels(LoopCase(changed, rules, folder=folder))[0]
    return rest(vessel, vessel.count).temperature - ZERO


def codes(name, change, *asked) -> set[str]:
    return {finding.code for finding in found(name, change, set(asked)).findings}


def test_a_vessel_that_serves_only_chillers_settles_near_the_threshold():
    assert 141.0 - 0.01 <= rested("kettle-ridge") < 141.0 + 5.0


def test_the_soft_alloy_is_enough_for_the_chillers_of_such_a_vessel():
    assert codes("kettle-ridge", in_soft("CH-201"), "BW-F82", "BW-F83", "BW-F52") == set()


def test_hot_rock_with_three_turbines_at_full_power_comes_near_200_degrees():
    assert rested("kettle-ridge-hot-rock") == pytest.approx(190.0, abs=1.0)
    turbines = found("kettle-ridge-hot-rock", values(), {"BW-F116"})

    assert turbines.findings == ()


def test_there_the_soft_alloy_is_too_weak_and_steel_is_not():
    assert codes("kettle-ridge-hot-rock", in_soft("CH-201"), "BW-F82", "BW-F83") == {"BW-F82", "BW-F83"}
    assert codes("kettle-ridge-hot-rock", made_of("deep-steel", "CH-201"), "BW-F82", "BW-F83") == set()


def test_a_turbine_with_little_to_do_is_kept_by_the_open_hall_and_one_with_much_is_not():
    """One jacketless turbine with its hall as only sink, under the load of a small and of a whole loop."""
    bare = values(ST_401__jacket_conductance="0 W/K", ST_401__hall_conductance="300 W/K")
    light = both(
        bare, values(MC_604__heat="0 W", ZN_601__gains="20 kW", ZN_602__gains="20 kW", MC_603__heat="20 kW")
    )
    loaded = both(bare, part("ST-401", count=1))

    assert codes("kettle-ridge", light, "BW-F72") == set()
    assert codes("kettle-ridge", loaded, "BW-F72") == {"BW-F72"}
