"""Process streams, liquid and gas, against a general library and a general solver."""

import ht
import pytest
from scipy.integrate import solve_ivp

from tests.circuits import RULES, STYLISED_RULES, force, line, part, starts
from tests.plants import closes, started

CP = 3500.0
FLOW, STREAM_CP, INLET, CONDUCTANCE = 0.9, 2100.0, 353.15, 2500.0

COMMON = f"""
stream_heat_capacity = "{STREAM_CP} J/(kg K)"
inlet_temperature = "80 degC"
wanted_temperature = "30 degC"
highest_temperature = "75 degC"
lowest_temperature = "15 degC"
conductance = "{CONDUCTANCE} W/K"
flow = "{FLOW} kg/s"
"""


def real(kind: str, arrangement: str) -> str:
    return (
        RULES
        + f"""
[{kind}.x]
law = "stream"
arrangement = "{arrangement}"
when_stopped = "bypass"
rated_flow = "5 kg/s"
rated_loss = "12 kPa"
{COMMON}
"""
    )


def loop(kind: str, extra: str = "") -> str:
    return (
        part("TK-1", "buffer-tank.wide", elevation="2 m")
        + part("TK-2", "buffer-tank.wide")
        + part("X-1", f"{kind}.x")
        + line("L-1", "TK-1.out", "X-1.in", 2.0, 0.06)
        + line("L-2", "X-1.out", "TK-2.in", 2.0, 0.06)
        + part("HV-9", "shut-off-valve.back")
        + line("L-8", "TK-2.out", "HV-9.in", 0.5, 0.1)
        + line("L-9", "HV-9.out", "TK-1.in", 0.5, 0.1)
        + extra
        + starts(TK_1=(0.5, 30.0), TK_2=(0.5, 30.0))
        + 'HV-9 = { position = "shut" }\n'
    )


@pytest.mark.parametrize("kind", ["liquid-stream", "gas-stream"])
@pytest.mark.parametrize(("arrangement", "subtype"), [("counterflow",) * 2, ("parallel flow", "parallel")])
def test_the_stream_leaves_as_the_library_says(kind, arrangement, subtype):
    simulation = started(real(kind, arrangement), loop(kind))
    simulation.advance(120.0)
    coolant = simulation.value("X-1", "flow") * CP
    stream = FLOW * STREAM_CP
    least, most = sorted((coolant, stream))
    heat = ht.effectiveness_from_NTU(CONDUCTANCE / least, least / most, subtype=subtype) * least * 50.0

    assert closes(simulation)
    assert simulation.value("X-1", "cooling") == pytest.approx(heat, rel=1e-6)
    assert simulation.value("X-1", "temperature") == pytest.approx(INLET - heat / stream, abs=1e-4)
    assert simulation.value("X-1", "outlet temperature") == pytest.approx(303.15 + heat / coolant, abs=1e-4)


def test_stopped_the_stream_stops_and_the_coolant_goes_past():
    simulation = started(
        real("liquid-stream", "counterflow"), loop("liquid-stream", force("X-1.running", 0.0, 60.0))
    )
    simulation.advance(120.0)

    assert simulation.value("X-1", "stream flow") == 0.0
    assert simulation.value("X-1", "cooling") == 0.0
    assert simulation.value("X-1", "flow") > 1.0
    assert simulation.value("X-1", "outlet temperature") == pytest.approx(303.15, abs=1e-6)


def test_a_dead_end_stops_the_coolant_too():
    rules = real("liquid-stream", "counterflow").replace('"bypass"', '"dead end"')
    simulation = started(rules, loop("liquid-stream", force("X-1.running", 0.0, 60.0)))
    simulation.advance(120.0)

    assert simulation.value("X-1", "flow") == 0.0


def test_without_coolant_the_stream_leaves_as_it_comes_and_the_run_says_so():
    still = loop("liquid-stream").replace('elevation = "2 m"', 'elevation = "0 m"')
    simulation = started(real("liquid-stream", "counterflow"), still)
    simulation.advance(60.0)
    codes = [simulation.plant.events[int(row[1])][:2] for row in simulation.events[: simulation.counters[1]]]

    assert simulation.value("X-1", "temperature") == pytest.approx(INLET)
    assert codes == [("X-1", "too-warm")]


STYLISED_HERE = (
    STYLISED_RULES
    + f"""
[pump.p]
law = "fixed capacity"
capacity = "2 kg/s"
power = "0 W"
heat_share = "0 %"
when_off = "stops"
[liquid-stream.x]
law = "lump"
when_stopped = "bypass"
content = "40 kg"
hold_up = "25 kg"
{COMMON}
"""
)
RING = (
    part("TK-1", "buffer-tank.wide")
    + part("P-1", "pump.p")
    + part("X-1", "liquid-stream.x")
    + line("L-1", "TK-1.out", "P-1.in", 1.0, 0.1)
    + line("L-2", "P-1.out", "X-1.in", 1.0, 0.1)
    + line("L-3", "X-1.out", "TK-1.in", 1.0, 0.1)
)


def contents(time: float, coolant: float) -> list[float]:
    """Stream and coolant by a general solver: end of both and the heat that passed [K], [K], [J]."""

    def rate(_, state):
        heat = CONDUCTANCE * (state[0] - state[1])
        return [
            (FLOW * STREAM_CP * (INLET - state[0]) - heat) / (40.0 * STREAM_CP),
            (coolant * CP * (303.15 - state[1]) + heat) / (25.0 * CP),
            heat,
        ]

    start = [INLET, 303.15, 0.0]
    return list(solve_ivp(rate, (0.0, time), start, rtol=1e-10, atol=1e-9).y[:, -1])


@pytest.mark.parametrize("time", [10.0, 60.0, 300.0])
def test_a_stirred_content_is_cooled_as_a_general_solver_says(time):
    simulation = started(STYLISED_HERE, RING + starts(TK_1=(0.5, 30.0)))
    simulation.advance(time)

    assert closes(simulation)
    # exact but for the wide tank, which warms by some mK
    assert simulation.value("X-1", "temperature") == pytest.approx(contents(time, 2.0)[0], abs=0.01)


def test_standing_coolant_is_warmed_to_the_stream():
    simulation = started(STYLISED_HERE, RING + force("P-1.running", 0.0) + starts(TK_1=(0.5, 30.0)))
    simulation.advance(30.0)
    stream, coolant, _ = contents(30.0, 0.0)
    assert simulation.value("X-1", "temperature") == pytest.approx(stream, abs=1e-3)
    assert simulation.value("X-1", "outlet temperature") == pytest.approx(coolant, abs=1e-3)
    simulation.advance(3000.0)

    assert closes(simulation)
    assert simulation.value("X-1", "outlet temperature") == pytest.approx(INLET, abs=0.01)


def test_a_schedule_of_the_stream_is_followed():
    schedule = (
        '[schedule.batch]\nquantity = "mass flow"\npoints = [["00:00", "0 kg/s"], ["00:01", "0.9 kg/s"]]\n'
    )
    simulation = started(
        STYLISED_HERE,
        RING.replace('use = "liquid-stream.x"\n', 'use = "liquid-stream.x"\nflow = "batch"\n')
        + schedule
        + starts(TK_1=(0.5, 30.0)),
    )
    simulation.advance(50.0)
    resting = simulation.value("X-1", "stream flow")
    simulation.advance(100.0)

    assert resting == 0.0
    assert simulation.value("X-1", "stream flow") == pytest.approx(FLOW)
