"""From a loop and its rulebook to the flat arrays that the engine marches through."""

from brinewright.compile.plant import Plant, compile_plant, forceable

__all__ = ["Plant", "compile_plant", "forceable"]
