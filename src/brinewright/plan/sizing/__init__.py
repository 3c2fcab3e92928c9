"""From a brief to a proven loop."""

from brinewright.plan.sizing.record import Alternative, Corner, Decision, Figure, Obstacle
from brinewright.plan.sizing.size import size
from brinewright.plan.sizing.sized import Sized, StagePlan

__all__ = [
    "Alternative",
    "Corner",
    "Decision",
    "Figure",
    "Obstacle",
    "Sized",
    "StagePlan",
    "size",
]
