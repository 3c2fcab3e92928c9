"""Purge set: fills an enclosure with its gas, and empties it, by way of a gas that cannot burn."""
