"""The sweep of switches against marches in small steps, and the flow graph against small loops by hand."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brinewright.checks.case import LoopCase
from brinewright.checks.graph import waterways
from brinewright.checks.signals import says, standings, sweep
from brinewright.model.loop import Switch
from tests.checks.seeded import design
from tests.checks.sound_loops import SOUND

TENTHS = st.integers(2800, 3000).map(lambda tenths: tenths / 10.0)


@st.composite
def switches(draw):
    count = draw(st.integers(1, 4))
    return [
        Switch(
            tag=f"TS-{number}",
            sense=draw(st.sampled_from(["high", "low"])),
            senses="TK-1 temperature",
            setting=draw(TENTHS),
            differential=draw(st.integers(0, 30)) / 10.0,
            inclusive=draw(st.booleans()),
        )
        for number in range(count)
    ]


def marched(group):
    """Return all that switches say together on the way up and down, in steps of a tenth of a kelvin."""
    made = tuple(switch.sense == "low" for switch in group)
    found = {made}
    steps = [2700 + tenth for tenth in range(401)]
    for tenths in itertools.chain(steps, reversed(steps), steps):
        made = tuple(says(s, m, tenths / 10.0) for s, m in zip(group, made, strict=True))
        found.add(made)
    return found


@given(switches())
@settings(max_examples=60, deadline=None)
def test_the_sweep_finds_all_that_a_march_in_tenths_of_a_kelvin_finds(group):
    found = {tuple(step.signals.values()) for step in sweep(group)}

    assert marched(group) <= found


@given(switches())
@settings(max_examples=30, deadline=None)
def test_the_sweep_holds_every_set_point_exactly(group):
    values = {step.low for step in sweep(group) if step.low == step.high}

    assert {switch.setting for switch in group} <= values


@pytest.mark.parametrize(
    ("sense", "inclusive", "before", "at", "after"),
    [
        ("high", False, False, False, True),
        ("high", True, False, True, True),
        ("low", False, True, False, False),
        ("low", True, True, True, False),
    ],
)
def test_a_switch_without_a_differential_holds_at_equality_only_if_inclusive(
    sense, inclusive, before, at, after
):
    switch = Switch(tag="TS-1", sense=sense, senses="TK-1 temperature", setting=290.0, inclusive=inclusive)

    assert {says(switch, made, 289.9) for made in (True, False)} == {before}
    assert says(switch, before if sense == "high" else after, 290.0) == at
    assert {says(switch, made, 290.1) for made in (True, False)} == {after}


@pytest.mark.parametrize("name", ["ridge", "deepstead", "two valves", "two pumps"])
def test_every_line_lies_on_a_way_in_some_state(name):
    case = LoopCase(*design(SOUND[name]))
    ways = case.once(waterways)
    states = case.once(standings)

    for number in range(len(ways.ways)):
        assert any(ways.has_path(number, state.positions) for state in states)


def test_the_first_decision_of_kettle_ridge_has_four_states():
    case = LoopCase(*design(SOUND["ridge"]))

    assert len(case.once(standings)) == 4
