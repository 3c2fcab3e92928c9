"""`simulate`: from a loop and a rulebook to a result."""

import hashlib
import platform
import time
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from types import MappingProxyType

import numpy as np

from brinewright import __version__
from brinewright.compile import LONGEST_STEP, compile_plant
from brinewright.errors import InputError, RunError
from brinewright.files import find_rulebook, loop_text, read_rulebook, rulebook_text
from brinewright.files.weather import Weather, read_weather, shipped_weather
from brinewright.model.brief import Brief
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.results import DONE, INTERRUPTED, ChannelInfo, Event, Result, Statistics
from brinewright.results.outcome import Outcome, stopped
from brinewright.run.audit import audits
from brinewright.run.settle import ADVICE, DAY, settled
from brinewright.run.simulation import Simulation
from brinewright.run.state import State

CHUNK = 3600.0
"""Simulated time between two looks at whether to go on [s]."""
LARGEST_RESIDUAL = 1e-9


def simulate(
    loop: Loop,
    rulebook: Rulebook | None = None,
    *,
    duration: float = DAY,
    interval: float = 60.0,
    channels: Iterable[str] | None = None,
    stop_on_events: bool = False,
    state: State | None = None,
    settle: bool = False,
    progress: Callable[[float, float], None] | None = None,
    should_stop: Callable[[], bool] | None = None,
    longest_step: int = LONGEST_STEP,
    weather: Weather | None = None,
    folder: Path | None = None,
) -> Result:
    """Run a loop and return its result.

    Parameters
    ----------
    loop : the design
    rulebook : the place; by default the one that the loop names, among those that ship
    duration : simulated time [s]
    interval : time between two samples [s]
    channels : what to keep, as "TK-101.temperature" or "TK-101"; by default everything
    stop_on_events : end the run at the first event
    state : start from here instead of from the loop's own start
    settle : first repeat the day until it no longer changes
    progress : called with simulated and total time [s]
    should_stop : asked now and then; the run ends with a valid result when it says yes
    longest_step : most ticks made as one step where nothing is decided; 1 is tick by tick
    weather : hourly weather of the site, if not the file that the site names
    folder : where a weather file that the site names is looked for

    Raises
    ------
    InputError
        If the loop does not make a plant.
    RunError
        If the run could not be finished, or its ledger does not close to 1e-9.

    Example
    -------
    >>> import brinewright as bw
    >>> loop = bw.read_loop(bw.scenario("kettle-ridge"))
    >>> result = bw.run(loop, duration=600.0)
    >>> result.outcome.name
    'done'
    """
    began = time.perf_counter()
    rules = rulebook or read_rulebook(find_rulebook(loop.rulebook, folder or Path.cwd()))
    if duration <= 0.0 or interval <= 0.0:
        raise InputError("The time to run and the interval between samples must be greater than zero.")
    plant = compile_plant(
        loop,
        rules,
        longest_step=longest_step,
        weather=weather or weather_of(loop, rules, folder),
        stop_on_events=stop_on_events,
    )
    if settle or loop.settled:
        state = settled(plant, should_stop, progress)
    start = state.time if state else 0.0
    samples = start + np.arange(0.0, duration + 0.5, interval)
    simulation = Simulation(plant, samples=samples, state=state)
    if state is None:
        simulation.look_ahead_once()
    outcome = DONE
    end = start + duration
    while simulation.time < end - 0.5:
        code = simulation.advance(min(end, simulation.time + CHUNK))
        if progress:
            progress(simulation.time - start, duration)
        if code == "stopped":
            outcome = _stopped(simulation)
            break
        if code != "done":
            raise RunError(f"The run ended at {simulation.time:.0f} s. {ADVICE[code]}")
        if should_stop and should_stop():
            outcome = INTERRUPTED if simulation.time < end - 0.5 else DONE
            break
    return _result(simulation, rules, outcome, channels, start, time.perf_counter() - began, interval)


def weather_of(design: Loop | Brief, rules: Rulebook, folder: Path | None) -> Weather | None:
    """Return the weather that the site names, from beside the file or among what ships; None for none."""
    named = {**rules.site, **design.site}.get("weather")
    if not named:
        return None
    beside = (folder or Path.cwd()) / str(named)
    if beside.is_file():
        return read_weather(beside)
    return read_weather(shipped_weather(Path(str(named)).stem))


def _events(simulation: Simulation, start: float) -> tuple[Event, ...]:
    names = simulation.plant.events
    rows = simulation.events[: simulation.counters[1]]
    return tuple(Event(float(row[0]) - start, *names[int(row[1])]) for row in rows)


def _stopped(simulation: Simulation) -> Outcome:
    tag, code, text = simulation.plant.events[int(simulation.events[simulation.counters[1] - 1][1])]
    return stopped(f"{tag} {code}", f"{text} Run without --events stop to see what follows.")


def _result(
    simulation: Simulation,
    rules: Rulebook,
    outcome: Outcome,
    channels: Iterable[str] | None,
    start: float,
    wall: float,
    interval: float,
) -> Result:
    plant = simulation.plant
    energy, mass = simulation.energy_residual(), simulation.mass_residual()
    electric = simulation.electric_residual()
    if not max(energy, mass, electric) < LARGEST_RESIDUAL:
        raise RunError(
            f"The ledger does not close: energy {energy:.1e}, mass {mass:.1e}, electricity {electric:.1e} "
            f"of what was exchanged (at most {LARGEST_RESIDUAL:.0e}). "
            "The result is refused; please report the loop."
        )
    kept = _kept(plant.channels, channels)
    index = [plant.channels[k][3] for k in kept]
    lasted = max(simulation.time - start, 1.0)
    count = int(simulation.counters[0])
    x = simulation.arrays["X"]
    statistics = Statistics(
        first=simulation.begin[index],
        min=np.minimum(simulation.least[index], simulation.begin[index]),
        mean=simulation.integral[index] / lasted,
        max=np.maximum(simulation.greatest[index], simulation.begin[index]),
        last=x[index],
    )
    text = (loop_text(plant.loop), rulebook_text(rules))
    return Result(
        name=plant.loop.name,
        world=rules.world,
        outcome=outcome,
        simulated_s=simulation.time - start,
        wall_s=wall,
        times=simulation.samples[:count] - start,
        values=simulation.recorded_trace()[:, kept].astype(np.float32),
        channels=tuple(ChannelInfo(*plant.channels[k][:3]) for k in kept),
        statistics=statistics,
        events=_events(simulation, start),
        switch_changes=MappingProxyType(
            {tag: int(x[place] - simulation.begin[place]) for tag, place in plant.switch_counts.items()}
        ),
        energy_residual=energy,
        mass_residual=mass,
        electric_residual=electric,
        power=MappingProxyType(_power(simulation)),
        audits=MappingProxyType(audits(simulation, lasted)),
        provenance=MappingProxyType(
            {
                "versions": {
                    "brinewright": __version__,
                    "python": platform.python_version(),
                    "numpy": np.__version__,
                },
                "inputs": {
                    name: "sha256:" + hashlib.sha256(body.encode()).hexdigest()
                    for name, body in zip(("loop", "rulebook"), text, strict=True)
                },
                "settings": {
                    "interval_s": interval,
                    "steps": int(simulation.counters[2]),
                    "flow_solutions": int(simulation.counters[3]),
                },
                "wall_clock": {"wall_s": wall},
            }
        ),
    )


def _kept(known: tuple[tuple[str, str, str, int], ...], wanted: Iterable[str] | None) -> list[int]:
    if wanted is None:
        return list(range(len(known)))
    kept: set[int] = set()
    for name in wanted:
        found = [k for k, (tag, quantity, _, _) in enumerate(known) if name in (tag, f"{tag}.{quantity}")]
        if not found:
            raise InputError(f'There is no channel "{name}" to keep; write TAG or TAG.quantity.')
        kept.update(found)
    return sorted(kept)


def _power(simulation: Simulation) -> Mapping[str, float]:
    """Return the energies of all buses together [kWh]."""
    kwh = 3.6e6
    flows = {name: energy / kwh for name, energy in simulation.electric().items()}
    figures = {
        "generated_kWh": flows["made"],
        "consumed_kWh": flows["taken"],
        "lost_kWh": flows["lost on the way"] + flows["lost in stores"],
        "imported_kWh": flows["grid"] + flows["exported"],
        "exported_kWh": flows["exported"],
        "spilled_kWh": flows["spilled"],
        "shortfall_kWh": flows["short"],
    }
    stored = simulation.plant.powers["stored"]
    if stored:
        least = np.minimum(simulation.least[stored], simulation.begin[stored])
        figures["battery_start_kWh"] = float(simulation.begin[stored].sum()) / kwh
        figures["battery_least_kWh"] = float(least.sum()) / kwh
        figures["battery_last_kWh"] = float(simulation.arrays["X"][stored].sum()) / kwh
    return figures
