"""The curves of a run: what was warm, full, under pressure and drawn from the bus, and when."""

import io
from collections.abc import Iterable
from typing import TYPE_CHECKING

from brinewright.errors import InputError, Problem, UnknownNameError
from brinewright.report.along import STATIONS, draw_along, stations
from brinewright.report.frame import STYLE, draw_frame
from brinewright.report.overview import draw_overview
from brinewright.report.panel import FIGURES, Frame, as_read, frames
from brinewright.report.sheet import blank, column, head_and_foot, place
from brinewright.results import Result, Series

if TYPE_CHECKING:
    from matplotlib.figure import Figure

FRAME, GAP = 1.75, 0.75
"""Height of a frame and of what is between two [in]."""

KINDS = ("overview", "along", *FIGURES, "channels")
"""Every figure that can be asked for."""


def kinds(result: Result) -> tuple[str, ...]:
    """Return the figures that this result has channels for; "channels" only where no other shows any."""
    found = [figure for figure in FIGURES if frames(result, figure)]
    if stations(result):
        found.insert(0, "along")
    if not found and result.channels:
        found = ["channels"]
    return ("overview", *found) if result.channels else ()


def draw(result: Result, kind: str = "overview") -> "Figure":
    """Return one figure of a run.

    Parameters
    ----------
    result : what to draw
    kind : one of `KINDS`

    Raises
    ------
    UnknownNameError
        There is no such figure; the nearest are named.
    InputError
        The result has no channels for this figure.
    """
    from matplotlib import rc_context

    if kind not in KINDS:
        raise UnknownNameError(kind, KINDS, "figure")
    if not result.channels or not len(result.times):
        raise InputError("The result has no samples that could be drawn.")
    with rc_context(STYLE):
        if kind == "overview":
            return draw_overview(result)
        return _along(result) if kind == "along" else _stacked(result, kind)


def draw_series(series: Series) -> "Figure":
    """Return a figure of one series in the unit that people read."""
    from matplotlib import rc_context

    with rc_context(STYLE):
        figure = blank(8.0, 3.2)
        draw_frame(
            figure.add_axes((0.09, 0.14, 0.76, 0.7)), Frame(series.quantity.capitalize(), (as_read(series),))
        )
    return figure


def render(result: Result, formats: Iterable[str] = ("svg", "png")) -> dict[str, bytes]:
    """Return every figure of a run as files, by name such as "curves/overview.svg".

    The same result gives the same bytes.
    """
    return {
        f"curves/{kind}.{suffix}": written(figure, suffix)
        for kind in kinds(result)
        for figure in [draw(result, kind)]
        for suffix in formats
    }


def written(figure: "Figure", suffix: str) -> bytes:
    """Return a figure as the bytes of an "svg" or "png" file, free of dates and versions."""
    from matplotlib import rc_context

    about = {"Date": None, "Creator": "Brinewright"} if suffix == "svg" else {"Software": "Brinewright"}
    sink = io.BytesIO()
    with rc_context(STYLE):
        figure.savefig(sink, format=suffix, dpi=150, metadata=about)
    return sink.getvalue()


def _stacked(result: Result, kind: str) -> "Figure":
    shown = frames(result, kind)
    if not shown:
        raise _nothing(result, kind)
    figure, boxes = column([FRAME] * len(shown), GAP)
    for frame, box in zip(shown, boxes, strict=True):
        draw_frame(place(figure, box), frame)
    head_and_foot(figure, result)
    return figure


def _along(result: Result) -> "Figure":
    found = stations(result)
    if not found:
        raise _nothing(result, "along")
    rows = [found[start : start + STATIONS] for start in range(0, len(found), STATIONS)]
    figure, boxes = column([3.2] * len(rows), 1.3, right=0.4, below=0.7)
    coldest, warmest = min(one.coldest for one in found), max(one.warmest for one in found)
    places = STATIONS if len(rows) > 1 else max(len(found), STATIONS // 2)
    for row, box in zip(rows, boxes, strict=True):
        draw_along(place(figure, box), row, coldest, warmest, places)
    head_and_foot(figure, result)
    return figure


def _nothing(result: Result, kind: str) -> InputError:
    there = ", ".join(kinds(result))
    return InputError([Problem(f'The result has no channels for the figure "{kind}".', f"It has: {there}.")])
