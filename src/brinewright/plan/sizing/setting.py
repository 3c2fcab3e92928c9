"""What stays the same for every design of one brief: the place, the needs, the moments that matter."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from brinewright.errors import InputError
from brinewright.model.brief import AIMS, Brief
from brinewright.model.margins import USUAL
from brinewright.model.rulebook import Gas, Liquid, Rulebook
from brinewright.plan.sizing.needs import Heating, Need, heating_of, hours, needs_of, profile
from brinewright.plan.sizing.stock import Item, Stock

HOLD = 300.0
"""Time for which a tank holds the whole flow unless the brief says otherwise, common practice [s]."""
LARGEST_BANK = 60
"""Most turbines that are tried."""


@dataclass(frozen=True)
class Moment:
    """The heat of each consumer at one time [W]."""

    heats: tuple[float, ...]

    @property
    def total(self) -> float:
        """Return the heat of all of them [W]."""
        return sum(self.heats)

    def scaled(self, factor: float) -> "Moment":
        """Return the moment with a margin on every heat."""
        return Moment(tuple(heat * factor for heat in self.heats))


@dataclass(frozen=True)
class Setting:
    """One brief in one place, as numbers."""

    brief: Brief
    rules: Rulebook

    @cached_property
    def stock(self) -> Stock:
        """What is at hand."""
        return Stock(self.rules, self.brief.at_hand)

    @cached_property
    def site(self) -> Mapping[str, object]:
        """The numbers of the place, those of the brief over those of the rulebook."""
        return {**self.rules.site, **self.brief.site}

    @cached_property
    def ambient(self) -> float:
        """Mean temperature around the plant [K]."""
        value = self.site.get("ambient_temperature", 293.15)
        values = profile(value, self.brief.schedules) if isinstance(value, str | int | float) else (293.15,)
        return sum(values) / len(values)

    @cached_property
    def needs(self) -> tuple[Need, ...]:
        """The consumers as numbers."""
        found = needs_of(self.brief, self.rules, self.ambient)
        if not found:
            raise InputError("The brief names no consumer; write what must be cooled as [[consumer]].")
        return found

    @cached_property
    def heatings(self) -> tuple[Heating, ...]:
        """What else heats the vessel."""
        return tuple(
            heating_of(source, self.rules, self.brief.schedules)
            for source in self.brief.sources
            if not source.into
        )

    @cached_property
    def moments(self) -> tuple[Moment, ...]:
        """The whole day, step by step."""
        return tuple(Moment(heats) for heats in hours(self.needs))

    @cached_property
    def peak(self) -> Moment:
        """The moment of the greatest heat."""
        return max(self.moments, key=lambda moment: moment.total)

    @cached_property
    def least(self) -> Moment:
        """The moment of the least heat."""
        return min(self.moments, key=lambda moment: moment.total)

    @cached_property
    def mean(self) -> Moment:
        """The mean of the day."""
        count = len(self.moments)
        return Moment(tuple(sum(need.heats) / count for need in self.needs))

    @cached_property
    def first(self) -> Moment:
        """Midnight, when a run begins."""
        return self.moments[0]

    def extreme(self, *, most: bool) -> Moment:
        """Each consumer at its own greatest or least heat, whenever that is."""
        return Moment(tuple(max(need.heats) if most else min(need.heats) for need in self.needs))

    @cached_property
    def essential(self) -> Moment:
        """The peak when everything that may be shed has been."""
        kept = (
            0.0 if need.consumer.shed else heat
            for need, heat in zip(self.needs, self.peak.heats, strict=True)
        )
        return Moment(tuple(kept))

    def margin(self, name: str) -> float:
        """Return a margin that findings are judged by [SI]."""
        return USUAL[name]

    @cached_property
    def liquids(self) -> list[Liquid]:
        """Liquids that may be used."""
        return self.stock.liquids(self.brief.wanted.liquids)

    @cached_property
    def gases(self) -> list[Gas]:
        """Gases for enclosures, air-like ones first."""
        return sorted(self.rules.gases, key=lambda gas: gas.factor)

    @cached_property
    def hold(self) -> float:
        """Time for which the return tank is sized [s]."""
        return self.brief.wanted.hold or HOLD

    @cached_property
    def aims(self) -> tuple[str, ...]:
        """All aims in the order in which they count."""
        named = self.brief.wanted.matters
        return (*named, *(aim for aim in AIMS if aim not in named))

    @cached_property
    def pipe(self) -> Item:
        """The run that lines are made of: insulated where there is such a one."""
        runs = self.stock.items("pipe run")
        if not runs:
            raise InputError("The rulebook has no pipe run, so nothing can be connected.")
        return min(runs, key=lambda run: (run.word("style") != "insulated", run.number("conductance", 0.0)))

    def one(self, kind: str, **words: str) -> Item:
        """Return the first entry of a kind that a design can't do without."""
        found = self.stock.first(kind, **words)
        if found is None:
            said = " and ".join(f'{name} "{word}"' for name, word in words.items())
            raise InputError(
                f"There is no {kind}{f' with {said}' if said else ''} at hand; a loop needs one."
            )
        return found


def with_margin(setting: Setting, moment: Moment) -> Moment:
    """Return a moment with the margin that the brief wants on every heat."""
    return moment.scaled(1.0 + setting.brief.wanted.margin)


def bores() -> tuple[float, ...]:
    """Bores of pipes that are made, common practice [m]."""
    return tuple(
        bore / 1000.0
        for bore in (15, 20, 25, 32, 40, 50, 65, 80, 100, 125, 150, 200, 250, 300, 350, 400, 500, 600)
    )


SPEED = 1.2
"""Speed for which a run is chosen, common practice [m/s]."""


def bore_for(flow: float, density: float) -> float:
    """Return the smallest bore that carries a flow at no more than `SPEED`, [m].

    >>> bore_for(12.0, 1000.0)
    0.125
    """
    needed = math.sqrt(4.0 * flow / (math.pi * density * SPEED))
    return next((bore for bore in bores() if bore >= needed), bores()[-1])
