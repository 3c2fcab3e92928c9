"""What a plant shows after something has gone wrong in it: runs from a saved state of a sound day."""

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.compile import Plant, compile_plant
from brinewright.compile.place import resolve
from brinewright.compile.view import View
from brinewright.errors import BrinewrightError, RunError
from brinewright.files import with_values
from brinewright.laws.state import TIME
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.plan.suspect import Suspect, Trouble
from brinewright.run.settle import ADVICE, DAY
from brinewright.run.simulation import Simulation
from brinewright.run.state import COUNTED, NAMES, design_of

Floats = NDArray[np.float64]
State = dict[str, NDArray[Any]]

SOUND_DAYS = 2
"""Days that a plant runs undisturbed before the day on which it is looked at."""
AFTER = 6.0 * 3600.0
"""How long the sound plant is known after that day [s]."""
SAVED = 1800.0
"""Time between two saved states of the sound plant [s]."""
LIBRARY_BYTES = 400e6
"""Most that is kept in memory of what was simulated."""
PLANTS = 200
"""Most faulty plants that are kept compiled."""
OF_X = ("X", "E", "C", "F", "E0", "R", "Z")
"""Arrays of a state at whose end stands what serves only the forces."""
UNSEEN = ("dryness", "lost", "loss", "given", "mass", "performance", "shed", "slope")
"""Quantities that nobody reads off a plant."""


@dataclass(frozen=True, eq=False)
class Trace:
    """Samples of what can be seen of a plant, one row for each time [s]."""

    times: Floats
    values: NDArray[np.float32]
    columns: dict[str, int]

    def column(self, key: str) -> NDArray[np.float32]:
        """Return the samples of one channel, by "TAG.quantity"."""
        values: NDArray[np.float32] = self.values[:, self.columns[key]]
        return values


class Library:
    """A loop under one rulebook, its sound days, and every faulty run that was asked for.

    Runs of equal fault, size, onset and end are made once; with a `folder` they are also
    kept there, under the digest of the design.
    """

    def __init__(
        self, loop: Loop, rules: Rulebook, *, weather: Any = None, folder: Path | None = None
    ) -> None:
        self.loop = replace(loop, forces=())
        self.rules = rules
        self.folder = folder
        self._weather = weather
        self._kept: OrderedDict[tuple[Any, ...], Trace | None] = OrderedDict()
        self._plants: OrderedDict[tuple[Any, ...], tuple[Trouble, Plant]] = OrderedDict()
        self._states: dict[float, State] = {}
        self._bytes = 0
        self._lock = threading.Lock()

    @cached_property
    def views(self) -> dict[str, View]:
        """Return every part and line with its numbers resolved."""
        return resolve(self.loop, self.rules)[0]

    @cached_property
    def plant(self) -> Plant:
        """Return the sound plant."""
        return self._compiled(self.loop)

    def _compiled(self, loop: Loop) -> Plant:
        return compile_plant(loop, self.rules, weather=self._weather)

    @cached_property
    def digest(self) -> str:
        """Return the digest of the design, its rulebook and the version of the tool."""
        start = repr(sorted((tag, sorted(begin.items())) for tag, begin in self.loop.start.items()))
        return hashlib.sha256(f"{design_of(self.plant)}\0{start}".encode()).hexdigest()[:20]

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Return the channels that a person could read, as "TAG.quantity"."""
        return tuple(f"{tag}.{name}" for tag, name, _, _ in self._seen)

    @cached_property
    def _seen(self) -> list[tuple[str, str, str, int]]:
        return [
            channel
            for channel in self.plant.channels
            if channel[1].split()[-1] not in UNSEEN and channel[0] != "SITE"
        ]

    @cached_property
    def units(self) -> dict[str, str]:
        """Return the SI unit of each channel."""
        return {f"{tag}.{name}": unit for tag, name, unit, _ in self._seen}

    @cached_property
    def columns(self) -> dict[str, int]:
        """Return where each channel stands in a trace."""
        return {key: column for column, key in enumerate(self.keys)}

    # the sound plant ---------------------------------------------------------------

    @cached_property
    def _sound(self) -> tuple[list[State], Trace]:
        """Return states of the sound plant, half an hour apart, and what it showed meanwhile."""
        begin, end = (SOUND_DAYS - 1) * DAY, (SOUND_DAYS + 1) * DAY + AFTER
        simulation = Simulation(self.plant, samples=np.arange(begin, end + 0.5, 60.0), forced=False)
        states = []
        for moment in np.arange(begin, end + 0.5, SAVED):
            _march(simulation, float(moment))
            states.append(_state_of(simulation))
        picked = [self._place[index] for index in range(len(self.keys))]
        count = int(simulation.counters[0])
        values = simulation.trace[:count, picked].astype(np.float32)
        return states, Trace(simulation.samples[:count], values, self.columns)

    @cached_property
    def _place(self) -> list[int]:
        every = {channel: column for column, channel in enumerate(self.plant.channels)}
        return [every[channel] for channel in self._seen]

    @property
    def sound(self) -> Trace:
        """Return what the sound plant shows, a sample a minute, from a day before to a while after."""
        return self._sound[1]

    def _state_at(self, moment: float) -> State:
        with self._lock:
            if moment in self._states:
                return self._states[moment]
        states = self._sound[0]
        index = int((moment - (SOUND_DAYS - 1) * DAY) // SAVED)
        state = states[min(max(index, 0), len(states) - 1)]
        if moment - state["X"][TIME] > 0.5:
            simulation = Simulation(self.plant, forced=False)
            self._take_up(simulation, state, changed=False)
            _march(simulation, moment)
            state = _state_of(simulation)
        with self._lock:
            self._states[moment] = state
            while len(self._states) > PLANTS:
                self._states.pop(next(iter(self._states)))
        return state

    # the plant in trouble -----------------------------------------------------------

    def trace(
        self, suspect: Suspect, size: float, onset: float, end: float, step: float, span: float = DAY
    ) -> Trace | None:
        """Return what is seen after the onset of a fault to the end, or None if that cannot be run.

        Parameters
        ----------
        suspect : what goes wrong
        size : how badly, in the suspect's own measure
        onset : when it begins [s]
        end : when the run ends [s]
        step : time between samples [s]
        span : how long before the end the samples begin, if the fault is older [s]
        """
        begin = float(np.ceil(max(onset, end - span) / step) * step)
        key = (suspect.key, round(size, 6), round(onset), round(end), round(step), begin)
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key]
        found = self._stored(key)
        if found is None:
            found = self._run(suspect, size, float(round(onset)), np.arange(begin, round(end) + 0.5, step))
            self._store(key, found)
        with self._lock:
            self._kept[key] = found
            self._bytes += found.values.nbytes if found else 0
            while self._bytes > LIBRARY_BYTES and len(self._kept) > 1:
                _, old = self._kept.popitem(last=False)
                self._bytes -= old.values.nbytes if old else 0
        return found

    def _run(self, suspect: Suspect, size: float, onset: float, samples: Floats) -> Trace | None:
        try:
            trouble, plant = self._in_trouble(suspect, size)
            simulation = Simulation(plant, samples=samples)
            self._take_up(simulation, self._state_at(onset), bool(trouble.changes))
            _march(simulation, float(samples[-1]))
        except BrinewrightError:
            return None
        count = int(simulation.counters[0])
        values = simulation.trace[:count, self._place].astype(np.float32)
        for key, shift in trouble.shows.items():
            values[:, self.columns[key]] += np.float32(shift)
        return Trace(samples[:count], values, self.columns)

    def _in_trouble(self, suspect: Suspect, size: float) -> tuple[Trouble, Plant]:
        """Return a fault of one size and the plant that has it; one is compiled for all its onsets."""
        key = (suspect.key, round(size, 6))
        with self._lock:
            if key in self._plants:
                return self._plants[key]
        trouble = suspect.make(size)
        loop = with_values(self.loop, self.rules, dict(trouble.changes)) if trouble.changes else self.loop
        found = trouble, self._compiled(replace(loop, forces=trouble.forces))
        with self._lock:
            self._plants[key] = found
            while len(self._plants) > PLANTS:
                self._plants.popitem(last=False)
        return found

    def _take_up(self, simulation: Simulation, state: State, changed: bool) -> None:
        """Let a faulty plant go on from a state of the sound one.

        What the two designs begin with differently (a heat capacity, a mass, a conductance) is
        taken from the faulty one; every temperature stays as it is.
        """
        plant, arrays = simulation.plant, {name: array.copy() for name, array in state.items()}
        if changed:
            _carry_over(arrays, self.plant, plant)
        told = {"X": plant.forced_values, "J": len(plant.loop.forces)}
        for name in NAMES:
            target = simulation.arrays[name]
            own = told.get("J" if name == "J" else "X", 0) if name in (*OF_X, "J") else 0
            kept = min(target.size - own, arrays[name].size)
            target[:kept] = arrays[name][:kept]
        simulation.counters[COUNTED:] = arrays["counters"]

    # what is kept in a folder -------------------------------------------------------

    def _file(self, key: tuple[Any, ...]) -> Path | None:
        if self.folder is None:
            return None
        name = hashlib.sha256(repr(key).encode()).hexdigest()[:24]
        return self.folder / self.digest / f"{name}.npz"

    def _stored(self, key: tuple[Any, ...]) -> Trace | None:
        file = self._file(key)
        if file is None or not file.is_file():
            return None
        try:
            with np.load(file, allow_pickle=False) as kept:
                return Trace(kept["times"], kept["values"], self.columns)
        except (OSError, ValueError, KeyError):
            return None  # an unfinished file: it is made again

    def _store(self, key: tuple[Any, ...], trace: Trace | None) -> None:
        file = self._file(key)
        if file is None or trace is None:
            return
        file.parent.mkdir(parents=True, exist_ok=True)
        half = file.with_suffix(f".{threading.get_ident()}.part")
        with half.open("wb") as stream:
            np.savez_compressed(stream, times=trace.times, values=trace.values)
        half.replace(file)


def _state_of(simulation: Simulation) -> State:
    """Return a copy of everything that changes."""
    arrays = {name: array.copy() for name, array in simulation.arrays.items()}
    arrays["counters"] = simulation.counters[COUNTED:].copy()
    return arrays


def _march(simulation: Simulation, until: float) -> None:
    if simulation.time >= until - 0.5:
        return
    code = simulation.advance(until)
    if code not in ("done", "stopped"):
        raise RunError(f"The plant could not be run. {ADVICE[code]}")


def _carry_over(arrays: State, before: Plant, after: Plant) -> None:
    """Turn the state of one design into that of another that differs only in its numbers.

    Raises
    ------
    RunError
        The designs differ in more than numbers.
    """
    old, new = before.arrays, after.arrays
    if any(np.shape(old[name]) != np.shape(new[name]) for name in NAMES):
        raise RunError("The changed design does not take over the state of the other.")
    x, energy, inverse = arrays["X"], arrays["E"], arrays["C"]
    moved = old["C"] != new["C"]
    was = inverse[moved].copy()
    inverse[moved] = new["C"][moved]
    energy[moved] *= np.divide(was, inverse[moved], out=np.ones_like(was), where=inverse[moved] != 0.0)
    told = (old["X"] != new["X"]) & ~(np.isnan(old["X"]) & np.isnan(new["X"]))
    x[told] = new["X"][told]
    arrays["E0"][:] = energy


def in_parallel(jobs: Sequence[Any], work: Any, tell: Any = None, should_stop: Any = None) -> list[Any]:
    """Return what `work` makes of each job, two at a time; None for those that were not begun.

    The engine gives the interpreter free while it runs, so threads do.
    """
    results: list[Any] = [None] * len(jobs)
    done = 0
    with ThreadPoolExecutor(max_workers=2) as pool:
        waiting: list[tuple[int, Any]] = []
        for index, job in enumerate(jobs):
            waiting.append((index, pool.submit(work, job)))
            if len(waiting) >= 6:
                first, future = waiting.pop(0)
                results[first] = future.result()
                done += 1
                if tell:
                    tell(done, len(jobs))
                if should_stop and should_stop():
                    break
        for index, future in waiting:
            results[index] = future.result()
            done += 1
            if tell:
                tell(done, len(jobs))
    return results
