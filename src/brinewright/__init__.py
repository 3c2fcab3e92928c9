"""Design, prove, run and explain closed coolant loops with a steam-vessel heat sink."""

__version__ = "0.1.0"
