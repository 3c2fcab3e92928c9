"""Write the liquid: runs, queues, branches, junctions, tanks."""

from dataclasses import dataclass
from typing import Any

from brinewright.compile.elements import Element, TankRecord
from brinewright.compile.islands import hydraulic_row, write_island
from brinewright.compile.writer import Start, Writer
from brinewright.errors import InputError
from brinewright.kernel import layout as at
from brinewright.kernel import linked
from brinewright.model.lowering import Place

SLOT = 12.5
"""Greatest parcel that is merged without regard to temperature [kg]."""
PIECES = 5
"""Such parcels in a line that holds little."""
SLOTS = 256
"""Most such parcels in one queue."""
TANK_LAWS = {"mixed": at.MIXED, "first in first out": at.FIRST_IN_FIRST_OUT, "stratified": at.STRATIFIED}

RunPlace = tuple[int, int, int, int]
"""Record of a run, of its queue, branch, item in the branch that the queue is."""


def write_liquid(w: Writer) -> dict[str, RunPlace]:
    """Write everything that holds or moves liquid; return where each tag's run is."""
    where: dict[str, RunPlace] = {}
    for b, branch in enumerate(w.network.branches):
        first = branch.elements[0]
        filling = w.assembly.views[first.tag].filling(first.start.split(".", 1)[1])
        flow = w.assembly.hidden()
        items: list[list[Any]] = []
        lines: list[_Run] = []
        caps: list[Place] = []
        hydraulic: list[Any] = []
        law_at = -1
        for element in branch.elements:
            w.alias[element.stream.flow] = flow
            if element.capacity is not None:
                caps.append(element.capacity)
            if w.assembly.is_pressure_driven:
                hydraulic += hydraulic_row(w, element)
            inlet, outlet = element.stream.inlet, element.stream.outlet
            between = outlet
            if element.law and element.before and element.mass > 0.0:
                # the liquid meets the law, then the content
                between = w.assembly.hidden(start=w.assembly.values[outlet])
            if element.law and element.before:
                _end_stretch(w, b, items, lines, filling.heat_capacity, where)
                items.append(_item_of_law(element, inlet, between))
                law_at = len(items) - 1
            if element.mass > 0.0:
                lines.append(_Run(element, inlet if between is outlet else between, outlet))
            if element.law and not element.before:
                _end_stretch(w, b, items, lines, filling.heat_capacity, where)
                items.append(_item_of_law(element, inlet, between))
                law_at = len(items) - 1
            if element.ahead:
                w.row(at.AHEADS, [b, law_at], [])
        _end_stretch(w, b, items, lines, filling.heat_capacity, where)
        in_order = w.many([value for item in items for value in item])
        w.row(
            at.BRANCHES,
            [
                branch.tail, branch.head, in_order, len(items), flow, w.many(caps), len(caps),
                branch.elements[-1].rank, w.changing(1), w.many(hydraulic), len(hydraulic) // at.HY_WIDTH, -1,
            ],
            [filling.heat_capacity],
        )  # fmt: skip
    _write_junctions(w)
    junction_of = {index: j for j, index in w.network.tank_at.items()}
    for k, tank in enumerate(w.assembly.tanks):
        _write_tank(w, tank, junction_of.get(k))
    for circuit in w.network.circuits:
        write_island(w, circuit)
    return where


def _item_of_law(element: Element, inlet: Place, outlet: Place) -> list[Any]:
    block = at.KIND_BLOCKS + linked.BLOCK_NAMES.index(element.law)
    return [
        block,
        Start(block, element.record, "i"),
        Start(block, element.record, "p"),
        inlet,
        outlet,
        int(element.steady),
    ]


@dataclass(frozen=True)
class _Run:
    """A line, or what else holds liquid, and where the liquid's temperature at its ends stands."""

    element: Element
    inlet: Place
    outlet: Place


def _end_stretch(
    w: Writer,
    b: int,
    items: list[list[Any]],
    lines: list[_Run],
    heat_capacity: float,
    where: dict[str, RunPlace],
) -> None:
    """Write the lines since the last law as one stretch, with one queue of parcels."""
    if not lines:
        return
    full = sum(line.element.mass for line in lines)
    slot = max(min(full / (PIECES * len(lines)), SLOT), full / SLOTS)
    numbers = []
    below = full
    for line in lines:
        element = line.element
        below = below - element.mass if line is not lines[-1] else 0.0
        node = element.node if element.node is not None else -1
        shown = [-1 if place is None else place for place in (element.mean, element.loss)]
        number = w.row(
            at.RUNS,
            [node, element.stream.conductance, element.stream.heat, *shown, line.inlet, line.outlet],
            [element.mass, 1.0 / (element.mass * heat_capacity), below],
        )
        where.setdefault(element.tag, (number, len(w.blocks[at.QUEUES]), b, len(items)))
        w.run_at[number] = (b, len(items))
        numbers.append(number)
    begins = [(line.element.mass, w.assembly.values[line.element.stream.outlet]) for line in reversed(lines)]
    queue = _write_queue(w, begins, full, slot, heat_capacity, numbers)
    items.append(
        [
            at.QUEUES, Start(at.QUEUES, queue, "i"), Start(at.QUEUES, queue, "p"),
            lines[0].inlet, lines[-1].outlet, 1,
        ]
    )  # fmt: skip
    lines.clear()


def _write_queue(
    w: Writer,
    begins: list[tuple[float, float]],
    full: float,
    slot: float,
    heat_capacity: float,
    runs: list[int],
) -> int:
    """Write a queue that begins with parcels of these masses [kg] and temperatures [K], outlet first."""
    room = 4 * int(full / slot + 0.5) + 2 * len(runs) + 8
    state = w.assembly.hidden(at.RUN_X * len(runs)) if runs else -1
    w.filled += [(w.room + n, *parcel) for n, parcel in enumerate(begins)]
    first_run = runs[0] if runs else 0
    queue = w.row(
        at.QUEUES,
        [
            w.room, room, w.changing(0, len(begins), 0), state,
            Start(at.RUNS, first_run, "i"), Start(at.RUNS, first_run, "p"), len(runs),
        ],
        [full, slot, heat_capacity],
    )  # fmt: skip
    w.room += room
    return queue


def _write_junctions(w: Writer) -> None:
    a, net = w.assembly, w.network
    flows: dict[int, Place] = {}
    temperatures: dict[int, Place] = {}
    for join in a.joins:
        point = net.point_of[join.ports[0]]
        if point in net.number:
            if join.flow is not None and join.temperature is not None:
                flows[net.number[point]], temperatures[net.number[point]] = join.flow, join.temperature
        elif point in net.passing and join.flow is not None and join.temperature is not None:
            stream = net.passing[point].stream
            w.alias[join.flow] = w.alias[stream.flow]
            w.alias[join.temperature] = stream.inlet
    for j, index in net.tank_at.items():
        flows[j], temperatures[j] = a.tanks[index].inflow, a.tanks[index].outlet
    entering: list[list[int]] = [[] for _ in net.junctions]
    leaving: list[list[int]] = [[] for _ in net.junctions]
    for b, branch in enumerate(net.branches):
        entering[branch.head].append(b)
        leaving[branch.tail].append(b)
    for j, (into, out) in enumerate(zip(entering, leaving, strict=True)):
        tank_number = net.tank_at.get(j, -1)
        first = net.branches[(into or out)[0]]
        begin = a.values[(first.elements[-1] if into else first.elements[0]).stream.outlet]
        temperature = temperatures[j] if j in temperatures else a.hidden()
        a.values[temperature] = a.values[a.tanks[tank_number].node] if tank_number >= 0 else begin
        w.row(
            at.JUNCTIONS,
            [
                tank_number, w.many(into), len(into), w.many(out), len(out), temperature,
                flows[j] if j in flows else a.hidden(),
            ],
            [],
        )  # fmt: skip


def _write_tank(w: Writer, tank: TankRecord, junction: int | None) -> None:
    a = w.assembly
    heat_capacity = a.views[tank.tag].filling().heat_capacity
    mass, begin = a.values[tank.mass], a.values[tank.node]
    queue_i: Any = -1
    queue_p: Any = -1
    layers: Any = -1
    if tank.law == "first in first out":
        # its content stands in a queue, which holds its mass and its energy
        a.energy[tank.node] = 0.0
        queue = _write_queue(w, [(mass, begin)], tank.most, tank.most / SLOTS, heat_capacity, [])
        queue_i, queue_p = Start(at.QUEUES, queue, "i"), Start(at.QUEUES, queue, "p")
    elif tank.law == "stratified":
        # number of parcels, their masses from the bottom up, their temperatures
        layers = a.hidden(1 + 4 * tank.layers)
        for n in range(tank.layers):
            a.values[layers + 1 + n] = mass / tank.layers
            a.values[layers + 1 + 2 * tank.layers + n] = begin
        a.values[layers] = float(tank.layers)
    if junction is None:
        raise InputError(f"{tank.tag}: no line ends on it.")
    w.row(
        at.TANKS,
        [
            TANK_LAWS[tank.law], tank.node, tank.mass, tank.level, junction, queue_i, queue_p, layers,
            tank.layers, tank.outflow, -1 if tank.around is None else tank.around,
            tank.conductance, tank.loss,
        ],
        [
            tank.least, tank.most, heat_capacity, tank.spread, tank.base, tank.height, tank.gas_pressure,
            tank.full, tank.inlet_height, tank.outlet_height,
        ],
    )  # fmt: skip
