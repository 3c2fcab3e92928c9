"""Networks of real pipes: the resistance follows the Reynolds number from solution to solution."""

import fluids
import numpy as np
import pytest
from scipy.optimize import brentq

from brinewright.kernel.branch_law import OPEN, pipe_resistance
from brinewright.laws.pipe_flow import pipe_loss
from tests.flow.pipes import Pipes, solve

ROUGHNESS, DENSITY, VISCOSITY = 4.5e-5, 998.2, 1.002e-3


def library_loss(mass, length, bore, minor=0.0, density=DENSITY, viscosity=VISCOSITY):
    """Loss of one pipe from the fluids library, with Churchill's friction factor [Pa]."""
    speed = mass / density / (np.pi * bore**2 / 4.0)
    factor = fluids.friction_factor(
        density * speed * bore / viscosity, ROUGHNESS / bore, Method="Churchill_1977"
    )
    return (factor * length / bore + minor) * density * speed**2 / 2.0


def settle(tail, head, lengths, bores, minors, gain, fixed, pressure, density=DENSITY, viscosity=VISCOSITY):
    """Flow with each pipe's resistance taken at its own flow, and the number of turns it took."""
    asked = flow = np.ones(len(lengths))
    turns = 0
    while turns < 60:
        turns += 1
        terms = [
            pipe_resistance(q, length, bore, ROUGHNESS, minor, density, viscosity)
            for q, length, bore, minor in zip(asked, lengths, bores, minors, strict=True)
        ]
        quadratic, linear = (np.array(part) for part in zip(*terms, strict=True))
        pipes = Pipes(tail, head, quadratic, linear, gain, [OPEN] * len(flow), fixed, pressure)
        flow = solve(pipes, flow)[1]
        if np.abs(flow - asked).max() <= 1e-9:
            break
        # as the note of `pipe_resistance` says
        asked = np.where(linear > 0.0, flow, 0.5 * (flow + asked))
    return flow, turns


@pytest.mark.parametrize("mass", [0.01, 0.05, 0.1, 0.2, 0.5, 2.0, 10.0])
def test_single_pipe_carries_what_the_fluids_library_loses_in_it(mass):
    loss = library_loss(mass, 100.0, 0.05248, 3.0)
    flow, turns = settle([0], [1], [100.0], [0.05248], [3.0], [0.0], [1, 1], [loss, 0.0])

    # 0.1 Pa s/kg beside a pipe that takes at least 2 Pa at 0.01 kg/s; and the digits that the two
    # writings of Churchill's formula share
    assert flow[0] == pytest.approx(mass, rel=6e-4)
    assert turns < 30


def test_two_pipes_side_by_side_split_as_the_fluids_library_says():
    loss = 2e4
    shares = [
        brentq(
            lambda q, length=length, bore=bore: library_loss(q, length, bore) - loss, 1e-3, 100.0, xtol=1e-12
        )
        for length, bore in ((120.0, 0.05), (80.0, 0.08))
    ]
    flow, turns = settle(
        [0, 0], [1, 1], [120.0, 80.0], [0.05, 0.08], [0.0, 0.0], [0.0, 0.0], [1, 1], [loss, 0.0]
    )

    # 0.1 Pa s/kg at 9 kg/s against 20 kPa
    assert flow.tolist() == pytest.approx(shares, rel=1e-4)
    assert turns <= 6


def test_loss_of_one_phase_is_that_of_the_fluids_library():
    # fluids.two_phase.fluids one_phase_dP takes Colebrook's factor: 2 % of Churchill's (its stated error)
    loss = fluids.one_phase_dP(m=2.0, rho=DENSITY, mu=VISCOSITY, D=0.05248, roughness=ROUGHNESS, L=100.0)
    flow, _ = settle([0], [1], [100.0], [0.05248], [0.0], [0.0], [1, 1], [loss, 0.0])

    assert flow[0] == pytest.approx(2.0, rel=0.011)


def test_published_pipe_carries_its_published_flow():
    # Cengel and Cimbala, Fluid Mechanics, example 8-3: water, 50 mm stainless steel, 60 m, 6 L/s, 96.5 kPa;
    # read in an open companion; roughness 2 um. 0.5 % for the chart, and half of it in flow
    terms = pipe_resistance(0.006 * 999.0, 60.0, 0.05, 2e-6, 0.0, 999.0, 1.138e-3)
    flow = solve(Pipes([0], [1], [terms[0]], [terms[1]], [0.0], [OPEN], [1, 1], [96.5e3, 0.0]))[1]

    assert flow[0] / 999.0 == pytest.approx(0.006, rel=0.005)


def test_resistance_has_loss_and_slope_of_the_pipe_at_its_flow():
    for mass in np.geomspace(1e-3, 50.0, 60):
        quadratic, linear = pipe_resistance(mass, 40.0, 0.08, ROUGHNESS, 2.0, DENSITY, VISCOSITY)
        loss, slope = pipe_loss(mass / DENSITY, 40.0, 0.08, ROUGHNESS, 2.0, DENSITY, VISCOSITY)

        assert quadratic >= 0.0
        assert linear >= 0.0
        assert quadratic * mass**2 + linear * mass == pytest.approx(loss, rel=1e-12)
        if 0.0 < linear < loss / mass * (1.0 - 1e-9):
            assert 2.0 * quadratic * mass + linear == pytest.approx(slope / DENSITY, rel=1e-9)


def test_resistance_is_the_same_both_ways_and_finite_at_rest():
    here = (40.0, 0.08, ROUGHNESS, 2.0, DENSITY, VISCOSITY)

    assert pipe_resistance(-3.0, *here) == pipe_resistance(3.0, *here)
    assert np.all(np.isfinite(pipe_resistance(0.0, *here)))


def test_laminar_glycol_flows_in_proportion_to_pressure():
    # Hagen and Poiseuille: dp = 128 mu L Q / (pi D^4)
    density, viscosity, loss = 1081.0, 8e-2, 2e4
    expected = np.pi * 0.05**4 * loss / (128.0 * viscosity * 100.0) * density
    flow, turns = settle([0], [1], [100.0], [0.05], [0.0], [0.0], [1, 1], [loss, 0.0], density, viscosity)

    assert flow[0] == pytest.approx(expected, rel=1e-4)
    assert turns <= 3
