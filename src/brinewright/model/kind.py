"""What one component kind declares about itself.

The declaration is data: from it come validation, schema, reference pages and the
records that the kernel reads.  Only the kind's own folder knows what it means.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from brinewright.model.criterion import Criterion
    from brinewright.model.lowering import Builder, PartView
    from brinewright.model.mishap import Countermeasure, Mishap

World = Literal["stylised", "real", "both"]

REQUIRED = None
"""Default of a parameter that must be stated: where a choice changes the answer there is none."""


@dataclass(frozen=True, kw_only=True)
class Parameter:
    """One stated number, word or flag of a kind.

    `quantity` names the dimension in `brinewright.units.QUANTITIES` (such as "length",
    "temperature", "temperature difference", "mass flow", "power", "conductance"), or is
    one of the words "number" (a bare number), "count" (a whole number), "flag", "word"
    (one of `choices`), "text", "schedule" (a bare quantity or the name of a schedule),
    "table" (a list of rows).  `default` is in SI; `REQUIRED` means that it must be stated.
    """

    name: str
    quantity: str
    text: str
    default: float | str | bool | None = REQUIRED
    optional: bool = False
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    schedule_of: str = ""
    """For quantity "schedule": the quantity that the schedule carries."""
    columns: tuple[tuple[str, str], ...] = ()
    """For quantity "table": name and quantity of each column, in the order a row states them."""
    names: Literal["", "gas", "liquid", "material"] = ""
    """For quantity "text": what of the rulebook it must be the name of; `choices` are allowed beside."""


@dataclass(frozen=True, kw_only=True)
class Law:
    """One law that a kind can follow, with the parameters only this law needs."""

    name: str
    world: World
    text: str
    parameters: tuple[Parameter, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Port:
    """A place where a line ends on a part; `many` ports take more than one line."""

    name: str
    flow: Literal["in", "out", "either"]
    many: bool = False
    optional: bool = False
    text: str = ""


@dataclass(frozen=True, kw_only=True)
class Reference:
    """A named link from a part to another part that is no line (a turbine's vessel)."""

    name: str
    kinds: tuple[str, ...]
    text: str
    optional: bool = False
    many: bool = False


@dataclass(frozen=True, kw_only=True)
class Channel:
    """A quantity that a run records for each part of this kind."""

    name: str
    unit: str
    text: str
    laws: tuple[str, ...] = ()
    """Laws that give it; empty: every law."""
    port: str = ""
    """Port on which a line must end for it to be given; "" for none."""


@dataclass(frozen=True, kw_only=True)
class Kind:
    """Everything that the rest of the house may know of one kind of part."""

    name: str
    summary: str
    letters: tuple[str, ...]
    laws: tuple[Law, ...]
    parameters: tuple[Parameter, ...] = ()
    ports: tuple[Port, ...] = ()
    references: tuple[Reference, ...] = ()
    channels: tuple[Channel, ...] = ()
    positions: tuple[str, str] | None = None
    """The two words a switch may drive this kind to, made first: ("open", "shut"), ("run", "stop")."""
    is_line: bool = False
    """Whether a line of the loop, not a part, is of this kind."""
    counted: bool = False
    """Whether `count` may make a bank of it."""
    start: tuple[Parameter, ...] = ()
    """What `[start]` states for a part of this kind."""
    role: str = ""
    """What parts of this kind are to the loop: "consumer", "valve", "cooler" (takes heat out of liquid that
    passes), "mover" (drives it), "store" (liquid waits in it), "junction" (lines meet in one point),
    "check" (lets nothing back)."""
    criteria: "tuple[Criterion, ...]" = field(default=(), compare=False)
    """The faults of the trade that only this kind can have."""
    mishaps: "tuple[Mishap, ...]" = field(default=(), compare=False)
    """What can go wrong with a part of this kind."""
    countermeasures: "tuple[Countermeasure, ...]" = field(default=(), compare=False)
    """What people can do with a part of this kind when something else goes wrong."""
    symbol: str = "symbol.svg"
    guide: str = "guide.md"
    lower: "Callable[[PartView, Builder], None] | None" = field(default=None, compare=False)

    def law(self, name: str) -> Law:
        """Return the law of this name; the reader has refused unknown ones already."""
        return next(law for law in self.laws if law.name == name)
