"""The chiller against a worked example, a printed table and the laws of thermodynamics."""

import numpy as np
import pytest

from brinewright.errors import InputError
from tests.steam_plants import ZERO, Bench, closed, events

METAL = {"metal_mass": 900.0, "metal_heat_capacity": 490.0, "conductance": 1e5, "bare_conductance": 500.0}
TIGHT = {"metal_mass": 1e6, "conductance": 4e8}
"""Metal that is as warm as what it stands in, whatever it gives."""
REAL = {
    "cooling_capacity": 233e3, "reference_evaporation": 273.15, "reference_condensation": 413.15,
    "second_law_efficiency": 0.5, "highest_condensation": 450.0, "flow_proof": 0.5, "hold_up": 20.0, **METAL,
}  # fmt: skip
CAPACITY = ((212.0, 190.0, 167.0), (252.0, 227.0, 200.0), (296.0, 268.0, 238.0))
POWER = ((51.0, 60.0, 70.0), (54.0, 63.5, 74.5), (57.0, 67.0, 79.0))
TABLE = tuple(
    (cold + ZERO, hot + ZERO, 1e3 * CAPACITY[i][j], 1e3 * POWER[i][j])
    for i, cold in enumerate((0.0, 5.0, 10.0))
    for j, hot in enumerate((35.0, 45.0, 55.0))
)
"""The invented catalogue of the trade notes: 245.44 kW and 60.36 kW at 6 and 41 degC."""


def chilled(
    law: str,
    numbers: dict,
    *,
    flow: float = 13.86,
    entering: float = 13.0,
    hot: float = 135.0,
    count: int = 1,
) -> Bench:
    """A chiller that gives its heat to a room which nothing warms."""
    bench = Bench().power()
    room = {"heat_capacity": 1e12, "outside_conductance": 0.0, "gains": 0.0, "highest_temperature": 900.0}
    bench.add("RM-1", "room", "lump", room, begins={"temperature": hot + ZERO})
    bench.add("CH-1", "chiller", law, numbers, inside="RM-1", count=count)
    return bench.ring("CH-1", flow, entering + ZERO)


def settled(bench: Bench, seconds: float = 1800.0):
    run = bench.start()
    assert run.advance(seconds) == "done"
    assert closed(run)
    return run


def test_a_worked_example_is_met():
    """424.4 kW at 5 degC, to 140 degC: COP 0.9755, compressor 435.1 kW, reject 859.5 kW (closed form)."""
    flow = 424.4e3 / (4000.0 * 8.0)
    numbers = {**REAL, "cooling_capacity": 600e3, "leaving_temperature": 5.0 + ZERO, **TIGHT}
    run = settled(chilled("second law", numbers, flow=flow))

    assert run.value("CH-1", "outlet temperature") - ZERO == pytest.approx(5.0, abs=1e-6)
    assert run.value("CH-1", "cooling") == pytest.approx(424.4e3, rel=1e-9)
    assert run.value("CH-1", "power") == pytest.approx(458.0e3, rel=1e-3)
    assert run.value("CH-1", "reject") == pytest.approx(859.5e3, rel=1e-3)


def test_what_is_rejected_is_what_was_taken_and_the_work():
    numbers = {**REAL, "motor_heat_share": 1.0}
    run = settled(chilled("second law", numbers))

    assert run.value("CH-1", "reject") == pytest.approx(
        run.value("CH-1", "cooling") + run.value("CH-1", "power"), rel=1e-12
    )
    assert run.value("CH-1", "given") == pytest.approx(run.value("CH-1", "reject"), rel=1e-6)
    assert run.value("CH-1", "metal temperature") - 135.0 - ZERO == pytest.approx(
        run.value("CH-1", "reject") / 1e5, rel=1e-3
    )


@pytest.mark.parametrize("flow", [2.0, 6.0, 20.0])
def test_at_full_load_capacity_and_outlet_agree(flow):
    """Phi = Phi_ref exp(0.035 (T_e - T_e0)) (1 - 0.008 (T_h - T_h0)) at the temperatures that come of it."""
    run = settled(chilled("second law", {**REAL, **TIGHT}, flow=flow))
    leaving = run.value("CH-1", "outlet temperature")
    cold, hot = leaving - 5.0, run.value("CH-1", "metal temperature") + 5.0

    assert run.value("CH-1", "cooling") == pytest.approx(
        233e3 * np.exp(0.035 * (cold - 273.15)) * (1.0 - 0.008 * (hot - 413.15)), rel=1e-6
    )
    assert run.value("CH-1", "inlet temperature") - leaving == pytest.approx(
        run.value("CH-1", "cooling") / (flow * 4000.0), rel=1e-6
    )


def test_less_flow_is_cooled_further():
    """A declared drop does not know this: at half the flow a real machine may freeze its liquid."""
    much, little = (settled(chilled("second law", REAL, flow=flow)) for flow in (12.0, 3.0))

    assert little.value("CH-1", "outlet temperature") < much.value("CH-1", "outlet temperature") - 8.0


def test_no_machine_beats_carnot():
    numbers = {**REAL, "second_law_efficiency": 1.0, "evaporator_approach": 0.0, "condenser_approach": 0.0}
    run = settled(chilled("second law", {**numbers, "motor_efficiency": 1.0}))
    cold, hot = run.value("CH-1", "outlet temperature"), run.value("CH-1", "metal temperature")

    assert run.value("CH-1", "performance") == pytest.approx(cold / (hot - cold), rel=1e-6)


def test_below_its_lowest_step_it_cycles_at_a_loss():
    """COP r / (C_c r + 1 - C_c) with r the load as a share of the lowest step, EN 14825 (from memory)."""

    def run_at(load):
        numbers = {**REAL, "leaving_temperature": 13.0 + ZERO - load / (13.86 * 4000.0), **TIGHT}
        return settled(chilled("second law", numbers))

    small = run_at(20e3)
    share = 20e3 / (
        233e3 * np.exp(0.035 * (small.value("CH-1", "outlet temperature") - 5.0 - 273.15))
        * (1.0 - 0.008 * (small.value("CH-1", "metal temperature") + 5.0 - 413.15))
    ) / 0.25  # fmt: skip
    T = small.value("CH-1", "outlet temperature") - 5.0
    full = 0.5 * T / (small.value("CH-1", "metal temperature") + 5.0 - T) * 0.95

    assert share < 1.0
    assert small.value("CH-1", "performance") == pytest.approx(full * share / (0.9 * share + 0.1), rel=1e-6)


def test_as_many_units_run_as_the_load_needs():
    numbers = {**REAL, "leaving_temperature": 10.0 + ZERO}
    run = settled(chilled("second law", numbers, count=4))
    load = 13.86 * 4000.0 * 3.0

    assert run.value("CH-1", "cooling") == pytest.approx(load, rel=1e-9)
    assert run.value("CH-1", "running") == pytest.approx(np.ceil(load / 300e3) / 4, abs=1e-9)


def test_its_frost_guard_stops_it_and_lets_it_come_back_after_its_rest():
    numbers = {**REAL, "lowest_evaporation": 0.0 + ZERO, "shortest_rest": 240.0, "shortest_run": 0.0}
    run = chilled("second law", numbers, flow=5.0).start(longest_step=1)
    run.advance(10.0)
    stopped = events(run)["frost-guard"]
    seen = []
    while run.time < 700.0:
        run.advance(run.time + 1.0)
        seen.append(run.value("CH-1", "cooling") > 0.0)
    changes = [k for k in range(1, len(seen)) if seen[k] != seen[k - 1]]

    assert stopped < 10.0
    assert 240.0 <= changes[0] + 10.0 - stopped + 1.0 <= 246.0
    assert closed(run)


def test_its_guard_stops_it_where_it_cannot_condense():
    numbers = {**REAL, "highest_condensation": 138.0 + ZERO}
    run = settled(chilled("second law", numbers))

    assert "condensation-guard" in events(run)


def test_without_flow_it_stops_and_a_stop_waits_for_the_shortest_run():
    bench = chilled("second law", {**REAL, "shortest_run": 300.0})
    run = (
        bench.force("P-main.running", 0.0, 600.0)
        .force("CH-1.command", 0.0, 100.0, 500.0)
        .start(longest_step=1)
    )
    run.advance(250.0)
    assert run.value("CH-1", "running") == 1.0
    run.advance(350.0)
    assert run.value("CH-1", "running") == 0.0
    run.advance(630.0)
    assert run.value("CH-1", "power") == 0.0
    assert closed(run)


def test_a_forced_stop_takes_its_cooling_away():
    run = settled(chilled("second law", REAL).force("CH-1.running", 0.0))

    assert run.value("CH-1", "cooling") == 0.0
    assert run.value("CH-1", "outlet temperature") == pytest.approx(run.value("CH-1", "inlet temperature"))


def catalogue(**more):
    numbers = {
        "table": TABLE, "flow_proof": 0.5, "hold_up": 20.0, **METAL, **TIGHT,
        "condenser_approach": 5.0,
    }  # fmt: skip
    return {**numbers, **more}


def test_the_catalogue_is_read_between_its_points():
    """245.44 kW and 60.36 kW at leaving 6 degC and condensation 41 degC, bilinear (worked example)."""
    flow = 245.44e3 / (4000.0 * 6.0)
    run = settled(chilled("catalogue table", catalogue(), flow=flow, entering=12.0, hot=36.0))

    assert run.value("CH-1", "outlet temperature") - ZERO == pytest.approx(6.0, abs=1e-3)
    assert run.value("CH-1", "cooling") == pytest.approx(245.44e3, rel=1e-4)
    assert run.value("CH-1", "power") == pytest.approx(60.36e3, rel=1e-3)
    assert run.value("CH-1", "performance") == pytest.approx(4.066, abs=2e-3)
    assert "outside-table" not in events(run)


def test_outside_its_catalogue_it_stays_at_the_edge_and_says_so():
    run = settled(chilled("catalogue table", catalogue(), flow=30.0, entering=18.0, hot=36.0))

    assert run.value("CH-1", "cooling") == pytest.approx(1e3 * (296.0 + 0.6 * (268.0 - 296.0)), rel=1e-4)
    assert "outside-table" in events(run)


def test_factors_of_another_liquid_count():
    plain, other = (
        settled(chilled("catalogue table", catalogue(**more), flow=30.0, entering=8.0, hot=36.0))
        for more in ({}, {"capacity_correction": 0.9, "power_correction": 1.1})
    )

    assert other.value("CH-1", "cooling") == pytest.approx(0.9 * plain.value("CH-1", "cooling"), rel=0.01)
    assert other.value("CH-1", "power") == pytest.approx(1.1 * plain.value("CH-1", "power"), rel=0.01)


def test_a_catalogue_with_a_hole_is_refused():
    with pytest.raises(InputError, match="one row for each pair"):
        chilled("catalogue table", catalogue(table=TABLE[:-1])).start()


def test_a_fixed_drop_is_fixed_and_its_heat_reaches_what_it_stands_in():
    numbers = {
        "drop": 9.0, "capacity": 6.0, "power": 100e3, "power_mode": "proportional", "power_share": 0.1,
        "self_heat": 2e3, "flow_proof": 0.5, "hold_up": 20.0, **METAL,
    }  # fmt: skip
    run = settled(chilled("fixed drop", numbers, flow=9.0, count=2))

    assert run.value("CH-1", "inlet temperature") - run.value("CH-1", "outlet temperature") == pytest.approx(
        9.0
    )
    assert run.value("CH-1", "power") == pytest.approx(150e3)
    assert run.value("CH-1", "reject") == pytest.approx(9.0 * 4000.0 * 9.0 + 0.1 * 150e3 + 2 * 2e3)
    assert run.value("CH-1", "given") == pytest.approx(run.value("CH-1", "reject"), rel=1e-6)


def test_its_metal_is_as_warm_in_long_steps_as_in_short_ones():
    """C dT/dt = Phi - G (T - T_s) has one rest, whatever the step."""
    short, long = (chilled("second law", REAL).start(longest_step=step) for step in (1, 11))
    for run in (short, long):
        run.advance(1800.0)

    assert long.value("CH-1", "metal temperature") == pytest.approx(
        short.value("CH-1", "metal temperature"), abs=0.02
    )
