"""A sheet of frames: a head that says what was run, and the caution at its foot."""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from brinewright.report.frame import GREY, cut
from brinewright.results import Result
from brinewright.results.caution import caution

if TYPE_CHECKING:
    from matplotlib.figure import Figure

LEFT, RIGHT, HEAD, FOOT = 0.75, 1.75, 1.1, 0.75
"""Margins of a sheet [in]; the names of the curves stand in the right one."""


@dataclass(frozen=True)
class Box:
    """A place on a sheet, from its lower left corner [in]."""

    left: float
    bottom: float
    width: float
    height: float


def blank(width: float, height: float) -> "Figure":
    """Return an empty sheet of this size [in] that belongs to no window."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width, height), facecolor="white")
    FigureCanvasAgg(figure)
    return figure


def place(figure: "Figure", box: Box) -> Any:
    """Return axes that fill this box of the sheet."""
    width, height = figure.get_figwidth(), figure.get_figheight()
    return figure.add_axes((box.left / width, box.bottom / height, box.width / width, box.height / height))


def column(
    frames: Sequence[float], gap: float, *, right: float = RIGHT, below: float = 0.35, width: float = 10.0
) -> tuple["Figure", list[Box]]:
    """Return a sheet and its boxes, one above the other, for frames of these heights [in].

    `gap` is what is between two, `right` their right margin, `below` the place of their marks [in].
    """
    height = HEAD + FOOT + sum(frames) + gap * (len(frames) - 1) + below
    boxes, top = [], height - HEAD
    for tall in frames:
        boxes.append(Box(LEFT, top - tall, width - LEFT - right, tall))
        top -= tall + gap
    return blank(width, height), boxes


def head_and_foot(figure: "Figure", result: Result) -> None:
    """Write what was run at the top and the caution at the bottom."""
    width, height = figure.get_figwidth(), figure.get_figheight()
    worded = f"{span_text(result.simulated_s)} simulated · {result.outcome.name}"
    laws = "declared laws" if result.world == "stylised" else "real laws"
    figure.text(
        LEFT / width, 1 - 0.32 / height, cut(result.name, 60), fontsize=13, weight="bold", va="center"
    )
    figure.text(1 - 0.35 / width, 1 - 0.32 / height, laws, fontsize=9, va="center", ha="right", color=GREY)
    figure.text(LEFT / width, 1 - 0.54 / height, cut(worded, 110), fontsize=8.5, va="center", color=GREY)
    lines = textwrap.wrap(caution(result.world), round(14.5 * (width - 1.4)))
    box = {"boxstyle": "square,pad=0.5", "facecolor": "#f2efe4", "edgecolor": "#333333", "linewidth": 0.8}
    figure.text(
        0.5, 0.3 / height, "\n".join(lines), fontsize=8, weight="bold", ha="center", va="center", bbox=box
    )


def span_text(seconds: float) -> str:
    """Return a time span in the unit that suits it.

    >>> span_text(86400.0), span_text(600.0), span_text(31.0)
    ('24 h', '10 min', '31 s')
    """
    size, unit = next(
        one for one in ((3600.0, "h"), (60.0, "min"), (1.0, "s")) if seconds >= one[0] or one[0] == 1
    )
    return f"{seconds / size:.4g} {unit}"
