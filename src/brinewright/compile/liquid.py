"""Write the liquid: runs, branches, junctions, tanks."""

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
SLOTS = 256
"""Most such parcels in one run."""
TANK_LAWS = {"mixed": at.MIXED, "first in first out": at.FIRST_IN_FIRST_OUT, "stratified": at.STRATIFIED}

RunPlace = tuple[int, int, int, float]
"""Run record, branch, item in the branch, mass."""


def write_liquid(w: Writer) -> dict[str, RunPlace]:
    """Write everything that holds or moves liquid; return where each tag's run is."""
    where: dict[str, RunPlace] = {}
    for b, branch in enumerate(w.network.branches):
        first = branch.elements[0]
        filling = w.assembly.views[first.tag].filling(first.start.split(".", 1)[1])
        flow = w.assembly.hidden()
        items: list[Any] = []
        caps: list[Place] = []
        hydraulic: list[Any] = []
        count = 0
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
            law = _item_of_law(element, inlet, between) if element.law else []
            run = []
            if element.mass > 0.0:
                place = (len(w.blocks[at.RUNS]), b, count + bool(law and element.before))
                where.setdefault(element.tag, (*place, element.mass))
                w.run_at[place[0]] = place[1:]
                begins = inlet if between is outlet else between
                run = _item_of_run(w, element, filling.heat_capacity, begins, outlet)
            if element.ahead:
                law_at = count if element.before or not run else count + 1
                w.row(at.AHEADS, [b, law_at], [])
            items += [*law, *run] if element.before else [*run, *law]
            count += bool(law) + bool(run)
        w.row(
            at.BRANCHES,
            [
                branch.tail, branch.head, w.many(items), count, flow, w.many(caps), len(caps),
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


def _item_of_run(w: Writer, element: Element, heat_capacity: float, inlet: Place, outlet: Place) -> list[Any]:
    begin = w.assembly.values[element.stream.outlet]
    slot = max(min(element.mass / 5.0, SLOT), element.mass / SLOTS)
    node = element.node if element.node is not None else -1
    shown = [-1 if place is None else place for place in (element.mean, element.loss)]
    run = _write_run(
        w, element.mass, element.mass, begin, slot, heat_capacity,
        [node, element.stream.conductance, element.stream.heat, *shown],
    )  # fmt: skip
    return [at.RUNS, Start(at.RUNS, run, "i"), Start(at.RUNS, run, "p"), inlet, outlet, 1]


def _write_run(
    w: Writer, mass: float, full: float, begin: float, slot: float, heat_capacity: float, places: list[int]
) -> int:
    """Write a queue of parcels that begins with one; `places` are node, conductance, heat, mean and loss."""
    a = w.assembly
    state = a.hidden(at.RUN_X)
    a.values[state + at.S_SCALE] = 1.0
    a.values[state + at.S_SUM] = mass * begin
    a.values[state + at.S_MASS] = mass
    a.values[state + at.S_KEY] = -1.0
    room = 2 * int(full / slot + 0.5) + 6
    w.filled.append((w.room, mass, begin))
    node, *others = places
    rate = 1.0 / (mass * heat_capacity)
    run = w.row(
        at.RUNS, [node, w.room, room, w.changing(0, 1), state, *others], [mass, slot, heat_capacity, rate]
    )
    w.room += room
    return run


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
    run_i: Any = -1
    run_p: Any = -1
    layers: Any = -1
    if tank.law == "first in first out":
        # its content stands in a queue, which holds its mass and its energy
        a.energy[tank.node] = 0.0
        nowhere = a.hidden()
        run = _write_run(
            w, mass, tank.most, begin, tank.most / SLOTS, heat_capacity, [-1, nowhere, nowhere, -1, -1]
        )
        run_i, run_p = Start(at.RUNS, run, "i"), Start(at.RUNS, run, "p")
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
            TANK_LAWS[tank.law], tank.node, tank.mass, tank.level, junction, run_i, run_p, layers,
            tank.layers, tank.outflow, -1 if tank.around is None else tank.around,
            tank.conductance, tank.loss,
        ],
        [
            tank.least, tank.most, heat_capacity, tank.spread, tank.base, tank.height, tank.gas_pressure,
            tank.full, tank.inlet_height, tank.outlet_height,
        ],
    )  # fmt: skip
