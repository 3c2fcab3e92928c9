"""Write what an assembly knows of electricity into the records that the engine reads."""

from typing import Any

from brinewright.compile.assembly import Assembly
from brinewright.compile.elements import Load
from brinewright.errors import InputError
from brinewright.kernel import layout as at


def write_power(w: Any) -> None:
    """Write loads, feeders, transformers, grids, buses and batteries, each in the order of its tags."""
    a: Assembly = w.assembly
    buses = sorted(a.buses)
    if not buses:
        return
    feeders = sorted(a.feeders)
    number = {tag: k for k, tag in enumerate(feeders)}
    # every bus has a feeder of its own without limit, for what hangs on it directly
    direct = {tag: len(feeders) + k for k, tag in enumerate(buses)}
    for tag in feeders:
        f = a.feeders[tag]
        w.row(
            at.FEEDERS,
            [
                buses.index(f["bus"]), f["power"], f["asked"], f["loss"], f["drop"], f["closed"],
                f["command"], f["tripped"], a.hidden(), a.hidden(), int(f["opens"]),
            ],
            [f["limit"], f["load loss"], f["load drop"], f["after"], f["again"]],
        )  # fmt: skip
    always = a.constant(1.0)
    for tag in buses:
        power, asked, loss, drop, tripped, clock, slope = (a.hidden() for _ in range(7))
        w.row(
            at.FEEDERS,
            [buses.index(tag), power, asked, loss, drop, always, always, tripped, clock, slope, 0],
            [0.0, 0.0, 0.0, 0.0, 0.0],
        )
    for load in sorted(a.loads, key=lambda load: load.tag):
        hung = _hung_on(a, load)
        feeder = number[hung] if hung in number else direct[hung]
        factor = a.feeders[hung]["power factor"] if hung in number else 1.0
        w.row(
            at.LOADS,
            [
                load.power, load.powered, a.commands.get(load.tag, always), feeder, a.views[load.tag].shed,
                a.hidden(), a.hidden(),
            ],
            [load.rated, load.multiple * load.rated / factor],
        )  # fmt: skip
    for _, t in sorted(a.transformers.items()):
        w.row(
            at.TRANSFORMERS,
            [
                buses.index(t["supply"]), buses.index(t["bus"]), t["power"], t["loss"], t["closed"],
                t["command"], t["tripped"], int(t["opens"]),
            ],
            [t["rating"], t["core"], t["winding"]],
        )  # fmt: skip
    for _, g in sorted(a.grids.items()):
        w.row(
            at.GRIDS,
            [buses.index(g["bus"]), g["power"], g["exported"], g["closed"], g["command"]],
            [g["import"], g["export"]],
        )
    for _, b in sorted(a.batteries.items()):
        w.row(
            at.BATTERIES,
            [
                buses.index(b["bus"]), b["stored"], b["power"], b["charge"], b["loss"], b["command"],
                a.hidden(), a.hidden(),
            ],
            b["numbers"],
        )  # fmt: skip
    for tag in buses:
        b = a.buses[tag]
        machines = [watts for owner, watts in sorted(a.generators) if _bus_of(a, owner) == tag]
        machines.sort(key=lambda watts: watts in w.apart.powers)
        w.row(
            at.BUSES,
            [
                b["generated"], b["drawn"], b["balance"], b["imported"], b["short"], b["spilled"], b["live"],
                b["voltage"], a.hidden(), b["dip"], a.hidden(), a.hidden(), a.hidden(), a.hidden(at.WO_X),
                int(b["sheds"]), w.many(machines), len(machines),
                sum(watts in w.apart.powers for watts in machines), a.hidden(), a.hidden(),
            ],
            [b["back"], b["nominal"], b["lowest"], b["strength"]],
        )  # fmt: skip


def _only_bus(a: Assembly) -> str:
    named = [tag for tag, bus in a.buses.items() if bus["takes loads"]]
    return named[0] if len(named) == 1 else ""


def _hung_on(a: Assembly, load: Load) -> str:
    """Return the feeder or bus that brings a load its power."""
    hung = a.views[load.tag].feeder or _only_bus(a)
    if hung in a.feeders or hung in a.buses:
        return hung
    if not hung:
        raise InputError(f'{load.tag}: write feeder = "…" to say which feeder or bus it hangs on.')
    raise InputError(f"{load.tag}: {hung} is no feeder and no bus, so it brings no power.")


def _bus_of(a: Assembly, tag: str) -> str:
    """Return the bus that takes what a machine makes."""
    view = a.views[tag]
    hung = (view.refers("bus") or (view.feeder or _only_bus(a),))[0]
    if hung in a.feeders:
        hung = a.feeders[hung]["bus"]
    if hung in a.buses:
        return str(hung)
    raise InputError(f'{tag}: write bus = "…" to say which bus takes its power.')
