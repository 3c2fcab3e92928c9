"""The named rules that stand in where no published table does, held to their stated errors."""

import numpy as np
import pytest

from brinewright.fluids import fluid
from brinewright.fluids.solution_fluid import VAPOUR_ERROR

ATMOSPHERE = 101325.0


@pytest.mark.parametrize(
    ("name", "boils"),
    [
        # ASHRAE Handbook, Fundamentals, boiling points at 1 atm by mass; from memory
        ("ethylene glycol 30 %", 104.4), ("ethylene glycol 50 %", 107.2), ("ethylene glycol 60 %", 111.1),
        ("propylene glycol 30 %", 102.2), ("propylene glycol 50 %", 105.6),
        # boiling points of brines at 1 atm by mass, as chemical engineers' handbooks list them; from memory
        ("sodium chloride brine 6.19 %", 101.0), ("sodium chloride brine 11.03 %", 102.0),
        ("sodium chloride brine 14.67 %", 103.0), ("sodium chloride brine 20.32 %", 105.0),
        ("calcium chloride brine 10.31 %", 102.0), ("calcium chloride brine 20 %", 105.0),
        ("calcium chloride brine 24.24 %", 107.0),
    ],
)  # fmt: skip
def test_mixtures_boil_where_handbooks_say_within_the_stated_error(name: str, boils: float) -> None:
    """4 % of vapour pressure is 1.1 K at 1 atm; 0.1 K more for handbook rounding."""
    one = fluid(name)

    assert abs(one.value("boiling point", p=ATMOSPHERE) - 273.15 - boils) < 1.2
    assert one.value("saturation pressure", T=boils + 273.15) == pytest.approx(
        ATMOSPHERE, rel=VAPOUR_ERROR + 0.004
    )


@pytest.mark.parametrize(
    ("name", "activity"),
    [
        # osmotic coefficients at 25 degC, Robinson and Stokes, Electrolyte Solutions; from memory:
        # sodium chloride 2 mol/kg 0.983, 4 mol/kg 1.116; calcium chloride 2 mol/kg 1.376, 3 mol/kg 1.779
        ("sodium chloride brine 10.465 %", np.exp(-2 * 2 * 0.983 * 0.018015)),
        ("sodium chloride brine 18.948 %", np.exp(-2 * 4 * 1.116 * 0.018015)),
        ("calcium chloride brine 18.164 %", np.exp(-3 * 2 * 1.376 * 0.018015)),
        ("calcium chloride brine 24.978 %", np.exp(-3 * 3 * 1.779 * 0.018015)),
    ],
)
def test_water_activity_of_brines_is_that_of_their_osmotic_coefficients(name: str, activity: float) -> None:
    water = fluid("water").value("saturation pressure", T=298.15)

    assert fluid(name).value("saturation pressure", T=298.15) / water == pytest.approx(activity, rel=0.02)


def test_dilute_solutions_lower_the_freezing_point_by_1_86_kelvin_per_mole() -> None:
    """Cryoscopic constant of water, any text on physical chemistry; 0.5 mol/kg of glycol."""
    for name, mass in (("ethylene glycol", 0.062068), ("propylene glycol", 0.076094)):
        share = 0.5 * mass / (1.0 + 0.5 * mass)
        freezing = fluid(f"{name} {100 * share} %").value("freezing point")

        assert 273.15 - freezing == pytest.approx(0.93, abs=0.12)


def test_nothing_boils_below_pure_water_or_freezes_above_it() -> None:
    for name in ("ethylene glycol", "propylene glycol", "glycerol", "sodium chloride", "calcium chloride"):
        last = 373.12
        for share in (2, 8, 14, 20):
            one = fluid(f"{name} {share} %")
            boils = one.value("boiling point", p=ATMOSPHERE)

            assert boils > last
            assert one.value("freezing point") < 273.15
            last = boils


def test_boiling_point_and_vapour_pressure_undo_each_other() -> None:
    one = fluid("propylene glycol 40 %")
    for T in (300.0, 350.0, 400.0):
        assert one.value("boiling point", p=one.value("saturation pressure", T=T)) == pytest.approx(
            T, abs=1e-6
        )


@pytest.mark.parametrize("name", ["ethylene glycol", "propylene glycol"])
def test_the_continuation_joins_the_table_and_keeps_its_direction(name: str) -> None:
    for share in (10, 30, 60):
        one = fluid(f"{name} {share} %")
        grid = np.linspace(368.15, 423.15, 56)
        rows = {q: np.array([one.value(q, T=float(T)) for T in grid]) for q in ("rho", "cp", "mu", "k")}

        assert np.all(np.diff(rows["rho"]) < 0.0)
        assert np.all(np.diff(rows["mu"]) < 0.0)
        assert np.all(np.diff(rows["cp"]) > -1.0)
        for values in rows.values():
            assert np.max(np.abs(np.diff(np.log(values)))) < 0.03


def test_glycol_at_125_degc_tends_to_water_as_it_thins() -> None:
    """A vanishing share must give back pure water (IAPWS-95), within the stated error of the rule."""
    thin, water = fluid("ethylene glycol 0 %"), fluid("water")
    for name in ("rho", "cp", "mu", "k"):
        wanted = water.value(name, T=398.15, p=3e5)

        assert thin.value(name, T=398.15) == pytest.approx(wanted, rel=max(0.02, thin.error(name)))


@pytest.mark.parametrize(
    ("gas", "limit"), [("air", 287.05), ("helium", 2077.1), ("hydrogen", 4124.5), ("carbon dioxide", 188.92)]
)
def test_thin_gases_are_ideal(gas: str, limit: float) -> None:
    """rho = p/(R T), beta = 1/T, c_p - c_v = R; R from molar masses."""
    one = fluid(gas)
    T, p = 450.0, 1e4

    assert one.value("rho", T=T, p=p) == pytest.approx(p / (limit * T), rel=5e-4)
    assert one.value("beta", T=T, p=p) == pytest.approx(1.0 / T, rel=2e-3)
    assert one.value("cp", T=T, p=p) - one.value("cv", T=T, p=p) == pytest.approx(limit, rel=2e-3)


def test_water_is_densest_at_4_degc_and_expands_either_way() -> None:
    water = fluid("water")

    assert water.value("beta", T=277.13, p=ATMOSPHERE) == pytest.approx(0.0, abs=2e-6)
    assert water.value("beta", T=293.15, p=ATMOSPHERE) == pytest.approx(2.07e-4, rel=0.01)
    assert water.value("beta", T=275.15, p=ATMOSPHERE) < 0.0


def test_ice_melts_lower_under_pressure() -> None:
    """-7.4 mK per bar, Clausius-Clapeyron with 333.4 kJ/kg and 9.05e-5 m3/kg."""
    water = fluid("water")
    slope = (water.value("freezing point", p=1.1e6) - water.value("freezing point", p=1e5)) / 10.0

    assert slope == pytest.approx(-7.4e-3, rel=0.02)
    assert water.value("freezing point") == pytest.approx(273.1525, abs=5e-4)


def test_prandtl_numbers_are_those_of_handbooks() -> None:
    """Water 20 degC 7.0, saturated steam 100 degC 1.0; Incropera et al., Table A.6, from memory."""
    assert fluid("water").value("Pr", T=293.15, p=ATMOSPHERE) == pytest.approx(7.0, rel=0.02)
    assert fluid("water").value("Pr", T=373.15, x=1.0) == pytest.approx(1.0, rel=0.05)
