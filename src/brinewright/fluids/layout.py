"""Where each table of water lies in the one vector that the compiled functions get.

The vector `W` (float64) holds, one after the other: the saturation line as cubics, a
start temperature for every pressure, and six coefficient blocks (see `series`).
Lengths are fixed here; `tools/make_tables.py` fills them and the loader checks them.
"""

VERSION = 1

GAS_CONSTANT = 8.314371357587 / 0.018015268
"""Specific gas constant of water in IAPWS-95 [J/(kg K)]."""

LOWEST_TEMPERATURE = 273.15
"""Ice forms below; the tables start 0.01 K higher, at the triple point [K]."""
TRIPLE_TEMPERATURE = 273.16
HIGHEST_SATURATION = 584.16
"""End of the saturation line and of the liquid table, 100.02 bar [K]."""
HIGHEST_TEMPERATURE = 673.15
HIGHEST_PRESSURE = 100.0e5
"""Of steam and of two-phase states [Pa]."""
HIGHEST_LIQUID_PRESSURE = 300.0e5
DENSITY_SCALE = 60.0
"""Divides the density of steam in its series [kg/m3]."""
DENSITY_LIFT, DENSITY_LEVEL = 3.0, 0.79
"""The series has y = rho / DENSITY_SCALE exp(LIFT (x + LEVEL)), x even in 1/T: so y spans 0 to 1 on
every isotherm below saturation, and the coefficients stay small [-]."""

SATURATION_CELLS = 622
SATURATION_STEP = 0.5
SATURATION_COLUMNS = 7
"""p, v_f, v_g, u_f, u_g, s_f, s_g."""
CELL = 4 * SATURATION_COLUMNS

START_NODES = 129
"""Boiling temperatures at even steps of ln p."""
LOWEST_LOG_PRESSURE = 6.4
HIGHEST_LOG_PRESSURE = 16.2

LIQUID_X, LIQUID_Y = 18, 6
LIQUID_TRANSPORT_X, LIQUID_TRANSPORT_Y = 14, 5
IDEAL_X = 14
STEAM_X, STEAM_Y = 12, 6
STEAM_TRANSPORT_X, STEAM_TRANSPORT_Y = 12, 7

SATURATION = 8
START = SATURATION + CELL * SATURATION_CELLS
LIQUID = START + START_NODES
LIQUID_VISCOSITY = LIQUID + (LIQUID_X + 1) * (LIQUID_Y + 1)
LIQUID_CONDUCTIVITY = LIQUID_VISCOSITY + (LIQUID_TRANSPORT_X + 1) * (LIQUID_TRANSPORT_Y + 1)
IDEAL = LIQUID_CONDUCTIVITY + (LIQUID_TRANSPORT_X + 1) * (LIQUID_TRANSPORT_Y + 1)
STEAM = IDEAL + IDEAL_X + 1
STEAM_VISCOSITY = STEAM + (STEAM_X + 1) * (STEAM_Y + 1)
STEAM_CONDUCTIVITY = STEAM_VISCOSITY + (STEAM_TRANSPORT_X + 1) * (STEAM_TRANSPORT_Y + 1)
LENGTH = STEAM_CONDUCTIVITY + (STEAM_TRANSPORT_X + 1) * (STEAM_TRANSPORT_Y + 1)
