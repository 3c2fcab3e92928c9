"""Vessel and turbines under real laws: what comes in, what the turbines swallow, where it rests."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from scipy.integrate import quad
from scipy.optimize import brentq

from brinewright.fluids import fluid, water_tables
from brinewright.fluids.closures import state_from_p_s
from brinewright.laws import chilling, expansion, vessel
from brinewright.plan.sizing.stock import Item

COLDEST, HOTTEST = 323.15, 580.0
"""Where a vessel's rest is looked for [K]."""
NOZZLE = 0.975
"""Discharge coefficient of a relief valve; published with API 520, from memory."""
CALM = 1.0
"""Corrections of back pressure, capacity and superheat for dry saturated steam below 105 bar [-]."""


@cache
def saturated(name: str, temperature: float, dryness: float) -> float:
    """Return a property of boiling water (0) or dry steam (1), in SI."""
    return fluid("water").value(name, temperature, None, dryness)


@cache
def boiling_pressure(temperature: float) -> float:
    """Return the saturation pressure of water, [Pa]."""
    return fluid("water").value("saturation pressure", temperature)


@cache
def boiling_point(pressure: float) -> float:
    """Return the saturation temperature of water, [K]."""
    return fluid("water").value("boiling point", None, pressure)


@dataclass(frozen=True)
class Lift:
    """What one kind of chiller does when it lifts heat into a vessel or a sink."""

    item: Item
    leaving: float
    """Temperature of the coolant that leaves it [K]."""

    def performance(self, hot: float) -> float:
        """Return the coefficient of performance when it gives heat to something at `hot` [K]."""
        return chilling.cooling_performance(
            self.leaving,
            hot,
            self.item.number("evaporator_approach"),
            self.item.number("condenser_approach"),
            self.item.number("second_law_efficiency"),
            self.item.number("highest_performance"),
        )

    def rejected(self, load: float, hot: float) -> float:
        """Return the heat that it gives, [W]."""
        return chilling.heat_rejected(load, self.performance(hot))

    def electric(self, load: float, hot: float) -> float:
        """Return the electric power that it draws, [W]."""
        return load / self.performance(hot) / self.item.number("motor_efficiency")

    def capacity(self, unit: float, hot: float) -> float:
        """Return what a unit of a stated capacity [W] cools here, [W]."""
        return chilling.capacity(
            unit,
            self.leaving - self.item.number("evaporator_approach"),
            hot + self.item.number("condenser_approach"),
            self.item.number("reference_evaporation"),
            self.item.number("reference_condensation"),
            self.item.number("evaporation_drift"),
            self.item.number("condensation_drift"),
        )


@dataclass(frozen=True)
class Rock:
    """A stream of hot water or brine: Phi = eps C (T_store - T), never less than nothing if it only gives."""

    item: Item
    share: float = 1.0
    """Of its flow that is used [-]."""

    def given(self, temperature: float) -> float:
        """Return the heat that it gives to a vessel of this temperature, [W]."""
        flow = self.share * self.item.number("flow") * self.item.number("stream_heat_capacity")
        heat = (
            self.item.number("effectiveness") * flow * (self.item.number("store_temperature") - temperature)
        )
        return max(heat, 0.0) if self.item.values.get("gives_only") is True else heat


@dataclass(frozen=True)
class Expansion:
    """One turbine between a vessel and its condenser."""

    item: Item
    condensing: float
    """[K]"""

    @property
    def held(self) -> float:
        """Return the vessel pressure at which its governor begins to throttle, [Pa]."""
        stated = self.item.values.get("held_pressure")
        return self.item.number("held_pressure") if stated else self.item.number("design_inlet_pressure")

    def swallowed(self, temperature: float) -> float:
        """Return the steam that it takes with its valve wide open, [kg/s]."""
        design = self.item.number("design_inlet_pressure")
        exhaust = boiling_pressure(self.condensing)
        pressure = boiling_pressure(temperature)
        if pressure <= exhaust:
            return 0.0
        return expansion.swallowed_flow(
            self.item.number("design_flow"),
            temperature,
            pressure,
            exhaust,
            boiling_point(design),
            design,
            self.item.number("design_exhaust_pressure"),
        )

    def heat(self, temperature: float) -> float:
        """Return the heat that a kilogram of steam takes from the vessel, [J/kg]."""
        return saturated("h", temperature, 1.0) - saturated("h", self.condensing, 0.0)

    def work(self, temperature: float) -> float:
        """Return the work of a kilogram of steam, [J/kg]."""
        ideal = state_from_p_s(
            water_tables(), boiling_pressure(self.condensing), saturated("s", temperature, 1.0)
        )[0]
        return expansion.specific_work(
            saturated("h", temperature, 1.0), ideal, self.item.number("isentropic_efficiency")
        )

    def electric(self, flow: float, temperature: float) -> float:
        """Return the electric power of all the steam together, [W]; `flow` in kg/s."""
        return expansion.electric_power(
            flow,
            self.work(temperature),
            self.item.number("mechanical_efficiency"),
            self.item.number("generator_efficiency"),
        )

    def exit_dryness(self, temperature: float) -> float:
        """Return the dryness of the exhaust [-]."""
        return expansion.dryness(
            saturated("h", temperature, 1.0) - self.work(temperature),
            saturated("h", self.condensing, 0.0),
            saturated("h", self.condensing, 1.0),
        )


def rest(
    turbine: Expansion, turbines: int, source: Callable[[float], float], loss: Callable[[float], float]
) -> float:
    """Return the temperature at which heat in and steam out agree, [K]; infinite where they never do.

    Phi(T) = N q(T) (h_g(T) - h_c) + UA (T - T_amb)
    """

    def surplus(temperature: float) -> float:
        steam = turbines * turbine.swallowed(temperature) * turbine.heat(temperature) if turbines else 0.0
        return source(temperature) - steam - loss(temperature)

    if surplus(COLDEST) <= 0.0:
        return COLDEST
    if surplus(HOTTEST) >= 0.0:
        return math.inf
    return float(brentq(surplus, COLDEST, HOTTEST))


@dataclass(frozen=True)
class Charge:
    """A closed vessel with its water and its metal."""

    volume: float
    water: float
    """[kg]"""
    metal: float
    """Heat capacity of the metal [J/K]."""

    def stored(self, temperature: float) -> float:
        """Return the energy of water and metal, [J]."""
        liquid, vapour = saturated("v", temperature, 0.0), saturated("v", temperature, 1.0)
        share = min(max(vessel.mean_dryness(self.volume, self.water, liquid, vapour), 0.0), 1.0)
        inner = saturated("u", temperature, 0.0) * (1.0 - share) + saturated("u", temperature, 1.0) * share
        return self.water * inner + self.metal * temperature

    def capacity(self, temperature: float) -> float:
        """Return the heat for one kelvin, [J/K]."""
        return self.stored(temperature + 0.5) - self.stored(temperature - 0.5)

    def warm_up(self, cold: float, hot: float, source: Callable[[float], float]) -> float:
        """Return how long a source that follows the temperature takes, [s]; infinite if it never does."""
        if min(source(cold + share * (hot - cold)) for share in (0.0, 0.25, 0.5, 0.75, 1.0)) <= 0.0:
            return math.inf
        return float(quad(lambda t: self.capacity(t) / source(t), cold, hot, limit=100)[0])

    def window(self, hot: float, relief: float, steam: float, delay: float) -> tuple[float, float]:
        """Return the least and the most water, [kg]: condensers covered, never full before the relief opens.

        Parameters
        ----------
        hot : working temperature [K]
        relief : pressure at which the relief valve opens [Pa]
        steam, delay : flow to the turbines [kg/s] and the time it takes to come back [s]
        """
        return vessel.charge_window(
            self.volume,
            self.volume / 3.0,
            saturated("density", hot, 0.0),
            saturated("density", hot, 1.0),
            steam,
            delay,
            fluid("water").value("density", None, relief, 0.0),
        )


def relief_needed(heat: float, opens: float) -> tuple[float, float]:
    """Return what a relief valve must let out [kg/s] and its area [m2], at 10 % over its setting."""
    relieving = 1.1 * opens
    flow = vessel.relief_flow(heat, fluid("water").value("latent heat", None, relieving))
    return flow, vessel.relief_area(flow, relieving, NOZZLE, CALM, CALM, CALM)
