"""The faults of a vessel's guard: relief that is missing or too small, and the vacuum when it cools."""

from collections.abc import Iterable, Sequence

from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number
from brinewright.model.part_view import PartView
from brinewright.units import show

ROOM = 293.15
"""Temperature to which a vessel is taken to cool where its surroundings are not known [K]."""


def relief(case: Case) -> Iterable[Measure]:
    """Hold the relief of each vessel that can be over-pressed against what it must let go."""
    for vessel in case.of_kind("steam vessel"):
        is_real = vessel.declares("design_pressure")
        if not is_real and not vessel.has("relief_temperature"):
            continue
        valves = [view for view in case.of_kind("relief valve") if vessel.tag in view.refers("guards")]
        safe = [view for view in valves if _is_free(view)]
        if not safe or not is_real:
            yield Measure(
                subject=(vessel.tag, *(view.tag for view in valves)),
                value=float(len(safe)),
                limit=1.0,
                quantity="count",
                bound="at least",
                text=_told(vessel, valves, safe),
                remedy=""
                if safe
                else f"Put a relief valve on {vessel.tag} that nothing can shut off and that "
                "blows to a safe place.",
            )
        for view in safe:
            if is_real:
                yield _opens(vessel, view)
        if is_real and safe:
            yield _area(case, vessel, safe)


def _is_free(view: PartView) -> bool:
    return view.word("isolated") != "single valve" and view.word("discharge") != "where it is sited"


def _told(vessel: PartView, valves: Sequence[PartView], safe: Sequence[PartView]) -> str:
    if not valves:
        return f"Nothing relieves {vessel.tag} when its steam cannot leave."
    if safe:
        return f"{', '.join(view.tag for view in safe)} relieves {vessel.tag}, free and to a safe place."
    why = [
        f"{view.tag} blows into the space where it is sited"
        if view.word("discharge") == "where it is sited"
        else f"a single valve can shut {view.tag} off"
        for view in valves
    ]
    return f"{vessel.tag}: {'; '.join(why)}."


def _opens(vessel: PartView, valve: PartView) -> Measure:
    design, opens = vessel.number("design_pressure"), valve.number("set_pressure")
    return Measure(
        subject=(valve.tag, vessel.tag),
        value=opens,
        limit=design,
        quantity="pressure",
        bound="at most",
        text=f"{valve.tag} opens at {show(opens, 'pressure', digits=4)}; {vessel.tag} is built for "
        f"{show(design, 'pressure', digits=4)}.",
        numbers=(
            Number(symbol="p_set", value=opens, quantity="pressure", text=f"set_pressure of {valve.tag}"),
            Number(symbol="p_design", value=design, quantity="pressure", text=f"of {vessel.tag}"),
        ),
    )


def _area(case: Case, vessel: PartView, valves: Sequence[PartView]) -> Measure:
    from brinewright.fluids import property_value
    from brinewright.laws.vessel import relief_area, relief_flow

    first = min(valves, key=lambda view: view.number("set_pressure"))
    relieving = first.number("set_pressure") + first.number("overpressure") * (
        first.number("set_pressure") - case.site("ambient_pressure")
    )
    temperature = float(property_value("water", "boiling point", pressure=relieving).value)
    latent = float(property_value("water", "latent heat", pressure=relieving).value)
    sources = heat_when_blocked(case, vessel, temperature)
    heat = sum(amount for _, amount in sources)
    flow = float(relief_flow(heat, latent))
    needed = float(relief_area(flow, relieving, first.number("discharge_coefficient"), 1.0, 1.0, 1.0))
    installed = sum(view.number("flow_area") * view.count for view in valves)
    told = ", ".join(f"{tag} {show(amount, 'power', digits=3)}" for tag, amount in sources)
    return Measure(
        subject=(vessel.tag, *(view.tag for view in valves)),
        value=installed,
        limit=needed,
        quantity="area",
        bound="at least",
        text=f"With every outlet of {vessel.tag} shut, {show(heat, 'power', digits=3)} ({told}) makes "
        f"{flow:.3g} kg/s of steam at {show(relieving, 'pressure', digits=3)}: it takes "
        f"{needed * 1e6:.0f} mm2, and {installed * 1e6:.0f} mm2 are there.",
        numbers=(
            Number(symbol="Phi", value=heat, quantity="power", text=f"into {vessel.tag}: {told}"),
            Number(
                symbol="p_1",
                value=relieving,
                quantity="pressure",
                text=f"set_pressure of {first.tag} and its overpressure",
            ),
            Number(symbol="h_fg", value=latent, quantity="specific energy", text="of water at p_1"),
            Number(symbol="q", value=flow, quantity="mass flow", text="Phi / h_fg"),
            Number(
                symbol="K_d",
                value=first.number("discharge_coefficient"),
                quantity="ratio",
                text=f"discharge_coefficient of {first.tag}",
            ),
            Number(symbol="A_req", value=needed, quantity="area", text="at dry saturated steam"),
        ),
    )


def heat_when_blocked(case: Case, vessel: PartView, temperature: float) -> list[tuple[str, float]]:
    """Return what still heats a vessel at its relieving temperature, and how much [W].

    Chillers count with their reject at the reference point: no guard of theirs is relied on.
    """
    found = []
    for view in _heating(case, vessel):
        heat = _heat(view, temperature)
        if heat > 0.0:
            found.append((view.tag, heat))
    return found


def _heating(case: Case, vessel: PartView) -> list[PartView]:
    return [
        view
        for view in case.views.values()
        if vessel.tag in view.refers("into") or (view.inside == vessel.tag and view.gives("reject"))
    ]


def _heat(view: PartView, temperature: float) -> float:
    if view.declares("store_temperature"):
        stream = view.peak("flow") * view.number("stream_heat_capacity") * view.count
        return stream * view.number("effectiveness") * (view.number("store_temperature") - temperature)
    if view.declares("contact_temperature"):
        return view.number("conductance") * view.count * (view.peak("contact_temperature") - temperature)
    if view.declares("cooling_capacity"):
        from brinewright.laws.chilling import cooling_performance, heat_rejected

        cold, hot = view.number("evaporator_approach"), view.number("condenser_approach")
        performance = cooling_performance(
            view.number("reference_evaporation") + cold,
            view.number("reference_condensation") - hot,
            cold,
            hot,
            view.number("second_law_efficiency"),
            view.number("highest_performance"),
        )
        return float(heat_rejected(view.number("cooling_capacity") * view.count, performance))
    if view.declares("table"):
        return max(row[2] + row[3] for row in view.rows("table")) * view.count
    return view.peak("power") * view.count if view.declares("power") else 0.0


def vacuum(case: Case) -> Iterable[Measure]:
    """Hold the pressure of the cold vessel against the lowest that it is built for."""
    from brinewright.fluids import property_value

    for vessel in case.of_kind("steam vessel"):
        if not vessel.declares("lowest_pressure"):
            continue
        cold = max(min(case.site("ambient_temperature") or ROOM, ROOM), 273.16)
        air = vessel.number("air_mass") * 287.05 * cold / vessel.number("volume")
        pressure = float(property_value("water", "saturation pressure", temperature=cold).value) + air
        lowest = vessel.number("lowest_pressure")
        yield Measure(
            subject=(vessel.tag,),
            value=pressure,
            limit=lowest,
            quantity="pressure",
            bound="at least",
            text=f"When {vessel.tag} cools to {show(cold, 'temperature', digits=3)}, "
            f"{pressure / 1e5:.3g} bar abs is left in it.",
            numbers=(
                Number(
                    symbol="T_cold", value=cold, quantity="temperature", text="of the place, 20 degC at most"
                ),
                Number(symbol="p_cold", value=pressure, quantity="pressure", text="vapour, and air shut in"),
                Number(
                    symbol="p_low", value=lowest, quantity="pressure", text="lowest_pressure it is built for"
                ),
            ),
        )


def _real_vessels(case: Case) -> list[PartView]:
    return [view for view in case.of_kind("steam vessel") if view.declares("design_pressure")]


def asks_about_water(case: Case) -> Iterable[Measure]:
    """Ask how the vessel's water is treated."""
    for vessel in _real_vessels(case):
        yield _asked(
            vessel, f"{vessel.tag} holds {show(vessel.number('water_mass'), 'mass', digits=4)} of water."
        )


def asks_about_losses(case: Case) -> Iterable[Measure]:
    """Ask how lost water is noticed."""
    for vessel in _real_vessels(case):
        mass = case.seen(vessel.tag, "mass")
        told = f" Its charge varies by {mass.max - mass.min:.0f} kg in a sound day." if mass else ""
        yield _asked(
            vessel,
            f"{vessel.tag} is charged with {show(vessel.number('water_mass'), 'mass', digits=4)}.{told}",
        )


def asks_about_access(case: Case) -> Iterable[Measure]:
    """Ask how anyone gets at the vessel once it is closed."""
    for vessel in case.of_kind("steam vessel"):
        inside = sorted(view.tag for view in case.views.values() if view.inside == vessel.tag)
        told = f", and {', '.join(inside)} inside it" if inside else ""
        yield _asked(vessel, f"{vessel.tag} holds {show(vessel.number('volume'), 'volume', digits=3)}{told}.")


def asks_about_air(case: Case) -> Iterable[Measure]:
    """Ask how air gets out of a vessel of steam, and say how far a pressure switch would be misled."""
    for vessel in _real_vessels(case):
        seen, ambient = case.seen(vessel.tag, "temperature"), case.site("ambient_pressure")
        if seen is None or ambient <= 0.0:
            continue
        air = ambient * seen.mean / ROOM  # a gas in a fixed space
        yield _asked(
            vessel,
            f"Air sealed into {vessel.tag} at {show(ambient, 'pressure', digits=3)} and 20 degC would add "
            f"{show(air, 'pressure', digits=3)} at {show(seen.mean, 'temperature', digits=4)}.",
        )


def asks_about_isolation(case: Case) -> Iterable[Measure]:
    """Ask how people are kept apart from steam."""
    for vessel in _real_vessels(case):
        hot = case.seen(vessel.tag, "temperature")
        if hot is not None and hot.max > 373.15:
            yield _asked(vessel, f"{vessel.tag} works at up to {show(hot.max, 'temperature', digits=4)}.")


def _asked(vessel: PartView, text: str) -> Measure:
    return Measure(subject=(vessel.tag,), value=0.0, limit=0.0, quantity="count", bound="at most", text=text)


CRITERIA = (
    Criterion(
        code="BW-F54",
        title="Relief missing, too small or blocked",
        severity="S",
        method="closed form",
        judge=relief,
        formula="there is no free relief, p_set > p_design, or A < A_req with A_req in mm2 = "
        "190.5 q / (p_1 K_d), q in kg/h, p_1 in kPa",
        consequence="The vessel bursts, or scalds whoever stands beside it.",
        remedy="A relief valve large enough, that nothing can shut off, blowing to a safe place.",
        lesson="Every closed pot on a fire needs a way out that opens by itself.",
        source="API 520-1, steam in critical flow (from memory, verify)",
    ),
    Criterion(
        code="BW-F55",
        title="Vessel crushed by vacuum",
        severity="C",
        method="closed form",
        world="real",
        judge=vacuum,
        formula="p_sat(T_cold) + p_air < p_low",
        consequence="The vessel buckles as it cools.",
        remedy="Build it for full vacuum, or give it a vacuum breaker.",
        lesson="Shut steam in and let it cool: the steam is gone, and the whole sky presses on the shell.",
        source="closed form: vapour pressure after IAPWS R6-95(2018)",
    ),
    Criterion(
        code="BW-F69",
        title="Water not treated",
        severity="W",
        method="question",
        world="real",
        judge=asks_about_water,
        formula="the water is not degassed, treated, sampled or blown down",
        consequence="Oxygen pits the steel and scale covers the condensers.",
        remedy="Degas, hold the pH, take samples, blow down.",
        lesson="What boils away is pure: everything else stays in the vessel and gathers.",
        source="common practice, no source",
        question="Is the water degassed and treated, is it sampled, and can the vessel be blown down?",
    ),
    Criterion(
        code="BW-F70",
        title="Water lost unseen",
        severity="W",
        method="question",
        world="real",
        judge=asks_about_losses,
        formula="what is added is not metered",
        consequence="Drains and vents dry the vessel out, months later.",
        remedy="Meter what is added, and look for the leak when it grows.",
        lesson="A closed vessel needs no water; if yours does, look where it goes.",
        source="common practice, no source",
        question="Is the make-up metered, and at which amount a month does someone look for the leak?",
    ),
    Criterion(
        code="BW-F56",
        title="Air with the steam",
        severity="W",
        method="question",
        world="real",
        judge=asks_about_air,
        formula="p > 1.05 p_sat(T)",
        consequence="Condensers lie under a blanket of air, and a pressure switch takes it for heat.",
        remedy="Evacuate the vessel, or vent it until steam alone comes out, each time it was open.",
        lesson="A gauge adds up whatever presses; only a thermometer beside it tells steam from air.",
        source="closed form: Dalton's law",
        question="Is the air let out on each warm-up, and are pressure and temperature compared afterwards?",
    ),
    Criterion(
        code="BW-F71",
        title="Vessel cannot be reached",
        severity="A",
        method="question",
        judge=asks_about_access,
        formula="there is no manway, sensor well or inspection opening",
        consequence="What fails inside cannot be mended without cutting it open.",
        remedy="Build manway, wells and openings before the place around it is closed.",
        lesson="Before you close it for good, ask how you will get back in.",
        source="common practice, no source",
        question="Can each machine and sensor inside be reached and taken out once the building is closed?",
    ),
    Criterion(
        code="BW-F127",
        title="Steam behind a single valve",
        severity="S",
        method="question",
        world="real",
        judge=asks_about_isolation,
        formula="what is above 100 degC stands behind one valve where people work",
        consequence="One leaking valve scalds whoever has opened the line behind it.",
        remedy="Two valves with a bleed between them, locked and tagged.",
        lesson="Never trust your skin to one valve.",
        source="common practice, no source",
        question="Is each place where someone opens a steam line parted from steam by two valves with a "
        "bleed between, and can they be locked?",
    ),
)
