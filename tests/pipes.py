"""Small pipework with heights, written as its file would be, for tests of emptying it."""

from pathlib import Path

from brinewright.files import parse_design, parse_rulebook
from brinewright.plan.outflow import outflow
from brinewright.plan.pipework import Pipework
from brinewright.plan.section import enclose
from tests.plants import HEAD, STYLISED, part, starts

RULES = (
    STYLISED
    + """
[buffer-tank.plain]
law = "mixed"
[pipe-run.plain]
law = "declared"
capacity = "50 kg/s"
conductance = "0 W/(m K)"
[pump.plain]
law = "fixed capacity"
capacity = "2 kg/s"
power = "1 kW"
heat_share = "0 %"
when_off = "passes"
[shut-off-valve.plain]
law = "ideal"
fail_position = "stays"
[three-way-valve.plain]
law = "ideal"
body = "diverting"
fail_position = "a"
[check-valve.plain]
law = "ideal"
[tee.plain]
law = "equal share"
[drain-point.plain]
law = "hand valve"
[vent-point.plain]
law = "hand valve"
[heat-exchanger.plain]
law = "conductance"
conductance = "1 kW/K"
hot_hold_up = "11 kg"
cold_hold_up = "22 kg"
[machine.plain]
law = "lump"
heat = "10 kW"
heat_capacity = "5 MJ/K"
conductance = "5 kW/K"
highest_temperature = "60 degC"
when_stopped = "dead end"
"""
)
RULEBOOK = parse_rulebook(RULES, "toy.rulebook.toml")


def line(tag, start, end, length, bore, levels=None, section="leg"):
    heights = "" if levels is None else f'levels = ["{levels[0]} m", "{levels[1]} m"]\n'
    return (
        f'[[line]]\ntag = "{tag}"\nfrom = "{start}"\nto = "{end}"\nuse = "pipe-run.plain"\n'
        f'length = "{length} m"\nbore = "{bore} m"\nsection = "{section}"\n{heights}'
    )


def tank(tag, volume, elevation, height, **stated):
    numbers = {"volume": f"{volume} m3", "elevation": f"{elevation} m", "tank_height": f"{height} m"}
    return part(tag, "buffer-tank.plain", **numbers, **stated)


def valve(tag):
    return part(tag, "shut-off-valve.plain")


def drain_point(tag, on, **stated):
    return part(tag, "drain-point.plain", on=on, **stated)


def vent_point(tag, on, **stated):
    return part(tag, "vent-point.plain", on=on, **stated)


def pipework(text):
    """The pipework of a loop of a few parts."""
    loop, rules = parse_design(HEAD + text, Path(), RULEBOOK)
    return Pipework(loop, rules)


def emptied(text, *sections, levels=None, pump=None):
    """Where the liquid of some sections goes, every tank half full unless stated."""
    pipes = pipework(text)
    full = dict.fromkeys(pipes.stores, 0.5) | (levels or {})
    return outflow(pipes, enclose(pipes, sections or ("leg",)), full, pump=pump)


START = starts(TK_1=(0.5, 30.0), TK_2=(0.5, 30.0))


def leg(*, levels, points="", bore=0.1, length=10.0):
    """Two valves with lines between them that join at parts of no size: one line for each pair of heights.

    It is fed from a tank above it, and ends on a valve; a tank far below can take its liquid.
    """
    text = tank("TK-1", 2, 20, 2) + tank("TK-2", 2, -20, 2) + valve("HV-1") + valve("HV-2")
    text += line(
        "L-0", ("TK-1.out"), "HV-1.in", 1, 0.1, (20, levels[0][0]) if levels[0][0] >= 19 else None, "in"
    )
    names = ["HV-1", *(f"FV-{k}" for k in range(1, len(levels))), "HV-2"]
    text += "".join(part(name, "check-valve.plain") for name in names[1:-1])
    for k, pair in enumerate(levels):
        text += line(f"L-{k + 1}", f"{names[k]}.out", f"{names[k + 1]}.in", length, bore, pair)
    text += line("L-9", "HV-2.out", "TK-2.in", 1, 0.1, None, "out")
    text += line("L-10", "TK-2.out", "TK-1.in", 1, 0.1, None, "out")
    return text + points + START
