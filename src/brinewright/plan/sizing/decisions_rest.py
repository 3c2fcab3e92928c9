"""The decisions on tanks, power and room, and the audits."""

import math

from brinewright.laws import carnot, threshold
from brinewright.plan.sizing.build import Built
from brinewright.plan.sizing.design import LEVELS, Design, levels_of
from brinewright.plan.sizing.judge import Judge
from brinewright.plan.sizing.record import BRIEF, LAW, PRACTICE, Decision, Figure


def tanks_decision(judge: Judge, design: Design, built: Built) -> Decision:
    """Return the volumes, and what they are good for."""
    liquid = design.choice.liquid
    tanks = {
        part.tag: float(part.values["volume"])  # type: ignore[arg-type]
        for part in built.loop.parts
        if part.tag.startswith("TK-10")
    }
    names = {"TK-101": "return", "TK-102": "waiting", "TK-103": "supply"}
    levels = levels_of(design.choice.layout, {names[tag]: volume for tag, volume in tanks.items()})
    free = sum(volume * (1.0 - levels[names[tag]]) for tag, volume in tanks.items())
    hold = tanks["TK-101"] * LEVELS["return"] * liquid.density / design.flow
    figures = [
        Figure(f"V({tag})", volume, "m3", f"{names[tag]} tank, run at {levels[names[tag]]:.0%}")
        for tag, volume in tanks.items()
    ]
    figures += [
        Figure("t_hold", hold, "s", "time that the content of the return tank lasts", "V level rho / q"),
        Figure(
            "t_ride",
            judge.ride_through(design),
            "s",
            "time that consumers stay cool without a working chiller",
            "two lags and the heat kept in all tanks",
        ),
        Figure("m_loop", built.hold_up, "kg", "liquid in lines and machines"),
        Figure("V_free", free, "m3", "free volume of all tanks", "sum of V (1 - level)"),
        Figure(
            "V_drain",
            built.hold_up / liquid.density * (1.0 + judge.setting.margin("drain")),
            "m3",
            "needed to drain the loop",
            "1.1 m_loop / rho",
        ),
    ]
    if design.choice.layout == "L4":
        cycle = design.tanks["return"] * LEVELS["return"] * liquid.density * liquid.heat_capacity
        group = max(design.bank.groups) * judge.all_on_cooling(design) / design.bank.chillers
        figures.append(
            Figure(
                "Z",
                3600.0 / (4.0 * cycle * design.differential / group),
                "1/h",
                "starts an hour of a group at most",
                "3600 Phi_step / (4 M c d)",
            )
        )
    chosen = ", ".join(f"{tag} {volume:.1f} m3" for tag, volume in tanks.items())
    why = f"all of them together can take the drained loop ({free:.1f} m3 free)"
    return Decision("tanks", chosen, why, tuple(figures))


def power_decision(judge: Judge, design: Design) -> Decision:
    """Return feeders and battery."""
    day = judge.day(design)
    choice = design.choice
    parts = design.battery_parts
    figures = [
        Figure(
            "P_ch", day["chillers_power"], "W", "chillers, mean of the day", "Phi_loop P_r / (q_r c Delta)"
        ),
        Figure("P_aux", design.auxiliaries, "W", "pumps and what the consumers draw"),
        Figure("P_t", day["generated"], "W", "turbines, mean of the day", "N min(P_max, eta Phi_t)", LAW),
        Figure("P_net", day["net_power"], "W", "left over, mean of the day", "P_t - P_ch - P_aux"),
        Figure("P_all", design.bank.chillers * choice.chiller.number("power"), "W", "every chiller at work"),
    ]
    figures += [
        Figure(f"E({cause})", energy, "J", "what the battery must cover") for cause, energy in parts.items()
    ]
    if design.battery:
        figures.append(
            Figure(
                "E_b",
                design.battery,
                "J",
                "battery: its troughs use half of it at most, a start from cold all",
                "max(sum of E / 0.5, E from cold)",
                PRACTICE,
            )
        )
    why = (
        "the battery is sized by the troughs of the net power, not by its mean; "
        "no feeder carries more than four fifths of what it may"
    )
    chosen = f"battery of {design.battery / 3.6e6:.0f} kWh" if design.battery else "no battery"
    if judge.outside:
        chosen += f", up to {judge.outside / 1e3:.0f} kW from outside"
    return Decision("power", chosen, why, tuple(figures))


def audit_decision(judge: Judge, design: Design) -> Decision:
    """Return what the declared laws claim."""
    choice, mean = design.choice, design.mean
    cold = choice.set_point - choice.chiller.number("drop")
    performance = mean.load / mean.chillers_power if mean.chillers_power else math.inf
    figures = [
        Figure(
            "eta_II",
            carnot.second_law_efficiency(performance, cold, mean.vessel),
            "1",
            "second-law efficiency that the chillers claim",
            "COP / (T_cold / (T_ve - T_cold))",
        ),
        Figure(
            "lost",
            mean.taken
            - mean.generated
            - mean.duty
            * choice.turbines
            * (
                judge.steam(choice).casing(judge.steam(choice).taken(mean.vessel)) if choice.turbines else 0.0
            ),
            "W",
            "heat that the turbines' law makes vanish",
            "Phi_t - P - Phi_case",
        ),
    ]
    if choice.turbine is not None and choice.turbines:
        share = choice.chiller.number("power_share")
        efficiency = choice.turbine.number("efficiency")
        figures += [
            Figure("eta", efficiency, "1", "turbines, declared", source=LAW),
            Figure(
                "eta_C",
                carnot.engine_bound(mean.vessel, choice.turbine.number("condensate_temperature")),
                "1",
                "Carnot limit between vessel and condensate",
                "1 - T_ret / T_ve",
            ),
            Figure(
                "G",
                threshold.bus_gain(efficiency, performance, share),
                "1",
                "turbine power gained per chiller power spent",
                "eta (COP + kappa)",
            ),
        ]
    why = "declared laws, not physics: the audits say what no machine could do"
    return Decision("audits", "see the numbers", why, tuple(figures))


def room_decision(judge: Judge, design: Design) -> Decision:
    """Return floor and heights: round tanks as wide as they are high, three times their floor for access."""
    floors = sum(math.pi / 4.0 * _width(volume) ** 2 for volume in design.tanks.values())
    vessel = design.choice.vessel
    base = vessel.number("volume") / vessel.number("inner_height")
    highest = max([_width(volume) for volume in design.tanks.values()] + [vessel.number("inner_height")])
    reach = max((need.consumer.height for need in judge.setting.needs), default=0.0)
    machines = 4.0 * (design.bank.chillers + design.choice.turbines)
    figures = (
        Figure("A_tanks", floors, "m2", "floor of the tanks, as wide as high", "pi D^2 / 4, V = pi D^3 / 4"),
        Figure("A_vessel", base, "m2", "floor of the vessel", "V / h"),
        Figure(
            "A",
            3.0 * (floors + base) + machines,
            "m2",
            "floor with room to walk, 4 m2 for each machine",
            "3 (A_tanks + A_vessel) + 4 N",
            PRACTICE,
        ),
        Figure("h", highest + 1.0, "m", "clear height: the tallest part and a metre"),
        Figure("h_c", reach, "m", "highest consumer above the tanks' floor", source=BRIEF),
    )
    chosen = f"{3.0 * (floors + base) + machines:.0f} m2, {highest + 1.0:.1f} m high"
    return Decision("floor and heights", chosen, "declared machines have no size: an estimate", figures)


def _width(volume: float) -> float:
    return float((4.0 * volume / math.pi) ** (1.0 / 3.0))
