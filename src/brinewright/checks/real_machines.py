"""Real chillers, turbines and sources at a vessel temperature, all else as the shared run found it."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from brinewright.checks.timeline import Timeline
from brinewright.laws import chilling, expansion
from brinewright.laws.grid_table import bilinear
from brinewright.model.case import Case
from brinewright.model.part_view import PartView

BAND = 0.05
"""Proportional band of a governor, as a share of the pressure that it holds [-]."""


@dataclass(frozen=True)
class Chiller:
    """A real chiller (or a bank) that stands in a vessel."""

    case: Case
    view: PartView

    @cached_property
    def cooling(self) -> float:
        """Return its mean cooling in the shared run, the whole bank [W]."""
        seen = self.case.seen(self.view.tag, "cooling")
        return seen.mean if seen else 0.0

    @cached_property
    def leaving(self) -> float:
        """Return the temperature at which the liquid leaves it: held, or as the shared run found it [K]."""
        if self.view.has("leaving_temperature"):
            return self.view.number("leaving_temperature")
        seen = self.case.seen(self.view.tag, "outlet temperature")
        return seen.min if seen else self.view.working_mean

    def full(self, vessel: float) -> tuple[float, float]:
        """Return cooling and heat given to the vessel of the whole bank at full load [W]."""
        hot = vessel + self.view.number("condenser_approach")
        if self.view.declares("table"):
            return self._of_catalogue(hot)
        if hot > self.view.number("highest_condensation"):
            return 0.0, 0.0  # its guard has stopped it
        cold = self.leaving - self.view.number("evaporator_approach")
        cooling = self.view.count * chilling.capacity(
            self.view.number("cooling_capacity"),
            cold,
            hot,
            self.view.number("reference_evaporation"),
            self.view.number("reference_condensation"),
            self.view.number("evaporation_drift"),
            self.view.number("condensation_drift"),
        )
        return cooling, cooling * self._ratio(vessel)

    def _of_catalogue(self, hot: float) -> tuple[float, float]:
        rows = np.array(self.view.rows("table"), dtype=float)
        leaving, condensing = np.unique(rows[:, 0]), np.unique(rows[:, 1])
        order = np.lexsort((rows[:, 1], rows[:, 0]))
        shape = (leaving.size, condensing.size)
        capacity, power = (
            float(bilinear(leaving, condensing, rows[order, k].reshape(shape), self.leaving, hot)[0])
            for k in (2, 3)
        )
        cooling = capacity * self.view.number("capacity_correction") * self.view.count
        return cooling, cooling + power * self.view.number("power_correction") * self.view.count

    def _ratio(self, vessel: float) -> float:
        """Return the heat given to the vessel by cooling [-]."""
        performance = chilling.cooling_performance(
            self.leaving,
            vessel,
            self.view.number("evaporator_approach"),
            self.view.number("condenser_approach"),
            self.view.number("second_law_efficiency"),
            self.view.number("highest_performance"),
        )
        motor = self.view.number("motor_efficiency")
        return 1.0 + (1.0 + self.view.number("motor_heat_share") * (1.0 / motor - 1.0)) / performance

    def rejects_full(self, vessel: float) -> float:
        """Return the heat of the whole bank at full load into a vessel at a temperature [W]."""
        return self.full(vessel)[1]

    def rejects_mean(self, vessel: float) -> float:
        """Return the heat at the shared run's mean cooling into a vessel at a temperature [W]."""
        if self.view.declares("table"):
            cooling, rejected = self.full(vessel)
            return self.cooling * rejected / cooling if cooling > 0.0 else 0.0
        hot = vessel + self.view.number("condenser_approach")
        return self.cooling * self._ratio(vessel) if hot <= self.view.number("highest_condensation") else 0.0

    def draws(self, vessel: float) -> float:
        """Return the electric power of the whole bank at full load [W]."""
        cooling, rejected = self.full(vessel)
        if self.view.declares("table"):
            return rejected - cooling
        motor = self.view.number("motor_efficiency")
        share = self.view.number("motor_heat_share")
        return (rejected - cooling) / (1.0 + share * (1.0 / motor - 1.0)) / motor


@dataclass(frozen=True)
class Turbine:
    """A real turbine that draws from a vessel of saturated steam."""

    case: Case
    view: PartView

    @cached_property
    def starts(self) -> float:
        """Return the vessel temperature at which it starts [K]."""
        return _saturated(self.view.number("start_pressure"))

    @cached_property
    def condensing(self) -> float:
        """Return its condensing temperature: fixed, or as the shared run found it [K]."""
        if self.view.has("condenser_temperature"):
            return self.view.number("condenser_temperature")
        seen = self.case.seen(self.view.tag, "condenser temperature")
        return seen.mean if seen else _saturated(self.view.number("design_exhaust_pressure"))

    def takes(self, vessel: float) -> float:
        """Return the heat that one unit takes from the vessel while it runs [W]."""
        flow, heat, _ = self._passage(vessel)
        return flow * heat

    def makes(self, vessel: float) -> float:
        """Return the electric power of one unit while it runs [W]."""
        flow, _, work = self._passage(vessel)
        return (
            flow * work * self.view.number("mechanical_efficiency") * self.view.number("generator_efficiency")
        )

    def _passage(self, vessel: float) -> tuple[float, float, float]:
        """Return steam flow [kg/s], heat by kilogram and work by kilogram [J/kg]."""
        from brinewright.fluids import water_tables
        from brinewright.fluids.closures import state_from_p_s
        from brinewright.fluids.saturation import saturation_line

        tables = water_tables()
        pressure, _, _, _, _, _, enthalpy, _, entropy = saturation_line(tables, vessel)
        exhaust, _, _, _, _, liquid, _, _, _ = saturation_line(tables, self.condensing)
        inlet_0 = self.view.number("design_inlet_pressure")
        exhaust_0 = self.view.number("design_exhaust_pressure")
        flow = expansion.swallowed_flow(
            self.view.number("design_flow"),
            vessel,
            pressure,
            exhaust,
            _saturated(inlet_0),
            inlet_0,
            exhaust_0,
        )
        ideal = state_from_p_s(tables, exhaust, entropy)[0]
        work = expansion.specific_work(enthalpy, ideal, self.view.number("isentropic_efficiency"))
        held = self.view.number("held_pressure")
        if held > 0.0:
            flow *= min(max(0.5 + (pressure - held) / (BAND * held), 0.0), 1.0)
        most = self.view.number("highest_power")
        power = (
            flow * work * self.view.number("mechanical_efficiency") * self.view.number("generator_efficiency")
        )
        if power > most > 0.0:
            flow *= most / power
        return float(flow), float(enthalpy - liquid), float(work)


@dataclass(frozen=True)
class StreamSource:
    """A stream that passes a vessel's heat exchanger."""

    view: PartView
    timeline: Timeline

    @property
    def tag(self) -> str:
        """Return its tag."""
        return self.view.tag

    @property
    def hottest(self) -> float:
        """Return the temperature that it cannot heat beyond [K]."""
        return self.view.number("store_temperature")

    def heat(self, temperature: float, *, peak: bool = False) -> float:
        """Return the heat that it gives to a vessel at a temperature, its store undisturbed [W]."""
        raw = self.view.raw("flow")
        flow = self.timeline.greatest([raw]) if peak else self.timeline.mean(raw)
        stream = flow * self.view.number("stream_heat_capacity") * self.view.number("effectiveness")
        heat = stream * (self.hottest - temperature)
        return max(heat, 0.0) if self.view.flag("gives_only") else heat


def _saturated(pressure: float) -> float:
    from brinewright.fluids import water_tables
    from brinewright.fluids.saturation import saturation_temperature

    return float(saturation_temperature(water_tables(), pressure))
