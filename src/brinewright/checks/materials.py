"""Whether parts can be had in the materials that they are to be made of."""

from collections.abc import Iterable

from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure


def not_available(case: Case) -> Iterable[Measure]:
    """Hold each part's material against those in which its entry can be had."""
    for part in sorted(case.loop.parts, key=lambda part: part.tag):
        entry = case.rules.entry(part.use)
        if not part.material or not entry.materials:
            continue
        known = ", ".join(entry.materials)
        is_missing = part.material not in entry.materials
        yield Measure(
            subject=(part.tag,),
            value=float(is_missing),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=f"{part.tag} is to be made of {part.material}; {entry.key} can be had in {known}.",
            remedy=f'Write material = "{entry.materials[-1]}".' if is_missing else "",
        )


CRITERIA = (
    Criterion(
        code="BW-F84",
        title="Part not to be had in its material",
        severity="C",
        method="structure",
        judge=not_available,
        formula="(part, material) is not in the place's list",
        consequence="It cannot be built.",
        remedy="Take a material in which the part can be had, or another part; mix materials with care.",
        lesson="Before asking whether a metal is hot enough to melt, ask whether anyone makes it.",
        source="common practice, no source",
    ),
)
