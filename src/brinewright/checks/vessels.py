"""A steam vessel with everything that heats it and draws from it, as a balance over its temperature."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from brinewright.checks.decisions import sensed_tag
from brinewright.checks.declared import Declared, declared_plant
from brinewright.checks.exchanges import Exchange, exchanges, target_of
from brinewright.checks.loads import ambient_temperature
from brinewright.checks.real_machines import Chiller, StreamSource, Turbine
from brinewright.checks.timeline import Timeline
from brinewright.laws import threshold
from brinewright.model.case import Case
from brinewright.model.part_view import PartView

HOTTEST = 3000.0
"""A vessel that would get hotter has no rest [K]."""


class Source(Protocol):
    """What heats a vessel from outside."""

    @property
    def tag(self) -> str:
        """Its tag."""

    def heat(self, temperature: float, *, peak: bool = False) -> float:
        """Return the heat that it gives to a vessel at a temperature [W]."""


@dataclass(frozen=True)
class Trip:
    """A high switch on a vessel that stops a machine or a source."""

    tag: str
    setting: float
    """Vessel temperature at which it acts [K]."""
    stops: frozenset[str]


class Vessel:
    """One vessel of a case; stylised or real.  Heat flows in W, temperatures in K."""

    def __init__(self, case: Case, view: PartView, extra: float = 0.0) -> None:
        self.case = case
        self.view = view
        self.tag = view.tag
        self.extra = extra
        """Heat from outside that is supposed beside all that heats it [W]."""
        self._rejected: dict[int, float] = {}
        self.timeline = Timeline(case.loop)
        self.surroundings = ambient_temperature(case, self.timeline)
        self.chillers = [chiller for chiller in case.playing("cooler") if chiller.inside == view.tag]
        self.turbines = [
            part for part in case.parts if view.tag in part.refers("vessel") and part.gives("generated")
        ]
        self.is_real = case.rules.world == "real"

    @property
    def count(self) -> int:
        """Return how many turbines draw from it."""
        return sum(view.count for view in self.turbines)

    @cached_property
    def declared(self) -> Declared | None:
        """Return the whole loop as a declared plant, where it is one."""
        found = self.case.once(declared_plant)
        return found if isinstance(found, Declared) else None

    @cached_property
    def sources(self) -> Sequence[Source]:
        """Return what heats it beside the chillers."""
        if not self.is_real:
            return [e for e in exchanges(self.case, self.tag, self.timeline) if e.fixed >= 0.0]
        return [
            StreamSource(view, self.timeline)
            for view in self.case.parts
            if target_of(view) == self.tag and view.declares("effectiveness")
        ]

    @cached_property
    def _declared_sinks(self) -> Sequence[Exchange]:
        if self.is_real:
            return []
        return [e for e in exchanges(self.case, self.tag, self.timeline) if e.fixed < 0.0]

    @cached_property
    def _machines(self) -> tuple[list[Chiller], list[Turbine]]:
        return (
            [Chiller(self.case, view) for view in self.chillers],
            [Turbine(self.case, view) for view in self.turbines],
        )

    @cached_property
    def threshold(self) -> float:
        """Return the vessel temperature at which the first turbine starts; infinite without one [K]."""
        if self.is_real:
            return min((turbine.starts for turbine in self._machines[1]), default=float("inf"))
        return min((view.number("threshold") for view in self.turbines), default=float("inf"))

    def chillers_mean(self, temperature: float, turbines: int) -> float:
        """Return the heat of its chillers at the loop's mean load [W]; casings of turbines are part of it."""
        if self.declared is not None:
            count = max(turbines, 1)
            if count not in self._rejected:
                self._rejected[count] = self.declared.closed_form(count).rejected
            return self._rejected[count]
        if self.is_real:
            return sum(chiller.rejects_mean(temperature) for chiller in self._machines[0])
        seen = (self.case.seen(view.tag, "reject") for view in self.chillers)
        return sum(each.mean for each in seen if each is not None)

    def chillers_full(self, temperature: float, without: frozenset[str] = frozenset()) -> float:
        """Return the heat of its chillers at full load, those that are stopped left out [W]."""
        if self.is_real:
            running = [chiller for chiller in self._machines[0] if chiller.view.tag not in without]
            return sum(chiller.rejects_full(temperature) for chiller in running)
        return sum(_one_rejects(view) * view.count for view in self.chillers if view.tag not in without)

    def others(
        self, temperature: float, *, peak: bool = False, without: frozenset[str] = frozenset()
    ) -> float:
        """Return the heat of everything else that heats it, less what declared sinks take [W]."""
        given = sum(s.heat(temperature, peak=peak) for s in self.sources if s.tag not in without)
        # more heat comes as that of the sources does, and is shut off with them
        given += 0.0 if any(source.tag in without for source in self.sources) else self.extra
        return given + sum(sink.heat(temperature) for sink in self._declared_sinks)

    def loss(self, temperature: float) -> float:
        """Return its loss to its surroundings [W]."""
        return self.view.number("loss_conductance") * (temperature - self.surroundings)

    def taken(self, temperature: float, turbines: int) -> float:
        """Return what turbines take while they run, whatever their threshold [W]."""
        if self.is_real:
            return self._shared_out(turbines, [machine.takes(temperature) for machine in self._machines[1]])
        latent = self.view.number("latent_heat") if self.view.declares("latent_heat") else 0.0
        heat = self.view.number("water_heat_capacity")
        each = [
            threshold.heat_taken(
                view.number("steam_flow"), heat, temperature, view.number("condensate_temperature"), latent
            )
            for view in self.turbines
        ]
        return self._shared_out(turbines, each)

    def _shared_out(self, turbines: int, each: Sequence[float]) -> float:
        """Return the sum over the weakest turbines: a lost one is the strongest."""
        units = sorted(one for one, view in zip(each, self.turbines, strict=True) for _ in range(view.count))
        extra = [units[-1]] * (turbines - len(units)) if units else []
        return sum((units + extra)[:turbines])

    @cached_property
    def limits(self) -> Sequence[tuple[float, str]]:
        """Return the limits of all metal at its temperature, the lowest first: [K], tag."""
        named = [
            (view.limit(name), view.tag)
            for name, views in (("metal_limit", [self.view, *self.chillers]), ("casing_limit", self.turbines))
            for view in views
        ]
        return sorted((limit, tag) for limit, tag in named if limit > 0.0)

    @cached_property
    def relief(self) -> float:
        """Return the temperature at which something relieves it; infinite where nothing does [K]."""
        found = [float("inf")]
        if self.view.declares("relief_temperature") and self.view.has("relief_temperature"):
            found.append(self.view.number("relief_temperature"))
        if self.view.declares("relief_pressure") and self.view.has("relief_pressure"):
            found.append(saturated(self.view.number("relief_pressure")))
        for view in self.case.parts:
            if self.tag in view.refers("guards"):
                if view.declares("opens_at"):
                    found.append(view.number("opens_at"))
                elif view.declares("set_pressure"):
                    found.append(saturated(view.number("set_pressure")))
        return min(found)

    @cached_property
    def trips(self) -> Sequence[Trip]:
        """Return the high switches on its temperature or pressure that stop machines or sources."""
        found = []
        for switch in self.case.loop.switches:
            stops = frozenset(drive.target for drive in switch.drives if drive.made == "stop")
            if sensed_tag(switch) != self.tag or switch.sense != "high" or not stops:
                continue
            setting = switch.setting + switch.differential
            if switch.quantity == "pressure":
                setting = saturated(setting)
            elif switch.quantity != "temperature":
                continue
            found.append(Trip(switch.tag, setting, stops))
        return sorted(found, key=lambda trip: trip.setting)

    def stopped_at(self, temperature: float) -> frozenset[str]:
        """Return the tags of what its high switches have stopped when it is this hot."""
        return frozenset().union(*(trip.stops for trip in self.trips if trip.setting <= temperature))

    @cached_property
    def metal_capacity(self) -> float:
        """Return the heat capacity of its metal and of the chillers in it [J/K]."""
        return sum(
            view.number("metal_mass") * view.metal_heat_capacity("metal_heat_capacity") * view.count
            for view in (self.view, *self.chillers)
        )

    def stored(self, low: float, high: float) -> float:
        """Return the heat that it takes from one temperature to another [J]."""
        metal = self.metal_capacity * (high - low)
        mass = self.view.number("water_mass")
        if not self.is_real:
            return metal + mass * self.view.number("water_heat_capacity") * (high - low)
        return metal + mass * (self._energy(high) - self._energy(low))

    def _energy(self, temperature: float) -> float:
        from brinewright.fluids import water_tables
        from brinewright.fluids.saturation import two_phase_energy
        from brinewright.fluids.steam import steam_energy

        specific = self.view.number("volume") / self.view.number("water_mass")
        energy, _, dryness = two_phase_energy(water_tables(), temperature, specific)
        if dryness > 1.0:
            return float(steam_energy(water_tables(), temperature, 1.0 / specific)[0])
        return float(energy)


def vessels(case: Case) -> Sequence[Vessel]:
    """Return the steam vessels of a loop, in order of their tags.

    Example
    -------
    >>> import brinewright as bw
    >>> from brinewright.checks import LoopCase
    >>> case = LoopCase(bw.read_loop(bw.scenario("kettle-ridge")), bw.read_rulebook("kettle"))
    >>> [(vessel.tag, vessel.count, vessel.limits[0]) for vessel in vessels(case)]
    [('VE-301', 3, (478.15, 'CH-201'))]
    """
    return [
        Vessel(case, view) for view in case.parts if view.declares("water_mass") and view.gives("steam out")
    ]


def _one_rejects(view: PartView) -> float:
    duty = view.number("capacity") * view.heat_capacity * view.number("drop")
    return duty + view.number("power_share") * view.number("power") + view.number("self_heat")


def saturated(pressure: float) -> float:
    """Return the boiling temperature of water at a pressure [K]."""
    from brinewright.fluids import water_tables
    from brinewright.fluids.saturation import saturation_temperature

    return float(saturation_temperature(water_tables(), pressure))
