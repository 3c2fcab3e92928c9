"""Shut-off valve: lets a flow pass or stops it."""
