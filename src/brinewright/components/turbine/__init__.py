"""Turbine: takes steam, gives power and condensate."""
