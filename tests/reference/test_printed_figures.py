"""Figures worked out beside this package from the formulas and property sources named at each.

Each is held to 1 % or to its last printed digit, whichever is coarser, unless it says otherwise.
"""

import math

import numpy as np
import pytest

from brinewright.fluids import fluid, water_tables
from brinewright.fluids.closures import state_from_p_s
from brinewright.laws import (
    blocked_liquid,
    carnot,
    chilling,
    exchange,
    expansion,
    expansion_vessel,
    fins,
    forced_convection,
    free_convection,
    grid_table,
    hammer,
    hydrogen,
    insulation,
    moist_air,
    passes,
    pumping,
    radiation,
    relay,
    steam_cycle,
    tank,
    vessel,
)

ZERO = 273.15
WATER = fluid("water")


def agrees(printed):
    """Half a unit of the last digit, or 1 %."""
    text = repr(printed)
    decimals = len(text.split(".")[1]) if "." in text else 0
    return pytest.approx(printed, rel=0.01, abs=0.5 * 10.0**-decimals * (1 + 1e-9))


def saturated(name, celsius, dryness):
    return WATER.value(name, celsius + ZERO, None, dryness)


# IAPWS-95: p_sat [bar], h_g, h_f, h_fg [kJ/kg], rho_f, rho_g [kg/m3]
SATURATED = [
    (lambda: WATER.value("saturation pressure", 125 + ZERO) / 1e5, 2.3224),
    (lambda: saturated("h", 125, 1) / 1e3, 2713.1),
    (lambda: saturated("h", 125, 0) / 1e3, 525.1),
    (lambda: saturated("rho", 125, 1), 1.2987),
    (lambda: WATER.value("saturation pressure", 135 + ZERO) / 1e5, 3.1323),
    (lambda: saturated("h", 135, 1) / 1e3, 2726.9),
    (lambda: WATER.value("latent heat", 135 + ZERO) / 1e3, 2159.1),
    (lambda: saturated("rho", 135, 0), 930.5),
    (lambda: saturated("rho", 135, 1), 1.7190),
    (lambda: saturated("h", 45, 0) / 1e3, 188.4),
    (lambda: saturated("h", 95, 0) / 1e3, 398.1),
    (lambda: WATER.value("saturation pressure", 175 + ZERO) / 1e5, 8.9260),
]


@pytest.mark.parametrize(("ours", "printed"), SATURATED)
def test_saturated_water(ours, printed):
    """IAPWS-95, to the last printed digit and 1e-4 for the tables of this package."""
    decimals = len(repr(printed).split(".")[1])

    assert ours() == pytest.approx(printed, rel=1e-4, abs=0.5 * 10.0**-decimals)


@pytest.mark.parametrize(
    ("steam", "exhaust", "work", "efficiency", "bound"),
    [
        (125, 95, 119.0, 5.1, 7.5),
        (125, 60, 266.8, 10.8, 16.3),
        (125, 45, 333.4, 13.2, 20.1),
        (135, 95, 154.3, 6.6, 9.8),
        (135, 60, 299.7, 12.1, 18.4),
        (135, 45, 365.3, 14.4, 22.0),
        (150, 95, 203.8, 8.7, 13.0),
        (150, 60, 345.7, 13.9, 21.3),
        (150, 45, 409.8, 16.0, 24.8),
        (175, 95, 277.4, 11.7, 17.9),
        (175, 60, 414.2, 16.4, 25.7),
        (175, 45, 476.0, 18.4, 29.0),
    ],
)
def test_work_of_saturated_steam(steam, exhaust, work, efficiency, bound):
    """IAPWS-95, isentropic efficiency 0.70: work [kJ/kg], cycle efficiency and Carnot bound [%]."""
    pressure = WATER.value("saturation pressure", exhaust + ZERO)
    ideal = state_from_p_s(water_tables(), pressure, saturated("s", steam, 1))[0]
    inlet, condensate = saturated("h", steam, 1), saturated("h", exhaust, 0)
    ours = expansion.specific_work(inlet, ideal, 0.70)

    assert ours / 1e3 == pytest.approx(work, abs=0.1)
    assert 100 * steam_cycle.cycle_efficiency(inlet, ours, condensate, 0.0) == pytest.approx(
        efficiency, abs=0.06
    )
    assert 100 * carnot.engine_bound(steam + ZERO, exhaust + ZERO) == pytest.approx(bound, abs=0.06)


@pytest.mark.parametrize(
    ("hot", "cop", "reject"), [(45, 3.03, 1.33), (125, 1.09, 1.91), (140, 0.976, 2.02), (160, 0.854, 2.17)]
)
def test_performance_of_a_real_chiller(hot, cop, reject):
    """Second-law efficiency 0.50, evaporating at 0 degC."""
    ours = chilling.cooling_performance(5 + ZERO, hot - 5 + ZERO, 5.0, 5.0, 0.50, 8.0)

    assert ours == agrees(cop)
    assert chilling.heat_rejected(1.0, ours) == agrees(reject)


@pytest.mark.parametrize(("hot", "saving"), [(45, 5.1), (140, 2.1)])
def test_saving_of_two_chillers_in_series(hot, saving):
    """13 to 9 to 5 degC, equal second-law efficiencies."""
    ours = chilling.series_saving(5 + ZERO, 9 + ZERO, hot - 5 + ZERO, 5.0, 5.0, 13 + ZERO)

    assert 100 * ours == pytest.approx(saving, abs=0.05)


def test_catalogue_table_between_its_nodes():
    """Bilinear by hand: 245.44 and 60.36 kW at 6 and 41 degC; COP 4.066, second-law efficiency 0.510."""
    leaving, condensing = np.array([0.0, 5.0, 10.0]), np.array([35.0, 45.0, 55.0])
    capacity = np.array([[212.0, 190.0, 167.0], [252.0, 227.0, 200.0], [296.0, 268.0, 238.0]])
    power = np.array([[51.0, 60.0, 70.0], [54.0, 63.5, 74.5], [57.0, 67.0, 79.0]])
    cooling, outside = grid_table.bilinear(leaving, condensing, capacity, 6.0, 41.0)
    spent, _ = grid_table.bilinear(leaving, condensing, power, 6.0, 41.0)

    assert cooling == pytest.approx(245.44)
    assert spent == pytest.approx(60.36)
    assert outside == 0.0
    assert cooling / spent == pytest.approx(4.066, abs=5e-4)
    assert carnot.second_law_efficiency(cooling / spent, 6 + ZERO, 41 + ZERO) == pytest.approx(
        0.510, abs=5e-4
    )


def test_catalogue_table_keeps_its_nodes_and_reports_what_lies_outside():
    rows, columns = np.array([0.0, 5.0, 10.0]), np.array([35.0, 45.0, 55.0])
    table = np.arange(9.0).reshape(3, 3)
    for i, row in enumerate(rows):
        for j, column in enumerate(columns):
            assert grid_table.bilinear(rows, columns, table, row, column) == (table[i, j], 0.0)

    assert grid_table.bilinear(rows, columns, table, 11.0, 30.0) == (table[2, 0], 5.0)
    assert grid_table.bilinear(rows, columns, table, 17.0, 58.0) == (table[2, 2], 7.0)


@pytest.mark.parametrize(
    ("thickness", "loss", "surface"), [(13, 17.9, 18.2), (19, 13.8, 19.3), (25, 11.3, 19.9), (40, 8.1, 20.7)]
)
def test_insulated_cold_pipe(thickness, loss, surface):
    """DN 125, 5 degC in a room of 22 degC, k 0.037, outside 9 W/(m2 K): ISO 12241 form."""
    conductance = insulation.pipe_conductance(2000.0, 0.1325, 0.1397, 50.0, thickness / 1e3, 0.037, 9.0)
    radius = 0.1397 / 2 + thickness / 1e3
    ours = insulation.surface_temperature(5 + ZERO, 22 + ZERO, conductance, radius, 9.0) - ZERO

    assert conductance * 17 == agrees(loss)
    assert ours == agrees(surface)
    # 22 degC and 60 %: dew point 13.9 degC, so every one of them stays dry
    assert ours > moist_air.dew_point(0.6 * moist_air.saturation_pressure(22 + ZERO)) - ZERO


def test_bare_cold_pipe():
    """Printed 67 W/m, the same pipe with no insulation."""
    assert 17 * insulation.pipe_conductance(2000.0, 0.1325, 0.1397, 50.0, 0.0, 0.037, 9.0) == agrees(67)


@pytest.mark.parametrize(("thickness", "loss", "surface"), [(50, 94, 31), (100, 49, 26)])
def test_insulated_hot_wall(thickness, loss, surface):
    """Vessel wall at 135 degC in a hall of 20 degC, mineral wool k 0.045, outside 8.5 W/(m2 K)."""
    coefficient = insulation.wall_coefficient(1e9, thickness / 1e3 / 0.045, 8.5)

    assert 115 * coefficient == agrees(loss)
    assert 20 + 115 * coefficient / 8.5 == agrees(surface)


@pytest.mark.parametrize(
    ("conductivity", "thickness", "length", "printed"),
    [(50.0, 1.0, 20.0, 0.95), (50.0, 0.5, 40.0, 0.72), (200.0, 0.5, 40.0, 0.91)],
)
def test_fin_efficiency(conductivity, thickness, length, printed):
    """Steel and aluminium fins at h 10 W/(m2 K): tanh(m L) / (m L)."""
    ours = fins.straight_efficiency(10.0, conductivity, thickness / 1e3, length / 1e3)

    assert ours == agrees(printed)


@pytest.mark.parametrize(("celsius", "bar_per_kelvin"), [(5, 0.3), (20, 4.5), (40, 8.7), (60, 11.8)])
def test_blocked_water(celsius, bar_per_kelvin):
    """Rigid pipe, IAPWS-95: beta / kappa_T = dp/dT at constant density."""
    T, p = celsius + ZERO, 2e5
    high, low = (WATER.value("rho", T, p + d) for d in (5e4, -5e4))
    compressibility = (high - low) / 1e5 / WATER.value("rho", T, p)
    beta = WATER.value("expansion coefficient", T, p)
    ours = blocked_liquid.pressure_per_kelvin(beta, compressibility, 0.1, 0.004, math.inf, 0.0)

    assert ours / 1e5 == agrees(bar_per_kelvin)


@pytest.mark.parametrize(
    ("name", "cold", "hot", "percent"),
    [("propylene glycol 30 %", 5, 40, 1.62), ("water", 5, 30, 0.43), ("water", 4, 60, 1.71)],
)
def test_growth_of_the_liquid(name, cold, hot, percent):
    """IAPWS-95 and secondary-refrigerant fits."""
    cold_density, hot_density = (fluid(name).value("rho", t + ZERO, 2e5) for t in (cold, hot))

    assert 100 * expansion_vessel.expanded_volume(1.0, cold_density, hot_density) == agrees(percent)


@pytest.mark.parametrize(("celsius", "kilowatt"), [(45, 0.494), (95, 0.885), (130, 1.273)])
def test_radiator_to_empty_space(celsius, kilowatt):
    """Emissivity 0.85, Stefan and Boltzmann."""
    assert radiation.radiated_heat(0.85, 1.0, celsius + ZERO, 0.0) / 1e3 == agrees(kilowatt)


def test_tank_volumes_per_kilowatt_of_step():
    """Water, closed form: 11.9 L (3 K, 6 an hour), 35.9 L (5 min, 2 K), 47.6 L (10 min, 3 K)."""
    water = 1000.0 * 4184.0 * 1.0045  # rho c at 5 degC, 4.205 kJ/(kg K)

    assert 1e6 * tank.volume_for_starts(1.0, 6 / 3600, 3.0, water) == agrees(11.9)
    assert 1e6 * tank.volume_for_run_time(1.0, 300.0, 2.0, water) == agrees(35.9)
    assert 1e6 * tank.volume_for_run_time(1.0, 600.0, 3.0, water) == agrees(47.6)


GASES = {
    # name: h natural 1 atm, 3 bar, forced 5 m/s, [W/(m2 K)]; flow for 40 kW and 20 K at 1.2 bar [m3/s]
    "air": (4.5, 9.1, 10.9, 1.53),
    "oxygen": (4.6, 9.2, 11.0, 1.51),
    "nitrogen": (4.5, 9.0, 10.8, None),
    "carbon dioxide": (4.7, 9.6, 12.4, 1.16),
    "helium": (7.1, 13.9, 14.7, 2.16),
    "hydrogen": (9.3, 18.3, 19.4, 1.55),
}


def transport(gas, pressure, celsius=65.0):
    known = fluid(gas)
    k, mu, rho, c = (known.value(name, celsius + ZERO, pressure) for name in ("k", "mu", "rho", "cp"))
    return k, mu / rho, k / (rho * c), rho * c


def natural(gas, pressure, gravity=9.81):
    k, nu, alpha, _ = transport(gas, pressure)
    number = free_convection.rayleigh_number(gravity, 1 / (65 + ZERO), 50.0, 1.6, nu, alpha)
    nusselt = free_convection.horizontal_cylinder(number, nu / alpha)
    return number, forced_convection.film_coefficient(nusselt, k, 1.6)


@pytest.mark.parametrize("gas", GASES)
def test_gas_round_a_cylinder(gas):
    """D 1.6 m, wall 90, gas 40 degC: Churchill-Chu and Churchill-Bernstein; printed to 0.1.

    The flow that carries 40 kW is taken at the mean of 40 and 60 degC.
    """
    still, dense, blown, flow = GASES[gas]
    k, nu, alpha, _ = transport(gas, 101325.0)
    crossflow = forced_convection.churchill_bernstein(5.0 * 1.6 / nu, nu / alpha)

    assert natural(gas, 101325.0)[1] == pytest.approx(still, rel=0.01, abs=0.06)
    assert natural(gas, 3e5)[1] == pytest.approx(dense, rel=0.01, abs=0.06)
    assert forced_convection.film_coefficient(crossflow, k, 1.6) == pytest.approx(blown, rel=0.01, abs=0.06)
    if flow is not None:
        assert 40e3 / (20.0 * transport(gas, 1.2e5, 50.0)[3]) == pytest.approx(flow, rel=0.01)


def test_free_convection_round_the_cylinder_in_air():
    """Churchill-Chu: Ra 1.10e10, h 4.52; at 1.62 m/s2 it falls to 0.56 times."""
    number, coefficient = natural("air", 101325.0)

    assert number == pytest.approx(1.10e10, rel=0.01)
    assert coefficient == pytest.approx(4.52, rel=0.01)
    assert natural("air", 101325.0, 1.62)[1] / coefficient == agrees(0.56)


@pytest.mark.parametrize(("gas", "ratios"), [
    ("carbon dioxide", (1.1, 2.7, 4.2)), ("helium", (1.1, 2.6, 4.0)), ("hydrogen", (1.5, 3.5, 5.3)),
    ("air", (1.0, 2.4, 3.6)), ("oxygen", (1.0, 2.4, 3.6)),
])  # fmt: skip
def test_gas_in_a_duct_against_air_at_the_same_velocity(gas, ratios):
    """Turbulent, Re^0.8 Pr^0.4: at 1 atm, 3 and 5 bar against air at 1 atm."""

    def coefficient(name, pressure):
        k, nu, alpha, _ = transport(name, pressure)
        return forced_convection.dittus_boelter(1.0 / nu, nu / alpha, True) * k

    for pressure, printed in zip((101325.0, 3e5, 5e5), ratios, strict=True):
        ours = coefficient(gas, pressure) / coefficient("air", 101325.0)

        assert ours == pytest.approx(printed, abs=0.06)


def test_hydrogen_purging_and_ventilation():
    """Ideal mixing: 1.39 volumes to 25 %, 3.0 to 5 %, 4.6 to 1 %; 12 m3 a day needs 50 m3/h."""
    assert [hydrogen.purge_volumes(x) for x in (0.25, 0.05, 0.01)] == [
        agrees(1.39),
        agrees(3.0),
        agrees(4.61),
    ]
    assert hydrogen.purge_fraction(hydrogen.purge_volumes(0.2)) == pytest.approx(0.2)
    assert hydrogen.ventilation_flow(12 / 86400, 0.25) * 3600 == pytest.approx(50.0)
    mass = hydrogen.ideal_gas_mass(1.2e5, 40.0, 40 + ZERO, 2.01588e-3)
    assert (mass, hydrogen.stored_energy(mass) / 1e6) == (agrees(3.7), agrees(446))


def test_sealed_air_misleads_a_pressure_switch():
    """1.013 bar sealed in at 20 degC: 1.41 bar of air at 135 degC, 4.54 in all, which reads as 148 degC."""
    total = vessel.pressure_with_gas(
        WATER.value("saturation pressure", 135 + ZERO), 1.013e5, 20 + ZERO, 135 + ZERO
    )

    assert total / 1e5 == agrees(4.54)
    assert WATER.value("boiling point", None, total) - ZERO == agrees(148)


def test_opened_vessel_flashes():
    """135 degC let out to 1 atm: 6.6 %, 221 kg of 3354."""
    share = vessel.flash_fraction(
        saturated("h", 135, 0),
        WATER.value("h", None, 101325.0, 0),
        WATER.value("latent heat", None, 101325.0),
    )

    assert (100 * share, 3354 * share) == (agrees(6.6), agrees(221))


def test_single_golden_figures():
    """Passes, relay cycle, effectiveness, water hammer, suction head: closed forms."""
    counts = [passes.passes(t + ZERO, 22 + ZERO, 14.0) for t in (36.0, 36.001, 22.0)]

    assert counts == [1, 2, 0]
    assert relay.relay_period(0.01, 0.02, 1.0, 20.0) == pytest.approx(240.0)
    assert exchange.effectiveness(exchange.COUNTERFLOW, 1.0, 0.5) == agrees(0.5647)
    assert exchange.effectiveness(exchange.COUNTERFLOW, 0.727, 1.0) == agrees(0.421)
    assert hammer.surge(1028.4, 1450.0, 0.98, 120.0, 0.0) / 1e5 == agrees(14.6)
    assert pumping.suction_head(2e5, 2e5, 940.0, 9.81, 3.0, 0.0) == 3.0
    assert passes.ring_throughput_idling(4, 6.0, 1.84, 24.0) == agrees(8.45)
    assert passes.chillers_needed_idling(1.84, 12.0, 6.0, 24.0) == 8
