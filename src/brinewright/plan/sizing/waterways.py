"""The way of the liquid through tanks and chillers, for each of the six layouts."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from brinewright.model.loop import Drive, Sited
from brinewright.plan.sizing.design import Design
from brinewright.plan.sizing.draft import Draft
from brinewright.plan.sizing.judge import Judge

COVERED = 0.3
"""Height in the vessel at which chillers stand, so that its water covers them [m]."""
FLOW_PROOF = 0.05
"""Share of its full flow at which a chiller may run, where its entry proves less; common practice."""


class _Way:
    """What the layouts have in common while they are laid down."""

    def __init__(self, judge: Judge, design: Design, draft: Draft) -> None:
        self.judge, self.design, self.draft = judge, design, draft
        self.choice = design.choice
        self.flow = design.flow
        valve = judge.setting.stock.first("three-way valve", body="diverting")
        self.valve = valve
        self.stroke = valve.number("stroke_time", 0.0) if valve else 0.0

    def tank(self, use: str, tag: str) -> None:
        self.draft.part(tag, self.judge.tank, values={"volume": self.design.tanks[use]})

    def pump(self, tag: str) -> str:
        each, count = self.design.pumps[tag]
        return self.draft.part(tag, self.judge.mover, count=count, feeder="FD-901", values={"capacity": each})

    def diverter(self, tag: str) -> None:
        """A valve that lets liquid go on past the chillers when power is lost."""
        valve = self.judge.setting.one("three-way valve", body="diverting")
        known = self.judge.setting.stock.materials(valve)
        self.draft.part(
            tag,
            valve,
            material=known[0].name if known else "",
            feeder="FD-901",
            values={"fail_position": "b"},
        )

    def chillers(self, tag: str, count: int) -> None:
        chiller = self.choice.chiller
        proof, full = chiller.number("flow_proof"), chiller.number("capacity")
        self.draft.part(
            tag,
            self.choice.chiller,
            count=count,
            material=self.design.metals["chillers"],
            sited=Sited(inside="VE-301", height=COVERED),
            feeder="FD-902",
            values={"flow_proof": FLOW_PROOF * full} if proof < FLOW_PROOF * full else None,
        )

    def tee(self, tag: str) -> None:
        self.draft.part(tag, self.judge.setting.one("tee"))

    def junction(self, tag: str) -> None:
        self.draft.part(tag, self.judge.setting.one("priority junction"))

    def decision(self, number: int, line: str, start: str, flow: float, section: str, *, made: bool) -> None:
        """A line to a valve, with its sensor far enough ahead of it."""
        length, ahead = self.draft.lead(flow, self.stroke)
        self.draft.line(line, start, f"TV-{number}.in", length, flow, section)
        self.draft.high_switch(
            f"TSH-{number}",
            f"{line} at {round(length - ahead, 1):g} m",
            round(self.choice.set_point, 2),
            self.design.differential,
            (Drive(target=f"TV-{number}", made="a"),),
            made=made,
        )

    def supply(self, end: str, flow: float) -> None:
        """The supply tank and its pump; the line into the tank comes from `end`."""
        draft = self.draft
        draft.chapter("the supply tank takes the steps out of the supply")
        self.tank("supply", "TK-103")
        draft.line("L-131", end, "TK-103.in", 10.0, flow, "supply")
        draft.line("L-132", "TK-103.out", "P-103.in", 4.0, self.flow, "supply")
        self.pump("P-103")

    def warm(self) -> bool:
        """Whether liquid behind the return tank is above the set point at the start."""
        return self.design.first.hot + 0.2 > self.choice.set_point + self.design.differential


def series_string(judge: Judge, design: Design, draft: Draft) -> None:
    """L1: one decision before each stage."""
    way = _Way(judge, design, draft)
    draft.chapter("the return tank, and stage after stage: chill it, or let it pass")
    way.tank("return", "TK-101")
    draft.line("L-101", "TK-101.out", "P-101.in", 4.0, way.flow, "return")
    way.pump("P-101")
    start = "P-101.out"
    for stage, count in enumerate(design.bank.groups):
        number, chiller = 110 + 10 * stage, f"CH-{201 + stage}"
        valve, tee, section = f"TV-{number}", f"T-{number + 1}", f"stage {stage + 1}"
        way.diverter(valve)
        warm = design.first.hot - stage * way.choice.chiller.number("drop")
        way.decision(number, f"L-{number}A", start, way.flow, section, made=warm > way.choice.set_point)
        way.chillers(chiller, count)
        way.tee(tee)
        draft.line(f"L-{number}B", f"{valve}.a", f"{chiller}.in", 8.0, way.flow, section)
        draft.line(f"L-{number}C", f"{chiller}.out", f"{tee}.in", 8.0, way.flow, section)
        draft.line(f"L-{number}D", f"{valve}.b", f"{tee}.in", 4.0, way.flow, section)
        start = f"{tee}.out"
    way.supply(start, way.flow)


def parallel_bank(judge: Judge, design: Design, draft: Draft) -> None:
    """L3: one decision, one pass through a common header."""
    series_string(judge, design, draft)


def ring(judge: Judge, design: Design, draft: Draft) -> None:
    """L2: fresh liquid waits at a junction until a pass is released."""
    way = _Way(judge, design, draft)
    around = design.bank.circulated
    draft.chapter("the return tank")
    way.tank("return", "TK-101")
    draft.line("L-101", "TK-101.out", "P-101.in", 4.0, around, "return")
    way.pump("P-101")
    draft.chapter("the ring: what has been round goes before what is fresh")
    way.junction("J-111")
    draft.line("L-106", "P-101.out", "J-111.in", 6.0, around, "ring", rank=2)
    draft.line("L-107", "J-111.out", "CH-201.in", 8.0, around, "ring")
    way.chillers("CH-201", design.bank.chillers)
    way.diverter("TV-120")
    way.decision(120, "L-108", "CH-201.out", around, "ring", made=True)
    draft.line("L-109", "TV-120.a", "J-111.in", 10.0, around, "ring", rank=1)
    way.supply("TV-120.b", around)


def tank_bath(judge: Judge, design: Design, draft: Draft) -> None:
    """L4: groups of chillers, each with its pump and its switch, around one tank."""
    way = _Way(judge, design, draft)
    draft.chapter("the tank: chillers draw from it and give back to it, and so do the consumers")
    way.tank("return", "TK-101")
    rated = way.choice.chiller.number("capacity")
    for place, count in enumerate(design.bank.groups):
        pump, chiller = f"P-{201 + place}", f"CH-{201 + place}"
        base, flow = 201 + 10 * place, count * rated
        way.pump(pump)
        way.chillers(chiller, count)
        draft.line(f"L-{base}", "TK-101.out", f"{pump}.in", 4.0, flow, "chilling")
        draft.line(f"L-{base + 1}", f"{pump}.out", f"{chiller}.in", 8.0, flow, "chilling")
        draft.line(f"L-{base + 2}", f"{chiller}.out", "TK-101.in", 8.0, flow, "chilling")
        setting = way.choice.set_point + place * design.step
        draft.high_switch(
            f"TSH-{101 + place}",
            "TK-101 temperature",
            round(setting, 2),
            design.differential,
            (Drive(target=pump, made="run"),),
            made=design.first.hot >= setting,
        )
    draft.chapter("the consumers' pump")
    draft.line("L-132", "TK-101.out", "P-103.in", 4.0, way.flow, "supply")
    way.pump("P-103")


def two_circuits(judge: Judge, design: Design, draft: Draft) -> None:
    """L5: the chillers' circuit at its own flow; what the consumers do not take goes back."""
    way = _Way(judge, design, draft)
    around = design.bank.circulated
    draft.chapter("the chillers' circuit, at the full flow of its machines: chill it, or let it pass")
    way.tank("return", "TK-101")
    draft.line("L-101", "TK-101.out", "P-101.in", 4.0, around, "production")
    way.pump("P-101")
    way.diverter("TV-110")
    way.decision(110, "L-102", "P-101.out", around, "production", made=way.warm())
    way.chillers("CH-201", design.bank.chillers)
    way.tee("T-111")
    draft.line("L-103", "TV-110.a", "CH-201.in", 8.0, around, "production")
    draft.line("L-104", "CH-201.out", "T-111.in", 8.0, around, "production")
    draft.line("L-105", "TV-110.b", "T-111.in", 4.0, around, "production")
    way.supply("T-111.out", around)
    if "P-104" in design.pumps:
        back = around - way.flow
        draft.chapter("what the consumers do not take goes back: the two circuits need not agree on a flow")
        draft.line("L-134", "TK-103.out", "P-104.in", 4.0, back, "balance")
        way.pump("P-104")
        draft.line("L-135", "P-104.out", "TK-101.in", 6.0, back, "balance")


def two_tanks(judge: Judge, design: Design, draft: Draft) -> None:
    """L6: a first decision behind the return tank, a waiting tank, a ring with a second decision."""
    way = _Way(judge, design, draft)
    around = design.bank.circulated
    draft.chapter("the return tank, and the first decision: chill it, or send it straight on")
    way.tank("return", "TK-101")
    draft.line("L-101", "TK-101.out", "P-101.in", 4.0, way.flow, "return")
    way.pump("P-101")
    way.diverter("TV-110")
    way.decision(110, "L-102", "P-101.out", way.flow, "return", made=way.warm())
    draft.line("L-103", "TV-110.a", "TK-102.in", 6.0, way.flow, "return")
    draft.line("L-104", "TV-110.b", "J-131.in", 16.0, way.flow, "direct", rank=2)
    draft.chapter("the waiting tank and the ring: a drop a pass, as often as it takes")
    way.tank("waiting", "TK-102")
    way.pump("P-102")
    way.junction("J-111")
    way.chillers("CH-201", design.bank.chillers)
    way.diverter("TV-120")
    draft.line("L-105", "TK-102.out", "P-102.in", 4.0, around, "ring")
    draft.line("L-106", "P-102.out", "J-111.in", 6.0, around, "ring", rank=2)
    draft.line("L-107", "J-111.out", "CH-201.in", 8.0, around, "ring")
    way.decision(120, "L-108", "CH-201.out", around, "ring", made=True)
    draft.line("L-109", "TV-120.a", "J-111.in", 10.0, around, "ring", rank=1)
    draft.line("L-110", "TV-120.b", "J-131.in", 8.0, around, "ring", rank=1)
    draft.chapter("delivery: the ring's outlet goes first, the direct line takes what room is left")
    way.junction("J-131")
    way.supply("J-131.out", around)


WATERWAYS: Mapping[str, Callable[[Judge, Design, Draft], None]] = MappingProxyType(
    {
        "L1": series_string,
        "L2": ring,
        "L3": parallel_bank,
        "L4": tank_bath,
        "L5": two_circuits,
        "L6": two_tanks,
    }
)
