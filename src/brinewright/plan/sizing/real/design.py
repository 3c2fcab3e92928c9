"""One design under real laws: what was chosen, and every figure that follows from it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from brinewright.model.frozen import EMPTY
from brinewright.plan.sizing.real.coolant import Coolant
from brinewright.plan.sizing.real.loads import Load
from brinewright.plan.sizing.real.piping import Size
from brinewright.plan.sizing.real.sinks import Way
from brinewright.plan.sizing.real.steam import Charge, Expansion, Lift, Rock, boiling_point, relief_needed
from brinewright.plan.sizing.stock import Item

BAND, STAGE = 1.0, 0.5
"""Differential of the switches that start chillers of a bath, and between two of them [K]."""
OWN_CONTROL = 0.5
"""Swing of a supply that the chillers hold by their own control [K], common practice."""


@dataclass(frozen=True, kw_only=True)
class RealChoice:
    """What the search is free to choose."""

    liquid: str
    layout: str
    """"L3", "L4" or "L5": the layouts that need no junction with ranks."""
    chiller: Item
    working: int
    """Chillers that carry the load together [-]."""
    turbines: int
    rock: float = 1.0
    """Share of the other sources' flow that is used [-]."""


@dataclass(frozen=True, kw_only=True)
class Circuit:
    """Coolant and pipes of one circuit."""

    coolant: Coolant
    flow: float
    """[kg/s]"""
    main: Size
    length: float
    """Of the main there and back [m]."""
    pressure: float
    """That the pump gives at this flow [Pa]."""
    shaft: float
    """Power of the pump's shaft [W]."""
    electric: float
    """Electric power of the pump [W]."""


@dataclass(frozen=True, kw_only=True)
class RealDesign:
    """A choice that meets the brief, with its figures in SI."""

    choice: RealChoice
    loads: tuple[Load, ...]
    supply: float
    returned: float
    load: float
    """Of consumers, pump, pipes and tank at the worst hour [W]."""
    mean_load: float
    house: Circuit
    """The consumers' circuit."""
    chilling: Circuit
    """From the tank through the chillers and back; the same as `house` without a tank between them."""
    freeze_margin: float
    """Coldest wall above freezing [K]."""
    lift: Lift
    unit: float
    """Cooling of one chiller as it is built in [W]."""
    nominal: float
    """What that is called at its reference point [W]."""
    chillers: int
    """With the spare ones [-]."""
    vessel: Item
    vessel_temperature: float
    charge: Charge
    window: tuple[float, float]
    """Least and most water [kg]."""
    leak: float
    rejected: float
    chillers_power: float
    """At the worst hour [W]."""
    rocks: tuple[Rock, ...]
    rock_heat: float
    turbine: Expansion | None
    steam: float
    """To all turbines [kg/s]."""
    turbines_power: float
    exit_dryness: float
    condensed: float
    """Heat of the condensers [W]."""
    hottest: float
    """Vessel with one turbine less, or with none if there is one [K]."""
    relief: float
    """Pressure at which the vessel's relief opens [Pa]."""
    ambient: float
    """Around the vessel [K]."""
    field_circuit: Circuit | None
    cooling: tuple[float, float]
    """Liquid before and after the condensers [K]."""
    condenser: float
    """Conductance of each condenser [W/K]."""
    radiators: int
    tanks: Mapping[str, float]
    """Volume by use [m3]."""
    levels: Mapping[str, float]
    """Working level by use [-]."""
    tank_needs: Mapping[str, float] = field(default_factory=lambda: EMPTY)
    """Volume that each need asks of the buffer tank [m3]."""
    hold_up: float = 0.0
    """Of the consumers' loop without its tank [m3]."""
    expansion: float = 0.0
    """Volume of an expansion vessel for a closed loop [m3]."""
    auxiliaries: float = 0.0
    grid: float = 0.0
    """Power from outside at the worst hour [W]."""
    battery: float = 0.0
    """Energy [J]."""
    metals: Mapping[str, str] = field(default_factory=lambda: EMPTY)
    mass: float = 0.0
    """Of all metal, each kilogram times its scarcity [kg]."""
    ways: tuple[Way, ...] = ()
    starts: float = 0.0
    """Of one chiller, at the worst [1/s]."""

    @cached_property
    def warm_up(self) -> float:
        """Time from the surroundings' temperature with every source at work, [s]."""

        def source(temperature: float) -> float:
            rock = sum(rock.given(temperature) for rock in self.rocks)
            return rock + self.lift.rejected(self.load, temperature) - self.leak

        return self.charge.warm_up(self.ambient, self.vessel_temperature, source)

    @property
    def time_to_relief(self) -> float:
        """Time until the relief opens with all steam blocked and every source going on, [s]."""
        stored = self.charge.stored(boiling_point(self.relief)) - self.charge.stored(self.vessel_temperature)
        return stored / (self.rejected + self.rock_heat)

    @property
    def relief_valve(self) -> tuple[float, float]:
        """Steam that the relief valve must let out [kg/s] and its area [m2]."""
        return relief_needed(self.rejected + self.rock_heat, self.relief)

    @property
    def machines(self) -> int:
        """Return how many machines there are: chillers, turbines, pumps."""
        pumps = 1 + (self.choice.layout != "L3") + (self.field_circuit is not None)
        return self.chillers + self.choice.turbines + pumps

    def measures(self) -> Mapping[str, float]:
        """Return what the aims are judged by; less is better."""
        stages = BAND + STAGE * (self.choice.working - 1)
        return {
            "fewest machines": float(self.machines),
            "least power": round(self.chillers_power + self.auxiliaries - self.turbines_power, -3),
            "least material": round(self.mass, -1),
            "steadiest supply": OWN_CONTROL if self.choice.layout == "L3" else stages,
            "smallest tanks": round(sum(self.tanks.values()), 1),
            "simplest": float({"L3": 1, "L4": 2, "L5": 3}[self.choice.layout] + self.chillers),
        }
