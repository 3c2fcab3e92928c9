"""Grid: power from outside the plant."""
