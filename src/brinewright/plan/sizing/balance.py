"""The plant at rest: loop, vessel and casings in balance under a load."""

import math
from collections.abc import Mapping

from brinewright.plan.sizing import layouts
from brinewright.plan.sizing.design import Choice, Design, State
from brinewright.plan.sizing.layouts import Bank
from brinewright.plan.sizing.setting import Moment, Setting
from brinewright.plan.sizing.steam import Casings, Steam, casings

TURNS = 12
"""Rounds in which the balances of loop, vessel and casings are brought together."""
CONVERGED = 1e-4
"""Change of the load at which the balances count as brought together [-]."""
MELTS = 5000.0
"""Temperature above which a vessel counts as one that never comes to rest [K]."""


class Balance:
    """The balances of one brief's plants."""

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        self._steams: dict[tuple[str, str], Steam] = {}
        self.mover = setting.one("pump")
        self.enclosure = setting.stock.first("enclosure")
        self.tank = setting.one("buffer tank")
        self.drawn = sum(_steady(need.item.values.get("electric_power", 0.0)) for need in setting.needs)
        grid = setting.stock.first("grid")
        self.outside = setting.brief.at_hand.power if grid else 0.0
        self.lines = 120.0 + sum(2.0 * need.consumer.distance for need in setting.needs)

    def steam(self, choice: Choice) -> Steam:
        """Return the vessel and turbines of a choice."""
        key = (choice.vessel.use, choice.turbine.use if choice.turbine is not None else "")
        if key not in self._steams:
            self._steams[key] = Steam(
                choice.vessel, choice.turbine, self.setting.heatings, self.setting.ambient
            )
        return self._steams[key]

    def carried(self, choice: Choice) -> float:
        """Cooling of one kilogram a pass [J/kg]."""
        return choice.liquid.heat_capacity * choice.chiller.number("drop")

    def pumps(self, layout: str, bank: Bank, flow: float) -> dict[str, tuple[float, int]]:
        """Return capacity of each unit [kg/s] and number of units, by tag."""
        wanted = {"P-103": flow}
        if layout in ("L1", "L3", "L6"):
            wanted["P-101"] = flow
        if layout in ("L2", "L5"):
            wanted["P-101"] = bank.circulated
        if layout == "L6":
            wanted["P-102"] = bank.circulated
        if layout == "L5" and bank.circulated > flow * (1.0 + 1e-6):
            wanted["P-104"] = bank.circulated - flow
        if layout == "L4":
            rated = bank.circulated / bank.chillers
            wanted |= {f"P-{201 + place}": group * rated for place, group in enumerate(bank.groups)}
        most = self.mover.number("capacity")
        counts = {tag: max(1, math.ceil(share / most - 1e-9)) for tag, share in wanted.items()}
        return {tag: (wanted[tag] / counts[tag], counts[tag]) for tag in sorted(wanted)}

    def unit_flow(self, layout: str, bank: Bank, flow: float, rated: float) -> float:
        """Flow through one working chiller [kg/s]."""
        if layout == "L1":
            return flow / bank.groups[0]
        if layout == "L3":
            return flow / bank.chillers
        return rated

    def state(
        self,
        choice: Choice,
        flows: tuple[float, ...],
        bank: Bank,
        pumps: Mapping[str, tuple[float, int]],
        moment: Moment,
        differential: float,
        step: float,
        turbines: int | None = None,
    ) -> State:
        """Return the plant at rest under a load: loop, vessel and casings in balance."""
        setting, steam = self.setting, self.steam(choice)
        turbines = choice.turbines if turbines is None else turbines
        flow, c, drop = sum(flows), choice.liquid.heat_capacity, choice.chiller.number("drop")
        rated = choice.chiller.number("capacity")
        through = self.unit_flow(choice.layout, bank, flow, rated)
        ratio, specific = self.ratios(choice, through)
        units = sum(count for _, count in pumps.values())
        warmed = units * self.mover.number("power") * self.mover.number("heat_share", 0.0)
        supply, hot, to_loop, load = choice.set_point, choice.set_point, 0.0, 0.0
        for _ in range(TURNS):
            consumers = tuple(
                need.cooling(heat, supply, need.resistance(part, c))
                for need, heat, part in zip(setting.needs, moment.heats, flows, strict=True)
            )
            returned = supply + sum(consumers) / (flow * c)
            around = self.setting.pipe.number("conductance", 0.0) * self.lines * (setting.ambient - returned)
            before, load = load, max(sum(consumers) + to_loop + warmed + around, 1.0)
            supply, hot = layouts.supply(
                choice.layout, bank, choice.set_point, differential, step, load, c * drop, flow, drop, rated
            )
            rejected = ratio * load
            vessel, duty = steam.rest(rejected, turbines)
            taken = duty * turbines * steam.taken(vessel) if turbines else 0.0
            into = duty * turbines * steam.casing(steam.taken(vessel)) if turbines else 0.0
            casing = casings(
                steam, choice.cooled, self.enclosure, self.factor(choice), turbines, into, returned, flow * c
            )
            to_loop = casing.to_loop
            if abs(load - before) <= CONVERGED * load:
                break
        generated = duty * turbines * steam.power(steam.taken(vessel)) if turbines else 0.0
        chillers_power = specific * load
        drawn = units * self.mover.number("power") + self.drawn
        return State(
            load=load,
            consumers=consumers,
            passes=load / (flow * c * drop),
            supply=supply,
            returned=returned,
            hot=hot,
            rejected=rejected,
            vessel=vessel,
            duty=duty,
            taken=taken,
            generated=generated,
            casing=casing,
            chillers_power=chillers_power,
            net_power=generated - chillers_power - drawn,
        )

    def ratios(self, choice: Choice, through: float) -> tuple[float, float]:
        """Heat into the vessel, and electric power, per heat taken from the loop, [-] and [-].

        Phi_h / Phi_c = 1 + (kappa P + Phi_self) / (q c Delta)
        """
        chiller = choice.chiller
        rated, power = chiller.number("capacity"), chiller.number("power")
        if chiller.word("power_mode") == "proportional":
            power *= through / rated
        duty = through * self.carried(choice)
        own = chiller.number("self_heat", 0.0)
        return (duty + chiller.number("power_share") * power + own) / duty, power / duty

    def factor(self, choice: Choice) -> float:
        """Return the factor of the enclosures' gas."""
        return self.setting.rules.gas(choice.cooled.gas).factor if choice.cooled.gas else 0.0

    def all_on(self, choice: Choice, bank: Bank, flow: float) -> float:
        """Heat into the vessel with every chiller at work [W]."""
        through = self.unit_flow(choice.layout, bank, flow, choice.chiller.number("capacity"))
        ratio, _ = self.ratios(choice, through)
        return ratio * bank.chillers * through * self.carried(choice)

    def all_on_cooling(self, design: Design) -> float:
        """Cooling of every chiller at work [W]."""
        rated = design.choice.chiller.number("capacity")
        through = self.unit_flow(design.choice.layout, design.bank, design.flow, rated)
        return design.bank.chillers * through * self.carried(design.choice)

    def hottest(
        self, choice: Choice, bank: Bank, flow: float, turbines: int, inlet: float
    ) -> tuple[float, Casings]:
        """Return vessel [K] and casings with every chiller at work and every source at its most."""
        steam = self.steam(choice)
        vessel, duty = steam.rest(self.all_on(choice, bank, flow), turbines, most=True)
        if not vessel < MELTS:
            return math.inf, Casings(0.0, 0.0, math.inf, math.inf)
        if turbines and 0.0 < duty < 1.0:
            # they come and go about the threshold, which is then the hottest that it gets
            vessel = steam.threshold
        into = turbines * steam.casing(steam.taken(vessel)) if turbines and duty > 0.0 else 0.0
        carried = flow * choice.liquid.heat_capacity
        found = casings(
            steam, choice.cooled, self.enclosure, self.factor(choice), turbines, into, inlet, carried
        )
        return vessel, found


def _steady(value: object) -> float:
    """Return a number, nothing where it is a schedule's name."""
    return float(value) if isinstance(value, int | float) else 0.0
