"""The laws of the kinds through which steam and waste heat go, linked by hand: one line a kind and phase."""

from brinewright.components.chiller import law as chiller
from brinewright.components.condensate_pump import law as condensate_pump
from brinewright.components.dump_valve import law as dump_valve
from brinewright.components.enclosure import law as enclosure
from brinewright.components.final_sink import law as final_sink
from brinewright.components.heat_source import law as heat_source
from brinewright.components.relief_valve import law as relief_valve
from brinewright.components.steam_vessel import law as steam_vessel
from brinewright.components.turbine import law as turbine
from brinewright.jit import inner
from brinewright.kernel.records import first

BLOCK_NAMES = (
    "chiller fixed drop",
    "chiller second law",
    "chiller catalogue",
    "chiller metal",
    "vessel lump",
    "vessel two-phase",
    "turbine threshold",
    "turbine expansion",
    "source power",
    "source contact",
    "final sink",
    "sink touch",
    "enclosure declared",
    "enclosure real",
    "relief valve",
    "dump valve",
    "condensate pump",
)
