"""A state saved and restored goes on as if nothing had happened; a settled one repeats its day."""

import pickle

import numpy as np
import pytest

from brinewright.compile import compile_plant
from brinewright.errors import InputError, OutputError, RunError
from brinewright.files import parse_design, read_design
from brinewright.files.scenario import scenario
from brinewright.laws.state import TIME
from brinewright.run import State, simulate
from brinewright.run.settle import settled
from brinewright.run.simulation import Simulation

KETTLE = scenario("kettle-ridge")


def ridge(more="", old="", new=""):
    text = KETTLE.read_text(encoding="utf-8")
    return parse_design((text.replace(old, new) if old else text) + more, KETTLE.parent)


@pytest.fixture(scope="module")
def plant():
    return compile_plant(*read_design(KETTLE))


@pytest.fixture(scope="module")
def half(plant):
    """The plant after half an hour, not at a moment of any kind."""
    simulation = Simulation(plant)
    simulation.advance(1807.0)
    return simulation.state()


def test_the_continuation_is_the_same_to_the_last_bit(plant, half, tmp_path):
    whole = Simulation(plant)
    whole.advance(1807.0)
    whole.advance(3600.0)
    restored = Simulation(plant, state=State.load(half.save(tmp_path / "half.npz")))
    restored.advance(3600.0)

    for name, array in whole.arrays.items():
        assert np.array_equal(array, restored.arrays[name], equal_nan=True), name


@pytest.mark.parametrize("name", ["deepstead", "kettle-ridge-hot-rock"])
def test_it_is_so_in_every_shipped_plant(name, tmp_path):
    plant = compile_plant(*read_design(scenario(name)))
    whole = Simulation(plant)
    whole.advance(301.0)
    state = State.load(whole.state().save(tmp_path / "state.npz"))
    whole.advance(500.0)
    restored = Simulation(plant, state=state)
    restored.advance(500.0)

    for key, array in whole.arrays.items():
        assert np.array_equal(array, restored.arrays[key], equal_nan=True), key


@pytest.mark.parametrize("name", ["kettle-ridge", "kettle-ridge-hot-rock", "deepstead"])
def test_no_law_reads_the_clock(name):
    """What happens a year later at the same hour is the same; what repeats a day relies on it."""
    plant = compile_plant(*read_design(scenario(name)))
    now, later = Simulation(plant), Simulation(plant)
    later.arrays["X"][TIME] += 365 * 86400.0
    for simulation in (now, later):
        simulation.advance(simulation.time + 400.0)
    later.arrays["X"][TIME] -= 365 * 86400.0

    assert np.array_equal(now.arrays["X"], later.arrays["X"], equal_nan=True)


def test_a_state_file_holds_no_objects(half, tmp_path):
    path = half.save(tmp_path / "half.npz")
    with np.load(path, allow_pickle=False) as file:
        assert all(file[name].dtype.kind in "fiubU" for name in file.files)


def test_a_file_is_not_overwritten_unasked(half, tmp_path):
    path = half.save(tmp_path / "half.npz")
    with pytest.raises(OutputError):
        half.save(path)
    half.save(path, force=True)


@pytest.mark.parametrize("content", [b"", b"no state", pickle.dumps({"X": 1})])
def test_what_is_no_state_is_refused_in_words(content, tmp_path):
    path = tmp_path / "bad.npz"
    path.write_bytes(content)
    with pytest.raises(InputError, match=r"bad\.npz"):
        State.load(path)


def test_an_archive_of_other_arrays_is_refused_in_words(tmp_path):
    np.savez(tmp_path / "bad.npz", X=np.zeros(3))
    with pytest.raises(InputError, match=r"bad\.npz"):
        State.load(tmp_path / "bad.npz")


def test_a_state_of_another_design_is_refused(half):
    other = compile_plant(*ridge(old='volume = "14 m3"', new='volume = "15 m3"'))
    with pytest.raises(InputError, match="another design"):
        Simulation(other, state=half)


def test_other_things_may_be_forced_where_a_state_goes_on(half):
    force = '\n[[force]]\ntarget = "P-103.capacity"\nvalue = "50 %"\nstart = "1900 s"\nend = "2000 s"\n'
    simulation = Simulation(compile_plant(*ridge(force)), state=half)
    flows = []
    for until in (1890.0, 1950.0, 2010.0):
        simulation.advance(until)
        flows.append(simulation.value("P-103", "flow"))

    assert flows == pytest.approx([20.0, 10.0, 20.0])


def test_a_state_in_the_middle_of_a_force_goes_on_only_under_the_same():
    force = '\n[[force]]\ntarget = "TSH-110.set"\nvalue = "60 degC"\nend = "200 s"\n'
    forced = compile_plant(*ridge(force))
    simulation = Simulation(forced)
    simulation.advance(100.0)
    state = simulation.state()
    again = Simulation(forced, state=state)
    again.advance(210.0)

    assert again.value("TSH-110", "set") == pytest.approx(291.15)
    with pytest.raises(InputError, match="forced"):
        Simulation(compile_plant(*ridge()), state=state)


def test_a_run_goes_on_from_a_state(half):
    loop, rules = read_design(KETTLE)
    result = simulate(loop, rules, duration=600.0, state=half)
    plain = simulate(loop, rules, duration=600.0)

    assert result.simulated_s == 600.0
    assert result["TK-102"]["temperature"].first != plain["TK-102"]["temperature"].first
    assert result.switch_changes["TSH-110"] <= plain.switch_changes["TSH-110"] + 5


SMALL = """
format = "brinewright/loop/1"
name = "Hall"
rulebook = "kettle.rulebook.toml"
[[part]]
tag = "ZN-1"
use = "room.cave"
gains = "day"
heat_capacity = "4 MJ/K"
outside_conductance = "100 W/K"
highest_temperature = "{limit} degC"
[schedule.day]
quantity = "power"
points = [["00:00", "0 W"], ["08:00", "3 kW"], ["18:00", "0 W"]]
[start.ZN-1]
temperature = "{start} degC"
"""


def hall(start, limit=60, more=""):
    return parse_design(SMALL.format(start=start, limit=limit) + more, KETTLE.parent)


def test_a_settled_plant_repeats_its_day_wherever_it_began():
    """4 MJ/K against 100 W/K forget within some days of 86400 s how they began."""
    cold, warm = (settled(compile_plant(*hall(start))) for start in (5, 45))
    simulation = Simulation(compile_plant(*hall(5)), state=cold)
    begin = simulation.value("ZN-1", "temperature")
    simulation.advance(86400.0)

    assert cold.time == 0.0
    assert simulation.value("ZN-1", "temperature") == pytest.approx(begin, abs=0.05)
    assert warm.arrays["X"] == pytest.approx(cold.arrays["X"], abs=0.1)


def test_a_settled_run_tells_its_own_events_and_leaves_forces_to_their_time():
    force = '\n[[force]]\ntarget = "ZN-1.gains"\nvalue = "50 kW"\nstart = "1 h"\nend = "2 h"\n'
    result = simulate(*hall(20, limit=58, more=force), duration=86400.0, settle=True)
    gains = result["ZN-1"]["gains"]

    assert gains.max == pytest.approx(50e3)
    assert gains.first == 0.0
    assert [event.code for event in result.events] == ["too-warm"]


def test_what_drifts_without_end_is_told():
    endless = SMALL.format(start=20, limit=60).replace('"100 W/K"', '"0 W/K"').replace("4 MJ/K", "40 MJ/K")
    with pytest.raises(RunError, match=r"the temperature of ZN-1 still changes by 2\.7 K a day"):
        settled(compile_plant(*parse_design(endless, KETTLE.parent)))
