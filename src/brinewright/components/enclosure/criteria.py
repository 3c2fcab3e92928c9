"""The faults that only an enclosure's gas can bring."""

from collections.abc import Iterable

from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

LOWEST_PURITY = 0.95
"""Hydrogen below which an alarm calls; IEC 60034-3, from memory."""
PURGED = 0.75
"""Share of inert gas before hydrogen or air may follow."""
BURNS = (0.04, 0.75)
"""Hydrogen in air that burns, by volume; ISO/TR 15916, from memory."""
SHARE_OF_LIMIT = 0.25
"""Share of the lower limit that a leak may reach in the room."""
LEAK_A_DAY = 0.30
"""Content of the enclosure that seals and joints let go each day; common practice."""
DAY = 86400.0
AIR_LIKE = ("air", "oxygen")
RICH = 0.235


def gas_of(case: Case, view: PartView) -> str:
    """Return the real gas in an enclosure, "" for vacuum or a declared one."""
    name = view.word("gas")
    return "" if name == "vacuum" else case.rules.gas(name).properties.lower()


def _with(case: Case, *gases: str) -> list[PartView]:
    return [view for view in case.of_kind("enclosure") if gas_of(case, view) in gases]


def can_burn(case: Case) -> Iterable[Measure]:
    """Hold each hydrogen enclosure, and the way its gas is changed, against what burns."""
    for view in _with(case, "hydrogen"):
        purity = view.number("purity")
        yield Measure(
            subject=(view.tag,),
            value=purity,
            limit=LOWEST_PURITY,
            quantity="ratio",
            bound="at least",
            text=f"{view.tag} holds {show(purity, 'ratio', digits=3)} hydrogen, the rest air; from "
            f"{show(BURNS[0], 'ratio', digits=3)} to "
            f"{show(BURNS[1], 'ratio', digits=3)} it burns.",
            numbers=(Number(symbol="y", value=purity, quantity="ratio", text=f"purity of {view.tag}"),),
        )
        sets = [item for item in case.of_kind("purge set") if view.tag in item.refers("serves")]
        wrong = _wrong_with(case, sets)
        yield Measure(
            subject=(view.tag, *(item.tag for item in sets)),
            value=float(len(wrong)),
            limit=0.0,
            quantity="count",
            bound="at most",
            text=f"{view.tag}: {'; '.join(wrong)}."
            if wrong
            else f"{view.tag} changes between air and hydrogen by way of a gas that cannot burn.",
            remedy="Purge with carbon dioxide or nitrogen to 75 % before hydrogen or air follows, with a "
            "spool piece that can join only one of them."
            if wrong
            else "",
        )


def _wrong_with(case: Case, sets: list[PartView]) -> list[str]:
    if not sets:
        return ["no purge set serves it, so air and hydrogen meet whenever it is filled or opened"]
    wrong = []
    for item in sets:
        gas = case.rules.gas(item.word("purge_gas")).properties.lower()
        if gas in (*AIR_LIKE, "hydrogen"):
            wrong.append(f"{item.tag} purges with {gas}")
        if not item.flag("interlocked"):
            wrong.append(f"{item.tag} can let in air and hydrogen at once")
        if item.declares("purge_content") and item.number("purge_content") < PURGED:
            wrong.append(
                f"{item.tag} lets hydrogen in at {show(item.number('purge_content'), 'ratio', digits=3)} "
                f"of purge gas"
            )
    return wrong


def air_gets_in(case: Case) -> Iterable[Measure]:
    """Hold the pressure of each hydrogen enclosure against that around it."""
    outside = case.site("ambient_pressure")
    for view in _with(case, "hydrogen"):
        inside = view.number("gas_pressure")
        yield Measure(
            subject=(view.tag,),
            value=inside,
            limit=outside,
            quantity="pressure",
            bound="at least",
            strict=True,
            text=f"{view.tag} holds its hydrogen at {show(inside, 'pressure', digits=4)}; around it "
            f"there are {show(outside, 'pressure', digits=4)}.",
            numbers=(
                Number(symbol="p_enc", value=inside, quantity="pressure", text=f"gas_pressure of {view.tag}"),
                Number(symbol="p_amb", value=outside, quantity="pressure", text="of the site"),
            ),
        )


def leak_gathers(case: Case) -> Iterable[Measure]:
    """Hold the ventilation of where a hydrogen enclosure stands against its leak."""
    from brinewright.laws.hydrogen import ventilation_flow

    outside = case.site("ambient_pressure")
    for view in _with(case, "hydrogen"):
        leak = LEAK_A_DAY * view.number("gas_volume") * view.number("gas_pressure") / outside / DAY
        needed = float(ventilation_flow(leak, SHARE_OF_LIMIT))
        room = case.views.get(view.inside)
        given = 0.0
        where = "no ventilation is stated where it stands"
        if room is not None and room.declares("ventilation"):
            given = _least(case, room) * 287.05 * 293.15 / outside
            where = f"{room.tag} is aired with {show(given, 'volume flow', digits=3)} at least"
        yield Measure(
            subject=(view.tag, room.tag) if room is not None else (view.tag,),
            value=given,
            limit=needed,
            quantity="volume flow",
            bound="at least",
            text=f"{view.tag} may lose {leak * DAY:.3g} m3 of hydrogen a day, which takes "
            f"{show(needed, 'volume flow', digits=3)} of air; {where}.",
            numbers=(
                Number(
                    symbol="q_leak",
                    value=leak,
                    quantity="volume flow",
                    text=f"{show(LEAK_A_DAY, 'ratio', digits=3)} of gas_volume a day, common practice",
                ),
                Number(symbol="LFL", value=BURNS[0], quantity="ratio", text="hydrogen in air"),
                Number(symbol="q_vent", value=given, quantity="volume flow", text="least ventilation stated"),
            ),
        )


def _least(case: Case, room: PartView) -> float:
    """Return the least ventilation of a room [kg/s]."""
    raw = room.raw("ventilation")
    if not isinstance(raw, str):
        return float(raw or 0.0)
    return min(next(schedule for schedule in case.loop.schedules if schedule.name == raw).values)


def asks_about_alloys(case: Case) -> Iterable[Measure]:
    """Ask about the metals that hydrogen touches."""
    for view in _with(case, "hydrogen"):
        machines = view.refers("around")
        metals = sorted({made.name for tag in (view.tag, *machines) if (made := case.views[tag].material)})
        told = f" of {', '.join(metals)}" if metals else ""
        yield _asked(view, f"Hydrogen at {_held(view)} touches {', '.join((view.tag, *machines))}{told}.")


def asks_about_oxygen(case: Case) -> Iterable[Measure]:
    """Ask about oil and heat beside oxygen."""
    for view in _with(case, "oxygen"):
        if view.number("purity") + 0.21 * (1.0 - view.number("purity")) > RICH:
            yield _asked(
                view, f"{view.tag} holds oxygen at {_held(view)} around {', '.join(view.refers('around'))}."
            )


def asks_about_breath(case: Case) -> Iterable[Measure]:
    """Ask what warns people of a gas that they cannot breathe."""
    for view in case.of_kind("enclosure"):
        gas = gas_of(case, view)
        if not gas or gas in AIR_LIKE:
            continue
        free = view.number("gas_volume") * view.number("gas_pressure") / case.site("ambient_pressure")
        where = f" in {view.inside}" if view.inside else ""
        yield _asked(view, f"{view.tag} would let go {free:.3g} m3 of {gas}{where}.")


def _held(view: PartView) -> str:
    return show(view.number("gas_pressure"), "pressure", digits=3)


def _asked(view: PartView, text: str) -> Measure:
    return Measure(subject=(view.tag,), value=0.0, limit=0.0, quantity="count", bound="at most", text=text)


CRITERIA = (
    Criterion(
        code="BW-F76",
        title="Hydrogen and air can meet",
        severity="S",
        method="structure",
        judge=can_burn,
        formula="y < 95 %, or air and hydrogen are not kept apart by a purge",
        consequence="The enclosure explodes.",
        remedy="Keep it pure, and change gas only by way of one that cannot burn.",
        lesson="Hydrogen alone does not burn, nor does air: never let them meet, not even while you fill.",
        source="limits after ISO/TR 15916, purity after IEC 60034-3 (from memory, verify)",
    ),
    Criterion(
        code="BW-F77",
        title="Hydrogen below the pressure around it",
        severity="S",
        method="closed form",
        judge=air_gets_in,
        formula="p_enc <= p_amb",
        consequence="Air is drawn in through every seal, until the mixture burns.",
        remedy="Hold it above the pressure of the place, with an alarm and a trip on low pressure.",
        lesson="Leaks go downhill: keep the hydrogen on top, so that it leaks out and no air leaks in.",
        source="IEC 60034-3 (from memory, verify)",
    ),
    Criterion(
        code="BW-F78",
        title="Hydrogen gathers where it leaks",
        severity="S",
        method="closed form",
        judge=leak_gathers,
        formula="q_vent < q_leak / (0.25 LFL)",
        consequence="Under the roof a cloud grows that any switch can light.",
        remedy="Air the place from its highest point, put a detector there, keep sparks away.",
        lesson="No seal is tight: what matters is that the leak is thinned faster than it comes.",
        source="IEC 60079-10-1 (from memory, verify); closed form: dilution to a quarter of the lower limit",
    ),
    Criterion(
        code="BW-F79",
        title="Hydrogen makes metal brittle",
        severity="C",
        method="question",
        judge=asks_about_alloys,
        formula="hard or high-strength steel stands in hydrogen",
        consequence="Shafts, bolts and springs crack without a warning.",
        remedy="Soft steels, austenitic ones, copper or aluminium; no hard bolts.",
        lesson="The smallest atom creeps into the strongest steel and splits it.",
        source="ISO/TR 15916 (from memory, verify)",
        question="Is every metal that hydrogen touches, bolts and springs too, known to stand it at this "
        "pressure and temperature?",
    ),
    Criterion(
        code="BW-F80",
        title="Oxygen beside oil, steel and heat",
        severity="S",
        method="question",
        judge=asks_about_oxygen,
        formula="y_O2 > 23.5 %",
        consequence="Oil, rubber and then the steel itself burn.",
        remedy="Take air or an inert gas; as coolant oxygen is no better than air.",
        lesson="In oxygen everything burns, and it cools no better than the air you had.",
        source="common practice, no source",
        question="Is everything inside free of oil and fit for oxygen, and why is it not air?",
    ),
    Criterion(
        code="BW-F81",
        title="Gas that no one can breathe",
        severity="S",
        method="question",
        judge=asks_about_breath,
        formula="y_O2 < 19.5 % or y_CO2 > 0.5 % where people are",
        consequence="Whoever enters falls down, and so does the one who comes to help.",
        remedy="Detectors, ventilation and an entry permit, wherever this gas, its purge and its vent are.",
        lesson="You cannot see, smell or feel that there is no air.",
        source="common practice, no source",
        question="Is the oxygen measured where this gas can gather, also while it is purged, and does no one "
        "enter without a permit?",
    ),
)
