"""What a plant keeps in reserve: tanks for a time without chillers, a battery for its troughs."""

import math
from dataclasses import replace

from brinewright.laws import tank
from brinewright.plan.sizing.balance import Balance
from brinewright.plan.sizing.design import BEFORE_RINGS, FILLS_FIRST, LEVELS, Choice, Design, Refusal, State
from brinewright.plan.sizing.layouts import LAYOUTS
from brinewright.plan.sizing.needs import STEP as STEP_OF_DAY
from brinewright.plan.sizing.setting import Moment, with_margin

FROM_COLD = "a start from cold"
"""The cause for which a battery may be emptied."""
STEEL = 490.0
"""Heat capacity of metal whose material states none, common practice [J/(kg K)]."""
COARSE = 20
"""Steps in which a warm-up is summed."""
LARGER = (1.0, 1.5, 2.0, 3.0, 4.5, 7.0)
"""Sizes that are tried for the last tank where the usual one does not last long enough."""
STARTS = 6.0
"""Starts of a chiller an hour at most, common practice."""
DAILY = (
    "load",
    "passes",
    "supply",
    "hot",
    "rejected",
    "vessel",
    "duty",
    "taken",
    "generated",
    "chillers_power",
    "net_power",
)
"""What of a state is averaged over the day."""


class Reserves(Balance):
    """What the plants of one brief keep in reserve."""

    def tanks(self, design: Design) -> dict[str, float]:
        """Return the volume of each tank by its use, [m3].

        V = q t_hold / (rho level);  a bath also V >= Phi_step 3600 / (4 Z rho c d)
        """
        choice, setting = design.choice, self.setting
        density, c = choice.liquid.density, choice.liquid.heat_capacity
        usual = design.flow * setting.hold / density
        found = {"return": usual / LEVELS["return"]}
        if choice.layout == "L4":
            group = max(design.bank.groups) * choice.chiller.number("capacity") * self.carried(choice)
            starts = tank.volume_for_starts(group, STARTS / 3600.0, density * c, design.differential)
            found = {"return": choice.tank_size * max(found["return"], starts / LEVELS["return"])}
        before = BEFORE_RINGS.get(choice.layout)
        for use in LAYOUTS[choice.layout].tanks[1:]:
            found[use] = usual / LEVELS[use] * (choice.tank_size if use == "supply" else 1.0)
            if use == "supply" and before is not None:
                found[use] = choice.tank_size * usual + FILLS_FIRST * LEVELS[before] * found[before]
        return {use: math.ceil(volume * 10.0 - 1e-9) / 10.0 for use, volume in found.items()}

    def lasting(self, design: Design) -> Design | Refusal:
        """Return the design with its last tank as large as the time without chillers asks for."""
        wanted = self.setting.brief.wanted.ride_through or 0.0
        wanted = max(wanted, self.setting.brief.survive.without_power)
        last = LAYOUTS[design.choice.layout].tanks[-1]
        usual = design.tanks[last]
        for factor in LARGER:
            made = replace(design, tanks={**design.tanks, last: math.ceil(usual * factor * 10.0) / 10.0})
            over, tag = self.warmed(made, wanted)
            if wanted <= 0.0 or over <= 0.0:
                return made
        text = (
            f"after {wanted / 60.0:.0f} min without a working chiller {tag} would be {over:.1f} K too warm, "
            f"even with a tank of {usual * LARGER[-1]:.0f} m3"
        )
        return self.refusal(design.choice, "time without chillers", over, text, 4.0)

    def warmed(self, design: Design, time: float) -> tuple[float, str]:
        """Kelvin by which the worst consumer passes its limit after a time without chillers, and its tag.

        T_i rises by D (1 - (tau_i e^(-t/tau_i) - tau e^(-t/tau)) / (tau_i - tau)) + Phi t / (M c)

        with D = T_hot - T_supply, tau of the supply tank, tau_i = C_i r_i of the consumer: what
        stood in the return tank comes by, and the heat stays in the liquid of all tanks.
        """
        choice = design.choice
        c, density = choice.liquid.heat_capacity, choice.liquid.density
        masses = {use: volume * density * design.levels[use] for use, volume in design.tanks.items()}
        behind = masses["supply"] / design.flow if "supply" in masses else 0.0
        step = design.peak.hot - design.peak.supply if behind else 0.0
        rise = design.peak.load * time / (sum(masses.values()) * c)
        hottest = with_margin(self.setting, self.setting.extreme(most=True))
        worst, tag = -math.inf, ""
        for need, heat, flow in zip(self.setting.needs, hottest.heats, design.flows, strict=True):
            resistance = need.resistance(flow, c)
            own = need.capacity * resistance
            passed = 1.0 - _two_lags(own, behind, time)
            temperature = need.temperature(heat, design.peak.supply, resistance) + step * passed + rise
            if temperature - need.highest > worst:
                worst, tag = temperature - need.highest, need.tag
        return worst, tag

    def ride_through(self, design: Design) -> float:
        """Time for which every consumer stays below its limit without chillers, at the greatest load, [s]."""
        low, high = 0.0, 86400.0
        if self.warmed(design, high)[0] <= 0.0:
            return high
        for _ in range(40):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if self.warmed(design, middle)[0] <= 0.0 else (low, middle)
        return low

    def allowed_supply(self, design: Design) -> float:
        """Warmest supply at which every consumer still keeps its limit at its greatest heat, [K]."""
        c = design.choice.liquid.heat_capacity
        hottest = self.setting.extreme(most=True)
        found = []
        for need, heat, flow in zip(self.setting.needs, hottest.heats, design.flows, strict=True):
            taken = heat + need.outside * (need.around - need.highest)
            found.append(need.highest - max(taken, 0.0) * need.resistance(flow, c))
        return min(found)

    def day(self, design: Design) -> dict[str, float]:
        """Return the means of a day, each moment at rest: load, passes, temperatures, powers [SI]."""
        moments: dict[Moment, int] = {}
        for moment in self.setting.moments:
            moments[moment] = moments.get(moment, 0) + 1
        total = len(self.setting.moments)
        found: dict[str, float] = {}
        for moment, count in moments.items():
            state = self._at(design, moment)
            for name in DAILY:
                found[name] = found.get(name, 0.0) + getattr(state, name) * count / total
        return found

    def _at(self, design: Design, moment: Moment) -> State:
        return self.state(
            design.choice, design.flows, design.bank, design.pumps, moment, design.differential, design.step
        )

    def battery_parts(self, design: Design, hunting: float) -> dict[str, float]:
        """Return what a battery must cover, by cause [J]: the trough of the day, not its mean.

        E = (fall while hunting + fall over the day + P_aux t_without) / eta
        """
        battery = self.setting.stock.first("battery")
        if battery is None:
            return {}
        known: dict[Moment, float] = {}
        level = best = fall = 0.0
        for moment in (*self.setting.moments, *self.setting.moments):
            if moment not in known:
                known[moment] = self._at(design, moment).net_power
            net = known[moment]
            level += (net if net > 0.0 else min(net + self.outside, 0.0)) * STEP_OF_DAY
            best = max(best, level)
            fall = max(fall, best - level)
        without = design.auxiliaries * self.setting.brief.survive.without_power
        parts = {
            "hunting": hunting,
            "the day": fall,
            "time without power": without,
            FROM_COLD: self.from_cold(design)[1],
        }
        return {cause: energy / self.gives_back for cause, energy in parts.items() if energy > 0.0}

    @property
    def gives_back(self) -> float:
        """Share of what a battery stores that it gives [-]."""
        battery = self.setting.stock.first("battery")
        return battery.number("discharge_efficiency") if battery is not None else 1.0

    def heat_capacity(self, design: Design) -> float:
        """Of water, vessel and chillers together, [J/K]."""
        choice, rules = design.choice, self.setting.rules
        total = choice.vessel.number("water_mass") * self.steam(choice).heat_capacity
        for item, name, count in (
            (choice.vessel, "vessel", 1),
            (choice.chiller, "chillers", design.bank.chillers),
        ):
            usual = rules.material(design.metals[name]).heat_capacity or STEEL
            total += count * item.number("metal_mass") * item.number("metal_heat_capacity", usual)
        return total

    def warms_by_sources(self, choice: Choice) -> bool:
        """Return whether the sources alone bring the vessel beyond the turbines' threshold."""
        steam = self.steam(choice)
        return steam.rest(0.0, 0)[0] > steam.threshold

    def from_cold(self, design: Design) -> tuple[float, float]:
        """Time and electric energy until the first turbine runs, import taken off, [s] and [J].

        t = sum of C dT / (Phi_in - UA (T - T_amb)),  E = (P_ch + P_aux - P_outside) t

        By the sources alone where they suffice, and the chillers rest meanwhile.
        """
        choice, steam, mean = design.choice, self.steam(design.choice), design.mean
        if not choice.turbines:
            return 0.0, 0.0
        by_sources = self.warms_by_sources(choice)
        heat = 0.0 if by_sources else mean.rejected
        drawn = design.auxiliaries + (0.0 if by_sources else mean.chillers_power)
        width = (steam.threshold - self.setting.ambient) / COARSE
        time = 0.0
        for k in range(COARSE):
            at = self.setting.ambient + (k + 0.5) * width
            net = steam.balance(heat, at, 0.0)
            if net <= 0.0:
                return math.inf, 0.0
            time += self.heat_capacity(design) * width / net
        return time, max(drawn - self.outside, 0.0) * time

    def refusal(self, choice: Choice, need: str, amount: float, text: str, weight: float) -> Refusal:
        """Return a refusal of a choice."""
        return Refusal(
            layout=choice.layout,
            liquid=choice.liquid.name,
            need=need,
            amount=amount,
            text=text,
            weight=weight,
        )


def _two_lags(first: float, second: float, time: float) -> float:
    """Share of a step that has not yet passed two lags one behind the other, [-]."""
    if first <= 0.0 and second <= 0.0:
        return 0.0
    if abs(first - second) < 1e-6 * max(first, second):
        return (1.0 + time / first) * math.exp(-time / first)
    one = first * math.exp(-time / first) if first > 0.0 else 0.0
    other = second * math.exp(-time / second) if second > 0.0 else 0.0
    return (one - other) / (first - second)
