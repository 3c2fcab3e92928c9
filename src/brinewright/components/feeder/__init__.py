"""Feeder: the cable that brings power to its loads."""
