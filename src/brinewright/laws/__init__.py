"""Scalar physics and declared laws without components: SI floats in, SI floats out."""
