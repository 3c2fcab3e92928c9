"""What a chiller declares about itself."""

from brinewright.components.chiller import criteria, envelope, placing
from brinewright.components.chiller.lower import lower
from brinewright.model.common import (
    FLOW,
    IN,
    INLET,
    METAL,
    OUT,
    OUTLET,
    POWER_DRAWN,
    POWERED,
    RUNNING,
    capacity,
    conductance,
    duration,
    hold_up,
    mass_flow,
    metal,
    power,
    rated_loss,
    ratio,
    temperature,
    temperature_difference,
)
from brinewright.model.kind import Channel, Kind, Law, Parameter
from brinewright.model.mishap import Countermeasure, lost

PER_KELVIN = "temperature coefficient"

REAL_LIMITS = (
    capacity(),
    temperature(
        "leaving_temperature",
        "Leaving temperature that its own control holds by unloading; absent: full load while it runs.",
        optional=True,
    ),
    ratio(
        "lowest_step",
        "Lowest continuous load as a share of the full one; below it the machine cycles.",
        default=0.25,
    ),
    ratio("cycling_coefficient", "Part-load degradation coefficient of a cycling machine.", default=0.9),
    duration("shortest_run", "Shortest time that it runs once started.", default=300.0),
    duration("shortest_rest", "Shortest time that it rests once stopped.", default=240.0),
    Parameter(
        name="starting_multiple",
        quantity="number",
        text="Starting current as a multiple of the running current.",
        default=6.0,
        low=1.0,
        high=12.0,
    ),
    *rated_loss(where="its evaporator"),
)

KIND = Kind(
    name="chiller",
    summary="Takes heat out of the coolant and gives it, with its power, to what it stands in.",
    role="cooler",
    letters=("CH",),
    laws=(
        Law(
            name="fixed drop",
            world="stylised",
            text="Takes a fixed number of kelvin off every kilogram that passes while it runs.",
            parameters=(
                temperature_difference("drop", "Kelvin that each pass takes off the coolant.", low=0.001),
                capacity(required=True),
                power("power", "Electric power of each running unit, at full flow."),
                Parameter(
                    name="power_mode",
                    quantity="word",
                    text="Whether a running unit draws its power whole, or in proportion to the "
                    "flow through it.",
                    choices=("constant", "proportional"),
                ),
                ratio("power_share", "Share of its electric power that becomes heat in its own metal."),
                power(
                    "self_heat", "Heat that each running unit makes beside that, from nowhere.", default=0.0
                ),
            ),
        ),
        Law(
            name="second law",
            world="real",
            text="Carnot between evaporator and condenser, times a second-law "
            "efficiency; capacity drifts with both.",
            parameters=(
                power("cooling_capacity", "Cooling capacity of each unit at its reference point.", low=1.0),
                temperature("reference_evaporation", "Evaporation temperature of the reference point."),
                temperature("reference_condensation", "Condensation temperature of the reference point."),
                ratio(
                    "second_law_efficiency",
                    "Share of the Carnot performance that it reaches.",
                    default=0.5,
                    low=0.01,
                ),
                temperature_difference(
                    "evaporator_approach",
                    "Leaving coolant temperature above evaporation temperature.",
                    default=5.0,
                ),
                temperature_difference(
                    "condenser_approach", "Condensation temperature above that of its own metal.", default=5.0
                ),
                ratio("motor_efficiency", "Efficiency of the motor and its drive.", default=0.95, low=0.05),
                ratio(
                    "motor_heat_share",
                    "Share of the motor's loss that joins the rejected heat: none for an open motor.",
                    default=0.0,
                ),
                Parameter(
                    name="highest_performance",
                    quantity="number",
                    text="Highest coefficient of performance at any lift.",
                    default=8.0,
                    low=0.1,
                    high=100.0,
                ),
                Parameter(
                    name="evaporation_drift",
                    quantity=PER_KELVIN,
                    text="Relative rise of the capacity by kelvin of evaporation temperature.",
                    default=0.035,
                    low=0.0,
                    high=0.2,
                ),
                Parameter(
                    name="condensation_drift",
                    quantity=PER_KELVIN,
                    text="Relative fall of the capacity by kelvin of condensation temperature.",
                    default=0.008,
                    low=0.0,
                    high=0.1,
                ),
                temperature(
                    "lowest_evaporation",
                    "Evaporation temperature at which its frost guard stops it; absent: no guard.",
                    optional=True,
                ),
                temperature("highest_condensation", "Condensation temperature at which its guard stops it."),
                *REAL_LIMITS,
            ),
        ),
        Law(
            name="catalogue table",
            world="real",
            text="Capacity and power by leaving coolant and condensation temperature, "
            "never beyond the table.",
            parameters=(
                Parameter(
                    name="table",
                    quantity="table",
                    text="Full-load capacity and electric power on a whole grid of leaving "
                    "coolant temperature "
                    "and condensation temperature.",
                    columns=(
                        ("leaving", "temperature"),
                        ("condensation", "temperature"),
                        ("capacity", "power"),
                        ("power", "power"),
                    ),
                ),
                temperature_difference(
                    "condenser_approach", "Condensation temperature above that of its own metal.", default=5.0
                ),
                ratio(
                    "capacity_correction",
                    "Factor on the table's capacity, for the liquid.",
                    default=1.0,
                    low=0.1,
                    high=2.0,
                ),
                ratio(
                    "power_correction",
                    "Factor on the table's power, for the liquid.",
                    default=1.0,
                    low=0.1,
                    high=3.0,
                ),
                *REAL_LIMITS,
            ),
        ),
    ),
    parameters=(
        *metal("the chiller"),
        conductance(
            "conductance", "Conductance from the metal of each unit to what it is sited in, when covered."
        ),
        conductance(
            "bare_conductance",
            "Conductance from the metal of each unit to what it is sited in, when no liquid covers it.",
        ),
        mass_flow("flow_proof", "Flow through each unit below which it is stopped.", low=1e-6),
        temperature_difference(
            "guard_differential",
            "How far a guard's reading must come back before the machine restarts.",
            default=3.0,
        ),
        temperature(
            "metal_limit",
            "Temperature at which its metal fails; absent: that of its material.",
            optional=True,
        ),
        hold_up(5.0),
    ),
    ports=(IN, OUT),
    channels=(
        FLOW,
        INLET,
        OUTLET,
        Channel(name="cooling", unit="W", text="Heat flow taken from the coolant, the whole bank."),
        POWER_DRAWN,
        POWERED,
        Channel(name="reject", unit="W", text="Heat flow given to its own metal, the whole bank."),
        Channel(
            name="given", unit="W", text="Heat flow from its metal to what it stands in, the whole bank."
        ),
        METAL,
        RUNNING,
        Channel(name="performance", unit="1", text="Coefficient of performance: cooling by electric power."),
    ),
    positions=("run", "stop"),
    counted=True,
    start=(
        temperature(
            "temperature",
            "Temperature of its metal at the start; absent: that of what it is sited in.",
            optional=True,
        ),
    ),
    mishaps=(lost("powered", often="common"),),
    countermeasures=(Countermeasure(name="Stop {tag}", target="command"),),
    criteria=(*criteria.CRITERIA, *envelope.CRITERIA, *placing.CRITERIA),
    lower=lower,
)
