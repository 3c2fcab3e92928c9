"""Circuits round one part, for tests beside the kinds: wide tanks that hold pressure and temperature."""

from tests.plants import REAL, STYLISED, force, line, part, starts

__all__ = ["DENSITY", "GRAVITY", "PIPES", "WIDE", "between", "force", "line", "part", "starts"]

DENSITY, GRAVITY, HEAT_CAPACITY = 1100.0, 8.0, 3500.0

WIDE = """
[buffer-tank.wide]
law = "mixed"
volume = "4000 m3"
tank_height = "4 m"
"""
PIPES = """
[pipe-run.plain]
law = "layered"
wall_thickness = "3 mm"
wall_conductivity = "50 W/(m K)"
outer_coefficient = "0 W/(m2 K)"
fittings = 0
"""
DECLARED = """
[pipe-run.plain]
law = "declared"
capacity = "60 kg/s"
conductance = "0 W/(m K)"
"""
SHUT_BACK = """
[shut-off-valve.back]
law = "flow coefficient"
flow_coefficient = "10 m3/h"
fail_position = "stays"
"""
RULES = REAL + WIDE + PIPES + SHUT_BACK
STYLISED_RULES = STYLISED + WIDE + DECLARED


def between(use: str, ports: tuple[str, str] = ("in", "out"), high: float = 2.0, **stated: str) -> str:
    """A part X-1 between two wide half-full tanks, the first `high` [m] above the second; a shut way back.

    The lines are short and wide, so that the part takes nearly all of the pressure.
    """
    return (
        part("TK-1", "buffer-tank.wide", elevation=f"{high} m")
        + part("TK-2", "buffer-tank.wide")
        + part("X-1", use, **stated)
        + line("L-1", "TK-1.out", f"X-1.{ports[0]}", 0.5, 0.3)
        + line("L-2", f"X-1.{ports[1]}", "TK-2.in", 0.5, 0.3)
        + part("HV-9", "shut-off-valve.back")
        + line("L-8", "TK-2.out", "HV-9.in", 0.5, 0.1)
        + line("L-9", "HV-9.out", "TK-1.in", 0.5, 0.1)
    )


def begins(first: float = 30.0, second: float = 30.0) -> str:
    """Half-full tanks at temperatures [degC], the way back shut."""
    return starts(TK_1=(0.5, first), TK_2=(0.5, second)) + 'HV-9 = { position = "shut" }\n'
