"""What kinds ask for while they lower themselves, kept as lists until the plant is complete."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from brinewright.compile.elements import Row, SwitchRecord
from brinewright.compile.ground import SITE
from brinewright.compile.supply import Supply
from brinewright.compile.view import View
from brinewright.compile.waterway import Waterway
from brinewright.errors import InputError, UnknownNameError
from brinewright.fluids import water_tables
from brinewright.kernel.layout import NATURE_SLOW
from brinewright.model.lowering import Place
from brinewright.model.rulebook import Gas


class Assembly(Waterway, Supply):
    """The builder: it knows no kinds, only primitives."""

    def record(
        self,
        law: str,
        ints: Sequence[int | Row],
        numbers: Sequence[float],
        *,
        apart: Sequence[Place] | None = None,
    ) -> tuple[str, int]:
        rows = self.records.setdefault(law, [])
        rows.append((tuple(ints), tuple(float(number) for number in numbers)))
        if apart is not None:
            self.apart.append((law, len(rows) - 1, tuple(apart)))
        return (law, len(rows) - 1)

    def series(self, name: str) -> Place:
        """Return a hidden value that follows a schedule parameter; constant where it is a plain number."""
        place = self.hidden()
        self.follow_into(place, name)
        return place

    def follow_into(self, place: Place, name: str) -> None:
        """Let a place follow a schedule parameter; it keeps the number where it is a plain one."""
        raw = self.here.raw(name)
        self.let_force(self.here.tag, (name.replace("_", " "),), place, comes_back=True)
        if isinstance(raw, str):
            self.follow(place, raw)
        else:
            self.values[place] = float(raw or 0.0)

    def follow(self, place: Place, name: str) -> None:
        """Let a place follow the named schedule of the loop."""
        for schedule in self.loop.schedules:
            if schedule.name == name:
                self.schedules.append((place, schedule))
                return
        raise UnknownNameError(name, [schedule.name for schedule in self.loop.schedules], "schedule")

    def also(self, signal: Place) -> None:
        self.needs.setdefault(self.here.tag, []).append((signal, True))

    def switch(
        self, name: str, reading: Place, sense: str, setting: float, differential: float, start: bool
    ) -> Place:
        out = self.position(name, float(start))
        self.switches.append(
            SwitchRecord(
                tag=f"{self.here.tag}.{name}",
                reading=reading,
                sense=1 if sense == "high" else -1,
                inclusive=True,
                setting=self.hidden(start=setting),
                differential=differential,
                lag=0.0,
                out=out,
                filtered=self.hidden(start=math.nan),
                count=self.channel(f"{name} changes", "1"),
                slope=self.hidden(),
                nature=NATURE_SLOW,
                sensor=-1,
                node=reading,
            )
        )
        return out

    def watch(
        self,
        value: Place,
        limit: float,
        sense: str,
        code: str,
        text: str,
        *,
        back: float = 0.0,
        after: float = 0.0,
    ) -> None:
        self.watches.append(
            (
                value,
                limit,
                1 if sense == "above" else -1,
                self.here.tag,
                code,
                text,
                back,
                after,
                self.hidden(),
            )
        )

    def supplied(self) -> Place:
        """Return whether this part has power: always, unless it names a feeder."""
        return self.load(self.hidden(), 0.0) if self.here.feeder else self.constant(1.0)

    def water(self) -> NDArray[np.float64]:
        """Return the tables of water and steam, if a law of the plant reads them."""
        return water_tables() if self.needs_water else np.zeros(1)

    # reading the rest --------------------------------------------------------------

    def site(self, name: str) -> float:
        if name not in self.site_values:
            raise InputError(f'The site states no "{name}"; write it in [site] of the rulebook or the loop.')
        return float(self.site_values[name])

    def choice(self, name: str) -> str:
        if name not in self.rules.choices:
            raise InputError(
                f'The rulebook "{self.rules.name}" must state the choice "{name}" under [choice]: '
                "it changes the answer."
            )
        return self.rules.choices[name]

    def gas(self, name: str) -> Gas:
        return self.rules.gas(name)

    def part(self, tag: str) -> View:
        if tag not in self.views:
            raise UnknownNameError(tag, self.views, "part")
        return self.views[tag]


__all__ = ["SITE", "Assembly"]
