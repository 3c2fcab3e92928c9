"""The whole declared plant in closed form: one loop, its chillers, one vessel and its turbines.

All figures are long-run means of a plant with a mixed return tank; a run hunts about them.
"""

import math
from dataclasses import replace

from brinewright.laws import carnot, fixed_drop, passes, threshold
from brinewright.laws.lump import time_to_reach
from brinewright.laws.plant import SMALL_PLANT, ClosedForm, Plant

__all__ = [
    "SMALL_PLANT",
    "ClosedForm",
    "Plant",
    "closed_form",
    "load_carried",
    "loop_load",
    "peak_temperature",
    "trip_time",
    "turbines_for",
    "vessel_rest",
    "with_wanted_supply",
]


def _shifted_return(plant: Plant) -> float:
    """Returned temperature that counts latent heat as sensible, [K]."""
    return plant.returned - plant.latent / plant.vessel_heat_capacity


def _rejected_by_one(plant: Plant) -> float:
    """Heat of one chiller at full flow into the vessel, [W]."""
    duty = fixed_drop.cooling_duty(plant.rated_flow, plant.heat_capacity, plant.drop)
    return fixed_drop.heat_rejected(duty, plant.chiller_power, plant.heat_share, plant.chiller_own_heat)


def _reject_ratio(plant: Plant) -> float:
    """Heat into the vessel per heat taken from the loop, [-]."""
    return _rejected_by_one(plant) / fixed_drop.cooling_duty(
        plant.rated_flow, plant.heat_capacity, plant.drop
    )


def _heat_share(plant: Plant) -> float:
    """Share of the chillers' power that appears in the vessel, own heat counted, [-]."""
    return plant.heat_share + plant.chiller_own_heat / plant.chiller_power


def _carried(plant: Plant, turbines: int) -> float:
    """Heat capacity flow of all turbines, [W/K]."""
    return turbines * plant.turbine_flow * plant.vessel_heat_capacity


def vessel_rest(plant: Plant, rejected: float, turbines: int) -> tuple[float, float]:
    """Temperature at which the vessel rests and the duty of its turbines, [K] and [-].

    `threshold.vessel_rest` with latent heat counted where the plant has it.

    Example
    -------
    >>> temperature, duty = vessel_rest(SMALL_PLANT, 100e3, 2)
    >>> temperature, round(duty, 3)
    (400.0, 0.228)
    """
    return threshold.vessel_rest(
        rejected,
        _carried(plant, turbines),
        _shifted_return(plant),
        plant.vessel_loss,
        plant.surroundings,
        plant.threshold,
    )


def peak_temperature(plant: Plant, rejected: float, turbines: int) -> float:
    """Bound on the vessel's temperature at a heat input, its own loss left out, [K].

    T = max(T_thr, T_ret + Phi / (N q c)), infinite without a turbine

    Example
    -------
    >>> round(peak_temperature(SMALL_PLANT, 672e3, 2), 1)
    430.0
    """
    return threshold.vessel_rest(
        rejected,
        _carried(plant, turbines),
        _shifted_return(plant),
        0.0,
        plant.surroundings,
        plant.threshold,
    )[0]


def loop_load(plant: Plant, turbines: int) -> float:
    """Load of the loop with the heat of its casings, [W].

    `threshold.loop_load_with_loss`

    Example
    -------
    >>> round(loop_load(SMALL_PLANT, 2) / 1e3, 1)
    531.7
    """
    return threshold.loop_load_with_loss(
        plant.load,
        turbines * plant.casing_fixed,
        plant.casing_share,
        _reject_ratio(plant),
        _carried(plant, turbines),
        _shifted_return(plant),
        plant.vessel_loss,
        plant.surroundings,
        plant.threshold,
    )


def load_carried(plant: Plant, chillers: int, turbines: int) -> float:
    """Largest consumer load that a number of chillers holds for ever, [W].

    Phi = Phi_ch - Phi_case(Phi_ch)

    Notes
    -----
    What must be shed when a chiller is lost is the plant's load less this.

    Example
    -------
    >>> round(load_carried(SMALL_PLANT, 3, 2) / 1e3, 1)
    451.0
    """
    cooling = chillers * fixed_drop.cooling_duty(plant.rated_flow, plant.heat_capacity, plant.drop)
    rejected = _reject_ratio(plant) * cooling
    temperature, duty = vessel_rest(plant, rejected, turbines)
    taken = max(0.0, rejected - plant.vessel_loss * (temperature - plant.surroundings)) if duty > 0.0 else 0.0
    return cooling - threshold.casing_heat(taken, plant.casing_share, turbines * plant.casing_fixed)


def turbines_for(plant: Plant, limit: float, steady_margin: float, contingency_margin: float) -> int:
    """Fewest turbines that keep the vessel below its material limit, [-].

    With every chiller running: T(N) <= limit - steady_margin, T(N - 1) <= limit - contingency_margin

    Parameters
    ----------
    plant : the plant
    limit : of the weakest material in the vessel [K]
    steady_margin : 15 as a rule [K]
    contingency_margin : with one turbine out, 5 as a rule; -math.inf if that need not be survived [K]

    Notes
    -----
    0 where no number of turbines does it: the threshold itself is too hot for the material.

    Example
    -------
    >>> turbines_for(SMALL_PLANT, 448.15, 15.0, 5.0)
    3
    """
    for turbines in range(1, 1000):
        chillers = _chillers(plant, loop_load(plant, turbines))
        rejected = chillers * _rejected_by_one(plant)
        steady = peak_temperature(plant, rejected, turbines)
        contingency = peak_temperature(plant, rejected, turbines - 1)
        if steady <= limit - steady_margin and contingency <= limit - contingency_margin:
            return turbines
    return 0


def _chillers(plant: Plant, load: float) -> int:
    mean = passes.mean_passes(load, plant.flow, plant.heat_capacity, plant.drop)
    return passes.chillers_needed(mean, plant.flow, plant.rated_flow)


def trip_time(plant: Plant, turbines: int, limit: float) -> float:
    """Time from the loss of one turbine until the vessel reaches a limit, at the mean heat, [s].

    Starts at the mean temperature with all turbines; casing heat held at its mean.

    Notes
    -----
    A hunting plant may be some 10 K above or below its mean when the turbine trips.

    Example
    -------
    >>> round(trip_time(SMALL_PLANT, 2, 448.15))
    863
    """
    load = loop_load(plant, turbines)
    rejected = _reject_ratio(plant) * load
    start, _ = vessel_rest(plant, rejected, turbines)
    carried = _carried(plant, turbines - 1)
    conductance = carried + plant.vessel_loss
    heat = rejected + carried * (_shifted_return(plant) - plant.surroundings)
    capacity = plant.charge * plant.vessel_heat_capacity + plant.metal_capacity
    return time_to_reach(limit, start, heat, conductance, plant.surroundings, capacity)


def with_wanted_supply(plant: Plant, supply: float, turbines: int) -> Plant:
    """Return the plant with the set point that gives a wanted mean supply temperature [K].

    Example
    -------
    >>> round(with_wanted_supply(SMALL_PLANT, 288.15, 2).set_point, 2)
    290.3
    """
    mean = passes.mean_passes(loop_load(plant, turbines), plant.flow, plant.heat_capacity, plant.drop)
    return replace(plant, set_point=passes.set_point_for(supply, plant.drop, mean))


def closed_form(plant: Plant, turbines: int) -> ClosedForm:
    """Everything that can be said of a declared plant without a run.

    Parameters
    ----------
    plant : the plant
    turbines : at least 1 [-]

    Notes
    -----
    Chillers are staged, so their power follows the flow through them. Assumes chillers enough
    for the mean; a ring of which the switch stands before the chillers needs more of them
    (`passes.chillers_needed_idling`).

    Example
    -------
    >>> result = closed_form(SMALL_PLANT, 2)
    >>> result.chillers, round(result.mean_passes, 3), round(result.vessel_temperature, 1)
    (4, 2.215, 415.9)

    References
    ----------
    Closed form: the balances of `passes`, `fixed_drop`, `threshold` and `carnot`.
    """
    duty = fixed_drop.cooling_duty(plant.rated_flow, plant.heat_capacity, plant.drop)
    performance = duty / plant.chiller_power
    ratio = _reject_ratio(plant)
    load = loop_load(plant, turbines)
    rejected = ratio * load
    temperature, turbine_duty = vessel_rest(plant, rejected, turbines)
    leak = plant.vessel_loss * (temperature - plant.surroundings)
    taken = rejected - leak if turbine_duty > 0.0 else 0.0
    taken_running = threshold.heat_taken(
        plant.turbine_flow, plant.vessel_heat_capacity, temperature, plant.returned, plant.latent
    )
    casings = threshold.casing_heat(taken, plant.casing_share, turbines * plant.casing_fixed)
    mean = passes.mean_passes(load, plant.flow, plant.heat_capacity, plant.drop)
    chillers = passes.chillers_needed(mean, plant.flow, plant.rated_flow)
    hot, supply = passes.resting_point(plant.set_point, plant.drop, mean)
    running = mean * plant.flow / plant.rated_flow
    chillers_power = running * plant.chiller_power
    power = threshold.shaft_power(taken_running, plant.turbine_efficiency, plant.turbine_limit)
    turbines_power = turbines * turbine_duty * power
    all_on = chillers * _rejected_by_one(plant)
    capacity = plant.charge * plant.vessel_heat_capacity + plant.metal_capacity
    energy = capacity * (plant.threshold - plant.surroundings)
    one_pass = min(float(chillers), plant.flow / plant.rated_flow) * _rejected_by_one(plant)
    lag_free = passes.coldest_parcel(plant.set_point, plant.drop, 0)
    return ClosedForm(
        chiller_duty=duty,
        performance=performance,
        reject_ratio=ratio,
        loop_load=load,
        rejected=rejected,
        turbine_heat=taken,
        vessel_leak=leak,
        vessel_temperature=temperature,
        turbine_duty=turbine_duty,
        casing_heat=casings,
        consumer_rise=load / (plant.flow * plant.heat_capacity),
        mean_passes=mean,
        chillers=chillers,
        bank_duty=passes.bank_duty(mean, plant.flow, chillers, plant.rated_flow),
        next_pass_flow=passes.ring_throughput(chillers, plant.rated_flow, math.floor(mean) + 1),
        return_temperature=hot,
        mean_supply=supply,
        coldest=lag_free,
        coldest_with_lag=passes.coldest_parcel(plant.set_point, plant.drop, 1),
        chillers_power=chillers_power,
        turbines_power=turbines_power,
        net_power=turbines_power - chillers_power - plant.auxiliaries,
        break_even_performance=threshold.break_even_performance(plant.turbine_efficiency, _heat_share(plant)),
        bus_gain=threshold.bus_gain(plant.turbine_efficiency, performance, _heat_share(plant)),
        peak_temperature=peak_temperature(plant, all_on, turbines),
        peak_with_one_less=peak_temperature(plant, all_on, turbines - 1),
        heat_capacity=capacity,
        warm_up_energy=energy,
        warm_up_fastest=energy / all_on,
        warm_up_slowest=energy / one_pass,
        implied_chiller_efficiency=carnot.second_law_efficiency(performance, lag_free, temperature),
        carnot_bound_of_turbine=carnot.engine_bound(temperature, plant.returned),
        carnot_bound_to_surroundings=carnot.engine_bound(temperature, plant.surroundings),
        turbine_unaccounted=taken - turbines_power - casings,
        chiller_unaccounted=running * (plant.chiller_power - (_rejected_by_one(plant) - duty)),
    )
