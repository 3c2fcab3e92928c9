"""The kinds of parts, one folder each."""
