"""Findings told in words for a terminal, and one criterion explained with a loop's numbers."""

import textwrap
from collections.abc import Sequence

from brinewright.checks.finding import Finding, margin_shown, shown
from brinewright.checks.report import Report
from brinewright.model.criterion import SEVERITIES, Criterion
from brinewright.results.caution import caution

WIDTH = 96
NEAREST = 5
"""Kept criteria that are told as the nearest to their limits."""
EACH = 3
"""Places that are told in full for one criterion."""
JUDGED_BY = {
    "structure": "Judged from how the parts are joined.",
    "closed form": "Judged in closed form, without a run.",
    "run": "Judged from the run of a day.",
    "contingency": "Judged with something lost.",
    "question": "Judged by a person, who looks and signs.",
}


def findings_in_words(report: Report) -> str:
    """Return what was found in a loop, the most serious first, in lines for a terminal."""
    lines = [textwrap.fill(_opening(report), WIDTH), ""]
    for severity in SEVERITIES:
        lines += _of_severity([finding for finding in report.findings if finding.severity == severity])
    lines += _nearest(report)
    lines += _headroom(report)
    lines += _questions(report)
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
    told = [f"{counts[severity]} x {word}" for severity, word in SEVERITIES.items() if counts[severity]]
    waived = sum(bool(finding.waived) for finding in report.findings)
    told += [f"{waived} waived"] if waived else []
    grave = {finding.code for finding in report.open_questions if finding.severity == "S"}
    plural = "s" if len(grave) > 1 else ""
    asked = f" {len(grave)} question{plural} on the safety of people not signed." if grave else ""
    return f"{report.name}: {'; '.join(told) or 'no fault found'}.{asked}"


def _of_severity(findings: Sequence[Finding]) -> list[str]:
    """Return the findings of one severity under its name."""
    if not findings:
        return []
    lines = [_capital(SEVERITIES[findings[0].severity]), ""]
    by_code: dict[str, list[Finding]] = {}
    for finding in findings:
        by_code.setdefault(finding.code, []).append(finding)
    for same in by_code.values():
        for finding in same[:EACH]:
            lines += _one(finding)
        if more := same[EACH:]:
            places = ", ".join(finding.subject[0] for finding in more[:8] if finding.subject)
            lines += [_wrapped(f"{more[0].code}  {len(more)} more like this: {places}.", 2), ""]
    return lines


def _one(finding: Finding) -> list[str]:
    criterion, measure = finding.criterion, finding.measure
    subject = f": {', '.join(finding.subject)}" if finding.subject else ""
    lines = [_wrapped(f"{finding.code}  {criterion.title}{subject}", 2), _wrapped(measure.text)]
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
    """Return value, limit and margin in a sentence."""
    measure = finding.measure
    value, limit = (shown(number, measure.quantity) for number in (measure.value, measure.limit))
    state = "broken by" if measure.is_broken else "kept by"
    margin = margin_shown(measure).lstrip("+-")
    return f"{value}, must be {measure.bound} {limit}: {state} {margin}."


def _nearest(report: Report) -> list[str]:
    """Return what is kept by the least."""
    near = sorted(report.kept, key=lambda finding: finding.relative_margin)
    near = [f for f in near if f.measure.quantity != "count" and f.measure.limit != 0.0][:NEAREST]
    if not near:
        return []
    lines = ["Nearest to a limit, and kept", ""]
    lines += [
        _wrapped(f"{finding.code}  {margin_shown(finding.measure)}  {finding.measure.text}", 2)
        for finding in near
    ]
    return [*lines, ""]


def _headroom(report: Report) -> list[str]:
    """Return how much more of everything the loop takes."""
    if not report.headroom:
        return []
    return ["How much more it takes", "", *(_wrapped(room.told, 2) for room in report.headroom), ""]


def _questions(report: Report) -> list[str]:
    """Return which questions are open and which are signed."""
    lines = []
    waiting = {finding.code: finding.criterion for finding in report.open_questions}
    if waiting:
        lines += ["Questions for a person to look at and sign (--explain CODE asks each)", ""]
        for severity, word in SEVERITIES.items():
            told = [f"{code} {c.title.lower()}" for code, c in waiting.items() if c.severity == severity]
            if told:
                lines.append(_wrapped(f"{_capital(word)}: {'; '.join(told)}.", 2))
    signed = {finding.code: finding.signed for finding in report.questions if finding.signed}
    lines += [_wrapped(f"Signed: {code} by {who}", 2) for code, who in signed.items()]
    return [*lines, ""] if lines else []


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _wrapped(text: str, indent: int = 6, hanging: int | None = None) -> str:
    space = " " * indent
    further = " " * (indent + 4 if hanging is None and indent == 2 else hanging or indent)
    return textwrap.fill(text, WIDTH, initial_indent=space, subsequent_indent=further)


def explained(criterion: Criterion, report: Report) -> str:
    """Return what a criterion means: a teacher's sentence, its formula with this loop's numbers."""
    found = [finding for finding in report.findings if finding.code == criterion.code]
    broken = {id(finding.measure) for finding in found}
    judged = found + [
        finding
        for finding in report.judged
        if finding.code == criterion.code and id(finding.measure) not in broken
    ]
    asked = [finding for finding in report.questions if finding.code == criterion.code]
    lines = [
        f"{criterion.code}  {criterion.title}",
        f"{_capital(SEVERITIES[criterion.severity])}. {JUDGED_BY[criterion.method]}",
        "",
        _wrapped(criterion.lesson, 2, 2),
        "",
        _wrapped(f"It is raised when {criterion.formula}.", 0),
    ]
    for finding in judged[:EACH]:
        lines += ["", *_with_numbers(finding)]
    if more := judged[EACH:]:
        kept = sum(not finding.measure.is_broken for finding in more)
        told = "all kept by more" if kept == len(more) else f"{len(more) - kept} of them broken"
        lines += ["", _wrapped(f"{len(more)} more places were judged, {told}.", 2)]
    if asked:
        lines += ["", *_asked(criterion, asked)]
    if not judged and not asked:
        lines += [
            "",
            _wrapped("It cannot occur in this loop: its laws or its parts leave no room for it.", 2),
        ]
    remedies = [finding.measure.remedy for finding in found if finding.measure.remedy]
    lines += [
        "",
        _wrapped(f"If it stands: {criterion.consequence}", 0),
        _wrapped(f"What to do: {remedies[0] if remedies else criterion.remedy}", 0),
        _wrapped(f"Source: {criterion.source}.", 0),
    ]
    return "\n".join(lines) + "\n"


def _with_numbers(finding: Finding) -> list[str]:
    """Return one judgement with every number of its formula and where that comes from."""
    lines = [_wrapped(finding.measure.text, 2, 2)]
    for number in finding.measure.numbers:
        come = f": {number.text}" if number.text else ""
        lines.append(_wrapped(f"{number.symbol} = {shown(number.value, number.quantity)}{come}", 6, 10))
    if finding.measure.quantity != "count":
        lines.append(_wrapped(_against(finding), 2, 2))
    if finding.waived:
        lines.append(_wrapped(f"Waived: {finding.waived}", 2, 2))
    return lines


def _asked(criterion: Criterion, asked: Sequence[Finding]) -> list[str]:
    """Return a question, what it is asked about, and who has answered it."""
    lines = [_wrapped(f"Look at and sign: {criterion.question}", 2, 2), ""]
    lines += [_wrapped(f"- {finding.measure.text}", 2, 4) for finding in asked if finding.measure.text]
    if asked[0].signed:
        return [*lines, "", _wrapped(f"Signed by {asked[0].signed}", 2, 2)]
    rows = ("[[signature]]", f'finding = "{criterion.code}"', 'by = "…"', 'on = "YYYY-MM-DD"', 'note = "…"')
    return [
        *lines,
        "",
        _wrapped("To sign it, write in the loop file:", 2, 2),
        *(_wrapped(row) for row in rows),
    ]
