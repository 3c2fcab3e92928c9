"""The six layouts in closed form: how many chillers, what the supply is, what may go wrong.

All of them work with the same fixed-drop machines; n is the mean number of passes
Phi / (q c Delta) that the load asks of each kilogram, k its whole part and f the rest.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from brinewright.laws import passes

ROUNDING = 1e-9
GROUPS = 3
"""Most groups into which the chillers of a tank bath are staged."""
LEAST_PASSES = 1.05
"""Passes that a ring without a way round it needs at the least load, so that it does not cool without end."""


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What is asked of a layout."""

    flow: float
    """Through the consumers [kg/s]."""
    carried: float
    """Cooling of one kilogram a pass, c Delta [J/kg]."""
    rated: float
    """Largest flow of one chiller [kg/s]."""
    peak: float
    """Greatest load, margin counted [W]."""
    least: float
    """Least load [W]."""
    essential: float
    """Greatest load that is left when everything that may be shed has been [W]."""
    lost: int
    """Chillers that may be out of work."""
    pipe: float
    """Largest flow of one line [kg/s]."""


@dataclass(frozen=True, kw_only=True)
class Bank:
    """How the chillers stand."""

    chillers: int
    stages: int = 1
    """Decisions in line (L1), or groups that are switched one after the other (L4)."""
    groups: tuple[int, ...] = ()
    """Chillers of each stage or group."""
    circulated: float
    """Flow on the chillers' side [kg/s]."""
    widest: float
    """Largest flow in one line [kg/s]."""


@dataclass(frozen=True, kw_only=True)
class Shortfall:
    """Why a layout can't do what is asked."""

    need: str
    amount: float
    """By how much, in the unit of the need [SI]."""
    text: str


def _whole(number: float) -> int:
    return max(1, math.ceil(number - ROUNDING))


def _spare(asked: Asked) -> int:
    """Chillers that carry the peak, and the essential load with some lost: N >= Phi / (q_r c Delta)."""
    one = asked.rated * asked.carried
    return max(_whole(asked.peak / one), _whole(asked.essential / one) + asked.lost if asked.lost else 0)


def series_string(asked: Asked) -> Bank | Shortfall:
    """L1: strings of ceil(q / q_r) chillers, ceil(n) stages in line, each with a way round."""
    strings = _whole(asked.flow / asked.rated)
    stages = _whole(asked.peak / (asked.flow * asked.carried))
    if asked.lost:
        needed = asked.essential / (stages * asked.carried)
        strings = max(strings, _whole(needed / asked.rated) + asked.lost)
    return Bank(
        chillers=strings * stages,
        stages=stages,
        groups=(strings,) * stages,
        circulated=asked.flow,
        widest=asked.flow,
    )


def ring(asked: Asked) -> Bank | Shortfall:
    """L2: one bank that liquid passes again and again, N = ceil(n q / q_r); at the least load n >= 1."""
    least = asked.least / (asked.flow * asked.carried)
    if least < LEAST_PASSES:
        text = (
            f"at the least load of {asked.least / 1e3:.0f} kW a kilogram needs {least:.2f} passes, and a "
            f"ring without a way round it makes at least one: it would cool without end"
        )
        return Shortfall(need="least load", amount=LEAST_PASSES - least, text=text)
    chillers = _spare(asked)
    flow = chillers * asked.rated
    return Bank(chillers=chillers, groups=(chillers,), circulated=flow, widest=flow)


def parallel_bank(asked: Asked) -> Bank | Shortfall:
    """L3: a common header and one pass only: q >= Phi / (c Delta), N = ceil(q / q_r)."""
    mean = asked.peak / (asked.flow * asked.carried)
    if mean > 1.0 + ROUNDING:
        text = f"the load needs {mean:.2f} passes at {asked.flow:.1f} kg/s, and a parallel bank makes one"
        return Shortfall(need="flow", amount=asked.flow * (mean - 1.0), text=text)
    chillers = _whole(asked.flow / asked.rated)
    if asked.lost:
        chillers = max(chillers, _whole(asked.essential / asked.carried / asked.rated) + asked.lost)
    return Bank(chillers=chillers, groups=(chillers,), circulated=asked.flow, widest=asked.flow)


def tank_bath(asked: Asked) -> Bank | Shortfall:
    """L4: chillers draw from the consumers' tank and give back to it, N = ceil(Phi / (q_r c Delta))."""
    chillers = _spare(asked)
    by_line = max(1, int((asked.pipe + ROUNDING) // asked.rated))
    count = max(min(chillers, GROUPS), math.ceil(chillers / by_line))
    groups = tuple(chillers // count + (1 if place < chillers % count else 0) for place in range(count))
    widest = max(asked.flow, max(groups) * asked.rated)
    return Bank(
        chillers=chillers, stages=count, groups=groups, circulated=chillers * asked.rated, widest=widest
    )


def two_circuits(asked: Asked) -> Bank | Shortfall:
    """L5: the chillers' own circuit at their full flow, one pass, and a tank between: N q_r >= q."""
    chillers = max(_spare(asked), _whole(asked.flow / asked.rated))
    flow = chillers * asked.rated
    return Bank(chillers=chillers, groups=(chillers,), circulated=flow, widest=flow)


def two_tanks(asked: Asked) -> Bank | Shortfall:
    """L6: a decision behind the return tank, a ring with another, N = ceil(Phi / (q_r c Delta))."""
    chillers = _spare(asked)
    flow = chillers * asked.rated
    return Bank(chillers=chillers, groups=(chillers,), circulated=flow, widest=max(flow, asked.flow))


@dataclass(frozen=True, kw_only=True)
class Layout:
    """One of the six."""

    code: str
    name: str
    for_people: str
    tanks: tuple[str, ...]
    """Of "return", "waiting", "supply"."""
    decides: bool
    """Whether a switch decides on each pass, so that the supply lies below its set point."""


LAYOUTS: Mapping[str, Layout] = MappingProxyType(
    {
        layout.code: layout
        for layout in (
            Layout(
                code="L1",
                name="series string",
                for_people="chillers in line, each stage with its own way round",
                tanks=("return", "supply"),
                decides=True,
            ),
            Layout(
                code="L2",
                name="recirculating ring",
                for_people="one bank that warm liquid passes again and again",
                tanks=("return", "supply"),
                decides=True,
            ),
            Layout(
                code="L3",
                name="parallel bank",
                for_people="one pass through a common header, or past it",
                tanks=("return", "supply"),
                decides=True,
            ),
            Layout(
                code="L4",
                name="tank bath",
                for_people="chillers and consumers draw from one mixed tank",
                tanks=("return",),
                decides=False,
            ),
            Layout(
                code="L5",
                name="two circuits",
                for_people="the chillers' circuit and the consumers' circuit, with a tank between",
                tanks=("return", "supply"),
                decides=True,
            ),
            Layout(
                code="L6",
                name="two tanks and two decisions",
                for_people="a return tank, a waiting tank and a ring, joined by a delivery junction",
                tanks=("return", "waiting", "supply"),
                decides=True,
            ),
        )
    }
)

_BANKS = {
    "L1": series_string,
    "L2": ring,
    "L3": parallel_bank,
    "L4": tank_bath,
    "L5": two_circuits,
    "L6": two_tanks,
}


def bank(code: str, asked: Asked) -> Bank | Shortfall:
    """Return the chillers that a layout needs, or why it can't do what is asked.

    >>> asked = Asked(
    ...     flow=12.0,
    ...     carried=56e3,
    ...     rated=6.0,
    ...     peak=1235.5e3,
    ...     least=1235.5e3,
    ...     essential=0.0,
    ...     lost=0,
    ...     pipe=99.0,
    ... )
    >>> [bank(code, asked).chillers for code in ("L1", "L2", "L4", "L5", "L6")]
    [4, 4, 4, 4, 4]
    >>> bank("L3", asked).need
    'flow'
    """
    made = _BANKS[code](asked)
    if isinstance(made, Bank) and made.widest > asked.pipe * (1.0 + ROUNDING):
        text = (
            f"one of its lines would carry {made.widest:.1f} kg/s, "
            f"and the widest run that there is carries {asked.pipe:.1f}"
        )
        return Shortfall(need="pipe", amount=made.widest - asked.pipe, text=text)
    return made


def supply(
    code: str, made: Bank, set_point: float, differential: float, step: float, load: float, carried: float,
    flow: float, drop: float, rated: float,
) -> tuple[float, float]:  # fmt: skip
    """Mean supply temperature and resting temperature of the return tank, [K] and [K].

    T_supply = T_s - f Delta,  T_hot = T_s + k Delta    (a decision on each pass)
    T_supply = T_hot = T_j + d/2                        (a bath, T_j of the group that comes and goes)

    Parameters
    ----------
    code : of the layout
    made : its chillers
    set_point : of the switch or of the first group [K]
    differential : of the switches [K]
    step : between the set points of two groups of a bath [K]
    load : now [W]
    carried : cooling of one kilogram a pass [J/kg]
    flow : through the consumers [kg/s]
    drop : of a pass [K]
    rated : largest flow of one chiller [kg/s]
    """
    if code == "L4":
        working, last = 0.0, len(made.groups) - 1
        for number, group in enumerate(made.groups):
            working += group * rated * carried
            if working >= load:
                last = number
                break
        rest = set_point + last * step + 0.5 * differential
        return rest, rest
    through = made.circulated if code == "L5" else flow
    mean = passes.mean_passes(load, through, carried / drop, drop)
    hot, cold = passes.resting_point(set_point, drop, mean)
    if code in ("L3", "L5") or mean <= 1.0:
        return set_point - mean * drop, set_point
    return cold, hot
