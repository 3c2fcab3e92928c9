"""Work on a loop as a whole: size it from a brief, empty and change it, lay designs side by side."""

from brinewright.plan.compare import compare
from brinewright.plan.comparison import Comparison
from brinewright.plan.drain import drain
from brinewright.plan.drainage import Drainage
from brinewright.plan.sizing import Sized, size

__all__ = ["Comparison", "Drainage", "Sized", "compare", "drain", "size"]
