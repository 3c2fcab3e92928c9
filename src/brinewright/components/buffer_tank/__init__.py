"""Buffer tank: liquid kept for later, mixed, layered or in order of arrival."""
