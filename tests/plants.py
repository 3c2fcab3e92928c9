"""Small plants, written as their files would be, for tests that need one to run."""

from pathlib import Path

import numpy as np

from brinewright.compile import Plant, compile_plant
from brinewright.files import parse_design, parse_rulebook
from brinewright.run.simulation import Simulation

STYLISED = """
format = "brinewright/rulebook/1"
name = "toy"
world = "stylised"
[choice]
stagnant_sensor = "local"
[site]
gravity = "8 m/s2"
ambient_pressure = "90 kPa abs"
ambient_temperature = "20 degC"
[liquid.syrup]
heat_capacity = "3.5 kJ/(kg K)"
density = "1100 kg/m3"
freezes = "-20 degC"
boils = "120 degC"
"""

REAL = """
format = "brinewright/rulebook/1"
name = "toy"
world = "real"
[site]
gravity = "8 m/s2"
ambient_pressure = "90 kPa abs"
ambient_temperature = "20 degC"
[liquid.syrup]
heat_capacity = "3.5 kJ/(kg K)"
density = "1100 kg/m3"
freezes = "-20 degC"
boils = "120 degC"
viscosity = "0.002 Pa s"
conductivity = "0.5 W/(m K)"
[material.steel]
limit = "400 degC"
heat_capacity = "0.5 kJ/(kg K)"
density = "7800 kg/m3"
conductivity = "50 W/(m K)"
"""

HEAD = """
format = "brinewright/loop/1"
name = "Toy"
rulebook = "toy"
liquid = "syrup"
temperature = "30 degC"
"""


def plant(rules: str, loop: str, *, longest_step: int = 11, head: str = HEAD) -> Plant:
    """Compile a loop of a few parts under a rulebook, both as texts."""
    rulebook = parse_rulebook(rules, "toy.rulebook.toml")
    design, book = parse_design(head + loop, Path(), rulebook)
    return compile_plant(design, book, longest_step=longest_step)


def started(rules: str, loop: str, *, longest_step: int = 11, head: str = HEAD) -> Simulation:
    """Return a plant at its start, ready to be advanced."""
    return Simulation(plant(rules, loop, longest_step=longest_step, head=head))


def sampled(rules: str, loop: str, until: float, interval: float) -> Simulation:
    """Return a plant at its start that will keep its channels at even times."""
    return Simulation(plant(rules, loop), samples=np.arange(0.0, until + 0.5, interval))


def closes(simulation: Simulation) -> bool:
    """Tell whether the ledger of energy and mass closes to 1e-9 of what was exchanged."""
    return simulation.energy_residual() < 1e-9 and simulation.mass_residual() < 1e-9


def part(tag: str, use: str, **stated: str) -> str:
    rows = "".join(f'{key} = "{value}"\n' for key, value in stated.items())
    return f'[[part]]\ntag = "{tag}"\nuse = "{use}"\n{rows}'


def line(tag: str, start: str, end: str, length: float, bore: float, **stated: str) -> str:
    rows = "".join(f"{key} = {value}\n" for key, value in stated.items())
    return (
        f'[[line]]\ntag = "{tag}"\nfrom = "{start}"\nto = "{end}"\nuse = "pipe-run.plain"\n'
        f'length = "{length} m"\nbore = "{bore} m"\n{rows}'
    )


def force(target: str, value: float, start: float = 0.0, end: float | None = None) -> str:
    until = "" if end is None else f'end = "{end} s"\n'
    return f'[[force]]\ntarget = "{target}"\nvalue = {value}\nstart = "{start} s"\n{until}'


def starts(**tanks: tuple[float, float]) -> str:
    """Level and temperature [degC] of each tank; TK_1 stands for TK-1."""
    rows = (
        f'{tag.replace("_", "-")} = {{ level = {level}, temperature = "{temperature} degC" }}\n'
        for tag, (level, temperature) in tanks.items()
    )
    return "[start]\n" + "".join(rows)
