"""Numbers from outside the project: standards, handbooks, textbooks, reference libraries.

`values.toml` has one entry per number with its source beside it.  Each is compared at its
own tolerance or, where ours is a table, at the stated error of the table if that is larger.
"""

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from scipy.optimize import brentq

from brinewright.fluids import fluid, property_value, water_tables
from brinewright.fluids.closures import state_from_p_h, state_from_p_s, vessel_capacity, vessel_state
from brinewright.fluids.saturation import (
    dry_out_temperature,
    liquid_full_temperature,
    saturation_line,
    saturation_pressure,
)
from brinewright.fluids.steam import steam_derivatives, steam_transport

CHECKS: list[dict[str, Any]] = tomllib.loads(Path(__file__).with_name("values.toml").read_text())["check"]

FORMULATIONS = 3e-4
"""IF97 and IAPWS-95 differ by up to 1.3e-4 in the volume of steam; ours is IAPWS-95."""
SECOND_ORDER = 1e-3
"""They differ more in second derivatives: 4e-4 in c_p near 77 degC, 9e-4 in the speed of sound at 27 degC."""

_DENSE = "above the 300 bar to which the liquid table goes"
_HOT = "above 400 degC, where the steam table ends"
_SMALL = "another region of IF97, which is not a formulation of ours"
NOT_COMPUTED: dict[str, str] = {
    "if97-r1-v-300K-80MPa": _DENSE,
    "if97-r1-h-300K-80MPa": _DENSE,
    "if97-r1-s-300K-80MPa": _DENSE,
    "if97-r1-Tph-80-500": _DENSE,
    "if97-r1-Tps-80-3": _DENSE,
    "visc-373.15K-1000": _DENSE,
    "if97-r2-v-700K-30MPa": _HOT,
    "if97-r2-h-700K-30MPa": _HOT,
    "if97-r2-s-700K-30MPa": _HOT,
    "if97-r2-cp-700K-30MPa": _HOT,
    "if97-r2-Tph-5-3500": _HOT,
    "if97-r2-Tph-25-3500": _HOT,
    "if97-r2-Tps-20-5.75": _HOT,
    "thcond-873.15K-0": _HOT,
    "cb-7-5-w": _HOT,
    "if97-r2meta-v-450K-1MPa": "steam that has cooled below saturation is not a state of ours",
    "if97-r2meta-h-450K-1MPa": "steam that has cooled below saturation is not a state of ours",
    "if97-r2meta-s-450K-1MPa": "steam that has cooled below saturation is not a state of ours",
    "if97-r3-p-650K-500": _SMALL,
    "if97-r3-h-650K-500": _SMALL,
    "if97-r3-s-650K-500": _SMALL,
    "if97-r5-h-1500K": _SMALL,
    "if97-r5-s-1500K": _SMALL,
    "if97-b23-623K": _SMALL,
    "if97-r1-phs-0.001-0": "no machine here needs p from h and s",
    "if97-r1-phs-1500-3.4": "no machine here needs p from h and s",
    "if97-r2-phs-2800-6.5": "no machine here needs p from h and s",
    "if97-r2-phs-3600-7": "no machine here needs p from h and s",
    "nh3-p-0C": "ammonia as a refrigerant stays inside a chiller, whose maker's table serves",
    "nh3-rhol-0C": "ammonia as a refrigerant stays inside a chiller, whose maker's table serves",
    "nh3-rhov-0C": "ammonia as a refrigerant stays inside a chiller, whose maker's table serves",
    "nh3-hfg-0C": "ammonia as a refrigerant stays inside a chiller, whose maker's table serves",
    "nh3-tboil-1atm": "ammonia as a refrigerant stays inside a chiller, whose maker's table serves",
}

COOLANTS = {
    "AEG": "ethylene glycol {:g} % by volume",
    "APG": "propylene glycol {:g} % by volume",
    "MEG": "ethylene glycol {:g} %",
    "MPG": "propylene glycol {:g} %",
    "MCA": "calcium chloride brine {:g} %",
    # another author's table of the same brine
    "VCA": "calcium chloride brine {:g} %",
    "MNA": "sodium chloride brine {:g} %",
    "MAM": "ammonia water {:g} %",
}

Inputs = dict[str, Any]
W = water_tables()


def water(name: str) -> Callable[[Inputs], float]:
    return lambda i: fluid("water").value(name, T=i["T_K"], p=i["p_Pa"])


def at_density(name: str) -> Callable[[Inputs], float]:
    """The property at a temperature and a density, by way of the pressure that belongs to them."""

    def value(i: Inputs) -> float:
        return fluid("water").value(name, T=i["T_K"], p=pressure_at(i["T_K"], i["rho_kg_m3"]))

    return value


def pressure_at(T: float, rho: float) -> float:
    if rho < 60.0:
        return float(steam_derivatives(W, T, rho)[0])
    low = float(saturation_pressure(W, T)[0]) * 1.001
    return float(brentq(lambda p: fluid("water").value("density", T=T, p=p) - rho, low, 3e7, xtol=1e-3))


def line(index: int) -> Callable[[Inputs], float]:
    return lambda i: saturation_line(W, i["T_K"])[index]


def conductivity(i: Inputs) -> float:
    if i["rho_kg_m3"] == 0.0:
        return steam_transport(W, i["T_K"], 0.0)[1]
    return at_density("conductivity")(i)


def temperature_ph(i: Inputs) -> float:
    return state_from_p_h(W, i["p_Pa"], i["h_J_kg"])[0]


def temperature_ps(i: Inputs) -> float:
    return state_from_p_s(W, i["p_Pa"], i["s_J_kgK"])[1]


def vessel_energy(volume: float, mass: float, T: float) -> float:
    x = vessel_dryness(volume, mass, T)
    _, _, _, uf, ug, *_ = saturation_line(W, T)
    return mass * (uf + x * (ug - uf))


def vessel_dryness(volume: float, mass: float, T: float) -> float:
    _, vf, vg, *_ = saturation_line(W, T)
    return float((volume / mass - vf) / (vg - vf))


def vessel_x(i: Inputs) -> float:
    """By way of the closure: from v and u back to the dryness."""
    energy = vessel_energy(i["V_m3"], i["m_kg"], i["T_K"])
    T, _, x, region = vessel_state(W, i["V_m3"] / i["m_kg"], energy / i["m_kg"], 330.0)
    assert region == 0
    assert pytest.approx(i["T_K"], abs=1e-6) == T
    return x


def vessel_after_heat(i: Inputs) -> float:
    energy = vessel_energy(i["V_m3"], i["m_kg"], i["T1_K"]) + i["Q_J"]
    return vessel_state(W, i["V_m3"] / i["m_kg"], energy / i["m_kg"], i["T1_K"])[0]


def vessel_pressure(i: Inputs) -> float:
    """A dried-out vessel: the steam's energy at T and density, and back through the closure."""
    v = i["V_m3"] / i["m_kg"]
    u = steam_derivatives(W, i["T_K"], 1.0 / v)[1]
    return vessel_state(W, v, u, 400.0)[1]


def gas(name: str) -> Callable[[Inputs], float]:
    return lambda i: fluid(i["gas"]).value(name, T=i["T_K"], p=i["p_Pa"])


def gas_ratio(i: Inputs) -> float:
    def one(which: str) -> float:
        product = 1.0
        for part in i["prop"].replace("rho_cp", "rho cp").split():
            product *= fluid(which).value(part, T=i["T_K"], p=i["p_Pa"])
        return product

    return one(i["gas"]) / one("air")


def coolant(name: str) -> Callable[[Inputs], float]:
    def value(i: Inputs) -> float:
        one = fluid(COOLANTS[i["coolprop_name"]].format(100.0 * i["fraction"]))
        return one.value(name, T=i.get("T_K"))

    return value


def coolant_order(i: Inputs) -> float:
    pure = fluid("water")
    ethylene, propylene = (
        fluid(f"{name} glycol {100.0 * i['fraction']:g} % by volume") for name in ("ethylene", "propylene")
    )
    T = i["T_K"]
    cp = pure.value("cp", T=T, p=101325.0) > propylene.value("cp", T=T) > ethylene.value("cp", T=T)
    mu = pure.value("mu", T=T, p=101325.0) < ethylene.value("mu", T=T) < propylene.value("mu", T=T)
    return float(cp and mu)


def expansion(i: Inputs) -> tuple[float, float]:
    """Enthalpy drop and exit dryness of an expansion at constant entropy."""
    start = {"T": i["T1_K"], "p": i["p1_Pa"]} if "p1_Pa" in i else {"T": i["T1_K"], "x": i["x1"]}
    h, s = (fluid("water").value(name, **start) for name in ("h", "s"))
    end = i["p2_Pa"] if "p2_Pa" in i else float(saturation_pressure(W, i["T2sat_K"])[0])
    h2, _, x2, _ = state_from_p_s(W, end, s)
    return h - h2, x2


def rankine(i: Inputs) -> tuple[float, float]:
    """Enthalpy and dryness after the turbine of a simple cycle."""
    p = i["p_boiler_Pa"]
    s = (
        fluid("water").value("s", T=i["T_in_K"], p=p)
        if "T_in_K" in i
        else fluid("water").value("s", p=p, x=1.0)
    )
    h2, _, x2, _ = state_from_p_s(W, i["p_cond_Pa"], s)
    return h2, x2


def mixed(i: Inputs) -> float:
    _, _, _, uf, ug, *_ = saturation_line(W, i["T_K"])
    return float((i["u_J_kg"] - uf) / (ug - uf))


def split_volume(i: Inputs) -> float:
    _, vf, vg, *_ = saturation_line(W, i["T_K"])
    return float(i["m_liq_kg"] * vf + i["m_vap_kg"] * vg)


KINDS: dict[str, tuple[Callable[[Inputs], float], float]] = {
    # kind: how it is computed, and the relative error allowed beside the file's tolerance
    "sat.p": (line(0), 0.0),
    "sat.vf": (line(1), 0.0),
    "sat.vg": (line(2), 0.0),
    "sat.hf": (line(5), 0.0),
    "sat.hg": (line(6), 0.0),
    "sat.hfg": (lambda i: fluid("water").value("latent heat", T=i["T_K"]), 0.0),
    "sat.sf": (line(7), 0.0),
    "sat.sg": (line(8), 0.0),
    "if97.psat": (line(0), FORMULATIONS),
    "if97.tsat": (lambda i: fluid("water").value("boiling point", p=i["p_Pa"]), FORMULATIONS),
    **{
        f"if97.r{region}.{short}": (water(name), SECOND_ORDER if short in ("cp", "w") else FORMULATIONS)
        for region in (1, 2)
        for short, name in (
            ("v", "specific volume"), ("h", "enthalpy"), ("u", "internal energy"), ("s", "entropy"),
            ("cp", "heat capacity"), ("w", "speed of sound"),
        )
    },
    "if97.r1.T_ph": (temperature_ph, FORMULATIONS),
    "if97.r2.T_ph": (temperature_ph, FORMULATIONS),
    "if97.r1.T_ps": (temperature_ps, FORMULATIONS),
    "if97.r2.T_ps": (temperature_ps, FORMULATIONS),
    # the same formulation as ours, so the stated error of the table is all there is
    "iapws95.cv": (at_density("heat capacity at constant volume"), 2 * 4.7e-5),
    "iapws95.w": (at_density("speed of sound"), 1e-4),
    "iapws95.s": (at_density("entropy"), 1e-6),
    # in the liquid 2e-6 of density is 2e-4 of pressure
    "iapws95.p": (lambda i: pressure_at(i["T_K"], i["rho_kg_m3"]), 2e-4),
    "iapws95.sat.p": (line(0), 1e-7),
    "iapws95.sat.rhol": (lambda i: 1.0 / line(1)(i), 1e-7),
    "iapws95.sat.rhov": (lambda i: 1.0 / line(2)(i), 1e-7),
    "iapws95.sat.hl": (line(5), 1e-7),
    "iapws95.sat.hv": (line(6), 1e-7),
    "iapws95.sat.sl": (line(7), 1e-7),
    "iapws95.sat.sv": (line(8), 1e-7),
    "water.T_boil": (lambda i: fluid("water").value("boiling point", p=i["p_Pa"]), 0.0),
    "water.conductivity": (conductivity, 3.3e-4),
    "water.viscosity": (at_density("viscosity"), 2.3e-6),
    "water.surface_tension": (lambda i: fluid("water").value("sigma", T=i["T_K"]), 0.0),
    **{f"water.{name}": (water(name), 0.0) for name in ("cp", "k", "mu", "rho")},
    "steam.hg_minus_hf": (
        lambda i: saturation_line(W, i["T_steam_K"])[6] - saturation_line(W, i["T_return_K"])[5], 0.0,
    ),
    "steam.u_px": (lambda i: fluid("water").value("u", p=i["p_Pa"], x=i["x"]), 0.0),
    "vessel.x": (vessel_x, 0.0),
    "vessel.U": (lambda i: vessel_energy(i["V_m3"], i["m_kg"], i["T_K"]), 0.0),
    "vessel.Q": (
        lambda i: vessel_energy(i["V_m3"], i["m_kg"], i["T2_K"])
        - vessel_energy(i["V_m3"], i["m_kg"], i["T1_K"]),
        0.0,
    ),
    "vessel.C_eff": (
        lambda i: i["m_kg"] * vessel_capacity(W, i["V_m3"] / i["m_kg"], i["T_K"], 232e3, 0), 0.0,
    ),
    "vessel.V_liquid": (
        lambda i: i["m_kg"] * (1.0 - vessel_dryness(i["V_m3"], i["m_kg"], i["T_K"])) * line(1)(i), 0.0,
    ),
    "vessel.T_after_heat": (vessel_after_heat, 0.0),
    "vessel.T_dry": (lambda i: dry_out_temperature(W, 1.0 / i["rho_kg_m3"]), 0.0),
    "vessel.T_full": (lambda i: liquid_full_temperature(W, 1.0 / i["rho_kg_m3"]), 0.0),
    "vessel.p": (vessel_pressure, 0.0),
    # Dalton, with ideal-gas air in a constant volume
    "vessel.p_with_air": (
        lambda i: saturation_pressure(W, i["T2_K"])[0] + i["p_air1_Pa"] * i["T2_K"] / i["T1_K"], 0.0,
    ),
    "vessel.V_from_split": (split_volume, 0.0),
    "vessel.mix_u_T": (mixed, 0.0),
    "gas.rho": (gas("density"), 0.0),
    "gas.cp": (gas("heat capacity"), 0.0),
    "gas.mu": (gas("viscosity"), 0.0),
    "gas.k": (gas("conductivity"), 0.0),
    "gas.Pr": (gas("Prandtl number"), 0.0),
    "gas.ratio": (gas_ratio, 0.0),
    "gas.mass_in_enclosure": (lambda i: i["V_m3"] * gas("density")(i), 0.0),
    "incomp.rho": (coolant("density"), 0.0),
    "incomp.cp": (coolant("heat capacity"), 0.0),
    "incomp.mu": (coolant("viscosity"), 0.0),
    "incomp.k": (coolant("conductivity"), 0.0),
    "incomp.T_freeze": (coolant("freezing point"), 0.0),
    "incomp.order": (coolant_order, 0.0),
    "turbine.dhs": (lambda i: expansion(i)[0], 0.0),
    "turbine.x2s": (lambda i: expansion(i)[1], 0.0),
    "rankine.h2s": (lambda i: rankine(i)[0], 0.0),
    "rankine.x2s": (lambda i: rankine(i)[1], 0.0),
}  # fmt: skip

COMPUTED = [check for check in CHECKS if check["id"] not in NOT_COMPUTED]


@pytest.mark.parametrize("kind", sorted({check["kind"] for check in COMPUTED}))
def test_values_from_outside_are_reproduced(kind: str) -> None:
    compute, table = KINDS[kind]
    for check in (entry for entry in COMPUTED if entry["kind"] == kind):
        got, wanted = compute(check["inputs"]), check["expected"]
        allowed = max(check.get("rtol", 0.0) * abs(wanted), check.get("atol", 0.0), table * abs(wanted))

        assert abs(got - wanted) <= allowed, f"{check['id']} ({check['source']}): {got} against {wanted}"


def test_every_value_is_computed_or_named_with_a_reason() -> None:
    ids = {check["id"] for check in CHECKS}

    assert len(ids) == len(CHECKS) == 285
    assert set(NOT_COMPUTED) <= ids
    assert {check["kind"] for check in COMPUTED} <= set(KINDS)


def test_values_out_of_range_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match="outside"):
        property_value("water", "v", temperature=300.0, pressure=80e6)
    with pytest.raises(ValueError, match="outside"):
        property_value("water", "v", temperature=700.0, pressure=30e6)
