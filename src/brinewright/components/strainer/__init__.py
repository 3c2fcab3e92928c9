"""Strainer: holds back dirt."""
