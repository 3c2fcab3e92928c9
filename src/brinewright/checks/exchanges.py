"""What heats a vessel, or takes heat from it, beside its chillers and turbines."""

from dataclasses import dataclass

from brinewright.checks.timeline import Timeline
from brinewright.model.case import Case
from brinewright.model.part_view import PartView


@dataclass(frozen=True)
class Exchange:
    """Heat that a vessel gets from elsewhere than its chillers: Phi = P + K (T_c - T)."""

    tag: str
    fixed: float
    """P, mean; negative where a sink takes it [W]."""
    most: float
    """P at its peak [W]."""
    conductance: float = 0.0
    """K [W/K]"""
    contact: float = 0.0
    """T_c, mean [K]"""
    hottest: float = 0.0
    """T_c at its peak [K]"""
    gives_only: bool = False

    def heat(self, temperature: float, *, peak: bool = False) -> float:
        """Return the heat that it gives to a vessel at a temperature, mean or at its peak [W]."""
        contact = self.hottest if peak else self.contact
        heat = (self.most if peak else self.fixed) + self.conductance * (contact - temperature)
        return max(heat, 0.0) if self.gives_only else heat


def exchanges(case: Case, vessel: str, timeline: Timeline) -> tuple[Exchange, ...]:
    """Return what heats a declared vessel, or takes heat from it, beside chillers, turbines and its loss."""
    found = []
    for view in case.parts:
        touches = target_of(view) == vessel or vessel in view.refers("cools")
        if not touches:
            continue
        only = view.flag("gives_only") if view.declares("gives_only") else False
        if view.declares("contact_temperature"):
            contact = view.raw("contact_temperature")
            found.append(
                Exchange(
                    view.tag,
                    0.0,
                    0.0,
                    view.number("conductance") * view.count,
                    timeline.mean(contact),
                    timeline.greatest([contact]),
                    only,
                )
            )
        elif view.declares("lowest_temperature"):
            taken = timeline.mean(view.raw("heat")) * view.count
            found.append(Exchange(view.tag, -taken, -taken))
        elif view.declares("power"):
            raw = view.raw("power")
            found.append(Exchange(view.tag, timeline.mean(raw), timeline.greatest([raw]), gives_only=only))
    return tuple(found)


def target_of(view: PartView) -> str:
    """Return the tag of the part that takes a source's heat, or ""."""
    return next(iter(view.refers("into")), "")
