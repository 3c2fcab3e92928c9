"""Effectiveness of heat exchangers, one function for each arrangement."""

import math

from brinewright.jit import compiled


@compiled
def counterflow(units: float, ratio: float) -> float:
    """Effectiveness of counterflow, [-].

    eps = (1 - e^(-N (1 - C))) / (1 - C e^(-N (1 - C))),  N / (1 + N) at C = 1

    Parameters
    ----------
    units : N = UA / C_min [-]
    ratio : C = C_min / C_max, 0 to 1 [-]

    Notes
    -----
    Written with expm1 so that it is smooth through C = 1.

    Example
    -------
    >>> round(counterflow(1.0, 0.5), 4), round(counterflow(0.727, 1.0), 3)
    (0.5647, 0.421)

    References
    ----------
    Kays and London, Compact Heat Exchangers; Incropera, table 11.3.
    """
    left = 1.0 - ratio
    if left * units < 1e-9:
        return units / (1.0 + units)
    gone = -math.expm1(-units * left)
    return gone / (left + ratio * gone)


@compiled
def parallel_flow(units: float, ratio: float) -> float:
    """Effectiveness of parallel flow, [-].

    eps = (1 - e^(-N (1 + C))) / (1 + C)

    Parameters
    ----------
    units : N = UA / C_min [-]
    ratio : C = C_min / C_max, 0 to 1 [-]

    Notes
    -----
    Never above 1 / (1 + C).

    Example
    -------
    >>> round(parallel_flow(1.0, 0.5), 4)
    0.5179

    References
    ----------
    Kays and London; Incropera, table 11.3.
    """
    return -math.expm1(-units * (1.0 + ratio)) / (1.0 + ratio)


@compiled
def cross_unmixed(units: float, ratio: float) -> float:
    """Effectiveness of cross flow with both streams unmixed, exact, [-].

    eps = 1 / (C N) sum_n P(n + 1, N) P(n + 1, C N),  P(n + 1, x) = 1 - e^-x sum_(m<=n) x^m / m!

    Parameters
    ----------
    units : N = UA / C_min, up to some 500 [-]
    ratio : C = C_min / C_max, 0 to 1 [-]

    Notes
    -----
    All terms are positive; summed until they no longer count.

    Example
    -------
    >>> round(cross_unmixed(2.0, 0.5), 5)
    0.73241

    References
    ----------
    Mason, Proc. 2nd US Nat. Congr. Appl. Mech. (1955) 801; Nusselt 1930.
    """
    other = ratio * units
    if other < 1e-8:
        return -math.expm1(-units)
    first_term = math.exp(-units)
    second_term = math.exp(-other)
    first = -math.expm1(-units)
    second = -math.expm1(-other)
    total = 0.0
    n = 0
    while n < 5000:
        term = first * second
        total += term
        if term < 1e-17 * total:
            break
        n += 1
        first_term *= units / n
        second_term *= other / n
        first = max(0.0, first - first_term)
        second = max(0.0, second - second_term)
    return total / other


@compiled
def cross_unmixed_approximate(units: float, ratio: float) -> float:
    """Effectiveness of cross flow with both streams unmixed, the common approximation, [-].

    eps = 1 - exp(N^0.22 / C (e^(-C N^0.78) - 1))

    Parameters
    ----------
    units : N = UA / C_min, > 0 [-]
    ratio : C = C_min / C_max, > 0 to 1 [-]

    Notes
    -----
    Within 0.02 of `cross_unmixed`; kept because textbooks print it.

    Example
    -------
    >>> round(cross_unmixed_approximate(2.0, 0.5), 3)
    0.739

    References
    ----------
    Incropera, eq. 11.32.
    """
    return -math.expm1(units**0.22 / ratio * math.expm1(-ratio * units**0.78))


@compiled
def cross_larger_mixed(units: float, ratio: float) -> float:
    """Effectiveness of cross flow with the stream of C_max mixed, [-].

    eps = (1 - exp(-C (1 - e^-N))) / C

    Parameters
    ----------
    units : N = UA / C_min [-]
    ratio : C = C_min / C_max, 0 to 1 [-]

    Notes
    -----
    The stream of C_min is unmixed.

    Example
    -------
    >>> round(cross_larger_mixed(2.0, 0.5), 5)
    0.70201

    References
    ----------
    Kays and London; Incropera, table 11.3.
    """
    gone = -math.expm1(-units)
    if ratio < 1e-9:
        return gone
    return -math.expm1(-ratio * gone) / ratio


@compiled
def cross_smaller_mixed(units: float, ratio: float) -> float:
    """Effectiveness of cross flow with the stream of C_min mixed, [-].

    eps = 1 - exp(-(1 - e^(-C N)) / C)

    Parameters
    ----------
    units : N = UA / C_min [-]
    ratio : C = C_min / C_max, 0 to 1 [-]

    Notes
    -----
    The stream of C_max is unmixed.

    Example
    -------
    >>> round(cross_smaller_mixed(2.0, 0.5), 5)
    0.71755

    References
    ----------
    Kays and London; Incropera, table 11.3.
    """
    if ratio < 1e-9:
        return -math.expm1(-units)
    return -math.expm1(math.expm1(-ratio * units) / ratio)


@compiled
def one_shell(units: float, ratio: float) -> float:
    """Effectiveness of one shell pass and 2, 4, ... tube passes, [-].

    eps = 2 / (1 + C + s (1 + e^(-N s)) / (1 - e^(-N s))),  s = sqrt(1 + C^2)

    Parameters
    ----------
    units : N = UA / C_min [-]
    ratio : C = C_min / C_max, 0 to 1 [-]

    Notes
    -----
    For shells in series see `shells_in_series`.

    Example
    -------
    >>> round(one_shell(1.5, 0.5), 5)
    0.63855

    References
    ----------
    Kays and London; Incropera, table 11.3.
    """
    root = math.sqrt(1.0 + ratio * ratio)
    gone = -math.expm1(-units * root)
    if gone <= 0.0:
        return 0.0
    return 2.0 / (1.0 + ratio + root * (2.0 - gone) / gone)


@compiled
def one_side_constant(units: float) -> float:
    """Effectiveness with one side at constant temperature, [-].

    eps = 1 - e^-N

    Parameters
    ----------
    units : N = UA over the heat capacity flow of the other side [-]

    Notes
    -----
    Condenser, evaporator, well-mixed room or tank.

    Example
    -------
    >>> round(one_side_constant(1.0), 5)
    0.63212

    References
    ----------
    Closed form.
    """
    return -math.expm1(-units)


@compiled
def shells_in_series(single: float, ratio: float, shells: int) -> float:
    """Effectiveness of equal shells in series, overall counterflow, [-].

    eps = (Z - 1) / (Z - C),  Z = ((1 - eps_1 C) / (1 - eps_1))^n,  n eps_1 / (1 + (n - 1) eps_1) at C = 1

    Parameters
    ----------
    single : effectiveness eps_1 of one shell with N / n transfer units [-]
    ratio : C = C_min / C_max, 0 to 1 [-]
    shells : n [-]

    Notes
    -----
    Tends to counterflow as n grows.

    Example
    -------
    >>> round(shells_in_series(one_shell(1.5, 1.0), 1.0, 2), 4)
    0.6897

    References
    ----------
    Kays and London; Incropera, table 11.3.
    """
    if 1.0 - ratio < 1e-9:
        return shells * single / (1.0 + (shells - 1) * single)
    chain = ((1.0 - single * ratio) / (1.0 - single)) ** shells
    return (chain - 1.0) / (chain - ratio)
