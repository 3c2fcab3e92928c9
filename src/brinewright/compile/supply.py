"""The electric part of an assembly: loads, buses, feeders, batteries, grids."""

from collections.abc import Sequence

from brinewright.compile.elements import Load
from brinewright.compile.ground import Ground
from brinewright.errors import InputError
from brinewright.model.lowering import BusPlaces, Place, PowerWay


class Supply(Ground):
    """What kinds may ask for of the power."""

    def load(self, watts: Place, rated: float, starting: float = 0.0) -> Place:
        if rated > 0.0 and not self.recorded[watts]:
            raise RuntimeError(f"{self.here.tag}: what it draws must be a channel, or the ledger misses it")
        powered = self.position("powered", 1.0)
        self.loads.append(Load(self.here.tag, watts, powered, rated, starting))
        return powered

    def generation(self, watts: Place) -> None:
        self.generators.append((self.here.tag, watts))

    def bus(
        self, *, sheds: bool, back: float, nominal: float = 0.0, lowest: float = 0.0, strength: float = 0.0
    ) -> BusPlaces:
        self.buses[self.here.tag] = {
            "sheds": sheds, "back": back, "nominal": nominal, "lowest": lowest, "strength": strength,
            "takes loads": True, "dip": self.hidden(), "live": self.position("live", 1.0),
            "generated": self.channel("generated", "W"), "drawn": self.channel("drawn", "W"),
            "balance": self.channel("balance", "W"), "imported": self.channel("imported", "W"),
            "short": self.channel("short", "W"), "spilled": self.channel("spilled", "W"),
            "voltage": self.channel("voltage", "V", nominal) if nominal > 0.0 else self.hidden(),
        }  # fmt: skip
        made = self.buses[self.here.tag]
        return BusPlaces(made["drawn"], made["short"], made["live"], made["dip"])

    def bus_for(self, named: tuple[str, ...]) -> str:
        """Return the bus that is named, or the only one of the loop."""
        if named:
            return named[0]
        buses = [tag for tag, view in self.views.items() if view.gives("balance")]
        if len(buses) == 1:
            return buses[0]
        raise InputError(
            f'{self.here.tag}: the loop has {len(buses)} buses; write bus = "…" to say which one.'
        )

    def feeder(
        self,
        bus: str,
        *,
        limit: float,
        opens: bool,
        after: float,
        again: float,
        load_loss: float = 0.0,
        load_drop: float = 0.0,
        power_factor: float = 1.0,
        loss: Place | None = None,
        drop: Place | None = None,
    ) -> PowerWay:
        tripped = self.hidden()
        self.feeders[self.here.tag] = {
            "bus": bus, "limit": limit, "opens": opens, "after": after, "again": again,
            "load loss": load_loss, "load drop": load_drop, "power factor": power_factor,
            "power": self.channel("power", "W"), "asked": self.channel("asked", "W"),
            "loss": loss or self.hidden(), "drop": drop or self.hidden(),
            "closed": self.position("closed", 1.0), "command": self.command(1.0), "tripped": tripped,
        }  # fmt: skip
        return PowerWay(self.feeders[self.here.tag]["power"], tripped)

    def transformer(
        self, supply: str, bus: str, *, rating: float, core: float, winding: float, opens: bool, loss: Place
    ) -> PowerWay:
        tripped = self.hidden()
        self.transformers[self.here.tag] = {
            "supply": supply, "bus": bus, "rating": rating, "core": core, "winding": winding, "opens": opens,
            "power": self.channel("power", "W"), "loss": loss, "closed": self.position("closed", 1.0),
            "command": self.command(1.0), "tripped": tripped,
        }  # fmt: skip
        return PowerWay(self.transformers[self.here.tag]["power"], tripped)

    def battery(
        self, bus: str, *, stored: Place, power: Place, charge: Place, loss: Place, numbers: Sequence[float]
    ) -> None:
        self.batteries[self.here.tag] = {
            "bus": bus, "stored": stored, "power": power, "charge": charge, "loss": loss,
            "command": self.command(1.0), "numbers": list(numbers),
        }  # fmt: skip

    def is_named_by(self, reference: str) -> bool:
        """Tell whether another part names this one by a reference."""
        return any(self.here.tag in view.refers(reference) for view in self.views.values())

    def grid(self, bus: str, *, power: Place, most_in: float, most_out: float) -> None:
        tag = self.here.tag
        if not bus:
            # a transformer takes it from here
            bus = tag
            numbers = dict.fromkeys(("back", "nominal", "lowest", "strength"), 0.0)
            told = ("generated", "drawn", "balance", "imported", "short", "spilled", "voltage", "dip")
            self.buses[tag] = {
                **numbers, **{name: self.integrated() for name in told},
                "sheds": False, "takes loads": False, "live": self.constant(1.0),
            }  # fmt: skip
        self.grids[tag] = {
            "bus": bus, "power": power, "exported": self.integrated(), "closed": self.position("closed", 1.0),
            "command": self.command(1.0), "import": most_in, "export": most_out,
        }  # fmt: skip
