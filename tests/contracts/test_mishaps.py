"""What can go wrong with a part is declared in terms that the part has."""

import pytest

from brinewright.catalogue import KINDS
from brinewright.model.mishap import GROUPS

ALWAYS_FORCED = {"capacity", "command", "powered", "threshold"}
"""What can be forced beside channels and schedules."""

each_mishap = pytest.mark.parametrize(
    ("kind", "mishap"),
    [(kind, mishap) for kind in KINDS for mishap in kind.mishaps],
    ids=lambda item: item.name,
)


def declared(kind):
    return [*kind.parameters, *(item for law in kind.laws for item in law.parameters)]


@each_mishap
def test_it_belongs_to_a_group_and_is_done_in_one_way(kind, mishap):
    assert mishap.group in GROUPS
    assert sum(map(bool, (mishap.target, mishap.start, mishap.number))) == 1


@each_mishap
def test_what_it_forces_or_states_is_something_that_the_kind_has(kind, mishap):
    forced = {channel.name for channel in kind.channels} | {item.name for item in declared(kind)}
    if mishap.target:
        assert mishap.target in forced | ALWAYS_FORCED
    if mishap.start:
        assert mishap.start in {item.name for item in kind.start}
    if mishap.number:
        assert mishap.number in {item.name for item in declared(kind)}
    if mishap.one_of_a_bank:
        assert kind.counted


@each_mishap
def test_its_sentence_names_the_part(kind, mishap):
    told = mishap.text.format(tag="XX-1", first="open", second="shut")

    assert "XX-1" in told
    assert told.endswith(".")


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind.countermeasures], ids=lambda kind: kind.name)
def test_a_countermeasure_is_something_that_can_be_done_with_the_part(kind):
    forced = {channel.name for channel in kind.channels} | {item.name for item in declared(kind)}
    for measure in kind.countermeasures:
        assert measure.target in forced | ALWAYS_FORCED
        assert "XX-1" in measure.name.format(tag="XX-1")


def test_every_driven_machine_every_valve_and_every_consumer_can_fail():
    for kind in KINDS:
        if kind.positions or kind.role in ("consumer", "valve", "cooler", "mover", "store"):
            assert kind.mishaps, kind.name
