"""From a design to a loop: what all layouts have in common."""

import math
from dataclasses import dataclass, replace

from brinewright.model.loop import Circuit, Drive, Loop, Schedule, Value
from brinewright.plan.sizing.design import LEVELS, Design
from brinewright.plan.sizing.draft import Draft, commented
from brinewright.plan.sizing.judge import Judge
from brinewright.plan.sizing.layouts import LAYOUTS
from brinewright.plan.sizing.needs import heating_of
from brinewright.plan.sizing.stock import Item
from brinewright.plan.sizing.waterways import WATERWAYS

TAGS = {"return": "TK-101", "waiting": "TK-102", "supply": "TK-103"}
FEEDER_STEP = 10e3
"""Feeders are rated in steps of this [W]."""
TRIP_SHARE = 0.5
"""Where the vessel's trip is set, between the hottest of a fault and the first limit of its metal."""
TRIP_DIFFERENTIAL = 1.0
"""Differential of that trip [K]."""
CHARGED = 0.6
"""Charge of the battery at the start."""


@dataclass(frozen=True)
class Built:
    """A loop, and the text of its file."""

    loop: Loop
    text: str
    hold_up: float
    """Liquid in lines and parts, without the tanks [kg]."""


def build(judge: Judge, design: Design) -> Built:
    """Return the loop of a design, with tanks that can take the drained loop."""
    built = _build(judge, design)
    density = design.choice.liquid.density
    needed = built.hold_up * (1.0 + judge.setting.margin("drain")) / density
    free = sum(volume * (1.0 - design.levels[use]) for use, volume in design.tanks.items())
    if needed > free:
        grown = design.tanks["return"] + (needed - free) / (1.0 - LEVELS["return"])
        tanks = {**design.tanks, "return": math.ceil(grown * 10.0) / 10.0}
        return _build(judge, replace(design, tanks=tanks))
    return built


def _build(judge: Judge, design: Design) -> Built:
    setting, choice = judge.setting, design.choice
    draft = Draft(setting.pipe, choice.liquid.density)
    WATERWAYS[choice.layout](judge, design, draft)
    _consumers(judge, design, draft)
    _steam(judge, design, draft)
    _trip(judge, design, draft)
    _power(judge, design, draft)
    _tanks_begin(design, draft)
    middle = 0.5 * (design.peak.hot + design.mean.supply)
    circuit = Circuit(name="coolant", liquid=choice.liquid.name, at="TK-101", temperature=round(middle, 1))
    name = setting.brief.name or "A loop"
    loop = draft.loop(name, setting.brief.rulebook, setting.brief.site, circuit)
    area = {line.tag: math.pi * line.bore**2 / 4.0 for line in loop.lines}
    hold_up = sum(area[line.tag] * line.length for line in loop.lines) * choice.liquid.density
    for part in loop.parts:
        entry = setting.rules.entry(part.use)
        mass = part.values.get("hold_up", entry.values.get("hold_up", 0.0))
        hold_up += part.count * float(mass) if isinstance(mass, int | float) else 0.0
    head = f"{name}: {LAYOUTS[choice.layout].code}, {LAYOUTS[choice.layout].for_people}.\nSized from a brief."
    return Built(loop, commented(loop, head, draft.chapters), hold_up)


def _consumers(judge: Judge, design: Design, draft: Draft) -> None:
    setting = judge.setting
    draft.chapter("the consumers, each with the flow that keeps it below its limit")
    flow = design.flow
    several = len(setting.needs) > 1
    tee = setting.one("tee") if several else None
    if tee:
        draft.part("T-601", tee)
    longest = max(need.consumer.distance for need in setting.needs)
    draft.line("L-133", "P-103.out", "T-601.in" if several else _inlet(judge, 0), 10.0, flow, "supply")
    states = design.first
    for place, (need, share) in enumerate(zip(setting.needs, design.flows, strict=True)):
        values: dict[str, Value] = {**need.item.over, "capacity": share}
        heat = need.consumer.heat
        if heat is not None and "stream_heat_capacity" in need.item.values:
            values["flow"] = _stream_flow(judge, draft, place)
        elif heat is not None:
            values["gains" if "gains" in need.item.values else "heat"] = heat
        if not several:
            # or its pump would be shut in when it is
            values["when_stopped"] = "bypass"
        powered = need.item.has("electric_power") and need.item.values["electric_power"] != 0.0
        draft.part(need.tag, need.item, feeder="FD-903" if powered else "", values=values)
        section = (need.consumer.name or need.tag).split(" ")[0]
        top = need.consumer.height
        if several:
            draft.line(
                f"L-{601 + place}", "T-601.out", f"{need.tag}.in", max(need.consumer.distance, 1.0), share,
                section, levels=(0.5, 0.5 + top),
            )  # fmt: skip
        resistance = need.resistance(share, design.choice.liquid.heat_capacity)
        begins = need.temperature(setting.first.heats[place], states.supply, resistance)
        draft.start[need.tag] = {"temperature": round(min(max(begins, need.lowest), need.highest - 0.5), 1)}
    if tee:
        draft.part("T-602", tee)
        for place, (need, share) in enumerate(zip(setting.needs, design.flows, strict=True)):
            section = (need.consumer.name or need.tag).split(" ")[0]
            draft.line(
                f"L-{651 + place}", f"{need.tag}.out", "T-602.in", max(need.consumer.distance, 1.0), share,
                section, levels=(0.5 + need.consumer.height, 0.5),
            )  # fmt: skip
    used = [need.consumer.heat for need in setting.needs if isinstance(need.consumer.heat, str)]
    used += [v for need in setting.needs for v in need.item.over.values() if isinstance(v, str)]
    used += [v for h in setting.heatings for v in h.item.over.values() if isinstance(v, str)]
    used += [v for v in setting.brief.site.values() if isinstance(v, str)]
    draft.schedules += [schedule for schedule in setting.brief.schedules if schedule.name in used]
    jackets = _jackets(design)
    draft.chapter("on its way home the liquid cools the turbines' casings" if jackets else "the way home")
    trail = [f"{'T-602' if several else setting.needs[0].tag}.out"]
    for tag in jackets:
        trail += [f"{tag}.in", f"{tag}.out"]
    trail.append("TK-101.in")
    for place in range(0, len(trail), 2):
        length = max(20.0, 0.0 if several else longest) if place == 0 else 10.0
        draft.line(f"L-{141 + place // 2}", trail[place], trail[place + 1], length, flow, "return")


def _inlet(judge: Judge, place: int) -> str:
    return f"{judge.setting.needs[place].tag}.in"


def _jackets(design: Design) -> list[str]:
    """Return the tags of the turbines that the return line cools."""
    return list(_turbine_tags(design)) if design.choice.cooled.jacket else []


def _turbine_tags(design: Design) -> dict[str, int]:
    """Return turbines by tag with their number: one bank, or each by itself if it has its own enclosure."""
    choice = design.choice
    if not choice.turbines or choice.turbine is None:
        return {}
    if choice.cooled.enclosures > 1:
        return {f"ST-{401 + place}": 1 for place in range(choice.turbines)}
    return {"ST-401": choice.turbines}


def _stream_flow(judge: Judge, draft: Draft, place: int) -> float | str:
    """Return the flow of a stream whose heat is stated: a number, or the name of a schedule made for it."""
    need = judge.setting.needs[place]
    capacity = need.item.number("stream_heat_capacity")
    by_flow = capacity * max(need.around - need.item.number("wanted_temperature"), 1e-6)
    heat = need.consumer.heat
    if not isinstance(heat, str):
        return float(heat or 0.0) / by_flow
    known = judge.setting.brief.schedule(heat)
    name = f"{need.tag} flow"
    flows = tuple(value / by_flow for value in known.values)
    draft.schedules.append(
        Schedule(
            name=name,
            quantity="mass flow",
            times=known.times,
            values=flows,
            repeats=known.repeats,
            ramps=known.ramps,
        )
    )
    return name


def _steam(judge: Judge, design: Design, draft: Draft) -> None:
    setting, choice = judge.setting, design.choice
    draft.chapter("steam: chillers heat the vessel, turbines empty it")
    draft.part("VE-301", choice.vessel, material=design.metals["vessel"])
    first = design.first
    begins = min(first.vessel, design.hottest)
    if first.duty > 0.0:
        begins = max(begins, judge.steam(choice).stops + 0.5)
    draft.start["VE-301"] = {"temperature": round(begins, 1)}
    for tag, count in _turbine_tags(design).items():
        assert choice.turbine is not None
        draft.part(
            tag, choice.turbine, count=count, material=design.metals["turbines"],
            refers={"vessel": ("VE-301",)},
        )  # fmt: skip
        stops = choice.turbine.number("threshold") - choice.turbine.number("differential", 0.0)
        draft.start[tag] = {"running": first.vessel >= stops and first.duty > 0.0}
    tags = list(_turbine_tags(design))
    if judge.enclosure is not None:
        for place in range(choice.cooled.enclosures):
            draft.part(
                f"EN-{501 + place}", judge.enclosure, values={"gas": choice.cooled.gas},
                material=design.metals["enclosures"], refers={"around": (tags[place],)},
            )  # fmt: skip
    for heating in setting.heatings:
        draft.part(heating.source.tag, heating.item, refers={"into": ("VE-301",)})
    for source in setting.brief.sources:
        if source.into:
            draft.part(source.tag, _sourced(judge, source.tag), refers={"into": (source.into,)})
    relief = setting.stock.first("relief valve")
    if relief is not None:
        opens, limit = relief.number("opens_at"), design.metal_limits["vessel"][2]
        values: dict[str, Value] = {}
        if not design.hottest_in_a_fault < opens < limit:
            values["opens_at"] = round(0.5 * (design.hottest_in_a_fault + limit), 1)
        material = cheapest(judge, relief, design.hottest_in_a_fault)
        draft.part("PSV-301", relief, refers={"guards": ("VE-301",)}, material=material, values=values)


def _trip(judge: Judge, design: Design, draft: Draft) -> None:
    """Add the high switch of the vessel: it stops chillers and sources before any metal fails."""
    known = {name: row for name, row in design.metal_limits.items() if name != "enclosures"}
    spare = min(limit - max(fault, steady) for steady, fault, limit in known.values())
    setting = round(design.hottest_in_a_fault + TRIP_SHARE * spare, 1)
    drives = [
        Drive(target=part.tag, made="stop") for part in draft.parts if part.use == design.choice.chiller.use
    ]
    drives += [Drive(target=heating.source.tag, made="stop") for heating in judge.setting.heatings]
    draft.chapter("before any metal fails, what heats the vessel is stopped")
    draft.high_switch("TSHH-301", "VE-301 temperature", setting, TRIP_DIFFERENTIAL, tuple(drives), made=False)


def _sourced(judge: Judge, tag: str) -> Item:
    source = next(source for source in judge.setting.brief.sources if source.tag == tag)
    return heating_of(source, judge.setting.rules, judge.setting.brief.schedules).item


def cheapest(judge: Judge, item: Item, temperature: float) -> str:
    """Return the cheapest material at hand in which a small part can be had and that stands a temperature."""
    limit = judge.setting.margin("material")
    known = judge.setting.stock.materials(item)
    fitting = [material for material in known if temperature <= material.limit - limit]
    return fitting[0].name if fitting else (known[-1].name if known else "")


def _power(judge: Judge, design: Design, draft: Draft) -> None:
    setting = judge.setting
    draft.chapter("power: pumps and valves have a feeder of their own, apart from that of the chillers")
    bus = setting.stock.first("bus")
    if bus is None:
        return
    draft.part("SB-901", bus)
    feeder = setting.one("feeder")
    share = setting.margin("feeder")
    units = sum(count for _, count in design.pumps.values())
    draft.part("FD-901", feeder, values={"limit": _rated(units * judge.mover.number("power") / share)})
    chillers = design.bank.chillers * design.choice.chiller.number("power")
    draft.part("FD-902", feeder, values={"limit": _rated(chillers / share)})
    powers = [need.item.values.get("electric_power", 0.0) for need in setting.needs]
    if any(power != 0.0 for power in powers):
        most = sum(_most(power, setting.brief.schedules) for power in powers)
        draft.part("FD-903", feeder, values={"limit": _rated(most / share)})
    battery = setting.stock.first("battery")
    if battery is not None and design.battery > 0.0:
        peak = chillers + design.auxiliaries
        values: dict[str, Value] = {"energy": design.battery}
        if battery.number("discharge_power") < peak:
            values["discharge_power"] = _rated(peak)
        draft.part("BT-901", battery, values=values)
        draft.start["BT-901"] = {"charge": CHARGED}
    grid = setting.stock.first("grid")
    if grid is not None and setting.brief.at_hand.power > 0.0:
        draft.part("GR-901", grid, values={"import_limit": setting.brief.at_hand.power})


def _most(power: object, schedules: tuple[Schedule, ...]) -> float:
    if isinstance(power, int | float):
        return float(power)
    return max(next(schedule for schedule in schedules if schedule.name == power).values)


def _rated(power: float) -> float:
    """Return a power rounded up to what is made [W]."""
    return max(math.ceil(power / FEEDER_STEP - 1e-9), 1) * FEEDER_STEP


def _tanks_begin(design: Design, draft: Draft) -> None:
    """Let every tank begin where it rests: the return tank just above its boundary, the waiting tank warm."""
    first, drop = design.first, design.choice.chiller.number("drop")
    temperatures = {
        "return": first.hot + (0.2 if LAYOUTS[design.choice.layout].decides else 0.0),
        "waiting": design.choice.set_point + 0.6 * drop,
        "supply": first.supply,
    }
    for use in design.tanks:
        draft.start[TAGS[use]] = {"level": design.levels[use], "temperature": round(temperatures[use], 1)}
