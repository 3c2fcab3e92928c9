"""Proof by simulation under real laws: a day of the loop, held against the brief and the closed form."""

from pathlib import Path

from brinewright.checks.check import check
from brinewright.errors import BrinewrightError
from brinewright.files.weather import Weather
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing.needs import DAY
from brinewright.plan.sizing.proof import AGREES, NOTHING, SERIOUS, TOUCHES, Agreement, Proof
from brinewright.plan.sizing.real.design import RealDesign
from brinewright.results import Result
from brinewright.run.simulate import simulate


def prove(
    design: RealDesign, loop: Loop, rules: Rulebook, weather: Weather | None, folder: Path | None
) -> Proof:
    """Run a day of a loop and hold it against the brief."""
    try:
        result = simulate(loop, rules, duration=DAY, weather=weather, folder=folder)
        report = check(loop, rules, day=result, folder=folder)
    except BrinewrightError as error:
        failed = (f"the loop does not run: {error}",)
        return Proof(False, failed, (), (), NOTHING, NOTHING, 0.0, 0.0, (), (), None)
    spare = {"battery-empty"} if design.grid > 0.0 else set()  # power from outside goes on when it is empty
    failures = [
        f"at {event.time_s / 3600.0:.1f} h {event.tag}: {event.text}"
        for event in result.events
        if event.code in SERIOUS and event.code not in spare
    ]
    consumers = []
    for load in design.loads:
        tag = load.consumer.tag
        row = _row(result, tag, "temperature")
        consumers.append((tag, row["min"], row["max"]))
        highest = load.item.number("highest_temperature")
        lowest = load.item.number("lowest_temperature", 0.0)
        if row["max"] > highest + TOUCHES:
            failures.append(f"{tag} reaches {row['max'] - 273.15:.2f} degC")
        if lowest and row["min"] < lowest - TOUCHES:
            failures.append(f"{tag} falls to {row['min'] - 273.15:.2f} degC")
    if not result.outcome.is_done:
        failures.append(f"the run ended early: {result.outcome.name}")
    short = result.power.get("shortfall_kWh", 0.0)
    if short > 0.01:
        failures.append(f"{short:.1f} kWh were asked for and not given")
    serious = tuple(finding for finding in report.findings if finding.is_serious)
    failures += [f"{finding.code}: {finding.measure.text}" for finding in serious]
    return Proof(
        holds=not failures,
        failures=tuple(failures),
        agreements=_agreements(design, loop, result),
        consumers=tuple(consumers),
        supply=_band(result, "TK-101"),
        vessel=_band(result, "VE-301"),
        battery_least=result.power.get("battery_least_kWh", 0.0) * 3.6e6,
        battery_fall=0.0,
        findings=serious,
        advice=tuple(finding for finding in report.findings if not finding.is_serious),
        result=result,
    )


def _row(result: Result, tag: str, quantity: str) -> dict[str, float]:
    return result.statistics.row(result.columns[tag][quantity])


def _band(result: Result, tag: str) -> tuple[float, float, float]:
    row = _row(result, tag, "temperature")
    return row["min"], row["mean"], row["max"]


def _total(result: Result, loop: Loop, use: str, quantity: str) -> float:
    tags = [part.tag for part in loop.parts if part.use == use]
    return sum(_row(result, tag, quantity)["mean"] for tag in tags)


def _agreements(design: RealDesign, loop: Loop, result: Result) -> tuple[Agreement, ...]:
    """Return figures of the closed form, at the mean load of the day, beside those of the run."""
    lift, hot = design.lift, _row(result, "VE-301", "temperature")["mean"]
    use = design.choice.chiller.use
    load = _total(result, loop, use, "cooling")
    rows = [
        ("heat taken by the chillers", design.mean_load, load, "W", design.mean_load),
        ("heat into the vessel", lift.rejected(load, hot), _total(result, loop, use, "reject"), "W", load),
        ("power of the chillers", lift.electric(load, hot), _total(result, loop, use, "power"), "W", load),
        ("vessel", design.vessel_temperature, hot, "K", design.vessel_temperature - design.ambient),
    ]
    return tuple(_compared(*row) for row in rows)


REASONS = {
    "heat taken by the chillers": "rooms are held by switches about the middle of their limits, and walls "
    "and moisture take and give over the day what the closed form counts at its worst hour",
    "heat into the vessel": "chillers run at part load, against the liquid's own temperature of the moment",
    "power of the chillers": "chillers that cycle below their lowest step lose by it, and the liquid that "
    "leaves them is colder or warmer than the mean for which the closed form counts",
    "vessel": "the turbines' governor throttles about its pressure, and other heat rests while it is warm",
}


def _compared(what: str, form: float, run: float, unit: str, scale: float) -> Agreement:
    differs = abs(run - form) > AGREES * abs(scale)
    return Agreement(what, form, run, unit, abs(scale), REASONS[what] if differs else "")
