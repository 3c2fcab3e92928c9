"""The laws of the kinds through which steam and waste heat go, linked by hand: one line a kind and phase."""

from brinewright.components.chiller import law as chiller
from brinewright.components.condensate_pump import law as condensate_pump
from brinewright.components.dump_valve import law as dump_valve
from brinewright.components.enclosure import law as enclosure
from brinewright.components.final_sink import law as final_sink
from brinewright.components.heat_source import law as heat_source
from brinewright.components.relief_valve import law as relief_valve
from brinewright.components.turbine import law as turbine
from brinewright.jit import inner
from brinewright.kernel import linked_liquid as liquid
from brinewright.kernel.layout import KIND_BLOCKS
from brinewright.kernel.records import first

BLOCK_NAMES = (
    "chiller fixed drop",
    "chiller second law",
    "chiller catalogue",
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


def _block(name: str) -> int:
    return KIND_BLOCKS + len(liquid.BLOCK_NAMES) + BLOCK_NAMES.index(name)


CHILLER_DROP = _block("chiller fixed drop")
CHILLER_SECOND_LAW = _block("chiller second law")
CHILLER_CATALOGUE = _block("chiller catalogue")
TURBINE_EXPANSION = _block("turbine expansion")
SOURCE_POWER = _block("source power")
SOURCE_CONTACT = _block("source contact")
SINK = _block("final sink")
SINK_TOUCH = _block("sink touch")
ENCLOSURE_DECLARED = _block("enclosure declared")
ENCLOSURE_REAL = _block("enclosure real")
RELIEF_VALVE = _block("relief valve")
DUMP_VALVE = _block("dump valve")
CONDENSATE_PUMP = _block("condensate pump")


@inner
def actuate(X, F, P, I, W, H, dt):
    """Phase 1: what was commanded is done."""
    for k in range(H[3 * CHILLER_SECOND_LAW]):
        i, p = first(H, CHILLER_SECOND_LAW, k)
        chiller.actuate(X, F, P, I, i, p)
    for k in range(H[3 * CHILLER_CATALOGUE]):
        i, p = first(H, CHILLER_CATALOGUE, k)
        chiller.actuate(X, F, P, I, i, p)
    for k in range(H[3 * CONDENSATE_PUMP]):
        i, p = first(H, CONDENSATE_PUMP, k)
        condensate_pump.actuate(X, F, P, I, W, i, p)
    for k in range(H[3 * TURBINE_EXPANSION]):
        i, p = first(H, TURBINE_EXPANSION, k)
        turbine.actuate_expansion(X, F, P, I, i, p, dt)
    for k in range(H[3 * SOURCE_POWER]):
        i, p = first(H, SOURCE_POWER, k)
        heat_source.actuate(X, F, P, I, i, p, dt)
    for k in range(H[3 * SOURCE_CONTACT]):
        i, p = first(H, SOURCE_CONTACT, k)
        heat_source.actuate(X, F, P, I, i, p, dt)
    for k in range(H[3 * SINK]):
        i, p = first(H, SINK, k)
        final_sink.actuate(X, F, P, I, i, p)
    for k in range(H[3 * ENCLOSURE_DECLARED]):
        i, p = first(H, ENCLOSURE_DECLARED, k)
        enclosure.actuate(X, F, P, I, i, p)
    for k in range(H[3 * ENCLOSURE_REAL]):
        i, p = first(H, ENCLOSURE_REAL, k)
        enclosure.actuate(X, F, P, I, i, p)
    for k in range(H[3 * RELIEF_VALVE]):
        i, p = first(H, RELIEF_VALVE, k)
        relief_valve.actuate(X, I, i)
    for k in range(H[3 * DUMP_VALVE]):
        i, p = first(H, DUMP_VALVE, k)
        dump_valve.actuate(X, F, P, I, i, p, dt)


@inner
def prepare(X, C, P, I, H, dt):
    """Phase 2, flows known: conductances and heats that depend on them."""
    for k in range(H[3 * SOURCE_CONTACT]):
        i, p = first(H, SOURCE_CONTACT, k)
        heat_source.prepare_contact(X, P, I, i, p)
    for k in range(H[3 * SINK]):
        i, p = first(H, SINK, k)
        final_sink.prepare(X, P, I, i, p)
    for k in range(H[3 * SINK_TOUCH]):
        i, p = first(H, SINK_TOUCH, k)
        final_sink.prepare_touch(X, C, P, I, i, p, dt)
    for k in range(H[3 * ENCLOSURE_DECLARED]):
        i, p = first(H, ENCLOSURE_DECLARED, k)
        enclosure.prepare_declared(X, P, I, i, p)
    for k in range(H[3 * ENCLOSURE_REAL]):
        i, p = first(H, ENCLOSURE_REAL, k)
        enclosure.prepare_real(X, P, I, i, p)


@inner
def cross(block, X, E, C, F, P, I, W, i, p, mass, temperature, cp, dt):
    """Phase 3: liquid passes a device; return the heat that it takes from it [J]."""
    if block == CHILLER_DROP:
        return chiller.cross_fixed_drop(X, E, C, F, P, I, i, p, mass, cp, dt)
    if block == CHILLER_SECOND_LAW:
        return chiller.cross_second_law(X, E, C, F, P, I, i, p, mass, temperature, cp, dt)
    if block == CHILLER_CATALOGUE:
        return chiller.cross_catalogue(X, E, C, F, P, I, i, p, mass, temperature, cp, dt)
    return turbine.cross_condenser(X, E, C, P, I, W, i, p, mass, temperature, cp, dt)


@inner
def act(X, E, C, F, P, I, W, H, dt):
    """Phase 4: machines move heat between nodes."""
    for k in range(H[3 * TURBINE_EXPANSION]):
        i, p = first(H, TURBINE_EXPANSION, k)
        turbine.act_expansion(X, E, C, P, I, W, i, p, dt)
    for k in range(H[3 * CONDENSATE_PUMP]):
        i, p = first(H, CONDENSATE_PUMP, k)
        condensate_pump.act(X, P, I, W, i, p)
    for k in range(H[3 * SOURCE_POWER]):
        i, p = first(H, SOURCE_POWER, k)
        heat_source.act_power(X, E, C, I, i, dt)
    for k in range(H[3 * RELIEF_VALVE]):
        i, p = first(H, RELIEF_VALVE, k)
        relief_valve.act(X, E, C, F, P, I, i, p, dt)
    for k in range(H[3 * DUMP_VALVE]):
        i, p = first(H, DUMP_VALVE, k)
        dump_valve.act(X, E, C, P, I, i, p, dt)


@inner
def observe(X, E, P, I, H, dt):
    """Phase 6: what is shown but decides nothing."""
    for k in range(H[3 * SOURCE_CONTACT]):
        i, p = first(H, SOURCE_CONTACT, k)
        heat_source.observe_contact(X, I, i)
    for k in range(H[3 * SINK]):
        i, p = first(H, SINK, k)
        final_sink.observe(X, E, P, I, i, p, dt)
    for k in range(H[3 * ENCLOSURE_DECLARED]):
        i, p = first(H, ENCLOSURE_DECLARED, k)
        enclosure.observe(X, I, i)
    for k in range(H[3 * ENCLOSURE_REAL]):
        i, p = first(H, ENCLOSURE_REAL, k)
        enclosure.observe(X, I, i)
