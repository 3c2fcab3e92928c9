"""The pump on its curve against a root finder, the affinity laws, energy and vapour pressure."""

import pytest
from CoolProp.CoolProp import PropsSI
from scipy.optimize import brentq

from tests.circuits import DENSITY, GRAVITY, RULES, force, line, part, starts
from tests.plants import HEAD, closes, started

SHUT_OFF, DUTY_FLOW, DUTY = 240e3, 20.0 / 3600.0, 160e3
EFFICIENCY, MOTOR, SHARE = 0.66, 0.92, 0.4
VALVE = 18.0 / 3600.0
RATED_DENSITY = 1000.0

RULES_HERE = (
    RULES
    + f"""
[pump.x]
law = "curve"
shut_off_pressure = "{SHUT_OFF} Pa"
duty_flow = "20 m3/h"
duty_pressure = "{DUTY} Pa"
efficiency = "{EFFICIENCY}"
motor_efficiency = "{MOTOR}"
motor_heat_share = "{SHARE}"
suction_head_required = "2.5 m"
when_off = "stops"
start_delay = "10 s"
[shut-off-valve.x]
law = "flow coefficient"
flow_coefficient = "18 m3/h"
fail_position = "stays"
[liquid.water]
properties = "water"
"""
)


def loop(count: int = 1, extra: str = "", temperature: float = 30.0, **pump: str) -> str:
    """A pump (or a bank) that drives a valve round a wide tank, by short and wide lines."""
    rows = "".join(f'{key} = "{value}"\n' for key, value in pump.items())
    return (
        part("TK-1", "buffer-tank.wide", elevation="1 m")
        + f'[[part]]\ntag = "X-1"\nuse = "pump.x"\ncount = {count}\n{rows}'
        + part("HV-1", "shut-off-valve.x")
        + line("L-1", "TK-1.out", "X-1.in", 1.5, 0.3, levels='["1 m", "0 m"]')
        + line("L-2", "X-1.out", "HV-1.in", 0.5, 0.3)
        + line("L-3", "HV-1.out", "TK-1.in", 0.5, 0.3)
        + extra
        + starts(TK_1=(0.5, temperature))
    )


def ran(seconds: float = 60.0, **stated):
    simulation = started(RULES_HERE, loop(**stated))
    simulation.advance(seconds)
    assert closes(simulation)
    return simulation


def operating_volume(count: int, speed: float) -> float:
    """Volume flow at which curve and valve meet, by a root finder [m3/s]."""

    def left(volume: float) -> float:
        rise = (
            DENSITY
            / RATED_DENSITY
            * (SHUT_OFF * speed**2 - (SHUT_OFF - DUTY) * (volume / count / DUTY_FLOW) ** 2)
        )
        return rise - 1e5 * DENSITY / 1000.0 * (volume / VALVE) ** 2

    return float(brentq(left, 1e-6, 1.0))


@pytest.mark.parametrize(("count", "speed"), [(1, 1.0), (2, 1.0), (1, 0.7)])
def test_it_runs_where_its_curve_meets_what_it_drives(count, speed):
    simulation = ran(count=count, speed=f"{speed}")

    # the lines take some tenths of a thousandth
    assert simulation.value("X-1", "flow") == pytest.approx(
        DENSITY * operating_volume(count, speed), rel=1e-3
    )


def test_flow_pressure_and_power_follow_the_affinity_laws():
    full, slow = ran(), ran(speed="0.7")

    # laminar films in the lines and 0.1 Pa s/kg of each branch do not follow them: less than a thousandth
    assert slow.value("X-1", "flow") == pytest.approx(0.7 * full.value("X-1", "flow"), rel=1e-3)
    assert slow.value("X-1", "pressure rise") == pytest.approx(
        0.49 * full.value("X-1", "pressure rise"), rel=1e-3
    )
    assert slow.value("X-1", "power") == pytest.approx(0.343 * full.value("X-1", "power"), rel=2e-3)


def test_power_is_that_of_flow_pressure_and_efficiencies_and_its_heat_warms_the_liquid():
    simulation = ran()
    volume = simulation.value("X-1", "flow") / DENSITY
    rise = simulation.value("X-1", "pressure rise")
    efficiency = EFFICIENCY * (1.0 - (1.0 - volume / DUTY_FLOW) ** 2)
    shaft = volume * rise / efficiency
    before = simulation.arrays["E"][simulation.plant.accounts["electricity"]]
    simulation.advance(160.0)
    given = before - simulation.arrays["E"][simulation.plant.accounts["electricity"]]

    assert simulation.value("X-1", "power") == pytest.approx(shaft / MOTOR, rel=1e-9)
    heat = shaft + SHARE * (shaft / MOTOR - shaft)
    assert given / 100.0 == pytest.approx(heat, rel=1e-6)
    warmed = simulation.value("X-1", "temperature") - simulation.value("L-1", "outlet temperature")
    assert warmed == pytest.approx(heat / (volume * DENSITY * 3500.0), rel=0.01)


def test_against_a_shut_way_it_draws_power_and_the_run_says_so():
    simulation = ran(120.0, extra=force("HV-1.position", 0.0, 20.0))
    codes = [simulation.plant.events[int(row[1])] for row in simulation.events[: simulation.counters[1]]]

    assert simulation.value("X-1", "flow") == 0.0
    # q / eta tends to q_d / (2 eta_d) as the flow goes to nothing
    shaft = DENSITY / RATED_DENSITY * SHUT_OFF * DUTY_FLOW / (2.0 * EFFICIENCY)
    assert simulation.value("X-1", "power") == pytest.approx(shaft / MOTOR, rel=1e-6)
    assert [(tag, code) for tag, code, _ in codes] == [("X-1", "dead-headed")]


def test_it_runs_up_in_its_time_with_the_square_of_its_speed():
    simulation = started(RULES_HERE, loop(extra=force("X-1.running", 0.0, 0.0, 10.0)))
    simulation.advance(14.0)

    assert simulation.value("X-1", "running") == pytest.approx(0.4)
    head = DENSITY / RATED_DENSITY * SHUT_OFF * 0.16
    volume = simulation.value("X-1", "flow") / DENSITY
    droop = DENSITY / RATED_DENSITY * (SHUT_OFF - DUTY) * (volume / DUTY_FLOW) ** 2
    assert simulation.value("X-1", "pressure rise") == pytest.approx(head - droop, rel=1e-6)


@pytest.mark.parametrize("temperature", [20.0, 80.0])
def test_the_suction_head_is_what_pressure_vapour_and_height_leave(temperature):
    # vapour pressure of water from CoolProp, IAPWS-95
    head = HEAD.replace('"syrup"', '"water"').replace("30 degC", f"{temperature} degC")
    simulation = started(RULES_HERE, loop(temperature=temperature), head=head)
    simulation.advance(30.0)
    kelvin = temperature + 273.15
    density = PropsSI("D", "T", kelvin, "P", 3e5, "Water")
    vapour = PropsSI("P", "T", kelvin, "Q", 0, "Water")
    suction = 9e4 + density * GRAVITY * (1.0 + 0.5 * 4.0) - simulation.value("L-1", "pressure loss")
    available = (suction - vapour) / (density * GRAVITY)
    required = 2.5 * 9.80665 / GRAVITY

    # three points of the vapour pressure are joined by a - b / (T + c): 0.5 % at the ends
    assert simulation.value("X-1", "suction head margin") == pytest.approx(available - required, abs=0.05)


def test_short_of_suction_head_the_run_says_so():
    low = loop(temperature=30.0).replace('elevation = "1 m"', 'elevation = "-7 m"')
    simulation = started(RULES_HERE.replace('"90 kPa abs"', '"60 kPa abs"'), low)
    simulation.advance(60.0)
    codes = [simulation.plant.events[int(row[1])][1] for row in simulation.events[: simulation.counters[1]]]

    assert simulation.value("X-1", "suction head margin") < 0.0
    assert codes == ["cavitation"]
