"""Whether the numbers that a verdict rests on are those of this place, and whence they come."""

from collections.abc import Iterable
from pathlib import Path

from brinewright.files.weather import Weather, read_weather, shipped_weather
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.units import show

APART = 0.03
"""Pressure of the site and of its weather that may be apart."""


def not_verified(case: Case) -> Iterable[Measure]:
    """Count the entries in use for whose numbers the rulebook names no source."""
    used = sorted({part.use for part in case.loop.parts} | {line.use for line in case.loop.lines if line.use})
    missing = [key for key in used if not case.rules.provenance.get(key)]
    shown = ", ".join(missing[:4]) + (f" and {len(missing) - 4} more" if len(missing) > 4 else "")
    yield Measure(
        subject=(case.rules.name,),
        value=float(len(missing)),
        limit=0.0,
        quantity="count",
        bound="at most",
        text=f"The rulebook {case.rules.name} names no source for the numbers of {len(missing)} of the "
        f"{len(used)} entries in use{': ' + shown if missing else ''}.",
    )


def not_of_this_place(case: Case) -> Iterable[Measure]:
    """Hold gravity and pressure of the site against being stated, and the pressure against its weather."""
    stated = {**case.rules.site, **case.loop.site}
    for name, told in (("gravity", "gravity"), ("ambient_pressure", "ambient pressure")):
        missing = name not in stated
        yield Measure(
            subject=("SITE",),
            value=float(missing),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=f"The {told} of the place is {'not stated' if missing else 'stated'}.",
            remedy=f'Write {name} = "…" under [site].' if missing else "",
        )
    weather = stated.get("weather")
    if not weather or "ambient_pressure" not in stated:
        return
    file = _weather(case, str(weather))
    mean = float(file.pressure.mean())
    site = case.site("ambient_pressure")
    yield Measure(
        subject=("SITE",),
        value=abs(site / mean - 1.0),
        limit=APART,
        quantity="ratio",
        bound="at most",
        text=f"The site states {show(site, 'pressure', digits=4)}; its weather has "
        f"{show(mean, 'pressure', digits=4)} on average.",
        numbers=(
            Number(symbol="p_site", value=site, quantity="pressure", text="ambient_pressure of the site"),
            Number(symbol="p_weather", value=mean, quantity="pressure", text=f"mean of {weather}"),
        ),
        remedy=f'Write ambient_pressure = "{show(mean, "pressure", digits=4)}" under [site].',
    )


def _weather(case: Case, name: str) -> Weather:
    beside = (case.folder or Path()) / name
    return read_weather(beside if beside.is_file() else shipped_weather(Path(name).stem))


CRITERIA = (
    Criterion(
        code="BW-F136",
        title="Numbers without a source",
        severity="A",
        method="structure",
        world="real",
        judge=not_verified,
        formula="an entry in use has no line under [provenance]",
        consequence="The verdict is no better than the numbers that someone once wrote down.",
        remedy="Write under [provenance] of the rulebook where the numbers of each entry come from.",
        lesson="A calculation is a chain, and its first link is the number that nobody checked.",
        source="common practice, no source",
    ),
    Criterion(
        code="BW-F138",
        title="Gravity or pressure of another place",
        severity="W",
        method="structure",
        world="real",
        judge=not_of_this_place,
        formula="g or p_amb is not stated, or p_amb is off that of the weather by more than 3 %",
        consequence="Boiling, suction head and cooling by air come out wrong.",
        remedy="State gravity and ambient pressure of the place.",
        lesson="Water boils at the pressure of where you are, not at the one in the book.",
        source="common practice, no source",
    ),
)
