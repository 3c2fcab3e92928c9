"""The vessel, its turbines and their casings in the long run, in closed form."""

import math
from dataclasses import dataclass
from functools import cached_property

from brinewright.plan.sizing.needs import Heating
from brinewright.plan.sizing.stock import Item


@dataclass(frozen=True)
class Steam:
    """A vessel of declared laws with its sources of heat and one sort of turbine."""

    vessel: Item
    turbine: Item | None
    heatings: tuple[Heating, ...]
    ambient: float
    """[K]"""

    @cached_property
    def heat_capacity(self) -> float:
        """Of the vessel's content [J/(kg K)]."""
        return self.vessel.number("water_heat_capacity")

    @cached_property
    def loss(self) -> float:
        """Conductance of the vessel to its surroundings [W/K]."""
        return self.vessel.number("loss_conductance")

    @cached_property
    def latent(self) -> float:
        """Latent heat that a turbine takes by mass, 0 in a world without [J/kg]."""
        return self.vessel.number("latent_heat", 0.0)

    def _of_turbine(self, name: str, otherwise: float | None = None) -> float:
        return self.turbine.number(name, otherwise) if self.turbine is not None else 0.0

    @cached_property
    def drawn(self) -> float:
        """Flow that one turbine draws [kg/s]."""
        return self._of_turbine("steam_flow")

    @cached_property
    def returned(self) -> float:
        """Temperature of what comes back [K]."""
        return self._of_turbine("condensate_temperature")

    @cached_property
    def threshold(self) -> float:
        """Temperature above which turbines start [K]."""
        return self._of_turbine("threshold")

    @cached_property
    def stops(self) -> float:
        """Temperature below which turbines stop [K]."""
        return self.threshold - self._of_turbine("differential", 0.0)

    @cached_property
    def efficiency(self) -> float:
        """Power over heat taken [-]."""
        return self._of_turbine("efficiency")

    @cached_property
    def most_power(self) -> float:
        """Largest power of one turbine [W]."""
        return self._of_turbine("highest_power")

    @cached_property
    def casing_share(self) -> tuple[str, float, float]:
        """What the casing's share is a share of, the share [-], and what comes beside it [W]."""
        if self.turbine is None:
            return "power", 0.0, 0.0
        share, fixed = self.turbine.number("casing_share"), self.turbine.number("casing_heat", 0.0)
        return self.turbine.word("casing_share_of"), share, fixed

    def taken(self, temperature: float) -> float:
        """Heat that one turbine takes while it runs, [W].

        Phi_t = q (c (T - T_ret) + h_fg)
        """
        return self.drawn * (self.heat_capacity * (temperature - self.returned) + self.latent)

    def power(self, taken: float) -> float:
        """Power of one turbine, [W].

        P = min(P_max, eta Phi_t)
        """
        return min(self.most_power, self.efficiency * taken)

    def casing(self, taken: float) -> float:
        """Heat into the casing of one running turbine, [W].

        Phi_case = phi x (what its share is a share of) + Phi_fix
        """
        of, share, fixed = self.casing_share
        if of == "heat taken":
            return share * taken + fixed
        return share * (self.power(taken) if of == "power" else taken - self.power(taken)) + fixed

    def brought(self, temperature: float, *, most: bool = False) -> float:
        """Heat that sources bring into a vessel of this temperature, [W]; the mean or the most of a day."""
        total = self._powers(most=most)
        for heating in self.heatings:
            contact = heating.conductance * (heating.temperature - temperature)
            total += max(contact, 0.0) if heating.gives_only else contact
        return total

    def balance(self, rejected: float, temperature: float, turbines: float, *, most: bool = False) -> float:
        """Heat that stays in a vessel of this temperature with turbines running, [W]."""
        return (
            rejected
            + self.brought(temperature, most=most)
            - self.loss * (temperature - self.ambient)
            - turbines * self.taken(temperature)
        )

    def _root(self, rejected: float, turbines: float, *, most: bool) -> float:
        """Temperature at which the heat balances, [K]; linear while the contacts stay as they are."""
        active = [heating for heating in self.heatings if heating.conductance > 0.0]
        powers = self._powers(most=most)
        carried = returned = drawn = 0.0
        if turbines and self.turbine is not None:
            drawn = turbines * self.drawn
            carried = drawn * self.heat_capacity
            returned = self.returned
        while True:
            touch = sum(heating.conductance for heating in active)
            conductance = carried + self.loss + touch
            heat = (
                rejected
                + powers
                + carried * returned
                - drawn * self.latent
                + self.loss * self.ambient
                + sum(heating.conductance * heating.temperature for heating in active)
            )
            if conductance <= 0.0:
                return math.inf if heat > 0.0 else self.ambient
            temperature = heat / conductance
            kept = [h for h in active if not (h.gives_only and h.temperature < temperature)]
            if len(kept) == len(active):
                return temperature
            active = kept

    def _powers(self, *, most: bool) -> float:
        return self._most_power if most else self._mean_power

    @cached_property
    def _most_power(self) -> float:
        return sum(max(heating.powers) for heating in self.heatings)

    @cached_property
    def _mean_power(self) -> float:
        return sum(sum(heating.powers) / len(heating.powers) for heating in self.heatings)

    def rest(self, rejected: float, turbines: int, *, most: bool = False) -> tuple[float, float]:
        """Temperature at which the vessel rests and the share of time that turbines run, [K] and [-].

        T : Phi + Phi_sources(T) = UA (T - T_amb) + N Phi_t(T)   if that is above where turbines stop
        T = T_thr - d/2, u = (Phi + Phi_sources - UA (T - T_amb)) / (N Phi_t)   otherwise
        """
        idle = self._root(rejected, 0, most=most)
        if not turbines or self.turbine is None:
            return idle, 0.0
        if idle <= self.threshold:
            return idle, 0.0
        running = self._root(rejected, turbines, most=most)
        if running >= self.stops:
            return running, 1.0
        middle = 0.5 * (self.threshold + self.stops)
        surplus = self.balance(rejected, middle, 0.0, most=most)
        return middle, surplus / (turbines * self.taken(middle))


@dataclass(frozen=True)
class Cooled:
    """How casings give their heat away."""

    jacket: bool = False
    """Whether the return line leads through their jackets."""
    gas: str = ""
    """Gas of the enclosures; empty where they stand in the open hall."""
    enclosures: int = 0

    @property
    def words(self) -> str:
        """Return how a sentence calls it."""
        around = f"in {self.gas}" if self.gas else "in the open hall"
        return f"{around}, cooled by the return line" if self.jacket else around


@dataclass(frozen=True)
class Casings:
    """Casings of all turbines at one moment."""

    heat: float
    """Into them [W]."""
    to_loop: float
    """Of that, to the loop [W]."""
    temperature: float
    """[K]"""
    shell: float
    """Temperature of the shells; that of the hall without [K]."""


def casings(
    steam: Steam,
    cooled: Cooled,
    enclosure: Item | None,
    factor: float,
    turbines: int,
    heat: float,
    inlet: float,
    carried: float,
) -> Casings:
    """Return where the casings' heat goes.

    Phi = (T - T_in) / (1/G_j + 1/(q c)) + G_h (T - T_amb),  G_h = n_e / (1/(f G_e) + 1/G_s)

    Parameters
    ----------
    steam : vessel and turbine
    cooled : how they are cooled
    enclosure : the entry of the enclosures, if there are any
    factor : of their gas [-]
    turbines : in number [-]
    heat : into all casings [W]
    inlet : coolant before the jackets [K]
    carried : heat capacity flow of that coolant [W/K]
    """
    if not turbines or steam.turbine is None:
        return Casings(0.0, 0.0, steam.ambient, steam.ambient)
    jacket = turbines * steam.turbine.number("jacket_conductance", 0.0) if cooled.jacket else 0.0
    to_loop = 1.0 / (1.0 / jacket + 1.0 / carried) if jacket > 0.0 else 0.0
    hall = turbines * steam.turbine.number("hall_conductance")
    through = sheds = 0.0
    if cooled.enclosures and enclosure is not None:
        through = cooled.enclosures * factor * enclosure.number("conductance")
        sheds = cooled.enclosures * enclosure.number("shell_conductance")
        hall = through * sheds / (through + sheds) if through > 0.0 else 0.0
    if to_loop + hall <= 0.0:
        return Casings(heat, 0.0, math.inf if heat > 0.0 else steam.ambient, steam.ambient)
    temperature = (heat + to_loop * inlet + hall * steam.ambient) / (to_loop + hall)
    shell = steam.ambient + hall * (temperature - steam.ambient) / sheds if sheds > 0.0 else steam.ambient
    return Casings(heat, to_loop * (temperature - inlet), temperature, shell)
