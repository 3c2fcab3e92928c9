"""What a static check says of a loop, a run of that loop shows as well.

The runs know nothing of the flow graph: they move parcels, tick by tick.
"""

from dataclasses import replace

import numpy as np
import pytest

from brinewright.model.loop import Force
from brinewright.run import simulate
from tests.checks.seeded import SCENARIOS, design, field, report_of, start
from tests.checks.sound_loops import SOUND

RIDGE = SOUND["ridge"]
ZERO = 273.15


def ran(text, hours, *forces):
    loop, rules = design(text)
    return simulate(
        replace(loop, forces=forces), rules, duration=hours * 3600.0, interval=1.0, folder=SCENARIOS
    )


def made(text, *changes):
    for change in changes:
        text = change(text)
    return text


@pytest.mark.parametrize(
    ("recirculation", "fresh"), [(1, 2), (2, 1), (0, 1), (1, 0), (1, 1), (0, 0), (2, 2), (3, 2)]
)
def test_a_ring_locks_in_the_run_just_where_the_search_for_deadlocks_says_so(recirculation, fresh):
    text = made(RIDGE, field("L-109", "rank", str(recirculation)), field("L-106", "rank", str(fresh)))
    said = [bool(report_of(text, code).findings) for code in ("BW-F93", "BW-F96")]
    result = ran(text, 0.5)
    locks = any(event.code == "standing" for event in result.events)

    assert said == [locks, locks]
    assert (result["CH-201"]["flow"].mean == 0.0) == locks


def test_a_ring_whose_valve_falls_back_freezes_when_its_feeder_is_lost():
    """Its chillers hang on another feeder and run on; with the shipped fall it stands and keeps."""
    lost = Force(target="TX-901", value=0.0, start=600.0)
    falls_back = ran(field("TV-120", "fail_position", '"a"')(RIDGE), 1.0, lost)
    as_shipped = ran(RIDGE, 1.0, lost)

    assert [event.tag for event in falls_back.events if event.code == "freezing"] == ["CH-201"]
    assert "freezing" not in {event.code for event in as_shipped.events}


def test_a_ring_whose_switch_is_turned_round_freezes():
    text = field("TSH-120", "sense", '"low"')(RIDGE)

    assert report_of(text, "BW-F17").findings
    assert "freezing" in {event.code for event in ran(text, 2.0).events}


def test_a_first_switch_turned_round_lets_the_return_tank_run_away():
    text = field("TSH-110", "drives", '[{ valve = "TV-110", made = "b" }]')(RIDGE)

    assert report_of(text, "BW-F17").findings
    assert ran(text, 6.0)["TK-101"]["temperature"].last > ran(RIDGE, 6.0)["TK-101"]["temperature"].max + 5.0


def test_a_sensor_behind_its_own_valve_never_changes_again():
    """It reads the direct line, which stands while the switch is made."""
    text = field("TSH-110", "senses", '"L-104 at 2 m"')(RIDGE)
    cool = start("TK-101", 'level = 0.45, temperature = "12 degC"')
    result = ran(made(text, cool), 0.3)

    assert report_of(text, "BW-F22").findings
    assert np.asarray(result["L-104"]["flow"].values).max() == 0.0
    assert result["TSH-110"]["changes"].last == 0.0
    assert ran(cool(RIDGE), 0.3)["TSH-110"]["changes"].last > 0.0


def test_a_pair_of_valves_both_shut_stops_the_pump():
    text = SOUND["two valves"].replace('"TV-110B", made = "shut"', '"TV-110B", made = "open"')
    cool = start("TK-101", 'level = 0.45, temperature = "12 degC"')
    result = ran(cool(text), 0.2)

    assert report_of(text, "BW-F24").findings
    assert np.asarray(result["P-101"]["flow"].values)[200:].max() == 0.0


def test_the_coldest_outlet_of_a_cool_waiting_tank_is_one_drop_below_it():
    text = start("TK-102", 'level = 0.6, temperature = "-14 degC"')(RIDGE)
    finding = report_of(text, "BW-F16c").findings[0]
    # so that nothing warm comes into the tank meanwhile
    alone = field("P-101", "capacity", '"0.01 kg/s"')(text)
    coldest = ran(alone, 0.2)["CH-201"]["outlet temperature"].min

    # its pump and the pipes warm it by a little on the way
    assert coldest == pytest.approx(finding.measure.value, abs=0.1)


def test_serial_decisions_apart_chill_to_one_drop_below_the_lower_one():
    """Common practice, no source; closed form: min(T1, T2) - D, here 15 - 9 degC, at a small load."""
    text = made(
        RIDGE,
        field("TSH-110", "set", '"15 degC"'),
        start("TK-101", 'level = 0.9, temperature = "16.5 degC"'),
        start("TK-102", 'level = 0.05, temperature = "24.5 degC"'),
    )
    finding = report_of(text, "BW-F16b").findings[0]
    said = {number.symbol: number.value for number in finding.measure.numbers}
    coldest = ran(text, 0.5)["CH-201"]["outlet temperature"].min

    assert said["T_coldest"] - ZERO == pytest.approx(6.0)
    assert said["T_coldest"] < coldest < 18.0 + ZERO - 9.0
