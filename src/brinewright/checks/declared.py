"""A loop as the declared plant of the closed form: one vessel, alike chillers, alike turbines.

`declared_plant` says why where a loop is no such plant.  Heat that reaches the vessel from
elsewhere, or leaves it for a sink, is linear in the vessel's temperature; it is counted as part
of what the vessel exchanges with its surroundings, so that every closed form holds with it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from brinewright.catalogue import kind_named
from brinewright.checks.circulation import largest_flow
from brinewright.checks.decisions import Decision, drives, pass_decisions
from brinewright.checks.exchanges import Exchange, exchanges, target_of
from brinewright.checks.loads import (
    ambient_temperature,
    auxiliary_power,
    consumer_heat,
    flow_shares,
    shell_conductance,
)
from brinewright.checks.timeline import Timeline
from brinewright.laws import stylised
from brinewright.laws.plant import ClosedForm, Plant
from brinewright.model.case import Case
from brinewright.model.part_view import PartView

LEAST_LOSS = 1e-6
"""Stands for the conductance of a vessel that loses nothing but is heated from elsewhere [W/K]."""


@dataclass(frozen=True)
class NoPlant:
    """Why a loop is not the plant of the closed form."""

    reason: str


@dataclass(frozen=True, kw_only=True)
class Declared:
    """One vessel with alike chillers and turbines, in SI."""

    plant: Plant
    """At the mean load of the loop's schedules."""
    peak: float
    """Greatest load of all consumers at one time [W]."""
    least: float
    """Least load of all consumers at one time [W]."""
    chillers: int
    turbines: int
    vessel: str
    chiller_tags: tuple[str, ...]
    turbine_tags: tuple[str, ...]
    consumer_tags: tuple[str, ...]
    exchanges: tuple[Exchange, ...] = ()
    decisions: tuple[Decision, ...] = ()
    jacket_share: float = 1.0
    """Of the casings' heat that the loop's own liquid takes; it is counted in the plant's casing share."""
    constant_power: bool = False
    """Whether a running chiller draws its power whole, whatever flows through it."""
    notes: tuple[str, ...] = field(default=())
    """What the closed form leaves out here."""

    def effective(self, turbines: int, *, own_loss: bool = True, peak: bool = False) -> Plant:
        """Return the plant with the exchanges of its vessel counted in its loss and surroundings.

        UA' (T - T') = UA (T - T_amb) - Phi_o(T).  A source that can only give is left out where the
        vessel comes to rest above it.

        Parameters
        ----------
        turbines : that run
        own_loss : whether the vessel's own loss is counted
        peak : whether every chiller runs and every source stands at its peak, instead of the mean
        """
        acting = self.exchanges
        while True:
            plant = _counted(self.plant, acting, own_loss=own_loss, peak=peak)
            ratio = self.one_rejects / self.one_cools
            heat = self.all_on if peak else ratio * stylised.loop_load(plant, turbines)
            temperature, _ = stylised.vessel_rest(plant, heat, turbines)
            idle = [e for e in acting if e.gives_only and e.conductance > 0.0 and temperature > e.hottest]
            if not idle:
                return plant
            acting = tuple(exchange for exchange in acting if exchange not in idle)

    def closed_form(self, turbines: int | None = None) -> ClosedForm:
        """Return all figures of the closed form, other heat into the vessel counted.

        Parameters
        ----------
        turbines : by default as many as the loop has
        """
        count = self.turbines if turbines is None else turbines
        if not self.exchanges:
            return stylised.closed_form(self.plant, count)
        own = stylised.closed_form(self.plant, count)
        return replace(
            stylised.closed_form(self.effective(count), count),
            warm_up_energy=own.warm_up_energy,
            warm_up_fastest=own.warm_up_fastest,
            warm_up_slowest=own.warm_up_slowest,
            carnot_bound_to_surroundings=own.carnot_bound_to_surroundings,
            peak_temperature=self.bound(count),
            peak_with_one_less=self.bound(count - 1),
        )

    @property
    def all_on(self) -> float:
        """Return the heat of every chiller at full flow into the vessel [W]."""
        return self.chillers * self.one_rejects

    @property
    def one_rejects(self) -> float:
        """Return the heat of one chiller at full flow into the vessel [W]."""
        plant = self.plant
        return self.one_cools + plant.heat_share * plant.chiller_power + plant.chiller_own_heat

    @property
    def one_cools(self) -> float:
        """Return the cooling of one chiller at full flow [W]."""
        return self.plant.rated_flow * self.plant.heat_capacity * self.plant.drop

    def bound(self, turbines: int) -> float:
        """Return the bound on the vessel with every chiller running and every source at its peak [K].

        The vessel's own loss is left out.

        Parameters
        ----------
        turbines : that run
        """
        plant = self.effective(turbines, own_loss=False, peak=True)
        return stylised.vessel_rest(plant, self.all_on, turbines)[0]


def _counted(plant: Plant, acting: Sequence[Exchange], *, own_loss: bool, peak: bool) -> Plant:
    loss = plant.vessel_loss if own_loss else 0.0
    weighted = loss * plant.surroundings
    for exchange in acting:
        loss += exchange.conductance
        weighted += exchange.conductance * (exchange.hottest if peak else exchange.contact)
        weighted += exchange.most if peak else exchange.fixed
    if loss == 0.0 == weighted:
        return replace(plant, vessel_loss=0.0)
    loss = max(loss, LEAST_LOSS)
    return replace(plant, vessel_loss=loss, surroundings=weighted / loss)


def declared_plant(case: Case) -> Declared | NoPlant:
    """Return a loop as the plant of the closed form, or why it is none.

    Parameters
    ----------
    case : the loop under judgement; no run is made

    Example
    -------
    >>> import brinewright as bw
    >>> from brinewright.checks import LoopCase
    >>> case = LoopCase(bw.read_loop(bw.scenario("kettle-ridge")), bw.read_rulebook("kettle"))
    >>> plant = declared_plant(case)
    >>> plant.chillers, plant.turbines, round(plant.plant.flow), round(plant.closed_form().mean_passes, 2)
    (5, 3, 20, 1.32)
    """
    if case.rules.world != "stylised":
        return NoPlant("its laws are those of physics, not declared ones")
    vessels = [view for view in case.parts if view.declares("water_heat_capacity")]
    if len(vessels) != 1 or not vessels[0].gives("level"):
        return NoPlant(f"it has {len(vessels)} steam vessels, and the closed form is that of one")
    vessel = vessels[0]
    chillers = [view for view in case.parts if view.declares("drop")]
    turbines = [view for view in case.parts if view.declares("threshold")]
    for views, what in ((chillers, "chillers"), (turbines, "turbines")):
        if not views:
            return NoPlant(f"it has no {what}")
        if not _alike(views):
            return NoPlant(f"its {what} are not all alike")
    outside = [view.tag for view in chillers if view.inside != vessel.tag]
    if outside:
        return NoPlant(f"{outside[0]} does not stand in {vessel.tag}")
    liquid = chillers[0].filling().name
    consumers = [view for view in case.playing("consumer") if view.connected("in")]
    if not consumers:
        return NoPlant("nothing in it is cooled")
    behind = [view.tag for view in consumers if view.filling().name != liquid]
    if behind:
        return NoPlant(f"{behind[0]} is not cooled by the liquid that the chillers cool")
    decisions = pass_decisions(case, chillers)
    if not decisions:
        return NoPlant("no switch decides at a temperature what is chilled")
    return _plant(case, vessel, chillers, turbines, consumers, decisions)


def _plant(
    case: Case,
    vessel: PartView,
    chillers: Sequence[PartView],
    turbines: Sequence[PartView],
    consumers: Sequence[PartView],
    decisions: tuple[Decision, ...],
) -> Declared | NoPlant:
    timeline = Timeline(case.loop)
    chiller, turbine = chillers[0], turbines[0]
    flow = largest_flow(case.views, case.lines, {view.tag for view in consumers})
    if flow <= 0.0:
        return NoPlant("no liquid can go round through the consumers")
    deciding = [decision for decision in decisions if decision.after_chillers] or list(decisions)
    set_point = min(decision.setting for decision in deciding)
    ambient = ambient_temperature(case, timeline)
    supply = set_point - 0.5 * chiller.number("drop")
    shares = flow_shares(consumers, flow)
    pumps = [view for view in case.parts if view.declares("heat_share") and view.declares("power")]
    stirred = sum(view.number("power") * view.number("heat_share") * view.count for view in pumps)
    elsewhere = sum(
        timeline.mean(view.raw("power"))
        for view in case.parts
        if view.law == "fixed power" and target_of(view) not in ("", vessel.tag)
    )

    def load(time: float) -> float:
        return sum(
            consumer_heat(view, timeline, time, supply, share, ambient)
            for view, share in zip(consumers, shares, strict=True)
        )

    least, mean, most = timeline.span(load)
    jacketed, share, fixed = _casing(case, turbine, turbines)
    plant = Plant(
        load=mean + stirred + elsewhere,
        flow=flow,
        heat_capacity=chiller.heat_capacity,
        set_point=set_point,
        drop=chiller.number("drop"),
        rated_flow=chiller.number("capacity"),
        chiller_power=chiller.number("power"),
        heat_share=chiller.number("power_share"),
        chiller_own_heat=chiller.number("self_heat"),
        vessel_heat_capacity=vessel.number("water_heat_capacity"),
        latent=vessel.number("latent_heat") if vessel.declares("latent_heat") else 0.0,
        charge=vessel.number("water_mass"),
        metal_capacity=_metal(vessel) + sum(_metal(view) * view.count for view in chillers),
        vessel_loss=vessel.number("loss_conductance"),
        surroundings=ambient,
        threshold=turbine.number("threshold"),
        returned=turbine.number("condensate_temperature"),
        turbine_flow=turbine.number("steam_flow"),
        turbine_efficiency=turbine.number("efficiency"),
        turbine_limit=turbine.number("highest_power"),
        casing_share=share,
        casing_fixed=fixed,
        auxiliaries=auxiliary_power(case, timeline),
    )
    return Declared(
        plant=plant,
        peak=most + stirred + elsewhere,
        least=least + stirred + elsewhere,
        chillers=sum(view.count for view in chillers),
        turbines=sum(view.count for view in turbines),
        vessel=vessel.tag,
        chiller_tags=tuple(view.tag for view in chillers),
        turbine_tags=tuple(view.tag for view in turbines),
        consumer_tags=tuple(view.tag for view in consumers),
        exchanges=exchanges(case, vessel.tag, timeline),
        decisions=decisions,
        jacket_share=jacketed,
        constant_power=chiller.word("power_mode") == "constant",
        notes=_notes(case, chiller, jacketed),
    )


def _notes(case: Case, chiller: PartView, jacketed: float) -> tuple[str, ...]:
    found = ["the exchange of pipe runs and tanks with their surroundings"]
    if chiller.word("power_mode") == "constant":
        found.append("power that chillers draw while less than their full flow passes")
    if 0.0 < jacketed < 1.0:
        found.append("heat that the hall gives to jacketed casings")
    if any(drive.target in {view.tag for view in case.playing("consumer")} for drive in drives(case)):
        found.append("the times at which switches stop consumers")
    return tuple(found)


def _alike(views: Sequence[PartView]) -> bool:
    """Tell whether machines obey one law with the same numbers."""
    kind = kind_named(views[0].kind)
    names = [p.name for p in (*kind.law(views[0].law).parameters, *kind.parameters) if p.name != "hold_up"]

    def numbers(view: PartView) -> list[object]:
        return [view.law, *(view.raw(name) for name in names)]

    return all(view.kind == kind.name and numbers(view) == numbers(views[0]) for view in views)


def _metal(view: PartView) -> float:
    """Return the heat capacity of a part's metal, one unit of a bank [J/K]."""
    return view.number("metal_mass") * view.metal_heat_capacity("metal_heat_capacity")


def _casing(case: Case, turbine: PartView, turbines: Sequence[PartView]) -> tuple[float, float, float]:
    """Return the share of a casing's heat that the loop takes, and share and fixed heat as the loop's load.

    A casing between a jacket and its hall or shell gives to both by their conductances.
    """
    cooled = sum(view.count for view in turbines if view.connected("in") and view.connected("out"))
    jacket = turbine.number("jacket_conductance")
    hall = shell_conductance(case, turbine)
    to_liquid = jacket / (jacket + hall) if jacket > 0.0 else 0.0
    to_liquid *= cooled / sum(view.count for view in turbines)
    base = {
        "heat taken": 1.0,
        "power": turbine.number("efficiency"),
        "what is left": 1.0 - turbine.number("efficiency"),
    }[turbine.word("casing_share_of")]
    return (
        to_liquid,
        to_liquid * base * turbine.number("casing_share"),
        to_liquid * turbine.number("casing_heat"),
    )
