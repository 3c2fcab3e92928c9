"""Whole powers by multiplication.

Python takes `x**4` from logarithms and compiled code multiplies.  Their last digits differ, and a
heat flow that is a small difference of large ones shows it; spelt out, both do the same.
"""

from brinewright.jit import inner


@inner
def fourth(x: float) -> float:
    """Return the fourth power of x."""
    square = x * x
    return square * square


@inner
def twelfth(x: float) -> float:
    """Return the twelfth power of x."""
    power = fourth(x)
    return power * power * power
