"""Conduction through pipe walls, insulation, plane walls and ground: resistances in series."""

import math

from brinewright.jit import compiled

INDOOR_COEFFICIENT = 9.0
"""Still air indoors with radiation of a dull surface; common practice, no source [W/(m2 K)]."""


@compiled
def layer_resistance(inner: float, outer: float, conductivity: float) -> float:
    """Resistance of a cylindrical layer per metre, [m K/W].

    R = ln(r_o / r_i) / (2 pi k)

    Parameters
    ----------
    inner : radius, > 0 [m]
    outer : radius, >= inner [m]
    conductivity : of the layer, > 0 [W/(m K)]

    Notes
    -----
    Add layers and films; the heat per metre is dT / sum R.

    Example
    -------
    >>> round(layer_resistance(0.03015, 0.08015, 0.042), 3)
    3.705

    References
    ----------
    ISO 12241; closed form.
    """
    return math.log(outer / inner) / (2.0 * math.pi * conductivity)


@compiled
def film_resistance(radius: float, coefficient: float) -> float:
    """Resistance of a film on a cylinder per metre, [m K/W].

    R = 1 / (2 pi r h)

    Parameters
    ----------
    radius : of the surface, > 0 [m]
    coefficient : h, > 0 [W/(m2 K)]

    Notes
    -----
    Convection and radiation add up in h.

    Example
    -------
    >>> round(film_resistance(0.08015, 10.0), 4)
    0.1986

    References
    ----------
    ISO 12241; closed form.
    """
    return 1.0 / (2.0 * math.pi * radius * coefficient)


@compiled
def pipe_conductance(
    inner_coefficient: float,
    bore: float,
    outer_diameter: float,
    wall_conductivity: float,
    thickness: float,
    conductivity: float,
    outer_coefficient: float,
) -> float:
    """Conductance of an insulated or bare pipe per metre, [W/(m K)].

    1/U' = 1/(pi D_i h_i) + ln(D_o/D_i)/(2 pi k_w) + ln((D_o + 2 s)/D_o)/(2 pi k) + 1/(pi (D_o + 2 s) h_o)

    Parameters
    ----------
    inner_coefficient : h_i of the liquid's film [W/(m2 K)]
    bore : D_i [m]
    outer_diameter : D_o of the pipe [m]
    wall_conductivity : k_w of the pipe [W/(m K)]
    thickness : s of the insulation, 0 for none [m]
    conductivity : k of the insulation [W/(m K)]
    outer_coefficient : h_o of the outer surface [W/(m2 K)]

    Notes
    -----
    Supports, flanges and valves add 10 to 30 %.

    Example
    -------
    >>> round(pipe_conductance(2000.0, 0.1325, 0.1397, 50.0, 0.04, 0.037, 9.0), 3)
    0.474

    References
    ----------
    ISO 12241; closed form.
    """
    outside = 0.5 * outer_diameter + thickness
    total = (
        film_resistance(0.5 * bore, inner_coefficient)
        + layer_resistance(0.5 * bore, 0.5 * outer_diameter, wall_conductivity)
        + layer_resistance(0.5 * outer_diameter, outside, conductivity)
        + film_resistance(outside, outer_coefficient)
    )
    return 1.0 / total


@compiled
def surface_temperature(
    inside: float, ambient: float, conductance: float, radius: float, coefficient: float
) -> float:
    """Temperature of the outer surface of a pipe, [K].

    T_s = T_a + U' (T - T_a) / (2 pi r h)

    Parameters
    ----------
    inside : temperature of the liquid [K]
    ambient : temperature of the surroundings [K]
    conductance : U' per metre [W/(m K)]
    radius : of the outer surface [m]
    coefficient : h of the outer surface [W/(m2 K)]

    Notes
    -----
    Below the dew point it sweats; above 333 K (common practice) it burns.

    Example
    -------
    >>> round(surface_temperature(278.15, 295.15, 0.477, 0.10985, 9.0) - 273.15, 1)
    20.7

    References
    ----------
    ISO 12241; closed form.
    """
    return ambient + conductance * (inside - ambient) * film_resistance(radius, coefficient)


@compiled
def critical_radius(conductivity: float, coefficient: float) -> float:
    """Outer radius below which more insulation loses more heat, [m].

    r = k / h

    Parameters
    ----------
    conductivity : of the insulation [W/(m K)]
    coefficient : h of the outer surface [W/(m2 K)]

    Notes
    -----
    Matters for wires and thin tubes only.

    Example
    -------
    >>> critical_radius(0.055, 5.0)
    0.011

    References
    ----------
    Incropera, example 3.5.
    """
    return conductivity / coefficient


@compiled
def buried_conductance(outer_diameter: float, depth: float, conductivity: float) -> float:
    """Conductance of a buried pipe to the surface of the ground per metre, [W/(m K)].

    U' = 2 pi k / arccosh(2 z / D)

    Parameters
    ----------
    outer_diameter : D [m]
    depth : z, of the axis, > D / 2 [m]
    conductivity : k of the ground [W/(m K)]

    Notes
    -----
    Exact shape factor; ln(4 z / D) in its place is good for z > 1.5 D.

    Example
    -------
    >>> round(buried_conductance(0.1, 0.5, 0.9) * 30.0 * 70.0)
    3967

    References
    ----------
    Incropera, table 4.1, case 2.
    """
    return 2.0 * math.pi * conductivity / math.acosh(2.0 * depth / outer_diameter)


@compiled
def wall_coefficient(inner: float, resistance: float, outer: float) -> float:
    """Overall coefficient of a plane wall with films, [W/(m2 K)].

    1/U = 1/h_i + R + 1/h_o

    Parameters
    ----------
    inner : film coefficient inside [W/(m2 K)]
    resistance : sum of thickness over conductivity of the layers [m2 K/W]
    outer : film coefficient outside [W/(m2 K)]

    Notes
    -----
    Vessel walls of large radius as well.

    Example
    -------
    >>> round(wall_coefficient(8.29, 2.3, 34.0) * 126.0 * 18.0, 1)
    925.7

    References
    ----------
    ISO 6946; closed form.
    """
    return 1.0 / (1.0 / inner + resistance + 1.0 / outer)


@compiled
def indoor_pipe_coefficient(outer_diameter: float, difference: float) -> float:
    """Convective coefficient of a horizontal pipe in still air at Earth's gravity, [W/(m2 K)].

    h = 1.25 (dT / D)^(1/4) for D^3 dT <= 10 m3 K, else 1.21 dT^(1/3)

    Parameters
    ----------
    outer_diameter : D, with insulation [m]
    difference : surface to air, either sign [K]

    Notes
    -----
    Air near 1 atm and 9.81 m/s2 only: elsewhere use `free_convection`. Radiation comes on top.

    Example
    -------
    >>> round(indoor_pipe_coefficient(0.16, 20.0), 3)
    4.18

    References
    ----------
    ISO 12241:2008; from memory.
    """
    size = abs(difference)
    if outer_diameter * outer_diameter * outer_diameter * size <= 10.0:
        return 1.25 * math.pow(size / outer_diameter, 0.25)
    return 1.21 * math.pow(size, 1.0 / 3.0)
