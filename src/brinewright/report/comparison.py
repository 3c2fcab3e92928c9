"""Designs side by side: in words for a terminal, and their curves on one sheet."""

import math
import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from brinewright.errors import InputError
from brinewright.plan.comparison import SENSELESS, Comparison, Figure, Upset
from brinewright.plan.differences import Difference
from brinewright.report.colour import INKS
from brinewright.report.frame import GREY, STYLE, cut, draw_frame
from brinewright.report.panel import CHILLED, COOLED, VESSELS, Frame, Pick, as_read
from brinewright.report.sheet import LEFT, Box, blank, place, span_text
from brinewright.results import Result, Series
from brinewright.results.caution import caution

if TYPE_CHECKING:
    from matplotlib.figure import Figure as Sheet

WIDTH = 96
COLUMN = 15
"""Columns of the text, and of one design in a table."""
MOST_DIFFERENCES = 40
"""Differences that are told in a terminal; JSON has them all."""
Array = NDArray[np.float64]


def comparison_in_words(told: Comparison) -> str:
    """Return a comparison in lines for a terminal: the verdict, figures, decisions, findings."""
    lines = [*_verdict(told), ""]
    lines += _figures(told)
    lines += _differences("What their files state differently", told.decisions)
    lines += _differences("What the rulebooks declare differently", told.laws)
    lines += _found(told)
    lines += [textwrap.fill(caution(world), WIDTH) for world in sorted(set(told.worlds))]
    return "\n".join(lines) + "\n"


def _verdict(told: Comparison) -> list[str]:
    lines = [f"{len(told.names)} designs, {span_text(told.simulated)} of each."]
    for number, name in enumerate(_lettered(told)):
        own = [one for one in told.upsets if one.design == number]
        if told.senseless(number):
            lines.append(_wrapped(f"{name} makes no sense: it cannot do its job.", "  "))
        elif any(one.what == "out of limits" for one in own):
            lines.append(_wrapped(f"{name} does not hold its limits.", "  "))
        else:
            lines.append(_wrapped(f"{name} holds every limit of what it cools.", "  "))
        if told.outcomes[number] != "done":
            lines.append(_wrapped(f"Its run: {told.outcomes[number]}", "      "))
        lines += [_wrapped(one.text, "      ") for one in sorted(own, key=_weight)]
    return lines


def _lettered(told: Comparison) -> list[str]:
    return [f"{letter}  {name}" for letter, name in zip(_letters(told), told.names, strict=True)]


def _weight(one: Upset) -> int:
    order = (*SENSELESS, "ranks ignored", "idle cooler", "out of limits")
    return order.index(one.what)


def _figures(told: Comparison) -> list[str]:
    head = f"{'':<38}" + "".join(f"{letter:>{COLUMN}}" for letter in _letters(told))
    lines = [head + (f"{'difference':>{COLUMN}}" if len(told.names) == 2 else "")]
    group = ""
    for figure in told.figures:
        if figure.group != group:
            group = figure.group
            lines.append(group.capitalize())
        lines.append(_figure_row(figure))
    return [*lines, ""]


def _letters(told: Comparison) -> list[str]:
    """Return a letter for each design, which stands for it in tables and at curves."""
    return [chr(ord("A") + number % 26) for number in range(len(told.names))]


def _figure_row(figure: Figure) -> str:
    what = " ".join(filter(None, (figure.subject, figure.quantity)))
    label = f"  {what}{f' [{figure.unit}]' if figure.unit else ''}"
    row = f"{cut(label, 38):<38}" + "".join(f"{_number(value):>{COLUMN}}" for value in figure.values)
    if len(figure.values) == 2:
        first, second = figure.values
        same = first is None or second is None or math.isclose(first, second, rel_tol=1e-9, abs_tol=1e-9)
        gap = "" if same or first is None or second is None else f"{second - first:+,.4g}"
        row += f"{gap:>{COLUMN}}"
    return row.rstrip()


def _number(value: float | None) -> str:
    if value is None:
        return "-"
    if abs(value) >= 1000.0:
        return f"{value:,.0f}"
    return f"{value:.4g}"


def _differences(title: str, rows: Sequence[Difference]) -> list[str]:
    if not rows:
        return []
    lines = [title]
    for row in rows[:MOST_DIFFERENCES]:
        values = " / ".join(value or "not there" for value in row.values)
        lines.append(_wrapped(f"{row.name}: {values}", "  "))
    if len(rows) > MOST_DIFFERENCES:
        lines.append(f"  and {len(rows) - MOST_DIFFERENCES} more, with --json")
    return [*lines, ""]


def _found(told: Comparison) -> list[str]:
    if not told.findings:
        return ["Findings", "  None stands in any of them.", ""]
    lines = ["Findings"]
    letters = _letters(told)
    for one in told.findings:
        where = ", ".join(letter for letter, text in zip(letters, one.texts, strict=True) if text)
        lines.append(
            _wrapped((f"{one.severity}  {one.code}  {one.title}: {', '.join(one.subject)} ({where})"), "  ")
        )
    return [*lines, ""]


def _wrapped(text: str, indent: str) -> str:
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ")


# ---- the sheet ----------------------------------------------------------------------------

PAGE = (11.69, 8.27)
"""A4, landscape [in]."""


def draw_comparison(told: Comparison) -> "Sheet":
    """Return one page with the same curves of every design over each other.

    Raises
    ------
    InputError
        None of the runs could be finished.
    """
    from matplotlib import rc_context

    runs = [
        (letter, result)
        for letter, result in zip(_letters(told), told.results, strict=False)
        if result is not None
    ][: len(INKS)]
    if not runs:
        raise InputError("None of the runs could be finished, so there are no curves.")
    with rc_context(STYLE):
        figure = blank(*PAGE)
        for index, frame in enumerate(_frames(runs)[:6]):
            right, down = index % 2, index // 2
            box = Box(LEFT + right * 5.55, PAGE[1] - 2.75 - down * 2.15, 4.75, 1.5)
            draw_frame(place(figure, box), frame, letters=6)
        _head_and_foot(figure, told)
    return figure


def _head_and_foot(figure: "Sheet", told: Comparison) -> None:
    width, height = PAGE
    title = cut("   ".join(_lettered(told)), 90)
    figure.text(LEFT / width, 1 - 0.4 / height, title, fontsize=13, weight="bold", va="center")
    said = [letter for number, letter in enumerate(_letters(told)) if told.senseless(number)]
    line = f"{span_text(told.simulated)} of each" + (f" · makes no sense: {', '.join(said)}" if said else "")
    figure.text(LEFT / width, 1 - 0.65 / height, cut(line, 130), fontsize=8.5, va="center", color=GREY)
    words = " ".join(caution(world) for world in sorted(set(told.worlds)))
    box = {"boxstyle": "square,pad=0.5", "facecolor": "#f2efe4", "edgecolor": "#333333", "linewidth": 0.8}
    figure.text(
        0.5, 0.38 / height, "\n".join(textwrap.wrap(words, 150)), fontsize=8, weight="bold", ha="center",
        va="center", bbox=box,
    )  # fmt: skip


def _frames(runs: Sequence[tuple[str, Result]]) -> list[Frame]:
    """Return the frames that the runs have channels for; each design is one curve."""
    made = (
        _frame("Warmest of what is cooled", runs, COOLED, np.max),
        _frame("Mean of what is cooled", runs, COOLED, np.mean),
        _frame("Steam vessel, warmest", runs, VESSELS, np.max),
        _frame("Heat taken by the chillers", runs, CHILLED, np.sum),
        _frame("Power made less power drawn", runs, Pick("balance"), np.sum),
        _frame("Charge of the batteries", runs, Pick("charge"), np.mean, unit="%"),
    )
    return [frame for frame in made if frame.group]


def _frame(
    title: str, runs: Sequence[tuple[str, Result]], pick: Pick, reduce: object, unit: str = ""
) -> Frame:
    curves = []
    for name, result in runs:
        found = [series.to(unit) if unit else as_read(series) for series in pick.of(result)]
        if found:
            curves.append(_reduced(name, found, reduce))
    return Frame(title, tuple(curves))


def _reduced(name: str, found: Sequence[Series], reduce: object) -> Series:
    """Return several series as one, sample by sample, under the name of their design."""
    assert callable(reduce)
    values: Array = reduce(
        np.array([np.asarray(series.values, dtype=np.float64) for series in found]), axis=0
    )
    return Series(
        tag=name,
        quantity=found[0].quantity,
        unit=found[0].unit,
        times=found[0].times,
        values=values,
        first=float(values[0]),
        min=float(np.nanmin(values)),
        mean=float(np.nanmean(values)),
        max=float(np.nanmax(values)),
        last=float(values[-1]),
    )


def comparison_sheet(told: Comparison, formats: Iterable[str] = ("svg", "png")) -> dict[str, bytes]:
    """Return the sheet of a comparison as files, by name such as "comparison.svg"."""
    from brinewright.report.curves import written

    figure = draw_comparison(told)
    return {f"comparison.{suffix}": written(figure, suffix) for suffix in formats}
