"""Buffer tanks: how they answer, and how large they must be."""

import math

from brinewright.jit import compiled


@compiled
def mixed_temperature(
    time: float,
    start: float,
    inlet: float,
    flow: float,
    heat_capacity: float,
    mass: float,
    conductance: float,
    surroundings: float,
    heat: float,
) -> float:
    """Temperature of a mixed tank at constant level after a time, [K].

    m c dT/dt = q c (T_in - T) + UA (T_a - T) + Phi

    Parameters
    ----------
    time : since the start [s]
    start : temperature at time 0 [K]
    inlet : temperature of the feed [K]
    flow : in and out [kg/s]
    heat_capacity : of the liquid [J/(kg K)]
    mass : of the content [kg]
    conductance : UA to the surroundings [W/K]
    surroundings : temperature around it [K]
    heat : further heat into the content [W]

    Notes
    -----
    Exact for any step.

    Example
    -------
    >>> round(mixed_temperature(2000.0, 293.15, 353.15, 1.0, 4186.0, 2000.0, 0.0, 293.15, 0.0) - 273.15, 3)
    57.927

    References
    ----------
    Closed form.
    """
    exchange = flow * heat_capacity + conductance
    capacity = mass * heat_capacity
    if exchange <= 0.0:
        return start + heat * time / capacity
    rest = (flow * heat_capacity * inlet + conductance * surroundings + heat) / exchange
    return rest + (start - rest) * math.exp(-exchange * time / capacity)


@compiled
def series_step(tanks: int, residence_times: float) -> float:
    """Answer of equal mixed tanks in series to a unit step, [-].

    F = 1 - e^(-n t) sum_(m<n) (n t)^m / m!

    Parameters
    ----------
    tanks : n [-]
    residence_times : t, time over the residence time of all tanks together [-]

    Notes
    -----
    Tends to plug flow as n grows.

    Example
    -------
    >>> round(series_step(1, 1.0), 5), round(series_step(10, 1.0), 5)
    (0.63212, 0.54207)

    References
    ----------
    Levenspiel, Chemical Reaction Engineering, tanks in series.
    """
    x = tanks * residence_times
    term = 1.0
    total = 1.0
    for m in range(1, tanks):
        term *= x / m
        total += term
    return 1.0 - math.exp(-x) * total


@compiled
def blended_temperature(first_mass: float, first: float, second_mass: float, second: float) -> float:
    """Temperature of two amounts of one liquid after mixing, [K].

    T = (m_1 T_1 + m_2 T_2) / (m_1 + m_2)

    Parameters
    ----------
    first_mass : mass or mass flow [kg]
    first : its temperature [K]
    second_mass : mass or mass flow [kg]
    second : its temperature [K]

    Notes
    -----
    One heat capacity for both.

    Example
    -------
    >>> round(blended_temperature(300.0, 363.15, 700.0, 293.15) - 273.15, 6)
    41.0

    References
    ----------
    Energy balance.
    """
    return (first_mass * first + second_mass * second) / (first_mass + second_mass)


@compiled
def front_time(volume: float, flow: float) -> float:
    """Time until the outlet of an ideally stratified tank changes, [s].

    t = V / Q

    Parameters
    ----------
    volume : of liquid between inlet and outlet [m3]
    flow : volumetric, > 0 [m3/s]

    Notes
    -----
    Multiply by the figure of merit, 0.85 to 0.95, for a real tank.

    Example
    -------
    >>> front_time(2.0, 0.001)
    2000.0

    References
    ----------
    Mass balance.
    """
    return volume / flow


@compiled
def thermocline(distance: float, time: float, diffusivity: float) -> float:
    """Share of the step that has crossed a thermocline by conduction alone, [-].

    erfc(z / (2 sqrt(a t))) / 2

    Parameters
    ----------
    distance : z, from the first sharp front [m]
    time : since it was sharp, > 0 [s]
    diffusivity : a, of the liquid [m2/s]

    Notes
    -----
    Inlets stir more than this; it is the least that can happen.

    Example
    -------
    >>> round(thermocline(0.05, 3600.0, 1.43e-7), 4)
    0.0596

    References
    ----------
    Carslaw and Jaeger; closed form.
    """
    return 0.5 * math.erfc(distance / (2.0 * math.sqrt(diffusivity * time)))


@compiled
def volume_for_starts(
    step: float, starts_per_second: float, differential: float, volumetric_capacity: float
) -> float:
    """Volume that keeps a machine below so many starts, [m3].

    V = Phi_step / (4 Z rho c d)

    Parameters
    ----------
    step : least capacity that the machine can switch [W]
    starts_per_second : Z; 6 an hour is 6 / 3600 [1/s]
    differential : d, of the switch [K]
    volumetric_capacity : rho c of the liquid [J/(m3 K)]

    Notes
    -----
    Mixed tank at the worst load, half of the step.

    Example
    -------
    >>> round(volume_for_starts(1000.0, 6.0 / 3600.0, 3.0, 998.0 * 4184.0) * 1e3, 1)
    12.0

    References
    ----------
    Closed form; least of t = m c d (1 / Phi + 1 / (Phi_step - Phi)).
    """
    return step / (4.0 * starts_per_second * volumetric_capacity * differential)


@compiled
def volume_for_run_time(
    excess: float, run_time: float, differential: float, volumetric_capacity: float
) -> float:
    """Volume that lets a machine run for so long once started, [m3].

    V = (Phi_step - Phi_load) t / (rho c d)

    Parameters
    ----------
    excess : least step of the machine less the least load [W]
    run_time : wanted [s]
    differential : d, of the switch [K]
    volumetric_capacity : rho c of the liquid [J/(m3 K)]

    Notes
    -----
    Usually larger than `volume_for_starts` asks for.

    Example
    -------
    >>> round(volume_for_run_time(200e3, 300.0, 5.0, 998.0 * 4186.0), 3)
    2.872

    References
    ----------
    Energy balance.
    """
    return excess * run_time / (volumetric_capacity * differential)


@compiled
def ride_through_mixed(load: float, time: float, allowed_rise: float, volumetric_capacity: float) -> float:
    """Volume of a mixed tank that carries a load without chillers, [m3].

    V = Phi t / (rho c dT)

    Parameters
    ----------
    load : to be carried [W]
    time : without chillers [s]
    allowed_rise : of the tank's temperature [K]
    volumetric_capacity : rho c of the liquid [J/(m3 K)]

    Notes
    -----
    The consumers see the rise.

    Example
    -------
    >>> round(ride_through_mixed(424.4e3, 600.0, 4.0, 1028.4 * 3827.0), 1)
    16.2

    References
    ----------
    Energy balance.
    """
    return load * time / (volumetric_capacity * allowed_rise)


@compiled
def ride_through_stratified(flow: float, time: float, merit: float) -> float:
    """Volume of a stratified tank that carries a load without chillers, [m3].

    V = Q t / FOM

    Parameters
    ----------
    flow : volumetric [m3/s]
    time : without chillers [s]
    merit : figure of merit, 0.85 to 0.95 with good diffusers [-]

    Notes
    -----
    The supply stays cold until the front arrives.

    Example
    -------
    >>> round(ride_through_stratified(0.01348, 600.0, 0.9), 2)
    8.99

    References
    ----------
    ASHRAE, thermal storage; figure of merit from memory.
    """
    return flow * time / merit


@compiled
def bath_period(
    capacity: float, differential: float, load: float, cooling_off: float, cooling_on: float
) -> float:
    """Period of a mixed bath whose chillers switch between two stages, [s].

    t = C d (1 / (Phi - Phi_off) + 1 / (Phi_on - Phi))

    Parameters
    ----------
    capacity : C, heat capacity of the bath [J/K]
    differential : d, of the switch [K]
    load : Phi, between the two stages [W]
    cooling_off : Phi_off, cooling that goes on while the switch is made off [W]
    cooling_on : Phi_on, cooling while it is on [W]

    Notes
    -----
    Infinite where the load lies outside the stages: nothing switches any more. Without lag.

    Example
    -------
    >>> round(bath_period(13.2e3 * 4000.0, 2.0, 1235.5e3, 0.0, 1344e3) / 60.0, 1)
    17.6
    >>> round(bath_period(13.2e3 * 4000.0, 2.0, 1235.5e3, 1008e3, 1344e3) / 60.0, 1)
    24.0

    References
    ----------
    Energy balance.
    """
    if load <= cooling_off or load >= cooling_on:
        return math.inf
    return capacity * differential * (1.0 / (load - cooling_off) + 1.0 / (cooling_on - load))


@compiled
def pipe_volume(bore: float, length: float) -> float:
    """Hold-up of a pipe run, [m3].

    V = pi D^2 L / 4

    Parameters
    ----------
    bore : inner diameter [m]
    length : of the run [m]

    Notes
    -----
    A drain tank wants 10 % more than the section holds.

    Example
    -------
    >>> round(pipe_volume(0.1325, 240.0), 2)
    3.31

    References
    ----------
    Geometry.
    """
    return math.pi * bore * bore / 4.0 * length
