"""Air separator: takes air out of the liquid."""
