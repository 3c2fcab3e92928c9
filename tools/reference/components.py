"""One page for each kind of component, from the table that the kind declares about itself."""

import importlib
import re
from pathlib import Path

import brinewright
from brinewright.model.kind import Kind, Law, Parameter
from tools.reference.markdown import section, table
from tools.reference.units import amount

PLAIN = {"count": "a whole number", "number": "a number", "flag": "true or false", "text": "text"}


def pages() -> dict[str, str]:
    """Return a page for each kind of the catalogue and one that lists them."""
    kinds: tuple[Kind, ...] = importlib.import_module("brinewright.catalogue").KINDS
    rows = [(f"[{kind.name}]({_page(kind)})", ", ".join(kind.letters), kind.summary) for kind in kinds]
    listing = table(("kind", "letters", "what it is"), rows)
    found = {_page(kind): _kind(kind) for kind in kinds}
    return found | {"components.md": f"# Kinds of component\n\n{listing}"}


def _page(kind: Kind) -> str:
    return f"components/{kind.name.replace(' ', '-')}.md"


def _kind(kind: Kind) -> str:
    ports = table(
        ("port", "flow", "lines", "", "what"),
        [
            (
                f"`{port.name}`",
                port.flow,
                "several" if port.many else "one",
                "may be left open" if port.optional else "",
                port.text,
            )
            for port in kind.ports
        ],
    )
    references = table(
        ("reference", "names", "", "what"),
        [
            (f"`{item.name}`", " or ".join(item.kinds), "optional" if item.optional else "", item.text)
            for item in kind.references
        ],
    )
    channels = table(
        ("channel", "unit", "what"), [(f"`{item.name}`", item.unit, item.text) for item in kind.channels]
    )
    parts = [
        f"# {kind.name.capitalize()}\n\n{kind.summary}\n\n{_facts(kind)}",
        section("Laws", "".join(_law(law) for law in kind.laws)),
        section("Parameters of every law", _parameters(kind.parameters)),
        section("Start", _parameters(kind.start)),
        section("Ports", ports),
        section("References", references),
        section("What a run records", channels),
        section("Guide", _guide(kind)),
    ]
    return "".join(parts)


def _facts(kind: Kind) -> str:
    facts = [f"- Tag letters: {', '.join(f'`{letter}`' for letter in kind.letters)}."] if kind.letters else []
    if kind.positions:
        facts.append(
            f"- A switch can drive it: made is `{kind.positions[0]}`, broken is `{kind.positions[1]}`."
        )
    if kind.counted:
        facts.append("- `count` makes a bank of equal ones.")
    return "\n".join(facts) + "\n\n"


def _law(law: Law) -> str:
    world = {"both": "stylised and real"}.get(law.world, law.world)
    return section(f"`{law.name}` ({world})", f"{law.text}\n\n{_parameters(law.parameters)}", 3)


def _parameters(parameters: tuple[Parameter, ...]) -> str:
    rows = [(f"`{item.name}`", _form(item), _default(item), _bounds(item), item.text) for item in parameters]
    return table(("parameter", "is", "default", "from .. to", "what"), rows)


def _form(item: Parameter) -> str:
    if item.choices:
        return " or ".join(f"`{choice}`" for choice in item.choices)
    if item.columns:
        return "a list of rows: " + ", ".join(f"{name} ({quantity})" for name, quantity in item.columns)
    if item.quantity == "schedule":
        return f"{item.schedule_of}, or the name of a schedule"
    return PLAIN.get(item.quantity, item.quantity)


def _default(item: Parameter) -> str:
    if item.default is None:
        return "may be absent" if item.optional else "must be stated"
    if isinstance(item.default, bool):
        return str(item.default).lower()
    return (
        amount(item.default, item.quantity) if isinstance(item.default, float | int) else f"`{item.default}`"
    )


def _bounds(item: Parameter) -> str:
    low, high = (
        "" if bound is None else amount(bound, item.schedule_of or item.quantity)
        for bound in (item.low, item.high)
    )
    return f"{low} .. {high}" if low or high else ""


def _guide(kind: Kind) -> str:
    folder = kind.name.replace(" ", "_").replace("-", "_")
    guide = Path(brinewright.__file__).parent / "components" / folder / kind.guide
    if not guide.is_file():
        return ""
    text = guide.read_text("utf-8")
    without_title = re.sub(r"\A# .*\n", "", text)
    return re.sub(r"^(#+) ", r"#\1 ", without_title, flags=re.MULTILINE)
