"""The laws of declared worlds: counting passes, resting points, feedback, cycling."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from brinewright.laws import fixed_drop, passes, relay, stylised, tank, threshold
from brinewright.laws.plant import SMALL_PLANT

temperatures = st.floats(250.0, 420.0)
drops = st.floats(0.5, 40.0)


@given(temperatures, temperatures, drops)
def test_a_parcel_leaves_within_one_drop_below_the_set_point(temperature, set_point, drop):
    after = passes.temperature_after(temperature, set_point, drop)
    # one part in 1e9 of a pass is given to rounding
    slack = 1e-8 * drop + 1e-9

    assert after <= set_point + slack
    if temperature > set_point + slack:
        assert after > passes.coldest_parcel(set_point, drop, 0) - slack
    else:
        assert after == temperature


@given(temperatures, temperatures, drops)
def test_counting_agrees_with_sending_a_parcel_round(temperature, set_point, drop):
    left, count = temperature, 0
    while left > set_point + 1e-9 * drop:
        left, count = left - drop, count + 1

    assert abs(passes.passes(temperature, set_point, drop) - count) <= (
        1 if abs(left - set_point) < 1e-6 or abs(left + drop - set_point) < 1e-6 else 0
    )


@pytest.mark.parametrize("drop", [9.0, 14.0, 0.1, 3.3])
@pytest.mark.parametrize("count", [1, 2, 7])
def test_the_boundary_itself_is_one_pass_less_when_only_warmer_liquid_is_sent(drop, count):
    temperature = 295.15 + count * drop

    assert passes.passes(temperature, 295.15, drop) == count
    assert passes.passes_inclusive(temperature, 295.15, drop) == count + 1


@given(st.floats(0.01, 5.0), drops)
def test_the_resting_point_balances_on_both_sides(mean, drop):
    hot, supply = passes.resting_point(290.0, drop, mean)
    whole = math.floor(mean)

    # at the boundary the mean over k and k + 1 passes is the mean that carries the load
    assert supply == pytest.approx(hot - mean * drop, abs=1e-9 * drop + 1e-9)
    assert passes.set_point_for(supply, drop, mean) == pytest.approx(290.0)
    if mean > whole:
        # just above the boundary, where a k + 1st pass is sent; a hair that beats rounding
        assert passes.passes(hot + 1e-6 * drop, 290.0, drop) == whole + 1


@given(st.integers(1, 12), st.floats(0.5, 20.0), st.floats(0.1, 5.0), st.floats(1.0, 30.0))
def test_chillers_needed_are_the_fewest_that_pass_the_flow(chillers, rated, mean, flow):
    needed = passes.chillers_needed(mean, flow, rated)

    assert passes.bank_duty(mean, flow, needed, rated) <= 1.0 + 1e-8
    if needed > 1:
        assert passes.bank_duty(mean, flow, needed - 1, rated) > 1.0
    idling = passes.chillers_needed_idling(mean, flow, rated, 2.0 * flow)
    assert passes.ring_throughput_idling(idling, rated, mean, 2.0 * flow) >= flow * (1.0 - 1e-8)


def sink(temperature, heat, carried, returned, loss, surroundings, limit):
    """What the vessel takes in less what leaves it, with turbines on above the threshold."""
    turbines = carried * (temperature - returned) if temperature > limit else 0.0
    return heat - turbines - loss * (temperature - surroundings)


@given(st.floats(1e4, 3e6), st.floats(1e3, 6e4), st.floats(0.0, 500.0))
def test_the_vessel_rests_where_heat_in_is_heat_out(heat, carried, loss):
    temperature, duty = threshold.vessel_rest(heat, carried, 360.0, loss, 293.0, 400.0)
    out = duty * carried * (temperature - 360.0) + loss * (temperature - 293.0)

    assert out == pytest.approx(heat, rel=1e-9)
    assert 0.0 <= duty <= 1.0
    assert temperature >= 400.0 or duty == 0.0


def test_a_vessel_without_outlet_rises_for_ever():
    assert threshold.vessel_rest(1e5, 0.0, 360.0, 0.0, 293.0, 400.0)[0] == math.inf


@given(
    st.floats(1e5, 2e6), st.floats(0.0, 3e4), st.floats(0.0, 0.4), st.floats(1.0, 1.6), st.floats(2e3, 4e4)
)
def test_the_feedback_of_casings_is_a_fixed_point(load, fixed, share, ratio, carried):
    arguments = (carried, 360.0, 60.0, 293.0, 400.0)
    loop = threshold.loop_load_with_loss(load, fixed, share, ratio, *arguments)
    rest, duty = threshold.vessel_rest(ratio * loop, *arguments)
    taken = duty * carried * (rest - 360.0)

    assert loop == pytest.approx(load + fixed + share * taken, rel=1e-9)


def test_the_bound_without_loss_is_never_below_the_solution_with_it():
    arguments = (25.2e3, 368.15, 60.0, 293.15, 398.15)
    bound = threshold.loop_load(1120e3, 12e3, 0.08, 1.05)

    assert threshold.loop_load_with_loss(1120e3, 12e3, 0.08, 1.05, *arguments) <= bound
    assert threshold.loop_load(1.0, 0.0, 0.9, 1.2) == math.inf


def test_a_cycling_vessel_has_the_duty_that_a_march_in_time_finds():
    heat, carried, loss, capacity = 3e5, 18.9e3, 60.0, 5e6
    temperature, running, on, steps, step = 398.15, False, 0, 400_000, 0.05
    for _ in range(steps):
        running = temperature > 398.15 + 0.01 or (running and temperature > 398.15)
        on += running
        out = carried * (temperature - 368.15) if running else 0.0
        temperature += (heat - out - loss * (temperature - 293.15)) * step / capacity

    _, duty = threshold.vessel_rest(heat, carried, 368.15, loss, 293.15, 398.15)

    # 20 000 s with a period of seconds: one part in a thousand by counting whole cycles
    assert duty == pytest.approx(on / steps, rel=3e-3)


def march(rise, fall, differential, dead_time, step):
    """Mean period of a relay on a ramp whose answer comes a dead time late, by brute force."""
    temperature, command, queue = 0.0, False, [False] * round(dead_time / step)
    starts: list[float] = []
    clock = 0
    while len(starts) < 12:
        queue.append(command)
        cooling = queue.pop(0)
        temperature += (-fall if cooling else rise) * step
        clock += 1
        if not command and temperature >= differential / 2:
            command = True
            starts.append(clock * step)
        elif command and temperature <= -differential / 2:
            command = False
    return (starts[-1] - starts[2]) / (len(starts) - 3)


def test_the_relay_cycle_of_240_seconds_is_what_a_brute_force_march_finds():
    """r 0.01 / 0.02 K/s, d 1 K, dead time 20 s: 240.0 s."""
    assert relay.relay_period(0.01, 0.02, 1.0, 20.0) == pytest.approx(240.0, abs=1e-9)
    # each of the two turns may be seen up to a step of 0.05 s late
    assert march(0.01, 0.02, 1.0, 20.0, 0.05) == pytest.approx(240.0, abs=0.2)


@pytest.mark.parametrize(("rise", "fall", "d", "dead"), [(0.03, 0.01, 0.5, 7.0), (0.005, 0.05, 2.0, 30.0)])
def test_the_relay_formula_holds_elsewhere_too(rise, fall, d, dead):
    assert march(rise, fall, d, dead, 0.05) == pytest.approx(
        relay.relay_period(rise, fall, d, dead), rel=2e-3
    )


@given(st.floats(0.05, 0.95))
def test_half_load_gives_the_shortest_cycle(share):
    period = tank.bath_period(8.4e6, 4.0, share * 5e5, 0.0, 5e5)

    assert period >= relay.least_period(8.4e6, 4.0, 5e5) * (1.0 - 1e-12)
    assert tank.bath_period(8.4e6, 4.0, 2.5e5, 0.0, 5e5) == pytest.approx(relay.least_period(8.4e6, 4.0, 5e5))


def test_a_bath_outside_its_stages_never_switches():
    assert tank.bath_period(1e6, 2.0, 6e5, 0.0, 5e5) == math.inf


def test_dry_metal_with_a_way_out_may_never_reach_its_limit():
    free = fixed_drop.dry_time(354e3, 588e3, 0.0, 303.0, 303.0, 448.0)

    assert fixed_drop.dry_time(354e3, 588e3, 3000.0, 303.0, 303.0, 448.0) == math.inf
    assert fixed_drop.dry_time(354e3, 588e3, 1e-3, 303.0, 303.0, 448.0) == pytest.approx(free, rel=1e-6)
    assert fixed_drop.dry_time(354e3, 588e3, 500.0, 303.0, 303.0, 448.0) > free


@pytest.mark.parametrize("turbines", [1, 2, 3, 6])
def test_the_closed_form_of_a_plant_closes_its_balances(turbines):
    plant = SMALL_PLANT
    result = stylised.closed_form(plant, turbines)

    assert result.loop_load == pytest.approx(plant.load + result.casing_heat)
    assert result.rejected == pytest.approx(result.turbine_heat + result.vessel_leak)
    assert result.rejected == pytest.approx(
        result.loop_load + result.chillers_power - result.chiller_unaccounted
    )
    assert result.turbine_heat == pytest.approx(
        result.turbines_power + result.casing_heat + result.turbine_unaccounted
    )
    assert result.return_temperature - result.consumer_rise == pytest.approx(result.mean_supply)


def test_turbines_for_a_material_are_the_fewest_that_pass_both_tests():
    plant, limit = SMALL_PLANT, 448.15
    chosen = stylised.turbines_for(plant, limit, 15.0, 5.0)
    enough = stylised.closed_form(plant, chosen)
    fewer = stylised.closed_form(plant, chosen - 1)

    assert enough.peak_temperature <= limit - 15.0
    assert enough.peak_with_one_less <= limit - 5.0
    assert fewer.peak_temperature > limit - 15.0 or fewer.peak_with_one_less > limit - 5.0
    assert stylised.turbines_for(plant, plant.threshold - 1.0, 15.0, 5.0) == 0


def test_a_wanted_supply_is_what_comes_out():
    plant = stylised.with_wanted_supply(SMALL_PLANT, 285.0, 2)

    assert stylised.closed_form(plant, 2).mean_supply == pytest.approx(285.0)


def test_what_fewer_chillers_carry_loads_them_fully():
    load = stylised.load_carried(SMALL_PLANT, 3, 2)
    result = stylised.closed_form(replace(SMALL_PLANT, load=load), 2)

    assert result.loop_load == pytest.approx(3 * result.chiller_duty)
