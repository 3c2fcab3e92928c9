"""Moist air against CoolProp's humid air (ASHRAE RP-1485) and IAPWS-95."""

import pytest
from CoolProp.CoolProp import HAPropsSI, PropsSI

from brinewright.laws import moist_air

PRESSURES = [60e3, 101325.0, 120e3]


@pytest.mark.parametrize("celsius", [1, 20, 60, 99, 125, 160, 199])
def test_vapour_pressure_over_water_is_that_of_iapws(celsius):
    """Hyland and Wexler 1983 lie within 0.1 % of IAPWS-95."""
    wanted = PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water")

    assert wanted == pytest.approx(moist_air.saturation_pressure(celsius + 273.15), rel=1e-3)


@pytest.mark.parametrize(("celsius", "pascal"), [(-40, 12.84), (-20, 103.26), (-10, 259.9), (0, 611.15)])
def test_vapour_pressure_over_ice(celsius, pascal):
    """ASHRAE Fundamentals, table of moist air (from memory): 0.01 % to the printed digits."""
    assert moist_air.saturation_pressure(celsius + 273.15) == pytest.approx(pascal, rel=1e-3)


def test_ice_and_water_meet_at_the_triple_point():
    ice, water = (moist_air.saturation_pressure(273.16 + d) for d in (-1e-6, 1e-6))

    assert ice == pytest.approx(water, rel=2e-4)


@pytest.mark.parametrize("pressure", PRESSURES)
@pytest.mark.parametrize(("celsius", "humidity"), [(22, 0.6), (35, 0.4), (10, 0.9), (50, 0.2)])
def test_humidity_ratio_dew_point_and_enthalpy(celsius, humidity, pressure):
    """Ideal gases without the enhancement factor: 0.7 % of the ratio, 0.1 K, 0.7 % of the enthalpy."""
    T = celsius + 273.15
    vapour = humidity * moist_air.saturation_pressure(T)
    ratio = moist_air.humidity_ratio(vapour, pressure)

    assert HAPropsSI("W", "T", T, "P", pressure, "R", humidity) == pytest.approx(ratio, rel=7e-3)
    assert HAPropsSI("D", "T", T, "P", pressure, "R", humidity) == pytest.approx(
        moist_air.dew_point(vapour), abs=0.1
    )
    rise = moist_air.enthalpy(T, ratio) - moist_air.enthalpy(283.15, 0.001)
    wanted = HAPropsSI("H", "T", T, "P", pressure, "W", ratio) - HAPropsSI(
        "H", "T", 283.15, "P", pressure, "W", 0.001
    )
    assert wanted == pytest.approx(rise, rel=7e-3)
    assert moist_air.relative_humidity(ratio, T, pressure) == pytest.approx(humidity)
    assert moist_air.vapour_pressure(ratio, pressure) == pytest.approx(vapour)


@pytest.mark.parametrize("kelvin", [180.0, 250.0, 273.0, 295.0, 372.0, 470.0])
def test_dew_point_inverts_the_vapour_pressure(kelvin):
    assert moist_air.dew_point(moist_air.saturation_pressure(kelvin)) == pytest.approx(kelvin, abs=1e-9)


def test_water_boils_where_saturation_reaches_the_pressure_of_the_site():
    """IAPWS-95: 85.9 degC at 60 kPa; there is no saturated air above it."""
    assert moist_air.saturation_ratio(85.8 + 273.15, 60e3) < float("inf")
    assert moist_air.saturation_ratio(86.1 + 273.15, 60e3) == float("inf")


def test_a_coil_is_dry_above_the_dew_point():
    ratio = moist_air.saturation_ratio(287.15, 101325.0)

    assert moist_air.condensing_flow(1.0, ratio, 287.5, 101325.0, 0.8) == 0.0
    assert moist_air.condensing_flow(1.0, ratio, 286.5, 101325.0, 0.8) > 0.0
    assert moist_air.condensing_flow(1.0, ratio, 280.15, 101325.0, 1.0) == pytest.approx(
        ratio - moist_air.saturation_ratio(280.15, 101325.0)
    )
