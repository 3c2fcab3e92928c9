"""Drain point: where a section is emptied."""
