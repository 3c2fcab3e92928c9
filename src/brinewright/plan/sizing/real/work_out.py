"""From a brief and a choice to a design under real laws, or to the need that is in the way."""

import math
from dataclasses import replace

from brinewright.errors import InputError
from brinewright.files.weather import Weather
from brinewright.laws import exchange, tank
from brinewright.model.brief import Brief
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing.design import Refusal
from brinewright.plan.sizing.real.circuits import EVAPORATOR_LOSS, VALVES_LOSS, circuit, settled_load
from brinewright.plan.sizing.real.coolant import Coolant, coolant_at
from brinewright.plan.sizing.real.design import RealChoice, RealDesign
from brinewright.plan.sizing.real.loads import Load, load_of
from brinewright.plan.sizing.real.metals import IN_A_FAULT, HotPart, least_scarce
from brinewright.plan.sizing.real.piping import FEW_FITTINGS, rounded_up, size_for
from brinewright.plan.sizing.real.place import place_of
from brinewright.plan.sizing.real.sides import Field, LiquidSide, SteamSide
from brinewright.plan.sizing.real.sinks import radiators, ways
from brinewright.plan.sizing.real.steam import Charge, Expansion, Lift, Rock, boiling_point, rest
from brinewright.plan.sizing.real.tanks import RIDE_THROUGH, RUN_BAND, expansion_size, tank_needs, with_room
from brinewright.plan.sizing.stock import Item, Stock

SIZING = 0.10
"""Capacity of the chillers beyond the load, common practice."""
ABOVE_FREEZING = 3.0
"""Margin of the coldest wall over freezing [K], common practice."""
TANK_GAIN = 0.6e3
"""Heat into an insulated tank [W], common practice."""
COOLING_RISE, COOLING_APPROACH = 8.0, 9.0
"""Rise of the condensers' cooling, and how far it ends below the condensing temperature [K]."""
BATH_DROP = 3.0
"""How much colder than the tank the chillers of a bath send liquid back to it [K]."""
FIELD_LOSS = 10e3
"""Pressure lost in condensers and valves of the field circuit [Pa], common practice."""
CHILLING_LENGTH = 40.0
"""Of the mains between the tank of a bath and its chillers, there and back [m]."""
USUAL_SUPPLY, HALF_RISE = 280.0, 4.0
"""Where the properties of a liquid are first taken, before the supply is known [K]."""
CONTROLS = 2e3
"""Electric power of the controls [W]."""
CONDENSATE_DELAY = 60.0


class Worker:
    """Works choices out for one brief under real laws."""

    def __init__(self, brief: Brief, rules: Rulebook, weather: Weather | None = None) -> None:
        self.brief = brief
        self.rules = rules
        self.stock = Stock(rules, brief.at_hand)
        self.place = place_of(brief, rules, weather)
        self.mover = self._one("pump")
        self.vessel = self._one("steam vessel")
        self.chiller = self._one("chiller")
        self.turbine = self.stock.first("turbine")
        self.rocks = tuple(
            Rock(Item(rules.entry(source.use), source.values)) for source in brief.sources if not source.into
        )
        self.sinks = tuple(brief.sinks)
        self.working = self._working_temperature()
        """Of the vessel: where the turbines' governor holds it [K]."""
        self._loads: dict[Coolant, tuple[Load, ...]] = {}

    def _one(self, kind: str) -> Item:
        found = self.stock.first(kind)
        if found is None:
            raise InputError(f"{self.rules.name} has no {kind} at hand, and no loop can do without one.")
        return found

    # -- the liquid side

    def loads(self, coolant: Coolant) -> tuple[Load, ...]:
        """Return the consumers with this coolant."""
        if coolant not in self._loads:
            self._loads[coolant] = tuple(
                load_of(consumer, self.brief, self.rules, coolant.heat_capacity, self.place.ambient)
                for consumer in self.brief.consumers
            )
        return self._loads[coolant]

    def supply(self, loads: tuple[Load, ...], coolant: Coolant) -> float:
        """Return the supply temperature: as wanted, else the warmest that every consumer bears, [K]."""
        if self.brief.wanted.supply is not None:
            return self.brief.wanted.supply
        warmest = min(load.warmest_supply(coolant.heat_capacity) for load in loads)
        return 273.15 + 0.5 * math.floor((warmest - 273.15) / 0.5)

    def main_length(self) -> float:
        """Return the length of the mains there and back [m]: to the farthest consumer."""
        return 2.0 * max(consumer.distance for consumer in self.brief.consumers)

    def __call__(self, choice: RealChoice) -> RealDesign | Refusal:
        """Return the design, or why there is none."""
        liquid = self._liquid_side(choice)
        if isinstance(liquid, Refusal):
            return liquid
        steam = self._steam_side(choice, liquid)
        if isinstance(steam, Refusal):
            return steam
        return self._design(choice, liquid, steam)

    def _liquid_side(self, choice: RealChoice) -> LiquidSide | Refusal:
        """Return the loop of the consumers and the chillers on it, or the need that is in the way."""
        brief = self.brief
        liquid = self.rules.liquid(choice.liquid)
        guess = coolant_at(liquid, (brief.wanted.supply or USUAL_SUPPLY) + HALF_RISE)
        if guess is None:
            return self._no(choice, "liquid", 0.0, f"{choice.liquid} is not known at the working temperature")
        first = self.loads(guess)
        supply = self.supply(first, guess)
        rise = sum(one.peak for one in first) / (guess.heat_capacity * sum(one.flow for one in first))
        coolant = coolant_at(liquid, supply + 0.5 * rise)
        if coolant is None:
            return self._no(
                choice, "liquid", 0.0, f"{choice.liquid} is not known at {supply - 273.15:.0f} degC"
            )
        loads = self.loads(coolant)
        for one in loads:
            short = supply - one.warmest_supply(coolant.heat_capacity)
            if short > 0.0:
                held = f"{one.consumer.tag} would need a supply {short:.1f} K colder to be held"
                return self._no(
                    choice, "supply temperature", short, f"{held} at {one.held - 273.15:.0f} degC"
                )
        bath = choice.layout != "L3"
        lift = Lift(choice.chiller, supply - BATH_DROP if bath else supply)
        margin = coolant.freeze_margin(lift.leaving - choice.chiller.number("evaporator_approach"))
        if margin < ABOVE_FREEZING:
            text = f"{choice.liquid} freezes {margin:.1f} K below the evaporator's wall; 3 K must be left"
            return self._no(choice, "freeze margin", ABOVE_FREEZING - margin, text)
        length = self.main_length()
        settled = settled_load(loads, coolant, supply, length, self.mover, tank_gain=TANK_GAIN)
        needed = settled.load * (1.0 + SIZING)
        chillers = choice.working + brief.survive.chillers
        at_hand = self.stock.number(choice.chiller)
        if chillers > at_hand:
            text = f"{chillers} chillers are needed and {at_hand:.0f} are at hand"
            return self._no(choice, "chillers at hand", chillers - at_hand, text)
        unit = needed / choice.working
        nominal = unit / lift.capacity(1.0, self.working)
        largest = choice.chiller.number("cooling_capacity")
        if nominal > largest * 1.001:
            text = (
                f"one of {choice.working} chillers would have to give {nominal / 1e3:.0f} kW, "
                f"{largest / 1e3:.0f} kW is its size"
            )
            return self._no(choice, "chiller capacity", nominal - largest, text)
        house = chilling = settled.circuit
        if bath:  # the consumers' pump need not push through the evaporators any more
            flow = needed / (coolant.heat_capacity * BATH_DROP)
            chilling = circuit(coolant, flow, CHILLING_LENGTH, EVAPORATOR_LOSS + VALVES_LOSS, self.mover)
            loss = max(one.loss for one in loads) + VALVES_LOSS
            house = circuit(coolant, house.flow, length, loss, self.mover)
        return LiquidSide(
            loads=loads,
            supply=supply,
            rise=rise,
            load=settled.load,
            needed=needed,
            house=house,
            chilling=chilling,
            margin=margin,
            lift=lift,
            unit=unit,
            nominal=min(largest, rounded_up(nominal, 5e3)),
            chillers=chillers,
            auxiliaries=house.electric + (chilling.electric if bath else 0.0) + CONTROLS,
        )

    def _steam_side(self, choice: RealChoice, liquid: LiquidSide) -> SteamSide | Refusal:
        """Return vessel, turbines and final sink, or the need that is in the way."""
        brief, working, lift, load = self.brief, self.working, liquid.lift, liquid.load
        leak = self.vessel.number("loss_conductance") * (working - self.place.ambient)
        rejected = lift.rejected(load, working)
        rocks = tuple(replace(rock, share=choice.rock) for rock in self.rocks)
        rock_heat = sum(rock.given(working) for rock in rocks)
        side = SteamSide(
            leak=leak,
            rejected=rejected,
            rocks=rocks,
            rock_heat=rock_heat,
            relief=self.vessel.number("relief_pressure", 0.0) or self.vessel.number("design_pressure"),
            auxiliaries=liquid.auxiliaries,
        )
        if self.turbine is not None and choice.turbines:
            turbine = Expansion(self.turbine, self._condensing())
            steam = max(rejected + rock_heat - leak, 0.0) / turbine.heat(working)
            room = choice.turbines * turbine.swallowed(working)
            if steam > room:
                short = steam / turbine.swallowed(working) - choice.turbines
                text = f"{choice.turbines} turbines swallow {room:.2f} kg/s of the {steam:.2f} kg/s"
                return self._no(choice, "turbines", short, text)
            most = choice.turbines * turbine.item.number("highest_power")
            condensed = steam * (turbine.heat(working) - turbine.work(working))
            field = self._field(turbine, condensed, choice.turbines)
            if isinstance(field, Refusal):
                return field
            side = replace(
                side,
                turbine=turbine,
                steam=steam,
                turbines_power=min(turbine.electric(steam, working), most),
                condensed=condensed,
                hottest=self._hottest(turbine, choice.turbines - 1, lift, load, rocks),
                away=field,
                auxiliaries=liquid.auxiliaries + field.circuit.electric,
            )
        bearable = choice.chiller.number("highest_condensation") - choice.chiller.number("condenser_approach")
        limit = min(bearable, boiling_point(side.relief))
        if brief.survive.turbines and side.hottest > limit - IN_A_FAULT:
            text = (
                f"with one turbine less the vessel would reach {side.hottest - 273.15:.0f} degC "
                f"of {limit - 273.15:.0f} degC"
            )
            return self._no(choice, "one turbine less", min(side.hottest - limit + IN_A_FAULT, 999.0), text)
        # the tank's switches run every working chiller at once from time to time, at full load
        all_on = lift.electric(liquid.needed, working)
        grid = max(all_on + side.auxiliaries - side.turbines_power, 0.0)
        if grid > brief.at_hand.power + 1.0:
            at_hand = brief.at_hand.power / 1e3
            text = f"{grid / 1e3:.0f} kW from outside are needed and {at_hand:.0f} kW are at hand"
            return self._no(choice, "power", grid - brief.at_hand.power, text)
        fault = side.hottest if brief.survive.turbines else working
        hot = [
            HotPart("chillers", choice.chiller, liquid.chillers, "metal_mass"),
            HotPart("vessel", self.vessel, 1, "metal_mass"),
        ]
        if side.turbine is not None:
            hot.append(HotPart("turbines", side.turbine.item, choice.turbines, "casing_mass"))
        metals = least_scarce(self.stock, hot, working, fault)
        if isinstance(metals, str):
            return self._no(choice, "material", fault, metals)
        return replace(side, grid=grid, metals=metals[0], mass=metals[1])

    def _design(self, choice: RealChoice, liquid: LiquidSide, steam: SteamSide) -> RealDesign:
        """Return the whole, with its tanks."""
        coolant = liquid.house.coolant
        step = liquid.unit * choice.chiller.number("lowest_step")
        ride = self.brief.wanted.ride_through or self.brief.survive.without_power or RIDE_THROUGH
        needs = tank_needs(choice.layout, step, liquid.house, liquid.load, ride)
        hold_up = self._hold_up(liquid, choice)
        tanks, levels = {}, {}
        tanks["buffer"], levels["buffer"] = with_room(max(needs.values()), hold_up)
        if steam.away is not None:
            tanks["field"], levels["field"] = with_room(steam.away.stored, steam.away.drained)
        working = self.working
        charge = Charge(
            self.vessel.number("volume"),
            self.vessel.number("water_mass"),
            self.vessel.number("metal_mass") * self.vessel.number("metal_heat_capacity"),
        )
        turbine = steam.turbine
        return RealDesign(
            choice=choice,
            loads=liquid.loads,
            supply=liquid.supply,
            returned=liquid.supply + liquid.rise,
            load=liquid.load,
            mean_load=liquid.load + sum(one.mean - one.peak for one in liquid.loads),
            house=liquid.house,
            chilling=liquid.chilling,
            freeze_margin=liquid.margin,
            lift=liquid.lift,
            unit=liquid.unit,
            nominal=liquid.nominal,
            chillers=liquid.chillers,
            vessel=self.vessel,
            vessel_temperature=working,
            charge=charge,
            window=charge.window(working, steam.relief, steam.steam, CONDENSATE_DELAY),
            leak=steam.leak,
            rejected=steam.rejected,
            chillers_power=liquid.lift.electric(liquid.load, working),
            rocks=steam.rocks,
            rock_heat=steam.rock_heat,
            turbine=turbine,
            steam=steam.steam,
            turbines_power=steam.turbines_power,
            exit_dryness=turbine.exit_dryness(working) if turbine else 1.0,
            condensed=steam.condensed,
            hottest=steam.hottest,
            relief=steam.relief,
            ambient=self.place.ambient,
            field_circuit=steam.away.circuit if steam.away else None,
            cooling=steam.away.cooling if steam.away else (0.0, 0.0),
            condenser=steam.away.condenser if steam.away else 0.0,
            radiators=steam.away.radiators if steam.away else 0,
            tanks=tanks,
            levels=levels,
            tank_needs=needs,
            hold_up=hold_up,
            expansion=expansion_size(coolant, tanks["buffer"] + hold_up, liquid.supply, self.place.pressure),
            auxiliaries=steam.auxiliaries,
            grid=steam.grid,
            battery=steam.auxiliaries * self.brief.survive.without_power,
            metals=steam.metals,
            mass=steam.mass,
            ways=(
                ways(liquid.lift, turbine, liquid.load, working, steam.leak, steam.auxiliaries)
                if turbine
                else ()
            ),
            starts=1.0 / (4.0 * max(needs.values()) * coolant.carried * RUN_BAND / step)
            if choice.layout != "L3"
            else math.inf,
        )

    def _hold_up(self, liquid: LiquidSide, choice: RealChoice) -> float:
        """Return the volume of the loop without its tank, [m3]: mains, branches, chillers, consumers."""
        coolant = liquid.house.coolant
        held = sum(one.item.number("hold_up", 0.0) for one in liquid.loads)
        held += liquid.chillers * choice.chiller.number("hold_up", 0.0)
        pipes = tank.pipe_volume(liquid.house.main.bore, self.main_length())
        pipes += tank.pipe_volume(liquid.chilling.main.bore, CHILLING_LENGTH)
        for one in liquid.loads:
            pipes += tank.pipe_volume(size_for(one.flow, coolant).bore, 2.0 * one.consumer.distance)
        return pipes + held / coolant.density

    def _no(self, choice: RealChoice, need: str, amount: float, text: str) -> Refusal:
        return Refusal(layout=choice.layout, need=need, amount=amount, text=text[0].upper() + text[1:] + ".")

    def _working_temperature(self) -> float:
        """Return the vessel's working temperature: where the turbines' governor holds it, [K]."""
        if self.turbine is None:
            return boiling_point(self.vessel.number("design_pressure") * 0.5)
        return boiling_point(Expansion(self.turbine, 320.0).held)

    def _condensing(self) -> float:
        assert self.turbine is not None
        return self.turbine.number("condenser_temperature", 318.15)

    def _hottest(
        self, turbine: Expansion, turbines: int, lift: Lift, load: float, rocks: tuple[Rock, ...]
    ) -> float:
        """Return where the vessel rests with so many turbines, sources limiting themselves, [K]."""
        loss = self.vessel.number("loss_conductance")
        return rest(
            turbine,
            turbines,
            lambda t: lift.rejected(load, t) + sum(rock.given(t) for rock in rocks),
            lambda t: loss * (t - self.place.ambient),
        )

    def _field(self, turbine: Expansion, heat: float, turbines: int) -> Field | Refusal:
        """Return the circuit that takes the condensers' heat to the final sink."""
        if not self.sinks:
            return Refusal(
                layout="", need="final sink", amount=heat, text="The condensers' heat has nowhere to go."
            )
        sink = self.sinks[0]
        item = Item(self.rules.entry(sink.use), sink.values)
        warm = turbine.condensing - COOLING_APPROACH
        cool = warm - COOLING_RISE
        coolant = self._outside(0.5 * (warm + cool))
        if isinstance(coolant, Refusal):
            return coolant
        flow = heat / (coolant.heat_capacity * COOLING_RISE)
        loss = FIELD_LOSS + item.number("rated_loss", 0.0)
        made = circuit(coolant, flow, 2.0 * sink.distance, loss, self.mover, FEW_FITTINGS)
        effectiveness = COOLING_RISE / (turbine.condensing - cool)
        units = exchange.transfer_units(exchange.ONE_SIDE_CONSTANT, effectiveness, 0.0)
        conductance = units * flow * coolant.heat_capacity / turbines
        count = 0
        if item.has("area"):
            sky = item.number("sky_temperature", self.place.sky)
            count = radiators(
                heat,
                item.number("area"),
                item.number("emissivity"),
                item.number("conductance"),
                warm,
                cool,
                sky,
                flow * coolant.heat_capacity,
            )
            at_hand = self.brief.at_hand.number(sink.use)
            if count == 0 or count > at_hand:
                text = f"{count or 'No number of'} radiators would do it and {at_hand:.0f} are at hand"
                return Refusal(layout="", need="radiators at hand", amount=count - at_hand, text=text + ".")
        return Field(made, (cool, warm), conductance, max(count, 1), item.number("hold_up", 0.0))

    def _outside(self, mean: float) -> Coolant | Refusal:
        """Return the liquid of the field: the thinnest that the air outside does not freeze."""
        known = [
            coolant
            for liquid in self.stock.liquids(self.brief.wanted.liquids)
            if (coolant := coolant_at(liquid, mean))
        ]
        safe = [coolant for coolant in known if coolant.freezes + ABOVE_FREEZING <= self.place.coldest]
        if safe:
            return min(safe, key=lambda one: one.viscosity)
        short = min((one.freezes for one in known), default=0.0) + ABOVE_FREEZING - self.place.coldest
        text = f"No liquid stands the {self.place.coldest - 273.15:.0f} degC of the field without freezing."
        return Refusal(layout="", need="liquids", amount=short, text=text)
