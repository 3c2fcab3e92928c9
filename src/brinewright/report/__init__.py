"""What people look at: the curves of a run."""

from brinewright.report.curves import KINDS, draw, draw_series, kinds, render, written
from brinewright.report.words import in_words

__all__ = ["KINDS", "draw", "draw_series", "in_words", "kinds", "render", "written"]
