"""Bus: where power that is made and power that is drawn meet."""
