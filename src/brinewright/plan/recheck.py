"""What must be looked at again when a loop gets another liquid."""

from brinewright.model.rulebook import Rulebook


def recheck(rules: Rulebook, properties: str) -> tuple[str, ...]:
    """Return what must be looked at again with another liquid."""
    always = (
        "Set points of both decisions, together, and their truth table.",
        (
            "Freeze margin at the coldest parcel, boil margin at the hottest point and at standstill "
            "beside the vessel."
        ),
        "Flow through each consumer and chiller: the same heat wants another flow or another rise.",
        "Mass of the content, level of each tank, and the room for draining it again.",
        (
            "A sample after a day of running: share of the old liquid, and whether anything has come "
            "loose or parted."
        ),
        "Labels on tanks, filling points and the emergency card.",
    )
    if rules.world != "real":
        return always
    real = (
        "Pumps: curve, motor load and NPSH at the new density, viscosity and vapour pressure.",
        "Expansion vessel: another swelling between cold and warm.",
        "Seals, gaskets and metals: whether they stand the new liquid; inhibitor and its test once a year.",
        "Back-flow protection to drinking water, and leave to dispose of what is let out.",
    )
    water = (
        ("Frost in every leg that can stand idle, and growth in water that stands warm.",)
        if properties == "water"
        else ()
    )
    return (*always, *real, *water)
