"""Whether there are chillers enough, with one less too."""

from collections.abc import Iterable, Sequence

from brinewright.checks.circulation import limit as flow_limit
from brinewright.checks.declared import Declared, declared_plant
from brinewright.checks.loads import consumer_heat
from brinewright.checks.numbers import known, watts
from brinewright.checks.real_machines import Chiller
from brinewright.checks.timeline import Timeline
from brinewright.laws import stylised
from brinewright.model.case import Case
from brinewright.model.criterion import Criterion, Measure
from brinewright.model.part_view import PartView


def chillers(case: Case) -> Sequence[PartView]:
    """Return what takes heat out of liquid that passes, in order of tags."""
    return case.playing("cooler")


def full_cooling(case: Case, view: PartView) -> float:
    """Return the cooling of a bank at full load, at the temperatures of the shared run [W]."""
    if view.declares("drop"):
        return view.count * view.number("capacity") * view.heat_capacity * view.number("drop")
    hot = case.seen(view.tag, "metal temperature")
    return Chiller(case, view).full(hot.mean if hot else view.working_mean)[0]


def loop_load(case: Case) -> float:
    """Return the mean heat that chillers must take, casings counted that the loop cools [W]."""
    declared = case.once(declared_plant)
    if isinstance(declared, Declared):
        return declared.closed_form().loop_load
    total = 0.0
    for view in case.playing("consumer"):
        seen = case.seen(view.tag, "cooling") if view.connected("in") else None
        total += seen.mean if seen else 0.0
    return total


def too_few(case: Case) -> Iterable[Measure]:
    """Hold all chillers at full load against the mean load with its feedback."""
    views = chillers(case)
    if not views:
        return
    capacity = sum(full_cooling(case, view) for view in views)
    load = case.once(loop_load)
    declared = case.once(declared_plant)
    numbers = [
        known("Phi_ch", capacity, "power", "of all chillers at full load"),
        known("Phi_loop", load, "power", "mean, casings counted that the loop cools"),
    ]
    if isinstance(declared, Declared):
        result = declared.closed_form()
        numbers += [
            known("Phi_1", result.chiller_duty, "power", "of one chiller at full flow"),
            known("n", result.mean_passes, "number", "mean passes"),
            known("q", declared.plant.flow, "mass flow", "through the consumers"),
            known("q_max", declared.plant.rated_flow, "mass flow", "of one chiller"),
            known("N_needed", float(result.chillers), "count", "fewest that carry the load"),
            known("q_next", result.next_pass_flow, "mass flow", "of a ring that makes one pass more"),
        ]
    yield Measure(
        subject=tuple(view.tag for view in views),
        value=capacity,
        limit=load,
        quantity="power",
        bound="at least",
        text=f"Together the chillers take {watts(capacity)}; the loop gives them {watts(load)}.",
        numbers=tuple(numbers),
    )


def one_less(case: Case) -> Iterable[Measure]:
    """Hold the chillers without the largest against the essential load."""
    views = chillers(case)
    if not views:
        return
    consumers = [view for view in case.playing("consumer") if view.connected("in")]
    essential = [view for view in consumers if view.flag("essential")] or consumers
    largest = max(views, key=lambda view: full_cooling(case, view) / view.count)
    declared = case.once(declared_plant)
    capacity = sum(full_cooling(case, view) for view in views) - full_cooling(case, largest) / largest.count
    if isinstance(declared, Declared):
        timeline = Timeline(case.loop)
        plant = declared.plant
        supply = plant.set_point - 0.5 * plant.drop
        share = plant.flow / len(consumers)

        def heat(time: float) -> float:
            return sum(
                consumer_heat(view, timeline, time, supply, share, plant.surroundings) for view in essential
            )

        needed = timeline.span(heat)[1] if len(essential) < len(consumers) else plant.load
        count = declared.turbines
        carried = stylised.load_carried(declared.effective(count), declared.chillers - 1, count)
    else:
        seen = [case.seen(view.tag, "cooling") for view in essential]
        needed, carried = sum(each.mean for each in seen if each), capacity
    all_of_them = case.once(loop_load)
    yield Measure(
        subject=(largest.tag, *(view.tag for view in essential if view.flag("essential"))),
        value=carried,
        limit=needed,
        quantity="power",
        bound="at least",
        text=f"With one unit of {largest.tag} lost, "
        + (
            "nothing is left for consumers"
            if carried <= 0.0
            else f"the rest carries {watts(carried)} of them"
        )
        + "; "
        f"{'what is essential' if len(essential) < len(consumers) else 'they'} "
        f"{'needs' if len(essential) < len(consumers) else 'need'} {watts(needed)}.",
        numbers=(
            known("Phi_ch", capacity, "power", "of the chillers that are left"),
            known("Phi_c", carried, "power", "of consumers that they carry, casings taken off"),
            known("Phi_e", needed, "power", "essential load, mean"),
            known("Phi_shed", max(needed - carried, 0.0), "power", "to be shed until it is back"),
            known("Phi_loop", all_of_them, "power", "mean of the whole loop"),
        ),
    )


def too_much_flow(case: Case) -> Iterable[Measure]:
    """Hold what the movers behind each group of chillers push against what the chillers let pass."""
    groups: dict[frozenset[str], list[PartView]] = {}
    for view in chillers(case):
        if view.has("capacity"):
            groups.setdefault(movers_behind(case, view.tag), []).append(view)
    for movers, views in sorted(groups.items(), key=lambda item: item[1][0].tag):
        if not movers:
            continue
        pushed = sum(flow_limit(case.views[tag]) for tag in movers)
        passed = sum(flow_limit(view) for view in views)
        if pushed >= 1e6:
            continue
        yield Measure(
            subject=(*(view.tag for view in views), *sorted(movers)),
            value=pushed,
            limit=passed,
            quantity="mass flow",
            bound="at most",
            text=f"{' and '.join(sorted(movers))} can push {pushed:.4g} kg/s; the chillers let "
            f"{passed:.4g} kg/s pass.",
            numbers=(
                known("q_P", pushed, "mass flow", "of the movers behind them"),
                known("N q_max", passed, "mass flow", "of the chillers"),
            ),
        )


def movers_behind(case: Case, tag: str) -> frozenset[str]:
    """Return the movers from which liquid comes to a chiller without passing a store or another chiller."""
    found: set[str] = set()
    seen, waiting = {tag}, [tag]
    while waiting:
        for line in case.into(waiting.pop()):
            before = line.start.partition(".")[0]
            if before in seen:
                continue
            seen.add(before)
            view = case.views[before]
            if view in case.playing("mover"):
                found.add(before)
            elif view not in case.playing("store") and view not in chillers(case):
                waiting.append(before)
    return frozenset(found)


CRITERIA = (
    Criterion(
        code="BW-F33",
        title="More flow than the chillers let pass",
        severity="W",
        method="closed form",
        judge=too_much_flow,
        formula="q_P > N q_max",
        consequence="Liquid backs up before the chillers, or wears them out.",
        remedy="Add a chiller, or take a smaller pump.",
        lesson="A door lets through what it is wide, however hard one pushes.",
        source="closed form: the largest flow is the smallest cut",
    ),
    Criterion(
        code="BW-F34",
        title="Not enough chillers",
        severity="C",
        method="closed form",
        judge=too_few,
        formula="Phi_ch < Phi_loop",
        consequence="The warm side climbs for ever, and consumers get less and less.",
        remedy="Add a chiller, or shed load.",
        lesson="What comes in each second must go out each second; a tank only lends time.",
        source="closed form: balance of the loop",
    ),
    Criterion(
        code="BW-F35",
        title="One chiller lost is too much",
        severity="W",
        method="contingency",
        judge=one_less,
        formula="Phi_c(N - 1) < Phi_e",
        consequence="Until it is repaired, what is essential gets warm, or something must be shed.",
        remedy="Add a chiller, or agree now what is shed first, and how much of it.",
        lesson="A machine that is needed all day has no day for repair.",
        source="closed form: balance of the loop",
    ),
)
