"""From a loop and its rulebook to the flat arrays that the engine marches through."""

from brinewright.compile.plant import LONGEST_STEP, Plant, compile_plant, forceable

__all__ = ["LONGEST_STEP", "Plant", "compile_plant", "forceable"]
