"""A rehearsal: what is survived, what breaks first and when, what shows it and what helps."""

import json
from functools import cache
from importlib.resources import files

import jsonschema
import pytest

from brinewright.errors import UnknownNameError
from brinewright.files import read_design, with_values
from brinewright.files.scenario import scenario
from brinewright.model.loop import Force
from brinewright.plan.base import Base
from brinewright.plan.credible import credible_faults
from brinewright.plan.failure import FAMILIES, Failure
from brinewright.plan.fault import Fault, together
from brinewright.plan.rehearse import rehearse
from brinewright.plan.stage import Stage

RIDGE, BOOK = read_design(scenario("kettle-ridge"))
HOUR = 3600.0
TRIED = (
    "CH-201 one unit lost",
    "TV-110 stuck at a",
    "TV-120 stuck at a",
    "TSH-120 inverted",
    "TSH-110 inverted",
    "J-111 L-109 behind L-106",
    "FD-902 opens for a while",
    "MC-603 blocked",
    "P-103 stops",
    "ST-401 condensate does not come back",
    "cold start",
)


def named(*names):
    found = {fault.name: fault for fault in credible_faults(RIDGE, BOOK)}
    return [found[name] for name in names]


@cache
def rehearsed(workers=2):
    return rehearse(RIDGE, BOOK, faults=named(*TRIED), pairs=2, workers=workers)


@cache
def base():
    return Base(RIDGE, BOOK)


def went(fault, horizon, also=()):
    """The run of a fault to the end of its time, whatever breaks."""
    return Stage(base(), fault).run(base().moments[0], horizon, also=also, until=lambda _: False)


def first(name):
    return rehearsed().trial(name).first


# ---- what breaks ---------------------------------------------------------------------------


def test_the_sound_plant_breaks_nothing():
    assert rehearsed().already == ()


@pytest.mark.parametrize("name", ["CH-201 one unit lost", "TV-110 stuck at a"])
def test_a_fault_without_consequence_is_survived(name):
    trial = rehearsed().trial(name)

    assert trial.survived
    assert trial.failures == ()
    assert trial.action is None
    assert trial.lasted == 4 * HOUR


@pytest.mark.parametrize("name", ["TV-120 stuck at a", "TSH-120 inverted"])
def test_liquid_that_is_sent_round_again_and_again_freezes(name):
    # nine kelvin a pass, from below 18 degC to -24 degC: five passes of a ring that takes half a minute
    assert (first(name).tag, first(name).code) == ("CH-201", "freezing")
    assert 1.0 < first(name).minutes < 4.0


def test_a_first_switch_the_wrong_way_round_sends_warm_liquid_to_the_consumers():
    assert first("TSH-110 inverted").code == "too-warm"


def test_a_ring_whose_return_has_no_priority_locks_itself():
    trial = rehearsed().trial("J-111 L-109 behind L-106")

    assert first("J-111 L-109 behind L-106").code == "deadlock"
    assert "no-flow" in {failure.code for failure in trial.failures}


def test_a_blocked_machine_overheats_when_its_own_heat_has_filled_it():
    # C (55 degC - T) / 240 kW with 8 MJ/K, and at most the 40 kg of liquid in it, that was above 0 degC
    trial = rehearsed().trial("MC-603 blocked")
    state = base().states[base().moments[0].time]
    begins = float(state.arrays["X"][base().plant.places[("MC-603", "temperature")]])
    rise = 273.15 + 55.0 - begins
    least, most = (8e6 * rise / 240e3, (8e6 * rise + 40.0 * 3600.0 * 55.0) / 240e3)

    assert trial.first.tag == "MC-603"
    assert least < trial.first.time < most


def test_a_stopped_pump_is_told_as_what_it_does_to_the_consumers():
    assert (first("P-103 stops").tag, first("P-103 stops").code) == ("consumers", "no-flow")


def test_a_plant_that_is_started_cold_runs_out_of_power_before_its_steam_is_up():
    # 160 kWh are left in the battery above nothing; the chillers alone draw some 390 kW
    assert (first("cold start").tag, first("cold start").code) == ("SB-901", "brown-out")


def test_failures_are_in_order_of_time_and_the_run_ends_when_it_is_clear():
    for trial in rehearsed().broken:
        times = [failure.time for failure in trial.failures]
        assert times == sorted(times)
        if not trial.ends:
            assert trial.lasted <= trial.first.time + 2400.0 + 1.0


def test_what_is_worst_is_told_of_all_moments():
    trial = rehearsed().trial("MC-603 blocked")

    assert set(trial.moments) == {f"{moment.clock}, when {moment.text}" for moment in base().moments}
    assert trial.first.time == min(trial.moments.values())


# ---- what shows it, and what helps -----------------------------------------------------------


def test_where_nothing_shows_a_failure_in_time_a_guard_is_asked_for():
    for trial in rehearsed().broken:
        assert (trial.in_time is None) == (trial.guard is not None)


def test_a_chiller_that_nobody_watches_asks_for_a_guard_before_its_metal_fails():
    trial = rehearsed().trial("ST-401 condensate does not come back")

    assert trial.first.code == "overheated"
    assert trial.guard is None or (trial.first.tag in trial.guard.text and trial.guard.lead > 0.0)


def test_a_flow_proof_shows_that_the_ring_gets_nothing():
    seen = rehearsed().trial("TSH-110 inverted").in_time

    assert (seen.tag, seen.quantity) == ("CH-201", "flow")


def test_a_switch_that_is_wrong_shows_nothing_itself():
    for name in ("TSH-120 inverted", "TSH-110 inverted"):
        tags = {notice.tag for notice in rehearsed().trial(name).notices}
        assert name.split()[0] not in tags


def test_a_machine_that_makes_no_heat_any_more_needs_no_cooling():
    action = rehearsed().trial("MC-603 blocked").action

    assert action.text == "Switch off MC-603"
    assert action.holds
    assert 0.85 * first("MC-603 blocked").time < action.within < first("MC-603 blocked").time


def test_a_chiller_that_is_stopped_does_not_freeze_though_the_rooms_get_warm():
    action = rehearsed().trial("TV-120 stuck at a").action

    assert action.spares
    assert not action.then.damages


def test_what_is_done_too_late_does_not_help():
    trial = rehearsed().trial("MC-603 blocked")
    after = base().moments[0].time + trial.first.time + 1.0
    late = Force(target="MC-603.heat", value=0.0, start=after)

    assert went(trial.fault, HOUR, (late,)).first.time == trial.first.time


# ---- a fault that ends ----------------------------------------------------------------------


def test_power_comes_back_and_so_does_the_plant():
    trial = rehearsed().trial("FD-902 opens for a while")

    assert trial.ends
    assert trial.back_after is not None
    assert trial.lasted >= 900.0 + HOUR


def test_what_was_forced_is_let_go():
    (fault,) = named("FD-902 opens for a while")
    run = went(fault, 2 * HOUR)
    closed = run.values(base().columns[("FD-902", "closed")])
    during = (run.times > 0.0) & (run.times <= 900.0)

    assert (closed[during] == 0.0).all()
    assert (closed[run.times > 910.0] == 1.0).all()
    assert run.simulation.electric_residual() < 1e-9


# ---- the ledger of a plant that is taken over into a changed one ------------------------------


@pytest.mark.parametrize("name", ["CH-201 one unit lost", "ST-401 one unit lost", "J-111 L-109 behind L-106"])
def test_a_plant_that_is_taken_over_keeps_its_ledgers(name):
    (fault,) = named(name)
    run = went(fault, HOUR)
    state = base().states[base().moments[0].time].arrays["X"]
    kept = base().plant.places[("VE-301", "temperature")]

    assert run.simulation.begin[kept] == state[kept]
    assert run.simulation.energy_residual() < 1e-9
    assert run.simulation.mass_residual() < 1e-9
    assert run.simulation.electric_residual() < 1e-9


def test_a_bank_with_one_unit_lost_carries_what_the_others_carry():
    (fault,) = named("CH-201 one unit lost")
    run = went(fault, 2 * HOUR)

    assert run.values(base().columns[("CH-201", "flow")])[1:].max() <= 4 * 8.0 + 1e-9
    assert base().range_of(base().plant.places[("CH-201", "flow")])[1] == pytest.approx(5 * 8.0)


# ---- the work -----------------------------------------------------------------------------


def without_wall(rehearsal):
    return {key: value for key, value in rehearsal.as_dict().items() if key != "wall_s"}


def test_side_by_side_is_the_same_as_one_after_the_other():
    assert without_wall(rehearsed(workers=1)) == without_wall(rehearsed())


def test_an_interruption_leaves_what_is_finished():
    done = []
    rehearsal = rehearse(
        RIDGE,
        BOOK,
        faults=named(*TRIED),
        workers=1,
        countermeasures=False,
        progress=lambda number, _: done.append(number),
        should_stop=lambda: len(done) >= 3,
    )

    assert rehearsal.outcome.name == "interrupted"
    assert [trial.fault.name for trial in rehearsal.trials] == list(TRIED[:3])
    assert [trial.failures for trial in rehearsal.trials] == [
        rehearsed().trial(name).failures for name in TRIED[:3]
    ]


def test_an_interruption_before_any_fault_leaves_an_empty_answer():
    rehearsal = rehearse(RIDGE, BOOK, faults=named(*TRIED), should_stop=lambda: True)

    assert (rehearsal.outcome.name, rehearsal.trials) == ("interrupted", ())


def test_progress_counts_faults():
    told = []
    rehearse(RIDGE, BOOK, only=["dry start"], progress=lambda *numbers: told.append(numbers))

    assert told == [(1.0, 1.0)]


def test_an_unknown_group_names_the_nearest():
    with pytest.raises(UnknownNameError, match="machine lost"):
        rehearse(RIDGE, BOOK, only=["machine loss"])


def test_a_fault_that_the_engine_refuses_leaves_the_others():
    impossible = Fault(
        name="too light", group="machine lost", text="A vessel of next to nothing.", tags=("VE-301",),
        changes={"VE-301.metal_mass": "1 kg", "VE-301.water_mass": "1 kg"}, from_start=True,
    )  # fmt: skip
    rehearsal = rehearse(RIDGE, BOOK, faults=[impossible, *named("TV-110 stuck at a")])

    assert "faster than the engine steps" in rehearsal.unfinished[0].unfinished
    assert rehearsal.trial("TV-110 stuck at a").survived


def test_only_pairs_of_survived_faults_are_tried_and_the_number_of_all_is_told():
    rehearsal = rehearsed()
    survived = {trial.fault.name for trial in rehearsal.trials if trial.survived}

    assert len(rehearsal.pairs) <= 2
    assert rehearsal.possible_pairs == len(survived) * (len(survived) - 1) // 2
    for pair in rehearsal.pairs:
        assert set(pair.fault.name.split(" + ")) <= survived


def test_two_faults_at_once_are_both_there():
    a, b = named("CH-201 one unit lost", "FD-902 opens for a while")
    both = together(a, b).at(60.0)
    (force,) = both.as_forces({})

    assert both.changes == a.changes
    assert both.ends == float("inf")
    assert (force.target, force.start, force.end) == ("FD-902.closed", 60.0, 960.0)


def test_what_a_loop_file_forces_is_left_out():
    text = scenario("kettle-ridge").read_text(encoding="utf-8")
    from brinewright.files import parse_design

    loop, rules = parse_design(
        text + '\n[[force]]\ntarget = "P-103.command"\nvalue = "stop"\n', scenario("kettle-ridge").parent
    )
    assert rehearse(loop, rules, faults=named("TV-110 stuck at a")).survived


def test_what_the_sound_plant_breaks_by_itself_is_told_and_no_fault_is_blamed():
    loop = with_values(RIDGE, BOOK, {"MC-604.highest_temperature": "30 degC"})
    rehearsal = rehearse(loop, BOOK, faults=named("TV-110 stuck at a"))

    assert rehearsal.already == ("MC-604 too-warm",)
    assert rehearsal.survived


# ---- the answer ---------------------------------------------------------------------------


def test_the_answer_keeps_to_its_schema():
    schema = json.loads(
        files("brinewright").joinpath("data/schema/rehearse.json").read_text(encoding="utf-8")
    )
    told = json.loads(json.dumps(rehearsed().as_dict()))

    jsonschema.Draft202012Validator(schema).validate(told)
    assert told["tried"] == len(TRIED)
    assert told["not_survived"] == len(rehearsed().broken)


def test_every_failure_has_a_family():
    for trial in rehearsed().broken:
        assert {failure.family for failure in trial.failures} <= set(FAMILIES)
    # a report that is not known is taken seriously
    assert Failure(time=0.0, tag="X", code="never-heard", text=".").breaks
