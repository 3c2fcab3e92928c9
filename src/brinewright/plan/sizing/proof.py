"""Proof by simulation: a day of the loop, held against the brief and against the closed form."""

from dataclasses import dataclass

from brinewright.checks.check import check
from brinewright.checks.finding import Finding
from brinewright.errors import BrinewrightError
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing.build import Built
from brinewright.plan.sizing.design import Design
from brinewright.plan.sizing.judge import Judge
from brinewright.plan.sizing.needs import DAY
from brinewright.results import Result
from brinewright.run.simulate import simulate

AGREES = 0.01
"""Greatest difference between closed form and run that needs no reason [-]."""
TOUCHES = 0.05
"""By how much a temperature may pass its limit before it counts: the run's digits [K]."""


@dataclass(frozen=True)
class Agreement:
    """One figure of the closed form beside the run."""

    what: str
    closed_form: float
    run: float
    unit: str
    scale: float
    """What the difference is a share of, in the same unit."""
    reason: str = ""
    """Why they differ by more than `AGREES`."""

    @property
    def difference(self) -> float:
        """Return the difference as a share of the scale."""
        return abs(self.run - self.closed_form) / self.scale if self.scale else 0.0


@dataclass(frozen=True)
class Proof:
    """What a simulated day shows."""

    holds: bool
    failures: tuple[str, ...]
    agreements: tuple[Agreement, ...]
    consumers: tuple[tuple[str, float, float], ...]
    """Tag, coldest and warmest [K]."""
    supply: tuple[float, float, float]
    """Coldest, mean and warmest supply [K]."""
    vessel: tuple[float, float, float]
    """Coldest, mean and hottest [K]."""
    battery_least: float
    """Least energy in the battery [J]; 0 if there is none."""
    battery_fall: float
    """Deepest fall of its energy from a peak [J]."""
    findings: tuple[Finding, ...]
    """Serious findings of the check."""
    advice: tuple[Finding, ...]
    """Other findings."""
    result: Result | None
    codes: tuple[str, ...] = ()
    """Of what failed: events, findings, or "consumer"."""

    @property
    def needed_from_cold(self) -> float:
        """Return what a start from cold takes, where a finding says that it can't be had [J]."""
        needed = [finding.measure.limit for finding in self.findings if finding.code == "BW-F117"]
        return max(needed, default=0.0)

    @property
    def lacks_power(self) -> bool:
        """Return whether the plant was short of power for a while."""
        return self.result is None or any(event.code in WITHOUT_POWER for event in self.result.events)


NOTHING = (0.0, 0.0, 0.0)
WITHOUT_POWER = ("power-short", "shed", "brown-out")
"""Events of a plant that is short of power for a while."""


def prove(judge: Judge, design: Design, built: Built, rules: Rulebook) -> Proof:
    """Run a day of a loop and hold it against the brief."""
    try:
        result = simulate(built.loop, rules, duration=DAY)
        report = check(built.loop, rules, day=result)
    except BrinewrightError as error:
        failed = (f"the loop does not run: {error}",)
        return Proof(False, failed, (), (), NOTHING, NOTHING, 0.0, 0.0, (), (), None, ("engine",))
    failures = [
        f"at {event.time_s / 3600.0:.1f} h {event.tag}: {event.text}"
        for event in result.events
        if event.code in SERIOUS
    ]
    consumers = []
    for need in judge.setting.needs:
        row = _row(result, need.tag, "temperature")
        consumers.append((need.tag, row["min"], row["max"]))
        if row["max"] > need.highest + TOUCHES:
            failures.append(f"{need.tag} reaches {row['max'] - 273.15:.2f} degC")
        if need.lowest and row["min"] < need.lowest - TOUCHES:
            failures.append(f"{need.tag} falls to {row['min'] - 273.15:.2f} degC")
    if not result.outcome.is_done:
        failures.append(f"the run ended early: {result.outcome.name}")
    short = result.power.get("shortfall_kWh", 0.0)
    if short > 0.01:
        failures.append(f"{short:.1f} kWh were asked for and not given")
    serious = tuple(finding for finding in report.findings if finding.is_serious)
    failures += [f"{finding.code}: {finding.measure.text}" for finding in serious]
    tank = "TK-103" if "supply" in design.tanks else "TK-101"
    return Proof(
        holds=not failures,
        failures=tuple(failures),
        agreements=_agreements(judge, design, built, result, tank),
        consumers=tuple(consumers),
        supply=_band(result, tank),
        vessel=_band(result, "VE-301"),
        battery_least=result.power.get("battery_least_kWh", 0.0) * 3.6e6,
        battery_fall=_fall(result),
        findings=serious,
        advice=tuple(finding for finding in report.findings if not finding.is_serious),
        result=result,
        codes=(
            *(event.code for event in result.events if event.code in SERIOUS),
            *(finding.code for finding in serious),
            *(("consumer",) if failures else ()),
        ),
    )


SERIOUS = (
    "too-warm",
    "too-cold",
    "too-humid",
    "overheated",
    "freezing",
    "boiling",
    "dry",
    "standing",
    "carry-over",
    "liquid-full",
    "relief",
    "blows",
    "shed",
    "brown-out",
    "power-short",
    "bus-overload",
    "feeder-opened",
    "feeder-overload",
)
"""Events after which a loop is no proof."""


def _fall(result: Result) -> float:
    """Return the deepest fall of the energy of the battery from a peak [J]."""
    if "BT-901" not in result.columns:
        return 0.0
    best = fall = 0.0
    for energy in result.values[:, result.columns["BT-901"]["energy"]].astype(float):
        best = max(best, energy)
        fall = max(fall, best - energy)
    return float(fall)


def _row(result: Result, tag: str, quantity: str) -> dict[str, float]:
    return result.statistics.row(result.columns[tag][quantity])


def _band(result: Result, tag: str) -> tuple[float, float, float]:
    row = _row(result, tag, "temperature")
    return row["min"], row["mean"], row["max"]


def _agreements(
    judge: Judge, design: Design, built: Built, result: Result, tank: str
) -> tuple[Agreement, ...]:
    """Return the figures of the closed form beside those of the run, with the reason where they differ."""
    day = judge.day(design)
    chillers = [part.tag for part in built.loop.parts if part.use == design.choice.chiller.use]
    turbines = [
        part.tag
        for part in built.loop.parts
        if design.choice.turbine is not None and part.use == design.choice.turbine.use
    ]

    def total(tags: list[str], quantity: str) -> float:
        return sum(_row(result, tag, quantity)["mean"] for tag in tags)

    drop = design.choice.chiller.number("drop")
    around = judge.setting.ambient
    vessel, supply = _row(result, "VE-301", "temperature")["mean"], _row(result, tank, "temperature")["mean"]
    stored = _stored(judge, design, result)
    rows = [
        ("heat taken by the chillers", day["load"], total(chillers, "cooling"), "W", day["load"]),
        ("heat into the vessel", day["rejected"], total(chillers, "reject"), "W", day["rejected"]),
        (
            "power of the chillers",
            day["chillers_power"],
            total(chillers, "power"),
            "W",
            day["chillers_power"],
        ),
        ("power of the turbines", day["generated"], total(turbines, "generated"), "W", day["generated"]),
        ("vessel", day["vessel"], vessel, "K", day["vessel"] - around),
        ("mean supply", day["supply"], supply, "K", max(design.mean.hot - design.mean.supply, drop)),
    ]
    band = _band(result, tank)
    made = []
    for what, form, run, unit, scale in rows:
        agreement = Agreement(what, form, run, unit, abs(scale))
        if agreement.difference > AGREES:
            agreement = Agreement(
                what, form, run, unit, abs(scale), _reason(what, form - run, stored, band, day["load"])
            )
        made.append(agreement)
    return tuple(made)


def _stored(judge: Judge, design: Design, result: Result) -> float:
    """Return the mean power that the liquid and the consumers gave back or kept over the day [W]."""
    c, kept = design.choice.liquid.heat_capacity, 0.0
    for tag in ("TK-101", "TK-102", "TK-103"):
        if tag in result.columns:
            mass, temperature = _row(result, tag, "mass"), _row(result, tag, "temperature")
            kept += c * (mass["last"] * temperature["last"] - mass["first"] * temperature["first"])
    for need in judge.setting.needs:
        row = _row(result, need.tag, "temperature")
        kept += need.capacity * (row["last"] - row["first"])
    return kept / DAY


def _reason(
    what: str, difference: float, stored: float, band: tuple[float, float, float], load: float
) -> str:
    """Return why a run differs from the closed form."""
    if what == "mean supply":
        return (
            f"the supply hunts between {band[0] - 273.15:.1f} and {band[2] - 273.15:.1f} degC and follows "
            f"each change of the load only after its tanks and consumers have warmed or cooled; "
            f"the closed form takes every moment at rest"
        )
    if abs(stored) > 0.3 * abs(difference) and what.startswith("heat"):
        return (
            f"tanks and consumers kept {stored / 1e3:.1f} kW on the mean of this day: "
            f"they ended warmer or colder than they began"
        )
    return (
        f"the run begins near rest but not at it, and hunts: {abs(stored) / load:.1%} of the load went into "
        f"or out of tanks and consumers, and the vessel follows over hours"
    )
