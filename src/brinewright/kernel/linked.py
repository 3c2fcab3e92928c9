"""The laws of all kinds, linked by hand: one line a kind and phase; those of the liquid's way stand apart,
and so do those that may tick by themselves, which `march` calls.

Blocks are numbered from KIND_BLOCKS on, in the order of `BLOCK_NAMES`; a record of a
block starts `I` wide in the integers and `P` wide in the numbers, as the header says.
"""

from brinewright.components.machine import law as machine
from brinewright.components.room import law as room
from brinewright.components.transformer import law as transformer
from brinewright.jit import inner
from brinewright.kernel import linked_apart as apart
from brinewright.kernel import linked_liquid as liquid
from brinewright.kernel import linked_steam as steam
from brinewright.kernel.layout import KIND_BLOCKS
from brinewright.kernel.records import first

BLOCK_NAMES = (
    *liquid.BLOCK_NAMES,
    *steam.BLOCK_NAMES,
    *apart.BLOCK_NAMES,
    "room coil",
    "room air",
    "machine",
    "transformer tank",
)


def _block(name: str) -> int:
    return KIND_BLOCKS + BLOCK_NAMES.index(name)


ROOM_COIL = _block("room coil")
ROOM_AIR = _block("room air")
MACHINE = _block("machine")
TRANSFORMER_TANK = _block("transformer tank")


@inner
def actuate(X, F, P, I, W, H, dt):
    """Phase 1: what was commanded is done."""
    liquid.actuate(X, F, P, I, H, dt)
    steam.actuate(X, F, P, I, W, H, dt)
    for k in range(H[3 * ROOM_COIL]):
        i, p = first(H, ROOM_COIL, k)
        room.actuate(X, F, P, I, i, p)
    for k in range(H[3 * MACHINE]):
        i, p = first(H, MACHINE, k)
        machine.actuate(X, F, P, I, i, p)


@inner
def prepare(X, E, C, F, P, I, W, H, dt):
    """Phase 2, flows known: conductances and heats that depend on them."""
    liquid.prepare(X, P, I, H, dt)
    steam.prepare(X, C, P, I, H, dt)
    for k in range(H[3 * ROOM_AIR]):
        i, p = first(H, ROOM_AIR, k)
        room.dry(X, P, I, i, p, dt)


@inner
def meet(X, I, P, H, dt):
    """Phase 2, what comes is foreseen: what two streams will do to each other."""
    liquid.meet(X, P, I, H, dt)


@inner
def cross(block, X, E, C, F, P, I, W, H, i, p, mass, temperature, cp, dt):
    """Phase 3: liquid passes a device; return the heat that it takes from it [J]."""
    if block in (
        steam.CHILLER_DROP,
        steam.CHILLER_SECOND_LAW,
        steam.CHILLER_CATALOGUE,
        steam.TURBINE_EXPANSION,
    ):
        return steam.cross(block, X, E, C, F, P, I, W, i, p, mass, temperature, cp, dt)
    if block == ROOM_AIR:
        return room.cross(X, E, C, I, i, mass, dt)
    return liquid.cross(block, X, E, C, F, P, I, i, p, mass, temperature, cp, dt)


@inner
def act(X, E, C, F, P, I, W, H, dt):
    """Phase 4: machines move heat between nodes."""
    steam.act(X, E, C, F, P, I, W, H, dt)
    for k in range(H[3 * MACHINE]):
        i, _ = first(H, MACHINE, k)
        machine.act(X, E, C, I, i, dt)


@inner
def observe(X, E, P, I, H, dt):
    """Phase 6: what is shown but decides nothing."""
    liquid.observe(X, P, I, H, dt)
    steam.observe(X, E, P, I, H, dt)
    for k in range(H[3 * ROOM_AIR]):
        i, p = first(H, ROOM_AIR, k)
        room.observe(X, P, I, i, p)
    for k in range(H[3 * TRANSFORMER_TANK]):
        i, p = first(H, TRANSFORMER_TANK, k)
        transformer.observe(X, P, I, i, p)
