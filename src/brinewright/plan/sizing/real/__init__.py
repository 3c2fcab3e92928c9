"""Size a loop under real laws: loads, coolant, pipes, chillers, steam, sinks, tanks and power."""
