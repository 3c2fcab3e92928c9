"""Design, prove, run and explain closed coolant loops with a steam-vessel heat sink.

Each name is loaded from its room when it is first used, so that importing the package costs
nothing.

>>> import brinewright as bw
>>> round(bw.property_value("water", "saturation pressure", temperature=398.15).value, -3)
232000.0
"""

import sys
from importlib import import_module
from types import ModuleType
from typing import Any

__version__ = "0.1.0"

__all__ = [
    "AsBuilt",
    "Brief",
    "BrinewrightError",
    "Comparison",
    "Diagnosis",
    "Drainage",
    "Event",
    "Extension",
    "Fault",
    "Finding",
    "InputError",
    "LiquidChange",
    "Loop",
    "Outcome",
    "OutputError",
    "PropertyRangeError",
    "PropertyValue",
    "Rehearsal",
    "Report",
    "Result",
    "Rulebook",
    "RunError",
    "Series",
    "Sized",
    "UnknownNameError",
    "__version__",
    "as_built",
    "change_liquid",
    "check",
    "compare",
    "credible_faults",
    "diagnose",
    "drain",
    "draw",
    "extend",
    "load_result",
    "property_value",
    "read_brief",
    "read_loop",
    "read_rulebook",
    "rehearse",
    "run",
    "save_result",
    "scenario",
    "shipped_brief",
    "size",
    "with_value",
    "write_brief",
    "write_loop",
    "write_rulebook",
]

_ROOMS = {
    "checks": ("Finding", "Report", "check"),
    "errors": (
        "BrinewrightError",
        "InputError",
        "OutputError",
        "PropertyRangeError",
        "RunError",
        "UnknownNameError",
    ),
    "files": (
        "read_brief",
        "read_loop",
        "read_rulebook",
        "with_value",
        "write_brief",
        "write_loop",
        "write_rulebook",
    ),
    "files.scenario": ("scenario", "shipped_brief"),
    "fluids": ("PropertyValue", "property_value"),
    "model.brief": ("Brief",),
    "model.loop": ("Loop",),
    "model.rulebook": ("Rulebook",),
    "plan": (
        "AsBuilt",
        "Comparison",
        "Diagnosis",
        "Drainage",
        "Extension",
        "Fault",
        "LiquidChange",
        "Rehearsal",
        "Sized",
        "as_built",
        "change_liquid",
        "compare",
        "credible_faults",
        "diagnose",
        "drain",
        "extend",
        "rehearse",
        "size",
    ),
    "report": ("draw",),
    "results": ("Event", "Outcome", "Result", "Series", "load_result", "save_result"),
    "run": ("run",),
}
"""Where each public name lives."""

_THERE = {"load_result": "load", "save_result": "save", "run": "simulate"}
"""Names that are shorter in their room, where it is clear what they are of."""


def _public(name: str) -> Any:
    """Return a public name from its room."""
    for room, names in _ROOMS.items():
        if name in names:
            return getattr(import_module(f"{__name__}.{room}"), _THERE.get(name, name))
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


class _Front(ModuleType):
    """The package itself; its verb `run` stays a function, although a room has the same name."""

    def __getattr__(self, name: str) -> Any:
        return _public(name)

    def __dir__(self) -> list[str]:
        return sorted({*super().__dir__(), *__all__})

    @property
    def run(self) -> Any:
        return _public("run")

    @run.setter
    def run(self, room: ModuleType) -> None:
        """Let the import system hang the room here without effect."""


sys.modules[__name__].__class__ = _Front
