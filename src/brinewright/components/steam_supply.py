"""What a part that draws steam from a vessel reads of it, whatever the vessel's law."""

from dataclasses import dataclass

from brinewright.errors import InputError
from brinewright.model.lowering import Builder, Place


@dataclass(frozen=True)
class SteamSupply:
    """Places of a vessel, and the enthalpy of water that comes back to it."""

    tag: str
    node: Place
    mass: Place
    steam_out: Place
    """All that is drawn in a step adds up here [kg/s]."""
    flux: Place
    """Heat flow that steam and condensate bring in a step, negative while steam is drawn [W]."""
    enthalpy: Place
    """of what is drawn [J/kg]"""
    drift: Place
    """How that changed in the step before [J/(kg s)]."""
    water_heat: float
    """Heat capacity of a declared content [J/(kg K)]; 0 for real water."""

    def liquid_enthalpy(self, temperature: float) -> float:
        """Return the enthalpy of condensate, counted as the vessel counts its energy [J/kg]."""
        from brinewright.fluids import water_tables
        from brinewright.fluids.saturation import saturation_line

        if self.water_heat > 0.0:
            return self.water_heat * temperature
        return float(saturation_line(water_tables(), temperature)[5])


def steam_supply(builder: Builder, tag: str) -> SteamSupply:
    """Return what the vessel `tag` gives; it may be lowered later."""
    vessel = builder.part(tag)
    declared = vessel.declares("water_heat_capacity")
    return SteamSupply(
        tag,
        builder.node_of(tag),
        builder.channel_of(tag, "mass"),
        builder.channel_of(tag, "steam out"),
        builder.shared_of(tag, "flux"),
        builder.shared_of(tag, "steam enthalpy"),
        builder.shared_of(tag, "steam enthalpy drift"),
        vessel.number("water_heat_capacity") if declared else 0.0,
    )


def pressures(builder: Builder, supply: SteamSupply, tag: str) -> tuple[Place, Place, Place]:
    """Return pressure, that of the steam alone and entropy of what is drawn; refuse a lump without them."""
    if supply.water_heat > 0.0:
        raise InputError(
            f"{tag}: the law of {supply.tag} knows no pressure. Give the vessel a law with one, or "
            f"{tag} a law that needs none."
        )
    return (
        builder.channel_of(supply.tag, "pressure"),
        builder.shared_of(supply.tag, "steam pressure"),
        builder.shared_of(supply.tag, "steam entropy"),
    )
