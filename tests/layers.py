"""The parcels of a stratified tank, read and written from outside."""

import numpy as np

from brinewright.kernel import layout as at
from brinewright.run.simulation import Simulation

CP = 3500.0


class Layers:
    """The parcels of the first stratified tank, from the bottom up."""

    def __init__(self, simulation: Simulation) -> None:
        source = simulation.plant.arrays
        r = int(source["H"][3 * at.TANKS + 1])
        while source["I"][r + at.TK_LAW] != at.STRATIFIED:
            r += at.TK_I
        self.simulation = simulation
        self.x = int(source["I"][r + at.TK_LAYERS])
        self.room = 2 * int(source["I"][r + at.TK_NLAYERS])
        self.node = int(source["I"][r + at.TK_NODE])

    def read(self) -> tuple[np.ndarray, np.ndarray]:
        """Masses [kg] and temperatures [K]."""
        values = self.simulation.arrays["X"]
        n = int(values[self.x])
        first = self.x + 1
        return values[first : first + n].copy(), values[first + self.room : first + self.room + n].copy()

    def write(self, temperatures: np.ndarray) -> None:
        """Set equal layers, and the energy of the tank with them."""
        values, energy = self.simulation.arrays["X"], self.simulation.arrays["E"]
        n = temperatures.size
        mass = self.read()[0].sum() / n
        values[self.x] = n
        values[self.x + 1 : self.x + 1 + n] = mass
        values[self.x + 1 + self.room : self.x + 1 + self.room + n] = temperatures
        energy[self.node] = CP * mass * temperatures.sum()
        self.simulation.arrays["E0"][self.node] = energy[self.node]
        self.simulation.start_energy = self.simulation.energy()
