"""Work on a loop as a whole: size it, let its parts fail, empty and change it, lay designs side by side."""

from brinewright.plan.compare import compare
from brinewright.plan.comparison import Comparison
from brinewright.plan.credible import credible_faults
from brinewright.plan.drain import drain
from brinewright.plan.drainage import Drainage
from brinewright.plan.fault import Fault
from brinewright.plan.rehearsal import Rehearsal
from brinewright.plan.rehearse import rehearse
from brinewright.plan.sizing import Sized, size

__all__ = [
    "Comparison",
    "Drainage",
    "Fault",
    "Rehearsal",
    "Sized",
    "compare",
    "credible_faults",
    "drain",
    "rehearse",
    "size",
]
