"""What people look at: the curves of a run."""

from brinewright.report.curves import KINDS, draw, draw_series, kinds, render, written

__all__ = ["KINDS", "draw", "draw_series", "kinds", "render", "written"]
