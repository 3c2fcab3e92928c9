"""Write an assembly and its network into the arrays that the engine reads."""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from brinewright.compile.apart import find_apart, places_of_laws
from brinewright.compile.assembly import SITE, Assembly
from brinewright.compile.control import ordered_logic, signal_place, signal_tag
from brinewright.compile.edges import Edge, sorted_edges
from brinewright.compile.elements import Row
from brinewright.compile.liquid import RunPlace, write_liquid
from brinewright.compile.network import Network
from brinewright.compile.power import write_power
from brinewright.compile.switches import write_switches
from brinewright.compile.writer import Extra, FlowOf, Signed, Start, Writer
from brinewright.errors import InputError
from brinewright.kernel import layout as at
from brinewright.kernel import linked
from brinewright.model.loop import Schedule
from brinewright.model.lowering import Place

DOES = {"and": at.AND, "or": at.OR, "not": at.NOT, "latch": at.LATCH, "timer": at.TIMER}
STIFFEST = 1.0
"""Fastest rate at which a node may follow what it is joined to [1/s]: the tick must resolve it."""
INSIDE = 1.0 - 1e-9
"""What counts as in a line, as a share of its content: what is at its very end."""
SHARE_OF_A_STEP = 0.5
"""Most that a node may close of its distance to its liquid in one step; it is held still in it."""


@dataclass
class Tables:
    """The arrays, and the map from a place of the assembly to its index in X."""

    arrays: dict[str, Any]
    renumbered: np.ndarray

    def index(self, place: int) -> int:
        return int(self.renumbered[place])


def write_tables(assembly: Assembly, network: Network, longest_step: int, stop_on_events: bool) -> Tables:
    """Return all arrays of a plant at its start state."""
    writer = Writer(assembly, network, apart=find_apart(assembly, stop_on_events))
    runs = write_liquid(writer)
    longest = _longest(writer, longest_step)
    light = _write_heat(writer)
    _write_control(writer, runs, longest, stop_on_events)
    write_power(writer)
    for name, rows in assembly.records.items():
        block = at.KIND_BLOCKS + linked.BLOCK_NAMES.index(name)
        for ints, numbers in rows:
            writer.row(block, [_of_record(writer, value) for value in ints], numbers)
    return _lay_out(writer, longest, light)


def _of_record(w: Writer, value: Any) -> Any:
    if isinstance(value, Row):
        return w.many(value.values) if value.of_places else w.many_p(value.values)
    return value


def _write_heat(w: Writer) -> set[Place]:
    """Write edges and heats; return the conductances of light nodes."""
    a = w.assembly
    for key in a.taken_over:
        if key in a.named_edges:
            a.values[a.named_edges[key]] = 0.0
    sorts = sorted_edges(a)
    # those of machines that tick by themselves come last
    for theirs in (False, True):
        for edges in sorts:
            chosen = [edge for edge in edges if _is_apart(w, edge) == theirs]
            w.sorts_of_edges.append(len(chosen))
            for edge in chosen:
                w.row(at.EDGES, list(edge), [])
    for node, watts, account in sorted(a.heats, key=lambda heat: heat[2]):
        w.row(at.HEATS, [node, watts, account], [])
    return {place for _, _, place in sorts[2]}


def _is_apart(w: Writer, edge: Edge) -> bool:
    return edge[0] in w.apart.nodes or edge[1] in w.apart.nodes


def _mouth(w: Writer, branch: int) -> Place | int:
    """Return the node of the mixed tank that a branch starts at, -1 if it does not."""
    tank = w.network.tank_at.get(w.network.branches[branch].tail)
    if tank is None or w.assembly.tanks[tank].law != "mixed":
        return -1
    return w.assembly.tanks[tank].node


def _write_control(w: Writer, runs: dict[str, RunPlace], longest_step: int, stop_on_events: bool) -> None:
    a = w.assembly
    for source, metres, raw, still, tag in a.sensors:
        if isinstance(source, Place):
            w.row(at.SENSORS, [1, source, raw, 0, still, 0, -1, -1, -1], [0.0])
            continue
        if source not in runs:
            raise InputError(f"{tag}: there is no line {source} to sense in.")
        run, queue, branch, item = runs[source]
        length = a.views[source].number("length")
        if not 0.0 <= metres <= length:
            raise InputError(f"{tag}: {source} is {length:g} m long; {metres:g} m along it is not in it.")
        row, numbers = w.blocks[at.RUNS][run]
        below, holds = numbers[at.RUN_BELOW], numbers[at.RUN_MASS]
        full = INSIDE * w.blocks[at.QUEUES][queue][1][at.QU_MASS]
        ambient = row[at.RUN_NODE] if row[at.RUN_NODE] != -1 else a.ambient
        w.row(
            at.SENSORS,
            [
                0, Start(at.QUEUES, queue, "i"), raw, FlowOf(branch), still, ambient, branch, item,
                _mouth(w, branch) if metres == 0.0 and item == 0 and below + holds >= full else -1,
            ],
            # at the very inlet it is the liquid that has just come in
            [below + holds * min(1.0 - metres / length, INSIDE)],
        )  # fmt: skip
    write_switches(w, longest_step)
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
            w.row(at.COMMANDS, [place, w.many([Signed(*need) for need in needs]), len(needs)], [])
    followers: dict[Schedule, list[Place]] = {}
    for place, schedule in a.schedules:
        followers.setdefault(schedule, []).append(place)
    for schedule, places in followers.items():
        points = [value for pair in zip(schedule.times, schedule.values, strict=True) for value in pair]
        w.row(
            at.SCHEDULES,
            [
                w.many(places), len(places), len(schedule.times), int(schedule.ramps), w.many_p(points),
                w.changing(0),
            ],
            [schedule.repeats],
        )  # fmt: skip
    for force in a.loop.forces:
        place, comes_back = forced_place(a, force.target)
        table = force.table or ((force.start, force.value),)
        w.row(
            at.FORCES,
            [
                place, len(table), w.many_p([value for pair in table for value in pair]), w.changing(0),
                a.late(), a.late(), int(comes_back),
            ],
            [min(force.end, 1e18)],
        )  # fmt: skip
    for derating in a.deratings.values():
        w.row(at.DERATINGS, list(derating), [])
    for value, limit, sense, _, _, _, back, after, state in a.watches:
        moves = a.hidden(start=math.nan), a.hidden()
        w.row(at.WATCHES, [value, sense, state, int(stop_on_events), *moves], [limit, back, after])


def _signed(a: Assembly, text: str) -> Signed:
    tag, as_it_is = signal_tag(text)
    return Signed(signal_place(a, tag), as_it_is)


def forced_place(a: Assembly, target: str) -> tuple[Place, bool]:
    """Return the place that a forced signal holds, and whether its value comes back afterwards.

    Targets are written "TSH-110", "TSH-110.reading", "TV-110A.position", "CH-201.powered",
    "P-101.capacity" (a share of it).
    """
    tag, _, name = target.partition(".")
    key = (tag, name.replace("_", " "))
    if key in a.forceable:
        return a.forceable[key]
    if key in a.deratings:
        return a.deratings[key][1], True
    known = sorted(
        [name or "its state" for owner, name in a.forceable if owner == tag]
        + [name for owner, name in a.capacities if owner == tag]
    )
    raise InputError(
        f'"{target}" cannot be forced. What can be forced of {tag}: {", ".join(known) or "nothing"}.'
    )


def _lay_out(w: Writer, longest_step: int, light: set[Place]) -> Tables:
    """Renumber the state, place every block and return the arrays."""
    a = w.assembly
    missing = sorted(
        f"{tag} {name}"
        for tag, name in {key for key in a.asked if key not in a.units} | set(a.shares) - a.shared_by
    )
    if missing:
        raise InputError(f"Something is asked of a part that it does not give: {', '.join(missing)}.")
    header = np.zeros(at.H_SIZE, dtype=np.int32)
    renumbered = _renumber(w, _say_where_nodes_are(w, header), header)
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
        if isinstance(value, Extra):
            return value.offset + (i_size if value.array == "i" else p_size)
        if isinstance(value, Start):
            base, width = (i_at, 0) if value.array == "i" else (p_at, 1)
            return base[value.block] + value.index * widths[value.block][width]
        if isinstance(value, Signed):
            place = int(renumbered[value.place])
            return place if value.as_it_is else -place - 1
        if isinstance(value, FlowOf):
            return number(w.blocks[at.BRANCHES][value.branch][0][at.BR_FLOW])
        return int(value)

    ints = [number(value) for rows in w.blocks.values() for row in rows for value in row[0]]
    ints += [number(value) for value in w.extra_i]
    numbers = [value for rows in w.blocks.values() for row in rows for value in row[1]] + w.extra_p
    header[at.H_LIMIT] = longest_step
    starts = np.cumsum([0, *w.sorts_of_edges])
    header[at.H_EDGES : at.H_EDGES + len(starts)] = i_at[at.EDGES] + at.ED_I * starts
    parcels = np.zeros(3 * max(w.room, 1))
    for mark, (first, amount, temperature) in enumerate(w.filled, 1):
        parcels[3 * first : 3 * first + 3] = amount, temperature, mark
    w.j[0] = len(w.filled)
    nb, nj = len(w.blocks[at.BRANCHES]), len(w.blocks[at.JUNCTIONS])
    arrays = {
        "X": x, "E": energy, "C": inverse, "F": np.zeros(size, dtype=np.uint8),
        "P": np.array(numbers or [0.0]), "I": np.array(ints or [0], dtype=np.int32),
        "J": np.array(w.j or [0], dtype=np.int64), "Q": parcels,
        "B": np.zeros(3 * max(nb, 1) * at.PACKETS), "BN": np.zeros(max(nb, 1), dtype=np.int64), "H": header,
        "E0": energy.copy(),
        "R": np.zeros(size), "Z": np.zeros(size),
        "HI": np.zeros(max(w.hi, 1), dtype=np.int64),
        "HF": np.zeros(max(w.hf, 1)),
        "order": np.zeros(4 * nj + 4 * nb + 2, dtype=np.int64),
        "streams": np.zeros(2 * max(nb, 1), dtype=np.int64),
        "stiffness": np.array(_stiffness(w, light)), "W": a.water(),
    }  # fmt: skip
    return Tables(arrays, renumbered)


def _say_where_nodes_are(w: Writer, header: np.ndarray) -> list[Place]:
    """Return all nodes: plain and free ones, then those of machines that tick by themselves; say where."""
    a, apart = w.assembly, w.apart
    header[at.H_APART] = int(bool(apart.nodes))
    header[at.H_SWITCHES] = sum(switch.out not in apart.signals for switch in a.switches)
    order: list[Place] = []
    for place, theirs, which in (
        (at.H_SETTLED, False, a.plain),
        (at.H_NODES, False, a.free),
        (at.H_APART_SETTLED, True, a.plain),
        (at.H_APART_NODES, True, a.free),
    ):
        order += sorted(node for node in which if (node in apart.nodes) == theirs)
        header[place] = at.NODES + len(order)
    return order


def _quick(w: Writer) -> set[int]:
    """Return the places that may change while machines tick by themselves, beside their nodes."""
    if not w.apart.nodes:
        return set()
    power = (at.LOADS, at.FEEDERS, at.TRANSFORMERS, at.GRIDS, at.BATTERIES, at.BUSES)
    rows = [row for block in power for row, _ in w.blocks[block]]
    rows += [row for row, _ in w.blocks[at.SWITCHES] if row[at.SW_OUT] in w.apart.signals]
    return places_of_laws(w.assembly) | {value for row in rows for value in row if isinstance(value, Place)}


def _renumber(w: Writer, nodes: list[Place], header: np.ndarray) -> np.ndarray:
    """Return the index in X of every place; say how many are recorded, which come first.

    Nodes stand together, since E, C and their like are read at nearly nothing but these; then
    comes what changes as often as those of machines that tick by themselves.
    """
    a = w.assembly
    size = len(a.values)
    renumbered = np.full(size, -1, dtype=np.int64)
    placed = {*range(at.NODES), *nodes, *w.alias, *a.of_forces}
    # a branch's flow is hidden, but it stands in for its lines' recorded flows
    stands_in = {target for target in w.alias.values() if not a.recorded[target]}
    first = [place for place in range(size) if a.recorded[place] and place not in placed]
    quick = _quick(w)
    first.sort(key=lambda place: place not in quick)
    header[at.H_QUICK] = at.NODES + len(nodes) + sum(place in quick for place in first)
    first = [*range(at.NODES), *nodes, *first, *sorted(stands_in)]
    header[at.H_RECORDED] = len(first)
    later = [
        place for place in range(size) if not (a.recorded[place] or place in stands_in or place in placed)
    ]
    for index, place in enumerate([*first, *later]):
        renumbered[place] = index
    # aliased places leave room; what serves the forces ends the array in any case
    for index, place in enumerate(a.of_forces, size - len(a.of_forces)):
        renumbered[place] = index
    for place, target in w.alias.items():
        renumbered[place] = renumbered[target]
    return renumbered


def _longest(w: Writer, longest_step: int) -> int:
    """Return the longest step in which every node may be held still for the liquid that passes it.

    Between themselves nodes conduct in parts of a step, but liquid meets a node once in it.
    """
    to_liquid = _to_liquid(w)
    fastest = max((g * w.assembly.inverse.get(node, 0.0) for node, g in to_liquid.items()), default=0.0)
    if fastest * longest_step <= SHARE_OF_A_STEP:
        return longest_step
    return max(1, int(SHARE_OF_A_STEP / fastest))


def _to_liquid(w: Writer) -> dict[int, float]:
    """Return the conductance from each node to all liquid that is led past it [W/K]."""
    a = w.assembly
    total: dict[int, float] = {}
    for element in a.elements:
        if element.node is not None:
            total[element.node] = total.get(element.node, 0.0) + a.values[element.stream.conductance]
    return total


def _stiffness(w: Writer, light: set[Place]) -> tuple[float, float]:
    """Return the fastest rate at which a node follows what it is joined to [1/s], of those apart too.

    What light nodes conduct is right in any step; it counts only for what the tick must resolve.
    """
    a = w.assembly
    total = _to_liquid(w)
    of_light: dict[int, float] = {}
    for left, right, place in a.edges:
        for node in (left, right):
            of = of_light if place in light else total
            of[node] = of.get(node, 0.0) + a.values[place]
    # a tank may run down to what always stays in it
    emptied: dict[int, float] = {tank.node: tank.least / a.values[tank.mass] for tank in a.tanks}
    worst, stiffest = 0.0, -1
    fastest = [0.0, 0.0]
    for number in {*total, *of_light}:
        inverse = a.inverse.get(number, 0.0)
        rate = total.get(number, 0.0) * inverse
        group = int(number in w.apart.nodes)
        fastest[group] = max(fastest[group], rate / min(emptied.get(number, 1.0), 1.0))
        rate += of_light.get(number, 0.0) * inverse
        if rate > worst:
            worst, stiffest = rate, number
    if worst > STIFFEST:
        tag, name = next(key for key, place in a.channels.items() if place == stiffest)
        raise InputError(
            f"{tag}: its {name} follows its surroundings within {1 / worst:.2g} s, "
            "faster than the engine steps. "
            "Give it more mass or less conductance."
        )
    return fastest[0], fastest[1]


__all__ = ["SITE", "Tables", "forced_place", "write_tables"]
