"""The laws of all kinds, linked by hand: one line a kind and phase; those of the liquid's way stand apart.

Blocks are numbered from KIND_BLOCKS on, in the order of `BLOCK_NAMES`; a record of a
block starts `I` wide in the integers and `P` wide in the numbers, as the header says.
"""

from brinewright.components.chiller import law as chiller
from brinewright.components.grid import law as grid
from brinewright.components.heat_source import law as heat_source
from brinewright.components.machine import law as machine
from brinewright.components.room import law as room
from brinewright.components.steam_vessel import law as steam_vessel
from brinewright.components.turbine import law as turbine
from brinewright.jit import inner
from brinewright.kernel import linked_liquid as liquid
from brinewright.kernel.layout import KIND_BLOCKS
from brinewright.kernel.records import first

BLOCK_NAMES = (
    *liquid.BLOCK_NAMES,
    "chiller fixed drop",
    "chiller cover",
    "vessel lump",
    "turbine threshold",
    "source power",
    "source contact",
    "room coil",
    "machine",
    "grid",
)


def _block(name: str) -> int:
    return KIND_BLOCKS + BLOCK_NAMES.index(name)


CHILLER_DROP = _block("chiller fixed drop")
CHILLER_COVER = _block("chiller cover")
VESSEL_LUMP = _block("vessel lump")
TURBINE_THRESHOLD = _block("turbine threshold")
SOURCE_POWER = _block("source power")
SOURCE_CONTACT = _block("source contact")
ROOM_COIL = _block("room coil")
MACHINE = _block("machine")
GRID = _block("grid")


@inner
def actuate(X, E, C, F, P, I, W, H, dt):
    """Phase 1: what was commanded is done."""
    liquid.actuate(X, F, P, I, H, dt)
    for k in range(H[3 * TURBINE_THRESHOLD]):
        i, p = first(H, TURBINE_THRESHOLD, k)
        turbine.actuate_threshold(X, F, P, I, i, p, dt)
    for k in range(H[3 * SOURCE_POWER]):
        i, p = first(H, SOURCE_POWER, k)
        heat_source.actuate(X, F, P, I, i, p, dt)
    for k in range(H[3 * SOURCE_CONTACT]):
        i, p = first(H, SOURCE_CONTACT, k)
        heat_source.actuate(X, F, P, I, i, p, dt)
    for k in range(H[3 * ROOM_COIL]):
        i, p = first(H, ROOM_COIL, k)
        room.actuate(X, F, P, I, i, p)
    for k in range(H[3 * MACHINE]):
        i, p = first(H, MACHINE, k)
        machine.actuate(X, F, P, I, i, p)
    for k in range(H[3 * GRID]):
        i, p = first(H, GRID, k)
        grid.actuate(X, P, I, i, p)


@inner
def prepare(X, E, C, F, P, I, W, H, dt):
    """Phase 2, flows known: conductances and heats that depend on them."""
    liquid.prepare(X, P, I, H, dt)
    for k in range(H[3 * CHILLER_COVER]):
        i, p = first(H, CHILLER_COVER, k)
        chiller.cover(X, P, I, i, p)


@inner
def meet(X, I, P, H, dt):
    """Phase 2, what comes is foreseen: what two streams will do to each other."""
    liquid.meet(X, P, I, H, dt)


@inner
def cross(block, X, E, C, F, P, I, W, H, i, p, mass, temperature, cp, dt):
    """Phase 3: liquid passes a device; return the heat that it takes from it [J]."""
    if block == CHILLER_DROP:
        return chiller.cross_fixed_drop(X, E, C, F, P, I, i, p, mass, cp, dt)
    return liquid.cross(block, X, E, C, F, P, I, i, p, mass, temperature, cp, dt)


@inner
def act(X, E, C, F, P, I, W, H, dt):
    """Phase 4: machines move heat between nodes."""
    for k in range(H[3 * TURBINE_THRESHOLD]):
        i, p = first(H, TURBINE_THRESHOLD, k)
        turbine.act_threshold(X, E, C, P, I, i, p, dt)
    for k in range(H[3 * SOURCE_POWER]):
        i, p = first(H, SOURCE_POWER, k)
        heat_source.act_power(X, E, C, I, i, dt)
    for k in range(H[3 * SOURCE_CONTACT]):
        i, p = first(H, SOURCE_CONTACT, k)
        heat_source.act_contact(X, E, C, P, I, i, p, dt)
    for k in range(H[3 * MACHINE]):
        i, p = first(H, MACHINE, k)
        machine.act(X, E, C, I, i, dt)


@inner
def settle(X, E, C, F, P, I, W, H, dt):
    """Phase 5: temperatures that a law of its own derives from energy."""
    for k in range(H[3 * VESSEL_LUMP]):
        i, p = first(H, VESSEL_LUMP, k)
        steam_vessel.settle_lump(X, E, C, P, I, i, p)


@inner
def observe(X, E, C, F, P, I, W, H, dt):
    """Phase 6: what is shown but decides nothing."""
    liquid.observe(X, P, I, H, dt)
    for k in range(H[3 * GRID]):
        i, p = first(H, GRID, k)
        grid.observe(X, I, i)
