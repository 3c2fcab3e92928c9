"""Places and briefs for the tests of `size`, written as their files would be."""

from pathlib import Path

from brinewright.files import parse_needs, parse_rulebook
from brinewright.model.brief import Brief
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing import Sized, size

LOOPS = Path(__file__).parents[1] / "reference" / "loops"
PLACE_S = (LOOPS / "test-s.rulebook.toml").read_text("utf-8")
"""14 K, 125 and 95 degC and 175 degC are common practice, no source; the rest is invented."""


def place(*changes: tuple[str, str], more: str = "") -> Rulebook:
    """Return the place of test loop S with texts exchanged and more entries.

    The metal of its chillers follows the vessel within a third of a kelvin, for the printed figures
    count both as one; there is more of it, so that the engine can follow, and the same in its casings.
    The soft alloy is the less scarce one.
    """
    text = PLACE_S
    for old, new in (
        ('conductance = "250 kW/K"', 'conductance = "1 MW/K"'),
        ('metal_mass = "1200 kg"', 'metal_mass = "12 t"'),
        ('casing_mass = "60 kg"', 'casing_mass = "600 kg"'),
        ("[material.steel]", "[material.steel]\nscarcity = 3.0"),
        *changes,
    ):
        assert old in text, old
        text = text.replace(old, new)
    return parse_rulebook(text + more)


def brief(text: str, rules: Rulebook) -> Brief:
    """Return a brief from what stands under its head."""
    head = f'format = "brinewright/brief/1"\nname = "Test"\nrulebook = "{rules.name}"\n'
    return parse_needs(head + text, Path(), rules)[0]


def sized(text: str, rules: Rulebook, **options: bool) -> Sized:
    """Return the answer to a brief."""
    return size(brief(text, rules), rules, **{"nearest": False, **options})  # type: ignore[arg-type]


def consumer(tag: str, heat: str, use: str = "machine.load", **stated: str) -> str:
    """Return one consumer."""
    rows = "".join(f"{key} = {value}\n" for key, value in stated.items())
    return f'[[consumer]]\ntag = "{tag}"\nuse = "{use}"\nheat = "{heat}"\n{rows}'


def figure(answer: Sized, subject: str, symbol: str) -> float:
    """Return one number of a decision [SI]."""
    return next(f.value for f in answer.decision(subject).figures if f.symbol == symbol)


def materials(answer: Sized) -> dict[str, str]:
    """Return the material of each part by its tag."""
    assert answer.loop is not None
    return {part.tag: part.material for part in answer.loop.parts if part.material}


def counts(answer: Sized) -> dict[str, int]:
    """Return how many of each entry the loop has."""
    found: dict[str, int] = {}
    for part in answer.loop.parts if answer.loop else ():
        found[part.use] = found.get(part.use, 0) + part.count
    return found
