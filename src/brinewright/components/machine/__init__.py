"""Machine: equipment that makes heat and must not get too hot."""
