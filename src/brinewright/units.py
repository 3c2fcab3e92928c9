"""Units of text: the one place where "12 kg/s" becomes a number in SI, and back.

Inside the package every number is in SI without a suffix; at the edges it is text with a
unit.  `parse` reads such a text, `show` writes one, `QUANTITIES` says what is accepted.
Conversions are decimal and rounded once, so "22.3 degC" and "295.45 K" are the same float.
"""

import difflib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Context, Decimal
from fractions import Fraction
from types import MappingProxyType

from brinewright.errors import InputError, Problem, UnknownNameError

_EXACT = Context(prec=50, Emax=9999, Emin=-9999)
_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,4})?", re.ASCII)
_CLOCK = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2}(?:\.\d{1,9})?))?", re.ASCII)
_SPELLING = str.maketrans(
    {"²": "2", "³": "3", "·": " ", "⋅": " ", "*": " ", "^": "", "µ": "u", "μ": "u", "Ω": "ohm"}
)
NOTHING = Decimal("1e-9")
"""What is left of a temperature on a scale with an offset by rounding alone."""
LONGEST = 80
"""Longest text that is read as a quantity [characters]."""


@dataclass(frozen=True)
class Unit:
    """One accepted unit: value in SI = number x `factor` + `offset`."""

    name: str
    factor: Decimal
    offset: Decimal = Decimal(0)
    gauge: bool = False
    """Whether the ambient pressure is added too."""


@dataclass(frozen=True)
class Quantity:
    """One dimension: its SI unit, the units it may be written in, and an example."""

    name: str
    unit: str
    units: Mapping[str, Unit]
    example: str
    lowest: float = -math.inf
    """Least value that means anything [SI]."""
    advice: Mapping[str, str] = field(default_factory=dict)
    """Units often written for this quantity that are not accepted, and what to say about them."""

    @property
    def bare(self) -> bool:
        """Whether a number without a unit is complete."""
        return "" in self.units


def _decimal(factor: str) -> Decimal:
    exact = Fraction(factor)
    return _EXACT.divide(Decimal(exact.numerator), Decimal(exact.denominator))


def _quantity(
    name: str, units: str, example: str, lowest: float = -math.inf, advice: Mapping[str, str] | None = None
) -> Quantity:
    """Build a quantity from "unit factor, unit factor @ offset, ..."; the first unit is the SI one."""
    table = {}
    for row in units.split(","):
        scale, _, offset = row.partition("@")
        spelling, _, factor = scale.strip().rpartition(" ")
        table[spelling] = Unit(spelling, _decimal(factor), _decimal(offset.strip() or "0"))
    return Quantity(
        name, next(iter(table)), MappingProxyType(table), example, lowest, MappingProxyType(advice or {})
    )


def _pressure() -> Quantity:
    sizes = {"Pa": "1", "kPa": "1000", "bar": "100000", "mbar": "100", "hPa": "100", "MPa": "1000000"}
    units = {
        f"{size} {kind}": Unit(f"{size} {kind}", _decimal(factor), gauge=kind == "gauge")
        for kind in ("abs", "gauge")
        for size, factor in sizes.items()
    }
    advice = {
        size: f'A pressure says against what it is measured: "{size} abs" or "{size} gauge".'
        for size in sizes
    }
    return Quantity(
        "pressure", "Pa abs", MappingProxyType(units), "2.3 bar abs", 0.0, MappingProxyType(advice)
    )


_DIFFERENCE = {
    "degC": "A temperature difference is written in K.",
    "degF": "A temperature difference is written in K.",
}
_TIMES = dict.fromkeys(
    ("m", "mn", "mins", "minutes", "sec", "seconds", "hr", "hrs", "hours", "days"),
    "Times are written in s, min, h or d.",
)
_PER_TIME = "A flow of liquid by mass is written in kg/s, by volume in m3/h."

_TABLE = (
    _quantity(
        "length", "m 1, mm 1/1000, cm 1/100, km 1000, um 1/1000000, in 254/10000, ft 3048/10000", "12 m"
    ),
    _quantity("area", "m2 1, mm2 1/1000000, cm2 1/10000", "4 m2"),
    _quantity("volume", "m3 1, L 1/1000, mL 1/1000000", "6 m3"),
    _quantity("mass", "kg 1, g 1/1000, mg 1/1000000, t 1000", "250 kg"),
    _quantity("time", "s 1, ms 1/1000, min 60, h 3600, d 86400", "20 s", advice=_TIMES),
    _quantity("time of day", "s 1, min 60, h 3600, d 86400", "08:00", 0.0, _TIMES),
    _quantity("temperature", "K 1, degC 1 @ 27315/100, degF 5/9 @ 45967/180", "22 degC", 0.0),
    _quantity("temperature difference", "K 1, mK 1/1000", "3 K", advice=_DIFFERENCE),
    _quantity(
        "mass flow",
        "kg/s 1, g/s 1/1000, kg/min 1/60, kg/h 1/3600, t/h 1000/3600",
        "12 kg/s",
        advice={"L/s": _PER_TIME, "m3/h": _PER_TIME, "m3/s": _PER_TIME, "kg": _PER_TIME},
    ),
    _quantity(
        "volume flow",
        "m3/s 1, m3/min 1/60, m3/h 1/3600, m3/d 1/86400, L/s 1/1000, L/min 1/60000, L/h 1/3600000",
        "40 m3/h",
        advice={"kg/s": _PER_TIME, "kg/h": _PER_TIME},
    ),
    _quantity("speed", "m/s 1, mm/s 1/1000, cm/s 1/100, km/h 1000/3600", "1.5 m/s"),
    _quantity("acceleration", "m/s2 1", "9.81 m/s2"),
    _pressure(),
    _quantity(
        "pressure difference",
        "Pa 1, kPa 1000, bar 100000, mbar 100, hPa 100, MPa 1000000",
        "40 kPa",
        advice={
            f"{size} {kind}": f'A pressure difference has no "{kind}" after its unit.'
            for size in ("Pa", "kPa", "bar", "mbar", "MPa")
            for kind in ("abs", "gauge")
        },
    ),
    _quantity("pressure gradient", "Pa/m 1, kPa/m 1000, bar/m 100000", "200 Pa/m"),
    _quantity("power", "W 1, mW 1/1000, kW 1000, MW 1000000, GW 1000000000", "120 kW"),
    _quantity("heat flow", "W 1, mW 1/1000, kW 1000, MW 1000000, GW 1000000000", "40 kW"),
    _quantity("heat flux", "W/m2 1, kW/m2 1000", "120 W/m2"),
    _quantity(
        "energy",
        "J 1, kJ 1000, MJ 1000000, GJ 1000000000, Wh 3600, kWh 3600000, MWh 3600000000",
        "50 kWh",
        advice={"kW": "This is an energy; kW is a power.", "W": "This is an energy; W is a power."},
    ),
    _quantity(
        "heat capacity", "J/K 1, kJ/K 1000, MJ/K 1000000, GJ/K 1000000000, Wh/K 3600, kWh/K 3600000", "2 MJ/K"
    ),
    _quantity("specific heat capacity", "J/(kg K) 1, kJ/(kg K) 1000", "3.9 kJ/(kg K)"),
    _quantity(
        "specific energy", "J/kg 1, kJ/kg 1000, MJ/kg 1000000, Wh/kg 3600, kWh/kg 3600000", "2200 kJ/kg"
    ),
    _quantity("density", "kg/m3 1, kg/L 1000, g/cm3 1000, g/L 1", "1020 kg/m3"),
    _quantity("viscosity", "Pa s 1, mPa s 1/1000, uPa s 1/1000000", "1.2 mPa s"),
    _quantity("kinematic viscosity", "m2/s 1, mm2/s 1/1000000", "1.1 mm2/s"),
    _quantity("conductivity", "W/(m K) 1, mW/(m K) 1/1000", "0.037 W/(m K)"),
    _quantity("conductance", "W/K 1, mW/K 1/1000, kW/K 1000, MW/K 1000000", "600 W/K"),
    _quantity("conductance per metre", "W/(m K) 1, kW/(m K) 1000, mW/(m K) 1/1000", "0.5 W/(m K)"),
    _quantity("heat transfer coefficient", "W/(m2 K) 1, kW/(m2 K) 1000", "800 W/(m2 K)"),
    _quantity("thermal resistance", "K/W 1, mK/W 1/1000, K/kW 1/1000", "0.02 K/W"),
    _quantity("fouling resistance", "m2 K/W 1, m2 K/kW 1/1000", "0.0001 m2 K/W"),
    _quantity("ratio", "1, % 1/100, ppm 1/1000000", "50 %"),
    _quantity("humidity ratio", "1, g/kg 1/1000, kg/kg 1", "8 g/kg"),
    _quantity("voltage", "V 1, mV 1/1000, kV 1000", "400 V"),
    _quantity("current", "A 1, mA 1/1000, kA 1000", "63 A"),
    _quantity("resistance", "ohm 1, mohm 1/1000, kohm 1000, Mohm 1000000", "20 mohm"),
    _quantity("resistance per metre", "ohm/m 1, mohm/m 1/1000, ohm/km 1/1000", "0.08 ohm/km"),
    _quantity("apparent power", "V A 1, kV A 1000, MV A 1000000", "250 kV A"),
    # Flow of water of 1000 kg/m3 through a valve at a loss of 1 bar.
    _quantity("flow coefficient", "m3/s 1, m3/h 1/3600, L/min 1/60000", "40 m3/h"),
    _quantity("flow resistance", "Pa s2/kg2 1, kPa s2/kg2 1000", "250 Pa s2/kg2"),
    _quantity("angle", "rad 1, deg 0.01745329251994329576923690768488612713442871888542", "30 deg"),
    _quantity(
        "rotational speed",
        "rad/s 1, rpm 0.1047197551196597746154214461093167628065723133125,"
        "1/s 6.283185307179586476925286766559005768394338798750",
        "1450 rpm",
    ),
    _quantity("frequency", "Hz 1, 1/s 1, 1/min 1/60, 1/h 1/3600, 1/d 1/86400, kHz 1000", "6 1/h"),
    _quantity("expansion coefficient", "1/K 1", "0.0004 1/K"),
    _quantity("temperature coefficient", "1/K 1, %/K 1/100", "3.5 %/K"),
    _quantity("temperature rate", "K/s 1, K/min 1/60, K/h 1/3600", "2 K/min"),
    _quantity("temperature gradient", "K/m 1, K/km 1/1000", "1 K/m"),
    _quantity("elastic modulus", "Pa 1, kPa 1000, MPa 1000000, GPa 1000000000", "200 GPa"),
)

QUANTITIES: Mapping[str, Quantity] = MappingProxyType({quantity.name: quantity for quantity in _TABLE})
"""Every dimension that a file can state, by name."""

UNIT_OF: Mapping[str, str] = MappingProxyType({quantity.name: quantity.unit for quantity in _TABLE})
"""The SI unit of each quantity, as `parse` accepts it."""


def quantity_named(name: str) -> Quantity:
    """Return the quantity of this name, or raise `UnknownNameError` with the nearest."""
    try:
        return QUANTITIES[name]
    except KeyError:
        raise UnknownNameError(name, QUANTITIES, "quantity") from None


def parse(text: str, quantity: str, *, ambient: float | None = None) -> float:
    """Read a number with its unit; returns the value in SI.

    Parameters
    ----------
    text : number and unit, such as "12 kg/s"
    quantity : name of the dimension, one of `QUANTITIES`
    ambient : absolute pressure of the surroundings, needed for a gauge pressure [Pa]

    Raises
    ------
    InputError
        In words, with what came, what was expected and what to write.

    Example
    -------
    >>> parse("12 kg/s", "mass flow")
    12.0
    >>> parse("22 degC", "temperature")
    295.15
    >>> parse("0.5 bar gauge", "pressure", ambient=88_000.0)
    138000.0
    >>> parse("08:30", "time of day")
    30600.0
    """
    kind = quantity_named(quantity)
    if len(text) > LONGEST:
        raise _refused(text[:20] + "...", kind, f"is {len(text)} characters long")
    plain = " ".join(text.translate(_SPELLING).replace("°C", "degC").replace("°F", "degF").split())
    clock = _CLOCK.fullmatch(plain)
    if clock and quantity == "time of day":
        return _seconds(text, kind, clock)
    number = _NUMBER.match(plain)
    if number is None:
        raise _refused(text, kind, _no_number(plain))
    unit = _unit(text, number.group(), plain[number.end() :].strip(), kind)
    value = _converted(text, number.group(), unit, kind, ambient)
    if value < kind.lowest:
        raise _refused(text, kind, "lies below absolute zero" if kind.unit == "K" else "is less than nothing")
    return value


def _seconds(text: str, kind: Quantity, clock: re.Match[str]) -> float:
    hours, minutes, seconds = int(clock[1]), int(clock[2]), Decimal(clock[3] or 0)
    if hours > 24 or minutes > 59 or seconds >= 60 or (hours == 24 and (minutes or seconds)):
        raise _refused(text, kind, "is no time of day")
    return float(hours * 3600 + minutes * 60 + seconds)


def _no_number(plain: str) -> str:
    if not plain:
        return "is empty"
    if re.match(r"[+-]?(nan|inf)", plain, re.IGNORECASE):
        return "is not a finite number"
    return "does not start with a number"


def _unit(text: str, number: str, spelling: str, kind: Quantity) -> Unit:
    unit = kind.units.get(spelling) or kind.units.get(_tidied(spelling))
    if unit is not None:
        return unit
    if not spelling:
        raise _refused(text, kind, "has no unit", f'Write for example "{_kept(number, kind)}".')
    if re.match(r",\d", spelling):
        decimal = text.strip().replace(",", ".", 1)
        raise _refused(text, kind, "has a decimal comma", f'Write a decimal point: "{decimal}".')
    if spelling in kind.advice:
        raise _refused(text, kind, f'is in "{spelling}"', kind.advice[spelling])
    same = [unit for unit in kind.units if unit.lower() == spelling.lower()]
    advice = f'Write "{number} {same[0]}".' if len(same) == 1 else ""
    raise _refused(text, kind, f'has the unknown unit "{spelling}"', advice)


def _tidied(spelling: str) -> str:
    """Return "W/m2 K" and "W/m2/K" as "W/(m2 K)", the one way a compound denominator is kept."""
    top, slash, bottom = spelling.partition("/")
    if not slash:
        return spelling
    parts = re.split(r"[ /()]+", bottom.strip("() "))
    return f"{top.strip()}/({' '.join(parts)})" if len(parts) > 1 else f"{top.strip()}/{parts[0]}"


def _kept(number: str, kind: Quantity) -> str:
    _, _, unit = kind.example.partition(" ")
    return f"{number} {unit}" if unit else kind.example


def _converted(text: str, number: str, unit: Unit, kind: Quantity, ambient: float | None) -> float:
    rough = float(number)
    if not math.isfinite(rough) or (rough == 0.0 and re.search(r"[1-9]", re.split("[eE]", number)[0])):
        raise _refused(text, kind, "is beyond what a number can hold")
    offset = unit.offset
    if unit.gauge:
        if ambient is None:
            raise _refused(
                text,
                kind,
                "is a gauge pressure, and the ambient pressure is not stated",
                'State ambient_pressure in [site], or write an absolute pressure such as "2.3 bar abs".',
            )
        offset = Decimal(ambient)
    if unit.factor == 1 and not offset:
        return rough
    value = float(_EXACT.fma(Decimal(number), unit.factor, offset))
    if not math.isfinite(value):
        raise _refused(text, kind, "is beyond what a number can hold")
    return value


def _refused(text: str, kind: Quantity, reason: str, advice: str = "") -> InputError:
    article = "an" if kind.name[0] in "aeiou" else "a"
    message = f'"{text}" {reason}. Expected {article} {kind.name} such as "{kind.example}".'
    return InputError([Problem(message, advice or _accepted(kind, text))])


def _accepted(kind: Quantity, text: str) -> str:
    units = [unit for unit in kind.units if unit]
    last = text.rsplit(" ", 1)[-1]
    near = difflib.get_close_matches(last.lower(), [unit.lower() for unit in units], n=3, cutoff=0.5)
    close = [unit for unit in units if unit.lower() in near]
    return f"Accepted units: {', '.join(close + [unit for unit in units if unit not in close])}."


def show(value: float, quantity: str, unit: str | None = None, *, digits: int | None = None) -> str:
    """Write a value in SI as text with a unit.

    Without `digits` the text reads back as exactly the same float, in `unit` if that is
    possible and in the SI unit otherwise; with `digits` it is rounded for people.

    Parameters
    ----------
    value : the value [SI]
    quantity : name of the dimension, one of `QUANTITIES`
    unit : unit to write it in; None takes the unit of the quantity's example
    digits : significant digits

    Example
    -------
    >>> show(295.15, "temperature")
    '22 degC'
    >>> show(3.3333333, "mass flow", "kg/h", digits=3)
    '12000 kg/h'
    >>> show(0.1, "mass flow", "kg/h")
    '360 kg/h'
    """
    kind = quantity_named(quantity)
    if not math.isfinite(value):
        raise ValueError(f"a {quantity} of {value} can't be written")
    if quantity == "time of day" and unit is None:
        return _clock(value)
    name = kind.example.partition(" ")[2] if unit is None else unit
    chosen = kind.units.get(name)
    if chosen is None:
        raise UnknownNameError(name, kind.units, f"unit of {quantity}")
    if chosen.gauge:
        raise ValueError("a pressure is written as absolute; gauge depends on the site")
    number = (Decimal(value) - chosen.offset) / chosen.factor
    if digits is not None:
        is_nothing = chosen.offset and abs(number) < NOTHING
        return _joined(_digits(Decimal(0) if is_nothing else number, digits), name)
    for size in (6, 10, 13, 15, 16, 17):
        text = _joined(_digits(number, size), name)
        if _reads_as(text, quantity, value):
            return text
    return _joined(_digits(Decimal(repr(value)), 17), kind.unit)


def _reads_as(text: str, quantity: str, value: float) -> bool:
    try:
        return parse(text, quantity) == value
    except InputError:  # among the smallest floats another unit may leave nothing
        return False


def _digits(number: Decimal, digits: int) -> str:
    if number == 0:
        return "0"
    rounded = Context(prec=digits).plus(number)
    text = f"{rounded:f}" if -6 < rounded.adjusted() < 12 else f"{rounded:e}"
    mantissa, e, power = text.partition("e")
    return (mantissa.rstrip("0").rstrip(".") if "." in mantissa else mantissa) + e + power


def _joined(number: str, unit: str) -> str:
    return f"{number} {unit}" if unit else number


def _clock(value: float) -> str:
    whole = int(value)
    if value != whole or not 0 <= whole <= 86400:
        return show(value, "time of day", "s")
    hours, minutes, seconds = whole // 3600, whole // 60 % 60, whole % 60
    return f"{hours:02d}:{minutes:02d}" + (f":{seconds:02d}" if seconds else "")
