"""What a turbine declares about itself."""

from brinewright.components.turbine.lower import lower
from brinewright.components.turbine.steam_end import CRITERIA
from brinewright.model.common import (
    FLOW,
    INLET,
    METAL,
    OUTLET,
    RUNNING,
    capacity,
    conductance,
    duration,
    hold_up,
    mass_flow,
    metal,
    power,
    ratio,
    temperature,
    temperature_difference,
    through,
)
from brinewright.model.kind import Channel, Kind, Law, Parameter, Port, Reference
from brinewright.model.mishap import CONDENSATE_BLOCKED, SWITCH_WRONG, Mishap, lost

EXPANSION = ("expansion",)

KIND = Kind(
    name="turbine",
    summary="Takes steam from the vessel, gives power, and returns condensate.",
    letters=("ST",),
    laws=(
        Law(
            name="threshold",
            world="stylised",
            text="Runs above a threshold, draws a fixed flow, returns it at a fixed temperature.",
            parameters=(
                temperature("threshold", "Vessel temperature at and above which it starts."),
                temperature_difference(
                    "differential", "How far the vessel falls below the threshold before it stops."
                ),
                mass_flow("steam_flow", "Steam that each running unit draws.", low=1e-6),
                temperature("condensate_temperature", "Temperature of the water that it returns."),
                ratio("efficiency", "Share of the heat taken that becomes electric power."),
                power("highest_power", "Highest electric power of each unit."),
                Parameter(
                    name="casing_share_of",
                    quantity="word",
                    text="What the casing's share is a share of.",
                    choices=("heat taken", "power", "what is left"),
                ),
                ratio("casing_share", "Share of that which heats the casing."),
                power(
                    "casing_heat", "Heat into the casing of each running unit beside that share.", default=0.0
                ),
            ),
        ),
        Law(
            name="expansion",
            world="real",
            text="Expands to its condenser by an isentropic efficiency; swallows steam "
            "by the ellipse of Stodola.",
            parameters=(
                mass_flow("design_flow", "Steam that each unit swallows at its design point.", low=1e-6),
                Parameter(
                    name="design_inlet_pressure",
                    quantity="pressure",
                    text="Pressure at its inlet at the design point.",
                    low=100.0,
                    high=1e8,
                ),
                Parameter(
                    name="design_exhaust_pressure",
                    quantity="pressure",
                    text="Pressure at its exhaust at the design point.",
                    low=100.0,
                    high=1e8,
                ),
                Parameter(
                    name="start_pressure",
                    quantity="pressure",
                    text="Vessel pressure at and above which it starts.",
                    low=100.0,
                    high=1e8,
                ),
                Parameter(
                    name="stop_pressure",
                    quantity="pressure",
                    text="Vessel pressure below which its stop valve shuts.",
                    low=100.0,
                    high=1e8,
                ),
                Parameter(
                    name="held_pressure",
                    quantity="pressure",
                    text="Vessel pressure that its governor holds by throttling; absent: it never throttles.",
                    optional=True,
                    low=100.0,
                    high=1e8,
                ),
                ratio(
                    "isentropic_efficiency", "Isentropic efficiency of the expansion.", default=0.70, low=0.05
                ),
                ratio(
                    "mechanical_efficiency",
                    "Share of the steam's work that reaches the generator.",
                    default=0.98,
                    low=0.05,
                ),
                ratio("generator_efficiency", "Efficiency of the generator.", default=0.96, low=0.05),
                ratio(
                    "loss_to_casing",
                    "Share of the mechanical and generator losses that heats the casing.",
                    default=1.0,
                ),
                power(
                    "highest_power", "Highest electric power of each unit; above it the governor throttles."
                ),
                conductance("steam_conductance", "Conductance from the steam to the casing.", default=0.0),
                temperature(
                    "condenser_temperature",
                    "Fixed condensing temperature; absent: the condenser's cooling says.",
                    optional=True,
                ),
                conductance(
                    "condenser_conductance",
                    "Conductance from condensing steam to its cooling, each unit; absent: "
                    "its temperature is fixed.",
                    optional=True,
                ),
                temperature_difference(
                    "subcooling", "Condensate below the condensing temperature.", default=0.0
                ),
                duration(
                    "hotwell_delay", "Time that condensate spends in the hotwell and its line.", default=60.0
                ),
            ),
        ),
    ),
    parameters=(
        *metal("the casing", prefix="casing"),
        temperature(
            "casing_limit",
            "Temperature at which the casing fails; absent: that of its material.",
            optional=True,
        ),
        conductance(
            "hall_conductance",
            "Conductance from the casing of each unit to where it stands, nothing around it.",
        ),
        conductance(
            "jacket_conductance",
            "Conductance from the casing of each unit to coolant led through its jacket.",
            default=0.0,
        ),
        hold_up(2.0, where="its jacket"),
        hold_up(5.0, name="condenser_hold_up", where="its condenser"),
        capacity(where="its jacket"),
        duration("run_up", "Time from the start to full steam flow.", default=0.0),
    ),
    ports=(
        Port(name="in", flow="in", optional=True, text="Coolant into the casing's jacket."),
        Port(name="out", flow="out", optional=True, text="Coolant out of the casing's jacket."),
        Port(name="cooling-in", flow="in", optional=True, text="Cooling liquid into the condenser."),
        Port(name="cooling-out", flow="out", optional=True, text="Cooling liquid out of the condenser."),
    ),
    references=(
        Reference(
            name="vessel", kinds=("steam vessel",), text="The vessel that it draws from and returns to."
        ),
        Reference(
            name="sink",
            kinds=("final sink",),
            text="The sink that cools its condenser, where no liquid is led through.",
            optional=True,
        ),
        Reference(
            name="bus",
            kinds=("bus",),
            text="The bus that takes its power; absent: the only bus.",
            optional=True,
        ),
    ),
    channels=(
        RUNNING,
        Channel(name="threshold", unit="1", text="Whether the vessel is above what it needs to run."),
        Channel(name="threshold changes", unit="1", text="How often that has changed."),
        Channel(name="steam flow", unit="kg/s", text="Steam drawn, the whole bank."),
        Channel(
            name="heat taken",
            unit="W",
            text="Heat flow that leaves the vessel with the steam, less what returns.",
        ),
        Channel(name="generated", unit="W", text="Electric power given, the whole bank."),
        Channel(name="condensate temperature", unit="K", text="Temperature of the water that returns."),
        Channel(
            name="condensate return",
            unit="1",
            text="Share of its condensate that returns: without a condensate pump the rest is lost.",
        ),
        Channel(
            name="condenser heat",
            unit="W",
            text="Heat flow that the condenser gives to its cooling.",
            laws=EXPANSION,
        ),
        Channel(name="condenser temperature", unit="K", text="Condensing temperature.", laws=EXPANSION),
        Channel(name="exit dryness", unit="1", text="Dryness at the exhaust.", laws=EXPANSION),
        Channel(name="casing heat", unit="W", text="Heat flow into the casing, the whole bank."),
        METAL,
        *through("in", FLOW, INLET, OUTLET),
        Channel(
            name="cooling flow",
            unit="kg/s",
            text="Mass flow of liquid through the condenser.",
            laws=EXPANSION,
            port="cooling-in",
        ),
        Channel(
            name="cooling inlet temperature",
            unit="K",
            text="Temperature of that liquid before the condenser.",
            laws=EXPANSION,
            port="cooling-in",
        ),
        Channel(
            name="cooling outlet temperature",
            unit="K",
            text="Temperature of that liquid after the condenser.",
            laws=EXPANSION,
            port="cooling-in",
        ),
    ),
    positions=("run", "stop"),
    counted=True,
    start=(
        Parameter(
            name="running",
            quantity="flag",
            text="Whether it runs at the start, between its two limits.",
            default=False,
        ),
        temperature(
            "temperature",
            "Temperature of its casing at the start; absent: that of where it stands.",
            optional=True,
        ),
    ),
    mishaps=(
        lost(often="common"),
        Mishap(
            name="condensate does not come back",
            group=CONDENSATE_BLOCKED,
            text="The condensate of {tag} does not come back to its vessel.",
            target="condensate return",
        ),
        Mishap(
            name="threshold stays broken",
            group=SWITCH_WRONG,
            text="The threshold switch of {tag} never makes: the whole bank stands still.",
            target="threshold",
            often="rare",
        ),
        Mishap(
            name="threshold stays made",
            group=SWITCH_WRONG,
            text="The threshold switch of {tag} never breaks: it takes steam however cool it is.",
            target="threshold",
            value=1.0,
            often="rare",
        ),
    ),
    criteria=CRITERIA,
    lower=lower,
)
