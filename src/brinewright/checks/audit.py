"""What the two laws of heat say of a loop, and whether a run keeps its books."""

from collections.abc import Iterable

from brinewright.checks.declared import Declared, declared_plant
from brinewright.checks.numbers import known, watts
from brinewright.laws import carnot
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure, Number


def too_good(case: Case) -> Iterable[Measure]:
    """Hold what each machine's law claims against the share of Carnot that can be built."""
    limit = case.margin("second_law")
    declared = case.once(declared_plant)
    if isinstance(declared, Declared):
        result = declared.closed_form()
        hot, cold = result.vessel_temperature, result.coldest
        if hot > cold:
            yield Measure(
                subject=declared.chiller_tags,
                value=result.implied_chiller_efficiency,
                limit=limit,
                quantity="ratio",
                bound="at most",
                text=f"From {cold - 273.15:.3g} to {hot - 273.15:.4g} degC the chillers cool "
                f"{result.performance:.3g} times their power, which is "
                f"{result.implied_chiller_efficiency:.0%} of what the second law allows.",
                numbers=(
                    known("COP", result.performance, "number", "cooling by electric power"),
                    known("COP_C", carnot.cooling_bound(cold, hot), "number", "bound of Carnot"),
                    known("T_out", cold, "temperature", "coldest outlet"),
                    known("T_ve", hot, "temperature", "of the vessel"),
                ),
            )
        return
    for tag, entry in case.audits.get("second_law", {}).items():
        if "performance" not in entry or "efficiency" not in entry:
            continue
        yield Measure(
            subject=(tag,),
            value=entry["efficiency"],
            limit=limit,
            quantity="ratio",
            bound="at most",
            text=f"{tag} cools {entry['performance']:.3g} times its power, which is "
            f"{entry['efficiency']:.0%} of what the second law allows between its temperatures.",
            numbers=(
                known("COP", entry["performance"], "number", "cooling by electric power"),
                known("COP_C", entry["carnot"], "number", "bound of Carnot"),
            ),
        )


def unaccounted(case: Case) -> Iterable[Measure]:
    """Tell how much heat the declared laws make vanish."""
    turbines = [view for view in case.parts if view.declares("threshold")]
    if not turbines:
        return
    declared = case.once(declared_plant)
    if isinstance(declared, Declared):
        result = declared.closed_form()
        share = result.turbines_power / result.turbine_heat if result.turbine_heat > 0.0 else 0.0
        vanished = result.turbine_unaccounted
        numbers: tuple[Number, ...] = (
            known("Phi_t", result.turbine_heat, "power", "taken by turbines"),
            known("P", result.turbines_power, "power", "electric"),
            known("Phi_case", result.casing_heat, "power", "of casings"),
            known("eta", share, "ratio", "of the turbines"),
            known("eta_C", result.carnot_bound_of_turbine, "ratio", "bound of Carnot down to the condensate"),
            known("eta_A", result.carnot_bound_to_surroundings, "ratio", "down to the surroundings"),
            known("G", result.bus_gain, "ratio", "turbine power gained by chiller power spent"),
        )
    else:
        vanished = 1000.0 * float(case.audits.get("heat_unaccounted_kW", 0.0))
        numbers = (known("Phi", vanished, "power", "of the shared run's first-law audit"),)
    yield Measure(
        subject=tuple(view.tag for view in turbines),
        value=vanished,
        limit=0.0,
        quantity="power",
        bound="at most",
        text=f"{watts(vanished)} of the heat that turbines take goes nowhere: the place declares it gone.",
        numbers=numbers,
    )


def open_books(case: Case) -> Iterable[Measure]:
    """Hold what the ledger of the shared run left open against its margin."""
    residual = case.residuals["energy"]
    yield Measure(
        subject=("SITE",),
        value=residual,
        limit=case.margin("energy_residual"),
        quantity="ratio",
        bound="at most",
        text=f"The shared run leaves {residual:.1e} of the heat exchanged open.",
        numbers=(known("r", residual, "ratio", "energy in, less out, less stored, by what was exchanged"),),
    )


CRITERIA = (
    Criterion(
        code="BW-F39",
        title="Better than the second law lets one build",
        severity="A",
        method="closed form",
        judge=too_good,
        formula="COP / COP_C > share that can be built",
        consequence="No such machine can be bought; above 1 it can't exist.",
        remedy="Take it as a declared law and say so, or calculate under real laws.",
        lesson="Lifting heat costs work, and the least of it is known since Carnot.",
        source="closed form: bound of Carnot",
    ),
    Criterion(
        code="BW-F63",
        title="Heat that goes nowhere",
        severity="A",
        method="closed form",
        judge=unaccounted,
        world="stylised",
        formula="Phi_t - P - Phi_case > 0",
        consequence="The plant works here and nowhere else.",
        remedy="Say so on every sheet; in a real plant a condenser and its sink must take it.",
        lesson="In a real place a turbine gives most of its heat to a condenser, not to the wire.",
        source="closed form: first law",
    ),
    Criterion(
        code="BW-F137",
        title="Books left open",
        severity="W",
        method="run",
        judge=open_books,
        formula="r > share that may be left open",
        consequence="No verdict from this run can be trusted.",
        remedy="Report it with the loop: the model is at fault.",
        lesson="If heat is missing from the sum, do not look at the answer yet.",
        source="closed form: first law",
    ),
)
