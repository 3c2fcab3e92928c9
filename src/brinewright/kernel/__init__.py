"""The engine's inner part: flat arrays, plain laws, compiled once."""
