"""A brief of a real place gives a loop that runs, or the need that is in the way."""

from dataclasses import replace

import pytest

import brinewright as bw
from brinewright.files.brief import read_brief
from brinewright.files.weather import read_weather, shipped_weather
from brinewright.model.brief import Survive
from brinewright.plan.sizing.real.search import front, priorities, search
from brinewright.plan.sizing.real.size import size_real
from brinewright.plan.sizing.real.work_out import Worker

EARTH = bw.read_rulebook("earth")


@pytest.fixture(scope="module")
def brief():
    return read_brief(bw.scenario("deepstead").parent / "deepstead.brief.toml")


@pytest.fixture(scope="module")
def sized(brief):
    return size_real(brief, EARTH)


def worker_of(brief):
    return Worker(brief, EARTH, read_weather(shipped_weather("deepstead")))


def test_the_loop_of_deepstead_keeps_everybody_within_limits_for_a_day(sized):
    assert sized.is_met, sized.proof.failures
    assert sized.proof.result.energy_residual < 1e-9
    for tag, coldest, warmest in sized.proof.consumers:
        part = next(part for part in sized.loop.parts if part.tag == tag)
        limit = part.values.get("highest_temperature", EARTH.entry(part.use).values["highest_temperature"])
        assert coldest < warmest <= limit


def test_the_supply_of_machines_that_hold_their_own_temperature_is_what_was_wanted(sized, brief):
    coldest, mean, warmest = sized.proof.supply

    assert mean == pytest.approx(brief.wanted.supply, abs=0.5)  # the swing that its own control may have
    assert warmest - coldest < 2.0


def test_the_closed_form_agrees_with_the_run_or_says_why(sized):
    assert sized.proof.agreements
    for row in sized.proof.agreements:
        assert row.difference <= 0.01 or row.reason
        assert row.difference < 0.10  # a reason explains digits, not another plant


def test_every_layout_and_liquid_that_was_not_taken_says_by_how_much_it_lost(sized):
    layouts = {other.name for other in sized.decision("layout").alternatives}
    liquids = {other.name for other in sized.decision("liquid").alternatives}

    assert layouts | {sized.decision("layout").chosen} == {"L1", "L2", "L3", "L4", "L5", "L6"}
    assert liquids | {sized.decision("liquid").chosen} == {liquid.name for liquid in EARTH.liquids}
    for decision in sized.decisions:
        for figure in decision.figures:
            assert figure.source
            assert figure.text


def test_no_design_on_the_front_is_beaten_in_everything(brief):
    designs = front(search(worker_of(brief)).designs)

    assert len(designs) > 1
    for one in designs:
        for other in designs:
            better = [other.measures()[aim] <= one.measures()[aim] for aim in one.measures()]
            assert not all(better) or other.measures() == one.measures()


def test_too_little_power_is_named_as_what_is_in_the_way(brief):
    poor = replace(brief, at_hand=replace(brief.at_hand, power=50e3))
    found = search(worker_of(poor))

    assert found.designs == ()
    short = min(refusal.amount for _, refusal in found.refusals if refusal.need == "power")
    enough = replace(brief, at_hand=replace(brief.at_hand, power=50e3 + short + 1.0))
    assert search(worker_of(enough)).designs


@pytest.mark.parametrize(
    ("choice", "change"),
    [
        ("another liquid", lambda b: replace(b, wanted=replace(b.wanted, liquids=()))),
        ("more power", lambda b: replace(b, at_hand=replace(b.at_hand, power=2.0 * b.at_hand.power))),
        ("no spare chiller asked for", lambda b: replace(b, survive=Survive())),
        ("all layouts", lambda b: replace(b, wanted=replace(b.wanted, layouts=("L3", "L4", "L5")))),
    ],
)
def test_one_more_choice_never_makes_the_answer_worse(brief, choice, change):
    few = replace(brief, wanted=replace(brief.wanted, layouts=("L4",), liquids=("field-liquid",)))
    order = priorities(few)

    def best(of):
        return tuple(search(worker_of(of)).designs[0].measures()[aim] for aim in order)

    assert best(change(few)) <= best(few), choice
