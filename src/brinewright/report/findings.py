"""Findings told in words for a terminal, and one criterion explained with a loop's numbers."""

import textwrap

from brinewright.checks.finding import Finding, margin_shown, shown
from brinewright.checks.report import Report
from brinewright.model.criterion import SEVERITIES, Criterion
from brinewright.results.caution import caution

WIDTH = 96
NEAREST = 5
"""Kept criteria that are told as the nearest to their limits."""
EACH = 3
"""Places that are told in full for one criterion."""


def findings_in_words(report: Report) -> str:
    """Return what was found in a loop, the most serious first, in lines for a terminal."""
    lines = [_opening(report), ""]
    told: dict[str, int] = {}
    for finding in report.findings:
        told[finding.code] = told.get(finding.code, 0) + 1
        if told[finding.code] <= EACH:
            lines += _one(finding)
    lines += [
        f"  {code}: {count - EACH} more places like this." for code, count in told.items() if count > EACH
    ]
    near = sorted(report.kept, key=lambda finding: finding.relative_margin)
    near = [f for f in near if f.measure.quantity != "count" and f.measure.limit != 0.0][:NEAREST]
    if near:
        lines += ["Nearest to a limit, and kept:"]
        lines += [_wrapped(f"{finding.code}  {_margin(finding)}  {finding.measure.text}") for finding in near]
        lines += [""]
    if report.questions:
        codes = sorted({finding.code for finding in report.questions})
        lines += [
            _wrapped(
                f"{len(codes)} questions for a person to look at and sign: {', '.join(codes)}. "
                "--explain CODE asks each.",
                0,
            )
        ]
    laws, parts = (len(report.absent.get(why, ())) for why in ("laws", "parts"))
    lines += [
        _wrapped(
            f"{report.applying} criteria apply here; {laws} belong to other laws, "
            f"{parts} to parts that this loop lacks.",
            0,
        ),
        textwrap.fill(caution(report.world), WIDTH),
    ]
    return "\n".join(lines) + "\n"


def _opening(report: Report) -> str:
    counts = report.counts()
    told = [f"{counts[severity]} {SEVERITIES[severity]}" for severity in "SCWA" if counts[severity]]
    waived = sum(bool(finding.waived) for finding in report.findings)
    told += [f"{waived} waived"] if waived else []
    return f"{report.name}: {'; '.join(told) or 'nothing found'}."


def _one(finding: Finding) -> list[str]:
    criterion, measure = finding.criterion, finding.measure
    lines = [f"{finding.severity}  {finding.code}  {criterion.title}: {', '.join(finding.subject)}"]
    lines.append(_wrapped(measure.text))
    if measure.quantity != "count":
        lines.append(_wrapped(_against(finding)))
    lines.append(_wrapped(criterion.consequence))
    lines.append(_wrapped(f"Do: {measure.remedy or criterion.remedy}"))
    if finding.waived:
        lines.append(_wrapped(f"Waived: {finding.waived}"))
    if finding.lapsed:
        lines.append(_wrapped(f"Its waiver has lapsed: {finding.lapsed}."))
    return [*lines, ""]


def _against(finding: Finding) -> str:
    measure = finding.measure
    value, limit = (shown(number, measure.quantity) for number in (measure.value, measure.limit))
    return f"{value}, must be {measure.bound} {limit}: margin {margin_shown(measure)}."


def _margin(finding: Finding) -> str:
    return margin_shown(finding.measure)


def _wrapped(text: str, indent: int = 6) -> str:
    space = " " * indent
    return textwrap.fill(text, WIDTH, initial_indent=space, subsequent_indent=space)


def explained(criterion: Criterion, report: Report) -> str:
    """Return what a criterion means: a teacher's sentence, its formula with this loop's numbers."""
    judged = [finding for finding in (*report.findings, *report.kept) if finding.code == criterion.code]
    lines = [
        f"{criterion.code}  {criterion.title} ({SEVERITIES[criterion.severity]}; by {criterion.method})",
        _wrapped(criterion.lesson),
        "",
        _wrapped(f"Raised when {criterion.formula}."),
    ]
    for finding in judged:
        lines += ["", _wrapped(finding.measure.text)]
        lines += [
            _wrapped(f"{n.symbol} = {shown(n.value, n.quantity)}{': ' + n.text if n.text else ''}", 8)
            for n in finding.measure.numbers
        ]
        if finding.measure.quantity != "count":
            lines.append(_wrapped(_against(finding)))
    asked = [finding for finding in report.questions if finding.code == criterion.code]
    if asked:
        lines += ["", _wrapped(f"Look at and sign: {criterion.question}")]
        lines += [_wrapped(finding.measure.text, 8) for finding in asked if finding.measure.text]
    if not judged and not asked:
        lines += ["", _wrapped("It cannot occur in this loop: its laws or its parts leave no room for it.")]
    lines += [
        "",
        _wrapped(f"If it stands: {criterion.consequence}"),
        _wrapped(f"Do: {criterion.remedy}"),
        _wrapped(f"Source: {criterion.source}"),
    ]
    return "\n".join(lines) + "\n"
