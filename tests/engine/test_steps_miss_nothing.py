"""The engine may step over many ticks only where no switch would have changed in them.

Each plant here holds one way in which a reading can change its pace while nothing else
happens; every step is gone over again tick by tick.
"""

import math
from pathlib import Path

import pytest

from brinewright.compile import LONGEST_STEP
from brinewright.files import parse_loop, read_design
from brinewright.files.scenario import scenario, scenarios
from brinewright.model.loop import Drive, Logic
from tests.engine.bench import Bench, March, rules
from tests.engine.steps import audit


def missed(bench: Bench, until: float, changes: int) -> list[str]:
    """Return the misses of a bench in words, once it is sure that steps and changes happened."""
    found = audit(bench.loop(), rules(), until)
    assert found.long_steps > 5, "no long step was made, so nothing could be missed"
    assert found.changes >= changes, "no switch changed, so nothing could be missed"
    return [str(late) for late in found.late]


def pumped(flow: float = 10.0, *, hot: float = 60.0, pipe: float = 20.0, lines: float = 200.0) -> Bench:
    """TK-1 at `hot` feeds TK-2 through lines that stand at `pipe` [degC]."""
    bench = Bench(warm=pipe)
    bench.tank("TK-1", volume=40.0, level=0.9, degc=hot)
    bench.tank("TK-2", volume=2.0, level=0.3, degc=20.0)
    bench.tank("TK-3", volume=40.0, level=0.1, degc=20.0)
    for number in (1, 2):
        bench.part(f"P-{number}", "pump.mover", capacity=flow)
        bench.line(f"L-{number}1", f"TK-{number}.out", f"P-{number}.in", mass=lines)
        bench.line(f"L-{number}2", f"P-{number}.out", f"TK-{number + 1}.in", mass=lines)
    bench.circuit("TK-1")
    return bench


@pytest.mark.parametrize("degc", [20.5, 22.0, 25.7, 41.3])
def test_a_tank_that_a_front_reaches_is_read_in_time(degc):
    bench = pumped()
    bench.switch("TSH-1", "TK-2 temperature", degc)
    assert not missed(bench, 600.0, 1)


@pytest.mark.parametrize("law", ["buffer-tank.ordered", "buffer-tank.mixed"])
def test_a_tank_is_read_in_time_while_it_gives_what_is_not_like_the_rest(law):
    bench = pumped(hot=60.0)
    bench.tank("TK-2", use=law, volume=0.5, level=0.2, degc=20.0, loss_conductance=20.0)
    bench.switch("TSL-1", "TK-2 temperature", 41.0, sense="low", start="made")
    bench.switch("TSH-1", "TK-2 temperature", 57.7)
    assert not missed(bench, 600.0, 2)


@pytest.mark.parametrize("metres", [0.5, 5.0, 9.5])
@pytest.mark.parametrize("degc", [20.3, 26.0])
def test_a_line_behind_a_tank_that_changes_fast_is_read_in_time(metres, degc):
    bench = pumped(lines=60.0)
    bench.switch("TSH-1", f"L-21 at {metres} m", degc)
    assert not missed(bench, 600.0, 1)


@pytest.mark.parametrize("degc", [20.2, 20.45, 20.9])
def test_a_parcel_that_is_warmed_by_what_its_front_has_reached_is_read_in_time(degc):
    # one parcel lies across the place and in a hot machine behind it; then comes what is cold
    bench = pumped(hot=5.0, lines=20.0, flow=1.0)
    bench.lines.pop("L-12")
    bench.part(
        "MC-1", "machine.bench", heat=0.0, heat_capacity=1e6, conductance=222.0, hold_up=60.0,
        start={"temperature": 80.0},
    )  # fmt: skip
    bench.line("L-12", "P-1.out", "MC-1.in", mass=40.0)
    bench.line("L-13", "MC-1.out", "TK-2.in", mass=40.0)
    bench.switch("TSH-1", "L-12 at 10 m", degc)
    assert not missed(bench, 300.0, 1)


@pytest.mark.parametrize("metres", [0.0, 5.0, 10.0])
def test_standing_liquid_that_warms_is_read_in_time(metres):
    bench = pumped(hot=1.0, pipe=1.0)
    bench.part(
        "ZN-1", "room.cell", heat_capacity=2e6, outside_conductance=0.0, gains=0.0, start={"temperature": 9.0}
    )
    bench.lines.pop("L-12")
    bench.line("L-12", "P-1.out", "TK-2.in", mass=40.0, inside="ZN-1", use="pipe-run.bare", conductance=20.0)
    bench.force("P-1.running", [(0.0, 0.0)])
    bench.switch("TSH-1", f"L-12 at {metres} m", 2.0)
    assert not missed(bench, 300.0, 1)


@pytest.mark.parametrize("threshold", [80.02, 80.05, 80.2, 81.0])
def test_a_vessel_whose_chillers_come_on_is_read_in_time(threshold):
    # a cold start: the metal takes its time, and the vessel warms ever faster
    bench = Bench(warm=30.0)
    bench.part("VE-1", "steam-vessel.lump", start={"temperature": 80.0})
    bench.part("CH-1", "chiller.drop", inside="VE-1", count=5)
    bench.part("GR-1", "grid.line")
    bench.part("SB-1", "bus.main")
    bench.tank("TK-1", volume=60.0, level=0.9, degc=30.0)
    bench.tank("TK-2", volume=60.0, level=0.1, degc=21.0)
    bench.part("P-1", "pump.mover", capacity=40.0)
    bench.part("XV-1", "shut-off-valve.gate")
    bench.line("L-1", "TK-1.out", "P-1.in", mass=300.0)
    bench.line("L-2", "P-1.out", "XV-1.in", mass=300.0)
    bench.line("L-3", "XV-1.out", "CH-1.in", mass=300.0)
    bench.line("L-4", "CH-1.out", "TK-2.in", mass=300.0)
    bench.circuit("TK-1")
    bench.force("XV-1.command", [(0.0, 0.0), (600.0, 1.0)])
    bench.switch("TSH-1", "VE-1 temperature", threshold)
    assert not missed(bench, 1200.0, 1)


def chilled(behind: float) -> Bench:
    """A chiller that a switch on the liquid before it stops, and a sensor `behind` [m] it."""
    bench = pumped(hot=30.0, pipe=50.0, lines=300.0)
    bench.part("VE-1", "steam-vessel.lump", start={"temperature": 80.0})
    bench.part("CH-1", "chiller.drop", inside="VE-1", count=2)
    bench.part("GR-1", "grid.line")
    bench.part("SB-1", "bus.main")
    bench.lines.pop("L-12")
    bench.line("L-12", "P-1.out", "CH-1.in", mass=300.0)
    bench.line("L-13", "CH-1.out", "TK-2.in", mass=300.0)
    bench.switch("TSH-1", "L-12 at 5 m", 40.0, "CH-1 run", start="made")
    # 50 degC still stand before the chiller when it stops: 41 degC behind it while it ran, then 50
    bench.switch("TSH-2", f"L-13 at {behind} m", 45.0)
    return bench


@pytest.mark.parametrize("behind", [0.1, 2.0])
def test_a_chiller_that_stops_while_the_flow_stays_shows_behind_it_in_time(behind):
    assert not missed(chilled(behind), 300.0, 2)


@pytest.mark.parametrize("degc", [20.002, 20.05, 20.4])
def test_a_room_whose_schedule_jumps_is_read_in_time(degc):
    bench = Bench()
    bench.schedule("work", "power", [(0.0, 0.0), (903.0, 4e5)], repeats=0.0)
    bench.part(
        "ZN-1", "room.cell", heat_capacity=1e7, outside_conductance=100.0, gains="work",
        start={"temperature": 20.0},
    )  # fmt: skip
    bench.switch("TSH-1", "ZN-1 temperature", degc)
    assert not missed(bench, 1200.0, 1)


def test_a_lagged_reading_on_its_way_through_the_threshold_takes_few_steps():
    # a ramp of 10 mK a second, which a filter of 60 s follows 0.6 K behind: the reading passes
    # the set point after 50 s, the filter half a minute later, and in between nothing is decided
    made = {}
    for longest_step in (1, 11):
        bench = Bench()
        bench.part(
            "ZN-1", "room.cell", heat_capacity=1e6, outside_conductance=0.0, gains=1e4,
            start={"temperature": 20.0},
        )  # fmt: skip
        bench.switch("TSH-1", "ZN-1 temperature", 20.5, lag=60.0)
        march = March(bench, longest_step)
        (signal,) = march.follow([("TSH-1", "signal")], 130.0, every=1.0 if longest_step == 1 else 130.0)
        made[longest_step] = march.simulation.integral[march.plant.place("TSH-1", "signal")]
        assert signal[-1] == 1.0
        if longest_step == 11:
            assert march.simulation.counters[2] < 30
    # sampled each second: f += (r - f) (1 - d), so 0.01 (n - (1 - d^n) d / (1 - d)) after n ticks
    d = math.exp(-1.0 / 60.0)
    due = next(n for n in range(200) if 0.01 * (n - (1.0 - d**n) * d / (1.0 - d)) > 0.5)
    assert 80 < due < 120
    # a signal counts from the tick on that decided it
    assert made[1] == made[11] == 131.0 - due


@pytest.mark.parametrize("degc", [20.02, 20.6])
@pytest.mark.parametrize("lag", [3.0, 30.0])
def test_a_lagged_reading_that_turns_is_read_in_time(lag, degc):
    bench = Bench()
    points = [(0.0, 0.0), (903.0, 4e5), (960.0, -4e5), (1030.0, 0.0)]
    bench.schedule("work", "power", points, repeats=0.0)
    bench.part(
        "ZN-1", "room.cell", heat_capacity=1e7, outside_conductance=100.0, gains="work",
        start={"temperature": 20.0},
    )  # fmt: skip
    bench.switch("TSH-1", "ZN-1 temperature", degc, lag=lag, differential=0.01)
    assert not missed(bench, 1500.0, 2)


@pytest.mark.parametrize("degc", [19.95, 19.6, 18.0])
def test_a_room_whose_coil_a_cold_front_reaches_is_read_in_time(degc):
    bench = pumped(hot=4.0, pipe=20.0)
    bench.part(
        "ZN-1", "room.cell", heat_capacity=3e5, outside_conductance=0.0, gains=0.0, coil_conductance=30e3,
        start={"temperature": 20.0},
    )  # fmt: skip
    bench.lines.pop("L-12")
    bench.line("L-12", "P-1.out", "ZN-1.in", mass=200.0)
    bench.line("L-13", "ZN-1.out", "TK-2.in", mass=200.0)
    bench.switch("TSL-1", "ZN-1 temperature", degc, sense="low")
    assert not missed(bench, 300.0, 1)


def test_a_slug_that_is_mixed_into_the_parcel_that_is_read_is_read_in_time():
    # the sensor lies 1 kg behind where its stretch begins, in the parcel that came last and still grows
    text = (Path(__file__).parent / "ring_behind_a_chiller.loop.toml").read_text("utf-8")
    found = audit(parse_loop(text, rules()), rules(), 600.0)
    assert found.long_steps > 5
    assert found.changes > 1
    assert [str(late) for late in found.late] == []


def test_a_machine_in_a_room_that_begins_to_work_shows_in_the_room_in_time():
    # the room's own rate is zero when the machine starts, and grows as the machine warms
    bench = Bench()
    bench.schedule("work", "power", [(0.0, 0.0), (907.0, 6e4)], repeats=0.0)
    bench.part(
        "ZN-1",
        "room.cell",
        heat_capacity=2e6,
        outside_conductance=0.0,
        gains=0.0,
        start={"temperature": 20.0},
    )
    bench.part(
        "MC-1", "machine.bench", heat="work", heat_capacity=4e5, outside_conductance=4000.0, inside="ZN-1",
        start={"temperature": 20.0},
    )  # fmt: skip
    bench.switch("TSH-1", "ZN-1 temperature", 20.02)
    assert not missed(bench, 1200.0, 1)


def test_a_level_is_read_in_time_after_a_valve_opened():
    bench = pumped()
    bench.force("P-2.running", [(0.0, 0.0)])
    bench.force("P-1.running", [(0.0, 0.0), (305.0, 1.0)])
    bench.switch("LSH-1", "TK-2 level", 0.3127 - 273.15, quantity="ratio")
    assert not missed(bench, 600.0, 1)


def test_a_feeder_that_is_overloaded_opens_after_its_own_time():
    bench = pumped()
    bench.parts.pop("P-1")
    bench.part("P-1", "pump.mover", capacity=10.0, power=9e3, feeder="FD-1")
    bench.part("FD-1", "feeder.plain", limit=8e3, opens_after=17.0)
    bench.part("GR-1", "grid.line")
    bench.part("SB-1", "bus.main")
    opened = []
    for longest_step in (1, 11):
        march = March(bench, longest_step)
        (closed,) = march.follow([("FD-1", "closed")], 100.0, every=1.0 if longest_step == 1 else 50.0)
        march = March(bench, longest_step).to(400.0)
        opened.append(march("TK-1", "mass"))
    assert opened[0] == pytest.approx(opened[1], abs=1e-6)
    assert closed[-1] == 0.0


def test_a_timer_starts_when_its_input_is_made():
    done = []
    for longest_step in (1, 11):
        bench = pumped()
        bench.switch("TSH-1", "TK-2 temperature", 30.0)
        stops = (Drive(target="P-2", made="stop"),)
        bench.logic.append(Logic(tag="LT-1", does="timer", inputs=("TSH-1",), on_delay=40.0, drives=stops))
        # the mass that has left TK-2 says when its pump stopped
        done.append(March(bench, longest_step).to(600.0)("TK-3", "mass"))
    assert done[0] == pytest.approx(done[1], abs=1e-6)


def test_a_forced_signal_acts_at_its_time():
    done = []
    for longest_step in (1, 11):
        bench = pumped()
        bench.switch("TSH-1", "TK-2 temperature", 90.0, "P-2 stop")
        bench.force("TSH-1", [(0.0, 0.0), (217.0, 1.0), (301.0, 0.0)])
        done.append(March(bench, longest_step).to(600.0)("TK-3", "mass"))
    assert done[0] == pytest.approx(done[1], abs=1e-6)


@pytest.mark.parametrize("longest", [11, LONGEST_STEP])
@pytest.mark.parametrize("name", sorted(scenarios()))
def test_an_hour_of_a_shipped_plant_misses_nothing(name, longest):
    found = audit(*read_design(scenario(name)), 3600.0, longest)
    assert [str(late) for late in found.late] == []


@pytest.mark.slow
@pytest.mark.parametrize("longest", [11, LONGEST_STEP])
@pytest.mark.parametrize("name", sorted(scenarios()))
def test_a_day_of_a_shipped_plant_misses_nothing(name, longest):
    found = audit(*read_design(scenario(name)), 86400.0, longest)
    assert [str(late) for late in found.late] == []
