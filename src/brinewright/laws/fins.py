"""Fins: efficiency of straight and annular ones, and the conductance of a finned surface."""

import math

from brinewright.jit import compiled


@compiled
def straight_efficiency(coefficient: float, conductivity: float, thickness: float, length: float) -> float:
    """Efficiency of a straight fin of constant thickness, tip adiabatic, [-].

    eta = tanh(m L) / (m L),  m = sqrt(2 h / (k t))

    Parameters
    ----------
    coefficient : h on both faces [W/(m2 K)]
    conductivity : k of the fin [W/(m K)]
    thickness : t [m]
    length : L, from base to tip; add t / 2 for a tip that gives off heat [m]

    Notes
    -----
    1 where h tends to 0.

    Example
    -------
    >>> round(straight_efficiency(50.0, 200.0, 0.001, 0.02), 4)
    0.9383

    References
    ----------
    Incropera, eq. 3.89.
    """
    product = length * math.sqrt(2.0 * coefficient / (conductivity * thickness))
    if product < 1e-6:
        return 1.0
    return math.tanh(product) / product


@compiled
def bessel_i_scaled(order: int, x: float) -> float:
    """Modified Bessel function of the first kind times exp(-x), [-].

    e^-x I_n(x) = (1/pi) int_0^pi e^(x (cos a - 1)) cos(n a) da

    Parameters
    ----------
    order : n, 0 or 1 [-]
    x : 0 to 1000 [-]

    Notes
    -----
    The trapezoidal rule on a periodic function converges faster than any power.

    Example
    -------
    >>> round(bessel_i_scaled(0, 1.0), 10)
    0.4657596076

    References
    ----------
    Abramowitz and Stegun, eq. 9.6.19.
    """
    steps = 40 + int(8.0 * math.sqrt(x))
    total = 0.5 * (1.0 + math.exp(-2.0 * x) * math.cos(order * math.pi))
    for i in range(1, steps):
        angle = math.pi * i / steps
        total += math.exp(x * (math.cos(angle) - 1.0)) * math.cos(order * angle)
    return total / steps


@compiled
def bessel_k_scaled(order: int, x: float) -> float:
    """Modified Bessel function of the second kind times exp(x), [-].

    e^x K_n(x) = int_0^inf e^(-x (cosh t - 1)) cosh(n t) dt

    Parameters
    ----------
    order : n, 0 or 1 [-]
    x : > 1e-6 [-]

    Notes
    -----
    The trapezoidal rule on an integrand that dies doubly exponentially: full precision.

    Example
    -------
    >>> round(bessel_k_scaled(0, 1.0), 10)
    1.1444630798

    References
    ----------
    Abramowitz and Stegun, eq. 9.6.24.
    """
    last = math.acosh(1.0 + 60.0 / x)
    steps = 40 + int(16.0 * last)
    step = last / steps
    total = 0.5
    for i in range(1, steps + 1):
        t = i * step
        total += math.exp(-x * (math.cosh(t) - 1.0)) * math.cosh(order * t)
    return total * step


@compiled
def annular_efficiency(
    coefficient: float, conductivity: float, thickness: float, inner: float, outer: float
) -> float:
    """Efficiency of an annular fin of constant thickness, tip adiabatic, [-].

    eta = 2 r_1 / (m (r_2^2 - r_1^2)) (K_1(a) I_1(b) - I_1(a) K_1(b)) / (I_0(a) K_1(b) + K_0(a) I_1(b)),
    a = m r_1,  b = m r_2,  m = sqrt(2 h / (k t))

    Parameters
    ----------
    coefficient : h on both faces [W/(m2 K)]
    conductivity : k of the fin [W/(m K)]
    thickness : t [m]
    inner : radius r_1 at the base [m]
    outer : radius r_2 at the tip, > inner; add t / 2 for a tip that gives off heat [m]

    Notes
    -----
    Bessel functions are scaled, so large fins in strong flow don't overflow.

    Example
    -------
    >>> round(annular_efficiency(60.0, 180.0, 0.002, 0.015, 0.03), 4)
    0.9659

    References
    ----------
    Kern and Kraus, Extended Surface Heat Transfer; Incropera, eq. 3.91.
    """
    m = math.sqrt(2.0 * coefficient / (conductivity * thickness))
    a, b = m * inner, m * outer
    if b < 1e-3:
        return 1.0
    fade = math.exp(-2.0 * (b - a))
    i1b, k1b = bessel_i_scaled(1, b), bessel_k_scaled(1, b)
    top = bessel_k_scaled(1, a) * i1b - bessel_i_scaled(1, a) * k1b * fade
    low = bessel_i_scaled(0, a) * k1b * fade + bessel_k_scaled(0, a) * i1b
    return 2.0 * inner / (m * (outer * outer - inner * inner)) * top / low


@compiled
def finned_conductance(coefficient: float, bare: float, fins: float, efficiency: float) -> float:
    """Conductance of a finned surface, [W/K].

    UA = h (A_bare + eta A_fin)

    Parameters
    ----------
    coefficient : h [W/(m2 K)]
    bare : area between the fins [m2]
    fins : area of both faces of all fins [m2]
    efficiency : of a fin [-]

    Notes
    -----
    Contact resistance at the roots is left out.

    Example
    -------
    >>> finned_conductance(10.0, 1.0, 4.0, 0.9)
    46.0

    References
    ----------
    Incropera, eq. 3.102.
    """
    return coefficient * (bare + efficiency * fins)


@compiled
def long_rod_heat(coefficient: float, conductivity: float, diameter: float, difference: float) -> float:
    """Heat given off by a long rod from its base, [W].

    Phi = sqrt(h P k A) dT

    Parameters
    ----------
    coefficient : h [W/(m2 K)]
    conductivity : k of the rod [W/(m K)]
    diameter : of the rod [m]
    difference : base less fluid [K]

    Notes
    -----
    Long means m L > 2.65, for 99 % of it.

    Example
    -------
    >>> round(long_rod_heat(100.0, 398.0, 0.005, 75.0), 2)
    8.31

    References
    ----------
    Incropera, example 3.9.
    """
    perimeter = math.pi * diameter
    area = perimeter * diameter / 4.0
    return math.sqrt(coefficient * perimeter * conductivity * area) * difference
