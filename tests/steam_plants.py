"""Small plants of vessels, turbines, sources and sinks, put together without files.

A test may mix laws of both worlds here, which files do not allow: a source of constant heat
is the cleanest probe of a real vessel.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from brinewright.compile import compile_plant
from brinewright.model.loop import Circuit, Force, Line, Loop, Part, Schedule, Sited
from brinewright.model.rulebook import Entry, Gas, Liquid, Material, Rulebook
from brinewright.run.simulation import Simulation

ZERO = 273.15
SITE = {"gravity": 9.81, "ambient_pressure": 101.3e3, "ambient_temperature": 293.15}
GASES = tuple(
    Gas(name=name, factor=factor, properties=name)
    for name, factor in (("air", 1.0), ("oxygen", 1.02), ("hydrogen", 2.05), ("helium", 1.6))
)
WATER_LIKE = Liquid(
    name="liquid", heat_capacity=4000.0, density=1000.0, freezes=242.15, boils=416.15, viscosity=1e-3,
    conductivity=0.6,
)  # fmt: skip


@dataclass
class Bench:
    """Parts, lines and schedules as they are added; `run` compiles and starts them."""

    world: str = "stylised"
    site: Mapping[str, Any] = field(default_factory=lambda: SITE)
    entries: list[Entry] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    schedules: list[Schedule] = field(default_factory=list)
    forces: list[Force] = field(default_factory=list)
    circuits: list[Circuit] = field(default_factory=list)
    begins: dict[str, dict[str, Any]] = field(default_factory=dict)
    liquid: Liquid = WATER_LIKE

    def add(
        self,
        tag: str,
        kind: str,
        law: str,
        values: Mapping[str, Any] | None = None,
        *,
        begins: Mapping[str, Any] | None = None,
        inside: str = "",
        height: float = 0.0,
        count: int = 1,
        **refers: str,
    ) -> "Bench":
        """Add a part of its own entry; references are given by name."""
        entry = Entry(kind=kind, name=f"of-{tag.lower()}", law=law, values=dict(values or {}))
        self.entries.append(entry)
        self.parts.append(
            Part(
                tag=tag,
                use=entry.key,
                count=count,
                sited=Sited(inside=inside, height=height) if inside else None,
                refers={name: tuple(tags.split()) for name, tags in refers.items()},
            )
        )
        if begins:
            self.begins[tag] = dict(begins)
        return self

    def line(self, tag: str, start: str, end: str, length: float = 5.0, bore: float = 0.1) -> "Bench":
        """Join two ports by a line that loses nothing."""
        self.lines.append(Line(tag=tag, start=start, end=end, length=length, bore=bore, use="pipe-run.still"))
        return self

    def ring(
        self, part: str, flow: float, temperature: float, ports: tuple[str, str] = ("in", "out")
    ) -> "Bench":
        """Lead liquid of a huge tank through a part and back to another one, at a steady flow."""
        side = ports[0].partition("-")[0] if "-" in ports[0] else "main"
        pump, first, second = f"P-{side}", f"TK-{side}-A", f"TK-{side}-B"
        tank = {"volume": 1e5, "loss_conductance": 0.0}
        for tag in (first, second):
            begins = {"level": 0.5, "temperature": temperature}
            self.add(tag, "buffer tank", "mixed", tank, begins=begins)
        self.add(
            pump, "pump", "fixed capacity",
            {"capacity": flow, "power": 0.0, "heat_share": 0.0, "when_off": "stops", "hold_up": 1.0},
        )  # fmt: skip
        self.line(f"L-{side}-1", f"{first}.out", f"{pump}.in")
        self.line(f"L-{side}-2", f"{pump}.out", f"{part}.{ports[0]}")
        self.line(f"L-{side}-3", f"{part}.{ports[1]}", f"{second}.in")
        self.circuits.append(Circuit(name=side, liquid="liquid", at=first, temperature=temperature))
        return self

    def force(self, target: str, value: float, start: float = 0.0, end: float = float("inf")) -> "Bench":
        """Hold a value."""
        self.forces.append(Force(target=target, value=value, start=start, end=end))
        return self

    def power(self) -> "Bench":
        """Add a bus on a grid that gives and takes everything."""
        self.add("PB-1", "bus", "power limits", {"when_short": "sheds in order"})
        return self.add(
            "GR-1", "grid", "power limit", {"import_limit": 1e12, "export_limit": 1e12}, bus="PB-1"
        )

    def start(self, longest_step: int = 11) -> Simulation:
        """Compile the plant and return it at its start."""
        rules = Rulebook(
            name="bench",
            world=self.world,
            choices={"stagnant_sensor": "local"},
            site=self.site,
            entries=(*self.entries, STILL),
            gases=GASES,
            liquids=(self.liquid,),
            materials=(Material(name="steel", limit=700.0, heat_capacity=490.0),),
        )
        loop = Loop(
            name="bench",
            rulebook="bench",
            parts=tuple(self.parts),
            lines=tuple(self.lines),
            circuits=tuple(self.circuits),
            schedules=tuple(self.schedules),
            forces=tuple(self.forces),
            start=self.begins,
        )
        return Simulation(compile_plant(loop, rules, longest_step=longest_step))


STILL = Entry(
    kind="pipe run",
    name="still",
    law="declared",
    values={"style": "insulated", "capacity": 1e5, "conductance": 0.0},
)


def vessel(volume: float, mass: float, steel: float = 0.0, loss: float = 0.0, **more: Any) -> dict[str, Any]:
    """Numbers of a two-phase vessel; `steel` is the heat capacity of its metal [J/K]."""
    return {
        "volume": volume, "water_mass": mass, "metal_mass": 1.0, "metal_heat_capacity": max(steel, 1e-6),
        "loss_conductance": loss, "inner_height": 2.0, "design_pressure": 1e8, **more,
    }  # fmt: skip


def source(power: Any, into: str) -> tuple[str, dict[str, Any], dict[str, str]]:
    """What a source of constant heat is made of."""
    return "fixed power", {"power": power}, {"into": into}


def closed(simulation: Simulation) -> bool:
    """Tell whether the ledgers of energy, mass and electricity close."""
    residuals = (simulation.energy_residual(), simulation.mass_residual(), simulation.electric_residual())
    return max(residuals) < 1e-9


def events(simulation: Simulation) -> dict[str, float]:
    """Return code and time [s] of the first event of each code."""
    found: dict[str, float] = {}
    for row in simulation.events[: int(simulation.counters[1])]:
        found.setdefault(simulation.plant.events[int(row[1])][1], float(row[0]))
    return found
