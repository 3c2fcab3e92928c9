"""Gas stream: a gas of a process that must leave cooler than it came."""
