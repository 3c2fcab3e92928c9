"""Parts of small electric plants, as text."""

LOADS = """
[machine.load]
law = "lump"
heat = "0 kW"
electric_power = "10 kW"
heat_capacity = "1 MJ/K"
highest_temperature = "90 degC"
when_stopped = "bypass"
[grid.mains]
law = "power limit"
import_limit = "25 kW"
"""


def part(tag: str, use: str, more: str = "") -> str:
    return f'[[part]]\ntag = "{tag}"\nuse = "{use}"\n{more}\n'


def machine(tag: str, power: str, shed: int = 0, feeder: str = "SB-1") -> tuple[str, str]:
    """A load, and how it starts."""
    order = f"shed = {shed}\n" if shed else ""
    more = f'electric_power = "{power}"\nfeeder = "{feeder}"\n{order}'
    return part(tag, "machine.load", more), f'\n[start.{tag}]\ntemperature = "20 degC"\n'


def loop(*parts: str | tuple[str, str]) -> str:
    """Parts first, then how they start."""
    heads = [item if isinstance(item, str) else item[0] for item in parts]
    starts = [item[1] for item in parts if not isinstance(item, str)]
    return "\n".join([*heads, *starts])


def battery(tag: str, charge: str, use: str = "battery.cell", more: str = "") -> tuple[str, str]:
    """A battery, and how full it starts."""
    return part(tag, use, more), f'\n[start.{tag}]\ncharge = "{charge}"\n'


def told(simulation) -> list[tuple[str, str]]:
    """Tag and code of every event so far, in the order of time."""
    rows = simulation.events[: simulation.counters[1]]
    return [simulation.plant.events[int(row[1])][:2] for row in rows]
