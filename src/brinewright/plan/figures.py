"""The figures by which designs are held against each other, from a run and from what a loop states."""

import math
from collections.abc import Iterable

from brinewright.checks.case import LoopCase
from brinewright.compile.view import View
from brinewright.model.part_view import PartView
from brinewright.plan.comparison import Figure
from brinewright.plan.pipework import Pipework
from brinewright.results import Result, Series

ZERO = 273.15
HOURS = 3600.0
Row = tuple[str, str, str, str, float | None]
"""Group, tag, quantity, unit and value."""


def side_by_side(rows: Iterable[list[Row]]) -> tuple[Figure, ...]:
    """Return the figures of several designs, those of one place and quantity in one row."""
    designs = [{row[:4]: row[4] for row in design} for design in rows]
    keys = sorted(
        dict.fromkeys(key for design in designs for key in design), key=lambda key: GROUPS.index(key[0])
    )
    return tuple(
        Figure(
            group=group,
            subject=subject,
            quantity=quantity,
            unit=unit,
            values=tuple(design.get((group, subject, quantity, unit)) for design in designs),
        )
        for group, subject, quantity, unit in keys
    )


GROUPS = ("what is cooled", "supply", "vessel", "power", "chillers", "machines", "mass", "switches")


def figures_of(case: LoopCase, result: Result | None) -> list[Row]:
    """Return the figures of one design, in the units that people read."""
    rows: list[Row] = []
    if result is not None:
        rows += _cooled(case, result)
        rows += _supply(case, result)
        rows += _vessels(result)
        rows += _power(result)
        rows += _chillers(case, result)
        rows.append(("switches", "", "changes", "", float(sum(result.switch_changes.values()))))
    rows += _machines(case)
    rows += _masses(case)
    return rows


def _spread(group: str, tag: str, series: Series, what: str = "") -> list[Row]:
    celsius = series.to("degC")
    prefix = f"{what} " if what else ""
    return [
        (group, tag, (f"{prefix}{name}"), "degC", float(getattr(celsius, name)))
        for name in ("min", "mean", "max")
    ]


def _cooled(case: LoopCase, result: Result) -> list[Row]:
    rows: list[Row] = []
    for view in case.playing("consumer"):
        if view.tag in result and "temperature" in result[view.tag]:
            series = result[view.tag]["temperature"]
            rows += _spread("what is cooled", view.tag, series)
            margin = view.number("highest_temperature") - series.max
            rows.append(("what is cooled", view.tag, "margin to its limit", "K", margin))
    return rows


def _supply(case: LoopCase, result: Result) -> list[Row]:
    """Return how cold and how much the consumers get: the ends of the lines that lead to them."""
    rows: list[Row] = []
    lines = [line.tag for view in case.playing("consumer") for line in case.into(view.tag)]
    ends = [result[tag]["outlet temperature"] for tag in lines if "outlet temperature" in result[tag]]
    flows = [result[tag]["flow"] for tag in lines if "flow" in result[tag]]
    if ends:
        total = sum(flow.mean for flow in flows)
        # what passes counts, not what stands: weighted by the mean flow of each line
        mean = (
            sum(end.mean * flow.mean for end, flow in zip(ends, flows, strict=True)) / total
            if total > 1e-9
            else math.nan
        )
        rows.append(("supply", "", "coldest", "degC", min(end.min for end in ends) - ZERO))
        rows.append(("supply", "", "mean", "degC", mean - ZERO if math.isfinite(mean) else None))
        rows.append(("supply", "", "warmest", "degC", max(end.max for end in ends) - ZERO))
        rows.append(("supply", "", "flow", "kg/s", total))
    return rows


def _vessels(result: Result) -> list[Row]:
    return [
        row
        for tag in result
        if "steam out" in result[tag] and "temperature" in result[tag]
        for row in _spread("vessel", tag, result[tag]["temperature"])
    ]


def _power(result: Result) -> list[Row]:
    hours = max(result.simulated_s, 1.0) / HOURS
    energy = result.power
    rows: list[Row] = []
    if "generated_kWh" in energy:
        made, used = energy["generated_kWh"], energy.get("consumed_kWh", 0.0)
        rows.append(("power", "", "generated, mean", "kW", made / hours))
        rows.append(("power", "", "consumed, mean", "kW", used / hours))
        rows.append(("power", "", "net, mean", "kW", (made - used - energy.get("lost_kWh", 0.0)) / hours))
    troughs = [series.min / 1000.0 for series in _of(result, "balance")]
    if troughs:
        rows.append(("power", "", "net, trough", "kW", min(troughs)))
    for series in _of(result, "charge"):
        rows.append(("power", series.tag, "least charge", "%", 100.0 * series.min))
        rows.append(("power", series.tag, "last charge", "%", 100.0 * series.last))
    if "shortfall_kWh" in energy:
        rows.append(("power", "", "not delivered", "kWh", energy["shortfall_kWh"]))
    lost = result.audits.get("heat_unaccounted_kW")
    if lost is not None:
        rows.append(("power", "", "heat unaccounted for", "kW", float(lost)))
    return rows


def _of(result: Result, quantity: str) -> list[Series]:
    return [result[tag][quantity] for tag in result if quantity in result[tag]]


def _chillers(case: LoopCase, result: Result) -> list[Row]:
    rows: list[Row] = []
    duty = power = 0.0
    for view in case.playing("cooler"):
        part = result[view.tag]
        if "cooling" in part:
            duty += part["cooling"].mean / 1000.0
        if "power" in part:
            power += part["power"].mean / 1000.0
    if case.playing("cooler"):
        rows.append(("chillers", "", "heat taken, mean", "kW", duty))
        rows.append(("chillers", "", "heat taken per power", "", duty / power if power > 0.0 else None))
    passed = sum(
        result[view.tag]["flow"].mean for view in case.playing("cooler") if "flow" in result[view.tag]
    )
    served = sum(
        result[view.tag]["flow"].mean for view in case.playing("consumer") if "flow" in result[view.tag]
    )
    if passed > 0.0 and served > 0.0:
        rows.append(("chillers", "", "passes, mean", "", passed / served))
    return rows


def _machines(case: LoopCase) -> list[Row]:
    """Return how many machines of each kind there are, where they draw, give or move anything."""
    counts: dict[str, float] = {}
    for view in case.parts:
        if view.declared.counted or view.declared.role in ("cooler", "mover", "store", "valve"):
            counts[view.kind] = counts.get(view.kind, 0.0) + view.count
    return [("machines", "", _plural(kind), "", count) for kind, count in sorted(counts.items())]


def _plural(kind: str) -> str:
    return kind if kind.endswith("s") else f"{kind}s"


def _masses(case: LoopCase) -> list[Row]:
    """Return liquid at the start by circuit, and metal by material."""
    pipes = Pipework(case.loop, case.rules)
    liquid: dict[str, float] = {}
    for tag in (*pipes.lines, *pipes.parts):
        if not pipes.views[tag].fillings:
            continue
        name = pipes.circuit(tag)
        litres = pipes.litres(tag)
        if pipes.is_store(tag):
            view = pipes.views[tag]
            litres = 1000.0 * view.number("volume") * (view.begins_at("level") or 0.0)
        liquid[name] = liquid.get(name, 0.0) + litres / 1000.0 * pipes.density(tag)
    metal: dict[str, float] = {}
    for view in case.parts:
        made_of = view.material.name if view.material else "no material stated"
        for name in _masses_of(view):
            metal[made_of] = metal.get(made_of, 0.0) + view.count * view.number(name)
    return [
        *(("mass", name, "liquid", "t", mass / 1000.0) for name, mass in sorted(liquid.items())),
        *(("mass", name, "metal of machines", "t", mass / 1000.0) for name, mass in sorted(metal.items())),
    ]


def _masses_of(view: PartView) -> tuple[str, ...]:
    names = ("metal_mass", "casing_mass", "shell_mass")
    assert isinstance(view, View)
    return tuple(name for name in names if view.declares(name) and view.has(name))
