"""The laws of all kinds, linked by hand: one line a kind and phase.

Blocks are numbered from KIND_BLOCKS on, in the order of `BLOCK_NAMES`; a record of a
block starts `I` wide in the integers and `P` wide in the numbers, as the header says.
"""

from brinewright.components.chiller import law as chiller
from brinewright.components.grid import law as grid
from brinewright.components.heat_source import law as heat_source
from brinewright.components.machine import law as machine
from brinewright.components.pump import law as pump
from brinewright.components.room import law as room
from brinewright.components.shut_off_valve import law as shut_off_valve
from brinewright.components.steam_vessel import law as steam_vessel
from brinewright.components.three_way_valve import law as three_way_valve
from brinewright.components.turbine import law as turbine
from brinewright.jit import inner
from brinewright.kernel.layout import H_STRIDES, KIND_BLOCKS

BLOCK_NAMES = (
    "shut-off valve",
    "three-way valve",
    "pump fixed",
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
SHUT_OFF, THREE_WAY, PUMP_FIXED, CHILLER_DROP, CHILLER_COVER, VESSEL_LUMP = (
    KIND_BLOCKS, KIND_BLOCKS + 1, KIND_BLOCKS + 2, KIND_BLOCKS + 3, KIND_BLOCKS + 4, KIND_BLOCKS + 5
)  # fmt: skip
TURBINE_THRESHOLD, SOURCE_POWER, SOURCE_CONTACT, ROOM_COIL, MACHINE, GRID = (
    KIND_BLOCKS + 6, KIND_BLOCKS + 7, KIND_BLOCKS + 8, KIND_BLOCKS + 9, KIND_BLOCKS + 10, KIND_BLOCKS + 11
)  # fmt: skip


@inner
def first(H, block, k):
    """Return where record `k` of a block starts in I and in P."""
    return (
        H[3 * block + 1] + k * H[H_STRIDES + 2 * block],
        H[3 * block + 2] + k * H[H_STRIDES + 2 * block + 1],
    )


@inner
def actuate(X, E, C, F, P, I, W, H, dt):
    """Phase 1: what was commanded is done."""
    for k in range(H[3 * SHUT_OFF]):
        i, p = first(H, SHUT_OFF, k)
        shut_off_valve.actuate(X, F, P, I, i, p, dt)
    for k in range(H[3 * THREE_WAY]):
        i, p = first(H, THREE_WAY, k)
        three_way_valve.actuate(X, F, P, I, i, p, dt)
    for k in range(H[3 * PUMP_FIXED]):
        i, p = first(H, PUMP_FIXED, k)
        pump.actuate(X, F, P, I, i, p, dt)
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
    for k in range(H[3 * CHILLER_COVER]):
        i, p = first(H, CHILLER_COVER, k)
        chiller.cover(X, P, I, i, p)


@inner
def cross(block, X, E, C, F, P, I, W, H, i, p, mass, temperature, cp, dt):
    """Phase 3: liquid passes a device; return the heat that it takes from it [J]."""
    if block == CHILLER_DROP:
        return chiller.cross_fixed_drop(X, E, C, F, P, I, i, p, mass, cp, dt)
    if block == PUMP_FIXED:
        return pump.cross(X, E, C, P, I, i, p, mass, dt)
    return 0.0


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
    for k in range(H[3 * GRID]):
        i, p = first(H, GRID, k)
        grid.observe(X, I, i)


@inner
def through_layers(X, E, C, P, I, t, p, inflow, heat, outflow):
    """Pass a step's inflow [kg], [kg K] through a stratified tank; return what leaves [K]."""
    return 0.0
