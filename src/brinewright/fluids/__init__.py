"""Properties of water, steam, coolants and gases, each with its range, source and stated error."""

from brinewright.fluids.fluid import Fluid, FluidRange
from brinewright.fluids.names import fluid, fluid_names
from brinewright.fluids.property_value import PropertyValue, property_value
from brinewright.fluids.tables import water_tables

__all__ = ["Fluid", "FluidRange", "PropertyValue", "fluid", "fluid_names", "property_value", "water_tables"]
