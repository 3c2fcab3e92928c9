"""A design under real laws written down as a loop that runs."""

import math
from collections.abc import Mapping

from brinewright.model.brief import Brief
from brinewright.model.frozen import Frozen
from brinewright.model.loop import Circuit as LoopCircuit
from brinewright.model.loop import Drive, Line, Loop, Part, Sited, Switch, Value
from brinewright.model.rulebook import Rulebook
from brinewright.plan.sizing.real.circuits import EVAPORATOR_LOSS, VALVES_LOSS
from brinewright.plan.sizing.real.design import BAND, STAGE, Circuit, RealDesign
from brinewright.plan.sizing.real.piping import rounded_up, size_for
from brinewright.plan.sizing.stock import Stock

FROST_GUARD = 3.0
"""Evaporation above the liquid's freezing point at which a chiller stops itself [K], common practice."""
SHUT_OFF = 1.35
"""Pressure of a pump at no flow over that at its duty, common practice for flat curves."""
ROOM_BAND = 2.0
"""Differential of a room's own switch [K]."""
SPARE_WAITS = 1.5
"""How much warmer than the last working chiller's a spare one's switch is set [K]."""
SHARE_OF_MAIN = 0.7
"""Share of the way to the nearest consumer that the main goes."""
TANK_RISE, FIELD_RISE = 2.5, 3.0
"""Elevation of the tanks above the pumps, for the pumps' suction [m]."""
ROCK_ABOVE, ROCK_BAND = 3.0, 4.0
"""How far above its working temperature the vessel must be before the other heat is shut off [K]."""


class Writer:
    """Collects parts, lines and switches of one loop."""

    def __init__(self, brief: Brief, rules: Rulebook, design: RealDesign) -> None:
        self.brief = brief
        self.rules = rules
        self.design = design
        self.stock = Stock(rules, brief.at_hand)
        self.parts: list[Part] = []
        self.lines: list[Line] = []
        self.switches: list[Switch] = []
        self.start: dict[str, Mapping[str, Value]] = {}
        pipe = self.stock.first("pipe run", style="insulated") or self.stock.first("pipe run")
        assert pipe is not None
        self.pipe = pipe

    def part(self, tag: str, use: str, *, values: Mapping[str, Value] | None = None, **more: object) -> None:
        """Add a part."""
        self.parts.append(Part(tag=tag, use=use, values=Frozen(dict(values or {})), **more))  # type: ignore[arg-type]

    def line(self, tag: str, start: str, end: str, length: float, bore: float, section: str) -> None:
        """Add a line."""
        self.lines.append(
            Line(
                tag=tag,
                start=start,
                end=end,
                use=self.pipe.use,
                length=round(length, 1),
                bore=bore,
                section=section,
            )
        )

    def use(self, kind: str, **words: str) -> str:
        """Return the entry of the rulebook for a kind."""
        found = self.stock.first(kind, **words) or self.stock.first(kind)
        assert found is not None, kind
        return found.use

    # -- the whole

    def loop(self) -> Loop:
        """Return the loop."""
        design = self.design
        house = design.house.coolant
        circuits = [
            LoopCircuit(
                name="house", liquid=house.liquid.name, at="TK-101", temperature=round(house.mean * 2.0) / 2.0
            )
        ]
        self._chilling()
        self._consumers()
        self._steam()
        if design.field_circuit is not None:
            field = design.field_circuit.coolant
            circuits.append(
                LoopCircuit(
                    name="field",
                    liquid=field.liquid.name,
                    at="TK-801",
                    temperature=round(field.mean * 2.0) / 2.0,
                )
            )
            self._field(design.field_circuit)
        self._power()
        return Loop(
            name=self.brief.name,
            rulebook=self.brief.rulebook,
            site=self.brief.site,
            circuits=tuple(circuits),
            parts=tuple(self.parts),
            lines=tuple(self.lines),
            switches=tuple(self.switches),
            schedules=self.brief.schedules,
            start=Frozen(self.start),
        )

    def _pump(self, tag: str, circuit: Circuit) -> None:
        self.part(
            tag,
            self.use("pump"),
            feeder="FD-902",
            values={
                "duty_flow": rounded_up(circuit.flow / circuit.coolant.density, 0.5 / 3600.0),
                "duty_pressure": rounded_up(circuit.pressure, 5e3),
                "shut_off_pressure": rounded_up(SHUT_OFF * circuit.pressure, 5e3),
            },
        )

    def _tank(self) -> None:
        """Add the buffer tank: one that keeps its layers where the layout lives from them."""
        tanks = self.stock.items("buffer tank")
        layered = [item for item in tanks if item.entry.law == "stratified"]
        chosen = layered[0] if layered and self.design.choice.layout != "L4" else tanks[0]
        self.part(
            "TK-101", chosen.use, values={"volume": self.design.tanks["buffer"], "elevation": TANK_RISE}
        )
        self.start["TK-101"] = {
            "level": self.design.levels["buffer"],
            "temperature": round(self.design.supply * 2.0) / 2.0,
        }

    def _chilling(self) -> None:
        """Chillers in a bath beside the consumers' loop, or as a bank in it."""
        design = self.design
        self._tank()
        circuit = design.chilling
        in_line = design.choice.layout == "L3"
        bore, branch = circuit.main.bore, size_for(circuit.flow / design.choice.working, circuit.coolant).bore
        self.part("T-201", self.use("tee"))
        self.part("T-202", self.use("tee"))
        if not in_line:
            self._pump("P-201", circuit)
            self.line("L-201", "TK-101.out", "P-201.in", 8.0, bore, "chilling")
            self.line("L-202", "P-201.out", "T-201.in", 20.0, bore, "chilling")
        for number in range(design.chillers):
            tag = f"CH-{201 + number}"
            values: dict[str, Value] = {
                "cooling_capacity": design.nominal,
                "rated_flow": circuit.flow / design.chillers,
                "rated_loss": EVAPORATOR_LOSS + VALVES_LOSS,
            }
            if (guard := self._frost_guard()) is not None:
                values["lowest_evaporation"] = guard
            if in_line:
                values["leaving_temperature"] = design.supply
            self.part(
                tag,
                design.choice.chiller.use,
                material=design.metals["chillers"],
                sited=Sited(inside="VE-301", height=0.3),
                feeder="FD-901",
                shed=number + 1,
                values=values,
            )
            self.line(f"L-{211 + number}", "T-201.out", f"{tag}.in", 6.0, branch, "chilling")
            self.line(f"L-{221 + number}", f"{tag}.out", "T-202.in", 6.0, branch, "chilling")
            if not in_line:
                self._stage(number, tag)
        self.line("L-203", "T-202.out", "TK-101.in", 20.0, bore, "chilling")
        self._pump("P-101", design.house)
        self.line("L-101", "TK-101.out", "P-101.in", 6.0, design.house.main.bore, "supply")

    def _frost_guard(self) -> float | None:
        """Return where a chiller's own guard must stop it for this liquid [K]; None if it does anyway."""
        own = self.design.choice.chiller.number("lowest_evaporation", 0.0)
        least = self.design.house.coolant.freezes + FROST_GUARD
        return None if own >= least else math.ceil(2.0 * least) / 2.0

    def _stage(self, number: int, tag: str) -> None:
        """Start one chiller after the other by the tank's temperature."""
        setting = self.design.supply - 0.5 - BAND + STAGE * number
        if number >= self.design.choice.working:
            setting += SPARE_WAITS
        self.switches.append(
            Switch(
                tag=f"TSH-{101 + number}",
                sense="high",
                senses="TK-101 temperature",
                setting=round(setting * 10.0) / 10.0,
                differential=BAND,
                lag=20.0,
                start="made" if number == 0 else "broken",
                drives=(Drive(target=tag, made="run"),),
            )
        )

    def _consumers(self) -> None:
        design = self.design
        coolant = design.house.coolant
        near = min(load.consumer.distance for load in design.loads)
        main = max(1.0, SHARE_OF_MAIN * near)
        bore = design.house.main.bore
        self.part("T-601", self.use("tee"))
        self.part("T-602", self.use("tee"))
        self.line("L-102", "P-101.out", "T-601.in", main, bore, "supply")
        any_always = any(not load.takes_signal for load in design.loads)
        for number, load in enumerate(design.loads):
            consumer = load.consumer
            values: dict[str, Value] = {**consumer.values, "rated_flow": load.flow, "rated_loss": load.loss}
            if consumer.heat is not None:
                values["gains" if load.takes_signal else "heat"] = consumer.heat
            if load.takes_signal and not any_always and number == 0:
                values["when_stopped"] = "bypass"  # or the pump would have no way out
            self.part(consumer.tag, consumer.use, values=values, note=consumer.name)
            branch = size_for(load.flow, coolant).bore
            length = max(2.0, consumer.distance - main)
            section = consumer.name or consumer.tag
            self.line(f"L-{601 + number}", "T-601.out", f"{consumer.tag}.in", length, branch, section)
            self.line(f"L-{631 + number}", f"{consumer.tag}.out", "T-602.in", length, branch, section)
            rest = load.held if load.takes_signal else design.supply + load.mean / (load.conductance)
            self.start[consumer.tag] = {"temperature": round(rest * 2.0) / 2.0}
            if load.takes_signal:
                self.switches.append(
                    Switch(
                        tag=f"TSH-{601 + number}",
                        sense="high",
                        senses=f"{consumer.tag} temperature",
                        setting=round((load.held - 0.5 * ROOM_BAND) * 10.0) / 10.0,
                        differential=ROOM_BAND,
                        lag=60.0,
                        start="made",
                        drives=(Drive(target=consumer.tag, made="run"),),
                    )
                )
        home = "T-201.in" if design.choice.layout == "L3" else "TK-101.in"
        self.line("L-103", "T-602.out", home, main, bore, "return")

    def _steam(self) -> None:
        design = self.design
        self.part("VE-301", design.vessel.use, material=design.metals["vessel"])
        begins = round(design.vessel_temperature * 2.0) / 2.0
        self.start["VE-301"] = {"temperature": begins}
        if (relief := self.stock.first("relief valve")) is not None:
            area = self.design.relief_valve[1]
            area = max(relief.number("flow_area", 0.0), rounded_up(area, 1e-4))
            settings: dict[str, Value] = {"set_pressure": self.design.relief, "flow_area": area}
            self.part("PSV-301", relief.use, refers=Frozen({"guards": ("VE-301",)}), values=settings)
        if design.turbine is not None:
            self.part(
                "ST-401",
                design.turbine.item.use,
                count=design.choice.turbines,
                material=design.metals["turbines"],
                refers=Frozen({"vessel": ("VE-301",)}),
                values={"condenser_conductance": rounded_up(design.condenser, 1e3)},
            )
            self.start["ST-401"] = {"running": True}
        if design.choice.rock <= 0.0:
            return
        for number, (source, rock) in enumerate(
            zip((source for source in self.brief.sources if not source.into), design.rocks, strict=True)
        ):
            values: dict[str, Value] = dict(source.values)
            if rock.share < 1.0:
                values["flow"] = rock.share * rock.item.number("flow")
            self.part(source.tag, source.use, refers=Frozen({"into": ("VE-301",)}), values=values)
            self.switches.append(
                Switch(
                    tag=f"TSH-{301 + number}",
                    sense="high",
                    senses="VE-301 temperature",
                    setting=round((design.vessel_temperature + ROCK_ABOVE) * 2.0) / 2.0,
                    differential=ROCK_BAND,
                    start="broken",
                    drives=(Drive(target=source.tag, made="stop"),),
                )
            )

    def _field(self, circuit: Circuit) -> None:
        sink = self.brief.sinks[0]
        bore = circuit.main.bore
        tank = self.use("buffer tank")
        self.part("TK-801", tank, values={"volume": self.design.tanks["field"], "elevation": FIELD_RISE})
        self._pump("P-801", circuit)
        self.part(sink.tag, sink.use, count=self.design.radiators, values=sink.values, note=sink.name)
        self.line("L-801", "TK-801.out", "P-801.in", 6.0, bore, "field")
        self.line("L-802", "P-801.out", "ST-401.cooling-in", 30.0, bore, "field")
        self.line("L-803", "ST-401.cooling-out", f"{sink.tag}.in", sink.distance, bore, "field")
        self.line("L-804", f"{sink.tag}.out", "TK-801.in", sink.distance, bore, "field")
        self.start["TK-801"] = {
            "level": self.design.levels["field"],
            "temperature": round(self.design.cooling[0]),
        }

    def _power(self) -> None:
        brief = self.brief
        self.part("SB-901", self.use("bus"))
        self.part("FD-901", self.use("feeder"))
        self.part("FD-902", self.use("feeder"))
        if self.design.battery > 0.0 and self.stock.first("battery"):
            self.part("BT-901", self.use("battery"))
            self.start["BT-901"] = {"charge": 0.6}
        if brief.at_hand.power > 0.0:
            self.part("GR-901", self.use("grid"), values={"import_limit": brief.at_hand.power})


def written(brief: Brief, rules: Rulebook, design: RealDesign) -> Loop:
    """Return the loop of a design, runnable as it is."""
    return Writer(brief, rules, design).loop()
