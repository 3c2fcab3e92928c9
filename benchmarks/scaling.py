"""How cost grows with the size of a plant: circuits that do not touch, and one plant that hangs together.

    python -m benchmarks.scaling [--parts 125 250 500 1000 2000 5000] [--seconds 600]

For each size it tells the time to compile the loop into arrays, and the time of a tick by part.
Cost is linear where both stay what they are from size to size.
"""

import argparse
import time
from collections.abc import Callable

from brinewright.compile import compile_plant
from brinewright.files import parse_rulebook
from brinewright.model.loop import Circuit, Drive, Line, Loop, Part, Sited, Switch
from brinewright.model.rulebook import Rulebook
from brinewright.run import Simulation

ROOMS = 6
"""Rooms in each circuit."""
PARTS_IN_A_CIRCUIT = 13 + 3 * ROOMS
"""Parts and lines that one circuit is made of."""

RULES = """
format = "brinewright/rulebook/1"
name = "scaling"
world = "stylised"
[choice]
stagnant_sensor = "local"
[site]
gravity = "9 m/s2"
ambient_pressure = "100 kPa abs"
ambient_temperature = "20 degC"
[liquid.brine]
heat_capacity = "4 kJ/(kg K)"
density = "1000 kg/m3"
freezes = "-60 degC"
boils = "140 degC"
[buffer-tank.mixed]
law = "mixed"
volume = "4 m3"
[pipe-run.bare]
law = "declared"
capacity = "100 kg/s"
conductance = "2 W/(m K)"
[three-way-valve.parting]
law = "ideal"
body = "diverting"
stroke_time = "1 s"
fail_position = "a"
[priority-junction.ranked]
law = "rank"
[tee.plain]
law = "equal share"
[pump.mover]
law = "fixed capacity"
capacity = "12 kg/s"
power = "3 kW"
heat_share = "50 %"
when_off = "stops"
[chiller.drop]
law = "fixed drop"
drop = "9 K"
capacity = "8 kg/s"
power = "100 kW"
power_mode = "proportional"
power_share = "20 %"
metal_mass = "900 kg"
metal_heat_capacity = "0.5 kJ/(kg K)"
conductance = "30 kW/K"
bare_conductance = "0.2 kW/K"
flow_proof = "0.5 kg/s"
hold_up = "16 kg"
[steam-vessel.lump]
law = "lump"
water_heat_capacity = "4.2 kJ/(kg K)"
boils = "97 degC"
volume = "14 m3"
inner_height = "2.5 m"
water_mass = "7000 kg"
metal_mass = "6000 kg"
metal_heat_capacity = "0.5 kJ/(kg K)"
loss_conductance = "2 kW/K"
[room.cell]
law = "lump"
heat_capacity = "20 MJ/K"
outside_conductance = "300 W/K"
gains = "40 kW"
coil_conductance = "15 kW/K"
hold_up = "30 kg"
highest_temperature = "80 degC"
when_stopped = "dead end"
[bus.main]
law = "power limits"
when_short = "sheds in order"
restores_after = "120 s"
[grid.line]
law = "power limit"
import_limit = "1 GW"
export_limit = "0 W"
"""


def rules() -> Rulebook:
    """Return the rulebook of the benchmark."""
    return parse_rulebook(RULES)


def circuits(number: int, *, joined: bool) -> Loop:
    """Return a loop of so many circuits; joined, each one feeds the next one's tank, so all hang together."""
    parts: list[Part] = [Part(tag="SB-1", use="bus.main"), Part(tag="GR-1", use="grid.line")]
    lines: list[Line] = []
    switches: list[Switch] = []
    filled: list[Circuit] = []
    start: dict[str, dict[str, float]] = {}

    def line(tag: str, begin: str, end: str, rank: int = 0) -> None:
        lines.append(
            Line(tag=tag, start=begin, end=end, length=20.0, bore=0.1, rank=rank, use="pipe-run.bare")
        )

    for n in range(number):
        k = f"{n:05d}"
        parts += [
            Part(tag=f"TK-{k}", use="buffer-tank.mixed"),
            Part(tag=f"P-{k}", use="pump.mover"),
            Part(tag=f"J-{k}", use="priority-junction.ranked"),
            Part(tag=f"VE-{k}", use="steam-vessel.lump"),
            Part(tag=f"CH-{k}", use="chiller.drop", count=2, sited=Sited(inside=f"VE-{k}", height=0.1)),
            Part(tag=f"TV-{k}", use="three-way-valve.parting"),
            Part(tag=f"T-{k}", use="tee.plain"),
            Part(tag=f"U-{k}", use="tee.plain"),
        ]
        line(f"LA-{k}", f"TK-{k}.out", f"P-{k}.in")
        line(f"LB-{k}", f"P-{k}.out", f"J-{k}.in", 2)
        line(f"LC-{k}", f"J-{k}.out", f"CH-{k}.in")
        line(f"LD-{k}", f"CH-{k}.out", f"TV-{k}.in")
        line(f"LE-{k}", f"TV-{k}.a", f"J-{k}.in", 1)
        line(f"LF-{k}", f"TV-{k}.b", f"T-{k}.in")
        for m in range(ROOMS):
            parts.append(Part(tag=f"ZN-{k}-{m}", use="room.cell"))
            line(f"LG-{k}-{m}", f"T-{k}.out", f"ZN-{k}-{m}.in")
            line(f"LH-{k}-{m}", f"ZN-{k}-{m}.out", f"U-{k}.in")
            start[f"ZN-{k}-{m}"] = {"temperature": 300.0 + m}
        following = (n + 1) % number if joined else n
        line(f"LI-{k}", f"U-{k}.out", f"TK-{following:05d}.in")
        switches.append(
            Switch(
                tag=f"TSH-{k}", sense="high", senses=f"LD-{k} at 15.0 m", setting=289.0, differential=0.5,
                lag=1.0, start="made", drives=(Drive(target=f"TV-{k}", made="a"),),
            )
        )  # fmt: skip
        start[f"TK-{k}"] = {"level": 0.5, "temperature": 298.0 + n % 5}
        start[f"VE-{k}"] = {"temperature": 380.0}
        if n == 0 or not joined:
            filled.append(Circuit(name=f"c{k}", liquid="brine", at=f"TK-{k}", temperature=298.0))
    return Loop(
        name=f"{number} circuits", rulebook="scaling", circuits=tuple(filled), parts=tuple(parts),
        lines=tuple(lines), switches=tuple(switches), start=start,
    )  # fmt: skip


def measured(loop: Loop, place: Rulebook, seconds: float) -> tuple[int, float, float, int]:
    """Return parts and lines, seconds to compile, seconds to march, and steps.

    Seconds of the processor: others may share the machine.
    """
    size = len(loop.parts) + len(loop.lines)
    began = time.process_time()
    plant = compile_plant(loop, place, longest_step=1)
    compiled = time.process_time() - began
    simulation = Simulation(plant)
    assert simulation.advance(10.0) == "done"
    began = time.process_time()
    assert simulation.advance(10.0 + seconds) == "done"
    marched = time.process_time() - began
    return size, compiled, marched, int(simulation.counters[2]) - 10


def table(sizes: list[int], seconds: float, tell: Callable[[str], None] = print) -> None:
    """Tell the figures of both families of plants."""
    place = rules()
    measured(circuits(2, joined=True), place, 1.0)  # the first one loads the compiled engine
    for joined in (False, True):
        tell("one plant that hangs together" if joined else "circuits that do not touch")
        tell(f"{'parts':>7} {'compile':>10} {'by part':>10} {'a tick':>10} {'by part':>10}")
        for wanted in sizes:
            number = max(1, round(wanted / PARTS_IN_A_CIRCUIT))
            size, compiled, marched, ticks = measured(circuits(number, joined=joined), place, seconds)
            tell(
                f"{size:7d} {1e3 * compiled:7.0f} ms {1e6 * compiled / size:7.0f} us "
                f"{1e6 * marched / ticks:7.0f} us {1e9 * marched / ticks / size:7.0f} ns"
            )


def main() -> None:
    """Run the benchmark."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--parts", type=int, nargs="+", default=[125, 250, 500, 1000, 2000, 5000])
    parser.add_argument("--seconds", type=float, default=600.0, help="simulated time [s]")
    arguments = parser.parse_args()
    table(arguments.parts, arguments.seconds)


if __name__ == "__main__":
    main()
