"""The sentence that stands under every result, because someone may act on it."""

CAUTIONS = {
    "stylised": "Declared laws, not physics: never build this in the real world.",
    "real": (
        "Engineering estimate for study. Pressure, steam, refrigerant, hydrogen and electrical work must "
        "be designed, built, inspected and operated under the laws and codes of the place, by competent "
        "licensed persons."
    ),
}


def caution(world: str) -> str:
    """Return the caution for results of this world, "stylised" or "real".

    >>> caution("stylised")
    'Declared laws, not physics: never build this in the real world.'
    """
    return CAUTIONS[world]
