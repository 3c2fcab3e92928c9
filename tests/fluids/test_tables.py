"""The shipped tables against the library they were made with, at points of its own choosing."""

import hashlib
import subprocess
import sys
import warnings
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from brinewright.fluids import fluid, layout, water_tables
from brinewright.fluids.closures import vessel_state
from brinewright.fluids.gas import GASES
from brinewright.fluids.line import line_values
from brinewright.fluids.liquid import liquid_state, liquid_transport
from brinewright.fluids.saturation import saturation_line, saturation_temperature
from brinewright.fluids.solution import SOLUTIONS
from brinewright.fluids.steam import steam_state, steam_transport
from brinewright.fluids.tables import coefficients, metadata

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    CoolProp: Any = pytest.importorskip("CoolProp.CoolProp", exc_type=ImportError)

W = water_tables()
ERRORS = metadata("water")["errors"]
RANDOM = np.random.default_rng(7)
"""Another seed than that of the maker."""
NAMES = "density", "internal energy", "enthalpy", "entropy", "heat capacity", "viscosity", "conductivity"
FLOORS = 0.0, 1e5, 1e5, 300.0, 0.0, 0.0, 0.0


@cache
def water() -> Any:
    return CoolProp.AbstractState("HEOS", "Water")


def within(name: str, region: str, got: float, wanted: float, floor: float = 0.0) -> None:
    # a random search finds most of the largest error but not all of it
    assert abs(got - wanted) <= 1.5 * ERRORS[region][name] * max(abs(wanted), floor), (region, name)


def test_stated_errors_of_the_saturation_line_hold() -> None:
    for T in RANDOM.uniform(layout.TRIPLE_TEMPERATURE, layout.HIGHEST_SATURATION, 1500):
        state = water()
        state.unspecify_phase()
        got = saturation_line(W, T)
        for quality, columns in ((0.0, (1, 3, 5, 7)), (1.0, (2, 4, 6, 8))):
            state.update(CoolProp.QT_INPUTS, quality, T)
            within("saturation pressure", "saturation", got[0], state.p())
            within("density", "saturation", 1.0 / got[columns[0]], state.rhomass())
            within("internal energy", "saturation", got[columns[1]], state.umass(), 1e5)
            within("enthalpy", "saturation", got[columns[2]], state.hmass(), 1e5)
            within("entropy", "saturation", got[columns[3]], state.smass(), 300.0)
        within("boiling point", "saturation", saturation_temperature(W, state.p()), T)


def reference_state(temperature: float, pressure: float, phase: int) -> tuple[float, ...]:
    state = water()
    state.specify_phase(phase)
    state.update(CoolProp.PT_INPUTS, pressure, temperature)
    return (
        state.rhomass(), state.umass(), state.hmass(), state.smass(), state.cpmass(),
        state.viscosity(), state.conductivity(),
    )  # fmt: skip


def test_stated_errors_of_liquid_water_hold() -> None:
    for _ in range(1500):
        T = RANDOM.uniform(layout.TRIPLE_TEMPERATURE, layout.HIGHEST_SATURATION)
        p = RANDOM.uniform(saturation_line(W, T)[0], layout.HIGHEST_LIQUID_PRESSURE)
        wanted = reference_state(T, p, CoolProp.iphase_liquid)
        got = (*liquid_state(W, T, p), *liquid_transport(W, T, p))
        for name, a, b, floor in zip(NAMES, got, wanted, FLOORS, strict=True):
            within(name, "liquid", a, b, floor)
        state = vessel_state(W, 1.0 / wanted[0], wanted[1], T + RANDOM.uniform(-30, 30))
        assert abs(state[0] - T) < 1.5 * ERRORS["liquid"]["temperature from v and u [K]"]
        assert abs(state[1] - p) < 1.5 * ERRORS["liquid"]["pressure from v and u [Pa]"]


def test_stated_errors_of_steam_hold() -> None:
    for _ in range(1500):
        T = RANDOM.uniform(layout.TRIPLE_TEMPERATURE, layout.HIGHEST_TEMPERATURE)
        p = RANDOM.uniform(1e-4, 1.0) * min(saturation_line(W, T)[0], layout.HIGHEST_PRESSURE)
        wanted = reference_state(T, p, CoolProp.iphase_gas)
        got = (*steam_state(W, T, p), *steam_transport(W, T, wanted[0]))
        for name, a, b, floor in zip(NAMES, got, wanted, FLOORS, strict=True):
            within(name, "steam", a, b, floor)
        state = vessel_state(W, 1.0 / wanted[0], wanted[1], T + RANDOM.uniform(-30, 30))
        assert abs(state[0] - T) < 1.5 * ERRORS["steam"]["temperature from v and u [K]"]
        assert abs(state[1] / p - 1.0) < 1.5 * ERRORS["steam"]["pressure from v and u"]


def test_errors_of_water_are_as_small_as_promised() -> None:
    line = ERRORS["saturation"]

    assert max(line.values()) < 1e-6
    for region in ("liquid", "steam"):
        for name in NAMES:
            # the library's conductivity of liquid has a kink that no smooth table follows
            assert ERRORS[region][name] < (4e-4 if (region, name) == ("liquid", "conductivity") else 1e-4)


@pytest.mark.parametrize("name", sorted(SOLUTIONS))
def test_coolants_are_those_of_the_published_fits(name: str) -> None:
    solution, table = SOLUTIONS[name], coefficients("solutions", name)
    state = CoolProp.AbstractState("INCOMP", solution.code)
    errors = metadata("solutions")["solutions"][name]["errors"]
    for share in RANDOM.uniform(table[2], table[3], 40):
        (state.set_mass_fractions if solution.by_mass else state.set_volu_fractions)([share])
        freezing = state.keyed_output(CoolProp.iT_freeze)
        assert solution.series_freezing(table, share) == pytest.approx(freezing, rel=1e-9)
        for T in RANDOM.uniform(max(freezing + 0.01, state.Tmin()), state.Tmax(), 5):
            state.update(CoolProp.PT_INPUTS, 60e5, T)
            wanted = {
                "density": state.rhomass(), "heat capacity": state.cpmass(),
                "viscosity": state.viscosity(), "conductivity": state.conductivity(),
            }  # fmt: skip
            got = solution.series_values(table, share, T)
            for value, (quantity, reference) in zip(got, wanted.items(), strict=True):
                assert float(value) == pytest.approx(reference, rel=1.5 * errors[quantity])


@pytest.mark.parametrize("name", sorted(GASES))
def test_gases_are_those_of_the_reference_equations(name: str) -> None:
    gas, table = GASES[name], coefficients("gases", name)
    state = CoolProp.AbstractState("HEOS", gas.code)
    state.specify_phase(CoolProp.iphase_gas)
    errors = metadata("gases")["gases"][name]["errors"]
    for _ in range(300):
        T, p = RANDOM.uniform(gas.coldest, gas.highest), RANDOM.uniform(gas.thinnest, gas.densest)
        state.update(CoolProp.PT_INPUTS, p, T)
        wanted = {
            "density": state.rhomass(), "heat capacity": state.cpmass(),
            "heat capacity at constant volume": state.cvmass(), "viscosity": state.viscosity(),
            "conductivity": state.conductivity(),
        }  # fmt: skip
        for value, (quantity, reference) in zip(gas.series_values(table, T, p), wanted.items(), strict=True):
            assert float(value) == pytest.approx(reference, rel=1.5 * errors[quantity])
        assert max(errors.values()) < 1e-4


@pytest.mark.parametrize(
    "name",
    [
        "water",
        "ethylene glycol 30 %",
        "propylene glycol 60 %",
        "calcium chloride brine 25 %",
        "air",
        "helium",
    ],
)
def test_a_line_follows_its_fluid(name: str) -> None:
    one = fluid(name)
    L = one.line(4e5)
    high = L[0] + L[1] * (len(L) - 2) / 16
    for T in np.linspace(L[0] + 0.3, high - 0.3, 97):
        got = line_values(L, T)
        for value, quantity in zip(got, ("rho", "cp", "mu", "k"), strict=True):
            # the kink of liquid water's conductivity is what limits the spline
            assert value == pytest.approx(one.value(quantity, T=float(T), p=4e5), rel=3e-4)
    assert line_values(L, high + 50.0) == line_values(L, high)
    assert line_values(L, L[0] - 50.0) == line_values(L, L[0])


def test_a_line_of_a_coolant_ends_where_it_boils() -> None:
    one = fluid("ethylene glycol 30 %")
    L = one.line(101325.0)

    assert L[0] + 160 * L[1] == pytest.approx(one.value("boiling point", p=101325.0), abs=1e-9)


def test_tables_are_small() -> None:
    data = Path(str(files("brinewright.fluids"))) / "data"

    assert sum(path.stat().st_size for path in data.iterdir()) < 1_000_000


def test_the_maker_gives_the_shipped_tables_again() -> None:
    """A sample of the fits; the whole takes longer."""
    import tools.make_tables as maker
    import tools.table_sources as sources

    table = np.zeros(layout.LENGTH)
    maker.fit_saturation(sources.Water(), table)
    shipped = W[layout.SATURATION : layout.LIQUID]

    assert table[layout.SATURATION : layout.LIQUID] == pytest.approx(shipped, rel=1e-6, abs=1e-9)


def test_water_tables_are_one_writable_float_vector() -> None:
    """A read-only or strided vector would compile every caller a second time."""
    assert W.dtype == np.float64
    assert W.flags.c_contiguous
    assert W.flags.writeable
    assert W.shape == (layout.LENGTH,)
    assert water_tables() is W


def test_evaluation_leaves_the_tables_alone() -> None:
    before = hashlib.sha256(W.tobytes()).hexdigest()
    vessel_state(W, 0.1, 1e6, 300.0)
    fluid("water").line(1e5)

    assert hashlib.sha256(W.tobytes()).hexdigest() == before


def test_the_package_needs_neither_the_maker_nor_the_compiler_to_start() -> None:
    program = (
        "import sys, numpy; before = set(sys.modules); import brinewright.fluids as f;"
        "f.fluid('air').value('rho', T=300.0, p=1e5); f.fluid('MEG 30 %').value('mu', T=300.0);"
        "new = set(sys.modules) - before;"
        "print([m for m in ('CoolProp', 'numba', 'scipy') if m in new])"
    )
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True,
                          env={"PYTHONPATH": ":".join(sys.path)})  # fmt: skip

    assert told.stdout.strip() == "[]"
