"""Condensate pump: brings condensate back into the vessel."""
