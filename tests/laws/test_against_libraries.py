"""Laws against the general libraries fluids and ht over random points of their ranges.

Seed fixed.  Where both code the same formula the tolerance is 1e-9: rounding alone, with room for
another order of operations.  A looser one has its reason beside it.
"""

import math

import fluids
import ht
import numpy as np
import pytest
from scipy import special

from brinewright.laws import (
    effectiveness,
    exchange,
    fins,
    fitting,
    forced_convection,
    free_convection,
    friction,
    insulation,
    mean_difference,
    pipe_flow,
    radiation,
    valve_flow,
    vessel,
)

SAME = 1e-9
ft_crane = fluids.fittings.ft_Crane  # type: ignore[attr-defined]
POINTS = 60


def points(*ranges):
    """Log-uniform points inside the ranges, always the same ones."""
    random = np.random.default_rng(20240)
    columns = [np.exp(random.uniform(math.log(low), math.log(high), POINTS)) for low, high in ranges]
    return [tuple(float(x) for x in row) for row in np.transpose(columns)]


REYNOLDS = (4e3, 1e8)
ROUGHNESS = (1e-6, 0.05)


@pytest.mark.parametrize(
    ("ours", "theirs", "tolerance"),
    [
        (friction.colebrook, fluids.friction.Colebrook, SAME),
        (friction.haaland, fluids.friction.Haaland, SAME),
        # they keep (6.97/Re)^0.9 where the paper prints 5.74/Re^0.9 = (6.969/Re)^0.9
        (friction.swamee_jain, fluids.friction.Swamee_Jain_1976, 1e-4),
        (lambda re, rough: friction.churchill(re, rough)[0], fluids.friction.Churchill_1977, SAME),
    ],
)  # fmt: skip
def test_friction_factors_agree_with_fluids(ours, theirs, tolerance):
    for reynolds, roughness in points(REYNOLDS, ROUGHNESS):
        assert theirs(reynolds, roughness) == pytest.approx(ours(reynolds, roughness), rel=tolerance)


def test_explicit_friction_factors_stay_near_colebrook():
    """Haaland 1983 claims 2 %, Swamee and Jain 1976 claim 3 % (1 % in 5e3 to 1e8, 1e-6 to 1e-2)."""
    for reynolds, roughness in points((5e3, 1e8), (1e-6, 1e-2)):
        exact = friction.colebrook(reynolds, roughness)

        assert exact == pytest.approx(friction.haaland(reynolds, roughness), rel=0.02)
        assert exact == pytest.approx(friction.swamee_jain(reynolds, roughness), rel=0.03)


def test_pipe_loss_agrees_with_fluids():
    for velocity, bore, viscosity in points((0.05, 5.0), (0.01, 0.5), (3e-4, 2e-2)):
        flow = velocity * math.pi * bore**2 / 4
        reynolds = fluids.Reynolds(V=velocity, D=bore, rho=1000.0, mu=viscosity)
        theirs = fluids.friction.Churchill_1977(reynolds, 4.5e-5 / bore) * 30.0 / bore * 500.0 * velocity**2
        ours, _ = pipe_flow.pipe_loss(flow, 30.0, bore, 4.5e-5, 0.0, 1000.0, viscosity)

        assert theirs == pytest.approx(ours, rel=SAME)
        assert reynolds == pytest.approx(pipe_flow.reynolds_number(flow, bore, 1000.0, viscosity), rel=SAME)


def test_fittings_agree_with_fluids():
    for large, ratio in points((0.02, 0.5), (0.2, 0.95)):
        small = large * ratio
        expansion = fluids.fittings.diffuser_sharp(Di1=small, Di2=large, method="Rennels")

        assert expansion == pytest.approx(fitting.sudden_expansion(small, large), rel=SAME)
        # they stop the iteration of Colebrook's formula early
        assert ft_crane(large) == pytest.approx(fitting.rough_steel_factor(large), rel=1e-5)


def test_valve_coefficients_agree_with_fluids():
    # they round the constant between Kv and K to 1.6e9: 0.07 %; between Kv and Cv to 1.156
    for coefficient, bore in points((1.0, 500.0), (0.02, 0.3)):
        assert fluids.fittings.Kv_to_K(Kv=coefficient, D=bore) == pytest.approx(
            valve_flow.loss_coefficient(coefficient / 3600.0, bore), rel=2e-3
        )
        assert fluids.fittings.Kv_to_Cv(coefficient) == pytest.approx(
            valve_flow.customary_coefficient(coefficient / 3600.0), rel=1e-3
        )


def test_relief_area_agrees_with_fluids():
    """API 520-1 as coded in fluids, below and above the Napier correction."""
    for flow, pressure in points((0.01, 50.0), (2e5, 2.1e7)):
        saturation = 373.0  # only the superheat factor looks at it, and we give it 1
        theirs = fluids.safety_valve.API520_A_steam(
            m=flow, T=saturation, P1=pressure, Kd=0.975, Kb=1, Kc=1
        ) * fluids.safety_valve.API520_SH(saturation, pressure)

        assert theirs == pytest.approx(vessel.relief_area(flow, pressure, 0.975, 1.0, 1.0, 1.0), rel=1e-6)


PRANDTL = (0.7, 200.0)


@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        (
            lambda re, pr: forced_convection.dittus_boelter(re, pr, True),
            lambda re, pr: ht.conv_internal.turbulent_Dittus_Boelter(re, pr, heating=True),
        ),
        (
            lambda re, pr: forced_convection.dittus_boelter(re, pr, False),
            lambda re, pr: ht.conv_internal.turbulent_Dittus_Boelter(re, pr, heating=False),
        ),
        (
            lambda re, pr: forced_convection.gnielinski(re, pr, 0.02),
            lambda re, pr: ht.conv_internal.turbulent_Gnielinski(re, pr, 0.02),
        ),
        (forced_convection.churchill_bernstein, ht.conv_external.Nu_cylinder_Churchill_Bernstein),
    ],
)
def test_forced_convection_agrees_with_ht(ours, theirs):
    for reynolds, prandtl in points((4e3, 1e6), PRANDTL):
        assert theirs(reynolds, prandtl) == pytest.approx(ours(reynolds, prandtl), rel=SAME)


def test_hausen_agrees_with_ht():
    for reynolds, prandtl, ratio in points((10.0, 2300.0), PRANDTL, (1e-4, 0.1)):
        theirs = ht.conv_internal.laminar_entry_thermal_Hausen(reynolds, prandtl, 1.0, ratio)

        assert theirs == pytest.approx(forced_convection.hausen(reynolds, prandtl, ratio), rel=SAME)


def test_free_convection_agrees_with_ht():
    for rayleigh, prandtl in points((1e3, 1e12), PRANDTL):
        grashof = rayleigh / prandtl
        plate = ht.conv_free_immersed.Nu_vertical_plate_Churchill(prandtl, grashof)
        cylinder = ht.conv_free_immersed.Nu_horizontal_cylinder_Churchill_Chu(prandtl, grashof)

        assert plate == pytest.approx(free_convection.vertical_plate(rayleigh, prandtl), rel=SAME)
        assert cylinder == pytest.approx(free_convection.horizontal_cylinder(rayleigh, prandtl), rel=SAME)


def test_radiation_agrees_with_ht():
    for emissivity, temperature in points((0.05, 1.0), (250.0, 900.0)):
        theirs = ht.q_rad(emissivity=emissivity, T=temperature, T2=240.0)

        assert theirs == pytest.approx(
            radiation.radiated_heat(emissivity, 1.0, temperature, 240.0), rel=2e-6
        )  # they keep an older constant of Stefan and Boltzmann


ARRANGEMENTS = [
    (exchange.COUNTERFLOW, "counterflow"),
    (exchange.PARALLEL, "parallel"),
    (exchange.CROSS_UNMIXED, "crossflow"),
    (exchange.CROSS_LARGER_MIXED, "crossflow, mixed Cmax"),
    (exchange.CROSS_SMALLER_MIXED, "crossflow, mixed Cmin"),
    (exchange.ONE_SHELL, "S&T"),
]


@pytest.mark.parametrize(("code", "name"), ARRANGEMENTS)
def test_effectiveness_agrees_with_ht(code, name):
    for units, ratio in points((0.01, 15.0), (0.01, 1.0)):
        theirs = ht.effectiveness_from_NTU(NTU=units, Cr=ratio, subtype=name)
        # the exact cross flow is an integral there, solved by quadrature to about 1e-8
        assert theirs == pytest.approx(exchange.effectiveness(code, units, ratio), rel=1e-7)


@pytest.mark.parametrize("shells", [2, 3, 5])
def test_shells_in_series_agree_with_ht(shells):
    for units, ratio in points((0.1, 10.0), (0.05, 0.99)):
        theirs = ht.effectiveness_from_NTU(NTU=units, Cr=ratio, subtype="S&T", n_shell_tube=shells)
        single = effectiveness.one_shell(units / shells, ratio)

        assert theirs == pytest.approx(effectiveness.shells_in_series(single, ratio, shells), rel=SAME)


def test_approximate_cross_flow_stays_near_the_exact_one():
    for units, ratio in points((0.05, 10.0), (0.05, 1.0)):
        exact = effectiveness.cross_unmixed(units, ratio)

        assert exact == pytest.approx(effectiveness.cross_unmixed_approximate(units, ratio), abs=0.02)


def test_log_mean_and_correction_agree_with_ht():
    for hot, fall, rise in points((350.0, 450.0), (5.0, 30.0), (5.0, 30.0)):
        cold = hot - 75.0
        ends = (hot, hot - fall, cold, cold + rise)

        assert ht.LMTD(*ends) == pytest.approx(
            mean_difference.log_mean(hot - (cold + rise), (hot - fall) - cold), rel=SAME
        )
        assert ht.F_LMTD_Fakheri(
            Tci=cold, Tco=cold + rise, Thi=hot, Tho=hot - fall, shells=1
        ) == pytest.approx(mean_difference.one_shell_correction(fall / rise, rise / 75.0), rel=1e-7)


def test_bessel_functions_agree_with_scipy():
    for (x,) in points((1e-4, 700.0)):
        for order in (0, 1):
            assert special.ive(order, x) == pytest.approx(fins.bessel_i_scaled(order, x), rel=1e-11)
            assert special.kve(order, x) == pytest.approx(fins.bessel_k_scaled(order, x), rel=1e-11)


def test_annular_fins_agree_with_bessel_functions_of_scipy():
    """Kern and Kraus, from scipy's Bessel functions; ht has it with the same formula."""
    for coefficient, inner, height in points((5.0, 500.0), (0.005, 0.2), (0.002, 0.1)):
        outer, m = inner + height, math.sqrt(2 * coefficient / (50.0 * 0.001))
        a, b = m * inner, m * outer
        low = special.iv(0, a) * special.kv(1, b) + special.kv(0, a) * special.iv(1, b)
        top = special.kv(1, a) * special.iv(1, b) - special.iv(1, a) * special.kv(1, b)
        theirs = 2 * inner / (m * (outer**2 - inner**2)) * top / low

        # short fins: a difference of nearly equal products loses four digits
        assert theirs == pytest.approx(
            fins.annular_efficiency(coefficient, 50.0, 0.001, inner, outer), rel=1e-7
        )


def test_buried_pipe_agrees_with_ht():
    for diameter, depth in points((0.03, 0.5), (0.6, 5.0)):
        theirs = ht.conduction.S_isothermal_pipe_to_plane(D=diameter, Z=depth, L=1.0)

        assert theirs == pytest.approx(insulation.buried_conductance(diameter, depth, 1.0), rel=SAME)
