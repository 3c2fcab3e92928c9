"""Battery: stores power for later."""
