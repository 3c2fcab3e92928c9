"""Expansion vessel: takes up the swelling of a warm circuit."""
