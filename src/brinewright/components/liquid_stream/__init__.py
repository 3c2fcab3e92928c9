"""Liquid stream: a liquid of a process that must leave cooler than it came."""
