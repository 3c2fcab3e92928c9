"""Check valve: lets a flow pass in one direction only."""
