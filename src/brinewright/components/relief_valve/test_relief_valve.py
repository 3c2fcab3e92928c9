"""The relief valve against the printed relief of a worked example and its own balance."""

import pytest
from CoolProp.CoolProp import PropsSI

from brinewright.errors import InputError
from tests.steam_plants import ZERO, Bench, closed, events, vessel

SPRING = {
    "set_pressure": 10.013e5,
    "flow_area": 1143e-6,
    "discharge": "safe place",
    "discharge_coefficient": 0.975,
}
LUMP = {
    "volume": 6.0, "water_mass": 1500.0, "water_heat_capacity": 4200.0, "boils": 373.15, "metal_mass": 1000.0,
    "metal_heat_capacity": 1000.0, "loss_conductance": 0.0, "inner_height": 2.0,
}  # fmt: skip
DECLARED = {"opens_at": 450.0, "differential": 5.0, "relief_flow": 2.0, "discharge": "safe place"}


def guarded(heat: float = 3549e3, celsius: float = 175.0, **more) -> Bench:
    bench = Bench("real").add(
        "VE-1",
        "steam vessel",
        "two-phase",
        vessel(6.0, 3354.0, 1225e3),
        begins={"temperature": celsius + ZERO},
    )
    bench.add("HR-1", "heat source", "fixed power", {"power": heat}, into="VE-1")
    return bench.add("PSV-1", "relief valve", "spring loaded", {**SPRING, **more}, guards="VE-1")


def test_it_opens_at_its_set_pressure_and_not_before():
    run = guarded().start(longest_step=1)
    while events(run).get("blows") is None:
        run.advance(run.time + 1.0)
        if events(run).get("blows") is None:
            assert run.value("VE-1", "pressure") < 1.002 * 10.013e5
            assert run.value("PSV-1", "flow") == 0.0

    assert run.value("VE-1", "pressure") == pytest.approx(10.013e5, rel=0.01)


def test_ten_per_cent_over_it_passes_what_the_vessel_makes():
    """3549 kW: 1.774 kg/s through 1143 mm2 at 10 % over 9 bar gauge (API 520-1, worked example)."""
    run = guarded().start()
    run.advance(900.0)
    pressure = run.value("VE-1", "pressure")
    flow = run.value("PSV-1", "flow")
    lift = min((pressure - 10.013e5 * 0.93) / (0.1 * 10.013e5), 1.0)

    assert flow == pytest.approx(lift * 1.4581e-3 * 0.975 * 1143e-6 * pressure, rel=1e-3)
    # what it lets go carries the heat away, and the space it leaves fills with steam
    T = run.value("VE-1", "temperature")
    latent = PropsSI("H", "T", T, "Q", 1, "Water") - PropsSI("H", "T", T, "Q", 0, "Water")
    assert flow == pytest.approx(3549e3 / latent, rel=0.05)
    assert pressure < 1.1 * 10.013e5
    assert closed(run)


def test_it_stays_open_until_the_pressure_has_fallen_by_its_reseat():
    run = guarded(celsius=181.0, heat=0.0).start(longest_step=1)
    run.advance(3600.0)

    assert run.value("PSV-1", "open") == 0.0
    assert run.value("PSV-1", "relieved") > 0.0
    assert run.value("VE-1", "pressure") == pytest.approx(10.013e5 * 0.93, rel=0.01)
    assert closed(run)


def test_what_it_lets_go_is_missing_in_the_vessel():
    run = guarded().start()
    run.advance(900.0)

    assert run.value("PSV-1", "relieved") == pytest.approx(3354.0 - run.value("VE-1", "mass"), rel=1e-9)
    assert run.value("VE-1", "relieved") == run.value("PSV-1", "relieved")


def test_against_a_high_back_pressure_less_passes():
    free, backed = (guarded(back_pressure=behind).start() for behind in (1e5, 8.5e5))
    for run in (free, backed):
        run.advance(400.0)

    assert backed.value("VE-1", "pressure") > free.value("VE-1", "pressure")


def test_a_full_vessel_relieves_liquid():
    """q = A sqrt(2 rho (p - p_b)), Torricelli."""
    bench = Bench("real").add(
        "VE-1",
        "steam vessel",
        "two-phase",
        vessel(2.0, 0.919 * 998.2 * 2.0),
        begins={"temperature": 148.0 + ZERO},
    )
    bench.add("HR-1", "heat source", "fixed power", {"power": 100e3}, into="VE-1")
    bench.add("PSV-1", "relief valve", "spring loaded", {**SPRING, "flow_area": 1e-6}, guards="VE-1")
    run = bench.start(longest_step=1)
    run.advance(600.0)
    pressure, density = run.value("VE-1", "pressure"), run.value("VE-1", "mass") / 2.0

    assert run.value("VE-1", "level") == 1.0
    assert run.value("PSV-1", "flow") == pytest.approx(
        run.value("PSV-1", "open") * 0.975e-6 * (2.0 * density * (pressure - 101.3e3)) ** 0.5, rel=0.02
    )
    assert closed(run)


def declared(heat: float = 8e6) -> Bench:
    bench = Bench().add("VE-1", "steam vessel", "lump", LUMP, begins={"temperature": 440.0})
    bench.add("HR-1", "heat source", "fixed power", {"power": heat}, into="VE-1")
    return bench.add("PSV-1", "relief valve", "declared", DECLARED, guards="VE-1")


def test_a_declared_valve_opens_by_temperature_and_shuts_below():
    run = declared().start(longest_step=1)
    run.advance(30.0)
    opened = events(run)["blows"]

    assert 440.0 + opened * 8e6 / (1500.0 * 4200.0 + 1e6) == pytest.approx(450.0, abs=2.2)
    assert run.value("PSV-1", "flow") == 2.0
    assert closed(run)


def test_a_lump_keeps_its_temperature_while_it_lets_hot_mass_go():
    """(M c + C) dT/dt = Phi: what leaves takes just its own warmth along."""
    run = declared(heat=0.0).force("PSV-1.open", 1.0).start()
    run.advance(300.0)

    assert run.value("VE-1", "temperature") == pytest.approx(440.0, abs=1e-9)
    assert run.value("VE-1", "mass") == pytest.approx(1500.0 - 600.0, rel=1e-9)


def test_it_can_blow_into_a_tank():
    bench = declared(heat=0.0)
    bench.parts[-1] = bench.parts[-1].__class__(
        **{**vars(bench.parts[-1]), "refers": {"guards": ("VE-1",), "into": ("TK-main-A",)}}
    )
    bench.add(
        "SK-1",
        "final sink",
        "fixed temperature contact",
        {"contact_temperature": 290.0, "conductance": 0.0, "hold_up": 5.0},
    )
    run = bench.ring("SK-1", 1.0, 290.0).force("PSV-1.open", 1.0).force("P-main.running", 0.0).start()
    run.advance(100.0)
    tank = run.value("TK-main-A", "mass")
    mixed = (5e7 * 4000.0 * 290.0 + 200.0 * 4200.0 * 440.0) / (4000.0 * (5e7 + 200.0))

    assert tank == pytest.approx(5e7 + 200.0, rel=1e-12)
    assert run.value("TK-main-A", "temperature") == pytest.approx(mixed, abs=1e-6)
    assert run.energy_residual() < 1e-9


def test_a_spring_on_a_lump_is_refused():
    bench = Bench().add("VE-1", "steam vessel", "lump", LUMP, begins={"temperature": 440.0})
    bench.add("PSV-1", "relief valve", "spring loaded", SPRING, guards="VE-1")

    with pytest.raises(InputError, match="knows no pressure"):
        bench.start()
