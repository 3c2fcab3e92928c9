"""The laws of the kinds through which the liquid goes its way, linked by hand: one line a kind and phase."""

from brinewright.components.buffer_tank import law as buffer_tank
from brinewright.components.check_valve import law as check_valve
from brinewright.components.heat_exchanger import law as heat_exchanger
from brinewright.components.pipe_run import law as pipe_run
from brinewright.components.pump import law as pump
from brinewright.components.shut_off_valve import law as shut_off_valve
from brinewright.components.three_way_valve import law as three_way_valve
from brinewright.jit import inner
from brinewright.kernel.layout import KIND_BLOCKS
from brinewright.kernel.records import first
from brinewright.laws import process_stream

BLOCK_NAMES = (
    "shut-off valve",
    "shut-off coefficient",
    "three-way valve",
    "three-way coefficient",
    "check valve",
    "pump fixed",
    "pump curve",
    "pipe layered",
    "tank loss",
    "exchanger contents",
    "exchanger contents hot",
    "exchanger contents cold",
    "exchanger effectiveness",
    "exchanger effectiveness hot",
    "exchanger effectiveness cold",
    "stream contents",
    "stream passing",
)


def _block(name: str) -> int:
    return KIND_BLOCKS + BLOCK_NAMES.index(name)


SHUT_OFF = _block("shut-off valve")
SHUT_OFF_COEFFICIENT = _block("shut-off coefficient")
THREE_WAY = _block("three-way valve")
THREE_WAY_COEFFICIENT = _block("three-way coefficient")
CHECK_VALVE = _block("check valve")
PUMP_FIXED = _block("pump fixed")
PUMP_CURVE = _block("pump curve")
PIPE_LAYERED = _block("pipe layered")
TANK_LOSS = _block("tank loss")
CONTENTS = _block("exchanger contents")
CONTENTS_HOT = _block("exchanger contents hot")
CONTENTS_COLD = _block("exchanger contents cold")
EFFECTIVENESS = _block("exchanger effectiveness")
EFFECTIVENESS_HOT = _block("exchanger effectiveness hot")
EFFECTIVENESS_COLD = _block("exchanger effectiveness cold")
STREAM_CONTENTS = _block("stream contents")
STREAM_PASSING = _block("stream passing")


@inner
def actuate(X, F, P, I, H, dt):
    """Phase 1: what was commanded is done."""
    for k in range(H[3 * SHUT_OFF]):
        i, p = first(H, SHUT_OFF, k)
        shut_off_valve.actuate(X, F, P, I, i, p, dt)
    for k in range(H[3 * SHUT_OFF_COEFFICIENT]):
        i, p = first(H, SHUT_OFF_COEFFICIENT, k)
        shut_off_valve.actuate_coefficient(X, F, P, I, i, p, dt)
    for k in range(H[3 * THREE_WAY]):
        i, p = first(H, THREE_WAY, k)
        three_way_valve.actuate(X, F, P, I, i, p, dt)
    for k in range(H[3 * THREE_WAY_COEFFICIENT]):
        i, p = first(H, THREE_WAY_COEFFICIENT, k)
        three_way_valve.actuate_coefficient(X, F, P, I, i, p, dt)
    for k in range(H[3 * PUMP_FIXED]):
        i, p = first(H, PUMP_FIXED, k)
        pump.actuate(X, F, P, I, i, p, dt)
    for k in range(H[3 * PUMP_CURVE]):
        i, p = first(H, PUMP_CURVE, k)
        pump.actuate_curve(X, F, P, I, i, p, dt)
    for k in range(H[3 * STREAM_CONTENTS]):
        i, p = first(H, STREAM_CONTENTS, k)
        process_stream.actuate(X, F, P, I, i, p)
    for k in range(H[3 * STREAM_PASSING]):
        i, p = first(H, STREAM_PASSING, k)
        process_stream.actuate(X, F, P, I, i, p)


@inner
def prepare(X, P, I, H, dt):
    """Phase 2, flows known: conductances and heats that depend on them."""
    for k in range(H[3 * PIPE_LAYERED]):
        i, p = first(H, PIPE_LAYERED, k)
        pipe_run.prepare(X, P, I, i, p)


@inner
def meet(X, P, I, H, dt):
    """Phase 2, what comes is foreseen: what two streams will do to each other."""
    for k in range(H[3 * CONTENTS]):
        i, p = first(H, CONTENTS, k)
        heat_exchanger.meet_contents(X, P, I, i, p, dt)
    for k in range(H[3 * EFFECTIVENESS]):
        i, p = first(H, EFFECTIVENESS, k)
        heat_exchanger.meet_effectiveness(X, P, I, i, p, dt)


@inner
def cross(block, X, E, C, F, P, I, i, p, mass, temperature, cp, dt):
    """Phase 3: liquid passes a device; return the heat that it takes from it [J]."""
    if block == PUMP_FIXED:
        return pump.cross(X, E, C, P, I, i, p, mass, dt)
    if block == PUMP_CURVE:
        return pump.cross_curve(X, E, C, P, I, i, p, mass, dt)
    if block in (CONTENTS_HOT, CONTENTS_COLD):
        return heat_exchanger.cross_contents(X, E, C, P, I, i, p, mass, dt)
    if block in (EFFECTIVENESS_HOT, EFFECTIVENESS_COLD):
        return heat_exchanger.cross_effectiveness(X, P, I, i, p, mass, dt)
    if block == STREAM_CONTENTS:
        return process_stream.cross_contents(X, E, C, P, I, i, p, mass, temperature, cp, dt)
    if block == STREAM_PASSING:
        return process_stream.cross_passing(X, E, C, P, I, i, p, mass, temperature, cp, dt)
    return 0.0


@inner
def observe(X, P, I, H, dt):
    """Phase 6: what is shown but decides nothing."""
    for k in range(H[3 * THREE_WAY]):
        i, _ = first(H, THREE_WAY, k)
        three_way_valve.observe(X, I, i)
    for k in range(H[3 * THREE_WAY_COEFFICIENT]):
        i, _ = first(H, THREE_WAY_COEFFICIENT, k)
        three_way_valve.observe(X, I, i)
        three_way_valve.observe_loss(X, I, i)
    for k in range(H[3 * CHECK_VALVE]):
        i, _ = first(H, CHECK_VALVE, k)
        check_valve.observe(X, I, i)
    for k in range(H[3 * TANK_LOSS]):
        i, p = first(H, TANK_LOSS, k)
        buffer_tank.observe_loss(X, P, I, i, p)
