"""A run in short, ready for JSON; the shape is `data/schema/run.json`."""

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from brinewright.results.caution import caution

if TYPE_CHECKING:
    from brinewright.results.result import Result

FORMAT = "brinewright/run/1"


def summary(result: "Result") -> dict[str, Any]:
    """Return the summary of a run; `wall_s` is its only field that depends on the clock."""
    components: dict[str, dict[str, dict[str, Any]]] = {}
    for index, channel in enumerate(result.channels):
        numbers = {"unit": channel.unit, **result.statistics.row(index)}
        components.setdefault(channel.tag, {})[channel.quantity] = numbers
    told: dict[str, Any] = plain(
        {
            "format": FORMAT,
            "name": result.name,
            "world": result.world,
            "caution": caution(result.world),
            "outcome": result.outcome.name,
            "advice": result.outcome.advice,
            "simulated_s": result.simulated_s,
            "wall_s": result.wall_s,
            "energy_residual": result.energy_residual,
            "mass_residual": result.mass_residual,
            "electric_residual": result.electric_residual,
            "switch_changes": result.switch_changes,
            "events": [event.as_dict() for event in result.events],
            "components": components,
            "power": result.power,
            "audits": {"heat_unaccounted_kW": None, "second_law": {}, **result.audits},
        }
    )
    return told


def plain(value: Any) -> Any:
    """Return `value` in the types of JSON: no array scalars, no mapping proxies, `None` for not-a-number."""
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
