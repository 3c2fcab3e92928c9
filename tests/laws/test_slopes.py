"""Every law that returns a slope, against central differences."""

import pytest

from brinewright.laws import fitting, friction, pipe_flow, pumping, valve_flow

# Step 1e-6 of the value: the error of a central difference is then some 1e-10 in the mean and
# grows where curvature is strong (the transition of Churchill's formula).
TOLERANCE = 1e-5


def difference(law, at):
    step = 1e-6 * abs(at)
    return (law(at + step)[0] - law(at - step)[0]) / (2.0 * step)


FLOWS = [1e-7, 3e-6, 2e-5, 6e-5, 1e-4, 1.3e-4, 3e-4, 2e-3, 0.05]
LAWS = {
    "pipe": lambda q: pipe_flow.pipe_loss(q, 30.0, 0.05, 4.5e-5, 0.0, 1000.0, 0.001),
    "pipe with fittings": lambda q: pipe_flow.pipe_loss(q, 30.0, 0.05, 4.5e-5, 12.0, 1028.0, 0.0046),
    "smooth pipe": lambda q: pipe_flow.pipe_loss(q, 30.0, 0.05, 0.0, 0.0, 1000.0, 0.001),
    "darcy": lambda q: pipe_flow.darcy_loss(q, 30.0, 0.05, 0.02, 1000.0),
    "fitting": lambda q: fitting.minor_loss(q, 0.5, 0.05, 1000.0),
    "valve": lambda q: valve_flow.valve_loss(q, 0.007, 1000.0),
    "pump": lambda q: pumping.pump_head(q, 40.0, 2e5, 0.9),
}


@pytest.mark.parametrize("name", LAWS)
@pytest.mark.parametrize("flow", [*FLOWS, *(-flow for flow in FLOWS)])
def test_slope_is_the_derivative(name, flow):
    # the head of a pump hardly changes at the least flows: the difference of 32.4 and 32.4 has
    # an error of 4e-15 over 2e-6 flow
    noise = 1e-14 * abs(LAWS[name](flow)[0]) / (2e-6 * abs(flow))

    assert LAWS[name](flow)[1] == pytest.approx(difference(LAWS[name], flow), rel=TOLERANCE, abs=noise)


@pytest.mark.parametrize("reynolds", [50.0, 500.0, 2300.0, 2800.0, 3500.0, 5e3, 1e5, 1e7])
@pytest.mark.parametrize("roughness", [0.0, 1e-4, 0.02])
def test_friction_slope_is_the_derivative(reynolds, roughness):
    slope = friction.churchill(reynolds, roughness)[1]

    assert slope == pytest.approx(
        difference(lambda x: friction.churchill(x, roughness), reynolds), rel=TOLERANCE, abs=1e-9 / reynolds
    )


@pytest.mark.parametrize("name", sorted(set(LAWS) - {"pump"}))
def test_loss_is_odd_in_flow(name):
    for flow in FLOWS:
        (forward, rise), (backward, fall) = LAWS[name](flow), LAWS[name](-flow)

        assert (forward, rise) == (-backward, fall)


@pytest.mark.parametrize("name", ["pipe", "pipe with fittings", "smooth pipe"])
def test_a_pipe_has_a_slope_at_rest(name):
    """Hagen and Poiseuille: 128 mu L / (pi D^4)."""
    loss, slope = LAWS[name](0.0)

    assert loss == 0.0
    assert slope == pytest.approx(LAWS[name](1e-12)[0] / 1e-12, rel=1e-6)


@pytest.mark.parametrize("roughness", [0.0, 1e-4, 0.02])
def test_the_laminar_branch_joins_without_a_step(roughness):
    below, _ = friction.churchill(200.0 * (1 - 1e-12), roughness)
    above, _ = friction.churchill(200.0, roughness)

    assert above == pytest.approx(below, rel=1e-11)
