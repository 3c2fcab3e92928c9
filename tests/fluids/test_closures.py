"""The compiled closures: round trips, order, continuity, edges, and the trade's round numbers."""

import os
import subprocess
import sys
import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from brinewright.fluids import layout, water_tables
from brinewright.fluids.closures import (
    LIQUID,
    STEAM,
    TOO_COLD,
    TOO_DENSE,
    TOO_HOT,
    TWO_PHASE,
    state_from_p_h,
    state_from_p_s,
    vessel_capacity,
    vessel_state,
)
from brinewright.fluids.liquid import liquid_derivatives, liquid_state
from brinewright.fluids.saturation import (
    dry_out_temperature,
    liquid_full_temperature,
    saturation_line,
    saturation_pressure,
    saturation_temperature,
    two_phase_energy,
)
from brinewright.fluids.steam import (
    steam_density,
    steam_derivatives,
    steam_energy,
    steam_pressure,
    steam_state,
)
from brinewright.fluids.surface_tension import surface_tension
from brinewright.jit import UNCOMPILED, compiled

W = water_tables()
ON_LINE = st.floats(layout.LOWEST_TEMPERATURE, layout.HIGHEST_SATURATION)
SHARE = st.floats(0.0, 1.0)
GUESS = st.floats(250.0, 700.0)


# --- the trade's round numbers, IAPWS-95 to the digits printed -----------------------------------


def test_saturation_at_125_and_135_degc_is_that_of_the_steam_tables() -> None:
    p, _, vg, _, _, hf, hg, _, _ = saturation_line(W, 398.15)
    assert [round(p / 1e5, 4), round(hg / 1e3, 1), round(hf / 1e3, 1), round(1 / vg, 4)] == [
        2.3224, 2713.1, 525.1, 1.2987,
    ]  # fmt: skip
    p, vf, vg, _, _, hf, hg, _, _ = saturation_line(W, 408.15)
    assert [round(p / 1e5, 4), round(hg / 1e3, 1), round((hg - hf) / 1e3, 1)] == [3.1323, 2726.9, 2159.1]
    assert [round(1 / vf, 1), round(1 / vg, 4)] == [930.5, 1.7190]
    assert [round(saturation_line(W, T)[5] / 1e3, 1) for T in (318.15, 368.15)] == [188.4, 398.1]
    assert round(saturation_pressure(W, 448.15)[0] / 1e5, 4) == 8.9260


def test_six_cubic_metres_dry_out_where_the_steam_tables_say() -> None:
    got = [round(dry_out_temperature(W, 6.0 / mass) - 273.15, 1) for mass in (6.0, 12.0, 20.0, 28.0)]

    assert got == [116.2, 140.6, 160.9, 175.5]
    assert round(dry_out_temperature(W, 0.5) - 273.15, 2) == 140.63


def test_a_dried_out_vessel_superheats_along_a_gas_line() -> None:
    u = steam_derivatives(W, 448.15, 2.0)[1]
    T, p, x, region = vessel_state(W, 0.5, u, 410.0)

    assert region == STEAM
    assert x == 1.0
    assert pytest.approx(448.15, abs=1e-6) == T
    assert round(p / 1e5, 2) == 4.02


def test_cold_fills_become_full_of_liquid_where_the_steam_tables_say() -> None:
    density = 1.0 / saturation_line(W, 293.15)[1]
    fills = {125: 94.1, 135: 93.2, 150: 91.9, 175: 89.4, 200: 86.6}
    got = {t: round(100.0 / saturation_line(W, 273.15 + t)[1] / density, 1) for t in fills}

    assert got == fills


def test_a_full_vessel_gains_1_6_mpa_per_kelvin() -> None:
    """950 kg/m3 is full at 111 degC; the slope there from IAPWS-95."""
    v = 1.0 / 950.0
    full = liquid_full_temperature(W, v)
    uf = saturation_line(W, full)[3]
    T, p, x, region = vessel_state(W, v, uf + 4.0e3, full)

    assert region == LIQUID
    assert x == 0.0
    assert (p - saturation_pressure(W, full)[0]) / (T - full) == pytest.approx(1.6e6, rel=0.03)


def test_throttled_condensate_flashes_by_6_6_per_cent() -> None:
    T, x, region = state_from_p_h(W, 101325.0, saturation_line(W, 408.15)[5])

    assert region == TWO_PHASE
    assert round(T - 273.15, 2) == 99.97
    assert round(100.0 * x, 1) == 6.6


def test_expansions_of_saturated_steam_give_the_work_of_the_steam_tables() -> None:
    """Isentropic efficiency 0.70; kJ/kg to 95, 60 and 45 degC, IAPWS-95."""
    table = {
        125: (119.0, 266.8, 333.4), 135: (154.3, 299.7, 365.3),
        150: (203.8, 345.7, 409.8), 175: (277.4, 414.2, 476.0),
    }  # fmt: skip
    for start, works in table.items():
        line = saturation_line(W, 273.15 + start)
        got = [
            0.7e-3 * (line[6] - state_from_p_s(W, saturation_pressure(W, 273.15 + end)[0], line[8])[0])
            for end in (95, 60, 45)
        ]

        assert [round(work, 1) for work in got] == list(works)


# --- round trips ---------------------------------------------------------------------------------


@given(ON_LINE)
def test_temperature_to_pressure_and_back(T: float) -> None:
    assert abs(saturation_temperature(W, saturation_pressure(W, T)[0]) - T) < 1e-8


@given(ON_LINE, ON_LINE)
def test_saturation_pressure_rises_with_temperature(a: float, b: float) -> None:
    low, high = sorted((a, b))
    if high - low > 1e-9:
        assert saturation_pressure(W, low)[0] < saturation_pressure(W, high)[0]
    assert saturation_pressure(W, low)[1] > 0.0


def test_slope_of_the_saturation_line_obeys_clausius_and_clapeyron() -> None:
    """dp/dT = h_fg / (T v_fg), from first principles."""
    for T in np.linspace(274.0, 584.0, 200):
        _, vf, vg, _, _, hf, hg, _, _ = saturation_line(W, T)

        assert saturation_pressure(W, T)[1] == pytest.approx((hg - hf) / (T * (vg - vf)), rel=2e-6)


@given(ON_LINE, SHARE, GUESS)
def test_two_phase_state_comes_back_from_volume_and_energy(T: float, x: float, guess: float) -> None:
    _, vf, vg, uf, ug, *_ = saturation_line(W, T)
    got_T, p, got_x, _ = vessel_state(W, vf + x * (vg - vf), uf + x * (ug - uf), guess)
    edge = x < 1e-6 or x > 1.0 - 1e-6  # there the neighbouring table may answer, within its error

    assert abs(got_T - T) < (1e-3 if edge else 1e-6)
    assert abs(got_x - x) < 1e-5
    assert abs(p - saturation_pressure(W, T)[0]) < (3000.0 if edge else 1e-6 * p + 1.0)


@given(st.floats(layout.LOWEST_TEMPERATURE, layout.HIGHEST_TEMPERATURE), st.floats(1e-4, 0.999), GUESS)
def test_steam_comes_back_from_volume_and_energy(T: float, share: float, guess: float) -> None:
    rho = share / saturation_line(W, T)[2]
    p, u, *_ = steam_derivatives(W, T, rho)
    got_T, got_p, x, region = vessel_state(W, 1.0 / rho, u, guess)

    assert (region, x) == (STEAM, 1.0)
    assert abs(got_T - T) < 1e-6
    assert got_p == pytest.approx(p, rel=1e-9)


@given(ON_LINE, st.floats(0.001, 1.0), GUESS)
def test_liquid_comes_back_from_volume_and_energy(T: float, share: float, guess: float) -> None:
    p = saturation_pressure(W, T)[0]
    p += (layout.HIGHEST_LIQUID_PRESSURE - p) * share * 0.9999
    v, u, *_ = liquid_derivatives(W, T, p)
    got_T, got_p, x, region = vessel_state(W, v, u, guess)

    assert (region, x) == (LIQUID, 0.0)
    # near 4 degC the volume hardly depends on T, which leaves the last digits of both open
    assert abs(got_T - T) < 1e-6
    assert abs(got_p - p) < 10.0


@given(ON_LINE, st.floats(-0.2, 1.2))
def test_enthalpy_and_entropy_lead_back_to_the_state(T: float, place: float) -> None:
    T = min(T, 584.14)  # up to 100 bar
    p, _, _, _, _, hf, hg, sf, sg = saturation_line(W, T)
    h = hf + place * (hg - hf)
    got_T, x, region = state_from_p_h(W, p, h)
    if region == TWO_PHASE:
        assert abs(got_T - T) < 1e-8
        assert x == pytest.approx(place, abs=1e-9)
        s = sf + x * (sg - sf)
    elif region == STEAM:
        state = steam_state(W, got_T, p)
        assert state[2] == pytest.approx(h, abs=0.1)
        s = state[3]
    elif region == LIQUID:
        state = liquid_state(W, got_T, p)
        assert state[2] == pytest.approx(h, abs=0.1)
        s = state[3]
    else:
        assert region in (TOO_HOT, TOO_COLD)
        return
    back_h, back_T, _, back_region = state_from_p_s(W, p, s)
    if min(abs(place), abs(place - 1.0)) > 1e-4:
        assert back_region == region
        assert back_h == pytest.approx(h, abs=0.2)
        assert back_T == pytest.approx(got_T, abs=1e-4)


# --- order and continuity ------------------------------------------------------------------------


@given(st.floats(0.0012, 100.0), st.floats(20e3, 2.9e6), st.floats(1.0, 1e5))
def test_temperature_and_pressure_rise_with_heat_in_a_closed_vessel(v: float, u: float, heat: float) -> None:
    T1, p1, _, one = vessel_state(W, v, u, 400.0)
    T2, p2, _, two = vessel_state(W, v, u + heat, 400.0)
    if one >= 0 and two >= 0 and T1 > 278.0:
        # at the dome two tables meet within their error
        assert T2 > T1 - 1e-3
        assert p2 > p1 - max(3e-6 * p1, 1500.0 if LIQUID in (one, two) else 0.0)


@pytest.mark.parametrize("mass", [0.05, 0.5, 2.0, 10.0, 50.0])
def test_nothing_jumps_at_dry_out(mass: float) -> None:
    v = 1.0 / mass
    T = dry_out_temperature(W, v)
    u = saturation_line(W, T)[4]
    below, above = (vessel_state(W, v, u + step, T) for step in (-2.0, 2.0))

    assert (below[3], above[3]) == (TWO_PHASE, STEAM)
    # 4 J/kg is below 4 mK of steam; the tables meet within 0.76 mK
    assert -0.001 < above[0] - below[0] < 0.005
    assert above[1] == pytest.approx(below[1], rel=2e-4)


@pytest.mark.parametrize("density", [995.0, 950.0, 900.0, 800.0, 700.0])
def test_nothing_jumps_when_the_liquid_fills_the_vessel(density: float) -> None:
    v = 1.0 / density
    T = liquid_full_temperature(W, v)
    u = saturation_line(W, T)[3]
    below, above = (vessel_state(W, v, u + step, T) for step in (-1.0, 1.0))

    assert (below[3], above[3]) == (TWO_PHASE, LIQUID)
    assert abs(above[0] - below[0]) < 0.002
    # 1 J/kg is about 0.3 mK and 0.5 kPa; the tables meet within 1.3 kPa
    assert abs(above[1] - below[1]) < 2.5e3


def test_the_three_tables_meet_on_the_dome() -> None:
    for T in np.linspace(273.2, 584.0, 300):
        p, vf, vg, uf, ug, _, _, sf, sg = saturation_line(W, T)
        rho, u, _, s, _ = liquid_state(W, T, p)
        assert rho * vf == pytest.approx(1.0, abs=2.1e-6)
        assert u == pytest.approx(uf, abs=0.6)
        assert s == pytest.approx(sf, abs=2e-3)
        rho, u, _, s, _ = steam_state(W, T, p)
        assert rho * vg == pytest.approx(1.0, abs=1e-6)
        assert u == pytest.approx(ug, abs=0.1)
        assert s == pytest.approx(sg, abs=1e-3)


# --- derivatives against differences -------------------------------------------------------------


@given(st.floats(275.0, 583.0), st.floats(0.01, 0.98))
def test_slopes_of_the_liquid_are_those_of_its_values(T: float, share: float) -> None:
    p = saturation_pressure(W, T)[0] + 1e5 + 2.9e7 * 0.9 * share
    _, _, _, cp, v_T, v_p, _ = liquid_derivatives(W, T, p)
    hot, cold = (liquid_derivatives(W, T + step, p) for step in (0.01, -0.01))
    thick, thin = (liquid_derivatives(W, T, p + step) for step in (1e4, -1e4))

    assert (hot[6] - cold[6]) / 0.02 == pytest.approx(cp, rel=1e-5)
    assert (hot[0] - cold[0]) / 0.02 == pytest.approx(v_T, rel=1e-4, abs=1e-12)
    assert (thick[0] - thin[0]) / 2e4 == pytest.approx(v_p, rel=1e-4)


@given(st.floats(275.0, 672.0), st.floats(0.001, 0.99))
def test_slopes_of_steam_are_those_of_its_values(T: float, share: float) -> None:
    rho = share / saturation_line(W, T)[2]
    p, u, _, cv, p_T, p_rho = steam_derivatives(W, T, rho)
    hot, cold = (steam_derivatives(W, T + step, rho) for step in (0.01, -0.01))
    thick, thin = (steam_derivatives(W, T, rho * (1.0 + step)) for step in (1e-3, -1e-3))

    assert (hot[1] - cold[1]) / 0.02 == pytest.approx(cv, rel=1e-5)
    assert (hot[0] - cold[0]) / 0.02 == pytest.approx(p_T, rel=1e-5)
    assert (thick[0] - thin[0]) / (2e-3 * rho) == pytest.approx(p_rho, rel=1e-5)
    assert steam_energy(W, T, rho) == pytest.approx((u, cv), rel=1e-9)
    assert steam_pressure(W, T, rho) == pytest.approx(p, rel=1e-12)
    assert steam_density(W, T, p) == pytest.approx(rho, rel=1e-9)


@given(ON_LINE, st.floats(0.02, 0.98))
def test_capacity_of_a_closed_vessel_is_the_slope_of_its_energy(T: float, x: float) -> None:
    T = min(max(T, 274.0), 583.0)
    _, vf, vg, *_ = saturation_line(W, T)
    v = vf + x * (vg - vf)
    slope = (two_phase_energy(W, T + 1e-3, v)[0] - two_phase_energy(W, T - 1e-3, v)[0]) / 2e-3

    assert vessel_capacity(W, v, T, 0.0, TWO_PHASE) == pytest.approx(slope, rel=1e-5)


def test_capacity_follows_the_state_through_every_region() -> None:
    for v, u in ((1.0 / 950.0, 480e3), (0.5, 1.2e6), (0.5, 2.65e6)):
        T, p, _, region = vessel_state(W, v, u, 400.0)
        warmer = vessel_state(W, v, u + 100.0, 400.0)

        assert warmer[3] == region
        assert vessel_capacity(W, v, T, p, region) == pytest.approx(100.0 / (warmer[0] - T), rel=1e-3)


# --- edges ---------------------------------------------------------------------------------------


def test_states_outside_the_tables_say_on_which_side() -> None:
    cases = {
        (0.5, -50e3): TOO_COLD, (1.0 / 1000.2, -20e3): TOO_COLD, (300.0, 2.3e6): TOO_COLD,
        (0.5, 3.5e6): TOO_HOT, (300.0, 3.5e6): TOO_HOT,
        (0.003, 2.0e6): TOO_DENSE, (0.002, 2.5e6): TOO_DENSE, (1.0 / 950.0, 700e3): TOO_DENSE,
    }  # fmt: skip
    for (v, u), code in cases.items():
        for guess in (280.0, 400.0, 650.0):
            T, p, x, region = vessel_state(W, v, u, guess)

            assert region == code, (v, u, guess)
            assert layout.LOWEST_TEMPERATURE <= T <= layout.HIGHEST_TEMPERATURE
            assert np.isfinite(p)
            assert -0.01 <= x <= 1.0
    assert state_from_p_h(W, 1e5, 3.6e6)[2] == TOO_HOT
    assert state_from_p_h(W, 1e5, -2e4)[2] == TOO_COLD
    assert state_from_p_h(W, 2e7, 1.6e6)[2] == TOO_DENSE
    assert state_from_p_s(W, 1e5, 9.5e3)[3] == TOO_HOT


@given(st.floats(0.0009, 1000.0), st.floats(-2e5, 4e6), GUESS)
def test_any_volume_and_energy_gets_an_answer(v: float, u: float, guess: float) -> None:
    T, p, x, region = vessel_state(W, v, u, guess)

    assert layout.LOWEST_TEMPERATURE <= T <= layout.HIGHEST_TEMPERATURE
    assert np.isfinite(p)
    assert np.isfinite(x)
    assert region in (TWO_PHASE, LIQUID, STEAM, TOO_COLD, TOO_HOT, TOO_DENSE)


def test_surface_tension_vanishes_at_the_critical_point() -> None:
    assert surface_tension(647.096 - 1e-6) == pytest.approx(0.0, abs=1e-9)


# --- speed and the oracle ------------------------------------------------------------------------


@compiled
def _many(W: np.ndarray, v: np.ndarray, u: np.ndarray, guess: np.ndarray) -> float:
    total = 0.0
    for i in range(len(v)):
        total += vessel_state(W, v[i], u[i], guess[i])[0]
    return total


@pytest.mark.skipif(UNCOMPILED, reason="speed of the compiled code")
def test_the_vessel_closure_takes_microseconds_at_most() -> None:
    """Two-phase 0.1, steam and liquid 0.6 microseconds on one core; ten times that is allowed here."""
    T = np.linspace(300.0, 580.0, 20_000)
    rows = np.array([saturation_line(W, t) for t in T])
    v, u = rows[:, 1] + 0.3 * (rows[:, 2] - rows[:, 1]), rows[:, 3] + 0.3 * (rows[:, 4] - rows[:, 3])
    _many(W, v, u, T + 0.5)
    start = time.perf_counter()
    total = _many(W, v, u, T + 0.5)
    taken = (time.perf_counter() - start) / len(T)

    assert total == pytest.approx(T.sum(), rel=1e-8)
    assert taken < 1e-6


@pytest.mark.skipif(UNCOMPILED, reason="compares with the compiled code")
def test_the_uncompiled_source_gives_the_same_numbers() -> None:
    program = """if True:
        from brinewright.fluids import water_tables
        from brinewright.fluids.closures import vessel_state, state_from_p_s
        W = water_tables()
        for v, u in ((0.1, 7e5), (0.5, 2.65e6), (1 / 950, 480e3)):
            print(*map(float, vessel_state(W, v, u, 350.0)))
        print(*map(float, state_from_p_s(W, 75e3, 6744.0)))
    """
    told = subprocess.run(
        [sys.executable, "-c", program],
        env={**os.environ, "BRINEWRIGHT_UNCOMPILED": "1", "PYTHONPATH": os.pathsep.join(sys.path)},
        capture_output=True, text=True, check=True,
    ).stdout.splitlines()  # fmt: skip
    got = [vessel_state(W, v, u, 350.0) for v, u in ((0.1, 7e5), (0.5, 2.65e6), (1 / 950, 480e3))]
    got.append(state_from_p_s(W, 75e3, 6744.0))
    for line, wanted in zip(told, got, strict=True):
        assert [float(word) for word in line.split()] == pytest.approx(list(wanted), rel=1e-9)
