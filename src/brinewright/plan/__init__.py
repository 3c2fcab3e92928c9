"""Work on a loop as a whole: empty and change it, lay designs side by side."""

from brinewright.plan.drain import drain
from brinewright.plan.drainage import Drainage

__all__ = ["Drainage", "drain"]
