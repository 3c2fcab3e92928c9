"""A made-up result with every kind of channel, for tests of what is done with results."""

import numpy as np

from brinewright.results import DONE, ChannelInfo, Event, Result, Statistics

HOURS = 24


def synthetic_columns(times):
    """Quantities of an invented plant in SI, by (tag, quantity, unit)."""
    day = np.sin(2 * np.pi * times / 86400)
    wave = np.sin(2 * np.pi * times / 2700)
    saw = (times % 1500) / 1500
    warm = 1 - np.exp(-times / 3000)
    return {
        ("TK-101", "temperature", "K"): 293.15 + 12 * warm + 2 * day + 1.4 * wave,
        ("TK-101", "level", "1"): 0.55 + 0.2 * np.sin(2 * np.pi * times / 9000),
        ("TK-101", "outflow", "kg/s"): 12 - 4.0 * (saw > 0.7),
        ("L-104", "outlet temperature", "K"): 291.15 + 9 * saw,
        ("L-104", "flow", "kg/s"): 12 - 4.0 * (saw > 0.7),
        ("L-104", "pressure loss", "Pa"): 4000 - 900.0 * (saw > 0.7),
        ("CH-201", "flow", "kg/s"): 6 - 2.0 * (saw > 0.7),
        ("CH-201", "outlet temperature", "K"): 279.15 + 8 * saw,
        ("CH-201", "cooling", "W"): 9e5 * warm * (1 + 0.1 * wave),
        ("CH-201", "reject", "W"): 11e5 * warm * (1 + 0.1 * wave),
        ("CH-201", "power", "W"): 2.4e5 * warm * (1 + 0.1 * wave),
        ("CH-201", "metal temperature", "K"): 293.15 + 128 * warm,
        ("CH-201", "running", "1"): np.where(saw > 0.4, 1.0, 0.6),
        ("CH-202", "cooling", "W"): 4e5 * warm * (saw > 0.5),
        ("CH-202", "reject", "W"): 5e5 * warm * (saw > 0.5),
        ("TK-102", "temperature", "K"): 293.15 - 6 * warm + 1.1 * saw,
        ("TK-102", "level", "1"): 0.48 - 0.2 * np.sin(2 * np.pi * times / 9000),
        ("TV-110", "passes", "1"): 1 + np.floor(2 * saw),
        ("ZN-501", "temperature", "K"): 294.15 + 3 * day,
        ("ZN-501", "cooling", "W"): 3e5 * (1 + 0.3 * day),
        ("ZN-501", "flow", "kg/s"): 4.0 + 0 * day,
        ("ZN-501", "outlet temperature", "K"): 297.15 + 3 * day,
        ("MC-502", "temperature", "K"): 311.15 + 2 * warm + wave,
        ("MC-502", "cooling", "W"): 5.2e5 * warm,
        ("VE-301", "temperature", "K"): 293.15 + 126 * warm + 2 * wave,
        ("VE-301", "pressure", "Pa"): 0.9e5 + 3.6e5 * warm**3,
        ("VE-301", "level", "1"): 0.8 - 0.1 * warm,
        ("VE-301", "steam out", "kg/s"): 1.2 * (warm > 0.6),
        ("ST-401", "generated", "W"): 3.1e5 * np.clip(warm - 0.6, 0, None) * (1 + 0.05 * wave),
        ("ST-401", "steam flow", "kg/s"): 1.2 * (warm > 0.6),
        ("ST-401", "metal temperature", "K"): 293.15 + 60 * warm,
        ("SB-601", "generated", "W"): 3.1e5 * np.clip(warm - 0.6, 0, None) * (1 + 0.05 * wave),
        ("SB-601", "drawn", "W"): 2.6e5 * warm * (1 + 0.1 * wave),
        ("SB-601", "short", "W"): 0.0 * warm,
        ("BT-602", "energy", "J"): 3.6e6 * (40 - 20 * warm + 10 * day),
        ("BT-602", "charge", "1"): (40 - 20 * warm + 10 * day) / 60,
    }


def synthetic_result(*, step=60.0, dtype=np.float32, hours=HOURS, world="stylised", wall_s=0.75, only=()):
    """A day of the invented plant; `only` keeps the channels of these tags."""
    times = np.arange(0.0, hours * 3600.0 + 1, step)
    columns = {key: column for key, column in synthetic_columns(times).items() if not only or key[0] in only}
    values = np.column_stack(list(columns.values())).astype(dtype)
    return Result(
        name="Invented plant",
        world=world,
        outcome=DONE,
        simulated_s=hours * 3600.0,
        wall_s=wall_s,
        times=times,
        values=values,
        channels=tuple(ChannelInfo(*key) for key in columns),
        statistics=Statistics.from_samples(np.column_stack(list(columns.values()))),
        events=(
            Event(5400.0, "ST-401", "start", "The turbine started: the vessel passed its threshold."),
            Event(40000.0, "TK-102", "overflow", "The tank is full and the line that fills it has stopped."),
        ),
        switch_changes={"TSH-110": 57, "TSH-120": 3},
        energy_residual=3.1e-13,
        mass_residual=0.0,
        power={"generated_kWh": 6120.5, "consumed_kWh": 5890.25, "imported_kWh": 12.0},
        audits={"heat_unaccounted_kW": 467.0, "second_law": {"CH-201": {"efficiency": 0.92}}},
        provenance={
            "versions": {"brinewright": "0.1.0"},
            "inputs": {"ridge.loop.toml": "sha256:00"},
            "wall_clock": {"wall_s": wall_s},
        },
    )
