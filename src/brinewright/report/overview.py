"""The overview: one landscape page that answers whether it stayed cold, and at what cost."""

from typing import TYPE_CHECKING, Any

from brinewright.report.frame import GREY, cut, draw_frame
from brinewright.report.panel import Frame, frames
from brinewright.report.sheet import Box, blank, head_and_foot, place
from brinewright.report.telling import often, told_once
from brinewright.results import Result

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDTH, HEIGHT = 11.69, 8.27
"""A4, landscape [in]."""

TOLD = ("temperatures", "duty", "vessel", "power", "levels", "passes", "metal", "channels")
"""Figures whose first frames come first on the page."""

EVENTS = 6
"""Events that are told in full."""
ROWS = EVENTS + 1
"""Rows that find room above the caution."""


def draw_overview(result: Result) -> "Figure":
    """Return the page: up to six frames, the numbers of the run, and its first events."""
    figure = blank(WIDTH, HEIGHT)
    for index, frame in enumerate(chosen(result)):
        right, down = index % 2, index // 2
        box = Box(0.75 + right * 5.55, HEIGHT - 2.3 - down * 1.8, 3.85, 1.2)
        draw_frame(place(figure, box), frame, letters=13)
    _numbers(figure, result)
    _events(figure, result)
    head_and_foot(figure, result)
    return figure


def chosen(result: Result) -> list[Frame]:
    """Return up to six frames: one of each figure, then the second ones of each."""
    found = [frames(result, figure) for figure in TOLD[:-1]]
    if not any(found):
        found = [frames(result, TOLD[-1])]
    ranked = [frame for rank in range(6) for group in found for frame in group[rank : rank + 1]]
    return ranked[:6]


def _numbers(figure: "Figure", result: Result) -> None:
    rows = [
        (f"{value:,.0f} kWh", name.removesuffix("_kWh").replace("_", " "))
        for name, value in result.power.items()
        if name.endswith("_kWh") and not name.startswith("battery_least")
    ]
    lost = result.audits.get("heat_unaccounted_kW")
    if lost is not None:
        rows.append((f"{lost:,.0f} kW", "heat unaccounted for"))
    rows.append((f"{sum(result.switch_changes.values()):,}", "changes of switches"))
    rows.append(
        (f"{result.energy_residual:.1e}" if result.energy_residual else "0", "of the energy does not close")
    )
    _block(figure, 0.75, "In numbers", rows[:ROWS], 0.95)
    _block(figure, 2.65, "", rows[ROWS:], 0.95)


def _events(figure: "Figure", result: Result) -> None:
    events = told_once(result.events)
    rows = [
        (event.clock, f"{cut(f'{event.tag}  {event.text}', 88)}{often(count)}")
        for event, count in events[:EVENTS]
    ]
    more = len(events) - EVENTS
    if more > 0:
        rows.append(("", f"and {more:,} others in summary.json"))
    _block(figure, 5.4, "Events, at h:min:s" if rows else "No events", rows, 0.75)


def _block(figure: "Figure", left: float, title: str, rows: list[tuple[str, str]], indent: float) -> None:
    """Write rows of two columns, the first flush to the right."""
    figure.text(left / WIDTH, 1.92 / HEIGHT, title, fontsize=9.5, va="top")
    for index, (first, second) in enumerate(rows[:ROWS]):
        level = (1.68 - 0.145 * index) / HEIGHT
        style: dict[str, Any] = {"fontsize": 7.5, "va": "top", "color": GREY}
        figure.text((left + indent - 0.1) / WIDTH, level, first, ha="right", **style)
        figure.text((left + indent) / WIDTH, level, second, **style)
