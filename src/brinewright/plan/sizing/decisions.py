"""Every decision of a design, with its numbers and what the other choices would have been."""

import math
from collections.abc import Sequence

from brinewright.plan.sizing.build import Built
from brinewright.plan.sizing.decisions_rest import (
    audit_decision,
    power_decision,
    room_decision,
    tanks_decision,
)
from brinewright.plan.sizing.decisions_steam import (
    casings_decision,
    materials_decision,
    turbines_decision,
    vessel_decision,
)
from brinewright.plan.sizing.design import Design, Refusal
from brinewright.plan.sizing.judge import Judge
from brinewright.plan.sizing.layouts import LAYOUTS
from brinewright.plan.sizing.record import BRIEF, LAW, PRACTICE, Alternative, Decision, Figure
from brinewright.plan.sizing.search import Found, Search

UNITS = {
    "fewest machines": ("machine", "machines"),
    "least power": ("kW", "kW"),
    "least material": ("kg of weighted material", "kg of weighted material"),
    "steadiest supply": ("K of swing", "K of swing"),
    "smallest tanks": ("m3 of tanks", "m3 of tanks"),
    "simplest": ("switch, valve, junction or tank", "switches, valves, junctions or tanks"),
}
"""What the aims are measured in, for one and for several."""


def decisions_of(search: Search, design: Design, built: Built, found: Found) -> tuple[Decision, ...]:
    """Return all decisions of a design, in the order in which they are made."""
    judge = search.judge
    return (
        _load(judge, design),
        _liquid(search, design, found),
        _layout(search, design, found),
        _temperatures(judge, design),
        _chillers(judge, design),
        turbines_decision(judge, design),
        materials_decision(judge, design),
        casings_decision(judge, design),
        vessel_decision(judge, design),
        tanks_decision(judge, design, built),
        power_decision(judge, design),
        audit_decision(judge, design),
        room_decision(judge, design),
    )


def _load(judge: Judge, design: Design) -> Decision:
    setting, peak, day = judge.setting, design.peak, judge.day(design)
    figures = [
        Figure("Phi_L", setting.peak.total, "W", "heat of all consumers at the peak", source=BRIEF),
        Figure("Phi_L,mean", setting.mean.total, "W", "mean of the day", source=BRIEF),
        Figure(
            "Phi_u",
            sum(peak.consumers),
            "W",
            "of that to the coolant, gains and losses through walls counted",
            "Phi = (heat + G_o (T_o - T_supply)) / (1 + G_o r)",
        ),
        Figure(
            "Phi_case",
            peak.casing.to_loop,
            "W",
            "casing heat that comes back as load",
            "T_case by its balance",
        ),
        Figure(
            "Phi_loop",
            peak.load,
            "W",
            "load of the chillers at the peak",
            "Phi_u + Phi_case + pump heat + gains of the lines",
        ),
        Figure("Phi_loop,mean", day["load"], "W", "the same on the mean of the day"),
    ]
    if setting.brief.wanted.margin:
        figures.insert(1, Figure("m", setting.brief.wanted.margin, "1", "margin on every heat", source=BRIEF))
    back = peak.casing.to_loop / peak.load
    why = (
        f"casings give {back:.1%} of the load back to the loop"
        if design.choice.cooled.jacket
        else "casings give nothing back to the loop"
    )
    return Decision("load", f"{peak.load / 1e3:.0f} kW at the peak", why, tuple(figures))


def _liquid(search: Search, design: Design, found: Found) -> Decision:
    choice = design.choice
    liquid, drop = choice.liquid, choice.chiller.number("drop")
    decides = LAYOUTS[choice.layout].decides
    coldest = choice.set_point - drop
    hottest = max(design.peak.hot, design.peak.returned, design.peak.casing.temperature)
    figures = (
        Figure("c", liquid.heat_capacity, "J/(kg K)", "heat capacity", source=LAW),
        Figure(
            "c Delta",
            liquid.heat_capacity * drop,
            "J/kg",
            "heat that one kilogram loses in a pass",
            "c Delta",
        ),
        Figure("T_cold", coldest, "K", "coldest parcel with ideal switches", "T_s - Delta"),
        Figure(
            "T_late",
            coldest - (drop if decides else 0.0),
            "K",
            "coldest parcel when a late sensor sends it round once more",
            "T_s - 2 Delta",
        ),
        Figure("T_freeze", liquid.freezes, "K", "freezes at", source=LAW),
        Figure("T_hot", hottest, "K", "hottest liquid, in the jackets where it cools casings"),
        Figure("T_boil", liquid.boils, "K", "boils at", source=LAW),
    )
    others = []
    for other in search.setting.rules.liquids:
        if other.name == liquid.name:
            continue
        if other not in search.setting.liquids:
            others.append(Alternative(other.name, False, "the brief does not allow it", aim="the brief"))
            continue
        rivals = [made for made in found.designs if made.choice.liquid.name == other.name]
        refusals = [made for made in found.refusals if made.liquid == other.name]
        others.append(_against(search, design, other.name, rivals, refusals))
    margin = coldest - (drop if decides else 0.0) - liquid.freezes
    below = liquid.boils - hottest
    why = f"its coldest parcel stays {margin:.0f} K above freezing, its hottest {below:.0f} K below boiling"
    return Decision("liquid", liquid.name, why, figures, tuple(others))


def _layout(search: Search, design: Design, found: Found) -> Decision:
    others = []
    allowed = search.setting.brief.wanted.layouts
    for code, layout in LAYOUTS.items():
        if code == design.choice.layout:
            continue
        rivals = [made for made in found.designs if made.choice.layout == code]
        refusals = [made for made in found.refusals if made.layout == code]
        other = _against(search, design, f"{code} {layout.name}", rivals, refusals)
        if code not in allowed:
            text = f"the brief asks for {' or '.join(allowed)}; else: {other.text}"
            other = Alternative(other.name, other.is_legal, text, other.lost_by, "the brief")
        others.append(other)
    chosen = LAYOUTS[design.choice.layout]
    figures = tuple(
        Figure(
            aim,
            search.measure(design, aim),
            "W" if aim == "least power" else "1",
            f"what {aim} is judged by" + ("" if aim == "least power" else f", in {UNITS[aim][1]}"),
            source="sum" if aim == "least power" else "count",
        )
        for aim in search.setting.aims
    )
    only = len(allowed) == 1
    why = "the brief asks for it" if only else f"first of all {search.setting.aims[0]}: " + chosen.for_people
    return Decision("layout", f"{chosen.code} {chosen.name}", why, figures, tuple(others))


def _against(
    search: Search, design: Design, name: str, rivals: Sequence[Design], refusals: Sequence[Refusal]
) -> Alternative:
    """Return by how much the best of the rivals lost, or what was in their way."""
    best = next(search.ranked(rivals), None)
    if best is None:
        nearest = max(refusals, key=lambda refusal: (refusal.weight, -refusal.amount), default=None)
        if nearest is None:
            return Alternative(name, False, "it was not tried", aim="")
        return Alternative(name, False, nearest.text, nearest.amount, nearest.need)
    for aim in search.setting.aims:
        ours, theirs = search.measure(design, aim), search.measure(best, aim)
        if ours != theirs:
            by = theirs - ours
            scale = 1e3 if aim == "least power" else 1.0
            unit = UNITS[aim][0 if abs(by) == 1.0 else 1]
            more = "more" if by > 0.0 else "less"
            text = f"{aim}: {abs(by) / scale:.3g} {unit} {more} ({_in_short(best)})"
            return Alternative(name, True, text, by, aim)
    return Alternative(name, True, f"alike in everything that matters ({_in_short(best)})", 0.0, "")


def _in_short(design: Design) -> str:
    """Return a design in a few words."""
    choice = design.choice
    turbines = f"{choice.turbines} turbine{'s' if choice.turbines != 1 else ''}"
    chillers = f"{design.bank.chillers} chiller{'s' if design.bank.chillers != 1 else ''}"
    return f"{chillers}, {turbines}, {design.flow:.1f} kg/s"


def _temperatures(judge: Judge, design: Design) -> Decision:
    choice, peak, mean = design.choice, design.peak, design.mean
    drop = choice.chiller.number("drop")
    whole = math.floor(peak.passes)
    figures = [
        Figure(
            "q", design.flow, "kg/s", "flow through the consumers", "sum of what each needs below its limit"
        ),
        Figure(
            "Delta T_u", peak.returned - peak.supply, "difference", "rise in the consumers", "Phi_u / (q c)"
        ),
        Figure("n", peak.passes, "1", "mean passes at the peak", "n = Phi_loop / (q c Delta)"),
        Figure("k", whole, "1", "whole passes", "floor(n)"),
        Figure("f", peak.passes - whole, "1", "the rest", "n - k"),
        Figure("T_s", choice.set_point, "K", "set point of every switch that decides on a pass"),
        Figure("d", design.differential, "difference", "differential", source=PRACTICE),
        Figure("T_hot", mean.hot, "K", "where the return tank rests", "T_s + k Delta"),
        Figure("T_supply", judge.day(design)["supply"], "K", "mean supply over the day", "T_s - f Delta"),
        Figure(
            "ripple",
            design.ripple,
            "difference",
            "swing of the supply while the plant hunts",
            "march of two mixed tanks",
            "a march by hand",
        ),
        Figure(
            "T_allowed",
            judge.allowed_supply(design),
            "K",
            "warmest supply that every consumer stands at its peak",
        ),
    ]
    if not LAYOUTS[choice.layout].decides:
        figures = [figure for figure in figures if figure.symbol not in ("n", "k", "f", "T_hot")]
    away = min(abs((judge.setting.ambient - choice.set_point) - k * drop) for k in range(-40, 41))
    figures.append(
        Figure(
            "away",
            away,
            "difference",
            "distance from the steps of liquid that stood at the ambient",
            "min |T_amb - T_s - k Delta|",
        )
    )
    why = (
        f"a set point is not a supply: it delivers {choice.set_point - drop - 273.15:.1f} to "
        f"{choice.set_point + design.differential - 273.15:.1f} degC"
        if LAYOUTS[choice.layout].decides
        else "in a bath the set point is the supply"
    )
    chosen = f"set point {choice.set_point - 273.15:.1f} degC, {design.flow:.1f} kg/s"
    return Decision("flow, passes, set point", chosen, why, tuple(figures))


def _chillers(judge: Judge, design: Design) -> Decision:
    choice, bank, survive = design.choice, design.bank, judge.setting.brief.survive
    one = judge.all_on_cooling(design) / bank.chillers
    duty = design.peak.load / (bank.chillers * one)
    with_less = (bank.chillers - 1) * one
    figures = (
        Figure("Phi_c", one, "W", "cooling of one at work", "q c Delta"),
        Figure(
            "COP",
            one / (choice.chiller.number("power") or math.nan),
            "1",
            "cooling by power at full flow",
            "q_r c Delta / P_r",
        ),
        Figure("N_c", bank.chillers, "1", "chillers", "see the layout"),
        Figure("duty", duty, "1", "of the bank at the peak", "Phi_loop / (N_c Phi_c)"),
        Figure("Phi(N-1)", with_less, "W", "what is left with one out of work", "(N_c - 1) Phi_c"),
        Figure(
            "shed", max(design.peak.load - with_less, 0.0), "W", "to be shed at the peak with one out of work"
        ),
    )
    why = (
        f"{survive.chillers} may be lost, so that many are there beside what the essential load needs"
        if survive.chillers
        else f"fewest that carry the peak; {'no' if with_less < design.peak.load else 'a'} spare"
    )
    at_hand = judge.setting.stock.number(choice.chiller)
    less = Alternative(
        f"{bank.chillers - 1} chillers",
        False,
        f"carry {with_less / 1e3:.0f} kW of {design.peak.load / 1e3:.0f} kW at the peak",
        design.peak.load - with_less,
        "load",
    )
    chosen = f"{bank.chillers} of {choice.chiller.use}"
    if math.isfinite(at_hand):
        chosen += f" ({at_hand:.0f} at hand)"
    return Decision("chillers", chosen, why, figures, (less,) if with_less < design.peak.load else ())
