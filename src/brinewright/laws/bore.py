"""Steel pipe sizes: what a nominal bore measures inside."""

NOMINAL_PIPE = {
    # nominal pipe size in inch: (DN in mm, outer diameter m, wall of schedule 40 m)
    0.5: (15, 0.0213, 0.00277),
    0.75: (20, 0.0267, 0.00287),
    1.0: (25, 0.0334, 0.00338),
    1.25: (32, 0.0422, 0.00356),
    1.5: (40, 0.0483, 0.00368),
    2.0: (50, 0.0603, 0.00391),
    2.5: (65, 0.0730, 0.00516),
    3.0: (80, 0.0889, 0.00549),
    4.0: (100, 0.1143, 0.00602),
    5.0: (125, 0.1413, 0.00655),
    6.0: (150, 0.1683, 0.00711),
    8.0: (200, 0.2191, 0.00818),
    10.0: (250, 0.2730, 0.00927),
    12.0: (300, 0.3238, 0.01031),
}
"""ASME B36.10M, welded and seamless steel pipe, schedule 40."""

ROUND_PIPE = {
    # DN in mm: (outer diameter m, normal wall m)
    15: (0.0213, 0.0020),
    20: (0.0269, 0.0023),
    25: (0.0337, 0.0026),
    32: (0.0424, 0.0026),
    40: (0.0483, 0.0026),
    50: (0.0603, 0.0029),
    65: (0.0761, 0.0029),
    80: (0.0889, 0.0032),
    100: (0.1143, 0.0036),
    125: (0.1397, 0.0040),
    150: (0.1683, 0.0045),
    200: (0.2191, 0.0063),
    250: (0.2730, 0.0063),
    300: (0.3239, 0.0071),
}
"""EN 10220 series 1 outer diameters with common walls; from memory."""


def schedule_40_bore(nominal_size: float) -> float:
    """Inner diameter of schedule 40 steel pipe, [m].

    D_i = D_o - 2 t

    Parameters
    ----------
    nominal_size : NPS in inch, a key of `NOMINAL_PIPE` [inch]

    Example
    -------
    >>> round(schedule_40_bore(2.0), 5)
    0.05248

    References
    ----------
    ASME B36.10M.
    """
    _, outer, wall = NOMINAL_PIPE[nominal_size]
    return outer - 2.0 * wall
