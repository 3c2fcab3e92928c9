"""A change of liquid, an extension, and as-built against design, told in words for a terminal."""

import textwrap
from collections.abc import Iterable

from brinewright.plan.as_built import AsBuilt, Deviation
from brinewright.plan.comparison import Comparison
from brinewright.plan.extension import Extension, Need
from brinewright.plan.growth import Growth
from brinewright.plan.liquid_change import LiquidChange
from brinewright.results.caution import caution

WIDTH = 96
ZERO = 273.15
TOLD = 40
"""Differences that are told in a terminal; JSON has them all."""


def liquid_change_in_words(change: LiquidChange) -> str:
    """Return a change of liquid: flushes and residue, margins, set points, what to look at again."""
    mixture = change.mixture
    lines = [
        _filled(
            f"{change.name}, {change.circuit}: {change.old} out, {change.new} in. "
            f"{change.volume:.0f} l in all; an emptying leaves {change.stays:.0f} l behind "
            f"({100 * change.share:.2g} %)."
        ),
        _filled(
            f"{change.flushes} flushes and the last fill leave {100 * change.residue:.3g} % of the "
            "old liquid "
            f"({', '.join(f'{100 * one:.3g} %' for one in change.residues)} after each fill). "
            f"{change.to_dispose:.0f} l come out and must go somewhere."
        ),
        "",
    ]
    lines += _block(
        "The mixture",
        (
            f"Rule: {mixture.rule}; error: {mixture.error}.",
            (
                f"It freezes at {_degrees(mixture.freezes)} (the new liquid alone "
                f"{_degrees(mixture.freezes_pure)}), "
                f"the coldest liquid is {_degrees(change.coldest)}: margin {change.freeze_margin:+.1f} K."
            ),
            (
                f"It boils at {_degrees(mixture.boils)} "
                f"(the new liquid alone {_degrees(mixture.boils_pure)}), "
                f"the hottest liquid is {_degrees(change.hottest)}: margin {change.boil_margin:+.1f} K."
            ),
        ),
    )
    lines += _block("What it does to flow and heat", _carried(change))
    lines += _block(
        "Set points, for the same supply"
        + (f" of {_degrees(change.supply)}" if change.supply is not None else ""),
        (
            f"{one.tag}: {_degrees(one.now)} now, {_degrees(one.then)} then "
            f"(at the mean load alone {_degrees(one.by_closed_form)})."
            for one in change.set_points
        ),
    )
    lines += _faults((f.severity, f.code, f.text, f.remedy) for f in change.faults)
    lines += _block("Look at again", change.recheck)
    lines += _sides(change.comparison)
    return _ended(lines, change.world)


def _carried(change: LiquidChange) -> Iterable[str]:
    before, after = change.heat_capacity
    yield (
        f"It carries {after / 1000:.3g} kJ/(kg K) instead of {before / 1000:.3g}: the same load "
        "warms the same flow "
        f"{change.rise_ratio:.3f} times as much, or wants {change.flow_ratio:.3f} times the flow "
        "(heat = flow times "
        "capacity times rise)."
    )
    yield f"It weighs {change.density[1]:.0f} kg/m3 instead of {change.density[0]:.0f}."
    if all(change.viscosity):
        yield (
            f"Its viscosity is {1000 * change.viscosity[1]:.3g} mPa s instead of "
            f"{1000 * change.viscosity[0]:.3g}."
        )
    if change.passes and change.chillers_needed:
        yield (
            f"Mean passes through the chillers: {change.passes[1]:.2f} instead of "
            f"{change.passes[0]:.2f}; chillers "
            f"needed: {change.chillers_needed[1]} instead of {change.chillers_needed[0]}."
        )


def extension_in_words(told: Extension) -> str:
    """Return whether a plant carries an extension, and what must grow."""
    does = "carries it as it is" if told.carries else "does NOT carry it as it is"
    first = f"{told.name}, {'; '.join(told.added)}: the plant {does}."
    if not told.carried_before:
        first += " It does not hold its limits without it either."
    lines = [_filled(first), ""]
    if told.needs:
        lines += _block("By the closed form", map(_need, told.needs))
    else:
        lines += [_filled(f"There is no closed form for it: {told.no_closed_form}."), ""]
    if not told.carries:
        title = "What must grow" if told.carries_grown else "What helps, and is not enough"
        lines += _block(title, map(_growth, told.growth)) or ["Nothing that was tried helps.", ""]
    lines += _sides(told.comparison)
    return _ended(lines, told.world)


def _need(need: Need) -> str:
    unit = f" {need.unit}" if need.unit else ""
    has = "" if need.has is None else f"; there is {need.has:,.4g}{unit}"
    return (
        f"{need.what}: {need.now:,.4g} now, {need.then:,.4g}{unit} "
        f"then{has}{'' if need.holds else ': NOT enough'}."
    )


def _growth(step: Growth) -> str:
    ends = "holds" if step.holds else "not yet"
    return (
        f"{step.subject}: {step.parameter} from {step.now} to {step.then}; least margin then "
        f"{step.worst_margin:+.2f} K, {ends}."
    )


def as_built_in_words(told: AsBuilt) -> str:
    """Return the list of what was built differently, the gravest consequence first."""
    counted = len(told.deviations)
    grave = sum(one.matters for one in told.deviations)
    lines = [
        _filled(
            f"{told.name}: {counted} differences from the design, {grave} of them matter by themselves. "
            f"All together: {told.effect}"
        ),
        "",
    ]
    lines += _block("Differences, the gravest first", map(_deviation, told.deviations[:TOLD]))
    if counted > TOLD:
        lines += [f"and {counted - TOLD} more, with --json", ""]
    lines += _sides(told.comparison)
    return _ended(lines, told.world)


def _deviation(one: Deviation) -> str:
    mark = "!" if one.matters else " "
    name = f"{one.subject}.{one.parameter}" if one.parameter else one.subject
    return f"{mark} {name}: {one.design or 'not there'} drawn, {one.built or 'not there'} built. {one.effect}"


def _sides(told: Comparison) -> list[str]:
    """Return the figures of a comparison in which the designs differ, a line each."""
    rows = []
    for figure in told.figures:
        values = figure.values
        known = [value for value in values if value is not None]
        if len(known) < len(values) or max(known) - min(known) <= 1e-3 * max(map(abs, known)):
            continue
        what = " ".join(filter(None, (figure.subject, figure.quantity)))
        rows.append(f"{what}: {' / '.join(f'{value:,.4g}' for value in known)} {figure.unit}".rstrip())
    upsets = [f"{told.names[one.design]}: {one.text}" for one in told.upsets]
    found = [
        f"{one.severity}  {one.code}  {one.title}: {', '.join(one.subject)} "
        f"({', '.join(name for name, text in zip(told.names, one.texts, strict=True) if text)})"
        for one in told.findings
    ]
    title = f"Side by side: {' / '.join(told.names)}"
    return [*_block(title, rows), *_block("Out of order", upsets), *_block("Findings", found)]


def _faults(rows: Iterable[tuple[str, str, str, str]]) -> list[str]:
    return _block(
        "In the way", ((f"{severity}  {code}  {text} {remedy}") for severity, code, text, remedy in rows)
    )


def _degrees(kelvin: float) -> str:
    return f"{kelvin - ZERO:.1f} degC"


def _block(title: str, rows: Iterable[str]) -> list[str]:
    told = [
        textwrap.fill(row, WIDTH, initial_indent="  ", subsequent_indent="    ", drop_whitespace=True)
        for row in rows
    ]
    return [title, *told, ""] if told else []


def _filled(text: str) -> str:
    return textwrap.fill(text, WIDTH)


def _ended(lines: list[str], world: str) -> str:
    return "\n".join([*lines, _filled(caution(world))]) + "\n"
