"""The margins that findings are judged by; a loop states its own under `[margin]`."""

from collections.abc import Mapping

from brinewright.model.kind import Parameter


def _kelvin(name: str, usual: float, text: str) -> Parameter:
    return Parameter(
        name=name, quantity="temperature difference", text=text, default=usual, low=0.0, high=500.0
    )


def _share(name: str, usual: float, text: str) -> Parameter:
    return Parameter(name=name, quantity="ratio", text=text, default=usual, low=0.0, high=10.0)


def _time(name: str, usual: float, text: str) -> Parameter:
    return Parameter(name=name, quantity="time", text=text, default=usual, low=0.0, high=1e8)


MARGINS: tuple[Parameter, ...] = (
    _kelvin("freeze", 3.0, "Coldest liquid above its freezing point."),
    _kelvin("boil", 10.0, "Hottest liquid below its boiling point."),
    _kelvin("material", 15.0, "Metal below its limit in steady running."),
    _kelvin("material_in_a_fault", 5.0, "Metal below its limit in a fault or a start."),
    _kelvin("repeatability", 0.1, "How far one sensor's readings of one temperature lie apart."),
    _kelvin("sensor", 0.2, "How far a sensor may read wrong."),
    _share("sizing", 0.10, "Capacity beyond the load."),
    _share("feeder", 0.80, "Load of a feeder as a share of what it carries."),
    _share("drain", 0.10, "Free volume beyond what is drained."),
    _share("relief", 0.10, "Pressure rise above the set pressure while relieving."),
    _share("second_law", 0.70, "Share of the Carnot performance that a machine can be built for."),
    _share("energy_residual", 0.005, "Heat that a balance may leave open."),
    _kelvin("threshold_to_limit", 25.0, "Threshold of the turbines below the limit of the metal."),
    _share("heat_leak", 0.02, "Heat that leaks from the vessel, or from electrical rooms, by the load."),
    _time("turbine_period", 300.0, "From one start of a turbine to the next."),
    _time("shortest_run", 300.0, "Run of a chiller once started."),
    _time("shortest_rest", 180.0, "Rest of a chiller before it is started again."),
    _time("start_period", 600.0, "From one start of a chiller to the next."),
    _time("time_to_act", 600.0, "In which a person can act once everything goes wrong."),
    _time("warm_up", 28800.0, "Warm-up of the vessel until its turbines run."),
)
"""Common practice, no source."""

USUAL: Mapping[str, float] = {margin.name: float(margin.default or 0.0) for margin in MARGINS}
"""Each margin in SI, where a loop states none of its own."""
