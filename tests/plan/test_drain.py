"""The whole answer of `drain`: room, locks, steps, what the rest does meanwhile, the way back."""

import json
import math
from dataclasses import replace
from importlib.resources import files

import jsonschema
import pytest

import brinewright as bw
from brinewright.cli.app import main
from brinewright.errors import UnknownNameError
from brinewright.laws.lump import time_to_reach
from brinewright.run import simulate

SCHEMA = json.loads(files("brinewright").joinpath("data/schema/drain.json").read_text(encoding="utf-8"))
RIDGE = bw.scenario("kettle-ridge")
KETTLE = bw.read_rulebook("kettle")


@pytest.fixture(scope="module")
def ridge():
    return bw.read_loop(RIDGE)


@pytest.fixture(scope="module")
def whole(ridge):
    return bw.drain(ridge, pump=1e-3)


@pytest.fixture(scope="module")
def ring(ridge):
    return bw.drain(ridge, sections=["ring"], pump=1e-3)


def with_tanks(loop, volumes):
    for tag, volume in volumes.items():
        loop = bw.with_value(loop, KETTLE, f"{tag.replace('_', '-')}.volume", volume)
    return loop


# ---- room -------------------------------------------------------------------------------


def test_both_tanks_together_can_take_the_drained_loop(whole):
    """Common practice, no source."""
    free = sum(room.free_now for room in whole.rooms if room.store in ("TK-101", "TK-102"))

    assert free >= whole.needed > whole.hold_up > 7000.0
    assert whole.fits
    assert [fault for fault in whole.faults if fault.code == "BW-F97"] == []


def test_tanks_that_cannot_take_the_loop_are_found_with_what_is_missing(ridge):
    small = with_tanks(ridge, {"TK-101": "9 m3", "TK-102": "5.2 m3", "TK-103": "4.5 m3"})
    answer = bw.drain(small, full={"TK-101": 0.6, "TK-102": 0.7, "TK-103": 0.6})
    (fault,) = (fault for fault in answer.faults if fault.code == "BW-F97")

    assert answer.free == pytest.approx(3600.0 + 1560.0 + 1800.0)
    assert answer.margin == pytest.approx((answer.free - answer.needed) / answer.needed)
    assert not answer.fits
    assert fault.is_serious
    assert f"{answer.needed - answer.free:.0f} l" in fault.remedy


def test_a_loop_of_4_17_cubic_metres_wants_4_59_free():
    """A worked sum: 3.31 m3 of pipe (240 m of 132.5 mm), 0.36 of evaporators, 0.5 of coils, a tenth more."""
    from tests.pipes import drain_point, line, pipework, tank, valve

    density, machine = 1100.0, '[[part]]\ntag = "{}"\nuse = "machine.plain"\nhold_up = "{} kg"\n'
    text = (
        tank("TK-1", 5, 0, 2) + valve("HV-1") + machine.format("MC-1", 0.36 * density)
        + machine.format("MC-2", 0.5 * density) + drain_point("DR-1", "L-1")
        + line("L-0", "TK-1.out", "HV-1.in", 1, 0.01, (0, 0), "neck")
        + line("L-1", "HV-1.out", "MC-1.in", 80, 0.1325, (0, 3))
        + line("L-2", "MC-1.out", "MC-2.in", 80, 0.1325, (3, 3))
        + line("L-3", "MC-2.out", "TK-1.in", 80, 0.1325, (3, 2.5))
        + '[start]\nTK-1 = { level = 0.05, temperature = "30 degC" }\n'
        + "".join(f'MC-{k} = {{ temperature = "35 degC" }}\n' for k in (1, 2))
    )  # fmt: skip
    pipes = pipework(text)
    answer = bw.drain(pipes.loop, pipes.rules, sections=["leg"], watched=3600.0, full={"TK-1": 0.08})

    # the shut-off valve is the boundary and holds 0.2 kg of its own
    assert answer.hold_up == pytest.approx(4170.0, abs=2.0)
    assert answer.needed == pytest.approx(4590.0, abs=4.0)
    assert answer.free == pytest.approx(4600.0)
    assert answer.fits
    assert not bw.drain(pipes.loop, pipes.rules, sections=["leg"], watched=3600.0, full={"TK-1": 0.085}).fits


def test_every_litre_is_accounted_for(whole, ring):
    for answer in (whole, ring):
        assert answer.by_gravity + answer.by_pump + answer.stays == pytest.approx(answer.hold_up)
        assert sum(outlet.litres for outlet in answer.outlets) == pytest.approx(
            answer.by_gravity + answer.by_pump, abs=0.5
        )
        assert answer.stays == 0.0
        assert answer.unvented == ()


def test_what_the_steps_move_stands_in_the_tanks_afterwards(whole):
    volumes = {room.store: room.volume for room in whole.rooms}
    last = [step.levels for step in whole.steps if step.levels][-1]
    gained = sum(volumes[room.store] * (last[room.store] - room.level_now) for room in whole.rooms)

    assert gained == pytest.approx(whole.hold_up, abs=0.5)
    assert all(0.0 <= level <= 1.0 for step in whole.steps if step.levels for level in step.levels.values())
    for room in whole.rooms:
        assert last[room.store] == pytest.approx(room.level_after, abs=1e-4)


def test_a_full_tank_is_relieved_before_more_is_let_into_it(whole):
    assert [transfer.source for transfer in whole.transfers] == ["TK-103"]
    texts = [step.text for step in whole.steps]
    moved = next(k for k, text in enumerate(texts) if "to make room" in text)
    let_in = next(k for k, text in enumerate(texts) if "into TK-103" in text)

    assert moved < let_in


def test_warm_liquid_that_was_cold_takes_more_room_in_a_real_place():
    loop = bw.read_loop(bw.scenario("deepstead"))
    answer = bw.drain(loop, sections=["dwellings"], folder=RIDGE.parent)
    liquid = "propylene glycol 30 %"
    cold, warm = (
        bw.property_value(liquid, "density", temperature=kelvin, pressure=3e5).value
        for kelvin in (280.15, 290.15)
    )

    # the tank holds 9.6 m3 at about 7 degC and its hall has 17
    assert answer.rooms[0].swell == pytest.approx(9600.0 * (cold / warm - 1.0), rel=0.25)
    assert 0.0 < answer.swell < 0.01 * answer.hold_up
    assert not answer.is_judged
    assert [fault.code for fault in answer.faults].count("heights") == 1
    assert any("confined" in caution for caution in answer.cautions)
    assert any("Glycol" in caution for caution in answer.cautions)


# ---- locks and steps --------------------------------------------------------------------


def test_everything_that_can_reach_in_is_locked_and_proved_twice(ring):
    tags = {lock.tag for lock in ring.locks}

    assert {"HV-102", "HV-110", "VE-301", "ST-401", "CH-201 at FD-902", "P-102 at TX-901"} <= tags
    assert all(len(set(lock.proofs)) == 2 for lock in ring.locks)


def test_the_hot_rock_is_locked_where_chillers_stand_in_its_vessel():
    answer = bw.drain(bw.read_loop(bw.scenario("kettle-ridge-hot-rock")), sections=["ring"])

    assert "HR-801" in {lock.tag for lock in answer.locks}


def test_a_section_away_from_the_vessel_leaves_the_vessel_alone(ridge):
    answer = bw.drain(ridge, sections=["direct"])

    assert not {"VE-301", "ST-401"} & {lock.tag for lock in answer.locks}
    assert all(cooling.tag != "VE-301" for cooling in answer.cooling)


def test_steps_come_in_the_order_of_the_trade(ring):
    texts = [step.text for step in ring.steps]
    order = (
        "permit",
        "Stop CH-201",
        "Wait until",
        "Stop P-102",
        "Open VN-",
        ("HV-102: locked"),
        "run out",
        "Pump 1",
        "Hold what",
        "Work",
    )
    places = [next(k for k, text in enumerate(texts) if words in text) for words in order]

    assert places == sorted(places)
    assert [step.number for step in ring.steps] == list(range(1, len(ring.steps) + 1))


def test_locks_come_off_in_reverse_and_switches_are_tested_again(ring):
    off = [step.text.split(" off ")[1].split(",")[0] for step in ring.way_back if "lock off" in step.text]

    assert off == [lock.tag for lock in reversed(ring.locks)]
    assert ring.retest == ("TSH-120",)
    assert any("TSH-120" in step.text for step in ring.way_back)


def test_filling_takes_back_what_was_drained(ring):
    (fill,) = (step for step in ring.way_back if step.litres)
    now = {room.store: room.level_now for room in ring.rooms}

    assert fill.litres == pytest.approx(ring.hold_up)
    assert fill.levels == pytest.approx(now)


# ---- meanwhile ----------------------------------------------------------------------------


def test_a_machine_that_is_cut_off_warms_as_its_own_mass_says(ridge, whole):
    """C dT/dt = Phi, the liquid that stands in it along."""
    (fares,) = (one for one in whole.meanwhile if one.tag == "MC-604")
    normal = simulate(ridge, duration=whole.shut_at)["MC-604"].temperature.last
    seconds = (8e6 + 40 * 3600.0) * (328.15 - normal) / 210e3

    assert fares.is_cut_off
    # samples are a minute apart
    assert fares.holds == pytest.approx(seconds, abs=61.0)


def test_the_vessel_cools_as_a_lump_that_loses_to_its_hall(ring):
    (vessel,) = (one for one in ring.cooling if one.tag == "VE-301")
    capacity = 7200 * 4200.0 + 6000 * 380.0 + 5 * 900 * 380.0
    around = 297.15
    expected = time_to_reach(vessel.limit, vessel.begins, 0.0, 70.0, around, capacity)
    below_threshold = expected - 3600.0

    assert vessel.basis == "beyond the run"
    # turbines draw on until the vessel is below their threshold, which saves some hours; if they rest,
    # the chillers' metal is still a little warmer than the vessel: some minutes of three days
    assert below_threshold * 0.85 < vessel.after <= 1.005 * expected


def test_shutting_off_cuts_the_flow_and_nothing_else_is_touched(ridge):
    from brinewright.plan.outage import forces
    from brinewright.plan.pipework import Pipework
    from brinewright.plan.section import enclose

    pipes = Pipework(ridge, KETTLE)
    section = enclose(pipes, ["direct"])
    held = replace(ridge, forces=forces(pipes, section, 600.0))
    result = simulate(held, duration=1800.0)
    flow = result["L-104"].flow

    assert abs(flow.last) < 1e-9
    assert result["VE-301"].temperature.last > 400.0
    assert result.outcome.is_done


def test_a_valve_that_sends_liquid_to_a_tank_that_nothing_cools_is_better_held(ridge, ring):
    """With the ring shut off the first decision goes on filling the waiting tank."""
    best = ring.aids[0]
    first = min(one.holds for one in ring.meanwhile if one.holds is not None)

    assert (best.tag, best.position) == ("TV-110", "b")
    assert best.instead_of == first
    assert best.holds is None or best.holds > 1.2 * first
    assert any("Hold TV-110 at b" in step.text for step in ring.steps)


def test_a_consumer_that_stays_cold_is_told_so(ridge):
    lazy = bw.with_value(ridge, KETTLE, "MC-604.heat", "1 kW")
    (fares,) = (one for one in bw.drain(lazy, sections=["direct"]).meanwhile if one.tag == "MC-604")

    assert fares.holds is None
    assert fares.worst < fares.limit
    assert not math.isnan(fares.normally)


# ---- the verb -----------------------------------------------------------------------------


def test_the_json_keeps_to_its_schema(whole, capsys):
    jsonschema.Draft202012Validator(SCHEMA).validate(json.loads(json.dumps(whole.as_dict())))
    code = main(["drain", str(RIDGE), "--section", "ring,supply", "--json"])
    told = json.loads(capsys.readouterr().out)

    jsonschema.Draft202012Validator(SCHEMA).validate(told)
    assert told["section"] == ["ring", "supply"]
    assert code == 0


def test_tanks_that_cannot_take_it_give_exit_code_1(capsys):
    code = main(["drain", str(RIDGE), "--full", "TK-101=95 %", "--full", "TK-102=95 %"])

    assert code == 1
    assert "can NOT be emptied" in capsys.readouterr().out


def test_the_answer_is_written_whole_and_not_over_another(tmp_path, capsys):
    path = tmp_path / "ring.txt"
    arguments = ["drain", str(RIDGE), "--section", "direct", "-o", str(path)]

    assert main(arguments) == 0
    assert path.read_text(encoding="utf-8") == capsys.readouterr().out
    assert main(arguments) == 2
    assert main([*arguments, "--force"]) == 0


def test_a_section_that_does_not_exist_is_told_with_the_nearest(ridge, capsys):
    with pytest.raises(UnknownNameError, match="ring"):
        bw.drain(ridge, sections=["rign"])
    assert main(["drain", str(RIDGE), "--section", "rign"]) == 2
    assert "ring" in capsys.readouterr().err
