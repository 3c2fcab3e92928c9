"""What people say and write down becomes observations on channels, or is answered with the nearest."""

import numpy as np
import pytest

import brinewright as bw
from brinewright.errors import InputError, UnknownNameError
from brinewright.plan.diagnose import known_channels, library_of
from brinewright.plan.next_look import information
from brinewright.plan.readings import Reading, parse_reading, read_table
from brinewright.plan.record import feature_of
from brinewright.plan.symptom import STATES, WHOLE, Vocabulary


@pytest.fixture(scope="module")
def library():
    return library_of(bw.read_loop(bw.scenario("kettle-ridge")), bw.read_rulebook("kettle"))


@pytest.fixture(scope="module")
def known(library):
    return known_channels(library)


@pytest.fixture(scope="module")
def words(library):
    return Vocabulary(library.loop, library.views, library.keys)


def test_supply_and_chillers_are_found_through_the_loop(words):
    supply, chillers = words.claims("Supply warm, chillers idle")

    assert supply.keys == ("L-133.outlet temperature",)
    assert chillers.keys == ("CH-201.running",)


@pytest.mark.parametrize(
    ("said", "keys"),
    [
        ("the return is too hot", ("L-141.inlet temperature",)),
        ("vessel creeping up", ("VE-301.temperature",)),
        ("battery empty", ("BT-901.charge",)),
        ("TK-102 full", ("TK-102.level",)),
        ("low TK-103", ("TK-103.level",)),
        ("valves clicking fast", ("TSH-110.changes", "TSH-120.changes")),
        ("TV-120 chattering", ("TSH-120.changes",)),
        ("nothing moves while the pump runs", ("L-133.flow",)),
        ("steam fine no power", ("ST-401.generated",)),
        ("casing hot", ("ST-401.metal temperature",)),
        ("a room is too warm", ("ZN-601.temperature", "ZN-602.temperature")),
    ],
)
def test_what_can_be_said(words, said, keys):
    (claim,) = words.claims(said)

    assert claim.keys == keys


@pytest.mark.parametrize(
    ("said", "near"),
    [
        ("suply warm", "Nearest: supply"),
        ("supply wram", "warm"),
        ("supply", "See --symptom help"),
        ("  ,; ", "Write for example"),
        ("TV-120 empty", "shows nothing by which"),
    ],
)
def test_what_is_not_known_is_answered_with_the_nearest(words, said, near):
    with pytest.raises(InputError, match=near):
        words.claims(said)


def test_help_lists_every_state_and_sentence(words):
    told = words.help()

    assert all(said in told for state in STATES for said in state.said)
    assert all(sentence in told for sentence in WHOLE)


def test_a_reading_with_its_uncertainty_and_moment(known):
    reading = parse_reading("TK-101.temperature=31 degC +- 0.5 K @ 14:30 +- 10 min", known)

    assert (reading.key, reading.value, reading.noise) == ("TK-101.temperature", 304.15, 0.5)
    assert (reading.clock, reading.clock_noise) == (52200.0, 600.0)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("TSH-120.signal=made", 1.0),
        ("TV-120.position=b", 0.0),
        ("TV-120.position=30 %", 0.3),
        ("L-133.outlet_temperature=64.4 degF", 291.15),
        ("P-101.running=off", 0.0),
        ("CH-201.flow=0 kg/s", 0.0),
        ("BT-901.charge=0.4", 0.4),
    ],
)
def test_values_as_people_write_them(known, text, value):
    assert parse_reading(text, known).value == pytest.approx(value)


def test_a_reading_that_cannot_be_is_refused_with_what_to_write(known):
    with pytest.raises(UnknownNameError, match=r"TK-101\.temperature"):
        parse_reading("TK-101.temperatur=31 degC", known)
    with pytest.raises(InputError, match="Accepted units"):
        parse_reading("TK-101.temperature=31 kg", known)
    with pytest.raises(InputError, match="Write TAG"):
        parse_reading("TK-101", known)
    with pytest.raises(InputError, match="14:30"):
        parse_reading("TK-101.temperature=31 degC @ noon", known)


def test_a_table_with_few_rows_is_readings_and_one_with_many_a_series(known, tmp_path):
    path = tmp_path / "seen.csv"
    path.write_text(
        "time,TK-101.temperature [degC],TSH-120.signal\n23:50,31,made\n00:10,32,\n", encoding="utf-8"
    )
    readings, series = read_table(path, known)

    assert series == []
    assert [one.key for one in readings] == ["TK-101.temperature", "TK-101.temperature", "TSH-120.signal"]
    assert [one.value for one in readings] == pytest.approx([304.15, 305.15, 1.0])
    assert [one.clock for one in readings] == pytest.approx([-600.0, 600.0, -600.0])
    rows = "".join(f"{minute},{20 + minute}\n" for minute in range(20))
    path.write_text(f"time [min],TK-101.temperature [degC]\n{rows}", encoding="utf-8")
    readings, (record,) = read_table(path, known)

    assert readings == []
    assert record.clock[-1] == 19 * 60.0
    assert record.values[-1] == pytest.approx(273.15 + 39.0)


def test_a_table_as_a_run_keeps_it_is_read_back(known, tmp_path):
    import pyarrow as pa
    import pyarrow.parquet as pq

    schema = pa.schema(
        [
            pa.field("time [s]", pa.float64()),
            pa.field("VE-301.temperature", pa.float64(), metadata={b"unit": b"K"}),
        ]
    )
    table = pa.table(
        {"time [s]": [60.0 * k for k in range(9)], "VE-301.temperature": [410.0 + k for k in range(9)]},
        schema,
    )
    path = tmp_path / "series.parquet"
    pq.write_table(table, path)
    _, (record,) = read_table(path, known)

    assert record.key == "VE-301.temperature"
    assert record.values.tolist() == [410.0 + k for k in range(9)]


@pytest.mark.parametrize(
    "text", ["", "time\n", "time,TK-101.temperature [degC]\n1,2,3\n", "when,NO.such\n10:00,2\n"]
)
def test_a_table_that_is_none_is_refused(known, tmp_path, text):
    path = tmp_path / "seen.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=r"seen\.csv"):
        read_table(path, known)


def test_turns_are_counted_by_the_hour():
    times = np.arange(0.0, 7201.0, 60.0)
    values = np.sign(np.sin(2.0 * np.pi * (times + 1.0) / 1200.0))  # a period of 20 min turns 6 times an hour

    assert feature_of("turns", times, values) == pytest.approx(6.0, abs=0.5)


def test_information_of_a_look_lies_between_nothing_and_the_doubt_there_is():
    rng = np.random.default_rng(5)
    same = rng.normal(size=(1, 200)).repeat(3, axis=0)
    apart = same + np.array([[0.0], [50.0], [100.0]])
    weights = np.array([0.5, 0.25, 0.25])

    # Closed form: what can be learned is at most the entropy of the weights, 1.5 bit here.
    assert information(same, weights, 0.3) == pytest.approx(0.0, abs=1e-9)
    assert information(apart, weights, 0.3) == pytest.approx(1.5, abs=1e-3)


def test_a_reading_made_in_python_needs_no_text():
    assert Reading(key="TK-101.level", value=0.5).clock is None
