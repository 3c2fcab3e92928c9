"""A run told in words and a few numbers, for a terminal and for somebody new to it."""

import textwrap

from brinewright.report.along import stations
from brinewright.report.panel import CHILLED, COOLED, TANKS, VESSELS, Pick, as_read
from brinewright.report.sheet import span_text
from brinewright.report.telling import often, told_once
from brinewright.results import Result, Series
from brinewright.results.caution import caution

WIDTH, LABEL, EVENTS = 96, 20, 5
"""Columns of the text, of its left part, and events that are told in full."""


def in_words(result: Result) -> str:
    """Return what happened in a run, in lines of at most about a hundred letters."""
    rows = [
        ("What is cooled", _ranges(result, COOLED)),
        ("Liquid", _liquid(result)),
        ("Chillers", _heat_taken(result)),
        ("Tanks", _levels(result)),
        ("Vessel", _ranges(result, VESSELS)),
        ("Power", _power(result)),
        ("Switches", _switches(result)),
        ("Against physics", _against_physics(result)),
        ("Books", _books(result)),
        ("Events", _events(result)),
    ]
    told = "\n".join(_row(label, text) for label, text in rows if text)
    return f"{_opening(result)}\n{told}\n{textwrap.fill(caution(result.world), WIDTH)}\n"


def _opening(result: Result) -> str:
    ended = (
        "It ran to the end."
        if result.outcome.is_done
        else f"Not to the end: {result.outcome.name.removeprefix('stopped: ')}."
    )
    first = f"{result.name}: {span_text(result.simulated_s)} simulated in {span_text(result.wall_s)}. {ended}"
    return "\n".join(filter(None, (first, textwrap.fill(result.outcome.advice, WIDTH))))


def _row(label: str, text: str) -> str:
    indent = " " * LABEL
    lines = [
        textwrap.fill(line, WIDTH, initial_indent=indent, subsequent_indent=indent)
        for line in text.splitlines()
    ]
    return f"  {label}".ljust(LABEL) + "\n".join(lines)[LABEL:]


def _picked(result: Result, pick: Pick) -> list[Series]:
    return [as_read(series) for series in pick.of(result)]


def _ranges(result: Result, pick: Pick) -> str:
    told = [
        f"{series.tag} {series.min:.1f} to {series.max:.1f} °C, mean {series.mean:.1f}"
        for series in _picked(result, pick)
    ]
    return "; ".join(told[:8]) + (f"; and {len(told) - 8} more" if len(told) > 8 else "")


def _liquid(result: Result) -> str:
    places = stations(result)
    if not places:
        return ""
    cold = min(places, key=lambda station: station.coldest)
    warm = max(places, key=lambda station: station.warmest)
    return f"coldest {cold.coldest:.1f} °C at {cold.tag}, warmest {warm.warmest:.1f} °C at {warm.tag}"


def _heat_taken(result: Result) -> str:
    found = _picked(result, CHILLED)
    if not found:
        return ""
    mean = sum(series.mean for series in found)
    each = ", ".join(f"{series.tag} {series.mean:,.0f}" for series in found[:8])
    return f"take {mean:,.0f} kW of heat on average" + (f" ({each})" if len(found) > 1 else "")


def _levels(result: Result) -> str:
    return "; ".join(
        f"{series.tag} {100 * series.min:.0f} to {100 * series.max:.0f} % full" for series in TANKS.of(result)
    )


def _power(result: Result) -> str:
    return ", ".join(
        f"{name.removesuffix('_kWh').replace('_', ' ')} {value:,.0f} kWh"
        for name, value in result.power.items()
        if name.endswith("_kWh")
    )


def _switches(result: Result) -> str:
    if not result.switch_changes:
        return ""
    busiest = max(result.switch_changes, key=lambda tag: result.switch_changes[tag])
    total = sum(result.switch_changes.values())
    return f"{total:,} changes in all, most by {busiest}: {result.switch_changes[busiest]:,}"


def _against_physics(result: Result) -> str:
    told = []
    lost = result.audits.get("heat_unaccounted_kW")
    if lost is not None and abs(lost) >= 0.05:
        does = "let heat vanish" if lost > 0 else "make heat from nothing"
        told.append(f"the declared laws {does}: {abs(lost):,.0f} kW on average")
    for tag, entry in result.audits.get("second_law", {}).items():
        share = entry.get("efficiency")
        if share is not None and share > 1.0:
            times = f"{share:.1f} times" if share >= 1.05 else "a little more than"
            told.append(f"{tag} does {times} what the second law allows")
    return "; ".join(told)


def _books(result: Result) -> str:
    energy, mass = (
        f"{share:.1e}" if share else "0" for share in (result.energy_residual, result.mass_residual)
    )
    return f"energy closes to {energy} of what was exchanged, mass to {mass}"


def _events(result: Result) -> str:
    events = told_once(result.events)
    told = [f"{event.clock} {event.tag}: {event.text}{often(count)}" for event, count in events[:EVENTS]]
    more = len(events) - EVENTS
    return "\n".join([*told, f"and {more:,} others"] if more > 0 else told)
