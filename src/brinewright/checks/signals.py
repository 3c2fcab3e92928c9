"""What the switches of a loop can say together, and where that puts what they drive.

A switch changes only where its reading passes the value at which it makes or breaks.  Between two
such values nothing is decided, so a reading is swept over these values exactly and once between
each two: this finds all that steps of any size can find.  Switches on one reading hang together;
readings at different places can differ, so their states are combined.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from brinewright.checks.graph import Waterways, waterways
from brinewright.model.case import Case
from brinewright.model.loop import Logic, Loop, Switch
from brinewright.model.reading import Reading, read_reading

MOST = 4096
"""Combinations that are all looked at; of more, those in which at most two readings leave the start."""

Signals = Mapping[str, bool]


@dataclass(frozen=True)
class Standing:
    """A set of signals that can occur, and the positions to which it drives the actors."""

    signals: Signals
    positions: int


@dataclass(frozen=True)
class Step:
    """One value or open interval of a reading, with what its switches say there."""

    low: float
    high: float
    """Equal to `low` for a single value."""
    signals: Signals


def limits(switch: Switch) -> tuple[float, float]:
    """Return where a switch breaks and where it makes, in the quantity of its set point."""
    sign = 1.0 if switch.sense == "high" else -1.0
    return switch.setting, switch.setting + sign * switch.differential


def says(switch: Switch, made: bool, value: float) -> bool:
    """Return what a switch says at a value, after what it said before."""
    sign = 1.0 if switch.sense == "high" else -1.0
    above = sign * (value - switch.setting)
    if made:
        is_decided = not switch.inclusive or switch.differential > 0.0
        return not (above < 0.0 or (above <= 0.0 and is_decided))
    makes = limits(switch)[1]
    return sign * (value - makes) > 0.0 or (value == makes and switch.inclusive)


def sweep(switches: Sequence[Switch], *, extra: Iterable[float] = ()) -> list[Step]:
    """Return every step and state that switches on one reading can come to, rising and falling.

    The reading may begin anywhere, and go up and down as it likes.

    Example
    -------
    >>> switch = Switch(tag="TSH-1", sense="high", senses="TK-1 temperature", setting=290.0, differential=1.0)
    >>> [(step.low, step.high, step.signals["TSH-1"]) for step in sweep([switch])][2:4]
    [(290.0, 291.0, False), (290.0, 291.0, True)]
    """
    edges = sorted({value for switch in switches for value in limits(switch)} | set(extra))
    if not edges:
        return []
    spans = [(float("-inf"), edges[0])]
    for low, high in zip(edges, [*edges[1:], float("inf")], strict=True):
        spans += [(low, low), (low, high)]
    probes = [
        low if low == high else max(min(0.5 * (low + high), edges[-1] + 1.0), edges[0] - 1.0)
        for low, high in spans
    ]
    first = tuple(switch.sense == "low" for switch in switches)
    seen = {(0, first)}
    waiting = [(0, first)]
    while waiting:
        at, made = waiting.pop()
        for other in (at - 1, at + 1):
            if 0 <= other < len(spans):
                after = tuple(says(s, m, probes[other]) for s, m in zip(switches, made, strict=True))
                if (other, after) not in seen:
                    seen.add((other, after))
                    waiting.append((other, after))
    tags = [switch.tag for switch in switches]
    return [Step(*spans[at], dict(zip(tags, made, strict=True))) for at, made in sorted(seen)]


class Control:
    """The switches, logic and drives of a loop."""

    def __init__(self, loop: Loop, ways: Waterways) -> None:
        self.switches: dict[str, Switch] = {switch.tag: switch for switch in loop.switches}
        self.readings: dict[str, Reading] = {
            switch.tag: read_reading(switch.senses) for switch in loop.switches
        }
        self.logic = _in_order(loop.logic)
        items: list[Switch | Logic] = [*loop.switches, *loop.logic]
        self.start: dict[str, bool] = {item.tag: item.start == "made" for item in items}
        self.needs: dict[str, list[tuple[str, str]]] = defaultdict(list)
        for item in sorted(items, key=lambda item: item.tag):
            for drive in item.drives:
                self.needs[drive.target].append((item.tag, drive.made))
        self.ways = ways

    def groups(self, tags: Iterable[str] | None = None) -> list[list[Switch]]:
        """Return switches by what they read, in order of tags."""
        found: dict[Reading, list[Switch]] = defaultdict(list)
        for tag in sorted(self.switches if tags is None else tags):
            found[self.readings[tag]].append(self.switches[tag])
        return list(found.values())

    def behind(self, tag: str) -> set[str]:
        """Return the switches on which a signal hangs, through any logic."""
        found: set[str] = set()
        seen: set[str] = set()
        waiting = [tag]
        elements = {element.tag: element for element in self.logic}
        while waiting:
            tag = waiting.pop()
            if tag in seen:
                continue
            seen.add(tag)
            if tag in self.switches:
                found.add(tag)
            elif tag in elements:
                element = elements[tag]
                waiting += [_signal(text)[0] for text in (*element.inputs, *element.resets)]
        return found

    def steering(self, actor: str) -> set[str]:
        """Return the switches that have a say in where a part stands."""
        return {tag for signal, _ in self.needs.get(actor, ()) for tag in self.behind(signal)}

    def settled(self, switches: Signals) -> list[dict[str, bool]]:
        """Return all that logic can say with these switches; a latch neither set nor reset may be either."""
        found = [{**self.start, **switches}]
        for element in self.logic:
            found = [state | {element.tag: value} for state in found for value in _values(element, state)]
        return found

    def drives_to(self, tag: str, signals: Signals, words: tuple[str, str], rest: str) -> str:
        """Return the position of a part under these signals; `rest` if nothing drives it."""
        needs = self.needs.get(tag)
        if not needs:
            return rest
        # as the engine: it goes to its first word while all that drive it agree
        agree = all(signals[signal] == (made == words[0]) for signal, made in needs)
        return words[0] if agree else words[1]

    def positions(self, signals: Signals, rest: Mapping[str, str]) -> int:
        """Return the positions of all actors under these signals."""
        bits = 0
        for number, (tag, words) in enumerate(zip(self.ways.actors, self.ways.words, strict=True)):
            if self.drives_to(tag, signals, words, rest.get(tag, words[0])) == words[0]:
                bits |= 1 << number
        return bits

    def combined(self, tags: Iterable[str] | None = None) -> Iterator[dict[str, bool]]:
        """Yield what the switches can say together, each reading for itself rising or falling."""
        options = [_distinct(sweep(group)) for group in self.groups(tags)]
        count = 1
        for option in options:
            count *= len(option)
        if count <= MOST:
            for choice in product(*options):
                yield {tag: made for signals in choice for tag, made in signals.items()}
            return
        start = {tag: self.start[tag] for tag in self.switches}
        for first, second in combinations(options, 2):
            for one, other in product(first, second):
                yield {**start, **one, **other}


def _distinct(steps: Iterable[Step]) -> list[Signals]:
    found: dict[tuple[tuple[str, bool], ...], Signals] = {}
    for step in steps:
        found.setdefault(tuple(step.signals.items()), step.signals)
    return list(found.values())


def _signal(text: str) -> tuple[str, bool]:
    """Return the tag of a signal and whether it is taken as it is ("not TSH-110": False)."""
    return (text[4:].strip(), False) if text.startswith("not ") else (text.strip(), True)


def _values(element: Logic, signals: Signals) -> tuple[bool, ...]:
    agree = [signals.get(tag, False) == wanted for tag, wanted in map(_signal, element.inputs)]
    if element.does == "or":
        return (any(agree),)
    if element.does == "not":
        return (not any(agree),)
    if element.does == "latch":
        if any(signals.get(tag, False) == wanted for tag, wanted in map(_signal, element.resets)):
            return (False,)
        return (True,) if any(agree) else (False, True)
    return (all(agree),)


def _in_order(logic: Sequence[Logic]) -> list[Logic]:
    """Return logic elements so that each comes after those it reads, as far as that can be."""
    left = {element.tag: element for element in sorted(logic, key=lambda element: element.tag)}
    done: list[Logic] = []
    while left:
        for tag, element in left.items():
            if not {_signal(text)[0] for text in (*element.inputs, *element.resets)} & (set(left) - {tag}):
                break
        else:
            tag = next(iter(left))
        done.append(left.pop(tag))
    return done


def control(case: Case) -> Control:
    """Return the switches, logic and drives of a loop."""
    return Control(case.loop, case.once(waterways))


def at_rest(case: Case) -> dict[str, str]:
    """Return where each actor stands that nothing drives: its stated start, else its first position."""
    ways = case.once(waterways)
    rest = {}
    for tag, words in zip(ways.actors, ways.words, strict=True):
        begins = case.loop.start.get(tag, {})
        rest[tag] = str(begins.get("position", words[0]))
    return rest


def standings(case: Case) -> tuple[Standing, ...]:
    """Return every set of positions that can occur, each with the first set of signals that gives it."""
    logic = case.once(control)
    rest = at_rest(case)
    ways = logic.ways
    tags = {tag for actor in ways.actors for tag in logic.steering(actor)}
    found: dict[int, Standing] = {}
    for switches in logic.combined(tags):
        for signals in logic.settled(switches):
            positions = logic.positions(signals, rest)
            found.setdefault(positions, Standing(signals, positions))
    return tuple(found.values())
