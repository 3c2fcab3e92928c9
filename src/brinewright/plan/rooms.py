"""Whether the stores can take what stands in a section, and how full each will be."""

from collections.abc import Mapping
from dataclasses import dataclass

from brinewright.plan.drainage import Content, Room, Transfer
from brinewright.plan.outage import Outage, levels
from brinewright.plan.outflow import room
from brinewright.plan.pipework import LITRES, Pipework
from brinewright.plan.section import Section
from brinewright.plan.swelling import swelling


@dataclass(frozen=True, kw_only=True)
class Balance:
    """What is needed against what is free [l]."""

    rooms: tuple[Room, ...]
    transfers: tuple[Transfer, ...]
    hold_up: float
    swell: float
    needed: float
    free: float
    free_at_worst: float
    margin: float


def balance(
    pipes: Pipework,
    section: Section,
    outage: Outage,
    contents: tuple[Content, ...],
    given: Mapping[str, float],
    now: Mapping[str, float],
    reserve: float,
) -> Balance:
    """Return the room of every store of the section's liquid against what is drained.

    V_needed = (1 + reserve) (V_section + swell);  V_free = sum V (h_highest - h_now) - swell of each

    Parameters
    ----------
    pipes, section, outage : what is emptied, and the runs that say how warm and how full
    contents : what stands in the section
    given : what each store is given [l]
    now : how full each store is when the section is shut off [1]
    reserve : room beyond what is drained, as a share of it [1]
    """
    around = pipes.site("ambient_temperature", 293.15)
    _, fullest, samples = levels(pipes, outage)
    circuits = {pipes.circuit(tag) for tag in section.lines}
    takers = [tag for tag in pipes.stores if tag not in section.stores and pipes.circuit(tag) in circuits]
    hold_up = sum(content.litres for content in contents)
    swell = sum(
        content.litres * max(0.0, swelling(pipes, content.tag, _warmth(outage, content.tag, around), around))
        for content in contents
    )
    needed = (1.0 + reserve) * (hold_up + swell)
    own = {tag: _own_swell(pipes, outage, tag, now[tag], around) for tag in takers}
    free = {tag: room(pipes, tag, now[tag]) - own[tag] for tag in takers}
    rows = dict(zip(pipes.stores, samples, strict=True))
    moments = len(next(iter(rows.values()))) if rows else 0
    worst = min(
        (sum(room(pipes, tag, float(rows[tag][k])) - own[tag] for tag in takers) for k in range(moments)),
        default=0.0,
    )
    transfers = _transfers(free, given, reserve)
    moved = dict.fromkeys(takers, 0.0)
    for one in transfers:
        moved[one.source] -= one.litres
        moved[one.target] += one.litres
    rooms = tuple(
        Room(
            store=tag,
            volume=LITRES * pipes.views[tag].number("volume"),
            level_now=now[tag],
            level_fullest=max(fullest[tag], now[tag]),
            free_now=free[tag],
            free_fullest=room(pipes, tag, max(fullest[tag], now[tag])) - own[tag],
            swell=own[tag],
            takes=given.get(tag, 0.0),
            level_after=now[tag]
            + (given.get(tag, 0.0) + moved[tag] + own[tag]) / (LITRES * pipes.views[tag].number("volume")),
        )
        for tag in takers
    )
    total = sum(free.values())
    return Balance(
        rooms=rooms,
        transfers=tuple(transfers),
        hold_up=hold_up,
        swell=swell,
        needed=needed,
        free=total,
        free_at_worst=min(worst, total),
        margin=(total - needed) / needed if needed > 0.0 else 0.0,
    )


def _warmth(outage: Outage, tag: str, otherwise: float) -> float:
    for quantity in ("temperature", "outlet temperature"):
        samples = outage.after(outage.shut, tag, quantity)
        if samples is not None and len(samples):
            return float(samples[0])
    return otherwise


def _own_swell(pipes: Pipework, outage: Outage, tag: str, level: float, around: float) -> float:
    held = LITRES * pipes.views[tag].number("volume") * level
    return held * max(0.0, swelling(pipes, tag, _warmth(outage, tag, around), around))


def _transfers(free: Mapping[str, float], given: Mapping[str, float], reserve: float) -> list[Transfer]:
    """Return what is moved so that no store gets more than its room, as far as there is room at all."""
    spare = {tag: free[tag] - (1.0 + reserve) * given.get(tag, 0.0) for tag in free}
    rows = []
    for tag in sorted(spare, key=lambda name: spare[name]):
        while spare[tag] < -1.0:
            other = max(spare, key=lambda name: spare[name])
            litres = min(-spare[tag], spare[other])
            if litres <= 1.0:
                break
            rows.append(Transfer(source=tag, target=other, litres=litres))
            spare[tag] += litres
            spare[other] -= litres
    return rows
