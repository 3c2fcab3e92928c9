"""The enclosure against printed casing temperatures, an independent solver and a property library."""

import numpy as np
import pytest
from chemicals.viscosity import Wilke
from CoolProp.CoolProp import PropsSI
from ht import conv_free_immersed
from scipy.optimize import brentq

from brinewright.components.enclosure.gas import gas_line, mixed
from brinewright.fluids.line import line_values
from brinewright.laws.forced_convection import churchill_bernstein
from tests.steam_plants import GASES, ZERO, Bench, closed

SIGMA = 5.670374419e-8
MACHINE = {"heat": 28.9e3, "heat_capacity": 1e5, "highest_temperature": 2000.0, "outside_conductance": 0.0}
SHELL = {"shell_mass": 1500.0, "shell_heat_capacity": 490.0, "shell_conductance": 700e3, "gas_volume": 20.0}
REAL = {
    "casing_area": np.pi * 1.6 * 3.0, "casing_diameter": 1.6, "gap": 0.4, "casing_emissivity": 0.8,
    "shell_emissivity": 0.8, "gas": "air", "gas_pressure": 1.2e5, **SHELL,
}  # fmt: skip
SOLIDS = 10000.0


def enclosed(
    law: str, numbers: dict, *, heat: float = 28.9e3, site: dict | None = None, **refers: str
) -> Bench:
    """A machine in a shell that sheds to a place at 30 degC."""
    place = {"gravity": 9.81, "ambient_pressure": 101.3e3, "ambient_temperature": 30.0 + ZERO, **(site or {})}
    bench = Bench("real", site=place).power()
    bench.add("MC-1", "machine", "lump", {**MACHINE, "heat": heat}, begins={"temperature": 400.0})
    return bench.add("EN-1", "enclosure", law, numbers, around="MC-1", **refers)


def rested(bench: Bench, seconds: float = SOLIDS):
    run = bench.start()
    assert run.advance(seconds) == "done"
    assert closed(run)
    return run


@pytest.mark.parametrize(
    ("gas", "painted", "bright"),
    [("air", 190.0, 374.0), ("oxygen", 190.0, 371.0), ("helium", 171.0, 287.0), ("hydrogen", 160.0, 250.0)],
)
def test_a_casing_gets_as_hot_as_its_gas_lets_it(gas, painted, bright):
    """28.9 kW over a 0.4 m gap at 1.2 bar to 30 degC, emissivity 0.8 and 0.1 (worked example)."""
    for emissivity, celsius in ((0.8, painted), (0.1, bright)):
        run = rested(
            enclosed("convection and radiation", {**REAL, "gas": gas, "casing_emissivity": emissivity})
        )
        shell = run.value("EN-1", "shell temperature") - ZERO

        assert shell == pytest.approx(30.0, abs=0.1)
        assert run.value("MC-1", "temperature") - ZERO == pytest.approx(celsius, abs=1.5)


def test_vacuum_leaves_only_radiation():
    run = rested(enclosed("convection and radiation", {**REAL, "gas": "vacuum"}))
    emissivity = 1.0 / (1.0 / 0.8 + (1.6 / 2.4) * (1.0 / 0.8 - 1.0))
    shell = run.value("EN-1", "shell temperature")
    casing = (28.9e3 / (emissivity * SIGMA * REAL["casing_area"]) + shell**4) ** 0.25

    assert run.value("MC-1", "temperature") == pytest.approx(casing, abs=0.01)


def test_gas_and_radiation_balance_as_an_independent_solver_finds():
    """Raithby and Hollands from their own formula, properties from CoolProp, root by Brent."""
    run = rested(enclosed("convection and radiation", {**REAL, "gas_pressure": 2.0e5, "gas": "hydrogen"}))
    shell = run.value("EN-1", "shell temperature")
    emissivity = 1.0 / (1.0 / 0.8 + (1.6 / 2.4) * (1.0 / 0.8 - 1.0))

    def lacks(casing):
        film = 0.5 * (casing + shell)
        rho, c, mu, k = (PropsSI(name, "T", film, "P", 2e5, "Hydrogen") for name in ("D", "C", "V", "L"))
        nu, a = mu / rho, k / (rho * c)
        gap = 9.81 / film * (casing - shell) * 0.4**3 / (nu * a)
        whole = gap * np.log(1.5) ** 4 / (0.4**3 * (1.6**-0.6 + 2.4**-0.6) ** 5)
        better = max(1.0, 0.386 * (nu / a / (0.861 + nu / a)) ** 0.25 * whole**0.25)
        through = 2 * np.pi * k * better * 3.0 / np.log(1.5) * (casing - shell)
        return through + emissivity * SIGMA * REAL["casing_area"] * (casing**4 - shell**4) - 28.9e3

    assert run.value("MC-1", "temperature") == pytest.approx(brentq(lacks, 310.0, 900.0), abs=0.1)


def test_weak_gravity_makes_a_casing_hotter():
    here, there = (
        rested(enclosed("convection and radiation", {**REAL, "casing_emissivity": 0.1}, site={"gravity": g}))
        for g in (9.81, 1.62)
    )
    ratio = 1.62 / 9.81

    # the gas alone passes g^(1/4); radiation hides part of it
    assert there.value("MC-1", "temperature") > here.value("MC-1", "temperature") + 40.0
    assert there.value("EN-1", "conductance") > ratio**0.25 * here.value("EN-1", "conductance")


def test_a_fan_drives_the_gas_over_the_casing_until_it_stops():
    """Cross-flow by Churchill and Bernstein, on properties from CoolProp."""
    numbers = {**REAL, "casing_emissivity": 0.05, "forced_speed": 8.0, "fan_power": 2e3}
    run = rested(enclosed("convection and radiation", numbers))
    casing, shell = run.value("MC-1", "temperature"), run.value("EN-1", "shell temperature")
    film = 0.5 * (casing + shell)
    rho, c, mu, k = (PropsSI(name, "T", film, "P", 1.2e5, "Air") for name in ("D", "C", "V", "L"))
    gas = churchill_bernstein(8.0 * 1.6 * rho / mu, mu * c / k) * k * REAL["casing_area"] / 1.6
    emissivity = 1.0 / (1.0 / 0.05 + (1.6 / 2.4) * (1.0 / 0.8 - 1.0))
    radiation = emissivity * SIGMA * REAL["casing_area"] * (casing**2 + shell**2) * (casing + shell)

    assert run.value("EN-1", "conductance") == pytest.approx(gas + radiation, rel=2e-3)
    assert run.value("EN-1", "shed") == pytest.approx(28.9e3 + 2e3, rel=1e-3)
    still = rested(enclosed("convection and radiation", numbers).force("EN-1.running", 0.0))
    assert still.value("MC-1", "temperature") > casing + 50.0


@pytest.mark.parametrize(("gas", "factor"), [("air", 1.0), ("hydrogen", 2.05), ("vacuum", 0.0)])
def test_a_declared_conductance_is_multiplied_by_the_factor_of_its_gas(gas, factor):
    numbers = {"conductance": 250.0, "gas": gas, "gas_pressure": 1e5, **SHELL}
    run = rested(enclosed("conductance", numbers, heat=10e3), 10000.0)

    assert run.value("EN-1", "conductance") == pytest.approx(250.0 * factor)
    if factor:
        over = run.value("MC-1", "temperature") - run.value("EN-1", "shell temperature")
        assert over == pytest.approx(10e3 / (250.0 * factor), rel=1e-4)
    else:
        assert run.value("MC-1", "temperature") == pytest.approx(400.0 + 10e3 * 10000.0 / 1e5, rel=1e-9)


def test_the_enclosure_stands_in_the_way_to_the_hall():
    """Without it the casing sheds to the hall itself; with vacuum around it nothing leaves but by the gas."""
    numbers = {"conductance": 250.0, "gas": "vacuum", "gas_pressure": 1e5, **SHELL}
    bench = Bench().power()
    bench.add(
        "MC-1", "machine", "lump", {**MACHINE, "outside_conductance": 300.0}, begins={"temperature": 400.0}
    )
    free = rested(bench)
    bench = Bench().power()
    bench.add(
        "MC-1", "machine", "lump", {**MACHINE, "outside_conductance": 300.0}, begins={"temperature": 400.0}
    )
    shut = rested(bench.add("EN-1", "enclosure", "conductance", numbers, around="MC-1"))

    assert free.value("MC-1", "temperature") == pytest.approx(293.15 + 28.9e3 / 300.0, abs=0.1)
    assert shut.value("MC-1", "temperature") == pytest.approx(400.0 + 28.9e3 * SOLIDS / 1e5, rel=1e-9)


def test_a_cooler_takes_the_heat_of_the_shell():
    """q c (1 - exp(-G_k / (q c))) (T_s - T_in) beside what the shell sheds."""
    numbers = {
        "conductance": 300.0,
        "gas": "air",
        "gas_pressure": 1e5,
        "cooler_conductance": 3e3,
        "hold_up": 10.0,
        **SHELL,
        "shell_conductance": 50.0,
    }
    bench = Bench().power()
    bench.add("MC-1", "machine", "lump", MACHINE, begins={"temperature": 400.0})
    bench.add("EN-1", "enclosure", "conductance", numbers, around="MC-1").ring("EN-1", 1.0, 285.0)
    run = rested(bench)
    shell = run.value("EN-1", "shell temperature")
    carried = -4000.0 * np.expm1(-3e3 / 4000.0) * (shell - 285.0)

    assert carried + 50.0 * (shell - 293.15) == pytest.approx(28.9e3, rel=1e-4)


@pytest.mark.parametrize(
    ("law", "numbers", "celsius"),
    [
        ("fixed temperature contact", {"contact_temperature": 290.0, "conductance": 1.0}, 290.0 - ZERO),
        ("water", {"water_flow": 0.5, "water_temperature": 288.0, "conductance": 1.0}, 288.0 - ZERO),
    ],
)
def test_a_shell_can_shed_to_a_sink(law, numbers, celsius):
    shell = {"conductance": 300.0, "gas": "air", "gas_pressure": 1e5, **SHELL, "shell_conductance": 4e3}
    bench = enclosed("conductance", shell, heat=20e3, sheds_to="SK-1").add("SK-1", "final sink", law, numbers)
    run = rested(bench)
    stream = 0.5 * 4186.0
    through = 4e3 if law != "water" else -stream * np.expm1(-4e3 / stream)

    assert run.value("EN-1", "shell temperature") - ZERO == pytest.approx(celsius + 20e3 / through, abs=1e-3)
    assert run.value("SK-1", "heat") == pytest.approx(20e3, rel=1e-4)


def test_a_mixture_has_the_viscosity_of_wilke_and_the_conductivity_of_its_parts():
    """Wilke's rule by the library chemicals; hydrogen with air loses conductivity faster than by share."""
    T, p = 350.0, 1.2e5
    hydrogen, air = (
        tuple(PropsSI(name, "T", T, "P", p, gas) for name in ("D", "C", "V", "L"))
        for gas in ("Hydrogen", "Air")
    )
    rho, c, mu, k = mixed(hydrogen, air, 0.9)
    masses = [2.01588, 28.96546]

    assert mu == pytest.approx(Wilke([0.9, 0.1], [hydrogen[2], air[2]], masses), rel=2e-3)
    assert rho == pytest.approx(0.9 * hydrogen[0] + 0.1 * air[0])
    assert c == pytest.approx((0.9 * hydrogen[0] * hydrogen[1] + 0.1 * air[0] * air[1]) / rho)
    assert air[3] < k < 0.9 * hydrogen[3] + 0.1 * air[3]


def test_the_line_of_a_pure_gas_is_its_table():
    """Against CoolProp, 250 to 590 K."""
    line = np.array(gas_line("EN-1", GASES[2], 1.0, 3e5))
    for T in (250.0, 400.0, 590.0):
        expected = [PropsSI(name, "T", T, "P", 3e5, "Hydrogen") for name in ("D", "C", "V", "L")]
        assert list(line_values(line, T)) == pytest.approx(expected, rel=2e-3)


def test_free_convection_agrees_with_the_library_ht_in_the_open():
    """The gap's rule lies below that of an open cylinder, as it must: two films in series."""
    run = rested(
        enclosed("convection and radiation", {**REAL, "casing_emissivity": 0.001, "shell_emissivity": 0.001})
    )
    casing, shell = run.value("MC-1", "temperature"), run.value("EN-1", "shell temperature")
    film = 0.5 * (casing + shell)
    rho, c, mu, k = (PropsSI(name, "T", film, "P", 1.2e5, "Air") for name in ("D", "C", "V", "L"))
    grashof = 9.81 / film * (casing - shell) * 1.6**3 * (rho / mu) ** 2
    open_air = conv_free_immersed.Nu_horizontal_cylinder_Churchill_Chu(mu * c / k, grashof) * k / 1.6
    through = run.value("EN-1", "heat") / (REAL["casing_area"] * (casing - shell))

    assert 0.3 * open_air < through < open_air


@pytest.mark.parametrize("gas", ["vacuum", "air", "hydrogen"])
def test_the_casing_of_a_turbine_sheds_through_its_gas_to_the_room(gas):
    """Steady: casing heat = f G_1 (T_c - T_s) = G_o (T_s - T_room); nothing goes past the shell."""
    lump = {
        "volume": 6.0, "water_mass": 1500.0, "water_heat_capacity": 4200.0, "boils": 373.15,
        "metal_mass": 1.0, "metal_heat_capacity": 490.0, "loss_conductance": 0.0, "inner_height": 2.0,
    }  # fmt: skip
    turbine = {
        "threshold": 380.0, "differential": 2.0, "steam_flow": 1.5, "condensate_temperature": 360.0,
        "efficiency": 0.3, "highest_power": 1e9, "casing_share_of": "heat taken", "casing_share": 0.0,
        "casing_heat": 5e3, "casing_mass": 200.0, "casing_heat_capacity": 490.0, "hall_conductance": 1e3,
    }  # fmt: skip
    room = {"heat_capacity": 1e12, "outside_conductance": 0.0, "gains": 0.0, "highest_temperature": 900.0}
    shell = {"conductance": 100.0, "gas": gas, "gas_pressure": 1e5, **SHELL, "shell_conductance": 500.0}
    bench = Bench().power().add("VE-1", "steam vessel", "lump", lump, begins={"temperature": 420.0})
    bench.add("HR-1", "heat source", "fixed power", {"power": 6300.0 * 60.0}, into="VE-1")
    bench.add("ST-1", "turbine", "threshold", turbine, begins={"temperature": 300.0}, vessel="VE-1")
    bench.add("RM-1", "room", "lump", room, begins={"temperature": 300.0})
    run = rested(
        bench.add("EN-1", "enclosure", "conductance", shell, around="ST-1", sheds_to="RM-1"), 30000.0
    )
    casing, inside = run.value("ST-1", "metal temperature"), run.value("EN-1", "shell temperature")
    factor = {"vacuum": 0.0, "air": 1.0, "hydrogen": 2.05}[gas]

    if factor:
        assert casing - inside == pytest.approx(5e3 / (100.0 * factor), rel=1e-3)
        assert inside - 300.0 == pytest.approx(5e3 / 500.0, rel=1e-2)
    else:
        assert casing == pytest.approx(300.0 + 5e3 * 30000.0 / (200.0 * 490.0), rel=0.01)
