"""Vent point: where air enters or leaves."""
