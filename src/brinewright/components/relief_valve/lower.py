"""How a relief valve becomes a hole in a vessel that opens by itself."""

from brinewright.components.steam_supply import SteamSupply, pressures, steam_supply
from brinewright.errors import InputError
from brinewright.model.lowering import Builder, PartView, Place

ABSOLUTE = 4186.0 * 273.15
"""Warmth of water at the freezing point, counted from absolute zero [J/kg]."""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a relief valve down.  On anything but a steam vessel it stands shut in a run."""
    lift = builder.position("open", 0.0)
    flow = builder.channel("flow", "kg/s")
    relieved = builder.channel("relieved", "kg")
    guarded = part.refers("guards")[0]
    if not builder.part(guarded).gives("steam out"):
        builder.channel("lifted", "1")
        builder.channel("lifted changes", "1")
        return
    supply = steam_supply(builder, guarded)
    signal, pressure, density, numbers = _law(part, builder, supply)
    tank, tank_mass, tank_heat = _tank(part, builder)
    if tank_heat == 0.0:
        builder.mass(relieved)
    builder.record(
        "relief valve",
        [
            signal, lift, flow, relieved, supply.node, supply.mass, supply.enthalpy, supply.flux,
            builder.channel_of(guarded, "relieved"), pressure, density, builder.account("relieved"), tank,
            tank_mass, builder.account("scale of energies"),
        ],
        [*numbers, tank_heat, 0.0 if supply.water_heat > 0.0 else ABSOLUTE],
    )  # fmt: skip
    builder.watch(lift, 0.0, "above", "blows", "The relief valve blows.", back=-1e-9)


def _law(part: PartView, builder: Builder, supply: SteamSupply) -> tuple[Place, Place, Place, list[float]]:
    """Return the signal that it has lifted, pressure and density of what it lets go, numbers of its law."""
    if part.law == "declared":
        opens, differential = part.number("opens_at"), part.number("differential")
        signal = builder.switch("lifted", supply.node, "high", opens - differential, differential, False)
        flow = part.number("relief_flow") * part.count
        return signal, builder.hidden(), builder.hidden(), [flow, 0.0, 0.0, 0.0, 0.0]
    builder.needs_water = True
    pressure = pressures(builder, supply, part.tag)[0]
    opens = part.number("set_pressure")
    falls = opens * part.number("reseat")
    signal = builder.switch("lifted", pressure, "high", opens - falls, falls, False)
    behind = part.number("back_pressure") if part.has("back_pressure") else builder.site("ambient_pressure")
    area = part.number("flow_area") * part.number("discharge_coefficient") * part.count
    density = builder.shared_of(supply.tag, "steam density")
    return signal, pressure, density, [0.0, opens - falls, opens * part.number("overpressure"), area, behind]


def _tank(part: PartView, builder: Builder) -> tuple[Place, Place, float]:
    """Return node, mass and heat capacity [J/(kg K)] of the tank that takes what it lets go; 0 for none."""
    named = part.refers("into")
    if not named:
        return builder.account("relieved"), builder.hidden(), 0.0
    tank = builder.part(named[0])
    if tank.law != "mixed":
        raise InputError(
            f"{part.tag}: only a tank that mixes can take what it lets go; {named[0]} does not mix."
        )
    return builder.node_of(named[0]), builder.channel_of(named[0], "mass"), tank.heat_capacity
