"""How a steam vessel becomes a thermal node whose temperature its own law tells."""

from dataclasses import dataclass

from brinewright.errors import InputError
from brinewright.model.lowering import Builder, PartView, Place


@dataclass(frozen=True)
class Content:
    """What a vessel holds at the start, SI."""

    energy: float
    """of water and steam [J/kg]"""
    heat_capacity: float
    """of water and steam at constant volume [J/(kg K)]"""
    liquid: float
    """[m3]"""
    dryness: float
    pressure: float
    """of water and steam [Pa]"""
    enthalpy: float
    entropy: float
    density: float
    """of what is drawn"""


def lower(part: PartView, builder: Builder) -> None:
    """Lay a vessel down: its content, what others read of it, its limits."""
    if part.law == "two-phase":
        node, pressure = _two_phase(part, builder)
        _watch_pressure(part, builder, pressure)
    else:
        node = _lump(part, builder)
    builder.conductance(node, builder.surroundings(), part.number("loss_conductance"))
    level = builder.channel_of(part.tag, "level")
    limit = part.limit("metal_limit")
    if limit > 0.0:
        builder.watch(node, limit, "above", "overheated", "The vessel is hotter than its material stands.")
    builder.watch(
        level, part.number("highest_level"), "above", "carry-over",
        "The water stands so high that steam carries it over to the turbines.", back=0.01,
    )  # fmt: skip
    if part.declares("relief_temperature") and part.has("relief_temperature"):
        builder.watch(
            node, part.number("relief_temperature"), "above", "relief", "The vessel has to be relieved."
        )


def _common(
    part: PartView,
    builder: Builder,
    node: Place,
    energy: float,
    share: float,
    dryness: float,
    enthalpy: float,
) -> list[Place]:
    """Make what every law of a vessel keeps, in the order of the record."""
    from brinewright.components.steam_vessel.law import level_of

    mass = builder.channel("mass", "kg", part.number("water_mass"))
    builder.mass(mass)
    builder.channel("relieved", "kg")
    return [
        node,
        mass,
        builder.channel("level", "1", level_of(share, _lying(part))),
        builder.channel("metal temperature", "K", part.start("temperature")),
        builder.channel("dryness", "1", dryness),
        builder.channel("heat in", "W"),
        builder.channel("steam out", "kg/s"),
        builder.channel("loss", "W"),
        builder.shared("flux"),
        builder.shared("steam enthalpy", enthalpy),
        builder.surroundings(),
        builder.hidden(start=energy),
        builder.shared("steam enthalpy drift"),
        builder.hidden(start=enthalpy),
    ]


def _lying(part: PartView) -> float:
    return 1.0 if part.word("shape") == "lying" else 0.0


def _numbers(part: PartView) -> list[float]:
    return [
        part.number("metal_mass") * part.metal_heat_capacity("metal_heat_capacity"),
        part.number("loss_conductance"),
        part.number("volume"),
        _lying(part),
    ]


def _lump(part: PartView, builder: Builder) -> Place:
    from brinewright.components.steam_vessel.law import WATER

    begin = part.start("temperature")
    mass, heat, boils = part.number("water_mass"), part.number("water_heat_capacity"), part.number("boils")
    latent = part.number("latent_heat") if part.declares("latent_heat") else 0.0
    numbers = _numbers(part)
    capacity = mass * heat + numbers[0]
    node = builder.free_node("temperature", capacity * begin, 1.0 / capacity, begin)
    share = mass / (WATER * part.number("volume"))
    dryness = 1.0 if begin > boils else 0.0
    ints = _common(part, builder, node, capacity * begin, share, dryness, heat * begin + latent)
    builder.channel("pressure", "Pa")
    builder.record("vessel lump", ints, [*numbers, heat, boils, latent], apart=[node])
    builder.watch(builder.channel_of(part.tag, "level"), 1e-3, "below", "dry", "The vessel has run dry.")
    return node


def _two_phase(part: PartView, builder: Builder) -> tuple[Place, Place]:
    from brinewright.components.steam_vessel.law import AIR_CONSTANT, AIR_HEAT

    builder.needs_water = True
    begin = part.start("temperature")
    mass, volume, air = part.number("water_mass"), part.number("volume"), part.number("air_mass")
    numbers = _numbers(part)
    rest = numbers[0] + air * AIR_HEAT
    content = _charge(part, begin, mass, volume)
    energy = mass * content.energy + rest * begin
    node = builder.free_node("temperature", energy, 1.0 / (mass * content.heat_capacity + rest), begin)
    ints = _common(
        part, builder, node, energy, content.liquid / volume, content.dryness, content.enthalpy
    )  # fmt: skip
    shut_in = air * AIR_CONSTANT * begin / (volume - content.liquid)
    pressure = builder.channel("pressure", "Pa", content.pressure + shut_in)
    outside = builder.hidden()
    builder.record(
        "vessel two-phase",
        [
            *ints,
            pressure,
            builder.shared("steam pressure", content.pressure),
            builder.shared("steam entropy", content.entropy),
            builder.shared("steam density", content.density),
            outside,
        ],
        [*numbers, air],
        apart=[node],
    )
    builder.watch(
        builder.channel_of(part.tag, "dryness"), 1.0 - 1e-9, "above", "dry",
        "The last water has boiled away: nothing covers the chillers, and the steam superheats.",
    )  # fmt: skip
    builder.watch(
        builder.channel_of(part.tag, "level"), 1.0 - 1e-9, "above", "liquid-full",
        "Water fills the vessel: from here its pressure rises by several bar with each kelvin.",
    )  # fmt: skip
    builder.watch(
        outside, 0.5, "above", "outside-table",
        "Water and steam have left the range of their tables; the numbers shown are those of its edge.",
    )  # fmt: skip
    return node, pressure


def _charge(part: PartView, temperature: float, mass: float, volume: float) -> Content:
    """Return what the charge is at the start, two-phase or superheated."""
    from brinewright.fluids import water_tables
    from brinewright.fluids.saturation import liquid_full_temperature, saturation_line, two_phase_energy
    from brinewright.fluids.steam import steam_derivatives

    W = water_tables()
    specific = volume / mass
    if temperature >= liquid_full_temperature(W, specific):
        raise InputError(
            f"{part.tag}: {mass:g} kg of water fill it at the start and leave no room for steam. Charge less."
        )
    energy, slope, dryness = two_phase_energy(W, temperature, specific)
    if dryness > 1.0:
        pressure, energy, entropy, slope, _, _ = steam_derivatives(W, temperature, 1.0 / specific)
        return Content(
            energy, slope, 0.0, 1.0, pressure, energy + pressure * specific, entropy, 1.0 / specific
        )
    pressure, vf, vg, _, _, _, hg, _, sg = saturation_line(W, temperature)
    return Content(energy, slope, (1.0 - dryness) * mass * vf, dryness, pressure, hg, sg, 1.0 / vg)


def _watch_pressure(part: PartView, builder: Builder, pressure: Place) -> None:
    builder.watch(
        pressure, part.number("design_pressure"), "above", "over-pressure",
        "The pressure is above that for which the vessel is built.",
    )  # fmt: skip
    if part.has("relief_pressure"):
        builder.watch(
            pressure, part.number("relief_pressure"), "above", "relief", "The vessel has to be relieved."
        )
    if part.number("lowest_pressure") > 0.0:
        builder.watch(
            pressure, part.number("lowest_pressure"), "below", "under-pressure",
            "The pressure is below that for which the vessel is built.",
        )  # fmt: skip
