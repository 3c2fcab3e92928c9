"""Write each liquid circuit: ranked by claims, or driven by pressures."""

import math
from typing import Any

from brinewright.compile.elements import Element
from brinewright.compile.writer import Writer
from brinewright.kernel import layout as at
from brinewright.kernel.claims import order_of_claims, workspace
from brinewright.kernel.pressure_island import room_of_island

FIRST_SPEED = 1.0
"""Speed at which the friction of a pipe is taken before any flow is known [m/s]."""


def hydraulic_row(w: Writer, element: Element) -> list[Any]:
    """Return what an element is to the pressures of its circuit."""
    a = w.assembly
    length, bore, roughness, fittings = element.friction or (0.0, 1.0, 0.0, 0.0)
    own = element.friction is not None
    density = a.views[element.tag].filling(element.start.split(".", 1)[1]).density
    flow = FIRST_SPEED * density * 0.25 * math.pi * bore * bore
    return [
        element.quadratic or (a.hidden() if own else a.zero),
        element.linear or (a.hidden() if own else a.zero),
        element.head or a.zero,
        element.droop or a.zero,
        element.capacity or a.one,
        element.pressure or a.hidden(),
        element.pressure_loss or a.hidden(),
        a.hidden(start=flow),
        w.many_p([element.level, length, bore, roughness, fittings]),
        int(element.check),
    ]


def write_island(w: Writer, circuit: list[int]) -> None:
    """Write one circuit of branches that hang together."""
    a, net = w.assembly, w.network
    points = sorted({net.branches[b].tail for b in circuit} | {net.branches[b].head for b in circuit})
    number = {point: index for index, point in enumerate(points)}
    tanks = [net.tank_at[point] for point in points if point in net.tank_at]
    tail = [number[net.branches[b].tail] for b in circuit]
    head = [number[net.branches[b].head] for b in circuit]
    first = net.branches[circuit[0]].elements[0]
    filling = a.views[first.tag].filling(first.start.split(".", 1)[1])
    standing = a.hidden()
    if a.is_pressure_driven:
        law = at.PRESSURE
        numbers = [*tail, *head, *(net.tank_at.get(point, -1) for point in points)]
        length = len(points)
        floats, ints = room_of_island(len(points), len(circuit), len(tanks))
    else:
        law = at.RANKED
        rank = [net.branches[b].elements[-1].rank for b in circuit]
        plan = order_of_claims(
            len(points), tail, head, rank, [number[point] for point in points if point in net.tank_at]
        )
        numbers = [int(value) for value in plan]
        length = len(numbers)
        floats, ints = workspace(plan)
    nb, nt = len(circuit), len(tanks)
    n_key = nb + 2 * nt
    held = w.hf + n_key + nb + floats + at.REMEMBERED * (n_key + nb + 1)
    capacities = list(
        dict.fromkeys(
            element.capacity
            for b in circuit
            for element in net.branches[b].elements
            if element.capacity is not None
        )
    )
    w.row(
        at.ISLANDS,
        [
            law,
            w.many(circuit),
            nb,
            w.many(tanks),
            nt,
            w.many(numbers),
            length,
            w.hf,
            w.hi,
            standing,
            floats,
            ints,
            w.many(capacities),
            len(capacities),
            held,
        ],
        [
            float(a.site_values.get("gravity", 9.80665)),
            filling.density,
            filling.viscosity,
            _reference(w, circuit),
        ],
    )
    if law == at.PRESSURE:
        w.hf += floats
        w.hi += ints
        return
    w.hf = held + len(capacities) + 2 * nt
    w.hi += 2 + nb + ints
    a.watches.append(
        (
            standing, 0.5, 1, a.views[first.tag].tag, "standing",
            "Liquid that has the right of way at a junction cannot move, and holds up what comes behind it.",
            0.0, 60.0, a.hidden(),
        )
    )  # fmt: skip


def _reference(w: Writer, circuit: list[int]) -> float:
    """Return the pressure of a circuit without a tank [Pa]: that of its vessel, else the ambient one."""
    a = w.assembly
    tags = {element.tag for b in circuit for element in w.network.branches[b].elements}
    held = [pressure for tag, pressure in sorted(a.held_pressures.items()) if tag in tags]
    return held[0] if held else float(a.site_values.get("ambient_pressure", 101325.0))
