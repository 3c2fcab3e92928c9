"""Three-way valve: sends a flow one way or the other, or takes it from one or the other."""
