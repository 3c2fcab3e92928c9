"""Chiller: takes heat out of the coolant and gives it to what it stands in."""
