"""The page of units, and how the other pages write an amount."""

from brinewright.units import QUANTITIES, show
from tools.reference.markdown import table

OPENING = """# Units

In files a number with a dimension is text with a unit; the table lists what is accepted.
Inside, and in the Python API, the same quantity is a plain number in the SI unit, which stands first.
"""


def pages() -> dict[str, str]:
    """Return the page of units."""
    rows = [
        (
            quantity.name,
            ", ".join(f"`{unit}`" if unit else "no unit" for unit in quantity.units),
            f"`{quantity.example}`",
        )
        for quantity in QUANTITIES.values()
    ]
    return {"units.md": f"{OPENING}\n{table(('quantity', 'units', 'written for example'), rows)}"}


def amount(value: float, quantity: str) -> str:
    """Return a value in SI as a file would state it."""
    return f"`{show(value, quantity)}`" if quantity in QUANTITIES else f"`{value:g}`"
