"""Random plants that a person could have drawn: tanks in a ring, and on the ways between them machines.

A leg leads from one tank to the next: a pump, perhaps a valve, then coils in series or side by side,
or chillers, perhaps with a way back to a priority junction before them.  A vessel with a turbine takes
what the chillers give.  Switches read tanks, rooms, lines, levels and the vessel and drive whatever
takes a command.
"""

from typing import Any

from hypothesis import strategies as st

from brinewright.model.loop import Drive, Logic
from tests.engine.bench import Bench


class Draft:
    """One plant on its way; it remembers what a switch may read and drive."""

    def __init__(self, draw: Any) -> None:
        self.draw = draw
        self.bench = Bench(ambient=draw(st.floats(-20.0, 40.0)), warm=draw(st.floats(0.0, 60.0)))
        self.readings: list[str] = []
        self.levels: list[str] = []
        self.driven: list[str] = []
        self.number = 0

    def tag(self, letters: str) -> str:
        self.number += 1
        return f"{letters}-{self.number:03d}"

    def one_of(self, *choices: Any) -> Any:
        return self.draw(st.sampled_from(choices))

    def between(self, low: float, high: float) -> float:
        return self.draw(st.floats(low, high))

    def line(self, start: str, end: str, rank: int = 0) -> None:
        tag = self.tag("L")
        length = self.between(1.0, 60.0)
        use = self.one_of("pipe-run.tight", "pipe-run.bare")
        rooms = [part for part in self.bench.parts if part.startswith("ZN")]
        inside = self.one_of(*rooms) if rooms and self.draw(st.booleans()) else ""
        self.bench.line(
            tag, start, end, mass=self.between(2.0, 400.0), length=length, rank=rank, use=use, inside=inside
        )
        if self.draw(st.booleans()):
            self.readings.append(f"{tag} at {self.between(0.0, length)!r} m")

    def pump(self, start: str) -> str:
        tag = self.tag("P")
        self.bench.part(
            tag, "pump.mover", capacity=self.between(0.2, 30.0), power=self.between(0.0, 2e4),
            start_delay=self.one_of(0.0, 0.0, 3.0), when_off=self.one_of("stops", "passes"),
        )  # fmt: skip
        self.driven.append(f"{tag} {self.one_of('run', 'stop')}")
        self.line(start, f"{tag}.in")
        return f"{tag}.out"

    def valve(self, start: str) -> str:
        tag = self.tag("XV")
        self.bench.part(
            tag,
            "shut-off-valve.gate",
            stroke_time=self.one_of(0.0, 1.0, 4.0),
            leak=self.one_of(0.0, 0.0, 0.05),
        )
        self.driven.append(f"{tag} {self.one_of('open', 'shut')}")
        self.line(start, f"{tag}.in")
        return f"{tag}.out"

    def room(self, start: str) -> str:
        tag = self.tag("ZN")
        gains: Any = self.between(-1e5, 3e5)
        if self.draw(st.booleans()):
            gains = self.schedule()
        self.bench.part(
            tag, "room.cell", heat_capacity=self.between(2e6, 5e7),
            outside_conductance=self.between(0.0, 800.0), gains=gains,
            coil_conductance=self.between(0.0, 4e4), hold_up=self.between(1.0, 80.0),
            when_stopped=self.one_of("dead end", "bypass"), start={"temperature": self.between(5.0, 45.0)},
        )  # fmt: skip
        self.readings.append(f"{tag} temperature")
        self.driven.append(f"{tag} {self.one_of('run', 'stop')}")
        self.line(start, f"{tag}.in")
        return f"{tag}.out"

    def machine(self, start: str) -> str:
        tag = self.tag("MC")
        self.bench.part(
            tag, "machine.bench", heat=self.between(0.0, 3e5), heat_capacity=self.between(1e6, 2e7),
            conductance=self.between(0.0, 2e4), hold_up=self.between(1.0, 60.0),
            when_stopped=self.one_of("dead end", "bypass"), start={"temperature": self.between(5.0, 80.0)},
        )  # fmt: skip
        self.readings.append(f"{tag} temperature")
        self.line(start, f"{tag}.in")
        return f"{tag}.out"

    def turbine(self, start: str) -> str:
        tag = self.tag("ST")
        self.bench.part(
            tag, "turbine.wheel", count=self.draw(st.integers(1, 3)), threshold=self.between(360.0, 430.0),
            differential=self.between(0.1, 8.0), casing_share=self.between(0.0, 0.2),
            run_up=self.one_of(0.0, 5.0),
            refers={"vessel": "VE-301"}, start={"temperature": self.between(20.0, 60.0)},
        )  # fmt: skip
        self.line(start, f"{tag}.in")
        return f"{tag}.out"

    def chiller(self, start: str) -> str:
        tag = self.tag("CH")
        self.bench.part(
            tag, "chiller.drop", count=self.draw(st.integers(1, 6)), drop=self.between(0.5, 15.0),
            capacity=self.between(1.0, 10.0), power=self.between(0.0, 1.5e5), hold_up=self.between(1.0, 20.0),
            power_mode=self.one_of("proportional", "constant"), inside="VE-301", height=0.1,
        )  # fmt: skip
        self.driven.append(f"{tag} {self.one_of('run', 'stop')}")
        self.line(start, f"{tag}.in")
        return f"{tag}.out"

    def ring(self, start: str) -> str:
        """Chillers with a way back: what is still too warm goes round again."""
        junction, valve = self.tag("J"), self.tag("TV")
        self.bench.part(junction, "priority-junction.ranked")
        self.line(start, f"{junction}.in", rank=2)
        leaves = self.chiller(f"{junction}.out")
        self.bench.part(valve, "three-way-valve.parting", stroke_time=self.one_of(0.0, 1.0, 2.0))
        self.line(leaves, f"{valve}.in")
        self.line(f"{valve}.a", f"{junction}.in", rank=1)
        self.driven.append(f"{valve} {self.one_of('a', 'b')}")
        return f"{valve}.b"

    def side_by_side(self, start: str) -> str:
        opens, closes = self.tag("T"), self.tag("T")
        self.bench.part(opens, "tee.plain")
        self.bench.part(closes, "tee.plain")
        self.line(start, f"{opens}.in")
        for _ in range(self.draw(st.integers(2, 3))):
            self.line(self.element(f"{opens}.out", nested=True), f"{closes}.in")
        return f"{closes}.out"

    def element(self, start: str, *, nested: bool = False) -> str:
        kinds = [self.room, self.machine, self.valve, self.turbine, self.chiller]
        kinds += [] if nested else [self.ring, self.side_by_side]
        return self.draw(st.sampled_from(kinds))(start)

    def schedule(self) -> str:
        name = self.tag("schedule")
        times = sorted(self.draw(st.sets(st.integers(0, 1800), min_size=1, max_size=4)))
        self.bench.schedule(
            name, "power", [(float(time), self.between(-5e4, 3e5)) for time in times],
            repeats=self.one_of(0.0, 1801.0, 86400.0), ramps=self.draw(st.booleans()),
        )  # fmt: skip
        return name

    def switches(self) -> None:
        bench, signals = self.bench, []
        for _ in range(self.draw(st.integers(0, 4))):
            tag = self.tag("TS")
            on_level = bool(self.levels) and self.draw(st.integers(0, 3)) == 0
            more = {
                "sense": self.one_of("high", "low"), "start": self.one_of("made", "broken"),
                "lag": self.one_of(0.0, 0.0, 2.0, 20.0), "inclusive": self.draw(st.booleans()),
            }  # fmt: skip
            drives = self.one_of(*self.driven) if self.driven else ""
            if on_level:
                bench.switch(
                    tag, self.one_of(*self.levels), self.between(0.1, 0.9) - 273.15, drives,
                    differential=self.one_of(0.0, 0.01), quantity="ratio", **more,
                )  # fmt: skip
            else:
                bench.switch(
                    tag, self.one_of(*self.readings), self.between(0.0, 60.0), drives,
                    differential=self.one_of(0.0, 0.5, 3.0), **more,
                )  # fmt: skip
            signals.append(tag)
        if len(signals) > 1 and self.draw(st.booleans()):
            does = self.one_of("and", "or", "not", "latch", "timer")
            drives = ()
            if self.driven:
                target, made = self.one_of(*self.driven).split()
                drives = (Drive(target=target, made=made),)
            inputs = tuple(signals[:1] if does in ("not", "timer") else signals[:2])
            resets = (signals[-1],) if does == "latch" else ()
            delays: dict[str, Any] = {}
            if does == "timer":
                delays = {"on_delay": float(self.one_of(0, 7, 90)), "off_delay": float(self.one_of(0, 30))}
            bench.logic.append(
                Logic(tag=self.tag("LO"), does=does, inputs=inputs, resets=resets, drives=drives, **delays)
            )

    def power(self) -> None:
        self.bench.part("SB-901", "bus.main")
        if self.draw(st.booleans()):
            self.bench.part(
                "BT-901",
                "battery.bank",
                energy=self.between(1e7, 2e9),
                start={"charge": self.between(0.0, 1.0)},
            )
        if self.draw(st.integers(0, 3)):
            self.bench.part(
                "GR-901",
                "grid.line",
                import_limit=self.between(0.0, 2e6),
                export_limit=self.between(0.0, 2e6),
            )


@st.composite
def plants(draw: Any, *, most_elements: int = 3) -> Bench:
    """A bench with a random plant on it."""
    draft = Draft(draw)
    bench = draft.bench
    bench.part(
        "VE-301",
        "steam-vessel.lump",
        loss_conductance=draft.between(0.0, 300.0),
        start={"temperature": draft.between(20.0, 150.0)},
    )
    draft.readings.append("VE-301 temperature")
    tanks = [f"TK-{101 + k}" for k in range(draw(st.integers(1, 3)))]
    for tank in tanks:
        law = draft.one_of("buffer-tank.mixed", "buffer-tank.mixed", "buffer-tank.ordered")
        bench.tank(
            tank, use=law, volume=draft.between(0.5, 20.0), level=draft.between(0.0, 1.0),
            degc=draft.between(0.0, 60.0), loss_conductance=draft.one_of(0.0, 20.0),
        )  # fmt: skip
        draft.readings.append(f"{tank} temperature")
        draft.levels.append(f"{tank} level")
    for number, tank in enumerate(tanks):
        leaves = draft.pump(f"{tank}.out")
        for _ in range(draw(st.integers(0, most_elements))):
            leaves = draft.element(leaves)
        draft.line(leaves, f"{tanks[(number + 1) % len(tanks)]}.in")
    bench.circuit(tanks[0])
    if draw(st.booleans()):
        bench.part("HR-301", "heat-source.heater", power=draft.between(0.0, 2e6), refers={"into": "VE-301"})
    draft.power()
    draft.switches()
    return bench
