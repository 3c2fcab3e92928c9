"""What must hold whatever the numbers: inverses, limits, steps that compose, balances."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from brinewright.laws import (
    battery,
    blocked_liquid,
    chilling,
    effectiveness,
    electric,
    enclosure,
    exchange,
    expansion,
    fins,
    fitting,
    fixed_drop,
    forced_convection,
    free_convection,
    hammer,
    lump,
    mean_difference,
    passes,
    plug,
    pumping,
    radiation,
    relay,
    room,
    tank,
    valve_flow,
)

positive = st.floats(1e-3, 1e3)
temperature = st.floats(250.0, 450.0)
share = st.floats(0.01, 0.99)

# -- lumps, tanks, rooms -------------------------------------------------------------------------------


@given(st.floats(0.0, 1e5), st.floats(0.0, 1e5), temperature, st.floats(-1e4, 1e4), st.floats(0.0, 500.0))
def test_two_steps_of_a_lump_are_one_long_step(first, second, start, heat, conductance):
    def after(time, begin):
        return lump.temperature_at(time, begin, heat, conductance, 290.0, 2e6)

    once = after(first + second, start)
    # relative: with no conductance the temperature is unbounded
    assert once == pytest.approx(after(second, after(first, start)), rel=1e-9, abs=1e-9)


@given(temperature, temperature, st.floats(-1e4, 1e4), st.floats(0.0, 500.0))
def test_time_to_reach_inverts_the_course_of_a_lump(target, start, heat, conductance):
    time = lump.time_to_reach(target, start, heat, conductance, 290.0, 2e6)

    assert time >= 0.0
    if math.isfinite(time):
        reached = lump.temperature_at(time, start, heat, conductance, 290.0, 2e6)
        # near rest the logarithm loses digits: the distance to go is what is resolved
        assert reached == pytest.approx(target, abs=1e-6)


@given(st.floats(1.0, 1e4), st.floats(1.0, 1e4), st.floats(0.0, 5.0), st.floats(0.0, 100.0))
def test_two_steps_of_a_tank_are_one_long_step(first, second, flow, conductance):
    def after(time, begin):
        return tank.mixed_temperature(time, begin, 280.0, flow, 4000.0, 3000.0, conductance, 295.0, 5e3)

    assert after(first + second, 300.0) == pytest.approx(after(second, after(first, 300.0)), abs=1e-8)


@pytest.mark.parametrize(
    ("coupling", "air_loss", "mass_loss"),
    [(300.0, 60.0, 0.0), (300.0, 60.0, 25.0), (300.0, 0.0, 0.0), (0.0, 60.0, 25.0)],
)
def test_two_node_room_agrees_with_an_integrator(coupling, air_loss, mass_loss):
    """scipy's implicit integrator at 1e-10; closed rooms and uncoupled nodes too."""
    c1, c2, outside, q1, q2 = 2e5, 6e6, 275.0, 3000.0, 500.0

    def rates(_, y):
        air, mass = y
        return [
            (q1 + coupling * (mass - air) + air_loss * (outside - air)) / c1,
            (q2 + coupling * (air - mass) + mass_loss * (outside - mass)) / c2,
        ]

    wanted = solve_ivp(rates, (0.0, 7200.0), [293.0, 291.0], method="Radau", rtol=1e-10, atol=1e-10).y[:, -1]
    ours = room.two_node_temperatures(
        7200.0, 293.0, 291.0, c1, c2, coupling, air_loss, mass_loss, outside, q1, q2
    )

    assert wanted == pytest.approx(ours, abs=1e-5)


def test_a_closed_room_keeps_every_joule():
    c1, c2, heat, time = 2e5, 6e6, 3000.0, 1e6
    air, mass = room.two_node_temperatures(time, 293.0, 293.0, c1, c2, 300.0, 0.0, 0.0, 250.0, heat, 0.0)

    assert c1 * (air - 293.0) + c2 * (mass - 293.0) == pytest.approx(heat * time, rel=1e-12)


def test_people_give_heat_and_moisture():
    """ASHRAE Fundamentals, seated, from memory: 75 W to the air, 55 W as moisture."""
    heat, moisture = room.people_gains(4.0, room.SEATED_SENSIBLE, room.SEATED_LATENT)

    assert heat == 300.0
    assert moisture * 2.45e6 == pytest.approx(220.0)


def test_gain_utilisation_is_smooth_through_equal_gains_and_losses():
    assert room.gain_utilisation(1.0, 1e5) == pytest.approx(room.gain_utilisation(1.0 + 1e-7, 1e5), rel=1e-6)


# -- pipes and switches --------------------------------------------------------------------------------


@given(temperature, temperature, st.floats(0.0, 5e3), st.floats(0.1, 1e5))
def test_a_pipe_loses_what_its_liquid_loses(inlet, around, conductance, capacity_flow):
    outlet = plug.outlet_temperature(inlet, around, conductance, capacity_flow)
    lost = plug.heat_lost(inlet, around, conductance, capacity_flow)

    assert lost == pytest.approx(capacity_flow * (inlet - outlet), rel=1e-6, abs=1e-9 * capacity_flow * 300)
    assert min(inlet, around) - 1e-9 <= outlet <= max(inlet, around) + 1e-9


def test_a_pipe_at_rest_takes_the_temperature_around_it():
    assert plug.outlet_temperature(350.0, 290.0, 10.0, 0.0) == 290.0
    assert plug.outlet_temperature(350.0, 290.0, 0.0, 0.0) == 350.0
    assert plug.heat_lost(350.0, 290.0, 10.0, 0.0) == 0.0
    assert plug.transport_delay(10.0, 0.05, 1000.0, 0.0) == math.inf


def test_a_liquid_that_never_gets_there_needs_an_infinite_pipe():
    assert plug.distance_to_reach(290.0, 350.0, 290.0, 2.0, 2000.0) == math.inf
    assert plug.distance_to_reach(360.0, 350.0, 290.0, 2.0, 2000.0) == math.inf


@pytest.mark.parametrize("tanks", [1, 2, 5])
def test_tanks_in_series_agree_with_a_chain_of_tanks(tanks):
    def rates(_, y):
        return tanks * (np.concatenate(([1.0], y[:-1])) - y)

    wanted = solve_ivp(rates, (0.0, 1.3), np.zeros(tanks), rtol=1e-10, atol=1e-12).y[-1, -1]

    assert wanted == pytest.approx(tank.series_step(tanks, 1.3), rel=1e-7)


@given(st.floats(0.001, 0.1), st.floats(0.001, 0.1), st.floats(0.0, 3.0), st.floats(0.0, 60.0))
def test_relay_cycle_is_consistent(rise, fall, differential, dead_time):
    """Swing over each ramp, in the share of the duty, makes the period."""
    swing = relay.relay_swing(rise, fall, differential, dead_time)
    period = relay.relay_period(rise, fall, differential, dead_time)

    assert period == pytest.approx(swing / rise + swing / fall, rel=1e-9, abs=1e-9)
    assert relay.relay_duty(rise, fall) * period == pytest.approx(swing / fall, rel=1e-9, abs=1e-9)


def test_a_lagged_reading_is_a_lump_without_heat():
    wanted = lump.temperature_at(3.0, 280.0, 0.0, 1.0, 290.0, 8.0)

    assert wanted == pytest.approx(relay.lagged(280.0, 290.0, 8.0, 3.0))
    assert relay.lagged(280.0, 290.0, 0.0, 3.0) == 290.0


def test_a_sensor_at_its_lead_distance_sees_in_time():
    assert relay.lead_distance(1.5, 4.0, 2.0) / 1.5 == 6.0


@given(st.floats(0.0, 60.0), st.floats(280.0, 300.0), st.floats(280.0, 300.0), st.floats(1.0, 20.0))
def test_two_serial_decisions_stay_within_their_bounds(rise, first, second, drop):
    """A march of parcels: above the first set point into the ring, round until below the second."""
    arriving = min(first, second) + rise
    sent, low, high = arriving > first, math.inf, -math.inf
    delivered = arriving
    if sent:
        delivered = arriving - drop * max(1, passes.passes(arriving, second, drop))
    low, high = min(low, delivered), max(high, delivered)
    coldest, warmest = passes.two_switch_bounds(first, second, drop, arriving if sent else 999.0)

    assert coldest - 1e-6 <= low
    assert high <= warmest + 1e-6


# -- machines ------------------------------------------------------------------------------------------


@given(positive, share, share)
def test_a_chiller_lifts_what_it_rejects_less_its_power(heat, performance, rest):
    cop = 8.0 * performance
    rejected = chilling.heat_rejected(heat, cop)

    assert rejected == pytest.approx(heat + chilling.compressor_power(heat, cop))
    assert chilling.heat_lifted(rejected, cop) == pytest.approx(heat)
    assert chilling.part_load_performance(cop, 1.0, rest) == pytest.approx(cop)
    assert chilling.part_load_performance(cop, 0.5, rest) <= cop


def test_a_chiller_without_lift_stops_at_its_cap():
    assert chilling.cooling_performance(290.0, 280.0, 2.0, 2.0, 0.5, 8.0) == 8.0
    assert chilling.cooling_performance(290.0, 290.0, 2.0, 2.0, 0.5, 8.0) == 8.0
    # just where the cap begins to bind the law is continuous
    edge = 288.0 + 0.5 * 288.0 / 8.0 - 2.0
    assert chilling.cooling_performance(290.0, edge - 1e-6, 2.0, 2.0, 0.5, 8.0) == 8.0
    assert chilling.cooling_performance(290.0, edge + 1e-6, 2.0, 2.0, 0.5, 8.0) == pytest.approx(
        8.0, rel=1e-6
    )


def test_capacity_drifts_three_and_a_half_percent_a_kelvin():
    """Common practice, no source."""
    change = chilling.capacity(1.0, 274.15, 318.15, 273.15, 318.15, 0.035, 0.008)

    assert change == pytest.approx(1.0356, abs=1e-4)
    assert chilling.capacity(1.0, 273.15, 328.15, 273.15, 318.15, 0.035, 0.008) == pytest.approx(0.92)
    assert chilling.capacity(1.0, 273.15, 900.0, 273.15, 318.15, 0.035, 0.008) == 0.0


def test_compressor_polynomial_is_the_cubic_of_the_standard():
    """AHRI 540 / EN 12900, ten coefficients: against the sum written with numpy."""
    c = np.random.default_rng(3).normal(size=10)
    s, d = -7.5, 42.0
    terms = np.array([1, s, d, s * s, s * d, d * d, s**3, d * s * s, s * d * d, d**3])

    assert float(c @ terms) == pytest.approx(
        chilling.compressor_polynomial(s + 273.15, d + 273.15, *c), rel=1e-9
    )


def test_saving_in_series_is_that_of_the_two_machines():
    def power(leaving, heat):
        return chilling.compressor_power(heat, chilling.cooling_performance(leaving, 313.15, 5, 5, 0.5, 1e9))

    one = power(278.15, 8.0)
    two = power(282.15, 4.0) + power(278.15, 4.0)
    ours = chilling.series_saving(278.15, 282.15, 313.15, 5.0, 5.0, 286.15)

    assert 1.0 - two / one == pytest.approx(ours)


def test_declared_performance_is_duty_over_power():
    duty = fixed_drop.cooling_duty(6.0, 4000.0, 9.0)

    assert duty / 1.2e5 == pytest.approx(fixed_drop.declared_performance(6.0, 4000.0, 9.0, 1.2e5))
    assert fixed_drop.heat_rejected(duty, 1.2e5, 0.3, 0.0) / duty == pytest.approx(
        fixed_drop.reject_ratio(duty / 1.2e5, 0.3)
    )


@given(st.floats(0.1, 10.0), st.floats(380.0, 480.0), st.floats(5e3, 1e5))
def test_inlet_pressure_drives_its_flow_through_the_turbine(flow, inlet_temperature, exhaust):
    reference = (408.15, 3.13e5, 1e4)
    pressure = expansion.inlet_pressure(flow, inlet_temperature, exhaust, 1.4, *reference)

    # p2 near p1: the difference of two squares keeps ten digits
    assert expansion.swallowed_flow(1.4, inlet_temperature, pressure, exhaust, *reference) == pytest.approx(
        flow, rel=1e-6
    )
    assert expansion.swallowed_flow(1.4, inlet_temperature, exhaust, exhaust, *reference) == 0.0


def test_choked_turbines_swallow_in_proportion_to_pressure():
    """Stodola's ellipse far above the exhaust pressure."""
    once = expansion.swallowed_flow(1.0, 400.0, 3e5, 1.0, 400.0, 3e5, 1.0)
    twice = expansion.swallowed_flow(1.0, 400.0, 6e5, 1.0, 400.0, 3e5, 1.0)

    assert twice == pytest.approx(2.0 * once)


@given(st.floats(0.0, 1e6))
def test_willans_line_runs_both_ways(power):
    flow = expansion.willans_flow(power, 0.12, 3.5e5)

    assert expansion.willans_power(flow, 0.12, 3.5e5) == pytest.approx(power, abs=1e-6)
    assert expansion.willans_power(0.05, 0.12, 3.5e5) == 0.0


def test_wet_stages_lose_a_percent_for_each_percent():
    """Baumann's rule, from memory."""
    assert expansion.wet_efficiency(0.8, 0.01, 1.0) == pytest.approx(0.8 * 0.99)


# -- pumps, valves, fittings, hammer -------------------------------------------------------------------


@given(st.floats(0.2, 1.2), st.floats(0.001, 0.02))
def test_the_pump_curve_follows_the_affinity_laws(speed, flow):
    head, _ = pumping.pump_head(flow, 40.0, 2e5, 1.0)
    scaled, _ = pumping.pump_head(pumping.affine_flow(flow, speed), 40.0, 2e5, speed)

    assert scaled == pytest.approx(pumping.affine_head(head, speed), abs=1e-9)


def test_the_operating_point_lies_on_both_curves():
    flow = pumping.operating_flow(40.0, 2e5, 10.0, 1e5, 3)

    assert pumping.pump_head(flow / 3, 40.0, 2e5, 1.0)[0] == pytest.approx(10.0 + 1e5 * flow**2)
    assert pumping.operating_flow(9.0, 2e5, 10.0, 1e5, 1) == 0.0


def test_pump_efficiency_is_best_at_its_best_point():
    assert pumping.pump_efficiency(0.01, 0.01, 0.72) == pytest.approx(0.72)
    assert pumping.pump_efficiency(0.012, 0.01, 0.72) < 0.72
    assert pumping.pump_efficiency(0.03, 0.01, 0.72) == 0.0


@given(st.floats(1e-4, 0.1), st.floats(1e2, 1e5), st.floats(700.0, 1300.0))
def test_the_valve_that_is_needed_has_the_loss_that_was_asked(flow, loss, density):
    coefficient = valve_flow.coefficient_needed(flow, loss, density)

    assert valve_flow.valve_loss(flow, coefficient, density)[0] == pytest.approx(loss)
    k = valve_flow.loss_coefficient(coefficient, 0.05)
    assert fitting.minor_loss(flow, k, 0.05, density)[0] == pytest.approx(loss)


def test_valve_trims_share_their_ends():
    for trim in (valve_flow.linear_opening, valve_flow.equal_percentage_opening):
        assert trim(0.0, 50.0) == pytest.approx(0.02)
        assert trim(1.0, 50.0) == pytest.approx(1.0)
    # equal steps of opening multiply the flow equally
    ratio = valve_flow.equal_percentage_opening(0.6, 50.0) / valve_flow.equal_percentage_opening(0.4, 50.0)
    assert ratio == pytest.approx(50.0**0.2)
    assert valve_flow.authority(1.0, 0.0) == 1.0


def test_a_contraction_tends_to_a_sharp_entrance():
    assert fitting.sudden_contraction(1e3, 0.05) == pytest.approx(fitting.ENTRANCE_SHARP, abs=1e-6)
    assert fitting.sudden_contraction(0.05, 0.05) == 0.0


def test_a_rigid_pipe_carries_sound_at_the_speed_of_the_liquid():
    """Korteweg; water of 2.19 GPa: 1481 m/s, less in an elastic pipe, least in plastic."""
    rigid = hammer.wave_speed(2.19e9, 998.0, 0.1, 0.004, math.inf)
    steel = hammer.wave_speed(2.19e9, 998.0, 0.1, 0.004, 2e11)
    plastic = hammer.wave_speed(2.19e9, 998.0, 0.1, 0.004, 3e9)

    assert rigid == pytest.approx(1481.0, abs=1.0)
    assert plastic < 500.0 < steel < rigid


def test_slow_closure_joins_the_full_blow_at_the_critical_time():
    critical = hammer.critical_time(120.0, 1400.0)

    assert hammer.surge(1000.0, 1400.0, 1.0, 120.0, critical) == pytest.approx(1.4e6)
    assert hammer.surge(1000.0, 1400.0, 1.0, 120.0, critical * 1.0001) == pytest.approx(1.4e6, rel=2e-4)
    assert hammer.surge(1000.0, 1400.0, 1.0, 120.0, 10 * critical) == pytest.approx(1.4e5)


def test_blocked_liquid_is_softened_by_its_pipe():
    rigid = blocked_liquid.pressure_per_kelvin(2.07e-4, 4.59e-10, 0.1, 0.004, math.inf, 0.0)
    steel = blocked_liquid.pressure_per_kelvin(2.07e-4, 4.59e-10, 0.1, 0.004, 2e11, 1.2e-5)

    assert rigid == pytest.approx(2.07e-4 / 4.59e-10)
    assert 0.5 * rigid < steel < rigid
    assert blocked_liquid.released_volume(1.0, 2.07e-4, 10.0) == pytest.approx(2.07e-3)


# -- exchangers ----------------------------------------------------------------------------------------

ALL = [
    exchange.COUNTERFLOW, exchange.PARALLEL, exchange.CROSS_UNMIXED, exchange.CROSS_LARGER_MIXED,
    exchange.CROSS_SMALLER_MIXED, exchange.ONE_SHELL, exchange.ONE_SIDE_CONSTANT,
]  # fmt: skip


@pytest.mark.parametrize("arrangement", ALL)
def test_units_invert_effectiveness(arrangement):
    for units in (0.05, 0.4, 1.0, 2.5):
        for ratio in (0.0, 0.3, 1.0):
            found = exchange.transfer_units(
                arrangement, exchange.effectiveness(arrangement, units, ratio), ratio
            )

            assert found == pytest.approx(units, rel=1e-6)  # flat curves: 1e-16 over their slope
    if arrangement in (exchange.PARALLEL, exchange.ONE_SHELL):
        assert exchange.transfer_units(arrangement, 0.99, 1.0) == math.inf


@pytest.mark.parametrize("arrangement", ALL)
def test_no_arrangement_beats_counterflow_or_heat_without_area(arrangement):
    for units in np.linspace(0.0, 8.0, 33):
        for ratio in (0.0, 0.2, 0.6, 1.0):
            if arrangement != exchange.ONE_SIDE_CONSTANT or ratio == 0.0:
                best = effectiveness.counterflow(float(units), ratio)

                assert 0.0 <= exchange.effectiveness(arrangement, float(units), ratio) <= best + 1e-12
    assert exchange.effectiveness(arrangement, 0.0, 0.5) == 0.0


@pytest.mark.parametrize("arrangement", ALL)
def test_a_boiling_side_makes_every_arrangement_equal(arrangement):
    for units in (0.1, 1.0, 4.0):
        assert exchange.effectiveness(arrangement, units, 0.0) == pytest.approx(
            effectiveness.one_side_constant(units), rel=1e-6
        )


def test_the_larger_stream_mixed_is_the_smaller_one_unmixed():
    """Both mixed and unmixed sides are named by their capacity; at equal capacity the two agree."""
    for units in (0.3, 1.0, 3.0):
        assert effectiveness.cross_larger_mixed(units, 1.0) == pytest.approx(
            effectiveness.cross_smaller_mixed(units, 1.0)
        )


@given(temperature, temperature, st.floats(1.0, 1e5), st.floats(1.0, 1e5), st.floats(0.0, 1e6))
def test_heat_goes_downhill_and_is_the_same_both_ways(first, second, one, other, conductance):
    heat = exchange.exchanged_heat(exchange.COUNTERFLOW, conductance, one, other, first, second)

    assert heat * (first - second) >= 0.0
    assert heat == pytest.approx(
        -exchange.exchanged_heat(exchange.COUNTERFLOW, conductance, other, one, second, first)
    )
    assert abs(heat) <= min(one, other) * abs(first - second) * (1 + 1e-12)


def test_a_stream_at_rest_exchanges_nothing_and_a_constant_one_is_infinite():
    assert exchange.exchanged_heat(exchange.COUNTERFLOW, 1e3, 0.0, 1e3, 350.0, 300.0) == 0.0
    constant = exchange.exchanged_heat(exchange.COUNTERFLOW, 1e3, 1e3, math.inf, 350.0, 300.0)
    assert constant == pytest.approx(1e3 * 50.0 * (1 - math.exp(-1)))


@given(st.floats(0.5, 100.0), st.floats(0.5, 100.0))
def test_the_log_mean_lies_between_geometric_and_arithmetic_mean(one, other):
    mean = mean_difference.log_mean(one, other)

    assert math.sqrt(one * other) * (1 - 1e-9) <= mean <= 0.5 * (one + other) * (1 + 1e-9)
    assert mean == pytest.approx(mean_difference.log_mean(other, one))


def test_the_log_mean_ends_where_the_temperatures_cross():
    assert mean_difference.log_mean(10.0, -1.0) == 0.0
    assert mean_difference.log_mean(10.0, 0.0) == 0.0


def test_the_correction_refuses_what_one_shell_cannot_do():
    assert math.isnan(mean_difference.one_shell_correction(1.0, 0.7))
    assert mean_difference.one_shell_correction(1.0, 0.3) == pytest.approx(
        mean_difference.one_shell_correction(1.0 + 1e-6, 0.3), rel=1e-5
    )


# -- heat transfer -------------------------------------------------------------------------------------


@pytest.mark.parametrize("edge", forced_convection.TRANSITION)
def test_pipe_nusselt_has_no_step(edge):
    below = forced_convection.pipe_nusselt(edge * (1 - 1e-9), 5.0, 0.01)

    assert below == pytest.approx(forced_convection.pipe_nusselt(edge * (1 + 1e-9), 5.0, 0.01), rel=1e-6)


def test_gas_in_a_narrow_annulus():
    """Incropera, example 9.5 (from memory): 0.10 / 0.12 m, 120 / 35 degC, air: k_eff 0.0343, 100 W/m."""
    number = free_convection.rayleigh_number(9.8, 0.00285, 85.0, 0.01, 20.92e-6, 29.9e-6)
    reduced = free_convection.annulus_rayleigh(number, 0.10, 0.12)
    ratio = free_convection.annulus_conductivity_ratio(reduced, 0.70)

    assert reduced == pytest.approx(171.0, rel=0.01)
    assert 0.030 * ratio == pytest.approx(0.0343, rel=0.01)
    assert free_convection.annulus_heat(0.030, ratio, 0.10, 0.12, 1.0, 85.0) == pytest.approx(100.0, rel=0.01)


def test_without_gravity_the_gas_of_an_enclosure_only_conducts():
    still = enclosure.annulus_shed(450.0, 300.0, 1.6, 2.4, 3.0, 0.0 + 1e-12, 0.8, 0.0, 0.03, 2e-5, 3e-5)

    assert still == pytest.approx(2 * math.pi * 0.03 * 3.0 * 150.0 / math.log(1.5), rel=1e-6)


def test_vacuum_leaves_radiation_alone():
    bare = enclosure.annulus_shed(450.0, 300.0, 1.6, 2.4, 3.0, 0.8, 0.8, 9.81, 0.0, 2e-5, 3e-5)
    hall = enclosure.hall_shed(450.0, 300.0, 290.0, 1.6, 3.0, 0.8, 9.81, 0.0, 2e-5, 3e-5)
    area = math.pi * 1.6 * 3.0

    assert bare == pytest.approx(
        radiation.radiated_heat(radiation.concentric_emissivity(0.8, 0.8, 1.6 / 2.4), area, 450.0, 300.0)
    )
    assert hall == pytest.approx(radiation.radiated_heat(0.8, area, 450.0, 290.0))
    assert enclosure.hall_shed(450.0, 300.0, 290.0, 1.6, 3.0, 0.8, 9.81, 0.03, 2e-5, 3e-5) > hall


def test_a_radiator_has_the_area_that_sheds_its_heat():
    area = radiation.radiator_area(5e4, 0.85, 330.0, 250.0)

    assert radiation.radiated_heat(0.85, area, 330.0, 250.0) == pytest.approx(5e4)


def test_a_finned_surface_lies_between_bare_and_ideal():
    efficiency = fins.straight_efficiency(10.0, 50.0, 0.001, 0.02)

    assert fins.finned_conductance(10.0, 1.0, 4.0, 0.0) == 10.0
    assert 10.0 < fins.finned_conductance(10.0, 1.0, 4.0, efficiency) < 50.0
    assert fins.straight_efficiency(0.0, 50.0, 0.001, 0.02) == 1.0
    assert fins.annular_efficiency(0.0, 50.0, 0.001, 0.01, 0.02) == 1.0


def test_a_wide_annular_fin_is_a_straight_one():
    """Radius much larger than height: the closed form of the straight fin is the limit."""
    straight = fins.straight_efficiency(50.0, 50.0, 0.001, 0.02)

    assert straight == pytest.approx(fins.annular_efficiency(50.0, 50.0, 0.001, 20.0, 20.02), rel=1e-3)


# -- electricity ---------------------------------------------------------------------------------------


def test_feeder_loss_and_voltage_drop_agree_at_unit_power_factor():
    current, resistance = 300.0, 6e-5
    drop = electric.voltage_drop(current, 60.0, resistance, 4e-5, 1.0)

    assert electric.feeder_loss(current, 60.0, resistance) == pytest.approx(math.sqrt(3) * drop * current)


def test_a_short_circuit_needs_its_section():
    """IEC 60364-4-43, k 143 for copper in XLPE (from memory): S^2 k^2 = I^2 t."""
    section = electric.short_circuit_section(20e3, 0.5, 143e6)

    assert (section * 143e6) ** 2 == pytest.approx(20e3**2 * 0.5)


def test_transformer_loss_is_both_losses_at_full_load():
    assert electric.transformer_loss(1e6, 1e6, 900.0, 8000.0) == 8900.0
    assert electric.transformer_loss(0.0, 1e6, 900.0, 8000.0) == 900.0


def test_a_weak_supply_dips_more():
    assert electric.starting_dip(1e6, 5e7) == pytest.approx(0.0196, abs=1e-4)
    assert electric.starting_dip(1e6, 1e6) == 0.5
    assert electric.starting_power(1e5, 0.95, 0.85, 6.0) == pytest.approx(
        6.0 * math.sqrt(3) * 400.0 * electric.three_phase_current(1e5 / 0.95, 400.0, 0.85)
    )


@given(st.floats(0.0, 1e7), st.floats(-1e5, 1e5), st.floats(0.1, 3600.0))
def test_a_battery_stays_within_its_bounds_and_loses_only_what_it_must(stored, surplus, step):
    capacity, reserve = 1e7, 2e6
    energy, power = battery.battery_step(stored, surplus, step, capacity, reserve, 5e4, 8e4, 0.95, 0.9)
    change = 0.95 * power if power > 0.0 else power / 0.9

    assert energy == pytest.approx(stored + change * step, abs=1e-6)
    assert power * surplus >= 0.0
    assert abs(power) <= abs(surplus) + 1e-9
    assert -8e4 <= power <= 5e4
    assert energy <= capacity + 1e-6
    assert energy >= min(stored, reserve) - 1e-6


def test_drawdown_is_the_worst_fall_of_the_cumulative_energy():
    power = np.random.default_rng(5).normal(size=500)
    total = np.concatenate(([0.0], np.cumsum(power * 60.0)))
    worst = max(float(total[: i + 1].max() - total[i]) for i in range(len(total)))

    assert worst == pytest.approx(float(battery.largest_drawdown(power, 60.0)))
    assert float(battery.largest_drawdown(np.ones(10), 60.0)) == 0.0
