"""The matrix of a rehearsal as sheets: faults down, what breaks across, minutes in every cell."""

import textwrap
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from brinewright.errors import InputError
from brinewright.plan.failure import FAMILIES
from brinewright.plan.rehearsal import Rehearsal, Trial
from brinewright.report.curves import written
from brinewright.report.frame import GREY, PALE, STYLE, TEXT, cut
from brinewright.report.rehearsal import groups, held_by, seen_briefly, to_do
from brinewright.report.sheet import blank, span_text
from brinewright.results.caution import caution

if TYPE_CHECKING:
    from matplotlib.figure import Figure

PAGE = (11.69, 8.27)
"""A4, landscape [in]."""
ROWS = 27
"""Rows of one sheet, those that name a group among them."""
LEFT, TOP, BOTTOM = 0.45, 1.55, 0.75
NAME, CELL = 2.35, 0.53
"""Widths of the names and of a cell [in]."""
LONGEST = 40
"""Letters of a name in one line."""
LETTERS = 104
"""Letters of a line of words at the right."""
INK = "#11005f"
"""Fill of the first failure; its number stands in it in white."""

Row = str | Trial


def draw_rehearsal(rehearsal: Rehearsal) -> "list[Figure]":
    """Return the sheets of a rehearsal.

    Raises
    ------
    InputError
        Nothing was tried, so there is nothing to draw.
    """
    from matplotlib import rc_context

    if not rehearsal.all_trials:
        raise InputError("No fault was tried, so there is nothing to draw.")
    pages = _pages(_rows(rehearsal))
    with rc_context(STYLE):
        return [_sheet(rehearsal, rows, number, len(pages)) for number, rows in enumerate(pages, 1)]


def render_rehearsal(rehearsal: Rehearsal, formats: Iterable[str] = ("svg", "png")) -> dict[str, bytes]:
    """Return the sheets as files, by name such as "matrix-1.svg"; the same rehearsal gives the same bytes."""
    suffixes = tuple(formats)
    return {
        f"matrix-{number}.{suffix}": written(figure, suffix)
        for number, figure in enumerate(draw_rehearsal(rehearsal), 1)
        for suffix in suffixes
    }


def _rows(rehearsal: Rehearsal) -> list[Row]:
    rows: list[Row] = []
    for group, trials in groups(rehearsal.trials):
        rows += [group, *trials]
    return [*rows, "two at once", *rehearsal.pairs] if rehearsal.pairs else rows


def _pages(rows: Sequence[Row]) -> list[list[Row]]:
    """Return the rows by sheet; a group that goes on is named again."""
    pages: list[list[Row]] = [[]]
    group = ""
    for row in rows:
        last = isinstance(row, str) and len(pages[-1]) >= ROWS - 1
        if len(pages[-1]) >= ROWS or last:
            pages.append([] if isinstance(row, str) else [f"{group}, more"])
        if isinstance(row, str):
            group = row
        pages[-1].append(row)
    return pages


def _sheet(rehearsal: Rehearsal, rows: Sequence[Row], number: int, of: int) -> "Figure":
    width, height = PAGE
    figure = blank(width, height)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_xlim(0.0, width)
    axes.set_ylim(0.0, height)
    axes.set_axis_off()
    _head(axes, rehearsal, f"sheet {number} of {of}" if of > 1 else "")
    step = (height - TOP - BOTTOM) / ROWS
    for index, row in enumerate(rows):
        middle = height - TOP - (index + 0.5) * step
        if isinstance(row, str):
            axes.text(LEFT, middle, row, fontsize=7.5, weight="bold", va="center", color=TEXT)
            axes.plot(
                [LEFT, width - LEFT],
                [middle - 0.45 * step] * 2,
                color=GREY,
                linewidth=0.6,
                solid_capstyle="butt",
            )
        else:
            _row(axes, row, middle, step)
    return figure


def _head(axes: object, rehearsal: Rehearsal, number: str) -> None:
    width, height = PAGE
    write = axes.text  # type: ignore[attr-defined]
    broken = len(rehearsal.broken)
    title = cut(f"{rehearsal.name}: what breaks when something fails", 70)
    write(LEFT, height - 0.42, title, fontsize=13, weight="bold", va="center")
    laws = "declared laws" if rehearsal.world == "stylised" else "real laws"
    write(width - LEFT, height - 0.42, laws, fontsize=9, va="center", ha="right", color=GREY)
    tried = len(rehearsal.all_trials)
    pairs = f", pairs: {len(rehearsal.pairs)}" if rehearsal.pairs else ""
    unrun = f" · {len(rehearsal.unfinished)} could not be run" if rehearsal.unfinished else ""
    held = tried - broken - len(rehearsal.unfinished)
    span = span_text(rehearsal.horizon)
    line = (
        f"single faults: {len(rehearsal.trials)}{pairs}, each run for {span} at most · {held} survived · "
        f"{broken} not{unrun} · {rehearsal.outcome.name}"
    )
    write(LEFT, height - 0.66, line, fontsize=8.5, va="center", color=GREY)
    write(width - LEFT, height - 0.66, number, fontsize=8.5, va="center", ha="right", color=GREY)
    key = (
        "Minutes from the fault: white on dark, what breaks first; framed, what follows within half an hour."
    )
    write(LEFT, height - 0.87, key, fontsize=7.5, va="center", color=TEXT)
    for index, family in enumerate(FAMILIES):
        x = LEFT + NAME + (index + 0.5) * CELL
        write(x, height - TOP + 0.12, family, fontsize=7.5, ha="center", va="bottom", color=TEXT)
    words = LEFT + NAME + len(FAMILIES) * CELL + 0.12
    write(words, height - TOP + 0.12, "what shows it · what to do", fontsize=7.5, va="bottom", color=TEXT)
    lines = "\n".join(textwrap.wrap(caution(rehearsal.world), 150))
    box = {"boxstyle": "square,pad=0.5", "facecolor": "#f2efe4", "edgecolor": "#333333", "linewidth": 0.8}
    write(width / 2, 0.38, lines, fontsize=8, weight="bold", ha="center", va="center", bbox=box)


def _row(axes: object, trial: Trial, middle: float, step: float) -> None:
    from matplotlib.patches import Rectangle

    write = axes.text  # type: ignore[attr-defined]
    one, plus, other = trial.fault.name.partition(" + ")
    if plus and len(trial.fault.name) > LONGEST:
        write(LEFT + 0.08, middle + 0.21 * step, one, fontsize=5.8, va="center", color=TEXT)
        write(LEFT + 0.08, middle - 0.23 * step, f"+ {other}", fontsize=5.8, va="center", color=TEXT)
    else:
        write(LEFT + 0.08, middle, cut(trial.fault.name, LONGEST), fontsize=7, va="center", color=TEXT)
    cells = LEFT + NAME
    words = cells + len(FAMILIES) * CELL + 0.12
    if trial.unfinished:
        write(cells + 0.1, middle, cut(f"could not be run: {trial.unfinished}", 120), fontsize=7, va="center")
        return
    if trial.survived:
        write(cells + 0.1, middle, f"○  survived{held_by(trial)}", fontsize=7, va="center", color=TEXT)
        return
    shown: set[str] = set()
    for failure in trial.failures:
        if failure.family in shown:
            continue
        shown.add(failure.family)
        first = failure is trial.first
        left = cells + FAMILIES.index(failure.family) * CELL
        patch = Rectangle(
            (left + 0.05, middle - 0.4 * step), CELL - 0.1, 0.8 * step, facecolor=INK if first else "white",
            edgecolor=INK if first else "#333333", linewidth=0.7,
        )  # fmt: skip
        axes.add_patch(patch)  # type: ignore[attr-defined]
        colour = "white" if first else TEXT
        weight = "bold" if first else "normal"
        write(
            left + CELL / 2, middle, f"{failure.minutes:.1f}", fontsize=7, ha="center", va="center_baseline",
            color=colour, weight=weight,
        )  # fmt: skip
    for index in range(len(FAMILIES) + 1):
        x = cells + index * CELL
        axes.plot(  # type: ignore[attr-defined]
            [x, x], [middle - 0.5 * step, middle + 0.5 * step], color=PALE, linewidth=0.4, zorder=0
        )
    write(
        words, middle + 0.21 * step, cut(seen_briefly(trial), LETTERS), fontsize=5.8, va="center", color=TEXT
    )
    write(words, middle - 0.23 * step, cut(to_do(trial), LETTERS), fontsize=5.8, va="center", color=TEXT)
