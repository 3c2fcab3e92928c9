"""The benchmark plant as a loop of ours, and the engine as a candidate.

The numbers come from `plant.py`; the model objects are built here and not read from a
file, because the plant mixes laws of both worlds, which no rulebook of ours does.
"""

import time
from dataclasses import replace
from typing import Any

import numpy as np

from benchmarks import plant
from brinewright.compile import LONGEST_STEP, Plant, compile_plant
from brinewright.model.loop import Circuit, Drive, Force, Line, Loop, Part, Schedule, Sited, Switch
from brinewright.model.rulebook import Entry, Liquid, Rulebook
from brinewright.run import Simulation

ICE = plant.ICE
HOUR = 3600.0
BORE = 0.125
DENSITY = plant.LINEAR_MASS / (np.pi / 4.0 * BORE**2)


def _entry(kind: str, name: str, law: str, **values: Any) -> Entry:
    return Entry(kind=kind, name=name, law=law, values=values)


def rulebook() -> Rulebook:
    """Return the laws of the benchmark plant."""
    room = {
        "air_heat_capacity": plant.AIR_CAPACITY,
        "wall_heat_capacity": plant.WALL_CAPACITY,
        "air_wall_conductance": plant.AIR_WALL,
        "wall_outside_conductance": plant.WALL_AMBIENT,
        "air_outside_conductance": plant.AIR_AMBIENT,
        "air_mass": 300.0,
        "gains": "room",
        "highest_temperature": 400.0,
        "when_stopped": "dead end",
    }
    source = {
        "heat_capacity": plant.SOURCE_CAPACITY,
        "highest_temperature": 600.0,
        "when_stopped": "dead end",
    }
    entries = (
        _entry("pipe run", "ambient", "declared", capacity=plant.CAPACITY, conductance=plant.PIPE_CONDUCTANCE / 5.0),
        *(
            _entry(
                "pipe run", f"room{k}", "declared",
                capacity=plant.CONSUMER_CAPACITY, conductance=plant.ROOM_CONDUCTANCE[k] / 5.0,
            )
            for k in range(plant.ROOMS)
        ),
        _entry("pipe run", "hot", "declared", capacity=plant.CONSUMER_CAPACITY, conductance=plant.HOT_CONDUCTANCE / 5.0),
        _entry("buffer tank", "mixed", "mixed", volume=5000.0 / DENSITY, loss_conductance=plant.TANK_CONDUCTANCE,
               lowest_level=plant.TANK_LEAST / 5000.0),
        _entry("shut-off valve", "plain", "ideal", fail_position="stays", hold_up=0.0),
        _entry("tee", "plain", "equal share"),
        _entry("chiller", "drop", "fixed drop", drop=plant.CHILLER_DROP, capacity=plant.CAPACITY,
               power=plant.CHILLER_POWER, power_mode="constant", power_share=1.0, metal_mass=100.0,
               metal_heat_capacity=500.0, conductance=2e4, bare_conductance=2e4, flow_proof=1e-6, hold_up=0.0),
        _entry("steam vessel", "closed", "two-phase", volume=plant.VESSEL_VOLUME, water_mass=plant.VESSEL_MASS,
               metal_mass=0.1, metal_heat_capacity=500.0, loss_conductance=plant.VESSEL_AMBIENT, inner_height=3.0,
               design_pressure=5e6),
        _entry("turbine", "threshold", "threshold", threshold=plant.TURBINE_ON + ICE,
               differential=plant.TURBINE_ON - plant.TURBINE_OFF, steam_flow=plant.STEAM_FLOW,
               condensate_temperature=95.0 + ICE, efficiency=plant.ELECTRIC_SHARE, highest_power=1e12,
               casing_share_of="what is left", casing_share=1.0, casing_mass=4000.0, casing_heat_capacity=500.0,
               hall_conductance=plant.CASING_AMBIENT, jacket_conductance=plant.HOT_CONDUCTANCE,
               hold_up=plant.RUN_MASS),
        _entry("room", "cell", "two-node", **room),
        _entry("machine", "source", "lump", heat=plant.SOURCE_1_POWER, **source),
        _entry("machine", "base", "lump", heat=0.0, electric_power=plant.BASE_LOAD, **source),
        _entry("bus", "main", "power limits", when_short="sheds in order"),
        _entry("battery", "bank", "power limits", energy=plant.BATTERY_SIZE, charge_power=1e9, discharge_power=1e9,
               charge_efficiency=plant.BATTERY_EFFICIENCY, discharge_efficiency=plant.BATTERY_EFFICIENCY),
    )  # fmt: skip
    return Rulebook(
        name="benchmark",
        world="stylised",
        choices={"stagnant_sensor": "local"},
        site={"gravity": 9.80665, "ambient_pressure": 101325.0, "ambient_temperature": "ambient"},
        entries=entries,
        liquids=(Liquid(name="liquid", heat_capacity=plant.HEAT_CAPACITY, density=DENSITY),),
    )


def loop() -> Loop:
    """Return the benchmark plant."""
    parts = [
        Part(tag="TK-A", use="buffer-tank.mixed"),
        Part(tag="TK-B", use="buffer-tank.mixed"),
        Part(tag="CH-1", use="chiller.drop", sited=Sited(inside="VE-1")),
        Part(tag="VE-1", use="steam-vessel.closed"),
        Part(tag="ST-1", use="turbine.threshold", refers={"vessel": ("VE-1",)}),
        Part(tag="MC-1", use="machine.source"),
        Part(tag="MC-2", use="machine.source", values={"heat": "source 2"}),
        Part(tag="MC-3", use="machine.base"),
        Part(tag="SB-1", use="bus.main"),
        Part(tag="BT-1", use="battery.bank"),
        *(Part(tag=f"ZN-{k}", use="room.cell") for k in range(plant.ROOMS)),
        *(Part(tag=f"XV-{k}", use="shut-off-valve.plain") for k in (1, 2, 4, 5)),
        *(Part(tag=f"T-{name}", use="tee.plain") for name in ("S", "M", "R", "T")),
        *(Part(tag=f"T-{k}", use="tee.plain") for k in range(9)),
    ]
    lines: list[Line] = []

    def line(tag: str, start: str, end: str, length: float, **more: Any) -> None:
        more.setdefault("use", "pipe-run.ambient")
        lines.append(Line(tag=tag, start=start, end=end, length=length, bore=BORE, **more))

    thin = {"values": {"capacity": plant.CONSUMER_CAPACITY}}
    line("L0", "TK-A.out", "T-S.in", 10.0)
    line("L1a", "T-S.out", "XV-1.in", 5.0)
    line("L1b", "XV-1.out", "T-M.in", 5.0, rank=2)
    line("L2a", "T-S.out", "XV-2.in", 2.5, **thin)
    line("L2b", "XV-2.out", "T-T.in", 2.5, rank=2, **thin)
    line("L3a", "T-M.out", "CH-1.in", 5.0)
    line("L3b", "CH-1.out", "T-R.in", 5.0)
    line("L4a", "T-R.out", "XV-4.in", 5.0)
    line("L4b", "XV-4.out", "T-M.in", 5.0, rank=1)
    line("L5a", "T-R.out", "XV-5.in", 5.0)
    line("L5b", "XV-5.out", "TK-B.in", 5.0)
    line("L6", "TK-B.out", "T-T.in", 5.0, rank=1, **thin)
    line("L7", "T-T.out", "T-0.in", 5.0, **thin)
    for k in range(plant.ROOMS):
        last = "ST-1.in" if k == plant.ROOMS - 1 else f"T-{k + 1}.in"
        line(f"L7{k}", f"T-{k}.out", last, 5.0, use=f"pipe-run.room{k}", sited=Sited(inside=f"ZN-{k}"))
    line("L8", "ST-1.out", "T-8.in", 5.0, use="pipe-run.hot", sited=Sited(inside="MC-1"))
    line("L9", "T-8.out", "TK-A.in", 5.0, use="pipe-run.hot", sited=Sited(inside="MC-2"))
    hours = tuple(HOUR * hour for hour in range(24))
    return Loop(
        name="benchmark plant",
        rulebook="benchmark",
        circuits=(Circuit(name="liquid", liquid="liquid", at="TK-A", temperature=ICE + plant.PIPE_START),),
        parts=tuple(parts),
        lines=tuple(lines),
        switches=(
            _switch("TSH-FIRST", "L0 at 0 m", plant.FIRST_BREAKS, plant.FIRST_MAKES, plant.LAG,
                    (Drive(target="XV-1", made="open"), Drive(target="XV-2", made="shut"))),
            _switch("TSH-RING", "L3b at 5 m", plant.RING_BREAKS, plant.RING_MAKES, plant.LAG,
                    (Drive(target="XV-4", made="open"), Drive(target="XV-5", made="shut"))),
            Switch(tag="TSL-GUARD", sense="low", senses="L3a at 5 m", setting=plant.GUARD_RESTARTS + ICE,
                   differential=plant.GUARD_RESTARTS - plant.GUARD_STOPS, drives=(Drive(target="CH-1", made="stop"),)),
        ),
        schedules=(
            Schedule(name="room", quantity="power", times=hours, values=plant.ROOM_GAIN),
            Schedule(name="source 2", quantity="power", times=hours, values=plant.SOURCE_2_POWER),
            Schedule(name="ambient", quantity="temperature", times=hours, ramps=True,
                     values=tuple(value + ICE for value in plant.AMBIENT[:24])),
        ),
        start={
            "TK-A": {"level": 0.5, "temperature": plant.TANK_A_START + ICE},
            "TK-B": {"level": 0.5, "temperature": plant.TANK_B_START + ICE},
            "VE-1": {"temperature": plant.VESSEL_START + ICE},
            "CH-1": {"temperature": plant.VESSEL_START + ICE},
            "ST-1": {"temperature": plant.CASING_START + ICE, "running": False},
            "MC-1": {"temperature": plant.SOURCE_START + ICE},
            "MC-2": {"temperature": plant.SOURCE_START + ICE},
            "MC-3": {"temperature": plant.SOURCE_START + ICE},
            "BT-1": {"charge": plant.BATTERY_START / plant.BATTERY_SIZE},
            **{
                f"ZN-{k}": {"temperature": plant.AIR_START + ICE, "wall_temperature": plant.WALL_START + ICE}
                for k in range(plant.ROOMS)
            },
        },
    )  # fmt: skip


def _switch(
    tag: str, senses: str, breaks: float, makes: float, lag: float, drives: tuple[Drive, ...]
) -> Switch:
    return Switch(
        tag=tag, sense="high", senses=senses, setting=breaks + ICE, differential=makes - breaks, lag=lag,
        drives=drives,
    )  # fmt: skip


def compiled(longest_step: int = LONGEST_STEP) -> Plant:
    """Return the plant, compiled."""
    return compile_plant(loop(), rulebook(), longest_step=longest_step)


class Engine:
    """The engine as a candidate: one simulated day, samples each minute."""

    def __init__(self, longest_step: int = LONGEST_STEP) -> None:
        self.plant = compiled(longest_step)
        Simulation(self.plant).advance(60.0)

    def day(self) -> float:
        """Return the wall time of one simulated day [s]."""
        simulation = Simulation(self.plant, samples=np.arange(0.0, plant.DAY + 1.0, 60.0))
        began = time.perf_counter()
        simulation.advance(float(plant.DAY))
        self.last = simulation
        return time.perf_counter() - began


def replayed(signals: Any, longest_step: int = LONGEST_STEP) -> Plant:
    """Return the plant with the switch sequence of another run forced upon it.

    What is forced in one tick is acted on in the next, so the tables run one tick ahead.
    """
    forces = []
    for bit, target in (
        (plant.FIRST, "TSH-FIRST"),
        (plant.RING, "TSH-RING"),
        (plant.GUARD, "TSL-GUARD"),
        (plant.TURBINE, "ST-1.threshold"),
    ):
        state = (np.asarray(signals) & bit > 0).astype(float)
        if bit == plant.GUARD:
            state = 1.0 - state  # there the bit says that the chiller may run
        at = np.flatnonzero(np.diff(state)) + 1
        table = [(0.0, float(state[0])), *((float(tick - 1), float(state[tick])) for tick in at if tick > 1)]
        forces.append(Force(target=target, value=0.0, table=tuple(table)))
    return compile_plant(replace(loop(), forces=tuple(forces)), rulebook(), longest_step=longest_step)
