"""Every channel that a kind of steam and waste heat declares is made, under each of its laws."""

import math

import numpy as np
import pytest

from brinewright.catalogue import kind_named
from tests.steam_plants import Bench, closed, vessel

METAL = {"metal_mass": 900.0, "metal_heat_capacity": 490.0}
LUMP = {
    "volume": 6.0,
    "water_mass": 1500.0,
    "water_heat_capacity": 4200.0,
    "boils": 373.15,
    "loss_conductance": 10.0,
    "inner_height": 2.0,
    "latent_heat": 2e6,
    **METAL,
}
CASING = {"casing_mass": 2000.0, "casing_heat_capacity": 490.0, "hall_conductance": 200.0}
CHILLER = {"conductance": 1e4, "bare_conductance": 500.0, "flow_proof": 0.1, "hold_up": 20.0, **METAL}
SHELL = {
    "gas": "hydrogen",
    "gas_pressure": 2e5,
    "gas_volume": 9.0,
    "shell_mass": 900.0,
    "shell_heat_capacity": 490.0,
    "shell_conductance": 300.0,
    "cooler_conductance": 100.0,
    "purity": 0.97,
}
SINK = {"conductance": 3e3, "hold_up": 20.0}
TABLE = tuple(
    (270.0 + 20 * i, 320.0 + 20 * j, 2e5 + 1e4 * i, 5e4 + 1e4 * j) for i in range(2) for j in range(2)
)
CASES = [
    (
        "chiller",
        "fixed drop",
        {"drop": 5.0, "capacity": 9.0, "power": 1e4, "power_mode": "constant", "power_share": 1.0, **CHILLER},
        ("in", "out"),
        {},
    ),
    (
        "chiller",
        "second law",
        {
            "cooling_capacity": 2e5,
            "reference_evaporation": 275.0,
            "reference_condensation": 330.0,
            "second_law_efficiency": 0.5,
            "highest_condensation": 400.0,
            **CHILLER,
        },
        ("in", "out"),
        {},
    ),
    ("chiller", "catalogue table", {"table": TABLE, **CHILLER}, ("in", "out"), {}),
    ("steam vessel", "lump", LUMP, None, {}),
    ("steam vessel", "lump with latent heat", LUMP, None, {}),
    ("steam vessel", "two-phase", vessel(6.0, 3000.0, 1e6, 10.0), None, {}),
    (
        "turbine",
        "threshold",
        {
            "threshold": 380.0,
            "differential": 2.0,
            "steam_flow": 1.0,
            "condensate_temperature": 350.0,
            "efficiency": 0.1,
            "highest_power": 1e6,
            "casing_share_of": "power",
            "casing_share": 0.1,
            "jacket_conductance": 100.0,
            **CASING,
        },
        ("in", "out"),
        {"vessel": "VE-1"},
    ),
    (
        "turbine",
        "threshold",
        {
            "threshold": 380.0,
            "differential": 2.0,
            "steam_flow": 1.0,
            "condensate_temperature": 350.0,
            "efficiency": 0.1,
            "highest_power": 1e6,
            "casing_share_of": "what is left",
            "casing_share": 0.1,
            **CASING,
        },
        None,
        {"vessel": "VE-1"},
    ),
    (
        "turbine",
        "expansion",
        {
            "design_flow": 1.4,
            "design_inlet_pressure": 313e3,
            "design_exhaust_pressure": 9.6e3,
            "start_pressure": 2e5,
            "stop_pressure": 1.5e5,
            "highest_power": 1e6,
            "condenser_conductance": 2e5,
            **CASING,
        },
        ("cooling-in", "cooling-out"),
        {"vessel": "VE-1"},
    ),
    (
        "turbine",
        "expansion",
        {
            "design_flow": 1.4,
            "design_inlet_pressure": 313e3,
            "design_exhaust_pressure": 9.6e3,
            "start_pressure": 2e5,
            "stop_pressure": 1.5e5,
            "highest_power": 1e6,
            "condenser_temperature": 320.0,
            "jacket_conductance": 100.0,
            **CASING,
        },
        ("in", "out"),
        {"vessel": "VE-1"},
    ),
    ("heat source", "fixed power", {"power": 1e5}, None, {"into": "VE-1"}),
    (
        "heat source",
        "fixed temperature contact",
        {"contact_temperature": 500.0, "conductance": 1e3},
        None,
        {"into": "VE-1"},
    ),
    (
        "heat source",
        "stream",
        {
            "flow": 2.0,
            "stream_heat_capacity": 4100.0,
            "effectiveness": 0.8,
            "store_temperature": 450.0,
            "store_heat_capacity": 1e9,
        },
        None,
        {"into": "VE-1"},
    ),
    (
        "final sink",
        "declared",
        {"heat": 1e4, "lowest_temperature": 280.0, "hold_up": 20.0},
        ("in", "out"),
        {},
    ),
    ("final sink", "fixed temperature contact", {"contact_temperature": 290.0, **SINK}, ("in", "out"), {}),
    ("final sink", "radiator", {"area": 50.0, "emissivity": 0.9, **SINK}, ("in", "out"), {}),
    (
        "final sink",
        "ground",
        {"ground_temperature": 285.0, "ground_heat_capacity": 1e9, **SINK},
        None,
        {"cools": "VE-1"},
    ),
    (
        "final sink",
        "water",
        {"water_flow": 2.0, "water_temperature": 285.0, "power": 1e3, **SINK},
        ("in", "out"),
        {},
    ),
    ("enclosure", "conductance", {"conductance": 200.0, **SHELL}, ("in", "out"), {"around": "MC-1"}),
    (
        "enclosure",
        "convection and radiation",
        {
            "casing_area": 10.0,
            "casing_diameter": 1.0,
            "gap": 0.3,
            "casing_emissivity": 0.8,
            "shell_emissivity": 0.8,
            "fan_power": 1e3,
            "forced_speed": 3.0,
            **SHELL,
        },
        None,
        {"around": "MC-1"},
    ),
    (
        "relief valve",
        "declared",
        {"opens_at": 400.0, "differential": 3.0, "relief_flow": 0.2, "discharge": "safe place"},
        None,
        {"guards": "VE-1"},
    ),
    (
        "relief valve",
        "spring loaded",
        {"set_pressure": 3e5, "flow_area": 1e-4, "discharge": "safe place"},
        None,
        {"guards": "VE-1"},
    ),
    (
        "dump valve",
        "declared",
        {"steam_flow": 0.2, "returns": False, "fail_position": "shut"},
        None,
        {"vessel": "VE-1"},
    ),
    (
        "dump valve",
        "critical flow",
        {"flow_area": 1e-4, "returns": True, "condensate_temperature": 330.0, "fail_position": "shut"},
        None,
        {"vessel": "VE-1"},
    ),
    (
        "condensate pump",
        "fixed capacity",
        {"capacity": 3.0, "power": 2e3, "hotwell": 200.0},
        None,
        {"serves": "ST-9"},
    ),
    (
        "condensate pump",
        "feed",
        {"capacity": 3.0, "highest_rise": 9e5, "hotwell_height": 3.0, "hotwell": 200.0},
        None,
        {"serves": "ST-9"},
    ),
]
each = pytest.mark.parametrize(
    ("kind", "law", "numbers", "ports", "refers"),
    CASES,
    ids=[f"{case[0]}, {case[1]}, {case[3]}" for case in CASES],
)
TURBINE = CASES[9][2]


def plant(kind, law, numbers, ports, refers):
    """The part X-1, a real vessel VE-1 with a turbine ST-9, and a machine MC-1."""
    bench = Bench().power()
    begins = {"temperature": 408.0} if kind == "steam vessel" else {}
    bench.add("X-1", kind, law, numbers, begins=begins, **refers)
    bench.add("VE-1", "steam vessel", "two-phase", vessel(6.0, 3000.0, 1e6), begins={"temperature": 408.0})
    bench.add("ST-9", "turbine", "expansion", TURBINE, vessel="VE-1")  # type: ignore[arg-type]
    machine = {"heat": 1e4, "heat_capacity": 1e6, "highest_temperature": 900.0}
    bench.add("MC-1", "machine", "lump", machine, begins={"temperature": 350.0})
    if ports:
        bench.ring("X-1", 3.0, 300.0, ports)
    return bench.start()


@each
def test_a_kind_gives_the_channels_that_it_declares_and_no_others(kind, law, numbers, ports, refers):
    run = plant(kind, law, numbers, ports, refers)
    made = {(name, unit) for owner, name, unit, _ in run.plant.channels if owner == "X-1"}
    declared = {
        (channel.name, channel.unit)
        for channel in kind_named(kind).channels
        if (not channel.laws or law in channel.laws) and (not channel.port or channel.port in (ports or ()))
    }

    assert made == declared


@each
def test_a_plant_with_the_kind_runs_and_its_ledgers_close(kind, law, numbers, ports, refers):
    run = plant(kind, law, numbers, ports, refers)

    assert run.advance(300.0) == "done"
    assert closed(run)
    assert np.all(np.isfinite(run.arrays["X"][: run.recorded]))
    assert all(
        math.isfinite(run.value(owner, name)) for owner, name, _, _ in run.plant.channels if owner == "X-1"
    )


def test_every_law_of_these_kinds_is_tried():
    tried = {(case[0], case[1]) for case in CASES}
    declared = {(name, law.name) for name in {case[0] for case in CASES} for law in kind_named(name).laws}

    assert tried == declared
