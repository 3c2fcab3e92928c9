"""The compiled plant: arrays for the engine and the names that lead back to the loop."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.compile.assembly import SITE, Assembly
from brinewright.compile.control import lower_control
from brinewright.compile.network import build_network
from brinewright.compile.place import lower_site, resolve
from brinewright.compile.tables import Tables, write_tables
from brinewright.model.loop import Loop
from brinewright.model.lowering import Place
from brinewright.model.rulebook import Rulebook

LONGEST_STEP = 60
"""Most ticks that are made as one step where nothing is decided."""
Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Plant:
    """Everything a run needs; the arrays of its start state are copied before they change."""

    loop: Loop
    rules: Rulebook
    arrays: Mapping[str, Any]
    channels: tuple[tuple[str, str, str, int], ...]
    """(tag, quantity, unit, index in X)"""
    events: tuple[tuple[str, str, str], ...]
    """(tag, code, text) of each watch"""
    switch_counts: Mapping[str, int]
    nodes: tuple[int, ...]
    """Indices in X of all nodes and accounts."""
    boundaries: tuple[int, ...]
    accounts: Mapping[str, int]
    masses: tuple[int, ...]
    powers: Mapping[str, list[int]] = field(default_factory=dict)
    places: Mapping[tuple[str, str], int] = field(default_factory=dict)
    forced_values: int = 0
    """How many values at the end of X serve only what is forced."""

    def place(self, tag: str, quantity: str) -> int:
        """Return the index in X of a channel."""
        return self.places[(tag, quantity)]


def compile_plant(
    loop: Loop,
    rules: Rulebook,
    *,
    longest_step: int = LONGEST_STEP,
    weather: Any = None,
    stop_on_events: bool = False,
) -> Plant:
    """Lower every part of a loop and return the arrays of its start state.

    Parameters
    ----------
    loop, rules : as read from their files
    longest_step : most ticks that may be made as one step where nothing is decided; 1 for tick by tick
    weather : hourly weather of the site, if it names one
    stop_on_events : end a run at its first event

    Raises
    ------
    InputError
        If the parts do not make a plant.
    """
    assembly = _assembled(loop, rules, weather)
    network = build_network(assembly)
    tables: Tables = write_tables(assembly, network, longest_step, stop_on_events)
    return Plant(
        loop=loop,
        rules=rules,
        arrays=tables.arrays,
        channels=tuple(
            (tag, name, assembly.units[(tag, name)], tables.index(place))
            for (tag, name), place in sorted(assembly.channels.items())
            if (tag, name) in assembly.units
        ),
        events=tuple((tag, code, text) for _, _, _, tag, code, text, _, _, _ in assembly.watches),
        switch_counts={switch.tag: tables.index(switch.count) for switch in assembly.switches},
        nodes=tuple(sorted({tables.index(node) for node in assembly.nodes})),
        boundaries=tuple(
            sorted({tables.index(node) for node in assembly.nodes if assembly.inverse.get(node, 0.0) == 0.0})
        ),
        accounts={name: tables.index(place) for name, place in assembly.accounts.items()},
        masses=tuple(tables.index(place) for place in assembly.masses),
        powers=_powers(assembly, tables),
        places={key: tables.index(place) for key, place in assembly.channels.items()},
        forced_values=len(assembly.of_forces),
    )


def _assembled(loop: Loop, rules: Rulebook, weather: Any) -> Assembly:
    """Return what all parts, switches and logic have asked for."""
    views, site = resolve(loop, rules)
    assembly = Assembly(loop, rules, views, site)
    lower_site(assembly, weather)
    for tag in sorted(views):
        view = views[tag]
        if view.declared.lower is None:
            continue
        assembly.current = view
        view.declared.lower(view, assembly)
    assembly.current = None
    assembly.begin_where_stated()
    lower_control(assembly)
    return assembly


def forceable(loop: Loop, rules: Rulebook) -> frozenset[str]:
    """Return every target that a force may name in this loop, such as "CH-201.powered".

    What needs no name after its tag (the signal of a switch) stands as the tag alone.
    """
    assembly = _assembled(loop, rules, None)
    keys = (*assembly.forceable, *assembly.capacities)
    return frozenset(f"{tag}.{name}" if name else tag for tag, name in keys)


def _powers(assembly: Assembly, tables: Tables) -> dict[str, list[int]]:
    """Return where in X each term of the electric ledger stands."""

    def find(rows: Iterable[Place]) -> list[int]:
        return [tables.index(place) for place in rows if assembly.recorded[place]]

    buses = assembly.buses.values()
    return {
        "made": find(watts for _, watts in assembly.generators),
        "taken": find(load.power for load in assembly.loads),
        "short": find(bus["short"] for bus in buses),
        "spilled": find(bus["spilled"] for bus in buses),
        "lost on the way": find(
            way["loss"] for way in (*assembly.feeders.values(), *assembly.transformers.values())
        ),
        "grid": find(grid["power"] for grid in assembly.grids.values()),
        "exported": find(grid["exported"] for grid in assembly.grids.values()),
        "stored": find(battery["stored"] for battery in assembly.batteries.values()),
        "lost in stores": find(battery["loss"] for battery in assembly.batteries.values()),
    }


__all__ = ["LONGEST_STEP", "SITE", "Plant", "compile_plant", "forceable"]
