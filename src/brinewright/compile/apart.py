"""Find machines that may tick by themselves inside a longer step of the liquid.

Their kinds say so of their records.  It holds for a plant if no liquid and no other law meets
their nodes, if what liquid gives to these does not change in a step, and if nobody else
reads what they decide.
"""

from dataclasses import dataclass

from brinewright.compile.assembly import Assembly
from brinewright.compile.elements import Row
from brinewright.model.lowering import Place

FIXED_PLACES = 4
"""Places of time, step and the like, which belong to nobody."""


@dataclass(frozen=True)
class Apart:
    """What ticks by itself: thermal nodes, signals of switches, powers of machines; all empty for nothing."""

    nodes: frozenset[int] = frozenset()
    signals: frozenset[int] = frozenset()
    powers: frozenset[int] = frozenset()


def find_apart(a: Assembly, stop_on_events: bool) -> Apart:
    """Return what of a plant may tick by itself."""
    homes = {node for _, _, nodes in a.apart for node in nodes}
    if not homes or stop_on_events or a.transformers:
        return Apart()
    nodes = _joined(a, homes)
    met = {element.node for element in a.elements} | {tank.node for tank in a.tanks}
    met |= {tank.around for tank in a.tanks} | {node for heat in a.heats for node in (heat[0], heat[2])}
    if nodes & met:
        return Apart()
    own = _own(a)
    theirs = own | nodes
    if _met_by_laws(a, theirs) or _read_by_others(a, theirs):
        return Apart()
    signals = {switch.out for switch in a.switches if switch.reading in theirs}
    driving = {signal for needs in a.needs.values() for signal, _ in needs}
    if not signals <= own or signals & driving:
        return Apart()
    powers = {watts for _, watts in a.generators if watts in own}
    return Apart(frozenset(nodes), frozenset(signals), frozenset(powers))


def _joined(a: Assembly, homes: set[Place]) -> set[int]:
    """Return the nodes that conduct to these, over any number of others but no boundary."""
    found: set[int] = set(homes)
    grows = True
    while grows:
        grows = False
        for left, right, _ in a.edges:
            for near, far in ((left, right), (right, left)):
                if near in found and far not in found and a.inverse.get(far, 0.0) > 0.0:
                    found.add(far)
                    grows = True
    return found


def _places(ints: tuple[int | Row, ...]) -> set[int]:
    """Return all places that a record names."""
    found: set[int] = set()
    for value in ints:
        if isinstance(value, Place):
            found.add(value)
        elif isinstance(value, Row) and value.of_places:
            found.update(value.values)
    return found


def places_of_laws(a: Assembly) -> set[int]:
    """Return all places that the laws of such machines name."""
    return {place for law, number, _ in a.apart for place in _places(a.records[law][number][0])}


def _own(a: Assembly) -> set[int]:
    """Return the values that only such machines change: no nodes, no commands, nothing that many share."""
    own: set[int] = set()
    for law, number, nodes in a.apart:
        if nodes:
            own |= _places(a.records[law][number][0])
    own -= a.nodes | set(a.commands.values()) | {a.zero, a.one}
    return {place for place in own if place >= FIXED_PLACES}


def _met_by_laws(a: Assembly, theirs: set[int]) -> bool:
    """Tell whether another law meets what is theirs, but one that gives the same all through a step."""
    may = {(law, number) for law, number, _ in a.apart}
    may |= {(element.law, element.record) for element in a.elements if element.steady}
    return any(
        _places(ints) & theirs
        for law, rows in a.records.items()
        for number, (ints, _) in enumerate(rows)
        if (law, number) not in may
    )


def _read_by_others(a: Assembly, theirs: set[int]) -> bool:
    """Tell whether sensors, loads, schedules or lines read or write what is theirs."""
    others: set[int | None] = {source for source, *_ in a.sensors if isinstance(source, Place)}
    others |= {load.power for load in a.loads} | {place for place, _ in a.schedules}
    for element in a.elements:
        others |= {element.capacity, element.quadratic, element.linear, element.head, element.droop}
    return bool(others & theirs)
