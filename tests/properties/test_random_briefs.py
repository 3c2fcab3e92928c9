"""Random briefs: no traceback, every loop proven and free of serious findings; more choice is never worse."""

from dataclasses import replace
from pathlib import Path

import pytest

import brinewright as bw
from brinewright.checks import check
from brinewright.files import parse_design, parse_needs, read_rulebook
from brinewright.model.brief import LAYOUTS, PLENTY
from brinewright.model.frozen import Frozen
from brinewright.plan.sizing.search import Search
from brinewright.plan.sizing.setting import Setting
from tests.properties.random_briefs import random_brief, random_text

SHORT = 20
ALL = 200


def answered(seed):
    """Size a random brief and hold what comes back against everything that a loop must keep."""
    answer = bw.size(random_brief(seed), nearest=False)
    if not answer.is_met:
        # a brief that can't be met is told by how much
        assert answer.obstacles or answer.rejected
        return
    loop, rules = parse_design(answer.text, Path())

    assert loop == answer.loop
    assert answer.proof is not None
    assert answer.proof.failures == ()
    assert not check(loop, rules, day=answer.proof.result).serious
    for need in Setting(random_brief(seed), rules).needs:
        coldest, warmest = next((low, high) for tag, low, high in answer.proof.consumers if tag == need.tag)
        assert need.lowest - 0.05 <= coldest <= warmest <= need.highest + 0.05, need.tag


@pytest.mark.parametrize("seed", range(SHORT))
def test_a_random_brief_gets_a_loop_that_holds_or_the_reason_why_not(seed):
    answered(seed)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(SHORT, ALL))
def test_another_random_brief_gets_a_loop_that_holds_or_the_reason_why_not(seed):
    answered(seed)


def best(brief):
    """Return what the aims are judged by for the best design of a brief, in order; nothing beats None."""
    search = Search(Setting(brief, read_rulebook("kettle")))
    design = next(search.ranked(search.run(brief.wanted.layouts).designs), None)
    return None if design is None else tuple(search.measure(design, aim) for aim in search.setting.aims)


def more_equipment(brief):
    return replace(brief, at_hand=replace(brief.at_hand, equipment=Frozen({"steam-vessel.latent": 0.0})))


def more_material(brief):
    plenty = Frozen(dict.fromkeys(brief.at_hand.materials, PLENTY))
    return replace(brief, at_hand=replace(brief.at_hand, materials=plenty))


def more_layouts(brief):
    return replace(brief, wanted=replace(brief.wanted, layouts=LAYOUTS))


def more_power(brief):
    return replace(brief, at_hand=replace(brief.at_hand, power=brief.at_hand.power + 500e3))


def scarce(seed):
    """Return a random brief with few things at hand."""
    text = random_text(seed).replace(
        'equipment = { "steam-vessel.latent" = 0 }',
        'equipment = { "steam-vessel.latent" = 0, "turbine.t1" = 2, "enclosure.shell" = 0 }',
    )
    return parse_needs(text, Path(), read_rulebook("kettle"))[0]


@pytest.mark.parametrize("seed", [3, 5, 9, 12, 16])
@pytest.mark.parametrize("more", [more_equipment, more_material, more_layouts, more_power])
def test_more_choice_never_makes_the_answer_worse(seed, more):
    brief = scarce(seed)
    before, after = best(brief), best(more(brief))

    if before is not None:
        assert after is not None
        assert after <= before
