"""Work on a loop as a whole: empty and change it, lay designs side by side."""

from brinewright.plan.compare import compare
from brinewright.plan.comparison import Comparison
from brinewright.plan.drain import drain
from brinewright.plan.drainage import Drainage

__all__ = ["Comparison", "Drainage", "compare", "drain"]
