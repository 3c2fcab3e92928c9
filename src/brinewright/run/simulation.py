"""A plant under way: its arrays, its ledger, and the steps that the kernel makes with them."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.compile import Plant
from brinewright.kernel import layout as at
from brinewright.kernel import march as kernel
from brinewright.laws.state import STEP, TIME
from brinewright.run.state import COUNTED, NAMES, State, design_of, forces_of

EVENTS_AT_MOST = 100_000
STORED_SHARE = 1e-3
"""Share of what is stored that a ledger is measured by where less than that is exchanged."""

_CODES = {
    kernel.NO_ORDER: "liquid-stands-in-a-ring",
    kernel.NO_FLOW: "flow-not-found",
    kernel.NOT_A_NUMBER: "not-a-number",
}


SHOWN_BY_MOVING = ("K", "W", "kg/s", "Pa", "V")
"""Units of channels that a plant at rest does not tell."""


class Simulation:
    """A plant on its way through time.

    With `forced` off nothing is forced, whatever the loop says.

    The ledger is kept here: what all nodes, parcels and stores hold, and what crossed the
    boundary, must add up to what was there at the start.
    """

    def __init__(
        self,
        plant: Plant,
        *,
        samples: NDArray[np.float64] | None = None,
        state: State | None = None,
        forced: bool = True,
    ) -> None:
        self.plant = plant
        source = plant.arrays
        self.arrays: dict[str, Any] = {name: np.array(source[name]) for name in NAMES}
        self.fixed = {name: source[name] for name in ("P", "I", "H", "W", "stiffness")}
        if not forced:
            self.fixed["H"] = source["H"].copy()
            self.fixed["H"][3 * at.FORCES] = 0
        self.recorded = int(source["H"][at.H_RECORDED])
        branches = int(source["H"][3 * at.BRANCHES])
        self.work = {
            "V": np.zeros(9 * at.PACKETS), "Y": np.zeros(3 * at.PACKETS),
            "streams": np.zeros(2 * max(branches, 1), dtype=np.int64),
            "masses": np.zeros(max(branches, 1)), "ends": np.zeros(max(branches, 1)),
            "D": np.zeros(self.arrays["X"].size), "S": np.zeros(self.arrays["X"].size),
        }  # fmt: skip
        self.samples = np.zeros(0) if samples is None else samples
        self.columns = np.array([index for _, _, _, index in plant.channels], dtype=np.int64)
        self.trace = np.zeros((self.samples.size, self.columns.size))
        self.events = np.zeros((EVENTS_AT_MOST, 3))
        self.least = np.full(self.recorded, np.inf)
        self.greatest = np.full(self.recorded, -np.inf)
        self.integral = np.zeros(self.recorded)
        self.counters = np.zeros(8, dtype=np.int64)
        if state is not None:
            self.restore(state)
        self.begin = self.arrays["X"].copy()
        self.begins_shown = False
        self.begin_energy = self.arrays["E"].copy()
        self.start_energy = self.energy()
        self.start_mass = self.mass()
        self.exchanged = 0.0
        self._boundary = self.arrays["E"][list(plant.boundaries)].copy()

    @property
    def time(self) -> float:
        """Return the simulated time [s]."""
        return float(self.arrays["X"][TIME])

    def advance(self, until: float) -> str:
        """March to `until` [s]; return "done", "stopped" or the code of what went wrong."""
        a, f, w = self.arrays, self.fixed, self.work
        code = kernel.march(
            a["X"], a["E"], a["C"], a["F"], f["P"], f["I"], a["J"], a["Q"], a["B"], a["BN"],
            a["E0"], a["R"], f["W"], f["H"], w["V"], w["Y"], w["streams"], w["masses"], w["ends"], a["order"],
            a["Z"], w["D"], w["S"], a["HI"], a["HF"],
            self.trace, self.samples, self.columns, self.events, self.least, self.greatest, self.integral,
            self.counters, float(until), f["stiffness"],
        )  # fmt: skip
        now = self.arrays["E"][list(self.plant.boundaries)]
        self.exchanged += float(np.abs(now - self._boundary).sum())
        self._boundary = now.copy()
        if code == kernel.DONE:
            return "done"
        return "stopped" if code == kernel.STOPPED else _CODES[code]

    def look_ahead_once(self) -> None:
        """Show flows, temperatures and powers that no start states as they are after the first tick.

        A flow is found and a power drawn only when the plant moves; at the start they would
        be told as nothing.  What is stored, and every position and count, stays as it began.
        """
        probe = Simulation(self.plant)
        probe.arrays = {name: array.copy() for name, array in self.arrays.items()}
        probe.advance(self.time + 1.0)
        for _, _, unit, place in self.plant.channels:
            unread = np.isnan(self.begin[place])  # a switch has read nothing yet
            if unread or (unit in SHOWN_BY_MOVING and self.begin[place] == 0.0):
                self.begin[place] = probe.arrays["X"][place]
        self.begins_shown = True

    def recorded_trace(self) -> NDArray[np.float64]:
        """Return the samples; the first one shows what `look_ahead_once` found."""
        trace = self.trace[: int(self.counters[0])].copy()
        if self.begins_shown and len(trace) and self.samples[0] == self.begin[TIME]:
            shown = np.array([unit in SHOWN_BY_MOVING for _, _, unit, _ in self.plant.channels])
            shown |= np.isnan(trace[0])
            trace[0, shown] = self.begin[self.columns[shown]]
        return trace

    def state(self) -> State:
        """Return a copy of everything that changes."""
        arrays = {name: array.copy() for name, array in self.arrays.items()}
        arrays["counters"] = self.counters[COUNTED:].copy()
        return State(arrays, design_of(self.plant), forces_of(self.plant))

    def restore(self, state: State) -> None:
        """Go on from a saved state; what was recorded stays."""
        state.restore(self.plant, {**self.arrays, "counters": self.counters[COUNTED:]})

    def energy(self) -> float:
        """Return all energy in nodes, accounts and liquid [J]; it never changes but by rounding."""
        total = float(self.arrays["E"][list(self.plant.nodes)].sum())
        return total + float(np.sum([sum_ * cp for sum_, _, cp in self._queues()]))

    def mass(self) -> float:
        """Return all mass in tanks, vessels and pipes [kg]; it never changes but by rounding."""
        total = float(self.arrays["X"][list(self.plant.masses)].sum())
        return total + float(np.sum([mass for _, mass, _ in self._queues()]))

    def _queues(self) -> list[tuple[float, float, float]]:
        """Return mass times temperature [kg K], mass [kg] and heat capacity [J/(kg K)] of each queue."""
        source = self.plant.arrays
        header, ints, numbers = source["H"], source["I"], source["P"]
        parcels = self.arrays["Q"].reshape(-1, 3)
        found = []
        for k in range(int(header[3 * at.QUEUES])):
            v = int(header[3 * at.QUEUES + 1]) + k * at.QU_I
            p = int(header[3 * at.QUEUES + 2]) + k * at.QU_P
            head, count = self.arrays["J"][ints[v + at.QU_J] :][:2]
            places = ints[v + at.QU_FIRST] + (head + np.arange(count)) % ints[v + at.QU_ROOM]
            mass, temperature = parcels[places, :2].T
            found.append((float(mass @ temperature), float(mass.sum()), float(numbers[p + at.QU_CP])))
        return found

    def energy_residual(self) -> float:
        """Return what the energy ledger lacks, as a share of what was exchanged.

        Where hardly anything crosses the boundary, a thousandth of what is stored counts
        instead: a store cannot close better than its own rounding.
        """
        scale = max(self.exchanged, STORED_SHARE * abs(self.start_energy), 1.0)
        return abs(self.energy() - self.start_energy) / scale

    def mass_residual(self) -> float:
        """Return what the mass ledger lacks, as a share of what flowed."""
        header, ints = self.plant.arrays["H"], self.plant.arrays["I"]
        moved = 0.0
        for k in range(int(header[3 * at.BRANCHES])):
            r = int(header[3 * at.BRANCHES + 1]) + k * at.BR_I
            moved += abs(float(self.integral[ints[r + at.BR_FLOW]]))
        return abs(self.mass() - self.start_mass) / max(moved, STORED_SHARE * self.start_mass, 1.0)

    def electric(self) -> dict[str, float]:
        """Return what electric energy came and went since the start [J], as its parts tell."""
        places = self.plant.powers
        terms = {name: float(self.integral[rows].sum()) for name, rows in places.items() if name != "stored"}
        terms["stored"] = float((self.arrays["X"] - self.begin)[places["stored"]].sum())
        return terms

    def electric_residual(self) -> float:
        """Return what the electric ledger lacks, as a share of what came and went.

        What is made, imported and asked for in vain is what loads take, what is lost,
        spilled, exported and stored.
        """
        if not self.plant.powers["short"]:
            return 0.0
        flows = self.electric()
        came = flows["made"] + flows["grid"] + flows["exported"] + flows["short"]
        went = (
            flows["taken"] + flows["lost on the way"] + flows["lost in stores"] + flows["spilled"]
            + flows["exported"] + flows["stored"]
        )  # fmt: skip
        held = STORED_SHARE * float(self.begin[self.plant.powers["stored"]].sum())
        return abs(came - went) / max(came + abs(flows["stored"]), held, 1e3)

    def value(self, tag: str, quantity: str) -> float:
        """Return the present value of a channel in SI."""
        return float(self.arrays["X"][self.plant.place(tag, quantity)])


__all__ = ["STEP", "Simulation", "State"]
