"""Each law against the numbers of values.toml, every one with its source and tolerance there."""

import math
import tomllib
from pathlib import Path

import pytest

from brinewright.laws import (
    bore,
    carnot,
    chilling,
    exchange,
    expansion,
    fins,
    fitting,
    fixed_drop,
    forced_convection,
    free_convection,
    friction,
    hydrogen,
    insulation,
    lump,
    mean_difference,
    pipe_flow,
    plug,
    pumping,
    radiation,
    rating,
    relay,
    room,
    steam_cycle,
    tank,
    valve_flow,
)
from tests.laws.water import exhaust_pressure, expand, gas, water

ZERO = 273.15
STANDARD_GRAVITY = 9.80665
# Worked examples of the textbooks take 9.8 or 9.81; the tolerance of each entry covers it.

CHECKS = tomllib.loads((Path(__file__).parent / "values.toml").read_text(encoding="utf-8"))["check"]

NOT_COMPUTED = {
    "unit.F_to_C": "conversions belong to units",
    "fact.material": "limits of materials belong to rulebooks",
    "fact.trade": "common practice, no source: shown by runs of a rulebook with those numbers",
}
OWN_TEST = {"network.parallel_split", "fact.hydrogen"}


# -- steam ---------------------------------------------------------------------------------------------


def rankine(i):
    """Enthalpies of an ideal cycle: steam, ideal exhaust, condensate, pump work."""
    state = {"P": i["p_boiler_Pa"], "T": i["T_in_K"]} if "T_in_K" in i else {"P": i["p_boiler_Pa"], "Q": 1}
    low = i["p_cond_Pa"]
    pump = steam_cycle.feed_pump_work(1.0 / water("D", P=low, Q=0), low, i["p_boiler_Pa"], 1.0)
    ideal = water("H", P=low, S=water("S", **state))
    return water("H", **state), ideal, water("H", P=low, Q=0), pump


def rankine_efficiency(i):
    steam, ideal, condensate, pump = rankine(i)
    work = expansion.specific_work(steam, ideal, 1.0)
    return steam_cycle.cycle_efficiency(steam, work, condensate, pump)


def rankine_net(i):
    steam, ideal, _, pump = rankine(i)
    return expansion.specific_work(steam, ideal, 1.0) - pump


def rankine_dryness(i):
    _, ideal, condensate, _ = rankine(i)
    return expansion.dryness(ideal, condensate, water("H", P=i["p_cond_Pa"], Q=1))


def real_cycle(i):
    """Net work and heat of a cycle with losses in its lines, [J/kg] and [J/kg]."""
    pump = steam_cycle.feed_pump_work(1.0 / water("D", P=i["p1_Pa"], Q=0), i["p1_Pa"], i["p2_Pa"], i["eta_p"])
    steam = water("H", P=i["p5_Pa"], T=i["T5_K"])
    ideal = water("H", P=i["p6_Pa"], S=water("S", P=i["p5_Pa"], T=i["T5_K"]))
    net = expansion.specific_work(steam, ideal, i["eta_t"]) - pump
    heat = water("H", P=i["p4_Pa"], T=i["T4_K"]) - water("H", P=i["p3_Pa"], T=i["T3_K"])
    return net, heat


def exit_efficiency(i):
    steam, ideal = expand(i)
    return expansion.isentropic_efficiency(steam, water("H", P=i["p2_Pa"], T=i["T2_K"]), ideal)


def ideal_dryness(i):
    pressure = exhaust_pressure(i)
    _, ideal = expand(i)
    return expansion.dryness(ideal, water("H", P=pressure, Q=0), water("H", P=pressure, Q=1))


def work_fraction(i):
    steam, ideal = expand({"T1_K": i["T_steam_K"], "x1": 1.0, "T2sat_K": i["T_return_K"]})
    work = expansion.specific_work(steam, ideal, 1.0)
    return steam_cycle.cycle_efficiency(steam, work, water("H", T=i["T_return_K"], Q=0), 0.0)


def steam_over_drop(i):
    heat = steam_cycle.condenser_heat(
        1.0, water("H", T=i["T_steam_K"], Q=1), 0.0, water("H", T=i["T_return_K"], Q=0)
    )
    per_kilogram = water("C", T=i["T_cool_K"], P=i["p_Pa"])
    return heat / fixed_drop.cooling_duty(1.0, per_kilogram, i["drop_K"])


def fixed_drop_of_water(i):
    high, low = i["T_in_K"], i["T_in_K"] - i["drop_K"]
    mean = (water("H", T=high, P=i["p_Pa"]) - water("H", T=low, P=i["p_Pa"])) / i["drop_K"]
    return fixed_drop.cooling_duty(i["m_dot_kg_s"], mean, i["drop_K"])


STEAM = {
    "turbine.dhs": lambda i: expansion.specific_work(*expand(i), 1.0),
    "turbine.w": lambda i: expansion.specific_work(*expand(i), i["eta"]),
    "turbine.x2s": ideal_dryness,
    "turbine.work_fraction_bound": work_fraction,
    "turbine.power": lambda i: expansion.electric_power(
        i["m_dot_kg_s"], expansion.specific_work(*expand(i), i["eta"]), 1.0, 1.0
    ),
    "turbine.eta_from_exit": exit_efficiency,
    "turbine.m_dot_from_exit": lambda i: (
        i["W_W"] * expansion.steam_rate(expansion.specific_work(*expand(i), exit_efficiency(i)))
    ),
    "rankine.eta": rankine_efficiency,
    "rankine.h2s": lambda i: rankine(i)[0] - expansion.specific_work(rankine(i)[0], rankine(i)[1], 1.0),
    "rankine.qin": lambda i: rankine_net(i) / rankine_efficiency(i),
    "rankine.qout": lambda i: steam_cycle.condenser_heat(
        1.0, rankine(i)[0], expansion.specific_work(rankine(i)[0], rankine(i)[1], 1.0), rankine(i)[2]
    ),
    "rankine.x2s": rankine_dryness,
    "rankine.bwr": lambda i: rankine(i)[3] / expansion.specific_work(rankine(i)[0], rankine(i)[1], 1.0),
    "rankine.m_dot": lambda i: i["W_net_W"] * expansion.steam_rate(rankine_net(i)),
    "rankine.Q_out": lambda i: steam_cycle.condenser_heat(
        i["W_net_W"] / rankine_net(i),
        rankine(i)[0],
        expansion.specific_work(rankine(i)[0], rankine(i)[1], 1.0),
        rankine(i)[2],
    ),
    "rankine_actual.eta": lambda i: real_cycle(i)[0] / real_cycle(i)[1],
    "rankine_actual.W_net": lambda i: i["m_dot_kg_s"] * real_cycle(i)[0],
    "ratio.steam_vs_fixed_drop": steam_over_drop,
    "chiller.Q_fixed_drop_water": fixed_drop_of_water,
}

# -- second law ----------------------------------------------------------------------------------------


def load_weight(i):
    loads = [100.0, 75.0, 50.0, 25.0]
    return rating.integrated_performance(*(1.0 if load == i["load_percent"] else 0.0 for load in loads))


RATING = {
    "en14511-chw-in": rating.CHILLED_WATER_ENTERING,
    "en14511-chw-out": rating.CHILLED_WATER_LEAVING,
    "en14511-cw-in": rating.COOLING_WATER_ENTERING,
    "en14511-cw-out": rating.COOLING_WATER_LEAVING,
    "en14511-air": rating.OUTDOOR_AIR,
}

SECOND_LAW = {
    "carnot.eta": lambda i: carnot.engine_bound(i["T_hot_K"], i["T_cold_K"]),
    "carnot.cop_cooling": lambda i: carnot.cooling_bound(i["T_cold_K"], i["T_hot_K"]),
    "carnot.W_min_cooling": lambda i: carnot.least_cooling_power(i["Q_cold_W"], i["T_cold_K"], i["T_hot_K"]),
    "carnot.W_min_heating": lambda i: carnot.least_heating_power(i["Q_hot_W"], i["T_cold_K"], i["T_hot_K"]),
    "loop.net_reversible": lambda i: carnot.reversible_loop_power(
        i["Q_cold_W"], i["T_cold_K"], i["T_vessel_K"], i["T_sink_K"]
    ),
    "chiller.Q_reject": lambda i: chilling.heat_rejected(i["Q_cold_W"], i["COP"]),
    "fact.rating": lambda i: load_weight(i) if i else None,
}

# -- hydraulics ----------------------------------------------------------------------------------------


def factor(i):
    reynolds = pipe_flow.reynolds_number(i["Q_m3_s"], i["D_m"], i["rho_kg_m3"], i["mu_Pa_s"])
    return friction.moody(reynolds, i["eps_m"] / i["D_m"])


def loss(i):
    return pipe_flow.darcy_loss(i["Q_m3_s"], i["L_m"], i["D_m"], factor(i), i["rho_kg_m3"])[0]


ROUGHNESS = {
    "rough-commercial-steel": friction.ROUGHNESS["commercial steel"],
    "rough-cast-iron": friction.ROUGHNESS["cast iron"],
    "rough-galvanised-iron": friction.ROUGHNESS["galvanised iron"],
    "rough-drawn-tubing": friction.ROUGHNESS["drawn tubing"],
}


def suction(i):
    density = water("D", T=i["T_K"], Q=0)
    lost = i["h_loss_m"] * density * STANDARD_GRAVITY
    vapour = water("P", T=i["T_K"], Q=0)
    return pumping.suction_head(i["p_surface_Pa"], vapour, density, STANDARD_GRAVITY, i["z_m"], lost)


HYDRAULICS = {
    "friction.colebrook": lambda i: friction.colebrook(i["Re"], i["eD"]),
    "friction.haaland": lambda i: friction.haaland(i["Re"], i["eD"]),
    "friction.swamee_jain": lambda i: friction.swamee_jain(i["Re"], i["eD"]),
    "friction.churchill1977": lambda i: friction.churchill(i["Re"], i["eD"])[0],
    "friction.laminar": lambda i: friction.laminar(i["Re"]),
    "friction.blasius": lambda i: friction.blasius(i["Re"]),
    "friction.rough_limit": lambda i: friction.rough_limit(i["eD"]),
    "friction.moody_chart": lambda i: friction.moody(i["Re"], i["eD"]),
    "pipe.dp": loss,
    "pipe.pump_power": lambda i: pumping.shaft_power_of_pressure(i["Q_m3_s"], loss(i), 1.0),
    "pipe.head": lambda i: loss(i) / (i["rho_kg_m3"] * STANDARD_GRAVITY),
    "pipe.f": factor,
    "pipe.ID": lambda i: bore.schedule_40_bore(i["NPS"]),
    "minor.sudden_expansion": lambda i: fitting.sudden_expansion(i["D1_m"], i["D2_m"]),
    "minor.entrance_sharp": lambda i: fitting.ENTRANCE_SHARP,
    "minor.exit": lambda i: fitting.EXIT,
    "crane.K_globe": lambda i: fitting.equivalent_loss(fitting.EQUIVALENT_LENGTH["globe valve"], i["fT"]),
    "crane.K_gate": lambda i: fitting.equivalent_loss(fitting.EQUIVALENT_LENGTH["gate valve"], i["fT"]),
    "crane.K_ball": lambda i: fitting.equivalent_loss(fitting.EQUIVALENT_LENGTH["ball valve"], i["fT"]),
    "crane.K_swing_check": lambda i: fitting.equivalent_loss(
        fitting.EQUIVALENT_LENGTH["swing check valve"], i["fT"]
    ),
    "crane.fT": lambda i: fitting.rough_steel_factor(i["D_m"]),
    "crane.K_elbow90_standard": lambda i: fitting.equivalent_loss(
        fitting.EQUIVALENT_LENGTH["elbow 90"], fitting.rough_steel_factor(i["D_m"])
    ),
    "valve.Kv_dp": lambda i: valve_flow.valve_loss(
        i["Q_m3_h"] / 3600.0, i["Kv_m3_h"] / 3600.0, 1000.0 * i["SG"]
    )[0],
    "valve.Kv_to_Cv": lambda i: valve_flow.customary_coefficient(i["Kv_m3_h"] / 3600.0),
    "valve.Kv_to_K": lambda i: valve_flow.loss_coefficient(i["Kv_m3_h"] / 3600.0, i["D_m"]),
    "fact.roughness": lambda i: None,
    "pump.hydraulic_power": lambda i: pumping.shaft_power(
        i["Q_m3_s"], i["H_m"], i["rho_kg_m3"], STANDARD_GRAVITY, i["eta"]
    ),
    "pump.affinity_P": lambda i: pumping.affine_power(i["P1_W"], i["n2"] / i["n1"]),
    "pump.affinity_H": lambda i: pumping.affine_head(i["H1_m"], i["n2"] / i["n1"]),
    "pump.op_point_Q": lambda i: pumping.operating_flow(
        i["H0_m"], i["a_s2_m5"], i["Hs_m"], i["b_s2_m5"], i.get("n_parallel", 1)
    ),
    "pump.NPSHa": suction,
    "pump.dT_fluid": lambda i: pumping.pump_warming(i["H_m"], i["eta"], i["cp_J_kgK"], STANDARD_GRAVITY),
}

# -- convection and radiation --------------------------------------------------------------------------


def rayleigh(i, size):
    return free_convection.rayleigh_number(
        STANDARD_GRAVITY, i["beta_1_K"], i["T_s_K"] - i["T_inf_K"], size, i["nu_m2_s"], i["alpha_m2_s"]
    )


def plate_heat(i):
    filled = dict(i)
    filled.setdefault("alpha_m2_s", i["nu_m2_s"] / i["Pr"])
    nusselt = free_convection.vertical_plate(rayleigh(filled, i["L_m"]), i["Pr"])
    coefficient = forced_convection.film_coefficient(nusselt, i["k_W_mK"], i["L_m"])
    return coefficient * i["L_m"] * i["W_m"] * (i["T_s_K"] - i["T_inf_K"])


def cylinder_heat(i):
    filled = dict(i)
    filled.setdefault("alpha_m2_s", i["nu_m2_s"] / i["Pr"])
    nusselt = free_convection.horizontal_cylinder(rayleigh(filled, i["L_m"]), i["Pr"])
    coefficient = forced_convection.film_coefficient(nusselt, i["k_W_mK"], i["L_m"])
    if "eps" in i:
        coefficient += radiation.radiative_coefficient(i["eps"], i["T_s_K"], i["T_inf_K"])
    return coefficient * math.pi * i["L_m"] * (i["T_s_K"] - i["T_inf_K"])


def duct_heat(i):
    half = i["w_m"] / 2.0

    def coefficient(nusselt, size):
        return forced_convection.film_coefficient(nusselt, i["k_W_mK"], size)

    side = coefficient(free_convection.vertical_plate_laminar(rayleigh(i, i["H_m"]), i["Pr"]), i["H_m"])
    top = coefficient(free_convection.plate_facing_up_warm(rayleigh(i, half)), half)
    bottom = coefficient(free_convection.plate_facing_down_warm(rayleigh(i, half)), half)
    return (2.0 * i["H_m"] * side + i["w_m"] * (top + bottom)) * (i["T_s_K"] - i["T_inf_K"])


def crossflow_coefficient(i):
    nusselt = forced_convection.churchill_bernstein(i["V_m_s"] * i["D_m"] / i["nu_m2_s"], i["Pr"])
    return forced_convection.film_coefficient(nusselt, i["k_W_mK"], i["D_m"])


def bare_pipe_heat(i):
    total = i["h_W_m2K"] + radiation.radiative_coefficient(i["eps"], i["T_s_K"], i["T_inf_K"])
    return (i["T_s_K"] - i["T_inf_K"]) / insulation.film_resistance(i["D_m"] / 2.0, total)


def double_pane_heat(i):
    mean = 0.5 * (i["T1_K"] + i["T2_K"])
    number = free_convection.rayleigh_number(
        STANDARD_GRAVITY, 1.0 / mean, i["T1_K"] - i["T2_K"], i["L_m"], i["nu_m2_s"], i["nu_m2_s"] / i["Pr"]
    )
    nusselt = free_convection.vertical_gap(number, i["Pr"], i["H_m"] / i["L_m"])
    coefficient = forced_convection.film_coefficient(nusselt, i["k_W_mK"], i["L_m"])
    return coefficient * i["H_m"] * i["W_m"] * (i["T1_K"] - i["T2_K"])


def free_gas_coefficient(i):
    mean = 0.5 * (i["T_s_K"] + i["T_inf_K"])
    k, nu, alpha, prandtl = gas(i["gas"], mean, i["p_Pa"])
    number = free_convection.rayleigh_number(
        STANDARD_GRAVITY, 1.0 / mean, i["T_s_K"] - i["T_inf_K"], i["L_m"], nu, alpha
    )
    cylinder = i["geometry"] == "horizontal cylinder"
    law = free_convection.horizontal_cylinder if cylinder else free_convection.vertical_plate
    return forced_convection.film_coefficient(law(number, prandtl), k, i["L_m"])


CONVECTION = {
    "nu.dittus_boelter": lambda i: forced_convection.dittus_boelter(i["Re"], i["Pr"], i["heating"]),
    "nu.gnielinski": lambda i: forced_convection.gnielinski(i["Re"], i["Pr"], i["f_darcy"]),
    "nu.gnielinski_petukhov_f": lambda i: forced_convection.gnielinski(
        i["Re"], i["Pr"], forced_convection.petukhov_friction(i["Re"])
    ),
    "nu.laminar_T": lambda i: forced_convection.LAMINAR_AT_CONSTANT_TEMPERATURE,
    "nu.laminar_Q": lambda i: forced_convection.LAMINAR_AT_CONSTANT_FLUX,
    "nu.hausen": lambda i: forced_convection.hausen(i["Re"], i["Pr"], i["D_m"] / i["L_m"]),
    "nu.churchill_bernstein": lambda i: forced_convection.churchill_bernstein(i["Re"], i["Pr"]),
    "nu.churchill_chu_plate": lambda i: free_convection.vertical_plate(i["Ra"], i["Pr"]),
    "nu.churchill_chu_cylinder": lambda i: free_convection.horizontal_cylinder(i["Ra"], i["Pr"]),
    "conv.Q_vertical_plate": plate_heat,
    "conv.Ra": lambda i: rayleigh(i, i["L_m"]),
    "conv.q_per_m_horizontal_cylinder": cylinder_heat,
    "conv.q_duct_bottom_top_sides": duct_heat,
    "conv.h_cylinder_crossflow": crossflow_coefficient,
    "conv.q_pipe_uninsulated": bare_pipe_heat,
    "conv.double_pane_q": double_pane_heat,
    "conv.h_free_gas": free_gas_coefficient,
    "conv.h_free_ratio": lambda i: free_gas_coefficient(i) / free_gas_coefficient({**i, "gas": "air"}),
    "radiation.h_r": lambda i: radiation.radiative_coefficient(i["eps"], i["T1_K"], i["T2_K"]),
}

# -- heat exchangers -----------------------------------------------------------------------------------

ARRANGEMENT = {
    "counterflow": exchange.COUNTERFLOW,
    "parallel": exchange.PARALLEL,
    "crossflow": exchange.CROSS_UNMIXED,
    "crossflow, mixed Cmax": exchange.CROSS_LARGER_MIXED,
    "crossflow, mixed Cmin": exchange.CROSS_SMALLER_MIXED,
    "S&T": exchange.ONE_SHELL,
    "condenser": exchange.ONE_SIDE_CONSTANT,
}


def duty(i):
    return exchange.exchanged_heat(
        ARRANGEMENT[i["arrangement"]], i["UA_W_K"], i["Ch_W_K"], i["Cc_W_K"], i["Th_in_C"] + ZERO,
        i["Tc_in_C"] + ZERO,
    )  # fmt: skip


def double_pipe_length(i):
    heat = i["m_h_kg_s"] * i["cp_h"] * (i["Th_in_C"] - i["Th_out_C"])
    cold_out = i["Tc_in_C"] + plug.warming(heat, i["m_c_kg_s"], i["cp_c"])
    reynolds = 4.0 * i["m_c_kg_s"] / (math.pi * i["D_i_m"] * i["mu_c"])
    inside = forced_convection.film_coefficient(
        forced_convection.dittus_boelter(reynolds, i["Pr_c"], True), i["k_c"], i["D_i_m"]
    )
    outside = forced_convection.film_coefficient(i["Nu_annulus"], i["k_h"], i["D_o_m"] - i["D_i_m"])
    difference = mean_difference.log_mean(i["Th_in_C"] - cold_out, i["Th_out_C"] - i["Tc_in_C"])
    overall = mean_difference.overall_coefficient(inside, outside, 0.0)
    return mean_difference.area_needed(heat, overall, difference, 1.0) / (math.pi * i["D_i_m"])


def condenser_tube_length(i):
    out = i["Tc_in_C"] + plug.warming(i["Q_W"], i["m_c_kg_s"], i["cp_c"])
    reynolds = 4.0 * i["m_c_kg_s"] / i["n_tubes"] / (math.pi * i["D_m"] * i["mu"])
    inside = forced_convection.film_coefficient(
        forced_convection.dittus_boelter(reynolds, i["Pr"], True), i["k"], i["D_m"]
    )
    overall = mean_difference.overall_coefficient(inside, i["h_o"], 0.0)
    difference = mean_difference.log_mean(i["T_cond_C"] - i["Tc_in_C"], i["T_cond_C"] - out)
    area = mean_difference.area_needed(i["Q_W"], overall, difference, 1.0)
    return area / (i["n_tubes"] * i["n_pass"] * math.pi * i["D_m"])


def conductance_needed(i):
    least, most = sorted((i["Ch_W_K"], i["Cc_W_K"]))
    wanted = i["Q_W"] / (least * (i["Th_in_C"] - i["Tc_in_C"]))
    return least * exchange.transfer_units(ARRANGEMENT[i["arrangement"]], wanted, least / most)


def ends(i):
    return i["Th_in_C"] - i["Tc_out_C"], i["Th_out_C"] - i["Tc_in_C"]


EXCHANGERS = {
    "hx.effectiveness": lambda i: exchange.effectiveness(ARRANGEMENT[i["arrangement"]], i["NTU"], i["Cr"]),
    "hx.NTU": lambda i: exchange.transfer_units(ARRANGEMENT[i["arrangement"]], i["effectiveness"], i["Cr"]),
    "hx.length_double_pipe": double_pipe_length,
    "hx.UA_required": conductance_needed,
    "hx.T_hot_out": lambda i: i["Th_in_C"] - duty(i) / i["Ch_W_K"],
    "hx.T_cold_out": lambda i: i["Tc_in_C"] + duty(i) / i["Cc_W_K"],
    "hx.condenser_tube_length": condenser_tube_length,
    "hx.LMTD": lambda i: mean_difference.log_mean(*ends(i)),
    "hx.area_LMTD": lambda i: mean_difference.area_needed(
        i["Q_W"], i["U_W_m2K"], mean_difference.log_mean(*ends(i)), 1.0
    ),
    "hx.F_one_shell": lambda i: mean_difference.one_shell_correction(
        (i["Th_in_C"] - i["Th_out_C"]) / (i["Tc_out_C"] - i["Tc_in_C"]),
        (i["Tc_out_C"] - i["Tc_in_C"]) / (i["Th_in_C"] - i["Tc_in_C"]),
    ),
}

# -- insulation and fins -------------------------------------------------------------------------------


def layered_loss(i):
    radii = i["r_m"]
    total = insulation.film_resistance(radii[-1], i["h_out_W_m2K"])
    if "h_in_W_m2K" in i:
        total += insulation.film_resistance(radii[0], i["h_in_W_m2K"])
    for inner, outer, conductivity in zip(radii, radii[1:], i["k_W_mK"], strict=False):
        total += insulation.layer_resistance(inner, outer, conductivity)
    return (i["T_in_K"] - i["T_amb_K"]) / total


def layered_surface(i):
    conductance = layered_loss(i) / (i["T_in_K"] - i["T_amb_K"])
    return insulation.surface_temperature(
        i["T_in_K"], i["T_amb_K"], conductance, i["r_m"][-1], i["h_out_W_m2K"]
    )


def wire(i):
    total = insulation.layer_resistance(i["r1_m"], i["r2_m"], i["k_W_mK"])
    total += insulation.film_resistance(i["r2_m"], i["h_W_m2K"])
    return lump.rest_temperature(i["Q_W"], i["L_m"] / total, i["T_amb_C"] + ZERO) - ZERO


INSULATION = {
    "insul.q_per_m": layered_loss,
    "insul.T_surface": layered_surface,
    "insul.r_critical": lambda i: insulation.critical_radius(i["k_W_mK"], i["h_W_m2K"]),
    "insul.wire_T": wire,
    "insul.buried_pipe_Q": lambda i: (
        insulation.buried_conductance(i["D_m"], i["z_m"], i["k_W_mK"]) * i["L_m"] * (i["T1_C"] - i["T2_C"])
    ),
    "wall.Q": lambda i: (
        insulation.wall_coefficient(i["h_in_W_m2K"], i["R_wall_m2K_W"], i["h_out_W_m2K"])
        * i["A_m2"]
        * (i["T_in_C"] - i["T_out_C"])
    ),
    "iso12241.h_cv_pipe_indoor": lambda i: insulation.indoor_pipe_coefficient(i["D_e_m"], i["dT_K"]),
    "fin.efficiency_straight": lambda i: fins.straight_efficiency(
        i["h_W_m2K"], i["k_W_mK"], i["t_m"], i["L_m"]
    ),
    "fin.efficiency_annular": lambda i: fins.annular_efficiency(
        i["h_W_m2K"], i["k_W_mK"], i["t_m"], i["r1_m"], i["r2_m"]
    ),
    "fin.q_infinite_rod": lambda i: fins.long_rod_heat(i["h_W_m2K"], i["k_W_mK"], i["D_m"], i["theta_b_K"]),
}

# -- dynamics, rooms, hydrogen -------------------------------------------------------------------------


def on_off(i):
    heat = i["Q_W"] if i["mode"] == "heating" else -i["Q_W"]
    return relay.lump_on_off(
        i["T_lo_C"] + ZERO, i["T_hi_C"] + ZERO, heat, i["H_W_K"], i["T_amb_C"] + ZERO, i["C_J_K"]
    )


def stirred_tank(i):
    cp = i.get("cp_J_kgK", 4186.0)
    return (
        tank.mixed_temperature(
            i["t_s"], i["T0_C"] + ZERO, i["T_in_C"] + ZERO, i["m_dot_kg_s"], cp, i["m_kg"],
            i.get("UA_W_K", 0.0), i.get("T_amb_C", 0.0) + ZERO, i.get("Q_W", 0.0),
        ) - ZERO
    )  # fmt: skip


def two_nodes(i):
    air, _ = room.two_node_temperatures(
        i["t_s"], i["T1_0_C"] + ZERO, i["T2_0_C"] + ZERO, i["C1_J_K"], i["C2_J_K"],
        i["H12_W_K"], i["H1a_W_K"], 0.0, i["T_amb_C"] + ZERO, i["Q1_W"], 0.0,
    )  # fmt: skip
    return air - ZERO


def capacity_flow(i):
    return i["m_dot_kg_s"] * i["cp_J_kgK"]


DYNAMICS = {
    "plug.T_out": lambda i: (
        plug.outlet_temperature(i["T_in_C"] + ZERO, i["T_amb_C"] + ZERO, i["UA_W_K"], capacity_flow(i)) - ZERO
    ),
    "plug.Q_loss": lambda i: plug.heat_lost(
        i["T_in_C"] + ZERO, i["T_amb_C"] + ZERO, i["UA_W_K"], capacity_flow(i)
    ),
    "plug.x_for_T": lambda i: plug.distance_to_reach(
        i["T_x_C"] + ZERO, i["T_in_C"] + ZERO, i["T_amb_C"] + ZERO, i["UA_per_m_W_mK"], capacity_flow(i)
    ),
    "plug.delay": lambda i: plug.transport_delay(i["L_m"], i["D_m"], i["rho_kg_m3"], i["m_dot_kg_s"]),
    "plug.front_delay_with_wall": lambda i: plug.front_delay(
        i["L_m"], i["D_i_m"], i["D_o_m"], i["rho_f"], i["cp_f"], i["rho_w"], i["cp_w"], i["m_dot_kg_s"]
    ),
    "plug.dT_heater": lambda i: plug.warming(i["Q_W"], i["m_dot_kg_s"], i["cp_J_kgK"]),
    "tank.mixed_step": stirred_tank,
    "tank.mixed_loss": stirred_tank,
    "tank.series_step": lambda i: tank.series_step(i["n"], i["theta"]),
    "tank.two_node_mix_T": lambda i: (
        tank.blended_temperature(i["m1_kg"], i["T1_C"] + ZERO, i["m2_kg"], i["T2_C"] + ZERO) - ZERO
    ),
    "tank.stratified_front_time": lambda i: tank.front_time(i["V_m3"], i["Q_m3_s"]),
    "tank.thermocline_erfc": lambda i: tank.thermocline(i["z_m"], i["t_s"], i["alpha_m2_s"]),
    "buffer.volume": lambda i: tank.volume_for_run_time(
        i["Q_excess_W"], i["t_min_s"], i["dT_K"], i["rho_kg_m3"] * i["cp_J_kgK"]
    ),
    "thermostat.t_on": lambda i: on_off(i)[0],
    "thermostat.t_off": lambda i: on_off(i)[1],
    "thermostat.period": lambda i: sum(on_off(i)),
    "thermostat.duty": lambda i: on_off(i)[0] / sum(on_off(i)),
    "thermostat.min_period_integrating": lambda i: relay.least_period(i["C_J_K"], i["band_K"], i["Q_W"]),
    "room.tau": lambda i: lump.time_constant(i["C_J_K"], i["H_W_K"]),
    "room.T_steady": lambda i: lump.rest_temperature(i["Q_W"], i["H_W_K"], i["T_amb_C"] + ZERO) - ZERO,
    "room.T_t": lambda i: (
        lump.temperature_at(i["t_s"], i["T0_C"] + ZERO, i["Q_W"], i["H_W_K"], i["T_amb_C"] + ZERO, i["C_J_K"])
        - ZERO
    ),
    "room.t_to_reach": lambda i: lump.time_to_reach(
        i["T_target_C"] + ZERO, i["T0_C"] + ZERO, i["Q_W"], i["H_W_K"], i["T_amb_C"] + ZERO, i["C_J_K"]
    ),
    "room.two_node_T": two_nodes,
    "iso13790.eta_heating": lambda i: room.gain_utilisation(i["gamma"], i["tau_h"] * 3600.0),
    "iso13790.Cm": lambda i: room.heat_capacity_of_building(i["A_f_m2"], i["class_J_m2K"]),
    "iso13790.H_ventilation": lambda i: room.ventilation_conductance(
        i["V_m3"], i["ach_1_h"] / 3600.0, room.AIR_VOLUMETRIC_CAPACITY
    ),
    "h2.LFL": lambda i: hydrogen.LOWER_FLAMMABLE,
    "h2.UFL": lambda i: hydrogen.UPPER_FLAMMABLE,
    "h2.T_autoignition": lambda i: hydrogen.AUTOIGNITION,
    "h2.LHV": lambda i: hydrogen.LOWER_HEATING_VALUE,
    "h2.stoichiometric": lambda i: hydrogen.STOICHIOMETRIC,
}

COMPUTED = STEAM | SECOND_LAW | HYDRAULICS | CONVECTION | EXCHANGERS | INSULATION | DYNAMICS

# Entries whose answer is a constant of ours, in kelvin where the entry is in degC.
CONSTANTS = {name: value - ZERO for name, value in RATING.items()} | ROUGHNESS


def holds(check, value):
    if check.get("op") == "gt":
        return value > check["expected"]
    tolerance = check.get("atol", 0.0) + check.get("rtol", 0.0) * abs(check["expected"])
    # a tolerance of exactly 0 is meant for stated numbers; kelvin and back costs the last digits
    return abs(value - check["expected"]) <= tolerance + 1e-12 * abs(check["expected"])


@pytest.mark.parametrize("kind", sorted(COMPUTED))
def test_laws_give_the_published_numbers(kind):
    entries = [check for check in CHECKS if check["kind"] == kind]
    found = {
        check["id"]: CONSTANTS[check["id"]] if check["id"] in CONSTANTS else COMPUTED[kind](check["inputs"])
        for check in entries
    }
    wrong = [
        f"{check['id']}: {found[check['id']]!r}, published {check['expected']} ({check['source']})"
        for check in entries
        if not holds(check, found[check["id"]])
    ]

    assert entries
    assert wrong == []


def test_parallel_branches_share_a_flow():
    """Closed form."""
    (check,) = (entry for entry in CHECKS if entry["kind"] == "network.parallel_split")
    i = check["inputs"]

    assert check["expected"] == pytest.approx(
        i["Q_m3_s"] * pumping.parallel_share(i["R1"], i["R2"]), rel=check["rtol"]
    )


def test_hydrogen_facts_agree_with_the_constants():
    """Hydrogen-safety handbooks (from memory) and IEC 60034-3 practice, as in values.toml."""
    facts = {check["id"]: check for check in CHECKS if check["kind"] == "fact.hydrogen"}

    assert facts["h2-mie"]["expected"] == pytest.approx(hydrogen.IGNITION_ENERGY, rel=facts["h2-mie"]["rtol"])
    assert facts["h2-purity"]["expected"] <= hydrogen.RATED_PURITY
    # any mixture from 4 to 75 % hydrogen in air burns, so an enclosure with air must not be filled
    assert all(hydrogen.is_flammable(x, 0.2095 * (1.0 - x)) for x in (0.04, 0.3, 0.75))
    assert not any(hydrogen.is_flammable(x, 0.2095 * (1.0 - x)) for x in (0.039, 0.76))


def test_every_kind_is_computed_or_has_a_reason():
    kinds = {check["kind"] for check in CHECKS}

    assert kinds == set(COMPUTED) | set(NOT_COMPUTED) | OWN_TEST
    assert set(COMPUTED) & set(NOT_COMPUTED) == set()


def test_every_number_names_its_source():
    assert [check["id"] for check in CHECKS if not check["source"].strip()] == []
