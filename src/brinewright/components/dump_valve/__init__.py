"""Dump valve: lets steam go past the turbines."""
