"""A result is read by name, in any unit that fits, and tells what is near when a name is wrong."""

import pickle

import numpy as np
import pytest

from brinewright.errors import UnknownNameError
from brinewright.results import DONE, INTERRUPTED, Statistics, stopped
from tests.results.synthetic import synthetic_result


@pytest.fixture(scope="module")
def result():
    return synthetic_result()


def test_a_quantity_is_read_as_an_attribute_or_by_its_name(result):
    assert np.array_equal(result["CH-201"].metal_temperature, result["CH-201"]["metal temperature"])
    assert result["TK-101"].temperature.key == "TK-101.temperature"


def test_an_unknown_part_names_the_nearest(result):
    with pytest.raises(UnknownNameError, match=r'no part with recorded channels "TK-11"\. Nearest: TK-101'):
        result["TK-11"]


def test_an_unknown_quantity_names_the_nearest(result):
    with pytest.raises(
        UnknownNameError, match=r'no quantity recorded for TK-101 "temprature"\. .*temperature'
    ):
        result["TK-101"].temprature  # noqa: B018


def test_asking_whether_a_quantity_is_there_does_not_fail(result):
    part = result["TK-101"]

    assert hasattr(part, "level")
    assert not hasattr(part, "pressure")
    assert "level" in part
    assert "metal_temperature" in dir(result["CH-201"])


def test_the_parts_of_a_result_can_be_listed_and_tested(result):
    assert list(result)[:2] == ["TK-101", "L-104"]
    assert "VE-301" in result
    assert "VE-999" not in result


# Fixed points of the SI brochure, 9th edition, 2.3.1 (degree Celsius) and table 8 (bar).
@pytest.mark.parametrize(
    ("tag", "quantity", "unit", "si", "shown"),
    [
        ("TK-101", "temperature", "degC", 273.15, 0.0),
        ("VE-301", "pressure", "bar abs", 1e5, 1.0),
        ("CH-201", "cooling", "kW", 1e3, 1.0),
        ("BT-602", "energy", "kWh", 3.6e6, 1.0),
        ("L-104", "flow", "kg/h", 1.0, 3600.0),
        ("TK-101", "level", "%", 0.5, 50.0),
    ],
)
def test_a_series_converts_its_samples_and_its_numbers(result, tag, quantity, unit, si, shown):
    series = result[tag][quantity]
    converted = series.to(unit)
    scale = (converted.max - converted.min) / (series.max - series.min)
    size = abs(series.max * scale)

    assert converted.unit == unit
    # The numbers are float64 and differ by rounding; the samples are float32, good to one part in 2**23.
    assert converted.max == pytest.approx(shown + (series.max - si) * scale, abs=1e-12 * size)
    assert converted.last == pytest.approx(converted.values[-1], abs=2**-23 * size)


def test_a_series_keeps_its_own_unit_when_asked_for_it(result):
    series = result["TK-101"].temperature

    assert series.to("K") is series


def test_a_unit_of_another_dimension_is_refused(result):
    with pytest.raises(UnknownNameError, match=r'no unit for TK-101\.temperature \[K\] "bar abs"'):
        result["TK-101"].temperature.to("bar abs")


def test_a_gauge_pressure_is_refused_because_it_depends_on_the_site(result):
    with pytest.raises(UnknownNameError):
        result["VE-301"].pressure.to("bar gauge")


def test_a_difference_of_temperatures_has_no_degrees_celsius():
    from brinewright.results.series import units_for

    assert "degC" in units_for("K", "temperature")
    assert "degC" not in units_for("K", "temperature difference")
    assert "bar" in units_for("Pa", "pressure loss")
    assert "bar abs" not in units_for("Pa", "pressure loss")


def test_statistics_come_from_every_tick_and_not_from_the_samples(result):
    fine = Statistics.from_samples(result.values.astype(float) * 2)
    doubled = synthetic_result()
    object.__setattr__(doubled, "statistics", fine)

    assert doubled["TK-101"].temperature.max == pytest.approx(2 * result["TK-101"].temperature.values.max())


def test_pandas_gets_names_times_and_units(result):
    table = result.to_pandas()

    assert table.index.name == "time_s"
    assert table["TK-101.temperature"].iloc[0] == pytest.approx(293.15)
    assert table.attrs["units"]["VE-301.pressure"] == "Pa"
    assert result["VE-301"].pressure.to_pandas().attrs["unit"] == "Pa"


def test_xarray_gets_names_times_and_units(result):
    dataset = result.to_xarray()

    assert dataset["CH-201.cooling"].attrs == {"units": "W", "tag": "CH-201", "quantity": "cooling"}
    assert dataset["CH-201.cooling"].dims == ("time_s",)
    assert float(dataset["time_s"][-1]) == 86400.0
    assert dataset.attrs["outcome"] == "done"


def test_a_missing_library_is_named_with_the_line_that_installs_it(result, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "xarray", None)

    with pytest.raises(RuntimeError, match=r"pip install 'brinewright\[notebook\]'"):
        result.to_xarray()


def test_outcomes_say_whether_the_run_is_done():
    assert DONE.is_done
    assert not INTERRUPTED.is_done
    assert INTERRUPTED.advice
    assert stopped("VE-301 ran dry").name == "stopped: VE-301 ran dry"


def test_a_part_survives_pickling(result):
    part = pickle.loads(pickle.dumps(result["TK-101"]))

    assert part.level.last == result["TK-101"].level.last
