"""Another liquid in the same loop: what is left of the old one, what must be set and looked at again."""

from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from brinewright.checks.case import DAY, LoopCase
from brinewright.checks.declared import Declared, declared_plant
from brinewright.compile.place import fill
from brinewright.errors import InputError, UnknownNameError
from brinewright.files import find_rulebook, read_rulebook
from brinewright.laws import stylised
from brinewright.model.loop import Circuit, Loop
from brinewright.model.lowering import Filling
from brinewright.model.rulebook import Rulebook
from brinewright.plan.circuit_content import extremes, left_behind, liquid_volume
from brinewright.plan.compare import compare_designs
from brinewright.plan.comparison import Comparison
from brinewright.plan.drainage import Obstacle
from brinewright.plan.mixture import Mixture, flushes_for, mixed, residue
from brinewright.plan.pipework import Pipework
from brinewright.plan.recheck import recheck
from brinewright.results.caution import caution
from brinewright.results.summary import plain

FORMAT = "brinewright/liquid/1"
ROUNDS = 4
"""Most runs in which the set points are brought to the same supply."""
ALIKE = 0.1
"""A mean supply nearer than this is the same [K]."""
WANTED = 0.01
"""Share of the old liquid that is aimed at where no flushes are stated [1]; common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class SetPoint:
    """A set point before and after [K]."""

    tag: str
    now: float
    then: float
    """For the same mean supply in a run of the day."""
    by_closed_form: float
    """For the same mean supply at the mean load; a load that swings across a pass boundary shifts it."""


@dataclass(frozen=True, kw_only=True)
class LiquidChange:
    """A change of liquid: flushes, residue, margins, set points, and what must be looked at again."""

    name: str
    world: str
    circuit: str
    old: str
    new: str
    volume: float
    """All liquid of the circuit [l]."""
    stays: float
    """What one emptying leaves behind [l]."""
    share: float
    """That as a share of the volume [1]."""
    flushes: int
    residue: float
    """Share of the old liquid after the last fill, by volume [1]."""
    residues: tuple[float, ...]
    """The share after each fill [1]."""
    to_dispose: float
    """The old liquid and all flushes [l]."""
    mixture: Mixture
    coldest: float
    """Coldest liquid of the run with the new liquid and its set points [K]."""
    hottest: float
    """[K]"""
    freeze_margin: float
    """[K]"""
    boil_margin: float
    """[K]"""
    heat_capacity: tuple[float, float]
    """Before and after [J/(kg K)]."""
    density: tuple[float, float]
    """[kg/m3]"""
    viscosity: tuple[float, float]
    """[Pa s]; 0 where none is declared."""
    rise_ratio: float
    """Rise of temperature through the same load at the same mass flow, after by before [1]."""
    flow_ratio: float
    """Mass flow that keeps that rise, after by before [1]."""
    set_points: tuple[SetPoint, ...]
    supply: float | None
    """Mean supply of the run, which the set points keep [K]; None where no set point was moved."""
    passes: tuple[float, float] | None
    """Mean passes of a kilogram through the chillers, before and after."""
    chillers_needed: tuple[int, int] | None
    comparison: Comparison
    faults: tuple[Obstacle, ...]
    recheck: tuple[str, ...]

    @property
    def serious(self) -> tuple[Obstacle, ...]:
        """Return what stands in the way with severity S or C."""
        return tuple(fault for fault in self.faults if fault.is_serious)

    @property
    def is_serious(self) -> bool:
        """Return whether something serious stands in the way, or in the new loop and not in the old."""
        before, after = self.comparison.serious
        return bool(self.serious) or after > before or self.comparison.senseless(1)

    def as_dict(self) -> dict[str, Any]:
        """Return the change as it stands in JSON; the shape is `data/schema/liquid.json`."""
        own = {name: getattr(self, name) for name in self.__dataclass_fields__ if name != "comparison"}
        told = {name: _told(value) for name, value in own.items()}
        made: dict[str, Any] = plain(
            {
                "format": FORMAT,
                "caution": caution(self.world),
                **told,
                "comparison": self.comparison.as_dict(),
            }
        )
        return made


def _told(value: Any) -> Any:
    if hasattr(value, "__dataclass_fields__"):
        return asdict(value)
    if isinstance(value, tuple):
        return [_told(item) for item in value]
    return value


def change_liquid(
    loop: Loop,
    rulebook: Rulebook | None = None,
    *,
    liquid: str,
    circuit: str = "",
    flushes: int | None = None,
    left: float | None = None,
    duration: float = DAY,
    folder: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> LiquidChange:
    """Return what becomes of a loop when its liquid is changed.

    Parameters
    ----------
    loop : the design
    rulebook : the place; by default the one that the loop names, among those that ship
    liquid : the new liquid, by its name in the rulebook
    circuit : the circuit, by its name; needed only where a loop has several
    flushes : fills with the new liquid that are let out again; by default as few as leave 1 % of the old
    left : share of the content that an emptying leaves behind, instead of what heights tell [1]
    duration : how long both are run [s]
    folder : where a weather file that the site names is looked for
    progress : called with simulated and total time [s]

    Raises
    ------
    InputError
        If heights are missing and no share is stated, or the circuit is not named.

    Example
    -------
    >>> import brinewright as bw
    >>> loop = bw.read_loop(bw.scenario("deepstead"))
    >>> told = bw.change_liquid(loop, liquid="plain-water", circuit="house", left=0.05, duration=3600.0)
    >>> told.flushes, round(told.residue, 4), told.is_serious
    (1, 0.0025, True)
    """
    rules = rulebook or read_rulebook(find_rulebook(loop.rulebook, folder or Path.cwd()))
    chosen = _circuit(loop, circuit)
    old, new = rules.liquid(chosen.liquid), rules.liquid(liquid)
    pipes = Pipework(loop, rules)
    volume = liquid_volume(pipes, chosen.name)
    share = left_behind(pipes, chosen.name, volume) if left is None else left
    count = flushes_for(share, WANTED) if flushes is None else flushes
    pressure = pipes.site("ambient_pressure", 101325.0)
    mixture = mixed(old, new, residue(share, count + 1), chosen.temperature, pressure)
    before, after = fill(chosen, old), fill(chosen, mixture.liquid)
    declared = declared_plant(LoopCase(loop, rules, folder=folder))
    closed = _closed(declared, after) if isinstance(declared, Declared) else None
    shift = closed.shift if closed else 0.0
    for _ in range(ROUNDS):
        trial, book = _trial(loop, rules, chosen, mixture, declared, shift)
        told = compare_designs(
            [(loop, rules, folder), (trial, book, folder)], duration=duration, progress=progress
        )
        gap = _supply_gap(told) if closed else 0.0
        if abs(gap) < ALIKE:
            break
        shift += gap
    coldest, hottest = extremes(pipes, chosen.name, told.results[1])
    change = LiquidChange(
        name=loop.name,
        world=rules.world,
        circuit=chosen.name,
        old=old.name,
        new=new.name,
        volume=volume,
        stays=share * volume,
        share=share,
        flushes=count,
        residue=mixture.old_by_volume,
        residues=tuple(residue(share, fills) for fills in range(1, count + 2)),
        to_dispose=(count + 1) * volume,
        mixture=mixture,
        coldest=coldest,
        hottest=hottest,
        freeze_margin=coldest - mixture.freezes,
        boil_margin=mixture.boils - hottest,
        heat_capacity=(before.heat_capacity, after.heat_capacity),
        density=(before.density, after.density),
        viscosity=(before.viscosity, after.viscosity),
        rise_ratio=before.heat_capacity / after.heat_capacity,
        flow_ratio=before.heat_capacity / after.heat_capacity,
        set_points=_set_points(declared, _moved(loop, trial), closed.shift if closed else 0.0),
        supply=_supplies(told)[1] if closed else None,
        passes=closed.passes if closed else None,
        chillers_needed=closed.chillers if closed else None,
        comparison=told,
        faults=(),
        recheck=recheck(rules, new.properties),
    )
    return replace(change, faults=tuple(_faults(change, LoopCase(trial, book), declared)))


def _circuit(loop: Loop, name: str) -> Circuit:
    names = [one.name for one in loop.circuits]
    if not name and len(names) == 1:
        return loop.circuits[0]
    if not name:
        raise InputError(f"The loop has several circuits; name one of them: {', '.join(names)}.")
    for one in loop.circuits:
        if one.name == name:
            return one
    raise UnknownNameError(name, names, "circuit")


@dataclass(frozen=True, kw_only=True)
class _Closed:
    shift: float
    passes: tuple[float, float]
    chillers: tuple[int, int]


def _closed(declared: Declared, after: Filling) -> _Closed:
    """Return the shift of the set point that keeps the mean supply, by the closed form."""
    now = declared.closed_form()
    plant = replace(declared.plant, heat_capacity=after.heat_capacity)
    shifted = stylised.with_wanted_supply(plant, now.mean_supply, declared.turbines)
    then = replace(declared, plant=shifted).closed_form()
    return _Closed(
        shift=shifted.set_point - declared.plant.set_point,
        passes=(now.mean_passes, then.mean_passes),
        chillers=(now.chillers, then.chillers),
    )


def _supplies(told: Comparison) -> tuple[float | None, ...]:
    """Return the mean supply of each design [K]; None where nothing passes."""
    for figure in told.figures:
        if (figure.group, figure.quantity) == ("supply", "mean"):
            return tuple(None if value is None else value + 273.15 for value in figure.values)
    return (None, None)


def _supply_gap(told: Comparison) -> float:
    """Return by how much the mean supply of the first design lies above that of the second [K]."""
    before, after = _supplies(told)
    return 0.0 if before is None or after is None else before - after


def _moved(loop: Loop, trial: Loop) -> dict[str, float]:
    """Return the set points of a trial by tag [K]."""
    return {switch.tag: switch.setting for switch in trial.switches if switch not in loop.switches}


def _set_points(declared: Any, moved: dict[str, float], shift: float) -> tuple[SetPoint, ...]:
    if not isinstance(declared, Declared):
        return ()
    return tuple(
        SetPoint(
            tag=one.tag,
            now=one.setting,
            then=moved.get(one.tag, one.setting),
            by_closed_form=one.setting + shift,
        )
        for one in declared.decisions
    )


def _trial(
    loop: Loop, rules: Rulebook, chosen: Circuit, mixture: Mixture, declared: Any, shift: float
) -> tuple[Loop, Rulebook]:
    """Return the loop with the mixture and its set points, and the rulebook with the mixture."""
    moved = {one.tag for one in declared.decisions} if isinstance(declared, Declared) else set()
    trial = replace(
        loop,
        name=f"{loop.name} with {mixture.liquid.name}",
        circuits=tuple(
            replace(one, liquid=mixture.liquid.name) if one.name == chosen.name else one
            for one in loop.circuits
        ),
        switches=tuple(
            replace(one, setting=one.setting + shift) if one.tag in moved else one for one in loop.switches
        ),
    )
    return trial, replace(rules, liquids=(*rules.liquids, mixture.liquid))


def _faults(change: LiquidChange, trial: LoopCase, declared: Any) -> list[Obstacle]:
    freeze, boil = trial.margin("freeze"), trial.margin("boil")
    subject = (change.circuit,)
    found = []
    if change.freeze_margin < freeze:
        lowest = change.mixture.freezes + freeze + _drop(declared)
        remedy = "Flush once more, or take another liquid."
        if isinstance(declared, Declared):
            remedy = (
                f"Set the switches to {lowest - 273.15:.1f} degC at least and accept a warmer "
                "supply, or flush "
                "once more, or take another liquid."
            )
        found.append(
            Obstacle(
                code="BW-F01" if change.world == "stylised" else "BW-F02",
                severity="C",
                subject=subject,
                text=f"The coldest liquid is {change.coldest - 273.15:.1f} degC and the mixture freezes at "
                f"{change.mixture.freezes - 273.15:.1f} degC: {change.freeze_margin:.1f} K, must be "
                f"{freeze:g} K.",
                remedy=remedy,
            )
        )
    if change.boil_margin < boil:
        found.append(
            Obstacle(
                code="BW-F05",
                severity="S",
                subject=subject,
                text=f"The hottest liquid is {change.hottest - 273.15:.1f} degC and the mixture boils at "
                f"{change.mixture.boils - 273.15:.1f} degC: {change.boil_margin:.1f} K, must be {boil:g} K.",
                remedy="Take another liquid, or hold the loop under more pressure.",
            )
        )
    if change.chillers_needed and isinstance(declared, Declared):
        needed = change.chillers_needed[1]
        if needed > declared.chillers:
            found.append(
                Obstacle(
                    code="BW-F31",
                    severity="W",
                    subject=declared.chiller_tags,
                    text=f"{needed} chillers are needed with the new liquid; there are {declared.chillers}.",
                    remedy=f"Add {needed - declared.chillers}, or more flow.",
                )
            )
    found += [
        Obstacle(
            code=upset.what, severity="W", subject=(upset.subject,), text=upset.text, remedy="See figures."
        )
        for upset in change.comparison.upsets
        if upset.design == 1 and upset.what != "ranks ignored"
    ]
    return found


def _drop(declared: Any) -> float:
    return float(declared.plant.drop) if isinstance(declared, Declared) else 0.0
