"""Final sink: where the heat leaves the plant for good."""
