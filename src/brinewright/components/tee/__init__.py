"""Tee: lines meet and part with equal claims."""
