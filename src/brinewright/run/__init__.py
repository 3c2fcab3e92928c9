"""Run a loop: the one place where a design becomes a result."""

from brinewright.run.simulate import simulate
from brinewright.run.simulation import Simulation
from brinewright.run.state import State

__all__ = ["Simulation", "State", "simulate"]
