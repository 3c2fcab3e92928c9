"""Write an assembly and its network into the arrays that the engine reads."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from brinewright.compile.assembly import SITE, Assembly
from brinewright.compile.control import ordered_logic, signal_place, signal_tag
from brinewright.compile.network import Network
from brinewright.errors import InputError
from brinewright.kernel import layout as at
from brinewright.kernel import linked
from brinewright.kernel.claims import order_of_claims, workspace
from brinewright.model.lowering import Place

SLOT = 6.0
"""Greatest parcel that is merged without regard to temperature [kg]."""
SLOTS = 256
"""Most such parcels in one run."""
DOES = {"and": at.AND, "or": at.OR, "not": at.NOT, "latch": at.LATCH, "timer": at.TIMER}
TANK_LAWS = {"mixed": at.MIXED, "first in first out": at.FIRST_IN_FIRST_OUT, "stratified": at.STRATIFIED}
STIFFEST = 1.0
"""Fastest rate at which a node may follow what it is joined to [1/s]: the tick must resolve it."""


@dataclass
class Tables:
    """The arrays, and the map from a place of the assembly to its index in X."""

    arrays: dict[str, Any]
    renumbered: np.ndarray

    def index(self, place: int) -> int:
        return int(self.renumbered[place])


class _Writer:
    """Collects records block by block, then lays them out one after another."""

    def __init__(self, assembly: Assembly, network: Network) -> None:
        self.assembly = assembly
        self.network = network
        self.blocks: dict[int, list[tuple[list[Any], list[float]]]] = {k: [] for k in range(at.BLOCKS)}
        self.extra_i: list[Any] = []
        self.extra_p: list[float] = []
        self.j: list[int] = []
        self.alias: dict[int, int] = {}

    def row(self, block: int, ints: Sequence[Any], numbers: Sequence[float]) -> int:
        self.blocks[block].append((list(ints), [float(number) for number in numbers]))
        return len(self.blocks[block]) - 1

    def many(self, values: Sequence[Any]) -> "_Extra":
        start = len(self.extra_i)
        self.extra_i.extend(values)
        return _Extra(start, "i")

    def many_p(self, values: Sequence[float]) -> "_Extra":
        start = len(self.extra_p)
        self.extra_p.extend(float(value) for value in values)
        return _Extra(start, "p")

    def changing(self, *values: int) -> int:
        start = len(self.j)
        self.j.extend(values)
        return start


@dataclass(frozen=True)
class _Extra:
    """A pointer behind the blocks of I or P, known when these are laid out."""

    offset: int
    array: str


@dataclass(frozen=True)
class _Start:
    """A pointer to record `index` of a block in I or P."""

    block: int
    index: int
    array: str


@dataclass(frozen=True)
class _Signed:
    place: Place
    as_it_is: bool


def write_tables(assembly: Assembly, network: Network, longest_step: int, stop_on_events: bool) -> Tables:
    """Return all arrays of a plant at its start state."""
    writer = _Writer(assembly, network)
    runs = _write_liquid(writer)
    _write_heat(writer)
    _write_control(writer, runs, stop_on_events)
    _write_power(writer)
    for name, rows in assembly.records.items():
        block = at.KIND_BLOCKS + linked.BLOCK_NAMES.index(name)
        for ints, numbers in rows:
            writer.row(block, ints, numbers)
    return _lay_out(writer, longest_step)


def _write_liquid(w: _Writer) -> dict[str, tuple[int, int, int, float]]:
    """Write runs, branches, junctions, tanks and islands; return where each tag's run is."""
    a, net = w.assembly, w.network
    where: dict[str, tuple[int, int, int, float]] = {}
    for b, branch in enumerate(net.branches):
        flow = a.hidden()
        items: list[Any] = []
        caps: list[Place] = []
        hydraulic: list[Any] = []
        rise = 0.0
        count = 0
        cp = a.views[branch.elements[0].tag].filling(branch.elements[0].start.split(".", 1)[1]).heat_capacity
        for element in branch.elements:
            w.alias[element.stream.flow] = flow
            rise += element.rise
            if element.capacity is not None:
                caps.append(element.capacity)
            if any(place is not None for place in element.hydraulic[:4]) or element.hydraulic[4]:
                quadratic, linear, head, droop, check = element.hydraulic
                zero = a.hidden()
                hydraulic += [quadratic or zero, linear or zero, head or zero, droop or zero, int(check)]
            law = _item_of_law(w, element) if element.law else None
            if law and element.before:
                items += law
                count += 1
            if element.mass > 0.0:
                begin = a.values[element.stream.outlet]
                slot = max(min(element.mass / 5.0, SLOT), element.mass / SLOTS)
                room = 2 * int(element.mass / slot + 0.5) + 6
                state = a.hidden(at.RUN_X)
                a.values[state + at.S_SCALE] = 1.0
                a.values[state + at.S_SUM] = element.mass * begin
                a.values[state + at.S_MASS] = element.mass
                a.values[state + at.S_KEY] = -1.0
                queue = getattr(w, "queue", 0)
                run = w.row(
                    at.RUNS,
                    [
                        element.node if element.node is not None else -1,
                        queue,
                        room,
                        w.changing(0, 1),
                        state,
                        element.stream.conductance,
                        element.stream.heat,
                    ],
                    [element.mass, slot, cp],
                )
                w.queue = queue + room  # type: ignore[attr-defined]
                w.first = getattr(w, "first", [])  # type: ignore[attr-defined]
                w.first.append((queue, element.mass, begin))  # type: ignore[attr-defined]
                where.setdefault(element.tag, (run, b, count, element.mass))
                steady = 1
                items += [
                    at.RUNS,
                    _Start(at.RUNS, run, "i"),
                    _Start(at.RUNS, run, "p"),
                    element.stream.inlet,
                    element.stream.outlet,
                    steady,
                ]
                count += 1
            if law and not element.before:
                items += law
                count += 1
        w.row(
            at.BRANCHES,
            [
                branch.tail,
                branch.head,
                w.many(items),
                count,
                flow,
                w.many(caps),
                len(caps),
                branch.elements[-1].rank,
                w.changing(1),
                w.many(hydraulic),
                len(hydraulic) // at.HY_WIDTH,
                -1,
            ],
            [cp, rise],
        )
    _write_junctions(w)
    return where


def _item_of_law(w: _Writer, element: Any) -> list[Any]:
    block = at.KIND_BLOCKS + linked.BLOCK_NAMES.index(element.law)
    return [
        block,
        _Start(block, element.record, "i"),
        _Start(block, element.record, "p"),
        element.stream.inlet,
        element.stream.outlet,
        int(element.steady),
    ]


def _write_junctions(w: _Writer) -> None:
    a, net = w.assembly, w.network
    tank_junction: dict[int, int] = {}
    for j, _ in enumerate(net.junctions):
        into = [b for b, branch in enumerate(net.branches) if branch.head == j]
        out = [b for b, branch in enumerate(net.branches) if branch.tail == j]
        tank = net.tank_at.get(j, -1)
        if tank >= 0:
            tank_junction[tank] = j
        first = net.branches[(into or out)[0]]
        begin = a.values[(first.elements[-1] if into else first.elements[0]).stream.outlet]
        w.row(
            at.JUNCTIONS,
            [tank, w.many(into), len(into), w.many(out), len(out), a.hidden(start=begin), 0],
            [],
        )
    for k, tank in enumerate(a.tanks):
        filling = a.views[tank.tag].filling()
        mass = a.values[tank.mass]
        run_i: Any = -1
        run_p: Any = -1
        layers: Any = -1
        begin = a.values[tank.node]
        if tank.law == "first in first out":
            state = a.hidden(at.RUN_X)
            a.values[state] = 1.0
            a.values[state + at.S_SUM] = mass * begin
            a.values[state + at.S_MASS] = mass
            a.values[state + at.S_KEY] = -1.0
            slot = tank.most / SLOTS
            room = 2 * SLOTS + 6
            queue = getattr(w, "queue", 0)
            run = w.row(
                at.RUNS,
                [at.IN_A_TANK, queue, room, w.changing(0, 1), state, a.hidden(), a.hidden()],
                [mass, slot, filling.heat_capacity],
            )
            w.queue = queue + room  # type: ignore[attr-defined]
            w.first = getattr(w, "first", [])  # type: ignore[attr-defined]
            w.first.append((queue, mass, begin))  # type: ignore[attr-defined]
            run_i, run_p = _Start(at.RUNS, run, "i"), _Start(at.RUNS, run, "p")
        elif tank.law == "stratified":
            layers = a.hidden(tank.layers, start=begin)
        if k not in tank_junction:
            raise InputError(f"{tank.tag}: no line ends on it.")
        w.row(
            at.TANKS,
            [TANK_LAWS[tank.law], tank.node, tank.mass, tank.level, tank_junction[k], run_i, run_p, layers, tank.layers],
            [
                tank.least, tank.most, filling.heat_capacity, tank.spread, tank.base, tank.height,
                tank.gas_pressure, tank.full,
            ],
        )  # fmt: skip
    w.hf = w.hi = 0  # type: ignore[attr-defined]
    for circuit in net.circuits:
        _write_island(w, circuit)


def _write_island(w: _Writer, circuit: list[int]) -> None:
    a, net = w.assembly, w.network
    points = sorted({net.branches[b].tail for b in circuit} | {net.branches[b].head for b in circuit})
    number = {point: index for index, point in enumerate(points)}
    tanks = [net.tank_at[point] for point in points if point in net.tank_at]
    tail = [number[net.branches[b].tail] for b in circuit]
    head = [number[net.branches[b].head] for b in circuit]
    rank = [net.branches[b].elements[-1].rank for b in circuit]
    tank_points = [number[point] for point in points if point in net.tank_at]
    plan = order_of_claims(len(points), tail, head, rank, tank_points)
    floats, ints = workspace(plan)
    driven = any(element.hydraulic[2] is not None for b in circuit for element in net.branches[b].elements)
    nb, nt = len(circuit), len(tanks)
    standing = a.hidden()
    filling = a.views[net.branches[circuit[0]].elements[0].tag].filling()
    w.row(
        at.ISLANDS,
        [
            at.PRESSURE if driven else at.RANKED,
            w.many(circuit),
            nb,
            w.many(tanks),
            nt,
            w.many([int(value) for value in plan]),
            len(plan),
            w.hf,  # type: ignore[attr-defined]
            w.hi,  # type: ignore[attr-defined]
            standing,
            floats,
            ints,
        ],
        [float(a.site_values.get("gravity", 9.80665)), filling.density],
    )
    n_key = nb + 2 * nt
    w.hf += n_key + nb + floats + at.REMEMBERED * (n_key + nb + 1)  # type: ignore[attr-defined]
    w.hi += 2 + nb + ints  # type: ignore[attr-defined]
    a.watches.append(
        (
            standing, 0.5, 1, a.views[net.branches[circuit[0]].elements[0].tag].tag, "standing",
            "Liquid that has the right of way at a junction cannot move, and holds up what comes behind it.",
            0.0, 60.0, a.hidden(),
        )
    )  # fmt: skip


def _write_heat(w: _Writer) -> None:
    a = w.assembly
    for key in a.taken_over:
        if key in a.named_edges:
            a.values[a.named_edges[key]] = 0.0
    for pair in a.edges:
        w.row(at.EDGES, list(pair), [])
    for node, watts, account in a.heats:
        w.row(at.HEATS, [node, watts, account], [])


def _write_control(w: _Writer, runs: dict[str, tuple[int, int, int, float]], stop_on_events: bool) -> None:
    a = w.assembly
    for source, metres, raw, still, tag in a.sensors:
        if isinstance(source, Place):
            w.row(at.SENSORS, [1, source, raw, 0, still, 0, -1, -1], [0.0])
            continue
        if source not in runs:
            raise InputError(f"{tag}: there is no line {source} to sense in.")
        run, branch, item, mass = runs[source]
        length = a.views[source].number("length")
        if not 0.0 <= metres <= length:
            raise InputError(f"{tag}: {source} is {length:g} m long; {metres:g} m along it is not in it.")
        row = w.blocks[at.RUNS][run][0]
        ambient = row[at.RUN_NODE] if row[at.RUN_NODE] != -1 else a.ambient
        w.row(
            at.SENSORS,
            [0, _Start(at.RUNS, run, "i"), raw, _Flow(branch), still, ambient, branch, item],
            [mass * (1.0 - metres / length)],
        )
    for s in a.switches:
        w.row(
            at.SWITCHES,
            [
                s.reading, s.filtered, s.out, s.sense, int(s.inclusive), s.setting, s.count, s.slope, s.nature,
                s.sensor,
            ],
            [s.differential, s.lag],
        )  # fmt: skip
    for element in ordered_logic(a):
        inputs = [_signed(a, text) for text in element.inputs]
        resets = [_signed(a, text) for text in element.resets]
        w.row(
            at.LOGICS,
            [
                DOES[element.does], a.channels[(element.tag, "signal")], w.many(inputs), len(inputs),
                w.many(resets), len(resets), a.hidden(),
            ],
            [element.on_delay, element.off_delay],
        )  # fmt: skip
    for tag, place in sorted(a.commands.items()):
        needs = a.needs.get(tag)
        if needs:
            w.row(at.COMMANDS, [place, w.many([_Signed(*need) for need in needs]), len(needs)], [])
    for place, schedule in a.schedules:
        points = [value for pair in zip(schedule.times, schedule.values, strict=True) for value in pair]
        w.row(
            at.SCHEDULES,
            [place, len(schedule.times), int(schedule.ramps), w.many_p(points), w.changing(0)],
            [schedule.repeats],
        )
    for force in a.loop.forces:
        place = forced_place(a, force.target)
        table = force.table or ((force.start, force.value),)
        w.row(
            at.FORCES,
            [place, len(table), w.many_p([value for pair in table for value in pair]), w.changing(0)],
            [min(force.end, 1e18)],
        )
    for value, limit, sense, _, _, _, back, after, state in a.watches:
        w.row(at.WATCHES, [value, sense, state, int(stop_on_events)], [limit, back, after])


@dataclass(frozen=True)
class _Flow:
    """The flow of a branch."""

    branch: int


def _signed(a: Assembly, text: str) -> _Signed:
    tag, as_it_is = signal_tag(text)
    return _Signed(signal_place(a, tag), as_it_is)


def forced_place(a: Assembly, target: str) -> Place:
    """Return the place that a forced signal holds: "TSH-110", "TV-110A.position", "TSH-110.reading"."""
    tag, dot, name = target.partition(".")
    key = (tag, name.replace("_", " ") if dot else "signal")
    if key in a.channels:
        return a.channels[key]
    if not dot and tag in a.commands:
        return a.commands[tag]
    if name == "command" and tag in a.commands:
        return a.commands[tag]
    known = sorted(name for owner, name in a.units if owner == tag)
    raise InputError(
        f'There is nothing to force at "{target}". {tag} gives: {", ".join(known) or "nothing"}.'
    )


def _write_power(w: _Writer) -> None:
    a = w.assembly
    buses = sorted(a.buses)
    if not buses and (a.loads or a.generators):
        return
    parents = _feeders_from_below(a)
    number = {tag: k for k, tag in enumerate(parents)}
    # every bus has a feeder of its own without limit, for what hangs on it directly
    direct = {bus: len(parents) + k for k, bus in enumerate(buses)}

    def root(tag: str) -> str:
        while tag in a.feeders:
            tag = a.feeders[tag]["up"]
        if tag not in a.buses:
            raise InputError(f"{tag} is no bus, feeder or transformer.")
        return tag

    def feeder_of(tag: str) -> int:
        hung = a.views[tag].feeder or (buses[0] if len(buses) == 1 else "")
        if hung in number:
            return number[hung]
        if hung in direct:
            return direct[hung]
        raise InputError(f'{tag}: write feeder = "…" to say which feeder or bus it hangs on.')

    for tag in parents:
        f = a.feeders[tag]
        up = number.get(f["up"], direct.get(f["up"], -1))
        w.row(
            at.FEEDERS,
            [up, buses.index(root(tag)), f["power"], f["closed"], int(f["opens"]), f["loss"], f["clock"]],
            [f["limit"], f["load"], f["fixed"], f["after"], f["again"]],
        )
    for bus in buses:
        always = a.hidden(start=1.0)
        w.row(
            at.FEEDERS,
            [-1, buses.index(bus), a.hidden(), always, 0, a.hidden(), a.hidden()],
            [0.0, 0.0, 0.0, 0.0, 0.0],
        )
    for tag, watts, powered, rated, starting, clock in sorted(a.loads):
        w.row(at.LOADS, [watts, powered, feeder_of(tag), a.views[tag].shed, clock], [rated, starting])
    for bus, power, closed, most, export in a.grids:
        b = a.buses[bus]
        b["grid"], b["export"] = a.hidden(start=most), a.hidden(start=export)
        a.records.setdefault("grid", []).append(
            ((closed, b["grid"], b["export"], power, b["grid power"]), (most, export))
        )
    for bus in buses:
        made = [watts for tag, watts in sorted(a.generators) if _bus_of(a, tag, buses, root) == bus]
        stores = [n for n, battery in enumerate(a.batteries) if battery[0] == bus]
        b = a.buses[bus]
        w.row(
            at.BUSES,
            [
                b["made"], b["used"], b["short"], b["live"], b["grid"], b["export"], b["grid power"],
                w.many(stores), len(stores), w.many(made), len(made), int(b["sheds"]), b["balance"],
            ],
            [b["back"]],
        )  # fmt: skip
    for _, stored, power, charge, numbers in a.batteries:
        w.row(at.BATTERIES, [stored, power, charge], numbers)


def _bus_of(a: Assembly, tag: str, buses: list[str], root: Any) -> str:
    hung = a.views[tag].refers("bus") or ((a.views[tag].feeder,) if a.views[tag].feeder else ())
    if hung:
        return str(root(hung[0]))
    if len(buses) == 1:
        return buses[0]
    raise InputError(f'{tag}: write bus = "…" to say which bus takes its power.')


def _feeders_from_below(a: Assembly) -> list[str]:
    """Return the feeders so that each stands before the one that feeds it."""
    depth: dict[str, int] = {}
    for tag in a.feeders:
        seen = [tag]
        while a.feeders.get(seen[-1], {}).get("up") in a.feeders:
            seen.append(a.feeders[seen[-1]]["up"])
            if len(seen) > len(a.feeders):
                raise InputError(f"{tag} feeds itself.")
        depth[tag] = len(seen)
    return sorted(a.feeders, key=lambda tag: (-depth[tag], tag))


def _lay_out(w: _Writer, longest_step: int) -> Tables:
    """Renumber the state, place every block and return the arrays."""
    a = w.assembly
    missing = sorted(f"{tag} {name}" for tag, name in a.asked if (tag, name) not in a.units)
    if missing:
        raise InputError(f"Something is asked of a part that it does not give: {', '.join(missing)}.")
    renumbered, recorded = _renumber(w)
    size = len(a.values)
    x = np.zeros(size)
    energy = np.zeros(size)
    inverse = np.zeros(size)
    for place, value in enumerate(a.values):
        if place not in w.alias:
            x[renumbered[place]] = value
    for place, value in a.energy.items():
        energy[renumbered[place]] = value
    for place, value in a.inverse.items():
        inverse[renumbered[place]] = value
    header = np.zeros(at.H_SIZE, dtype=np.int64)
    i_at: dict[int, int] = {}
    p_at: dict[int, int] = {}
    widths: dict[int, tuple[int, int]] = {}
    i_size = p_size = 0
    for block, rows in w.blocks.items():
        width_i, width_p = (len(rows[0][0]), len(rows[0][1])) if rows else (0, 0)
        header[3 * block : 3 * block + 3] = len(rows), i_size, p_size
        header[at.H_STRIDES + 2 * block : at.H_STRIDES + 2 * block + 2] = width_i, width_p
        i_at[block], p_at[block], widths[block] = i_size, p_size, (width_i, width_p)
        i_size += width_i * len(rows)
        p_size += width_p * len(rows)

    def number(value: Any) -> int:
        if isinstance(value, Place):
            return int(renumbered[value])
        if isinstance(value, _Extra):
            return value.offset + (i_size if value.array == "i" else p_size)
        if isinstance(value, _Start):
            base, width = (i_at, 0) if value.array == "i" else (p_at, 1)
            return base[value.block] + value.index * widths[value.block][width]
        if isinstance(value, _Signed):
            place = int(renumbered[value.place])
            return place if value.as_it_is else -place - 1
        if isinstance(value, _Flow):
            return number(w.blocks[at.BRANCHES][value.branch][0][at.BR_FLOW])
        return int(value)

    ints = [number(value) for rows in w.blocks.values() for row in rows for value in row[0]]
    ints += [number(value) for value in w.extra_i]
    numbers = [value for rows in w.blocks.values() for row in rows for value in row[1]] + w.extra_p
    header[at.H_RECORDED] = recorded
    header[at.H_LIMIT] = longest_step
    queue = getattr(w, "queue", 0)
    mass, frame = np.zeros(max(queue, 1)), np.zeros(max(queue, 1))
    for first, amount, temperature in getattr(w, "first", []):
        mass[first], frame[first] = amount, temperature
    nb, nj = len(w.blocks[at.BRANCHES]), len(w.blocks[at.JUNCTIONS])
    plain = sorted({int(renumbered[place]) for place in a.plain})
    free = sorted({int(renumbered[place]) for place in a.free})
    arrays = {
        "X": x, "E": energy, "C": inverse, "F": np.zeros(size, dtype=np.uint8),
        "P": np.array(numbers or [0.0]), "I": np.array(ints or [0], dtype=np.int64),
        "J": np.array(w.j or [0], dtype=np.int64), "QM": mass, "QS": frame,
        "BM": np.zeros(max(nb, 1) * at.PACKETS), "BT": np.zeros(max(nb, 1) * at.PACKETS),
        "BN": np.zeros(max(nb, 1), dtype=np.int64), "H": header,
        "nodes": np.array([*plain, *free], dtype=np.int64), "n_plain": len(plain), "E0": energy.copy(),
        "R": np.zeros(size),
        "HI": np.zeros(max(getattr(w, "hi", 0), 1), dtype=np.int64),
        "HF": np.zeros(max(getattr(w, "hf", 0), 1)),
        "order": np.zeros(max(2 * nj, 1), dtype=np.int64),
        "streams": np.zeros(2 * max(nb, 1), dtype=np.int64),
        "stiffness": _stiffness(w), "W": a.water(),
    }  # fmt: skip
    return Tables(arrays, renumbered)


def _renumber(w: _Writer) -> tuple[np.ndarray, int]:
    """Return the index in X of every place, recorded ones first, and how many are recorded."""
    a = w.assembly
    size = len(a.values)
    renumbered = np.full(size, -1, dtype=np.int64)
    first = [place for place in range(size) if a.recorded[place] and place not in w.alias]
    # a branch's flow is hidden, but it stands in for its lines' recorded flows
    stands_in = sorted(set(w.alias.values()))
    later = [place for place in range(size) if not a.recorded[place] and place not in set(stands_in)]
    for index, place in enumerate([*first, *stands_in, *later]):
        renumbered[place] = index
    for place, target in w.alias.items():
        renumbered[place] = renumbered[target]
    return renumbered, len(first) + len(stands_in)


def _stiffness(w: _Writer) -> float:
    """Return the fastest rate at which a node follows what it is joined to [1/s]."""
    a = w.assembly
    total: dict[int, float] = {}
    for left, right, place in a.edges:
        for node in (left, right):
            total[node] = total.get(node, 0.0) + a.values[place]
    for element in a.elements:
        if element.node is not None:
            total[element.node] = total.get(element.node, 0.0) + a.values[element.stream.conductance]
    worst, stiffest = 0.0, -1
    for node, conductance in total.items():
        rate = conductance * a.inverse.get(node, 0.0)
        if rate > worst:
            worst, stiffest = rate, node
    if worst > STIFFEST:
        tag, name = next(key for key, place in a.channels.items() if place == stiffest)
        raise InputError(
            f"{tag}: its {name} follows its surroundings within {1 / worst:.2g} s, faster than the engine steps. "
            "Give it more mass or less conductance."
        )
    return worst


__all__ = ["SITE", "Tables", "forced_place", "write_tables"]
