"""Priority junction: inflows meet, the first in rank goes first."""
