"""Units of text, held against the library pint and the published definitions of units."""

import math
import random

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from brinewright.errors import InputError, UnknownNameError
from brinewright.units import QUANTITIES, UNIT_OF, parse, quantity_named, show

EVERY_UNIT = [(name, unit) for name, quantity in QUANTITIES.items() for unit in quantity.units]

TO_PINT = {
    "": "dimensionless",
    "%": "percent",
    "degC": "degC",
    "degF": "degF",
    "t": "metric_ton",
    "d": "day",
    "ohm": "ohm",
    "mohm": "milliohm",
    "kohm": "kiloohm",
    "Mohm": "megaohm",
    "rpm": "revolutions_per_minute",
    "deg": "degree",
    "um": "micrometer",
    "in": "inch",
}
"""Units that pint spells otherwise."""


def pint_spelling(name: str, unit: str) -> str:
    """The unit as pint reads it: a space is a product, a digit behind a letter a power."""
    if unit in TO_PINT:
        return TO_PINT[unit]
    if name == "rotational speed" and unit == "1/s":
        return "revolution/second"
    plain = unit.removesuffix(" abs").removesuffix(" gauge")
    spelled = ""
    for number, letter in enumerate(plain):
        if letter.isdigit() and number and plain[number - 1].isalpha():
            spelled += "**"
        spelled += "*" if letter == " " else letter
    for word in ("t/", "/d", "/h", "mohm", "kohm"):
        exchange = {"t/": "metric_ton/", "/d": "/day", "/h": "/hour", "mohm": "milliohm", "kohm": "kiloohm"}
        spelled = (
            spelled.replace(word, exchange[word]) if spelled.startswith(word) or word[0] == "/" else spelled
        )
    return spelled


@pytest.fixture(scope="module")
def registry() -> "pint.UnitRegistry[float]":
    return pint.UnitRegistry()


@pytest.mark.parametrize(("name", "unit"), EVERY_UNIT)
def test_every_unit_agrees_with_pint(registry, name, unit):
    # Source: pint's default registry, which follows the SI brochure and CODATA.
    ambient = 0.0 if unit.endswith("gauge") else None
    number = 7.25
    theirs = registry.Quantity(number, pint_spelling(name, unit))
    base = registry.Quantity(1.0, pint_spelling(name, UNIT_OF[name])).units
    expected = theirs.to(base).magnitude

    # Both round in double precision; offsets cost pint one more rounding.
    assert parse(f"{number} {unit}", name, ambient=ambient) == pytest.approx(expected, rel=4e-15)


@pytest.mark.parametrize(
    ("text", "quantity", "expected"),
    [
        # Source: SI Brochure, 9th edition: degree Celsius, bar, litre, tonne, minute, hour, day.
        ("0 degC", "temperature", 273.15),
        ("22.3 degC", "temperature", 295.45),
        ("1 bar abs", "pressure", 100_000.0),
        ("1 L", "volume", 0.001),
        ("1 t/h", "mass flow", 1.0 / 3.6),
        ("1 d", "time", 86_400.0),
        # Source: international yard and pound agreement of 1959: 1 in is 25.4 mm.
        ("1 in", "length", 0.0254),
        ("1 ft", "length", 0.3048),
        ("212 degF", "temperature", 373.15),
        ("1 kWh", "energy", 3.6e6),
        ("60 rpm", "rotational speed", 2.0 * math.pi),
        ("180 deg", "angle", math.pi),
        ("50 %", "ratio", 0.5),
        ("0.5", "ratio", 0.5),
        ("08:30", "time of day", 30_600.0),
        ("24:00", "time of day", 86_400.0),
        ("26 h", "time of day", 93_600.0),
        ("-5 degC", "temperature", 268.15),
        ("1e3 m", "length", 1000.0),
        (".5 m", "length", 0.5),
        ("12m", "length", 12.0),
        ("5 m²", "area", 5.0),
        ("5 W/m2/K", "heat transfer coefficient", 5.0),
        ("5 °C", "temperature", 278.15),
        ("4 µm", "length", 4e-6),
        ("5 Ω", "resistance", 5.0),
    ],
)
def test_a_text_reads_as_its_value_in_si(text, quantity, expected):
    assert parse(text, quantity) == expected


def test_gauge_pressure_counts_from_the_ambient_pressure_of_the_site():
    assert parse("0.5 bar gauge", "pressure", ambient=88_000.0) == 138_000.0
    assert parse("-20 kPa gauge", "pressure", ambient=88_000.0) == 68_000.0


@pytest.mark.parametrize(
    ("text", "quantity", "reason", "advice"),
    [
        ("12", "length", "has no unit", 'Write for example "12 m".'),
        ("", "length", "is empty", "Accepted units: m"),
        ("   ", "length", "is empty", "Accepted units: m"),
        ("nan m", "length", "is not a finite number", "m"),
        ("inf K", "temperature", "is not a finite number", "K"),
        ("-inf K", "temperature", "is not a finite number", "K"),
        ("1e400 m", "length", "beyond what a number can hold", "m"),
        ("1e-400 m", "length", "beyond what a number can hold", "m"),
        ("1e308 km", "length", "beyond what a number can hold", "m"),
        ("m 12", "length", "does not start with a number", "m"),
        ("1,5 m", "length", "has a decimal comma", 'Write a decimal point: "1.5 m".'),
        ("5 kw", "power", 'unknown unit "kw"', 'Write "5 kW".'),
        ("5 furlong", "length", 'unknown unit "furlong"', "Accepted units"),
        ("5 bar", "pressure", 'is in "bar"', '"bar abs" or "bar gauge"'),
        ("5 bar gauge", "pressure", "ambient pressure is not stated", "ambient_pressure"),
        ("5 bar abs", "pressure difference", 'is in "bar abs"', 'no "abs"'),
        ("3 degC", "temperature difference", 'is in "degC"', "written in K"),
        ("-300 degC", "temperature", "below absolute zero", "degC"),
        ("-1 bar abs", "pressure", "less than nothing", "abs"),
        ("25:00", "time of day", "is no time of day", "h"),
        ("08:60", "time of day", "is no time of day", "h"),
        ("24:01", "time of day", "is no time of day", "h"),
        ("5 L/s", "mass flow", 'is in "L/s"', "kg/s"),
        ("5 kg/s", "volume flow", 'is in "kg/s"', "m3/h"),
        ("10 m", "time", 'is in "m"', "written in s, min, h or d"),
        ("5 kW", "energy", 'is in "kW"', "power"),
        ("x" * 100_000, "length", "characters long", "m"),
        ("1" * 100_000 + " m", "length", "characters long", "m"),
        ("١٢ m", "length", "does not start with a number", "m"),
        ("1_000 m", "length", 'unknown unit "_000 m"', "m"),
        ("0x10 m", "length", "unknown unit", "m"),
    ],
)
def test_what_is_no_quantity_is_refused_in_words(text, quantity, reason, advice):
    with pytest.raises(InputError) as caught:
        parse(text, quantity)
    problem = caught.value.problems[0]

    assert reason in problem.message
    assert f'such as "{QUANTITIES[quantity].example}"' in problem.message
    assert advice in problem.advice


def test_gauge_below_vacuum_is_refused():
    with pytest.raises(InputError, match="less than nothing"):
        parse("-2 bar gauge", "pressure", ambient=101_325.0)


def test_an_unknown_quantity_lists_the_nearest():
    with pytest.raises(UnknownNameError, match=r"Nearest: .*temperature"):
        quantity_named("temprature")


@pytest.mark.parametrize("quantity", QUANTITIES.values(), ids=lambda quantity: quantity.name)
def test_the_example_of_a_quantity_reads_and_writes_as_itself(quantity):
    value = parse(quantity.example, quantity.name)

    assert show(value, quantity.name) == quantity.example
    assert quantity.units[quantity.unit].factor == 1


WRITABLE = [(name, unit) for name, unit in EVERY_UNIT if not unit.endswith("gauge")]


@given(
    st.sampled_from(WRITABLE),
    st.floats(allow_nan=False, allow_infinity=False, min_value=-1e250, max_value=1e250),
)
def test_what_is_written_reads_back_as_the_same_float(place, value):
    name, unit = place
    value = abs(value) if QUANTITIES[name].lowest == 0.0 else value

    assert parse(show(value, name, unit), name) == value


@given(st.sampled_from(WRITABLE), st.floats(min_value=1.0, max_value=1e5))
def test_rounding_for_people_keeps_the_digits_asked_for(place, value):
    name, unit = place
    back = parse(show(value, name, unit, digits=4), name)
    offset = float(QUANTITIES[name].units[unit].offset)

    # Half a unit of the fourth digit, of the number as it is written: with an offset, of the distance to it.
    assert abs(back - value) <= 5.1e-4 * max(abs(value - offset), 1e-12)


@given(st.text(max_size=60), st.sampled_from(sorted(QUANTITIES)))
def test_any_text_gives_a_number_or_an_input_error(text, quantity):
    try:
        value = parse(text, quantity)
    except InputError:
        value = 0.0

    assert math.isfinite(value)


def test_any_likely_text_gives_a_number_or_an_input_error():
    draw = random.Random(3)
    pieces = [
        "12",
        "-",
        "+",
        ".",
        "e",
        "E9",
        "1e",
        " ",
        "m",
        "kg",
        "/",
        "s",
        "bar",
        "abs",
        "gauge",
        "(",
        ")",
        "K",
        ":",
        ",",
    ]
    for _ in range(5_000):
        text = "".join(draw.choice(pieces) for _ in range(draw.randrange(7)))
        for quantity in ("pressure", "time of day", "heat transfer coefficient"):
            try:
                assert math.isfinite(parse(text, quantity))
            except InputError:
                continue


def test_what_is_not_finite_is_not_written():
    with pytest.raises(ValueError, match="can't be written"):
        show(math.nan, "length")


def test_an_unknown_unit_to_write_in_lists_the_nearest():
    with pytest.raises(UnknownNameError, match="kg/h"):
        show(1.0, "mass flow", "kgh")


def test_what_rounding_leaves_of_a_temperature_is_told_as_nothing():
    assert show(273.15, "temperature", digits=4) == "0 degC"
