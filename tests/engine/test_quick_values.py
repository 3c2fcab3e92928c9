"""While machines tick by themselves only few values change; the others are recorded once for all ticks."""

import numpy as np

from brinewright.compile import LONGEST_STEP, compile_plant
from brinewright.files import read_design
from brinewright.files.scenario import scenario
from brinewright.kernel import layout as at
from brinewright.run import Simulation


def test_what_is_recorded_once_is_what_recording_in_each_tick_gives():
    # Kettle Ridge has a battery, a bus and turbines that tick by themselves
    plant = compile_plant(*read_design(scenario("kettle-ridge")), longest_step=LONGEST_STEP)
    header = plant.arrays["H"]
    nodes, quick, recorded = (int(header[place]) for place in (at.H_NODES, at.H_QUICK, at.H_RECORDED))
    assert nodes < quick < recorded
    told = []
    for end in (quick, recorded):
        header[at.H_QUICK] = end
        simulation = Simulation(plant)
        assert simulation.advance(7200.0) == "done"
        told.append((simulation.least.copy(), simulation.greatest.copy(), simulation.integral.copy()))
    seen = slice(at.NODES, recorded)  # before it stand time and the like
    for by_few, by_all in zip(told[0][:2], told[1][:2], strict=True):
        np.testing.assert_array_equal(by_few[seen], by_all[seen])
    np.testing.assert_allclose(told[0][2][seen], told[1][2][seen], rtol=1e-12, atol=1e-9)
