"""Weather files are read as the reference library reads them, and refused in words."""

import warnings
from pathlib import Path

import numpy as np
import pytest

from brinewright.errors import InputError, UnknownNameError
from brinewright.files.weather import Moment, Weather, read_weather, shipped_weather
from brinewright.files.weather_rules import (
    dew_point_of,
    saturation_pressure,
    sky_emissivity,
    standard_pressure,
)
from tools.make_weather import make_weather

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    pvlib = pytest.importorskip("pvlib")

TMY_FILES = sorted((Path(pvlib.__file__).parent / "data").glob("7*T*.[cC][sS][vV]"))
DEEPSTEAD = shipped_weather()
HEADER = 8  # lines before the first hour of an EPW file


@pytest.fixture(scope="module")
def deepstead() -> Weather:
    return read_weather(DEEPSTEAD)


@pytest.fixture(scope="module")
def lines() -> list[str]:
    return DEEPSTEAD.read_text(encoding="utf-8").splitlines()


def changed(lines: list[str], line: int, field: int, text: str) -> list[str]:
    """The lines with one field (from 0) of one line (from 1) replaced."""
    fields = lines[line - 1].split(",")
    fields[field] = text
    return [*lines[: line - 1], ",".join(fields), *lines[line:]]


def read_lines(folder: Path, lines: list[str], end: str = "\n") -> Weather:
    path = folder / "some.epw"
    path.write_bytes((end.join(lines) + end).encode("utf-8"))
    return read_weather(path)


def problems_of(folder: Path, lines: list[str]):
    with pytest.raises(InputError) as caught:
        read_lines(folder, lines)
    return caught.value.problems


# Against a general reference library: pvlib (BSD-3) and the TMY3 files of its package data.


@pytest.mark.parametrize("path", TMY_FILES, ids=lambda path: path.stem)
def test_tmy3_files_are_read_as_pvlib_reads_them(path):
    data, place = pvlib.iotools.read_tmy3(str(path), coerce_year=1990, map_variables=True)
    weather = read_weather(path)

    # The numbers are the same text turned into floats; 1e-9 allows for the change of unit.
    np.testing.assert_allclose(weather.temperature, data["temp_air"] + 273.15, atol=1e-9)
    np.testing.assert_allclose(weather.dew_point, data["temp_dew"] + 273.15, atol=1e-9)
    np.testing.assert_allclose(weather.humidity, data["relative_humidity"] / 100, atol=1e-9)
    np.testing.assert_allclose(weather.pressure, data["pressure"] * 100, atol=1e-6)
    np.testing.assert_array_equal(weather.global_irradiance, data["ghi"])
    np.testing.assert_array_equal(weather.direct_irradiance, data["dni"])
    np.testing.assert_array_equal(weather.diffuse_irradiance, data["dhi"])
    np.testing.assert_array_equal(weather.wind_speed, data["wind_speed"])
    assert (place["latitude"], place["longitude"]) == (weather.latitude, weather.longitude)
    assert (place["TZ"], place["altitude"]) == (weather.utc_offset, weather.elevation)
    assert weather.name == place["Name"].strip('"')
    assert weather.sky_is_estimated


def test_there_are_tmy3_files_to_compare_with():
    assert len(TMY_FILES) == 2


def test_the_epw_file_is_read_as_pvlib_reads_it(deepstead):
    data, place = pvlib.iotools.read_epw(str(DEEPSTEAD))

    np.testing.assert_allclose(deepstead.temperature, data["temp_air"] + 273.15, atol=1e-9)
    np.testing.assert_allclose(deepstead.dew_point, data["temp_dew"] + 273.15, atol=1e-9)
    np.testing.assert_allclose(deepstead.humidity, data["relative_humidity"] / 100, atol=1e-9)
    np.testing.assert_array_equal(deepstead.pressure, data["atmospheric_pressure"])
    np.testing.assert_array_equal(deepstead.global_irradiance, data["ghi"])
    np.testing.assert_array_equal(deepstead.direct_irradiance, data["dni"])
    np.testing.assert_array_equal(deepstead.diffuse_irradiance, data["dhi"])
    np.testing.assert_array_equal(deepstead.wind_speed, data["wind_speed"])
    longwave = 5.670374419e-8 * deepstead.sky_temperature**4
    np.testing.assert_allclose(longwave, data["ghi_infrared"], rtol=1e-12)
    assert (place["latitude"], place["TZ"]) == (deepstead.latitude, deepstead.utc_offset)
    assert (place["city"], place["altitude"]) == (deepstead.name, deepstead.elevation)


def test_dew_point_and_humidity_agree_with_pvlib_s_rule_of_the_wmo_guide():
    celsius = np.array([-30.0, -5.0, 0.0, 12.0, 35.0])
    humidity = np.array([0.8, 0.35, 1.0, 0.6, 0.15])
    expected = pvlib.atmosphere.tdew_from_rh(celsius, humidity * 100)
    dew_point = dew_point_of(celsius + 273.15, humidity)

    # Both use the coefficients of WMO-No. 8; the leading pressure cancels.
    np.testing.assert_allclose(dew_point - 273.15, expected, atol=1e-9)
    ratio = saturation_pressure(dew_point) / saturation_pressure(celsius + 273.15)
    np.testing.assert_allclose(ratio, humidity, rtol=1e-9)


def test_the_standard_atmosphere_agrees_with_pvlib():
    for elevation in (-100.0, 0.0, 310.0, 2500.0, 5000.0):
        # pvlib rounds the constants of ISO 2533 to five digits.
        assert standard_pressure(elevation) == pytest.approx(pvlib.atmosphere.alt2pres(elevation), rel=2e-5)


def test_water_s_vapour_pressure_matches_the_steam_tables():
    """IAPWS-95 at 0.01, 20 and 40 degC: 611.657, 2339.3, 7384.9 Pa (from memory)."""
    celsius = np.array([0.01, 20.0, 40.0])

    # The rule of the WMO guide is good to 0.3 % in this range.
    np.testing.assert_allclose(saturation_pressure(celsius + 273.15), [611.657, 2339.3, 7384.9], rtol=3e-3)


def test_a_clear_sky_at_the_dew_point_of_the_formula_has_its_leading_term():
    """Clark and Allen (1978): at a dew point of 273 K the logarithm vanishes."""
    emissivity = sky_emissivity(np.array([273.0, 273.0]), np.array([0.0, 10.0]))

    # Walton's cloud term at ten tenths: 1 + 0.224 - 0.35 + 0.28 = 1.154.
    np.testing.assert_allclose(emissivity, [0.787, 0.787 * 1.154], rtol=1e-12)


# Interpolation


def test_a_temperature_holds_at_its_time_stamp_and_is_straight_between(deepstead):
    first, second = deepstead.temperature[:2]

    assert deepstead.at(3600.0).temperature == first
    assert deepstead.at(5400.0).temperature == pytest.approx((first + second) / 2, abs=1e-9)


def test_an_irradiance_holds_in_the_middle_of_its_hour(deepstead):
    hour = int(np.argmax(deepstead.global_irradiance))

    assert deepstead.at(3600.0 * (hour + 0.5)).global_irradiance == deepstead.global_irradiance[hour]


def test_the_year_repeats_without_end(deepstead):
    year = 3600.0 * deepstead.hours

    assert deepstead.at(1000.0) == pytest.approx(deepstead.at(1000.0 + 3 * year), rel=1e-9)
    assert deepstead.at(-1800.0) == pytest.approx(deepstead.at(year - 1800.0), rel=1e-9)
    start = (deepstead.temperature[-1] + deepstead.temperature[0]) / 2
    assert deepstead.at(1800.0).temperature == pytest.approx(start, abs=1e-9)


def test_interpolation_keeps_the_sum_of_the_sun_over_a_year(deepstead):
    quarters = np.arange(4 * deepstead.hours) * 900.0 + 450.0
    mean = np.mean([deepstead.at(seconds).global_irradiance for seconds in quarters])

    assert mean == pytest.approx(deepstead.global_irradiance.mean(), rel=1e-9)


def test_a_weather_can_not_be_changed(deepstead):
    with pytest.raises(ValueError, match="read-only"):
        deepstead.temperature[0] = 0.0
    with pytest.raises(AttributeError):
        deepstead.name = "other"


def test_weathers_are_compared_by_value(deepstead, lines, tmp_path):
    assert deepstead == read_weather(DEEPSTEAD)
    assert deepstead != read_lines(tmp_path, changed(lines, 100, 6, "1.5"))
    assert deepstead != "weather"


# The forms and their gaps


def test_windows_line_ends_byte_order_mark_and_old_letters_are_read(deepstead, lines, tmp_path):
    assert deepstead == read_lines(tmp_path, lines, "\r\n")
    (tmp_path / "mark.epw").write_bytes(b"\xef\xbb\xbf" + DEEPSTEAD.read_bytes())
    assert deepstead == read_weather(tmp_path / "mark.epw")
    (tmp_path / "old.epw").write_bytes(DEEPSTEAD.read_bytes().replace(b"Deepstead", b"D\xf6pstead", 1))
    assert read_weather(tmp_path / "old.epw").name == "Döpstead"


def test_a_leap_year_has_a_29th_of_february(lines, tmp_path):
    day = [line for line in lines if line.startswith("2001,2,28,")]
    index = lines.index(day[-1]) + 1
    leap = [line.replace("2001,2,28,", "2001,2,29,") for line in day]

    assert read_lines(tmp_path, [*lines[:index], *leap, *lines[index:]]).hours == 8784


def test_short_gaps_are_bridged_and_counted(deepstead, lines, tmp_path):
    for line in (100, 101, 102):
        lines = changed(lines, line, 6, "99.9")
    weather = read_lines(tmp_path, lines)
    before, after = deepstead.temperature[[100 - HEADER - 2, 103 - HEADER - 1]]

    assert weather.bridged == {"temperature": 3}
    assert weather.temperature[101 - HEADER - 1] == pytest.approx((before + after) / 2, abs=1e-9)


def test_a_gap_across_new_year_is_bridged(deepstead, lines, tmp_path):
    for line in (HEADER + 1, HEADER + 2, HEADER + 8760):
        lines = changed(lines, line, 9, "999999")
    weather = read_lines(tmp_path, lines)
    ends = deepstead.pressure[[-2, 2]]

    assert weather.bridged == {"pressure": 3}
    assert weather.pressure[0] == pytest.approx(ends.mean(), abs=1e-6)


def test_a_long_gap_is_refused_where_it_begins(lines, tmp_path):
    for line in range(200, 207):
        lines = changed(lines, line, 6, "99.9")
    (problem,) = problems_of(tmp_path, lines)

    assert (200, "some.epw") == (problem.line, problem.file)
    assert "7 hours" in problem.message


def emptied(lines: list[str], *columns: tuple[int, str]) -> list[str]:
    """The lines with whole columns marked as missing."""
    rows = [line.split(",") for line in lines[HEADER:]]
    for row in rows:
        for field, code in columns:
            row[field] = code
    return [*lines[:HEADER], *(",".join(row) for row in rows)]


def test_what_a_file_leaves_out_is_made_from_the_rest(deepstead, lines, tmp_path):
    weather = read_lines(tmp_path, emptied(lines, (7, "99.9"), (9, "999999"), (12, "9999")))

    # Humidity is stored in whole percent: at 60 % that is 0.1 K of the dew point.
    np.testing.assert_allclose(weather.dew_point, deepstead.dew_point, atol=0.15)
    assert weather.pressure[0] == standard_pressure(310.0)
    assert weather.sky_is_estimated
    # The stored longwave comes from the same rule, rounded to 1 W/m2 (0.3 K).
    np.testing.assert_allclose(weather.sky_temperature, deepstead.sky_temperature, atol=0.7)


def test_humidity_comes_from_the_dew_point(deepstead, lines, tmp_path):
    weather = read_lines(tmp_path, emptied(lines, (8, "999")))

    np.testing.assert_allclose(weather.humidity, deepstead.humidity, atol=0.0051)


def test_a_sky_of_unknown_cover_counts_as_overcast(lines, tmp_path):
    weather = read_lines(tmp_path, emptied(lines, (12, "9999"), (23, "99")))
    emissivity = np.minimum(sky_emissivity(weather.dew_point, np.array([10.0])), 1.0)

    np.testing.assert_allclose(weather.sky_temperature, emissivity**0.25 * weather.temperature, rtol=1e-12)


def test_what_can_not_be_made_up_is_refused(lines, tmp_path):
    (problem,) = problems_of(tmp_path, emptied(lines, (21, "999")))
    assert (HEADER + 1, True) == (problem.line, "wind speed" in problem.message)
    (problem,) = problems_of(tmp_path, emptied(lines, (7, "99.9"), (8, "999")))
    assert "relative humidity" in problem.message


# Broken files


def test_a_truncated_file_says_how_many_hours_it_has(lines, tmp_path):
    (problem,) = problems_of(tmp_path, lines[:5000])

    assert 5000 == problem.line
    assert f"{5000 - HEADER} hours" in problem.message


def test_a_row_cut_in_the_middle_is_placed_at_its_end(lines, tmp_path):
    cut = ",".join(lines[4999].split(",")[:20])
    (problem,) = problems_of(tmp_path, [*lines[:4999], cut])

    assert (5000, len(cut) + 1) == (problem.line, problem.column)
    assert "20 fields" in problem.message


@pytest.mark.parametrize(
    ("field", "text", "label"),
    [
        (6, "warm", "dry-bulb"),
        (6, "", "dry-bulb"),
        (6, "nan", "dry-bulb"),
        (7, "inf", "dew point"),
        (6, "-120.0", "dry-bulb"),
        (6, "85", "dry-bulb"),
        (6, "1_0", "dry-bulb"),
        (8, "140", "humidity"),
        (9, "1013", "pressure"),
        (13, "-5", "global"),
        (14, "5000", "direct"),
        (21, "120", "wind"),
        (12, "0", "longwave"),
    ],
)
def test_a_bad_field_is_told_with_line_column_and_what_is_expected(lines, tmp_path, field, text, label):
    (problem,) = problems_of(tmp_path, changed(lines, 4321, field, text))
    column = sum(len(entry) + 1 for entry in lines[4320].split(",")[:field]) + 1

    assert (4321, column) == (problem.line, problem.column)
    assert label in problem.message
    assert f'"{text}"' in problem.message
    assert "between" in problem.advice


def test_all_bad_fields_are_told_at_once_but_no_more_than_twenty(lines, tmp_path):
    two = changed(changed(lines, 50, 6, "x"), 60, 21, "y")

    assert [(50, 60)] == [tuple(problem.line for problem in problems_of(tmp_path, two))]
    assert 20 == len(problems_of(tmp_path, emptied(lines, (6, "x"))))


def test_an_hour_out_of_place_is_told(lines, tmp_path):
    swapped = [*lines[:99], lines[100], lines[99], *lines[101:]]
    (problem,) = problems_of(tmp_path, swapped)

    assert 100 == problem.line
    assert "hour 21" in problem.message
    assert "hour 20" in problem.advice


def test_a_date_that_is_none_is_told(lines, tmp_path):
    (problem, *_) = problems_of(tmp_path, changed(lines, 77, 1, "Jan"))

    assert 77 == problem.line


@pytest.mark.parametrize(
    ("field", "text", "label"),
    [(6, "north", "latitude"), (7, "400", "longitude"), (8, "", "time zone"), (9, "nan", "elevation")],
)
def test_a_bad_place_is_told(lines, tmp_path, field, text, label):
    (problem,) = problems_of(tmp_path, changed(lines, 1, field, text))

    assert (1, True) == (problem.line, label in problem.message)


def test_a_header_cut_short_is_told(lines, tmp_path):
    assert {1} == {problem.line for problem in problems_of(tmp_path, ["LOCATION,Deepstead", *lines[1:]])}
    assert "DATA PERIODS" in problems_of(tmp_path, lines[:7])[0].message
    assert 8 == problems_of(tmp_path, lines[:8])[0].line


def test_rows_within_the_hour_are_refused(lines, tmp_path):
    (problem,) = problems_of(tmp_path, changed(lines, 8, 2, "4"))

    assert 8 == problem.line


def test_a_tmy3_file_with_a_missing_title_or_a_bad_field_is_told(tmp_path):
    lines = TMY_FILES[0].read_text().splitlines()
    (problem,) = problems_of(tmp_path, [lines[0], lines[1].replace("Dry-bulb (C)", "Dry (C)"), *lines[2:]])
    assert (2, True) == (problem.line, "Dry-bulb (C)" in problem.message)
    index = lines[1].split(",").index("Wspd (m/s)")
    (problem,) = problems_of(tmp_path, changed(lines, 300, index, "?"))
    assert (300, True) == (problem.line, "wind speed" in problem.message)
    (problem, *_) = problems_of(tmp_path, changed(lines, 300, 1, "10:30"))
    assert 300 == problem.line


def test_missing_codes_of_tmy3_are_bridged(tmp_path):
    lines = TMY_FILES[0].read_text().splitlines()
    index = lines[1].split(",").index("GHI (W/m^2)")

    assert {"global_irradiance": 1} == read_lines(tmp_path, changed(lines, 300, index, "-9900")).bridged


@pytest.mark.parametrize(
    "content", [b"", b"\n\n", b"\x00\x01PK", b"hello", b"a,b\nc,d\n", b"[site]\nx = 1\n"]
)
def test_what_is_no_weather_file_is_refused(tmp_path, content):
    path = tmp_path / "other.epw"
    path.write_bytes(content)
    with pytest.raises(InputError) as caught:
        read_weather(path)

    assert 1 == caught.value.problems[0].line


def test_a_file_that_is_too_large_is_refused_unread(tmp_path):
    path = tmp_path / "huge.epw"
    with path.open("wb") as stream:
        stream.truncate(17 * 1024 * 1024)
    with pytest.raises(InputError, match="more than 16777216 bytes"):
        read_weather(path)


def test_a_folder_or_a_name_without_file_is_refused(tmp_path):
    with pytest.raises(InputError, match="not a file"):
        read_weather(tmp_path)
    with pytest.raises(InputError, match="can't be read"):
        read_weather(tmp_path / "none.epw")
    with pytest.raises(InputError, match="can't be read"):
        read_weather("no\0ne.epw")


# Deepstead


def test_the_shipped_file_is_what_its_script_makes():
    assert DEEPSTEAD.read_text(encoding="utf-8") == make_weather()


def test_deepstead_is_a_cold_still_plain(deepstead):
    winter, summer = deepstead.temperature[:744].mean(), deepstead.temperature[4344:5088].mean()

    assert winter < 263.15
    assert summer > winter + 20.0
    assert deepstead.wind_speed.max() < 3.0
    assert (deepstead.dew_point < deepstead.temperature).all()
    assert (deepstead.sky_temperature < deepstead.temperature).all()


def test_no_hour_of_deepstead_jumps(deepstead):
    steps = np.abs(np.diff(np.append(deepstead.temperature, deepstead.temperature[0])))

    assert steps.max() < 3.0


def test_the_sun_of_deepstead_stands_where_pvlib_sees_it(deepstead):
    """NREL's solar position (pvlib) at the middle of each hour; Cooper's declination is good to 1.5 deg."""
    pandas = pytest.importorskip("pandas")
    middles = pandas.date_range("2001-01-01 00:30", periods=8760, freq="h", tz="UTC")
    position = pvlib.solarposition.get_solarposition(middles, 64.0, 0.0, altitude=310.0)
    elevation = position["elevation"].to_numpy()

    assert (deepstead.global_irradiance[elevation < -5.0] == 0.0).all()
    assert (deepstead.global_irradiance[elevation > 8.0] > 0.0).all()
    beam = deepstead.direct_irradiance * np.sin(np.radians(elevation)) + deepstead.diffuse_irradiance
    high = elevation > 15.0
    np.testing.assert_allclose(beam[high], deepstead.global_irradiance[high], rtol=0.12, atol=3.0)


def test_a_moment_names_every_channel(deepstead):
    assert Moment(*deepstead.at(0.0)).temperature == deepstead.temperature[-1]


def test_an_unknown_shipped_weather_lists_the_nearest():
    with pytest.raises(UnknownNameError, match="deepstead"):
        shipped_weather("deepsted")
