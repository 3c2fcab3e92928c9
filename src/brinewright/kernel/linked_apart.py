"""The laws of the kinds that may tick by themselves inside a longer step of the liquid, linked by hand.

None of them meets the liquid; what liquid gives to their nodes comes at a rate that a step does not change.
"""

from brinewright.components.chiller import law as chiller
from brinewright.components.steam_vessel import law as steam_vessel
from brinewright.components.turbine import law as turbine
from brinewright.jit import inner
from brinewright.kernel import linked_liquid as liquid
from brinewright.kernel import linked_steam as steam
from brinewright.kernel.layout import KIND_BLOCKS
from brinewright.kernel.records import first

BLOCK_NAMES = (
    "chiller metal",
    "vessel lump",
    "vessel two-phase",
    "turbine threshold",
)


def _block(name: str) -> int:
    before = len(liquid.BLOCK_NAMES) + len(steam.BLOCK_NAMES)
    return KIND_BLOCKS + before + BLOCK_NAMES.index(name)


CHILLER_METAL = _block("chiller metal")
VESSEL_LUMP = _block("vessel lump")
VESSEL_TWO_PHASE = _block("vessel two-phase")
TURBINE_THRESHOLD = _block("turbine threshold")


@inner
def actuate(X, F, P, I, H, dt):
    """Phase 1: what was commanded is done."""
    for k in range(H[3 * TURBINE_THRESHOLD]):
        i, p = first(H, TURBINE_THRESHOLD, k)
        turbine.actuate(X, F, P, I, i, p, dt)


@inner
def prepare(X, P, I, H):
    """Phase 2: conductances and heats that depend on what was."""
    for k in range(H[3 * VESSEL_LUMP]):
        i, p = first(H, VESSEL_LUMP, k)
        steam_vessel.prepare(X, I, i)
    for k in range(H[3 * VESSEL_TWO_PHASE]):
        i, p = first(H, VESSEL_TWO_PHASE, k)
        steam_vessel.prepare(X, I, i)
    for k in range(H[3 * CHILLER_METAL]):
        i, p = first(H, CHILLER_METAL, k)
        chiller.cover(X, P, I, i, p)


@inner
def act(X, E, C, P, I, H, dt):
    """Phase 4: machines move heat between nodes."""
    for k in range(H[3 * TURBINE_THRESHOLD]):
        i, p = first(H, TURBINE_THRESHOLD, k)
        turbine.act_threshold(X, E, C, P, I, i, p, dt)


@inner
def settle(X, E, C, P, I, W, H):
    """Phase 5: temperatures that a law of its own derives from energy."""
    for k in range(H[3 * VESSEL_LUMP]):
        i, p = first(H, VESSEL_LUMP, k)
        steam_vessel.settle_lump(X, E, C, P, I, i, p)
    for k in range(H[3 * VESSEL_TWO_PHASE]):
        i, p = first(H, VESSEL_TWO_PHASE, k)
        steam_vessel.settle_two_phase(X, E, C, P, I, W, i, p)


@inner
def observe(X, E, P, I, H, dt):
    """Phase 6: what is shown but decides nothing."""
    for k in range(H[3 * CHILLER_METAL]):
        i, p = first(H, CHILLER_METAL, k)
        chiller.observe(X, I, i)
    for k in range(H[3 * VESSEL_LUMP]):
        i, p = first(H, VESSEL_LUMP, k)
        steam_vessel.observe(X, E, P, I, i, p, dt)
    for k in range(H[3 * VESSEL_TWO_PHASE]):
        i, p = first(H, VESSEL_TWO_PHASE, k)
        steam_vessel.observe(X, E, P, I, i, p, dt)
