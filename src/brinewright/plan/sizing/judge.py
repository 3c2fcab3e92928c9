"""One choice held against the brief: the design that it makes, or the need that is in the way."""

import math
from collections.abc import Mapping
from dataclasses import replace

from brinewright.plan.sizing import layouts
from brinewright.plan.sizing.design import BEFORE_RINGS, Choice, Design, Refusal, State
from brinewright.plan.sizing.layouts import LAYOUTS, Asked, Bank, Shortfall
from brinewright.plan.sizing.metals import Metal, Mix, cheapest_mix
from brinewright.plan.sizing.reserves import Reserves
from brinewright.plan.sizing.setting import Moment, with_margin
from brinewright.plan.sizing.steam import Casings

DECISION = 0.5
"""Differential of a switch that decides on a pass: the smaller, the steadier the supply [K]."""
BATH = 1.0
"""Differential of the switches of a bath, common practice 1 to 3 K."""
STEP = 1.0
"""Between the set points of two groups of a bath [K]."""
AIMS = 5
"""Rounds in which a set point is brought to the wanted supply."""
NO_LIMIT = 1e6
"""Stands for the flow of a line that states no limit [kg/s]."""
LEAST_FLOW = 0.2
"""Least flow that is led to a consumer [kg/s]."""
COLD_GUARD = 0.5
"""Kelvin that a consumer is kept above its lowest temperature [K]."""
__all__ = ["BATH", "DECISION", "STEP", "Judge", "late_passes", "switched"]


class Judge(Reserves):
    """Holds choices against one brief."""

    def __call__(self, choice: Choice) -> Design | Refusal:
        """Return the design, or why there is none."""
        flows = self.flows(choice)
        return flows if isinstance(flows, Refusal) else self.completed(choice, flows)

    def flows(self, choice: Choice) -> tuple[float, ...] | Refusal:
        """Return the flow of each consumer [kg/s], or what is in the way whatever stands at the vessel."""
        differential, step = switched(choice.layout)
        flows = self._flows(choice, choice.set_point + differential + (layouts.GROUPS - 1) * step)
        if isinstance(flows, Refusal):
            return flows
        return self._too_cold(choice) or self._bank_without_casings(choice, flows) or flows

    def aimed(self, choice: Choice, flows: tuple[float, ...]) -> Choice | Refusal:
        """Return the choice with the set point whose mean supply is the wanted one.

        T_s = T_supply + f Delta, the flows being those that the set point asks for
        """
        wanted = self.setting.brief.wanted.supply
        differential, step = switched(choice.layout)
        for _ in range(AIMS):
            bank = self._bank(choice, flows, differential, step)
            if isinstance(bank, Refusal) or wanted is None:
                return bank if isinstance(bank, Refusal) else choice
            pumps = self.pumps(choice.layout, bank, sum(flows))
            mean = self.state(choice, flows, bank, pumps, self.setting.mean, differential, step)
            off = wanted - mean.supply
            if abs(off) < 0.01:
                break
            choice = replace(choice, set_point=choice.set_point + off)
            found = self.flows(choice)
            if isinstance(found, Refusal):
                return found
            flows = found
        return replace(choice, set_point=round(choice.set_point, 2))

    def completed(self, choice: Choice, flows: tuple[float, ...]) -> Design | Refusal:
        """Return the design with these flows, or why there is none."""
        differential, step = switched(choice.layout)
        bank = self._bank(choice, flows, differential, step)
        if isinstance(bank, Refusal):
            return bank
        pumps = self.pumps(choice.layout, bank, sum(flows))
        design = self._figures(choice, flows, bank, pumps, differential, step)
        return design if isinstance(design, Refusal) else self._power(design)

    def _flows(self, choice: Choice, warmest: float) -> tuple[float, ...] | Refusal:
        """Return the flow of each consumer that keeps it below its limit with the warmest supply."""
        hottest = with_margin(self.setting, self.setting.extreme(most=True))
        found: list[float] = []
        for need, heat in zip(self.setting.needs, hottest.heats, strict=True):
            least = need.least_flow(heat, warmest, choice.liquid.heat_capacity)
            most = min(need.most_flow, self.setting.pipe.number("capacity", NO_LIMIT))
            if least > most * (1.0 + 1e-9):
                resistance = need.resistance(most, choice.liquid.heat_capacity)
                over = need.temperature(heat, warmest, resistance) - need.highest
                text = (
                    f"{need.tag} would be {over:.1f} K above its {need.highest - 273.15:.1f} degC with a "
                    f"supply of {warmest - 273.15:.1f} degC and all the flow that it and its line take"
                )
                return self.refusal(choice, f"highest temperature of {need.tag}", over, text, 0.0)
            flow = min(max(choice.spread * least, LEAST_FLOW), need.most_flow)
            found.append(math.ceil(flow * 10.0 - 1e-9) / 10.0 if flow < need.most_flow else need.most_flow)
        wanted = self.setting.brief.wanted.flow
        total = sum(found)
        if wanted is None:
            return tuple(found)
        if total > wanted * (1.0 + 1e-9) and choice.spread <= 1.0:
            text = f"the consumers need {total:.1f} kg/s, and {wanted:.1f} kg/s are wanted"
            return self.refusal(choice, "wanted flow", total - wanted, text, 0.5)
        return tuple(flow * wanted / total for flow in found)

    def _too_cold(self, choice: Choice) -> Refusal | None:
        """Return the refusal of a liquid that could freeze in a chiller."""
        coldest = choice.set_point - late_passes(choice.layout) * choice.chiller.number("drop")
        short = choice.liquid.freezes + self.setting.margin("freeze") - coldest
        if short <= 0.0:
            return None
        text = (
            f"a parcel of {choice.liquid.name} that is sent round once too often leaves at "
            f"{coldest - 273.15:.1f} degC; it freezes at {choice.liquid.freezes - 273.15:.1f} degC"
        )
        return self.refusal(choice, "freezing point", short, text, 0.5)

    def _asked(self, choice: Choice, flows: tuple[float, ...], extra: float) -> Asked:
        """Return what is asked of the layout when pumps and casings bring some more heat [W]."""
        setting = self.setting
        peak, least, essential = (
            self._taken(choice, flows, moment) + extra
            for moment in (
                with_margin(setting, setting.peak),
                setting.least,
                with_margin(setting, setting.essential),
            )
        )
        return Asked(
            flow=sum(flows),
            carried=self.carried(choice),
            rated=choice.chiller.number("capacity"),
            peak=peak,
            least=least,
            essential=essential,
            lost=setting.brief.survive.chillers,
            pipe=setting.pipe.number("capacity", math.inf),
        )

    def _bank_without_casings(self, choice: Choice, flows: tuple[float, ...]) -> Refusal | None:
        """Return the refusal that no way to cool casings could help; a least load they could."""
        made = layouts.bank(choice.layout, self._asked(choice, flows, 0.0))
        if isinstance(made, Bank):
            return self._too_many(choice, made)
        if made.need == "least load":
            return None
        return self.refusal(choice, made.need, made.amount, made.text, 1.0)

    def _too_many(self, choice: Choice, bank: Bank) -> Refusal | None:
        at_hand = self.setting.stock.number(choice.chiller)
        if bank.chillers <= at_hand:
            return None
        text = f"{bank.chillers} of {choice.chiller.use} would be needed, and {at_hand:.0f} are at hand"
        return self.refusal(choice, f"number of {choice.chiller.use}", bank.chillers - at_hand, text, 2.0)

    def _bank(
        self, choice: Choice, flows: tuple[float, ...], differential: float, step: float
    ) -> Bank | Refusal:
        """Return the chillers; the casings' heat depends on them and they on it."""
        setting = self.setting
        moment = with_margin(setting, setting.peak)
        extra, bank = 0.0, Bank(chillers=0, circulated=0.0, widest=0.0)
        for _ in range(4):
            made = layouts.bank(choice.layout, self._asked(choice, flows, extra))
            if isinstance(made, Shortfall) and made.need == "least load" and extra == 0.0:
                made = layouts.two_tanks(self._asked(choice, flows, extra))
            if isinstance(made, Shortfall):
                return self.refusal(choice, made.need, made.amount, made.text, 1.0)
            if made == bank:
                break
            bank = made
            pumps = self.pumps(choice.layout, bank, sum(flows))
            state = self.state(choice, flows, bank, pumps, moment, differential, step)
            extra = state.load - sum(state.consumers)
        return self._too_many(choice, bank) or bank

    def _taken(self, choice: Choice, flows: tuple[float, ...], moment: Moment) -> float:
        """Return what the consumers give at about the set point [W]."""
        c = choice.liquid.heat_capacity
        supply = choice.set_point - 0.5 * choice.chiller.number("drop")
        return sum(
            max(need.cooling(heat, supply, need.resistance(flow, c)), 0.0)
            for need, heat, flow in zip(self.setting.needs, moment.heats, flows, strict=True)
        )

    def rests_at_threshold(self, start: Choice, flows: tuple[float, ...], turbines: int) -> bool:
        """Tell whether more turbines would only rest: with every chiller at work these already do."""
        made = layouts.bank(start.layout, self._asked(start, flows, 0.0))
        if not isinstance(made, Bank) or start.turbine is None:
            return False
        more = replace(made, chillers=made.chillers + 2)
        _, duty = self.steam(start).rest(self.all_on(start, more, sum(flows)), turbines, most=True)
        return duty < 1.0

    def _figures(
        self,
        choice: Choice,
        flows: tuple[float, ...],
        bank: Bank,
        pumps: Mapping[str, tuple[float, int]],
        differential: float,
        step: float,
    ) -> Design | Refusal:
        setting = self.setting
        states = {
            name: self.state(choice, flows, bank, pumps, moment, differential, step)
            for name, moment in (
                ("peak", with_margin(setting, setting.peak)),
                ("mean", setting.mean),
                ("least", setting.least),
                ("first", setting.first),
            )
        }
        refused = self._consumers_stay_warm(choice, flows, states["least"])
        if refused:
            return refused
        flow, returned = sum(flows), states["peak"].returned
        lost = setting.brief.survive.turbines if choice.turbines else 0
        vessel, casing = self.hottest(choice, bank, flow, choice.turbines, returned)
        refused = self._boils(choice, states["peak"], casing)
        if refused:
            return refused
        worse, faulty = (vessel, casing)
        if lost:
            worse, faulty = self.hottest(choice, bank, flow, max(choice.turbines - lost, 0), returned)
        metals = self._metals(choice, bank, (vessel, casing), (worse, faulty), flow)
        mix = cheapest_mix(
            metals, setting.stock, setting.margin("material"), setting.margin("material_in_a_fault")
        )
        if not isinstance(mix, Mix):
            return self.refusal(choice, mix.need, mix.amount, mix.text, 3.0)
        units = sum(count for _, count in pumps.values())
        layout = LAYOUTS[choice.layout]
        design = Design(
            choice=choice,
            bank=bank,
            flows=flows,
            differential=differential,
            step=step,
            pumps=pumps,
            hottest=vessel,
            hottest_in_a_fault=worse,
            metals=mix.materials,
            metal_limits=mix.limits,
            mass=mix.cost,
            auxiliaries=units * self.mover.number("power") + self.drawn,
            machines=bank.chillers + choice.turbines + units + choice.cooled.enclosures,
            decisions=_decisions(choice.layout, bank) + len(layout.tanks),
            peak=states["peak"],
            mean=states["mean"],
            least=states["least"],
            first=states["first"],
        )
        return self.lasting(replace(design, tanks=self.tanks(design)))

    def _consumers_stay_warm(self, choice: Choice, flows: tuple[float, ...], least: State) -> Refusal | None:
        """Return the refusal of a supply that is too cold for a consumer at its least heat."""
        lowest = self.setting.extreme(most=False)
        for need, heat, flow in zip(self.setting.needs, lowest.heats, flows, strict=True):
            resistance = need.resistance(flow, choice.liquid.heat_capacity)
            short = need.lowest + COLD_GUARD - need.temperature(heat, least.supply, resistance)
            if need.lowest > 0.0 and short > 0.0:
                text = (
                    f"{need.tag} would fall {short - COLD_GUARD:.1f} K below its lowest temperature of "
                    f"{need.lowest - 273.15:.1f} degC at its least heat"
                )
                return self.refusal(choice, f"lowest temperature of {need.tag}", short, text, 1.5)
        return None

    def _boils(self, choice: Choice, peak: State, casing: Casings) -> Refusal | None:
        """Return the refusal of a liquid that could boil, in jackets with every chiller at work."""
        jackets = casing.temperature if choice.cooled.jacket and math.isfinite(casing.temperature) else 0.0
        hottest = max(peak.hot, peak.returned, jackets)
        over = hottest - choice.liquid.boils + self.setting.margin("boil")
        if choice.liquid.boils <= 0.0 or over <= 0.0:
            return None
        text = (
            f"{choice.liquid.name} would reach {hottest - 273.15:.0f} degC; "
            f"it boils at {choice.liquid.boils - 273.15:.0f} degC"
        )
        return self.refusal(choice, "boiling point", over, text, 1.5)

    def _metals(
        self,
        choice: Choice,
        bank: Bank,
        steady: tuple[float, Casings],
        fault: tuple[float, Casings],
        flow: float,
    ) -> list[Metal]:
        """Return what has to be made of metal, with how hot it gets in running and in a fault."""
        chiller = choice.chiller
        through = self.unit_flow(choice.layout, bank, flow, chiller.number("capacity"))
        ratio, _ = self.ratios(choice, through)
        above = ratio * through * self.carried(choice) / max(chiller.number("conductance"), 1e-9)
        parts = [
            Metal(
                "chillers",
                chiller,
                bank.chillers * chiller.number("metal_mass"),
                steady[0] + above,
                fault[0] + above,
            ),
            Metal("vessel", choice.vessel, choice.vessel.number("metal_mass"), steady[0], fault[0]),
        ]
        if choice.turbines and choice.turbine is not None:
            parts.append(
                Metal(
                    "turbines",
                    choice.turbine,
                    choice.turbines * choice.turbine.number("casing_mass"),
                    max(steady[0], steady[1].temperature),
                    max(fault[0], fault[1].temperature),
                )
            )
        if choice.cooled.enclosures and self.enclosure is not None:
            mass = choice.cooled.enclosures * self.enclosure.number("shell_mass")
            parts.append(Metal("enclosures", self.enclosure, mass, steady[1].shell, fault[1].shell))
        return parts

    def _power(self, design: Design) -> Design | Refusal:
        """Return the design with what it takes from outside, or why the power does not suffice."""
        grid = self.outside
        battery = self.setting.stock.first("battery")
        short = -design.mean.net_power
        if short > grid:
            text = (
                f"on the mean of a day {short / 1e3:.0f} kW more are drawn than turbines give, "
                f"and {grid / 1e3:.0f} kW come from outside"
            )
            return self.refusal(design.choice, "power", short - grid, text, 4.0)
        if battery is None:
            _, specific = self.ratios(
                design.choice,
                self.unit_flow(
                    design.choice.layout,
                    design.bank,
                    design.flow,
                    design.choice.chiller.number("capacity"),
                ),
            )
            least = min(design.mean.generated, design.least.generated)
            all_on = specific * self.all_on_cooling(design)
            trough = all_on + design.auxiliaries - least
            if trough > grid:
                text = (
                    f"with every chiller at work {trough / 1e3:.0f} kW more are drawn than turbines give, "
                    f"there is no battery, and {grid / 1e3:.0f} kW come from outside"
                )
                return self.refusal(design.choice, "power", trough - grid, text, 4.0)
        return replace(design, grid=max(short, 0.0))


def late_passes(layout: str) -> int:
    """Return how many drops below its set point the coldest parcel may be.

    One is meant; an edge of a slug that a sensor sees late makes one more, and what stands in a ring
    at the start goes round once more than that.
    """
    return 3 if layout in BEFORE_RINGS else 2 if LAYOUTS[layout].decides else 1


def switched(layout: str) -> tuple[float, float]:
    """Return the differential of a layout's switches and the step between its groups, [K] and [K]."""
    return (DECISION, 0.0) if LAYOUTS[layout].decides else (BATH, STEP)


def _decisions(layout: str, bank: Bank) -> int:
    """Return how many switches, valves and junctions a layout has."""
    return {
        "L1": 3 * bank.stages,
        "L2": 3,
        "L3": 3,
        "L4": len(bank.groups),
        "L5": 3,
        "L6": 6,
    }[layout]
