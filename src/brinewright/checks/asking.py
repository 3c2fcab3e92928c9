"""Measures of what only a person can judge."""

from collections.abc import Sequence

from brinewright.model.criterion import Measure


def asked(subject: Sequence[str], text: str) -> Measure:
    """Return what a question is asked about, and the figures that help to answer it."""
    return Measure(subject=tuple(subject), value=0.0, limit=0.0, quantity="count", bound="at most", text=text)
