"""The sound plant that every fault is held against: a day old, and one more day on its way."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.compile import Plant, compile_plant, forceable
from brinewright.compile.place import resolve
from brinewright.compile.view import View
from brinewright.errors import RunError
from brinewright.kernel import layout as at
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.run.carry import Unforced, unforced
from brinewright.run.settle import ADVICE, DAY, settled
from brinewright.run.simulation import Simulation

HOUR = 3600.0
SAMPLE = 60.0
"""Time between two samples of the sound day [s]."""
AHEAD = 2
"""Hours over which a moment's load is judged."""
PLAY = 0.05
"""How far beyond its range of a sound day a reading may go before it is taken for strange [of the range]."""
LEAST_PLAY = {"K": 0.3, "1": 0.01, "kg/s": 0.05}
"""The same at least, by unit; common practice, no source."""


@dataclass(frozen=True)
class Moment:
    """A time at which faults are put in, and why then."""

    time: float
    """[s] from the start of the base run"""
    text: str

    @property
    def clock(self) -> str:
        """Return the time of day."""
        minutes = round(self.time / 60.0) % 1440
        return f"{minutes // 60:02d}:{minutes % 60:02d}"


@dataclass(frozen=True)
class Limit:
    """What a part reports: a value, and the limit that it must not pass."""

    tag: str
    code: str
    text: str
    value: int
    """Index in the state."""
    limit: float
    above: bool
    quantity: str
    unit: str


@dataclass(frozen=True)
class Liquids:
    """Columns of the temperatures of liquid, their tags, freezing and boiling points [K]."""

    columns: list[int]
    tags: list[str]
    freezes: NDArray[np.float64]
    boils: NDArray[np.float64]


class Base:
    """The shared base run: states to start from, and what is usual."""

    def __init__(
        self,
        loop: Loop,
        rules: Rulebook,
        *,
        weather: Any = None,
        should_stop: Callable[[], bool] | None = None,
        progress: Callable[[float, float], None] | None = None,
    ) -> None:
        self.loop = replace(loop, forces=())
        self.rules = rules
        self.weather = weather
        self.views: dict[str, View] = resolve(self.loop, rules)[0]
        self.can = forceable(self.loop, rules)
        self.plant = self.compiled(self.loop)
        self.columns = {(tag, name): k for k, (tag, name, _, _) in enumerate(self.plant.channels)}
        self.units = {(tag, name): unit for tag, name, unit, _ in self.plant.channels}
        self.is_complete = False
        self.states: dict[float, Unforced] = {}
        self.already: dict[bool, set[tuple[str, str]]] = {True: set(), False: set()}
        self._ranges: dict[bool, tuple[NDArray[np.float64], NDArray[np.float64]]] = {}
        self._run(should_stop or (lambda: False), progress or (lambda _a, _b: None))

    def compiled(self, loop: Loop) -> Plant:
        """Return a loop of the same place, ready to run."""
        return compile_plant(loop, self.rules, weather=self.weather)

    def _run(self, should_stop: Callable[[], bool], progress: Callable[[float, float], None]) -> None:
        """Run from the loop's own start for a day, then for another that is looked at."""
        first = Simulation(self.plant)
        if self.loop.settled:
            state = settled(self.plant, should_stop, progress)
        else:
            for hour in range(24):
                march(first, (hour + 1) * HOUR)
                progress((hour + 1) * HOUR, 2 * DAY)
                if should_stop():
                    return
            state = first.state()
        self.already[True] = told(first)
        self._ranges[True] = first.least.copy(), first.greatest.copy()
        self.start = state.time
        samples = self.start + np.arange(0.0, DAY + 0.5, SAMPLE)
        day = Simulation(self.plant, samples=samples, state=state)
        for hour in range(24):
            self.states[self.start + hour * HOUR] = unforced(day.state())
            march(day, self.start + (hour + 1) * HOUR)
            progress(DAY + (hour + 1) * HOUR, 2 * DAY)
            if should_stop():
                return
        self.already[False] = told(day)
        self.trace: NDArray[np.float64] = day.trace
        self._ranges[False] = day.least.copy(), day.greatest.copy()
        self.already[False] |= self._beyond()
        self.mean = day.integral / DAY
        self.moments = self._moments()
        self.consumer_flows = self._flows()
        self.pause = self._longest_pause()
        self.liquids = self._liquids()
        self.is_complete = True

    def _beyond(self) -> set[tuple[str, str]]:
        """Return what stands beyond its limit on the sound day, and was told before it already."""
        found = set()
        for limit in self.limits(self.plant):
            low, high = self.range_of(limit.value)
            if high > limit.limit if limit.above else low < limit.limit:
                found.add((limit.tag, limit.code))
        return found

    def _moments(self) -> tuple[Moment, ...]:
        """Return the telling moments: the highest load, the lowest, and the emptiest battery."""
        loads = self._columns("consumer", "cooling")
        found = {}
        if loads:
            hourly = self.trace[:-1, loads].sum(axis=1).reshape(24, -1).mean(axis=1)
            ahead = np.mean([np.roll(hourly, -k) for k in range(AHEAD)], axis=0)
            found[float(np.argmax(ahead))] = "the load is highest"
            if np.ptp(ahead) > 0.05 * abs(float(ahead.mean())):
                found.setdefault(float(np.argmin(ahead)), "the load is lowest")
        charges = [k for (_, name), k in self.columns.items() if name == "charge"]
        if charges:
            charge = self.trace[:-1, charges].sum(axis=1).reshape(24, -1)
            if np.ptp(charge) > 0.02:
                emptiest = float(np.argmin(charge[:, 0]))
                if all(abs(emptiest - hour) > AHEAD for hour in found):
                    found[emptiest] = "the least power is stored"
        if not found:
            found[0.0] = "the day begins"
        return tuple(Moment(self.start + hour * HOUR, text) for hour, text in found.items())

    def _columns(self, role: str, name: str) -> list[int]:
        """Return the columns of a channel of all parts that play a role."""
        return [
            column
            for (tag, channel), column in self.columns.items()
            if channel == name and tag in self.views and self.views[tag].declared.role == role
        ]

    def _flows(self) -> tuple[list[int], float]:
        """Return the columns of the consumers' flows, and their usual sum [kg/s]."""
        columns = self._columns("consumer", "flow")
        usual = float(self.trace[:, columns].mean(axis=0).sum()) if columns else 0.0
        return columns, usual

    def _longest_pause(self) -> float:
        """Return how long the consumers are without flow at most on a sound day [s]."""
        columns, usual = self.consumer_flows
        longest = run = 0
        for still in self.trace[:, columns].sum(axis=1) < 0.05 * usual:
            run = run + 1 if still else 0
            longest = max(longest, run)
        return longest * SAMPLE

    def _liquids(self) -> "Liquids":
        """Return where liquid's temperatures stand, and between which it must stay."""
        found: list[tuple[int, str, float, float]] = []
        for (tag, name), column in self.columns.items():
            view = self.views.get(tag)
            if (
                view is None
                or not view.fillings
                or not (view.declared.is_line or view.declared.role == "store")
            ):
                continue
            if name in ("temperature", "inlet temperature", "outlet temperature"):
                liquid = view.liquid
                found.append((column, tag, liquid.freezes, liquid.boils or math.inf))
        columns, tags, freezes, boils = zip(*found, strict=True) if found else ((), (), (), ())
        return Liquids(list(columns), list(tags), np.array(freezes), np.array(boils))

    def range_of(self, place: int, from_start: bool = False) -> tuple[float, float]:
        """Return the range of a recorded value on a sound day, or on the first one, in SI."""
        least, greatest = self._ranges[from_start]
        return float(least[place]), float(greatest[place])

    def usual(self, tag: str, name: str, from_start: bool = False) -> tuple[float, float]:
        """Return the range that a channel keeps on a sound day (the first one), with its play, in SI."""
        low, high = self.range_of(self.plant.places[(tag, name)], from_start)
        play = max(PLAY * (high - low), LEAST_PLAY.get(self.units[(tag, name)], 1e-9))
        return low - play, high + play

    def limits(self, plant: Plant) -> list[Limit]:
        """Return what the parts of a plant watch on themselves and record."""
        header, ints, numbers = (plant.arrays[name] for name in ("H", "I", "P"))
        recorded = {place: (name, unit) for _, name, unit, place in plant.channels}
        found = []
        for k, (tag, code, text) in enumerate(plant.events):
            i = int(header[3 * at.WATCHES + 1]) + k * at.WA_I
            p = int(header[3 * at.WATCHES + 2]) + k * at.WA_P
            value = int(ints[i + at.WA_VALUE])
            if value in recorded:
                above = int(ints[i + at.WA_SENSE]) > 0
                limit = float(numbers[p + at.WA_LIMIT])
                found.append(Limit(tag, code, text, value, limit, above, *recorded[value]))
        return found


def march(simulation: Simulation, until: float) -> None:
    """Go on to a time [s].

    Raises
    ------
    RunError
        If the run cannot go on.
    """
    code = simulation.advance(until)
    if code not in ("done", "stopped"):
        raise RunError(f"The run ended at {simulation.time:.0f} s. {ADVICE[code]}")


def told(simulation: Simulation) -> set[tuple[str, str]]:
    """Return tag and code of everything that a run has reported."""
    names = simulation.plant.events
    return {names[int(row[1])][:2] for row in simulation.events[: simulation.counters[1]]}
