"""Everything that may have gone wrong in a loop: found from what its parts declare, not from their names."""

import math
from collections.abc import Callable, Iterator, Mapping

from brinewright.compile import forceable
from brinewright.compile.view import View
from brinewright.errors import BrinewrightError
from brinewright.files import with_values
from brinewright.model.loop import Force, Loop, Switch
from brinewright.model.mishap import Often
from brinewright.model.reading import DIFFERENCE_OF
from brinewright.model.rulebook import Rulebook
from brinewright.plan.credible import credible_faults
from brinewright.plan.fault import Fault
from brinewright.plan.suspect import Suspect, Trouble
from brinewright.run.settle import DAY
from brinewright.units import show

HORIZON_DAYS = 5
"""Days for which a changed schedule is written out."""
OFFSETS = (-5.0, -2.5, -1.0, 1.0, 2.5, 5.0)
"""By how much a thermometer or a set point is tried to be off [K]."""
LOADS = (0.2, 0.5, 1.5, 2.2)
"""By what a load is tried to be multiplied."""
RESISTS = ("conductance", "coil_conductance", "condenser_conductance", "jacket_conductance", "conductivity")
"""Parameters that dirt makes smaller."""
OWN = ("set points drifted", "heat source surging")
"""Groups of faults that are tried here at more sizes than one."""
STANDS: Mapping[str, str] = {"powered": "has no power", "closed": "is open", "live": "is dead"}
"""How something is told that has gone and not come back."""
CODES: Mapping[str, tuple[str, ...]] = {
    "machine lost": ("BW-F35", "BW-F52"),
    "valve stuck": ("BW-F25",),
    "priorities swapped": ("BW-F93",),
    "power lost and restored": ("BW-F119", "BW-F121"),
    "consumer blocked": ("BW-F95",),
    "pump off": ("BW-F122",),
    "condensate blocked": ("BW-F57",),
}
"""The findings to which a group of faults corresponds."""
REMEDIES: Mapping[str, str] = {
    "machine lost": "Find why it stopped: its trips, its breaker, what it needs to run.",
    "valve stuck": "Move it by hand both ways; see to its actuator, its linkage and its supply.",
    "switch wrong": "Warm and cool its sensor and see whether it answers; see to its contacts and wiring.",
    "priorities swapped": "Put the two inlets of the junction in their right order.",
    "power lost and restored": "Find what opened it before it is closed again.",
    "consumer blocked": "Open its hand valves, clean its strainer, vent its coil.",
    "pump off": "Its breaker, its overload trip, its coupling, its suction; put the standby to work.",
    "condensate blocked": "Its trap, its condensate valve, its pump and its head.",
}


def suspects(loop: Loop, rules: Rulebook, views: Mapping[str, View]) -> tuple[Suspect, ...]:
    """Return every suspect of a loop, in order of their keys: its credible faults, and more.

    Parameters
    ----------
    loop, rules : the sound design
    views : its parts and lines with their numbers resolved
    """
    can = forceable(loop, rules)
    found: list[Suspect] = [
        _as_suspect(fault)
        for fault in credible_faults(loop, rules)
        if not (fault.from_start or fault.holds or fault.group in OWN or _is_of_a_bank(fault))
    ]
    for tag in sorted(part.tag for part in loop.parts):
        view = views[tag]
        found += _positions(view)
        found += _units(view)
        found += _shares(view)
        found += _loads(loop, view)
        found += _parameters(view)
    for switch in sorted(loop.switches, key=lambda item: item.tag):
        found += _of_switch(switch)
    return tuple(sorted((one for one in found if _can_be(loop, rules, can, one)), key=lambda one: one.key))


def _as_suspect(fault: Fault) -> Suspect:
    trouble = Trouble(forces=fault.forces, changes=fault.changes)
    return Suspect(
        key=fault.name.removesuffix(" for a while"),
        tag=fault.tags[0],
        title=_as_it_stands(fault),
        make=lambda _: trouble,
        how_common=fault.often,
        codes=CODES.get(fault.group, ()),
        remedy=REMEDIES.get(fault.group, ""),
    )


def _as_it_stands(fault: Fault) -> str:
    """Return what is wrong with a fault that lasts till now, even if it mostly passes by itself."""
    quantity = fault.forces[0].target.partition(".")[2] if fault.forces else ""
    if math.isfinite(fault.lasts) and quantity in STANDS:
        return f"{fault.tags[0]} {STANDS[quantity]}"
    return fault.text.rstrip(".")


def _is_of_a_bank(fault: Fault) -> bool:
    return any(name.endswith(".count") for name in fault.changes)


def _can_be(loop: Loop, rules: Rulebook, can: frozenset[str], suspect: Suspect) -> bool:
    """Tell whether the loop lets it be put into a run."""
    trouble = suspect.make(suspect.sizes[0])
    targets = [force.target.replace("_", " ") for force in trouble.forces]
    if any("." in target and target not in can for target in targets):
        return False
    try:
        return bool(with_values(loop, rules, dict(trouble.changes)) if trouble.changes else True)
    except BrinewrightError:
        return False


def _held(target: str, value: float) -> Trouble:
    return Trouble(forces=(Force(target=target, value=value),))


def _positions(view: View) -> Iterator[Suspect]:
    """Suspect a valve of standing between its positions, and of passing."""
    tag = view.tag
    if view.declared.role != "valve":
        return
    first, second = view.declared.positions or ("open", "shut")
    yield Suspect(
        key=f"{tag} stuck between",
        tag=tag,
        title=f"{tag} is stuck between {first} and {second}",
        sizes=(0.2, 0.5, 0.8),
        low=0.05,
        high=0.95,
        make=lambda size: _held(f"{tag}.position", size),
        tell=lambda size: f"{size:.0%} towards {first}",
        codes=("BW-F25",),
        remedy=REMEDIES["valve stuck"],
    )
    if view.declares("leak"):
        yield Suspect(
            key=f"{tag} passing",
            tag=tag,
            title=f"{tag} passes on the side that is shut",
            sizes=(0.08, 0.25),
            low=0.03,
            high=0.4,
            make=lambda size: Trouble(changes={f"{tag}.leak": show(size, "ratio", digits=6)}),
            tell=lambda size: f"by about {size:.0%} of its open flow",
            codes=("BW-F114",),
            remedy=f"Feel both sides of {tag} while it is shut; renew its seat.",
        )


def _units(view: View) -> Iterator[Suspect]:
    """Suspect units of a bank of being out, and the whole bank."""
    tag, count = view.tag, view.count
    if not view.declared.counted or count < 2:
        return

    def make(size: float) -> Trouble:
        left = count - round(size)
        changes = {f"{tag}.count": str(left)}
        law = view.declared.law(view.law)
        for parameter in (*law.parameters, *view.declared.parameters):
            # the units that stand stay full of liquid
            if parameter.name.endswith("hold_up") and view.number(parameter.name) > 0.0:
                changes[f"{tag}.{parameter.name}"] = show(
                    view.number(parameter.name) * count / left, parameter.quantity
                )
        return Trouble(changes=changes)

    yield Suspect(
        key=f"{tag} units out",
        tag=tag,
        title=f"units of {tag} are out",
        sizes=tuple(float(number) for number in range(1, min(count, 4))),
        make=make,
        tell=lambda size: f"{size:.0f} of {count}",
        how_common="common",
        codes=CODES["machine lost"],
        remedy=f"Find the units of {tag} that stand: their isolation, their trips.",
    )
    if view.gives("running"):
        yield Suspect(
            key=f"{tag} all out",
            tag=tag,
            title=f"all of {tag} stand still",
            make=lambda _: _held(f"{tag}.running", 0.0),
            codes=CODES["machine lost"],
            remedy=f"Look for what all units of {tag} share: supply, interlock, flow proof.",
        )


def _shares(view: View) -> Iterator[Suspect]:
    """Suspect every capacity of being less than it should, and units of a bank of being out."""
    tag, role = view.tag, view.declared.role
    if role not in ("consumer", "mover", "cooler"):
        return
    reasons = {
        "consumer": ("gets too little liquid", "its hand valves, its strainer, air in its coil"),
        "mover": ("delivers too little", "its strainer, its suction, its wheel"),
    }
    said, look = reasons.get(role, ("does less than it should", "its strainer, its valves, its load limit"))
    yield Suspect(
        key=f"{tag} short",
        tag=tag,
        title=f"{tag} {said}",
        sizes=(0.15, 0.4, 0.7),
        low=0.1,
        high=0.85,
        make=lambda size: _held(f"{tag}.capacity", size),
        tell=lambda size: f"about {size:.0%} of its capacity",
        how_common="now and then" if role in reasons else "rare",
        codes=("BW-F95",) if role == "consumer" else (),
        remedy=f"{tag}: {look}.",
    )


def _loads(loop: Loop, view: View) -> Iterator[Suspect]:
    """Suspect every load of being more or less than was planned."""
    tag, law = view.tag, view.declared.law(view.law)
    if view.declared.role != "consumer":
        return
    for parameter in (*law.parameters, *view.declared.parameters):
        if (
            parameter.quantity != "schedule"
            or parameter.schedule_of != "power"
            or not view.has(parameter.name)
        ):
            continue
        name = parameter.name

        def make(size: float, name: str = name) -> Trouble:
            raw = view.raw(name)
            table = _times(loop, raw, size) if isinstance(raw, str) else ()
            value = 0.0 if table else float(raw) * size
            return Trouble(forces=(Force(target=f"{tag}.{name}", value=value, table=table),))

        if view.peak(name) > 0.0:
            yield Suspect(
                key=f"{tag} {name.replace('_', ' ')}",
                tag=tag,
                title=f"{tag} has another load than planned",
                sizes=LOADS,
                low=0.0,
                high=2.5,
                make=make,
                tell=lambda size: f"about {size:.0%} of it",
                codes=("BW-F34", "BW-F74"),
                remedy=f"Ask what runs at {tag} now; share out or shed what is too much.",
            )


def _times(loop: Loop, name: str, size: float) -> tuple[tuple[float, float], ...]:
    schedule = next(item for item in loop.schedules if item.name == name)
    period = schedule.repeats or HORIZON_DAYS * DAY
    rounds = max(1, int(HORIZON_DAYS * DAY // period))
    points = tuple(zip(schedule.times, schedule.values, strict=True))
    first = ((0.0, points[-1][1] * size),) if points[0][0] > 0.0 else ()
    return first + tuple(
        (turn * period + time, value * size) for turn in range(rounds) for time, value in points
    )


def _parameters(view: View) -> Iterator[Suspect]:
    """Suspect dirt, thin gas, lost insulation, weak machines and too little water."""
    tag = view.tag

    def scaled(
        name: str,
        quantity: str,
        said: str,
        sizes: tuple[float, ...],
        how: Often,
        codes: tuple[str, ...],
        remedy: str,
    ) -> Iterator[Suspect]:
        if not (view.declares(name) and isinstance(view.raw(name), float | int) and view.number(name) > 0.0):
            return
        own = view.number(name)
        yield Suspect(
            key=f"{tag} {name}",
            tag=tag,
            title=f"{tag} {said}",
            sizes=sizes,
            low=min(sizes),
            high=max(sizes),
            make=lambda size: Trouble(changes={f"{tag}.{name}": show(own * size, quantity, digits=9)}),
            tell=lambda size: f"about {size:.0%} of what it should be",
            how_common=how,
            codes=codes,
            remedy=remedy,
        )

    low = (0.1, 0.3, 0.6)
    gas = view.declares("gas")
    for name in RESISTS:
        said = "has thin or wrong gas" if gas else "is fouled: it passes too little heat"
        remedy = f"Gas pressure and purity of {tag}." if gas else f"Clean {tag} on both sides; vent it."
        yield from scaled(name, "conductance", said, low, "now and then", ("BW-F72",) if gas else (), remedy)
    yield from scaled(
        "loss_conductance", "conductance", "has lost insulation", (4.0, 12.0), "rare", ("BW-F66",),
        f"Look for wet or missing insulation on {tag}.",
    )  # fmt: skip
    yield from scaled(
        "drop", "temperature difference", "cools less than it should, or units pass liquid uncooled",
        (0.2, 0.5, 0.8), "now and then", ("BW-F108",), f"Measure the drop across each unit of {tag}.",
    )  # fmt: skip
    yield from scaled(
        "efficiency", "ratio", "makes too little power of its steam", (0.02, 0.4, 0.75), "now and then", (),
        f"Generator breaker, governor and generator of {tag}.",
    )  # fmt: skip
    yield from scaled(
        "water_mass", "mass", "has too little water", (0.3, 0.6), "now and then", ("BW-F47", "BW-F70"),
        f"Read the level of {tag}; find where its water goes; fill it while it is cool.",
    )  # fmt: skip
    yield from scaled(
        "contact_temperature", "temperature", "is hotter than planned", (1.03, 1.08), "rare", ("BW-F67",),
        f"Shut {tag} off and see whether the rise ends.",
    )  # fmt: skip
    if view.gives("heat") and not view.declared.role:
        yield from scaled(
            "power", "power", "gives more heat than planned", (1.5, 2.5), "rare", ("BW-F67",),
            f"Measure what {tag} gives; shut it off and see whether the rise ends.",
        )  # fmt: skip


def _of_switch(switch: Switch) -> Iterator[Suspect]:
    """Suspect a switch of being stuck, inverted, mis-set, or misled by its sensor."""
    tag = switch.tag
    quantity = switch.quantity
    difference = DIFFERENCE_OF.get(quantity, quantity)
    offsets = (
        OFFSETS
        if quantity == "temperature"
        else tuple(switch.setting * share for share in (-0.4, -0.15, 0.15, 0.4))
    )
    span = max(offsets)

    def said(size: float) -> str:
        return show(abs(size), difference, digits=2)

    def of(key: str, title: str, make: Callable[[float], Trouble], remedy: str, **more: object) -> Suspect:
        return Suspect(key=f"{tag} {key}", tag=tag, title=f"{tag} {title}", make=make, remedy=remedy, **more)  # type: ignore[arg-type]

    yield of(
        "sensor off", "has a sensor that is off",
        lambda size: Trouble(
            forces=(Force(target=f"{tag}.set", value=switch.setting - size),),
            shows={f"{tag}.reading": size, f"{tag}.set": size},
        ),
        f"Hold a hand probe beside the sensor of {tag}; calibrate or renew it.",
        sizes=offsets, low=-span, high=span, how_common="common", codes=("BW-F23",),
        tell=lambda size: f"it reads about {said(size)} too {'high' if size > 0 else 'low'}",
    )  # fmt: skip
    yield of(
        "mis-set", "has a wrong set point", lambda size: _held(f"{tag}.set", switch.setting + size),
        f"Set {tag} to {show(switch.setting, quantity)}.",
        sizes=offsets, low=-span, high=span, codes=("BW-F15", "BW-F16"),
        tell=lambda size: f"about {said(size)} too {'high' if size > 0 else 'low'}",
    )  # fmt: skip
    yield of(
        "frozen", "has a sensor that no longer follows",
        lambda size: Trouble(forces=(Force(target=f"{tag}.reading", value=switch.setting + size),)),
        f"Warm the sensor of {tag}: its reading must move; see whether liquid passes it.",
        sizes=(-2.0, 2.0) if quantity == "temperature" else (-0.1 * switch.setting, 0.1 * switch.setting),
        codes=("BW-F22",),
        tell=lambda size: f"{'above' if size > 0 else 'below'} its set point",
    )  # fmt: skip
    wide = max(switch.differential, 1e-3 * abs(switch.setting) if quantity != "temperature" else 0.2)
    yield of(
        "wide", "has too wide a differential",
        lambda size: Trouble(changes={f"{tag}.differential": show(wide * size, difference, digits=9)}),
        f"Set the differential of {tag} back to {show(switch.differential, difference)}.",
        sizes=(5.0, 14.0), low=3.0, high=20.0, how_common="rare", codes=("BW-F19",),
        tell=lambda size: f"about {said(wide * size)}",
    )  # fmt: skip
