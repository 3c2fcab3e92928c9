"""The vocabulary: what a kind declares, what a loop and a rulebook hold."""
