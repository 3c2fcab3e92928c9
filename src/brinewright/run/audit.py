"""The two audits that every result carries: the first law and the second."""

from typing import Any

from brinewright.run.simulation import Simulation

DECLARED = ("unaccounted for", "declared heat")
"""Accounts into which heat vanishes, or from which it comes, by declaration."""


def audits(simulation: Simulation, lasted: float) -> dict[str, Any]:
    """Return heat unaccounted for [kW] over the run and, by tag, what the second law says."""
    accounts = simulation.plant.accounts
    changed = simulation.arrays["E"] - simulation.begin_energy
    vanished = sum(float(changed[accounts[name]]) for name in DECLARED if name in accounts)
    return {
        "heat_unaccounted_kW": vanished / lasted / 1000.0,
        "second_law": {tag: entry for tag, entry in _second_law(simulation, lasted) if entry},
    }


def _second_law(simulation: Simulation, lasted: float) -> list[tuple[str, dict[str, float]]]:
    places = simulation.plant.places
    mean = simulation.integral / lasted
    rows = []
    for tag in sorted({tag for tag, _ in places}):

        def of(name: str, tag: str = tag) -> float | None:
            place = places.get((tag, name))
            return float(mean[place]) if place is not None and place < mean.size else None

        cooling, power, cold, hot = (
            of("cooling"),
            of("power"),
            of("outlet temperature"),
            of("metal temperature"),
        )
        taken, made = of("heat taken"), of("generated")
        entry: dict[str, float] = {}
        if cooling and power and cold and hot and power > 0.0 and of("performance") is not None:
            entry["performance"] = cooling / power
            if hot > cold:
                entry["carnot"] = cold / (hot - cold)
                entry["efficiency"] = entry["performance"] / entry["carnot"]
        elif taken and made is not None and taken > 0.0:
            sink, source = of("condensate temperature"), _source(simulation, tag, mean)
            entry["share"] = made / taken
            if sink and source and source > sink:
                entry["carnot"] = 1.0 - sink / source
                entry["efficiency"] = entry["share"] / entry["carnot"]
        rows.append((tag, entry))
    return rows


def _source(simulation: Simulation, tag: str, mean: Any) -> float | None:
    """Return the mean temperature of what a machine draws its heat from [K]."""
    for part in simulation.plant.loop.parts:
        if part.tag == tag and part.refers.get("vessel"):
            return float(mean[simulation.plant.places[(part.refers["vessel"][0], "temperature")]])
    return None
