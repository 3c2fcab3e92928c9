"""What is forced holds while it is forced, whatever the law wants, and is let go afterwards."""

import pytest

from brinewright.compile import compile_plant
from brinewright.errors import InputError
from brinewright.files import loop_text, parse_design, parse_loop
from brinewright.files.scenario import scenario
from brinewright.run.simulation import Simulation

START, END = 100.0, 200.0
KETTLE = scenario("kettle-ridge")


def ridge(target, value, *, table="", begin=("no such text", "")):
    """The shipped plant with one thing forced between the two times."""
    what = f"table = {table}" if table else f'value = "{value}"'
    text = KETTLE.read_text(encoding="utf-8").replace(*begin) + (
        f'\n[[force]]\ntarget = "{target}"\n{what}\nstart = "{START:.0f} s"\nend = "{END:.0f} s"\n'
    )
    loop, rules = parse_design(text, KETTLE.parent)
    return Simulation(compile_plant(loop, rules))


def states(simulation, tag, name, *times):
    """A channel in the middle of what is forced and around it."""
    found = []
    for until in times or (START, 150.0, END + 30.0):
        assert simulation.advance(until) == "done"
        found.append(simulation.value(tag, name))
    assert simulation.energy_residual() < 1e-9
    assert simulation.mass_residual() < 1e-9
    assert simulation.electric_residual() < 1e-9
    return found


def test_the_signal_of_a_switch_and_what_it_drives():
    simulation = ridge("TSH-110", "broken")
    signal, position = states(simulation, "TSH-110", "signal"), simulation.value("TV-110", "position")

    assert signal == [1.0, 0.0, 1.0]
    assert position == 1.0
    forced = ridge("TSH-110", "broken")
    assert states(forced, "TV-110", "position", 150.0) == [0.0]


def test_a_reading_drives_its_switch_through_its_lag():
    simulation = ridge("TSH-110.reading", "5 degC")
    reading = states(simulation, "TSH-110", "reading")

    assert reading[1] == pytest.approx(278.15, abs=1e-6)
    assert reading[0] > 290.0 < reading[2]
    # once down, once up again
    assert simulation.value("TSH-110", "changes") == 2.0


def test_a_reading_replayed_from_a_table():
    table = '[["100 s", "5 degC"], ["120 s", "40 degC"], ["140 s", "5 degC"]]'
    simulation = ridge("TSH-110.reading", "", table=table)

    assert states(simulation, "TSH-110", "signal", 119.0, 139.0, 159.0) == [0.0, 1.0, 0.0]


def test_a_set_point_moves_and_comes_back():
    simulation = ridge("TSH-110.set", "60 degC")
    settings = states(simulation, "TSH-110", "set")

    assert settings == pytest.approx([291.15, 333.15, 291.15])
    assert states(ridge("TSH-110.set", "60 degC"), "TSH-110", "signal", 150.0) == [0.0]


def test_the_position_of_a_valve_holds_against_its_command_then_strokes_back():
    simulation = ridge("TV-110.position", "25 %")

    assert states(simulation, "TV-110", "position") == [1.0, 0.25, 1.0]
    assert simulation.value("TV-110", "position") == 1.0


def test_a_valve_that_is_forced_shares_its_flow():
    simulation = ridge("TV-110.position", "b")
    simulation.advance(150.0)

    assert simulation.value("L-103", "flow") == 0.0
    assert simulation.value("L-104", "flow") > 0.0


def test_power_lost_stops_a_chiller_and_its_return_starts_it():
    simulation = ridge("CH-201.powered", "0 %")
    running = states(simulation, "CH-201", "running")

    assert running[0] > 0.0
    assert running[1] == 0.0
    assert running[2] > 0.0


def test_an_opened_feeder_takes_the_power_from_all_that_hangs_on_it():
    simulation = ridge("FD-902.closed", "0 %")
    powered = states(simulation, "CH-201", "powered")

    assert powered == [1.0, 0.0, 1.0]


def test_a_share_of_a_capacity():
    simulation = ridge("P-103.capacity", "30 %")
    flow = states(simulation, "P-103", "flow")

    assert flow == pytest.approx([20.0, 6.0, 20.0])


def test_a_share_of_the_capacity_of_a_line_and_of_one_way_of_a_valve():
    line = ridge("L-132.capacity", "20 %")
    assert states(line, "L-132", "flow") == pytest.approx([20.0, 9.0, 20.0])
    way = ridge("TV-110.capacity", "0 %")
    assert states(way, "L-103", "flow")[1] == 0.0


def test_a_pump_that_stands_whatever_it_is_told():
    simulation = ridge("P-103.running", "0 %")
    flow = states(simulation, "P-103", "flow")

    assert flow == pytest.approx([20.0, 0.0, 20.0])
    assert states(ridge("P-103.running", "0 %"), "P-103", "power", 150.0) == [0.0]


def test_condensate_that_does_not_return_empties_the_vessel():
    simulation = ridge("ST-401.condensate_return", "0 %", begin=('"136 degC"', '"150 degC"'))
    mass = states(simulation, "VE-301", "mass", 100.0, 200.0, 300.0)

    assert mass[0] - mass[1] == pytest.approx(100 * 3 * 2.0, rel=1e-9)  # three turbines, 2 kg/s each
    assert mass[2] == mass[1]


def test_a_gain_that_is_scheduled():
    simulation = ridge("ZN-601.gains", "900 kW")

    assert states(simulation, "ZN-601", "gains") == pytest.approx([180e3, 900e3, 180e3])


def test_what_is_computed_cannot_be_forced_and_the_answer_tells_what_can():
    with pytest.raises(InputError, match=r"TK-101\.temperature.*cannot be forced"):
        ridge("TK-101.temperature", "5 degC")


def test_two_forces_that_meet_hand_over():
    text = KETTLE.read_text(encoding="utf-8") + (
        '\n[[force]]\ntarget = "P-103.command"\nvalue = "stop"\nstart = "100 s"\nend = "150 s"\n'
        '\n[[force]]\ntarget = "P-103.command"\nvalue = "run"\nstart = "150 s"\nend = "170 s"\n'
        '\n[[force]]\ntarget = "P-103.command"\nvalue = "stop"\nstart = "170 s"\nend = "200 s"\n'
    )
    loop, rules = parse_design(text, KETTLE.parent)
    simulation = Simulation(compile_plant(loop, rules))

    assert states(simulation, "P-103", "running", 140.0, 160.0, 190.0, 210.0) == [0.0, 1.0, 0.0, 1.0]


def test_forced_set_points_and_shares_survive_their_file():
    text = KETTLE.read_text(encoding="utf-8") + (
        '\n[[force]]\ntarget = "TSH-110.set"\nvalue = "30 degC"\n'
        '\n[[force]]\ntarget = "P-101.capacity"\nvalue = "50 %"\n'
    )
    loop, rules = parse_design(text, KETTLE.parent)

    assert parse_loop(loop_text(loop), rules).forces == loop.forces
