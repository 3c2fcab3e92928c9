"""The heat exchanger against a general library and a general solver."""

import ht
import pytest
from scipy.integrate import solve_ivp

from tests.circuits import RULES, STYLISED_RULES, force, line, part, starts
from tests.plants import closes, started

CP = 3500.0
HEAD = """
format = "brinewright/loop/1"
name = "Toy"
rulebook = "toy"
[[circuit]]
name = "warm"
liquid = "syrup"
temperature = "60 degC"
at = "TK-1"
[[circuit]]
name = "cool"
liquid = "syrup"
temperature = "10 degC"
at = "TK-3"
"""
CONDUCTANCE = 9e3


def side(name: str, first: int, warm: bool) -> str:
    """From a high wide tank through a side of X-1 into a low one."""
    a, b = first, first + 1
    return (
        part(f"TK-{a}", "buffer-tank.wide", elevation="2 m")
        + part(f"TK-{b}", "buffer-tank.wide")
        + line(f"L-{a}", f"TK-{a}.out", f"X-1.{name}-in", 2.0, 0.06 if warm else 0.05)
        + line(f"L-{b}", f"X-1.{name}-out", f"TK-{b}.in", 2.0, 0.06 if warm else 0.05)
        + part(f"HV-{a}", "shut-off-valve.back")
        + line(f"L-{a}1", f"TK-{b}.out", f"HV-{a}.in", 0.5, 0.1)
        + line(f"L-{a}2", f"HV-{a}.out", f"TK-{a}.in", 0.5, 0.1)
    )


def loop(extra: str = "", cold_first: str = '"2 m"') -> str:
    return (
        (side("hot", 1, True) + side("cold", 3, False).replace('"2 m"', cold_first, 1))
        + part("X-1", "heat-exchanger.x")
        + extra
        + starts(TK_1=(0.5, 60.0), TK_2=(0.5, 60.0), TK_3=(0.5, 10.0), TK_4=(0.5, 10.0))
        + 'HV-1 = { position = "shut" }\nHV-3 = { position = "shut" }\n'
    )


def rules(arrangement: str, fouling: str = "0 %") -> str:
    return (
        RULES
        + f"""
[heat-exchanger.x]
law = "effectiveness"
conductance = "{CONDUCTANCE} W/K"
arrangement = "{arrangement}"
fouling = "{fouling}"
hot_rated_flow = "4 kg/s"
hot_rated_loss = "10 kPa"
"""
    )


@pytest.mark.parametrize(
    ("arrangement", "subtype"),
    [("counterflow", "counterflow"), ("parallel flow", "parallel"), ("crossflow", "crossflow")],
)
def test_both_sides_leave_as_the_library_says(arrangement, subtype):
    simulation = started(rules(arrangement, "20 %"), loop(), head=HEAD)
    simulation.advance(120.0)
    hot, cold = simulation.value("X-1", "hot flow"), simulation.value("X-1", "cold flow")
    least, most = sorted((hot * CP, cold * CP))
    share = ht.effectiveness_from_NTU(0.8 * CONDUCTANCE / least, least / most, subtype=subtype)
    heat = share * least * 50.0

    assert closes(simulation)
    assert simulation.value("X-1", "heat") == pytest.approx(
        heat, rel=1e-6 if subtype != "crossflow" else 0.02
    )
    assert simulation.value("X-1", "effectiveness") == pytest.approx(
        share, rel=1e-6 if subtype != "crossflow" else 0.02
    )
    given = simulation.value("X-1", "heat")
    assert 333.15 - simulation.value("X-1", "hot outlet temperature") == pytest.approx(
        given / (hot * CP), rel=1e-6
    )
    assert simulation.value("X-1", "cold outlet temperature") - 283.15 == pytest.approx(
        given / (cold * CP), rel=1e-6
    )


def test_the_rated_loss_is_taken_at_the_rated_flow():
    simulation = started(rules("counterflow"), loop(), head=HEAD)
    simulation.advance(60.0)
    flow = simulation.value("X-1", "hot flow")
    lines = simulation.value("L-1", "pressure loss") + simulation.value("L-2", "pressure loss")

    # 2 m of liquid less what the lines and the entry take
    assert 1e4 * (flow / 4.0) ** 2 == pytest.approx(2.0 * 1100.0 * 8.0 - lines, rel=1e-3)


def test_with_one_side_standing_no_heat_passes():
    simulation = started(rules("counterflow"), loop(cold_first='"0 m"'), head=HEAD)
    simulation.advance(120.0)

    assert closes(simulation)
    assert simulation.value("X-1", "cold flow") == 0.0
    assert simulation.value("X-1", "heat") == 0.0
    assert simulation.value("X-1", "hot outlet temperature") == pytest.approx(333.15, abs=1e-6)


def test_a_reversed_side_turns_counterflow_into_parallel_flow():
    reversed_ = started(rules("counterflow"), loop(cold_first='"-2 m"'), head=HEAD)
    parallel = started(rules("parallel flow"), loop(), head=HEAD)
    for simulation in (reversed_, parallel):
        simulation.advance(200.0)

    assert closes(reversed_)
    assert reversed_.value("X-1", "cold flow") == pytest.approx(-parallel.value("X-1", "cold flow"), rel=1e-6)
    assert reversed_.value("X-1", "heat") == pytest.approx(parallel.value("X-1", "heat"), rel=1e-4)


def test_no_side_passes_the_other_when_the_inlet_jumps():
    # the warm side turns cold within a tick; the heat of the step is found from what comes
    jump = loop().replace(
        'TK-2 = { level = 0.5, temperature = "60 degC" }', 'TK-2 = { level = 0.5, temperature = "5 degC" }'
    )
    simulation = started(rules("counterflow"), jump, head=HEAD, longest_step=1)
    coldest = 400.0
    for second in range(1, 40):
        simulation.advance(float(second))
        coldest = min(coldest, simulation.value("X-1", "hot outlet temperature"))

    assert coldest >= 283.15 - 1e-6


STYLISED_HERE = (
    STYLISED_RULES
    + f"""
[pump.p]
law = "fixed capacity"
capacity = "2 kg/s"
power = "0 W"
heat_share = "0 %"
when_off = "stops"
[heat-exchanger.x]
law = "conductance"
conductance = "{CONDUCTANCE} W/K"
hot_hold_up = "30 kg"
cold_hold_up = "20 kg"
"""
)


def stylised(extra: str = "") -> str:
    rings = "".join(
        part(f"TK-{n}", "buffer-tank.wide")
        + part(f"P-{n}", "pump.p", capacity=f"{flow} kg/s")
        + line(f"L-{n}1", f"TK-{n}.out", f"P-{n}.in", 0.5, 0.1)
        + line(f"L-{n}2", f"P-{n}.out", f"X-1.{name}-in", 0.5, 0.1)
        + line(f"L-{n}3", f"X-1.{name}-out", f"TK-{n}.in", 0.5, 0.1)
        for n, name, flow in ((1, "hot", 2.0), (3, "cold", 1.2))
    )
    return rings + part("X-1", "heat-exchanger.x") + extra + starts(TK_1=(0.5, 60.0), TK_3=(0.5, 10.0))


def contents(time: float, hot_flow: float, cold_flow: float) -> list[float]:
    """Two stirred contents by a general solver: end of each, and mean of each over the last second [K]."""

    def rate(_, state):
        heat = CONDUCTANCE * (state[0] - state[1])
        return [
            (hot_flow * CP * (333.15 - state[0]) - heat) / (30.0 * CP),
            (cold_flow * CP * (283.15 - state[1]) + heat) / (20.0 * CP),
            state[0],
            state[1],
        ]

    start = [333.15, 283.15, 0.0, 0.0]
    found = solve_ivp(rate, (0.0, time), start, t_eval=[time - 1.0, time], rtol=1e-10, atol=1e-9).y
    return [*found[:2, -1], *(found[2:, 1] - found[2:, 0])]


@pytest.mark.parametrize("time", [3.0, 15.0, 200.0])
def test_two_contents_even_out_as_a_general_solver_says(time):
    simulation = started(STYLISED_HERE, stylised(), head=HEAD, longest_step=1)
    simulation.advance(time)
    _, _, hot, cold = contents(time, 2.0, 1.2)

    assert closes(simulation)
    # the tank of 2200 t has cooled by 3 mK
    assert simulation.value("X-1", "hot outlet temperature") == pytest.approx(hot, abs=5e-3)
    assert simulation.value("X-1", "cold outlet temperature") == pytest.approx(cold, abs=5e-3)


def test_steps_of_many_ticks_come_to_the_same_rest():
    simulation = started(STYLISED_HERE, stylised(), head=HEAD)
    simulation.advance(200.0)
    hot, cold, *_ = contents(200.0, 2.0, 1.2)

    assert simulation.counters[2] < 110  # the lines hold two ticks of flow
    assert simulation.value("X-1", "hot outlet temperature") == pytest.approx(hot, abs=5e-3)
    assert simulation.value("X-1", "cold outlet temperature") == pytest.approx(cold, abs=5e-3)


def test_a_standing_side_keeps_on_taking_heat():
    simulation = started(STYLISED_HERE, stylised(force("P-3.running", 0.0)), head=HEAD)
    simulation.advance(7.0)
    assert simulation.value("X-1", "cold outlet temperature") == pytest.approx(
        contents(7.0, 2.0, 0.0)[1], abs=1e-3
    )
    simulation.advance(600.0)

    assert closes(simulation)
    assert simulation.value("X-1", "cold flow") == 0.0
    assert simulation.value("X-1", "cold outlet temperature") == pytest.approx(333.15, abs=0.02)
