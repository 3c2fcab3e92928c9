"""The liquid's part of an assembly: inline elements, points and tanks."""

from collections.abc import Sequence

from brinewright.compile.elements import Element, Join, TankRecord
from brinewright.compile.ground import Ground
from brinewright.model.lowering import Names, Place, Stream


class Waterway(Ground):
    """What kinds may ask for on the liquid's way."""

    def inline(
        self,
        start: str,
        end: str,
        *,
        mass: float = 0.0,
        node: Place | None = None,
        conductance: float = 0.0,
        law: str = "",
        record: tuple[str, int] | None = None,
        steady: bool = False,
        capacity: Place | None = None,
        quadratic: Place | None = None,
        linear: Place | None = None,
        head: Place | None = None,
        droop: Place | None = None,
        check: bool = False,
        friction: tuple[float, float, float, float] | None = None,
        pressure: Place | None = None,
        pressure_loss: Place | None = None,
        before: bool = True,
        ahead: bool = False,
        mean: Place | None = None,
        loss: Place | None = None,
        rank: int = 0,
        names: Names | None = ("flow", "inlet temperature", "outlet temperature"),
        heat: str = "",
        begin: float | None = None,
    ) -> Stream:
        tag = self.here.tag
        if begin is None:
            begin = self.here.filling(start).temperature
        flow, inlet, outlet = names or ("", "", "")
        stream = Stream(
            self._named(flow, "kg/s", 0.0),
            self._named(inlet, "K", begin),
            self._named(outlet, "K", begin),
            self.hidden(start=conductance),
            self._named(heat, "W", 0.0),
        )
        self.elements.append(
            Element(
                tag=tag,
                start=f"{tag}.{start}",
                end=f"{tag}.{end}",
                mass=mass,
                node=node,
                law=record[0] if record else law,
                record=record[1] if record else -1,
                steady=steady,
                capacity=self._derated(start, end, capacity) if capacity is not None else None,
                quadratic=quadratic,
                linear=linear,
                head=head,
                droop=droop,
                check=check,
                friction=friction,
                pressure=pressure,
                pressure_loss=pressure_loss,
                level=self.level(start),
                before=before,
                ahead=ahead,
                mean=mean,
                loss=loss,
                stream=stream,
                rank=rank,
            )
        )
        return stream

    def _named(self, name: str | Place, unit: str, begin: float) -> Place:
        """Return a channel of a name, an unrecorded value for no name, or the place that is given."""
        if isinstance(name, Place):
            return name
        return self.channel(name, unit, begin) if name else self.hidden(start=begin)

    def level(self, port: str) -> float:
        """Return the height of a port above the datum of the site [m], from the ends of its lines."""
        return self.levels.get(f"{self.here.tag}.{port}", 0.0)

    def hold_pressure(self, tag: str, pressure: float) -> None:
        """Let a circuit without a tank have this pressure at a part or line [Pa]."""
        self.held_pressures[tag] = pressure

    def join(self, *ports: str, flow: Place | None = None, temperature: Place | None = None) -> None:
        self.joins.append(Join(tuple(f"{self.here.tag}.{port}" for port in ports), flow, temperature))

    def tank(
        self,
        ports: Sequence[str],
        *,
        law: str,
        node: Place,
        mass: Place,
        level: Place,
        least: float,
        most: float,
        full: float,
        base: float,
        height: float,
        gas_pressure: float,
        outlet: Place,
        inflow: Place,
        outflow: Place,
        loss: Place,
        around: Place | None = None,
        conductance: float = 0.0,
        layers: int = 0,
        spread: float = 0.0,
        inlet_height: float = 1.0,
        outlet_height: float = 0.0,
    ) -> None:
        tag = self.here.tag
        if law != "mixed":
            # its own law brings its temperature in step with its energy
            self.plain.remove(node)
            self.free.append(node)
        if law != "first in first out":  # that one is counted as a queue of parcels
            self.mass(mass)
        self.tanks.append(
            TankRecord(
                tag=tag,
                ports=tuple(f"{tag}.{port}" for port in ports),
                law=law,
                node=node,
                mass=mass,
                level=level,
                least=least,
                most=most,
                full=full,
                base=base,
                height=height,
                gas_pressure=gas_pressure,
                outlet=outlet,
                inflow=inflow,
                outflow=outflow,
                loss=loss,
                around=around,
                conductance=self.hidden(start=conductance),
                layers=layers,
                spread=spread,
                inlet_height=inlet_height,
                outlet_height=outlet_height,
            )
        )
