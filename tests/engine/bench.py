"""A bench on which the tests put plants together from model objects, in SI."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from brinewright.compile import Plant, compile_plant
from brinewright.files import loop_text, parse_rulebook
from brinewright.laws.state import TIME
from brinewright.model.loop import Circuit, Drive, Force, Line, Logic, Loop, Part, Schedule, Sited, Switch
from brinewright.model.rulebook import Rulebook
from brinewright.run import Simulation

HEAT_CAPACITY = 4000.0
"""Of the bench's liquid [J/(kg K)]."""
DENSITY = 1000.0
"""Of the bench's liquid [kg/m3]."""
ZERO = 273.15


@cache
def rules() -> Rulebook:
    """The rulebook of the bench."""
    return parse_rulebook((Path(__file__).parent / "bench.rulebook.toml").read_text("utf-8"))


def bore_of(mass: float, length: float) -> float:
    """Return the bore [m] of a line that holds `mass` [kg] over `length` [m]."""
    return float(np.sqrt(4.0 * mass / (np.pi * DENSITY * length)))


class Bench:
    """Collects parts, lines and signals; `loop` makes the design."""

    def __init__(self, *, ambient: float = 20.0, warm: float = 20.0) -> None:
        self.parts: dict[str, Part] = {}
        self.lines: dict[str, Line] = {}
        self.switches: list[Switch] = []
        self.logic: list[Logic] = []
        self.schedules: list[Schedule] = []
        self.forces: list[Force] = []
        self.circuits: list[Circuit] = []
        self.start: dict[str, dict[str, Any]] = {}
        self.ambient, self.warm = ambient, warm

    def part(
        self,
        tag: str,
        use: str,
        *,
        count: int = 1,
        inside: str = "",
        height: float = 0.0,
        feeder: str = "",
        shed: int = 0,
        refers: Mapping[str, str] | None = None,
        start: Mapping[str, Any] | None = None,
        **values: Any,
    ) -> str:
        """Put a part on the bench; temperatures of `start` in degC."""
        self.parts[tag] = Part(
            tag=tag,
            use=use,
            count=count,
            sited=Sited(inside=inside, height=height) if inside else None,
            feeder=feeder,
            shed=shed,
            refers={name: (other,) for name, other in (refers or {}).items()},
            values=values,
        )
        if start:
            self.start[tag] = {
                name: value + ZERO if name.endswith("temperature") else value for name, value in start.items()
            }
        return tag

    def tank(self, tag: str, *, level: float = 0.5, degc: float = 20.0, **values: Any) -> str:
        """Put a mixed tank on the bench."""
        use = values.pop("use", "buffer-tank.mixed")
        return self.part(tag, use, start={"level": level, "temperature": degc}, **values)

    def line(
        self,
        tag: str,
        start: str,
        end: str,
        *,
        mass: float = 50.0,
        length: float = 10.0,
        rank: int = 0,
        use: str = "pipe-run.tight",
        inside: str = "",
        **values: Any,
    ) -> str:
        """Lay a line that holds `mass` [kg]."""
        self.lines[tag] = Line(
            tag=tag,
            start=start,
            end=end,
            length=length,
            bore=bore_of(mass, length),
            use=use,
            rank=rank,
            sited=Sited(inside=inside) if inside else None,
            values=values,
        )
        return tag

    def circuit(self, at: str, *, degc: float | None = None) -> None:
        """Fill the circuit through `at` with the bench's liquid."""
        self.circuits.append(
            Circuit(
                name=f"at {at}",
                liquid="brine",
                at=at,
                temperature=(self.warm if degc is None else degc) + ZERO,
            )
        )

    def switch(self, tag: str, senses: str, degc: float, drives: str = "", **more: Any) -> str:
        """Put a temperature switch on the bench; `drives` is "TAG word"."""
        target, _, made = drives.partition(" ")
        self.switches.append(
            Switch(
                tag=tag,
                sense=more.pop("sense", "high"),
                senses=senses,
                setting=degc + ZERO,
                drives=(Drive(target=target, made=made),) if drives else (),
                **more,
            )
        )
        return tag

    def schedule(self, name: str, quantity: str, points: list[tuple[float, float]], **more: Any) -> str:
        """Write a schedule of (time [s], value)."""
        times, values = zip(*points, strict=True)
        self.schedules.append(Schedule(name=name, quantity=quantity, times=times, values=values, **more))
        return name

    def force(self, target: str, table: list[tuple[float, float]], end: float = float("inf")) -> None:
        """Hold a place at the values of a table of (time [s], value)."""
        self.forces.append(
            Force(target=target, value=table[0][1], start=table[0][0], end=end, table=tuple(table))
        )

    def resting_liquid(self) -> None:
        """Put two tanks and a pump that rests between them on the bench: every plant has some liquid."""
        self.tank("TK-1")
        self.tank("TK-2")
        self.part("P-1", "pump.mover")
        self.line("L-1", "TK-1.out", "P-1.in")
        self.line("L-2", "P-1.out", "TK-2.in")
        self.circuit("TK-1")
        self.force("P-1.running", [(0.0, 0.0)])

    def loop(self) -> Loop:
        """Return the design."""
        return Loop(
            name="bench",
            rulebook="bench.rulebook.toml",
            site={"ambient_temperature": self.ambient + ZERO},
            circuits=tuple(self.circuits),
            parts=tuple(self.parts.values()),
            lines=tuple(self.lines.values()),
            switches=tuple(self.switches),
            logic=tuple(self.logic),
            schedules=tuple(self.schedules),
            forces=tuple(self.forces),
            start=self.start,
        )

    def __repr__(self) -> str:
        return f"a bench with\n{loop_text(self.loop())}"

    def plant(self, longest_step: int = 11) -> Plant:
        """Return the compiled plant."""
        return compile_plant(self.loop(), rules(), longest_step=longest_step)


class March:
    """A plant under way that is looked at whenever the test likes."""

    def __init__(self, bench: Bench, longest_step: int = 11) -> None:
        self.plant = bench.plant(longest_step)
        self.simulation = Simulation(self.plant)

    def __call__(self, tag: str, quantity: str) -> float:
        return self.simulation.value(tag, quantity)

    def to(self, time: float) -> "March":
        """March to `time` [s]; the ledger must close there."""
        assert self.simulation.advance(time) == "done"
        assert self.simulation.time == time
        assert self.simulation.energy_residual() < CLOSES, "the energy ledger does not close"
        assert self.simulation.mass_residual() < CLOSES, "the mass ledger does not close"
        return self

    def follow(
        self, channels: list[tuple[str, str]], until: float, every: float = 1.0
    ) -> NDArray[np.float64]:
        """Return one row for each channel, one column for each `every` seconds, the start included."""
        at = [self.plant.place(*channel) for channel in channels]
        rows = [self.simulation.arrays["X"][at].copy()]
        while self.simulation.arrays["X"][TIME] < until - 0.5:
            self.to(self.simulation.time + every)
            rows.append(self.simulation.arrays["X"][at].copy())
        return np.array(rows).T


CLOSES = 1e-9
"""What a ledger may lack, as a share of what was exchanged: the house refuses a run above it."""
