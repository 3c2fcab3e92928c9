"""A declared plant and its closed-form figures, as plain data in SI."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Plant:
    """What a declared plant is made of, in SI; everything that has an effect is stated."""

    load: float
    """Heat of all consumers together [W]."""
    flow: float
    """Through the consumers [kg/s]."""
    heat_capacity: float
    """Of the liquid [J/(kg K)]."""
    set_point: float
    """Of the switch that decides on a pass [K]."""
    drop: float
    """Taken off every kilogram by a chiller [K]."""
    rated_flow: float
    """Largest of one chiller [kg/s]."""
    chiller_power: float
    """Electric, of one chiller at full flow [W]."""
    heat_share: float
    """Of the chillers' power that appears in the vessel [-]."""
    chiller_own_heat: float
    """Further heat of one chiller into the vessel at full flow [W]."""
    vessel_heat_capacity: float
    """Of the vessel's content [J/(kg K)]."""
    latent: float
    """Latent heat that a turbine takes per kilogram, 0 for a world without [J/kg]."""
    charge: float
    """Content of the vessel [kg]."""
    metal_capacity: float
    """Of the vessel's metal and what stands in it [J/K]."""
    vessel_loss: float
    """Conductance of the vessel to its surroundings [W/K]."""
    surroundings: float
    """Temperature around the vessel [K]."""
    threshold: float
    """Vessel temperature above which turbines run [K]."""
    returned: float
    """Temperature of what a turbine returns [K]."""
    turbine_flow: float
    """Drawn by one turbine [kg/s]."""
    turbine_efficiency: float
    """Power over heat taken [-]."""
    turbine_limit: float
    """Largest power of one turbine [W]."""
    casing_share: float
    """Of the heat taken that a casing gives to the loop [-]."""
    casing_fixed: float
    """Heat of one casing at any load, given to the loop [W]."""
    auxiliaries: float
    """Pumps and controls, electric [W]."""


@dataclass(frozen=True, kw_only=True)
class ClosedForm:
    """What a plant does in the long run, in SI."""

    chiller_duty: float
    """Cooling of one chiller at full flow [W]."""
    performance: float
    """Cooling per electric power [-]."""
    reject_ratio: float
    """Heat into the vessel per heat taken from the loop [-]."""
    loop_load: float
    """Consumers and casings [W]."""
    rejected: float
    """Into the vessel [W]."""
    turbine_heat: float
    """Taken by all turbines [W]."""
    vessel_leak: float
    """From the vessel to its surroundings [W]."""
    vessel_temperature: float
    """Mean, or the threshold where the turbines cycle [K]."""
    turbine_duty: float
    """Share of the time that the turbines run [-]."""
    casing_heat: float
    """Of all casings [W]."""
    consumer_rise: float
    """Temperature rise of the liquid in consumers and casings [K]."""
    mean_passes: float
    """Per kilogram [-]."""
    chillers: int
    """Fewest that carry the load [-]."""
    bank_duty: float
    """Share of the time that those chillers work [-]."""
    next_pass_flow: float
    """Flow of the ring when it makes one pass more than the whole part of the mean [kg/s]."""
    return_temperature: float
    """Pass boundary about which a mixed return tank hunts [K]."""
    mean_supply: float
    """Mean supply temperature [K]."""
    coldest: float
    """Bound on the coldest parcel with ideal switches [K]."""
    coldest_with_lag: float
    """Bound on the coldest parcel when a late sensor sends it once more [K]."""
    chillers_power: float
    """Electric, mean [W]."""
    turbines_power: float
    """Electric, mean [W]."""
    net_power: float
    """Turbines less chillers and auxiliaries, mean [W]."""
    break_even_performance: float
    """Chiller performance at which turbines just feed the chillers [-]."""
    bus_gain: float
    """Turbine power gained per chiller power spent, below the turbines' limit [-]."""
    peak_temperature: float
    """Bound on the vessel with every chiller running, its own loss left out [K]."""
    peak_with_one_less: float
    """The same with one turbine out, infinite if there was only one [K]."""
    heat_capacity: float
    """Of vessel and content [J/K]."""
    warm_up_energy: float
    """From the surroundings' temperature to the threshold [J]."""
    warm_up_fastest: float
    """With every chiller running, without loss [s]."""
    warm_up_slowest: float
    """With one pass of the whole flow, without loss [s]."""
    implied_chiller_efficiency: float
    """Second-law efficiency that the chiller's law claims [-]."""
    carnot_bound_of_turbine: float
    """Largest share of heat that could be work down to the returned temperature [-]."""
    carnot_bound_to_surroundings: float
    """Largest share of heat that could be work down to the surroundings [-]."""
    turbine_unaccounted: float
    """Heat that the turbines' law makes vanish [W]."""
    chiller_unaccounted: float
    """Electric power that the chillers' law makes vanish, negative if it makes heat [W]."""


SMALL_PLANT = Plant(
    load=500e3,
    flow=6.0,
    heat_capacity=4000.0,
    set_point=293.15,
    drop=10.0,
    rated_flow=4.0,
    chiller_power=80e3,
    heat_share=0.1,
    chiller_own_heat=0.0,
    vessel_heat_capacity=4200.0,
    latent=0.0,
    charge=800.0,
    metal_capacity=2e6,
    vessel_loss=40.0,
    surroundings=293.15,
    threshold=400.0,
    returned=350.0,
    turbine_flow=1.0,
    turbine_efficiency=0.5,
    turbine_limit=200e3,
    casing_share=0.05,
    casing_fixed=2e3,
    auxiliaries=10e3,
)
"""A small invented plant for the examples in the docstrings of `stylised`."""
