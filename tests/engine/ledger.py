"""Every plant that a test of the engine runs must close its ledgers, whatever the test looks at."""

from collections import deque
from collections.abc import Iterator
from typing import Any

import pytest

from brinewright.run import Simulation

CLOSES = 1e-9
AT_ONCE = 16
"""So many plants are kept until they are looked at."""


@pytest.fixture(scope="module", autouse=True)
def every_ledger_closes() -> Iterator[None]:
    """Take every plant that is run in a module and hold its ledgers to 1e-9 when it is done with."""
    patch = pytest.MonkeyPatch()
    made, march = Simulation.__init__, Simulation.advance
    running: deque[Simulation] = deque()
    ended: dict[int, str] = {}
    open_ledgers: list[str] = []

    def look_at(simulation: Simulation) -> None:
        if ended.pop(id(simulation), "") in ("done", "stopped"):
            residuals = [simulation.energy_residual(), simulation.mass_residual()]
            if not getattr(simulation, "went_back", False):  # what it added up holds some time twice
                residuals.append(simulation.electric_residual())
            if not max(residuals) < CLOSES:
                open_ledgers.append(f"{simulation.plant.loop.name}: {residuals}")

    def init(self: Simulation, *args: Any, **how: Any) -> None:
        made(self, *args, **how)
        running.append(self)
        if len(running) > AT_ONCE:
            look_at(running.popleft())

    def advance(self: Simulation, until: float) -> str:
        ended[id(self)] = march(self, until)
        return ended[id(self)]

    patch.setattr(Simulation, "__init__", init)
    patch.setattr(Simulation, "advance", advance)
    yield
    patch.undo()
    for simulation in running:
        look_at(simulation)
    assert open_ledgers == []
