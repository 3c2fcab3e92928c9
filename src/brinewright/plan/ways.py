"""What people can do with the parts of a loop, as their kinds declare it."""

from collections import defaultdict
from dataclasses import dataclass

from brinewright.model.loop import Force
from brinewright.plan.base import Base
from brinewright.plan.fault import Fault


@dataclass(frozen=True, kw_only=True)
class Way:
    """Something that can be done: an order, and what it forces."""

    text: str
    forces: tuple[tuple[str, float], ...]
    sheds: bool = False

    def at(self, time: float) -> tuple[Force, ...]:
        """Return what it forces from a time on [s]."""
        return tuple(Force(target=target, value=value, start=time) for target, value in self.forces)


def ways(base: Base, fault: Fault) -> list[Way]:
    """Return what can be done against a fault, what costs nobody anything first."""
    taken = {force.target for force in fault.forces} | set(fault.holds)
    single: list[Way] = []
    alike: dict[tuple[str, str], list[Way]] = defaultdict(list)
    for tag in sorted(part.tag for part in base.loop.parts):
        view = base.views[tag]
        for measure in view.declared.countermeasures:
            target = f"{tag}.{measure.target}"
            if target in taken or target not in base.can:
                continue
            value = measure.value
            if measure.times > 0.0:
                if not view.has(measure.target) or view.peak(measure.target) <= 0.0:
                    continue
                value = measure.times * view.peak(measure.target)
            if _is_so_already(base, tag, measure.target, value):
                continue
            way = Way(text=measure.name.format(tag=tag), forces=((target, value),), sheds=measure.sheds)
            single.append(way)
            if measure.target != "position" and not measure.sheds:
                alike[(view.kind, measure.name)].append(way)
    together = [_together(group) for group in alike.values() if len(group) > 1]
    sheds = [way for way in single if way.sheds]
    if len(sheds) > 1:
        forces = tuple(force for way in sheds for force in way.forces)
        together.append(Way(text="Shed every load that can be shed", forces=forces, sheds=True))
    return sorted([*single, *together], key=lambda way: (way.sheds, len(way.forces)))


def _together(group: list[Way]) -> Way:
    first, *others = group
    rest = ", ".join(way.text.split(" ", 1)[1] for way in others)
    return Way(text=f"{first.text}, {rest}", forces=tuple(force for way in group for force in way.forces))


def _is_so_already(base: Base, tag: str, name: str, value: float) -> bool:
    """Tell whether a thing is always as a countermeasure would set it."""
    place = base.plant.places.get((tag, name))
    if place is None or (tag, name) not in base.columns:
        return False
    least, greatest = base.range_of(place)
    return least == value == greatest
