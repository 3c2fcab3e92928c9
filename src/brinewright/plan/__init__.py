"""Work on a loop as a whole: size it, let its parts fail, find what failed, empty, change, compare it."""

from brinewright.plan.as_built import AsBuilt, as_built
from brinewright.plan.compare import compare
from brinewright.plan.comparison import Comparison
from brinewright.plan.credible import credible_faults
from brinewright.plan.diagnose import diagnose
from brinewright.plan.diagnosis import Diagnosis
from brinewright.plan.drain import drain
from brinewright.plan.drainage import Drainage
from brinewright.plan.extension import Extension, extend
from brinewright.plan.fault import Fault
from brinewright.plan.liquid_change import LiquidChange, change_liquid
from brinewright.plan.rehearsal import Rehearsal
from brinewright.plan.rehearse import rehearse
from brinewright.plan.sizing import Sized, size

__all__ = [
    "AsBuilt",
    "Comparison",
    "Diagnosis",
    "Drainage",
    "Extension",
    "Fault",
    "LiquidChange",
    "Rehearsal",
    "Sized",
    "as_built",
    "change_liquid",
    "compare",
    "credible_faults",
    "diagnose",
    "drain",
    "extend",
    "rehearse",
    "size",
]
