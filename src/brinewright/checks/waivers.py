"""Waivers: findings that an owner accepts for a reason, until they get worse."""

import re
from collections.abc import Sequence
from dataclasses import replace

from brinewright.checks.finding import DIFFERENCE_OF, Finding, margin_shown
from brinewright.errors import InputError
from brinewright.model.loop import Waiver
from brinewright.units import parse

_UNTIL = re.compile(r"margin (below|above) (.+)")


def with_waivers(findings: Sequence[Finding], waivers: Sequence[Waiver]) -> tuple[Finding, ...]:
    """Return the findings, each with the reason for which it is waived or why that has lapsed."""
    by_code = {waiver.finding: waiver for waiver in waivers}
    return tuple(_judged(finding, by_code.get(finding.code)) for finding in findings)


def _judged(finding: Finding, waiver: Waiver | None) -> Finding:
    if waiver is None or not finding.measure.is_broken:
        return finding
    lapsed = _lapsed(finding, waiver)
    return replace(finding, lapsed=lapsed) if lapsed else replace(finding, waived=waiver.reason)


def _lapsed(finding: Finding, waiver: Waiver) -> str:
    """Return why a waiver no longer stands, or ""."""
    match = _UNTIL.fullmatch(waiver.until)
    if match is None:
        return ""
    text = match[2].strip()
    sign, plain = (-1.0, text[1:].strip()) if text.startswith("-") else (1.0, text)
    if plain.endswith("%"):
        margin, bound = finding.relative_margin, sign * parse(plain, "ratio")
    else:
        quantity = finding.measure.quantity
        try:
            bound = sign * parse(plain, DIFFERENCE_OF.get(quantity, quantity))
        except InputError:
            return f'"{waiver.until}" is no margin of {finding.code}, which is one of {quantity}'
        margin = finding.margin
    is_past = margin < bound if match[1] == "below" else margin > bound
    shown = f"{finding.relative_margin:+.0%}" if plain.endswith("%") else margin_shown(finding.measure)
    return f"its margin is {shown}, {match[1]} {text}" if is_past else ""
