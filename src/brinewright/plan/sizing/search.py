"""The search: every choice that there is, held against the brief, the best ones first.

The choices are few enough to be tried one by one: liquids, layouts, entries, numbers of turbines,
ways to cool casings, set points in whole steps, flows and tank sizes.  Whole branches fall away
where a layout, a flow or a number of chillers already fails without the vessel being asked.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from brinewright.model.rulebook import Liquid
from brinewright.plan.sizing.design import Choice, Design, Refusal
from brinewright.plan.sizing.hunting import Hunting, hunt
from brinewright.plan.sizing.judge import BATH, DECISION, STEP, Judge, late_passes
from brinewright.plan.sizing.layouts import GROUPS, LAYOUTS
from brinewright.plan.sizing.reserves import FROM_COLD
from brinewright.plan.sizing.setting import Setting, with_margin
from brinewright.plan.sizing.steam import Cooled
from brinewright.plan.sizing.stock import Item

SPREADS = (1.0, 1.4, 2.0)
"""Flows that are tried, as multiples of the least that keeps every consumer cool."""
SET_POINTS = 5
"""Set points that are tried within a drop of the warmest, where no supply temperature is wanted."""
COLDER = 3
"""Set points that are tried below those, a drop apart."""
MOST_TURBINES = 12
"""Turbines that are tried at most, beside those that may be lost."""
USED_CHARGE = 0.5
"""Share of a battery that its troughs may use: from the charge at the start down to a tenth."""
BATTERY_STEP = 3.6e7
"""Batteries come in steps of 10 kWh [J]."""
LATTICE = 0.5
"""Least distance of a set point from the steps of liquid that stood at the ambient [K]."""


@dataclass
class Found:
    """What the search has found."""

    designs: list[Design] = field(default_factory=list)
    refusals: list[Refusal] = field(default_factory=list)
    tried: int = 0


class Search:
    """All choices of one brief."""

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        self.judge = Judge(setting)
        self._hunts: dict[tuple[object, ...], Hunting] = {}

    def run(self, codes: Sequence[str], progress: Callable[[float, float], None] | None = None) -> Found:
        """Hold every choice of some layouts against the brief."""
        found = Found()
        stock = self.setting.stock
        steps = len(self.setting.liquids) * len(stock.items("chiller")) * len(codes)
        done = 0
        for liquid in self.setting.liquids:
            for chiller in stock.items("chiller"):
                for code in codes:
                    for set_point in self.set_points(code, liquid, chiller):
                        for spread in SPREADS:
                            self._of_flow(found, code, liquid, chiller, set_point, spread)
                    done += 1
                    if progress:
                        progress(done, steps + 1)
        return found

    def _of_flow(
        self, found: Found, code: str, liquid: Liquid, chiller: Item, set_point: float, spread: float
    ) -> None:
        """Try everything that can stand at the vessel, with the liquid's side fixed."""
        stock = self.setting.stock
        for vessel in stock.items("steam vessel"):
            for turbine in self._turbines():
                start = Choice(
                    layout=code,
                    liquid=liquid,
                    chiller=chiller,
                    vessel=vessel,
                    turbine=turbine,
                    turbines=0,
                    cooled=Cooled(),
                    set_point=set_point,
                    spread=spread,
                )
                flows = self.judge.flows(start)
                found.tried += 1
                if isinstance(flows, Refusal):
                    found.refusals.append(flows)
                    return
                self._at_the_vessel(found, start, flows)

    def _turbines(self) -> list[Item | None]:
        """Return the entries of turbines, or that there are none."""
        return [*self.setting.stock.items("turbine")] or [None]

    def _at_the_vessel(self, found: Found, start: Choice, flows: tuple[float, ...]) -> None:
        lost = self.setting.brief.survive.turbines
        most = MOST_TURBINES + lost
        if start.turbine is not None:
            most = int(min(self.setting.stock.number(start.turbine), most))
        idle = 0
        for turbines in range(most + 1 if start.turbine is not None else 1):
            for cooled in self._ways(start.turbine, turbines):
                choice = replace(start, turbines=turbines, cooled=cooled)
                found.tried += 1
                made = self._made(choice, flows)
                if isinstance(made, Refusal):
                    found.refusals.append(made)
                else:
                    found.designs.append(made)
            if turbines and self.judge.rests_at_threshold(start, flows, turbines):
                # one more than rests with every chiller at work, and those that may be lost
                idle += 1
                if idle > lost:
                    break

    def _made(self, choice: Choice, flows: tuple[float, ...]) -> Design | Refusal:
        """Return the design of a choice, at the set point that gives the wanted supply if one is wanted."""
        if self.setting.brief.wanted.supply is None:
            return self.judge.completed(choice, flows)
        aimed = self.judge.aimed(choice, flows)
        if isinstance(aimed, Refusal):
            return aimed
        drop = choice.chiller.number("drop")
        choice = replace(choice, set_point=self.off_lattice(aimed.set_point, drop))
        return self.judge(choice)

    def _ways(self, turbine: Item | None, turbines: int) -> list[Cooled]:
        """Return the ways in which casings can be cooled."""
        if turbine is None or not turbines:
            return [Cooled()]
        ways = [Cooled()]
        jacket = turbine.number("jacket_conductance", 0.0) > 0.0
        if jacket:
            ways.append(Cooled(jacket=True))
        enclosure = self.judge.enclosure
        if enclosure is not None:
            most = self.setting.stock.number(enclosure)
            for gas in self.setting.gases:
                for count in sorted({1, turbines}):
                    if count <= most:
                        ways.append(Cooled(gas=gas.name, enclosures=count))
                        if jacket:
                            ways.append(Cooled(jacket=True, gas=gas.name, enclosures=count))
        return ways

    def set_points(self, code: str, liquid: Liquid, chiller: Item) -> list[float]:
        """Return the set points that are tried, off the steps of liquid that stood at the ambient [K]."""
        setting = self.setting
        drop = chiller.number("drop")
        decides = LAYOUTS[code].decides
        above = DECISION if decides else BATH + (GROUPS - 1) * STEP
        low = liquid.freezes + setting.margin("freeze") + late_passes(code) * drop
        hottest = with_margin(setting, setting.extreme(most=True))
        high = math.inf
        for need, heat in zip(setting.needs, hottest.heats, strict=True):
            flow = min(need.most_flow, 1e6)
            taken = heat + need.outside * (need.around - need.highest)
            high = min(high, need.highest - max(taken, 0.0) * need.resistance(flow, liquid.heat_capacity))
        high -= above
        if liquid.boils > 0.0:
            high = min(high, liquid.boils - setting.margin("boil") - 2.0 * drop)
        wanted = setting.brief.wanted.supply
        if wanted is not None:
            # the set point that gives this mean is found when the load is known: see `Judge.aimed`
            shares = (0.5, 0.05) if decides else (0.0,)
            return [max(low, min(high, wanted + share * drop)) for share in shares]
        if high < low:
            return [self.off_lattice(low, drop)]
        top = math.floor(high * 2.0) / 2.0 - 0.15
        bottom = max(low, top - drop)
        step = max((top - bottom) / SET_POINTS, 1.0)
        found = [top - k * step for k in range(SET_POINTS + 1) if top - k * step >= bottom - 1e-9]
        found += [bottom - k * drop for k in range(1, COLDER + 1) if bottom - k * drop >= low]
        return [self.off_lattice(round(value, 2), drop) for value in found or [low]]

    def off_lattice(self, set_point: float, drop: float) -> float:
        """Return a set point that liquid of ambient temperature does not meet exactly after whole passes."""
        above = (set_point - self.setting.ambient) % drop
        if above < LATTICE:
            return set_point + LATTICE - above
        return set_point - LATTICE + (drop - above) if drop - above < LATTICE else set_point

    def hunting(self, design: Design) -> Hunting:
        """Return how a design hunts; those that hunt alike are marched once."""
        choice = design.choice
        key = (
            choice.layout,
            choice.liquid.name,
            choice.chiller.use,
            choice.vessel.use,
            choice.turbines,
            design.bank,
            round(design.flow, 2),
            round(design.mean.load, -3),
            tuple(sorted(design.tanks.items())),
        )
        if key not in self._hunts:
            liquid = choice.liquid
            self._hunts[key] = hunt(
                design, self.judge.steam(choice), liquid.heat_capacity, liquid.density, self.judge.outside
            )
        return self._hunts[key]

    def measure(self, design: Design, aim: str) -> float:
        """Return what an aim is judged by; less is better."""
        if aim == "steadiest supply":
            return round(self.hunting(design).ripple, 1)
        return design.measures()[aim]

    def ranked(self, designs: Sequence[Design]) -> Iterator[Design]:
        """Yield designs, the best first: the first aim decides, the next where it is a tie, and so on."""
        yield from self._ranked(list(designs), self.setting.aims)

    def _ranked(self, designs: list[Design], aims: Sequence[str]) -> Iterator[Design]:
        if len(designs) <= 1 or not aims:
            yield from sorted(designs, key=_last_word)
            return
        groups: dict[float, list[Design]] = {}
        for design in designs:
            groups.setdefault(self.measure(design, aims[0]), []).append(design)
        for value in sorted(groups):
            yield from self._ranked(groups[value], aims[1:])


def _last_word(design: Design) -> tuple[object, ...]:
    """Return what decides between designs that are alike in every aim: warm supply, little flow."""
    choice = design.choice
    return (
        -choice.set_point,
        design.flow,
        choice.layout,
        choice.turbines,
        choice.cooled.jacket,
        choice.cooled.gas,
        choice.chiller.use,
        choice.liquid.name,
        choice.tank_size,
    )


def nondominated(designs: Sequence[Design], score: Callable[[Design], tuple[float, ...]]) -> list[Design]:
    """Return the designs that no other beats in one figure without being beaten in another."""
    scored = [(score(design), design) for design in designs]
    best: dict[tuple[float, ...], Design] = {}
    for values, design in scored:
        best.setdefault(values, design)
    front = [
        (values, design)
        for values, design in best.items()
        if not any(
            other != values and all(theirs <= own for theirs, own in zip(other, values, strict=True))
            for other in best
        )
    ]
    return [design for _, design in sorted(front, key=lambda pair: pair[0])]


def finished(search: Search, design: Design) -> Design:
    """Return a design with the swing of its supply and the battery that its troughs need."""
    hunting = search.hunting(design)
    parts = search.judge.battery_parts(design, hunting.fall)
    battery = battery_for(parts) if search.setting.stock.first("battery") is not None else 0.0
    return replace(design, ripple=hunting.ripple, battery=battery, battery_parts=parts)


def battery_for(parts: Mapping[str, float]) -> float:
    """Return the battery of which its troughs use no more than they may and that starts from cold, [J]."""
    troughs = sum(energy for cause, energy in parts.items() if cause != FROM_COLD)
    needed = max(troughs / USED_CHARGE, parts.get(FROM_COLD, 0.0), 1.0)
    return math.ceil(needed / BATTERY_STEP - 1e-9) * BATTERY_STEP
