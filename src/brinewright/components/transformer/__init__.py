"""Transformer: passes power between two voltages."""
