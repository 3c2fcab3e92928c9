"""Curves can be drawn of any choice of channels, say what they are of, and come out the same each time."""

import dataclasses
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from brinewright import report
from brinewright.errors import InputError, UnknownNameError
from brinewright.report.along import stations
from brinewright.report.colour import INKS
from brinewright.report.frame import spread
from brinewright.report.panel import divided, frames
from brinewright.report.samples import banded, is_dense, thinned
from brinewright.results import Statistics
from brinewright.results.caution import CAUTIONS
from tests.results.synthetic import synthetic_result


@pytest.fixture(scope="module")
def result():
    return synthetic_result()


def texts(figure):
    """Every text of a figure, those of its axes included."""
    found = [text.get_text() for text in figure.texts]
    for axes in figure.axes:
        found += [axes.get_title(loc="left"), *(text.get_text() for text in axes.texts)]
    return " ".join(found).replace("\n", " ")


def test_a_whole_plant_has_every_figure(result):
    assert report.kinds(result) == (
        "overview",
        "along",
        "temperatures",
        "levels",
        "vessel",
        "power",
        "duty",
        "metal",
        "passes",
    )


@pytest.mark.parametrize("kind", report.KINDS)
def test_every_figure_can_be_drawn_and_carries_the_caution(result, kind):
    figure = report.draw(result, kind)

    assert figure.axes
    assert CAUTIONS["stylised"] in texts(figure)


def test_the_caution_of_a_real_plant_is_there_in_full():
    figure = report.draw(synthetic_result(world="real"), "levels")

    assert CAUTIONS["real"] in texts(figure)


@pytest.mark.parametrize(
    ("kind", "told"),
    [
        (
            "vessel",
            ["Temperature of the steam vessel, °C", "Pressure of the steam vessel, bar (abs)", "VE-301"],
        ),
        ("duty", ["Heat taken by each chiller, kW", "CH-201", "CH-202", "Heat given to the coolant, kW"]),
        ("power", ["Power of the bus, kW", "generated", "drawn", "Energy in the battery, kWh", "BT-602"]),
        ("levels", ["Level of tanks, %", "TK-101", "TK-102"]),
        ("passes", ["Passes that the liquid made", "TV-110"]),
        ("along", ["Temperature along the loop, °C", "35.4"]),
    ],
)
def test_a_figure_names_its_curves_and_units(result, kind, told):
    written = texts(report.draw(result, kind))

    assert [part for part in told if part not in written] == []


def test_values_are_drawn_in_the_unit_at_the_axis(result):
    axes = report.draw(result, "vessel").axes[0]
    drawn = np.asarray(axes.lines[0].get_ydata())

    # 273.15 K is 0 degC by definition (SI brochure, 9th edition, 2.3.1); samples are float32.
    assert drawn.max() == pytest.approx(result["VE-301"].temperature.values.max() - 273.15, abs=1e-4)


def test_time_is_drawn_in_hours(result):
    axes = report.draw(result, "levels").axes[0]

    assert axes.get_xlim() == (0.0, 24.0)
    assert axes.get_xticklabels()[-1].get_text() == "24 h"


def test_channels_that_fit_no_figure_are_drawn_by_unit():
    result = synthetic_result(only=("L-104",))
    kept = [index for index, channel in enumerate(result.channels) if channel.quantity == "pressure loss"]
    result = dataclasses.replace(result, channels=(result.channels[kept[0]],), values=result.values[:, kept])

    assert report.kinds(result) == ("overview", "channels")
    assert "Recorded channels, Pa" in texts(report.draw(result))


def test_a_figure_without_channels_is_refused_with_those_there_are():
    with pytest.raises(
        InputError, match=r'no channels for the figure "vessel"\. It has: overview, along, temp'
    ):
        report.draw(synthetic_result(only=("TK-101",)), "vessel")


def test_an_unknown_figure_names_the_nearest(result):
    with pytest.raises(UnknownNameError, match=r'no figure "vesel"\. Nearest: vessel'):
        report.draw(result, "vesel")


def test_a_result_without_samples_is_refused(result):
    empty = dataclasses.replace(result, times=result.times[:0], values=result.values[:0])

    with pytest.raises(InputError, match="no samples"):
        report.draw(empty)


def test_one_sample_can_be_drawn(result):
    report.written(
        report.draw(dataclasses.replace(result, times=result.times[:1], values=result.values[:1])), "svg"
    )


def test_a_channel_without_numbers_is_left_out(result):
    values = result.values.copy()
    values[:, [channel.key for channel in result.channels].index("VE-301.temperature")] = np.nan
    holed = dataclasses.replace(result, values=values)

    assert [frame.title for frame in frames(holed, "vessel")] == [
        "Pressure of the steam vessel",
        "Level of the steam vessel",
    ]


def test_a_result_and_a_series_draw_themselves(result):
    assert "VE-301" in texts(result.plot("vessel"))
    assert "Pressure, bar (abs)" in texts(result["VE-301"].pressure.plot())


def test_the_same_result_gives_the_same_bytes_without_a_date():
    files = report.render(synthetic_result(only=("TK-101",)))

    assert set(files) == {
        f"curves/{kind}.{end}"
        for kind in ("overview", "along", "temperatures", "levels")
        for end in ("svg", "png")
    }
    assert files == report.render(synthetic_result(only=("TK-101",)))
    assert b"dc:date" not in files["curves/levels.svg"]
    assert ET.fromstring(files["curves/levels.svg"]).tag.endswith("svg")
    assert files["curves/levels.png"].startswith(b"\x89PNG")


def test_many_curves_are_divided_and_say_so(result):
    series = [dataclasses.replace(result["TK-101"].temperature, tag=f"TK-{index}") for index in range(30)]
    parts = divided("Tanks", series)

    assert [len(part.group) for part in parts] == [7, 7, 7]
    assert parts[0].title == "Tanks: the 21 of 30 that vary most (1 of 3)"


def test_machines_that_draw_nothing_get_no_frame_of_their_own(result):
    one = result["CH-201"].power
    none = dataclasses.replace(one, values=0.0 * one.values, min=0.0, max=0.0)
    frame, *others = divided("Power", [one, *[none] * len(INKS)])

    assert not others
    assert [series.max for series in frame.group] == [one.max]


def test_thinning_keeps_every_peak():
    hours = np.arange(100_000) / 3600
    values = np.zeros(100_000)
    values[[17, 50_000]] = 5.0, -3.0
    kept_hours, kept = thinned(hours, values)

    assert len(kept) < 2000
    assert {5.0, -3.0} <= set(kept)
    assert (np.diff(kept_hours) > 0).all()
    assert (kept_hours[0], kept_hours[-1]) == (hours[0], hours[-1])


def test_names_never_overlap_and_keep_their_order():
    wanted = [50.0, 51.0, 52.0, 3.0, 99.0, 98.5]
    placed = spread(wanted, gap=11.0, low=2.0, high=98.0)
    order = np.argsort(wanted, kind="stable")

    assert np.diff(np.array(placed)[order]).min() >= 11.0 - 1e-9
    assert min(placed) >= 2.0
    assert max(placed) <= 98.0


def test_the_loop_is_walked_in_the_order_of_its_channels(result):
    assert [station.tag for station in stations(result)] == ["TK-101", "L-104", "CH-201", "ZN-501"]


def test_a_line_that_swings_too_often_to_be_followed_is_drawn_as_a_band(result):
    hours = np.arange(1441) / 60.0
    hunting, calm = np.arange(1441.0) % 2 * 5.0, np.sin(hours)

    assert is_dense(hunting, 90.0)
    assert not is_dense(calm, 90.0)
    assert not is_dense(np.full(1441, np.nan), 90.0)
    middle, least, mean, greatest = banded(hours, hunting, 60)
    assert (middle[0], middle[-1], len(middle)) == (0.0, 24.0, 60)
    assert set(least) == {0.0}
    assert set(greatest) == {5.0}
    # Each stretch has 24 or 25 samples that alternate, so its mean is within half a sample of the middle.
    assert mean == pytest.approx(2.5, abs=2.5 / 24)


def test_a_band_is_named_in_the_title(result):
    values = result.values.copy()
    column = [channel.key for channel in result.channels].index("TK-101.level")
    values[:, column] = np.arange(len(values)) % 2
    figure = report.draw(dataclasses.replace(result, values=values), "levels")

    assert "Level of tanks, %: mean and range" in texts(figure)
    assert len(figure.axes[0].collections) == 1


def test_a_vessel_without_a_pressure_is_no_tank():
    result = synthetic_result(only=("TK-101", "VE-301"))
    kept = [index for index, channel in enumerate(result.channels) if channel.quantity != "pressure"]
    channels = [result.channels[index] for index in kept]
    channels.append(dataclasses.replace(channels[-1], quantity="metal temperature", unit="K"))
    kept.append(kept[-1])
    result = dataclasses.replace(
        result,
        channels=tuple(channels),
        values=result.values[:, kept],
        statistics=Statistics.from_samples(result.values[:, kept]),
    )

    assert [frame.title for frame in frames(result, "vessel")] == [
        "Temperature of the steam vessel",
        "Level of the steam vessel",
    ]
    assert [series.tag for frame in frames(result, "levels") for series in frame.group] == ["TK-101"]
