"""Flow of real islands against a general root finder, hand calculation and a reference library."""

import os
import subprocess
import sys
from pathlib import Path

import fluids
import numpy as np
import pytest

from brinewright.kernel.branch_law import CHECK, OPEN, SHUT, SMOOTHEST
from brinewright.kernel.pressure import SETTLED
from tests.flow.pipes import Pipes, found_by_root, random_pipes, solve

GRAVITY, WATER = 9.80665, 998.2


def agrees_with_root_finder(seed, count, gates):
    rng = np.random.default_rng(seed)
    compared = closed = 0
    for number in range(count):
        pipes = random_pipes(rng, gates)
        code, flow, _, _ = solve(pipes)
        found = found_by_root(pipes, rng)

        assert code == SETTLED
        if found is not None:
            compared += 1
            closed += int(np.sum((pipes.gate == CHECK) & (flow == 0.0)))
            # the root finder stops at 1e-9 of 1e5 Pa; the smoothest branch takes 0.1 Pa s/kg
            np.testing.assert_allclose(flow, found[0], atol=1e-6, err_msg=f"seed {seed}, network {number}")
    return compared, closed


def test_open_networks_flow_as_a_root_finder_says():
    compared, _ = agrees_with_root_finder(1, 300, (OPEN,))

    assert compared >= 290


def test_networks_with_check_valves_flow_as_a_root_finder_says_over_all_their_states():
    compared, closed = agrees_with_root_finder(2, 150, (OPEN, OPEN, CHECK))

    assert compared >= 140
    assert closed > 30


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(20, 24))
def test_more_networks_flow_as_a_root_finder_says(seed):
    compared, _ = agrees_with_root_finder(seed, 500, (OPEN, OPEN, OPEN, CHECK))

    assert compared >= 480


def test_every_law_holds_in_larger_networks_with_shut_branches():
    rng = np.random.default_rng(3)
    for _ in range(400):
        pipes = random_pipes(rng, (OPEN, OPEN, OPEN, CHECK, SHUT), largest=30)
        code, flow, pressure, report = solve(pipes)
        free = pipes.fixed == 0
        left = pipes.unexplained(flow, pressure)
        stopped = (pipes.gate == CHECK) & (flow == 0.0)

        assert code == SETTLED
        # a free node balances to rounding of flows that reach 1000 kg/s
        assert np.all(np.abs(pipes.balance(flow)[free]) <= 1e-10)
        assert np.all(flow[pipes.gate == SHUT] == 0.0)
        assert np.all(flow[pipes.gate == CHECK] >= -1e-12)
        # 1e-3 Pa of some 1e5 Pa
        assert np.all(np.abs(left[(pipes.gate != SHUT) & ~stopped]) <= 1e-3)
        assert np.all(left[stopped] <= 1e-3)
        # what was left before the last step, as the solver saw it: 1e-7 of 1e5 Pa
        assert report[0] <= 1e-2


def test_mirrored_network_has_mirrored_flow():
    rng = np.random.default_rng(4)
    for _ in range(100):
        pipes = random_pipes(rng, largest=12)
        mirrored = Pipes(
            pipes.head, pipes.tail, pipes.quadratic, pipes.linear, -pipes.gain, pipes.gate, pipes.fixed,
            pipes.pressure,
        )  # fmt: skip

        np.testing.assert_allclose(solve(mirrored)[1], -solve(pipes)[1], atol=1e-8)


def test_order_of_branches_and_nodes_does_not_matter():
    rng = np.random.default_rng(5)
    for _ in range(100):
        pipes = random_pipes(rng, (OPEN, OPEN, CHECK, SHUT), largest=12)
        names, order = rng.permutation(len(pipes.fixed)), rng.permutation(len(pipes.tail))
        back = np.argsort(names)
        other = Pipes(
            names[pipes.tail][order], names[pipes.head][order], pipes.quadratic[order], pipes.linear[order],
            pipes.gain[order], pipes.gate[order], pipes.fixed[back], pipes.pressure[back],
        )  # fmt: skip

        np.testing.assert_allclose(solve(other)[1], solve(pipes)[1][order], atol=1e-7)


def test_last_flow_as_a_first_guess_leads_to_the_same_flow():
    rng = np.random.default_rng(6)
    for _ in range(100):
        pipes = random_pipes(rng, (OPEN, OPEN, CHECK), largest=12)
        _, before, pressure, _ = solve(pipes)
        pipes.gain *= rng.uniform(0.5, 1.1, len(pipes.gain))
        pipes.gate[rng.integers(len(pipes.gate))] = SHUT
        _, warm, _, _ = solve(pipes, before, pressure)

        np.testing.assert_allclose(warm, solve(pipes)[1], atol=1e-7)


def path(quadratics, gains, ends=(0.0, 0.0), gates=None):
    """Branches side by side between two nodes that hold their pressure."""
    m = len(quadratics)
    return Pipes(
        [0] * m, [1] * m, quadratics, [0.0] * m, gains, [OPEN] * m if gates is None else gates, [1, 1], ends
    )


def test_parallel_branches_split_by_the_root_of_their_resistance():
    # closed form: R2 = 4 R1 and 3 L/s in all give 2 and 1 L/s; here in kg/s of water at 1000 kg/m3
    flow = solve(Pipes([0, 0, 1], [1, 1, 2], [1.0, 4.0, 1e3], [0.0] * 3, [0.0] * 3, [OPEN] * 3, [1, 0, 1],
                       [9e3 + 4.0 + 3 * 0.1 + 0.2, 0.0, 0.0]))[1]  # fmt: skip

    # the least resistance of a branch, 0.1 Pa s/kg, weighs 3 % in branches as smooth as these
    assert flow[2] == pytest.approx(3.0, rel=1e-3)
    assert flow[0] == pytest.approx(2.0, rel=0.02)

    scale = 1e6
    flow = solve(path([1.0 * scale, 4.0 * scale], [4.0 * scale, 4.0 * scale]))[1]

    assert flow.tolist() == pytest.approx([2.0, 1.0], rel=1e-6)


@pytest.mark.parametrize(("pumps", "expected"), [(1, 0.01), (2, 0.014142136)])
def test_pumps_meet_the_system_where_the_curves_cross(pumps, expected):
    # closed form: pump 40 m - 2e5 Q^2 each, system 10 m + 1e5 Q^2, Q in m3/s
    metre = WATER * GRAVITY
    per_mass = metre / WATER**2
    pipes = Pipes(
        [0] * pumps + [1], [1] * pumps + [2],
        [2e5 * per_mass] * pumps + [1e5 * per_mass], [0.0] * (pumps + 1),
        [40.0 * metre] * pumps + [-10.0 * metre], [CHECK] * pumps + [OPEN], [1, 0, 1], [0.0, 0.0, 0.0],
    )  # fmt: skip
    flow = solve(pipes)[1]

    # 0.1 Pa s/kg at 14 kg/s against 400 kPa
    assert flow[-1] / WATER == pytest.approx(expected, rel=1e-5)


def test_closed_ring_turns_on_its_pump_about_a_reference_pressure():
    pipes = Pipes(
        [0, 1, 2], [1, 2, 0], [100.0] * 3, [0.0] * 3, [3e4, 0.0, 0.0], [OPEN] * 3, [1, 0, 0], [1e5] * 3
    )
    code, flow, pressure, _ = solve(pipes)

    assert code == SETTLED
    assert np.ptp(flow) <= 1e-12
    assert flow[0] == pytest.approx(10.0, rel=1e-4)
    assert pressure[0] == 1e5
    assert pressure[1] == pytest.approx(1.2e5, rel=1e-4)


def test_ring_without_reference_keeps_a_pressure_and_flows_right():
    pipes = Pipes(
        [0, 1, 2], [1, 2, 0], [100.0] * 3, [0.0] * 3, [3e4, 0.0, 0.0], [OPEN] * 3, [0, 0, 0], [1e5] * 3
    )
    code, flow, _, _ = solve(pipes)

    assert code == SETTLED
    assert flow[0] == pytest.approx(10.0, rel=1e-4)


def test_water_falls_from_the_higher_tank_to_the_lower_and_back_when_levels_change_places():
    down = solve(path([1e3], [5.0 * WATER * GRAVITY]))[1]
    up = solve(path([1e3], [-5.0 * WATER * GRAVITY]))[1]

    assert down[0] == pytest.approx(np.sqrt(5.0 * WATER * GRAVITY / 1e3), rel=1e-4)
    assert up[0] == -down[0]


def test_check_valve_keeps_a_stopped_pump_from_running_backwards():
    both = solve(path([500.0, 500.0], [1e5, 0.0], ends=(0.0, 2e4)))[1]
    checked = solve(path([500.0, 500.0], [1e5, 0.0], ends=(0.0, 2e4), gates=[CHECK, CHECK]))[1]

    assert both[1] < -1.0
    assert checked.tolist() == [both[0], 0.0]


def test_everything_shut_is_still():
    pipes = path([100.0, 100.0], [1e5, 1e5], gates=[SHUT, SHUT])

    assert solve(pipes)[0] == SETTLED
    assert solve(pipes)[1].tolist() == [0.0, 0.0]


def test_nothing_drives_nothing_flows():
    assert solve(path([100.0, 0.0], [0.0, 0.0], ends=(2e5, 2e5)))[1].tolist() == [0.0, 0.0]


def test_law_of_a_valve_is_that_of_its_flow_coefficient():
    # fluids library: Kv to loss coefficient in a 50 mm bore, then the loss at 10 m3/h
    bore, volume = 0.05, 10.0 / 3600.0
    loss_coefficient = fluids.Kv_to_K(25.0, bore)
    speed = volume / (np.pi * bore**2 / 4.0)
    loss = loss_coefficient * 1000.0 * speed**2 / 2.0
    quadratic = 1e5 / (25.0 * 1000.0 / 3600.0) ** 2
    flow = solve(path([quadratic], [loss]))[1][0]

    # the library rounds the constant of Kv by 0.07 % in loss; plus 0.1 Pa s/kg
    assert flow == pytest.approx(1000.0 * volume, rel=5e-4)
    assert SMOOTHEST * flow < 1e-4 * loss


def many_flows():
    rng = np.random.default_rng(7)
    return np.concatenate([solve(random_pipes(rng, (OPEN, OPEN, CHECK, SHUT), 9))[1] for _ in range(60)])


def test_uncompiled_source_gives_the_same_bits():
    code = "from tests.flow import test_pressure as t; print(t.many_flows().tobytes().hex(), end='')"
    root = Path(__file__).parents[2]
    environment = {
        **os.environ,
        "BRINEWRIGHT_UNCOMPILED": "0" if os.environ.get("BRINEWRIGHT_UNCOMPILED") == "1" else "1",
        "PYTHONPATH": os.pathsep.join([str(root / "src"), str(root)]),
    }
    other = subprocess.run(
        [sys.executable, "-c", code], env=environment, check=True, capture_output=True, text=True
    )

    assert many_flows().tobytes().hex() == other.stdout
