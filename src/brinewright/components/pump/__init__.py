"""Pump: moves the coolant."""
