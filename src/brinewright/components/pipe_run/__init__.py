"""Pipe run: liquid in plug flow between two ports."""
