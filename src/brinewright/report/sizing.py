"""A sized loop told in words for a terminal: each decision, its numbers, what lost and by how much."""

import textwrap

from brinewright.plan.sizing import Alternative, Decision, Obstacle, Sized
from brinewright.plan.sizing.record import shown
from brinewright.results.caution import caution

WIDTH = 96
MOST_OBSTACLES = 6
"""Needs that are told when no design meets the brief."""


def sized_in_words(sized: Sized) -> str:
    """Return the answer to a brief in lines for a terminal."""
    lines = [_opening(sized), ""]
    if sized.obstacles:
        lines += _obstacles(sized)
    for decision in sized.decisions:
        lines += _decision(decision)
    if sized.proof is not None:
        lines += _proof(sized)
    if sized.front:
        lines += ["Good designs, each better in something than each of the others:"]
        for corner in sized.front:
            lines.append(_wrapped(f"- {corner.name}", 2))
            told = ", ".join(f"{aim} {_plain(aim, value)}" for aim, value in corner.measures.items())
            lines.append(_wrapped(told, 6))
        lines.append("")
    if sized.stages:
        lines += ["Stages:"]
        for stage in sized.stages:
            lines.append(_wrapped(f"- {stage.name}: {_stage(stage.changes, stage.loop is not None)}", 2))
            lines += [_wrapped(f"{change}", 6) for change in stage.changes]
        lines.append("")
    lines.append(textwrap.fill(caution(sized.world), WIDTH))
    return "\n".join(lines) + "\n"


def _opening(sized: Sized) -> str:
    if sized.is_met:
        layout = sized.decision("layout").chosen
        return f"{sized.name}: {layout}, out of {sized.tried:,} choices, proven by a run of a day."
    return f"{sized.name}: no design out of {sized.tried:,} choices meets the brief."


def _wrapped(text: str, indent: int) -> str:
    return textwrap.fill(text, WIDTH, initial_indent=" " * indent, subsequent_indent=" " * (indent + 2))


def _decision(decision: Decision) -> list[str]:
    lines = [_wrapped(f"{decision.subject}: {decision.chosen}", 0), _wrapped(decision.why, 2)]
    for figure in decision.figures:
        value = f"{figure.value:.4g}" if figure.source == "count" else shown(figure.value, figure.unit)
        formula = f"   [{figure.formula}]" if figure.formula else ""
        lines.append(_wrapped(f"{figure.symbol} = {value}  {figure.text}{formula}", 4))
    lines += [_other(other) for other in decision.alternatives]
    return [*lines, ""]


def _other(other: Alternative) -> str:
    return _wrapped(f"{'not taken' if other.is_legal else 'not possible'}: {other.name}: {other.text}", 4)


def _proof(sized: Sized) -> list[str]:
    proof = sized.proof
    assert proof is not None
    lines = ["proof: a run of a day from the loop's own start"]
    for tag, coldest, warmest in proof.consumers:
        lines.append(f"    {tag}: {shown(coldest, 'K')} to {shown(warmest, 'K')}")
    lines.append(f"    supply: {', '.join(shown(value, 'K') for value in proof.supply)} (least, mean, most)")
    for row in proof.agreements:
        unit = "K" if row.unit == "K" else row.unit
        said = f"{row.what}: closed form {shown(row.closed_form, unit)}, run {shown(row.run, unit)}"
        reason = f": {row.reason}" if row.reason else ""
        lines.append(_wrapped(f"{said}, {row.difference:.1%} apart{reason}", 4))
    serious = ", ".join(finding.code for finding in proof.findings) or "none"
    advice = ", ".join(sorted({finding.code for finding in proof.advice})) or "none"
    lines.append(_wrapped(f"findings of severity S or C: {serious}; others: {advice}", 4))
    for failed in sized.rejected:
        lines.append(_wrapped(f"looked better and failed its proof: {failed}", 4))
    return [*lines, ""]


def _obstacles(sized: Sized) -> list[str]:
    helped = [obstacle for obstacle in sized.obstacles if obstacle.relaxed]
    others = [obstacle for obstacle in sized.obstacles if not obstacle.relaxed]
    lines = []
    if helped:
        lines.append("Any one of these would do:")
        lines += [_wrapped(f"- {_needed(obstacle)}", 2) for obstacle in helped]
    if others:
        lines.append("What the nearest choices lacked:")
        lines += [_wrapped(f"- {_needed(obstacle)}", 2) for obstacle in others[:MOST_OBSTACLES]]
    if sized.rejected:
        lines.append("Designs that failed their proof:")
        lines += [_wrapped(f"- {failed}", 2) for failed in sized.rejected[:MOST_OBSTACLES]]
    return [*lines, ""]


def _needed(obstacle: Obstacle) -> str:
    where = f" ({obstacle.layout})" if obstacle.layout else ""
    return f"{obstacle.need}: {obstacle.text}{where}"


def _stage(changes: tuple[str, ...], is_met: bool) -> str:
    if not is_met:
        return "no design meets the brief then"
    return "as it is" if not changes else f"{len(changes)} changes"


def _plain(aim: str, value: float) -> str:
    return f"{value / 1e3:.0f} kW" if aim == "least power" else f"{value:.4g}"
