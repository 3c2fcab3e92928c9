"""Energy, mass and electricity close, far below what the house allows, and what does not is refused."""

import pytest

from brinewright.errors import RunError
from brinewright.files import read_design
from brinewright.files.scenario import scenario, scenarios
from brinewright.run import Simulation, simulate
from tests.engine.bench import Bench, March

DAY = 86400.0


def stylised(names: list[str]) -> list[str]:
    return [name for name in names if read_design(scenario(name))[1].world == "stylised"]


@pytest.mark.parametrize("longest_step", [1, 11])
@pytest.mark.parametrize("name", stylised(sorted(scenarios())))
def test_a_day_of_a_shipped_plant_closes_to_rounding(name, longest_step):
    result = simulate(*read_design(scenario(name)), duration=DAY, interval=3600.0, longest_step=longest_step)
    # 16 digits, some 10^5 additions of either sign, and a store ten thousand times what passes in a step
    assert result.energy_residual < 1e-11
    assert result.mass_residual < 1e-13


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(set(scenarios()) - set(stylised(sorted(scenarios())))))
def test_a_day_of_a_real_plant_closes_to_rounding(name):
    result = simulate(*read_design(scenario(name)), duration=DAY, interval=3600.0)
    assert result.energy_residual < 1e-11
    assert result.mass_residual < 1e-11


@pytest.mark.slow
def test_a_year_of_kettle_ridge_closes_to_3e_11():
    # found 1.6e-11: an account of 10^13 J has room for millijoules, and takes half a million a day
    result = simulate(*read_design(scenario("kettle-ridge")), duration=365.0 * DAY, interval=86400.0)
    assert result.outcome.is_done
    assert result.energy_residual < 3e-11
    assert result.mass_residual < 1e-11


def heated() -> Bench:
    """A room that is heated; the smallest plant with a ledger."""
    bench = Bench()
    bench.part("ZN-1", "room.cell", gains=1e5, start={"temperature": 20.0})
    return bench


def test_the_ledger_sees_a_billionth_of_what_was_exchanged():
    march = March(heated()).to(3600.0)
    assert march.simulation.energy_residual() < 1e-12
    node = march.plant.place("ZN-1", "temperature")
    # 100 kW for an hour are 360 MJ, and a thousandth of what the room stores is 5.9 MJ
    march.simulation.arrays["E"][node] += 0.36
    assert march.simulation.energy_residual() > 4e-10


def test_a_run_whose_ledger_does_not_close_is_refused_with_its_figures(monkeypatch):
    true = Simulation.energy
    monkeypatch.setattr(Simulation, "energy", lambda self: true(self) * (1.0 + 1e-9 * (self.time > 0.0)))
    with pytest.raises(RunError, match=r"The ledger does not close: energy \d"):
        simulate(*read_design(scenario("kettle-ridge")), duration=600.0)


def test_a_plant_that_exchanges_nothing_is_not_refused_for_its_rounding():
    # two tanks, one warm, one cold, and no way out for any heat
    bench = Bench(warm=60.0)
    bench.tank("TK-1", volume=40.0, level=0.9, degc=60.0)
    bench.tank("TK-2", volume=40.0, level=0.1, degc=20.0)
    bench.part("P-1", "pump.mover", capacity=7.0)
    bench.line("L-1", "TK-1.out", "P-1.in", mass=30.0)
    bench.line("L-2", "P-1.out", "TK-2.in", mass=30.0)
    bench.circuit("TK-1")
    march = March(bench).to(3600.0)
    assert march.simulation.exchanged == 0.0
    assert march.simulation.energy_residual() < 1e-11
