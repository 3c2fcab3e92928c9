"""Every kind of part, in the order in which lists show them.

A new kind is its folder, a line here, and a line in the kernel.
"""

from brinewright.components.air_separator.kind import KIND as AIR_SEPARATOR
from brinewright.components.battery.kind import KIND as BATTERY
from brinewright.components.buffer_tank.kind import KIND as BUFFER_TANK
from brinewright.components.bus.kind import KIND as BUS
from brinewright.components.check_valve.kind import KIND as CHECK_VALVE
from brinewright.components.chiller.kind import KIND as CHILLER
from brinewright.components.condensate_pump.kind import KIND as CONDENSATE_PUMP
from brinewright.components.drain_point.kind import KIND as DRAIN_POINT
from brinewright.components.dump_valve.kind import KIND as DUMP_VALVE
from brinewright.components.enclosure.kind import KIND as ENCLOSURE
from brinewright.components.expansion_vessel.kind import KIND as EXPANSION_VESSEL
from brinewright.components.feeder.kind import KIND as FEEDER
from brinewright.components.final_sink.kind import KIND as FINAL_SINK
from brinewright.components.gas_stream.kind import KIND as GAS_STREAM
from brinewright.components.grid.kind import KIND as GRID
from brinewright.components.heat_exchanger.kind import KIND as HEAT_EXCHANGER
from brinewright.components.heat_source.kind import KIND as HEAT_SOURCE
from brinewright.components.liquid_stream.kind import KIND as LIQUID_STREAM
from brinewright.components.machine.kind import KIND as MACHINE
from brinewright.components.pipe_run.kind import KIND as PIPE_RUN
from brinewright.components.priority_junction.kind import KIND as PRIORITY_JUNCTION
from brinewright.components.pump.kind import KIND as PUMP
from brinewright.components.purge_set.kind import KIND as PURGE_SET
from brinewright.components.relief_valve.kind import KIND as RELIEF_VALVE
from brinewright.components.room.kind import KIND as ROOM
from brinewright.components.shut_off_valve.kind import KIND as SHUT_OFF_VALVE
from brinewright.components.steam_vessel.kind import KIND as STEAM_VESSEL
from brinewright.components.strainer.kind import KIND as STRAINER
from brinewright.components.tee.kind import KIND as TEE
from brinewright.components.three_way_valve.kind import KIND as THREE_WAY_VALVE
from brinewright.components.transformer.kind import KIND as TRANSFORMER
from brinewright.components.turbine.kind import KIND as TURBINE
from brinewright.components.vent_point.kind import KIND as VENT_POINT
from brinewright.errors import UnknownNameError
from brinewright.model.kind import Kind

KINDS: tuple[Kind, ...] = (
    BUFFER_TANK,
    PIPE_RUN,
    SHUT_OFF_VALVE,
    THREE_WAY_VALVE,
    CHECK_VALVE,
    PRIORITY_JUNCTION,
    TEE,
    PUMP,
    CHILLER,
    STEAM_VESSEL,
    TURBINE,
    HEAT_SOURCE,
    FINAL_SINK,
    ENCLOSURE,
    HEAT_EXCHANGER,
    ROOM,
    MACHINE,
    LIQUID_STREAM,
    GAS_STREAM,
    BUS,
    FEEDER,
    TRANSFORMER,
    BATTERY,
    GRID,
    RELIEF_VALVE,
    EXPANSION_VESSEL,
    STRAINER,
    AIR_SEPARATOR,
    DRAIN_POINT,
    VENT_POINT,
    DUMP_VALVE,
    PURGE_SET,
    CONDENSATE_PUMP,
)


def kind_named(name: str) -> Kind:
    """Return the kind of this name; spaces and hyphens count as the same.

    >>> kind_named("buffer-tank").letters
    ('TK',)
    """
    wanted = name.replace("-", " ")
    for kind in KINDS:
        if kind.name.replace("-", " ") == wanted:
            return kind
    raise UnknownNameError(name, [kind.name for kind in KINDS], "kind")
