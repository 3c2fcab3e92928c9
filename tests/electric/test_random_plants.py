"""Electric energy is neither made nor lost, whatever hangs on what."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brinewright.kernel import layout as at
from tests.plants import REAL, STYLISED, started

COMMON = """
[machine.load]
law = "lump"
heat = "0 kW"
heat_capacity = "1 MJ/K"
highest_temperature = "90 degC"
when_stopped = "bypass"
[grid.mains]
law = "power limit"
import_limit = "20 kW"
"""
STYLISED_RULES = (
    STYLISED
    + COMMON
    + """
[bus.x]
law = "power limits"
when_short = "all stop"
[feeder.x]
law = "power limits"
limit = "30 kW"
[transformer.x]
law = "power limits"
rating = "30 kW"
[battery.x]
law = "power limits"
energy = "1 kWh"
charge_power = "15 kW"
discharge_power = "25 kW"
charge_efficiency = "80 %"
discharge_efficiency = "90 %"
[steam-vessel.x]
law = "lump"
water_heat_capacity = "4.2 kJ/(kg K)"
boils = "90 degC"
volume = "10 m3"
inner_height = "2 m"
water_mass = "5000 kg"
metal_mass = "1000 kg"
metal_heat_capacity = "0.5 kJ/(kg K)"
loss_conductance = "0 W/K"
[turbine.x]
law = "threshold"
threshold = "110 degC"
differential = "5 K"
condensate_temperature = "70 degC"
highest_power = "22 kW"
efficiency = "40 %"
casing_share_of = "power"
casing_share = "0 %"
casing_mass = "500 kg"
casing_heat_capacity = "0.5 kJ/(kg K)"
hall_conductance = "50 W/K"
"""
)
REAL_RULES = (
    REAL
    + COMMON
    + """
[bus.x]
law = "losses"
when_short = "all stop"
voltage = "400 V"
short_circuit_power = "500 kW"
[feeder.x]
law = "losses"
limit = "30 kW"
route_length = "200 m"
conductor_area = "16 mm2"
[transformer.x]
law = "losses"
rating = "30 kW"
core_loss = "0.2 kW"
winding_loss = "1.5 kW"
[battery.x]
law = "losses"
energy = "1 kWh"
charge_power = "15 kW"
discharge_power = "25 kW"
charge_efficiency = "80 %"
discharge_efficiency = "90 %"
standing_loss = "100 W"
"""
)


def part(tag, use, **stated):
    rows = "".join(
        f"{key} = {value if value.isdigit() else chr(34) + value + chr(34)}\n"
        for key, value in stated.items()
    )
    return f'[[part]]\ntag = "{tag}"\nuse = "{use}"\n{rows}'


@st.composite
def plants(draw, *, real):
    """A forest of buses with whatever may hang on them."""
    n_buses = draw(st.integers(1, 3))
    heads, tails = [], []
    hangers = []
    watts = st.integers(0, 25).map(lambda kw: f"{kw} kW")
    for b in range(n_buses):
        policy = draw(st.sampled_from(["sheds in order", "all stop"]))
        heads.append(
            part(f"SB-{b}", "bus.x", when_short=policy, restores_after=f"{draw(st.integers(0, 90))} s")
        )
        hangers.append(f"SB-{b}")
        if b > 0 and draw(st.booleans()):
            over = draw(st.sampled_from(["opens", "carries"]))
            for n in range(draw(st.integers(1, 2))):
                heads.append(
                    part(
                        f"TX-{b}{n}",
                        "transformer.x",
                        supply=f"SB-{draw(st.integers(0, b - 1))}",
                        bus=f"SB-{b}",
                        when_over=over,
                    )
                )
        if draw(st.booleans()):
            heads.append(part(f"BT-{b}", "battery.x", bus=f"SB-{b}"))
            tails.append(f'[start.BT-{b}]\ncharge = "{draw(st.integers(0, 100))} %"\n')
        if draw(st.booleans()):
            heads.append(part(f"GR-{b}", "grid.mains", bus=f"SB-{b}", export_limit=draw(watts)))
        for n in range(draw(st.integers(0, 2))):
            after = f"{draw(st.integers(0, 30))} s"
            again = {"recloses_after": "40 s"} if draw(st.booleans()) else {}
            heads.append(
                part(
                    f"FD-{b}{n}", "feeder.x", bus=f"SB-{b}", opens_after=after,
                    when_over=draw(st.sampled_from(["opens", "carries"])), **again,
                )
            )  # fmt: skip
            hangers.append(f"FD-{b}{n}")
        if not real and draw(st.booleans()):
            heads.append(part(f"VE-{b}", "steam-vessel.x"))
            heads.append(part(f"ST-{b}", "turbine.x", vessel=f"VE-{b}", bus=f"SB-{b}", steam_flow="0.2 kg/s"))
            tails.append(f'[start.VE-{b}]\ntemperature = "{draw(st.integers(105, 130))} degC"\n')
    if draw(st.booleans()):
        heads.append(part("GR-9", "grid.mains", export_limit=draw(watts)))
        heads.append(part("TX-9", "transformer.x", supply="GR-9", bus="SB-0", when_over="carries"))
    for k in range(draw(st.integers(1, 5))):
        points = ", ".join(f'["00:{minute:02d}", "{draw(watts)}"]' for minute in (0, 2, 3, 5))
        tails.append(f'[schedule."s{k}"]\nquantity = "power"\npoints = [{points}]\n')
        order = {"shed": str(draw(st.integers(1, 3)))} if draw(st.booleans()) else {}
        heads.append(
            part(
                f"MC-{k}",
                "machine.load",
                electric_power=f"s{k}",
                feeder=draw(st.sampled_from(hangers)),
                **order,
            )
        )
        tails.append(f'[start.MC-{k}]\ntemperature = "20 degC"\n')
    return "\n".join([*heads, *tails])


def buses_balance(simulation):
    """P_made + P_imported + P_batteries + P_short = P_drawn + P_spilled, on every bus."""
    x, ints, header = simulation.arrays["X"], simulation.fixed["I"], simulation.fixed["H"]
    for b in range(header[3 * at.BUSES]):
        r = header[3 * at.BUSES + 1] + b * at.BU_I
        come = x[ints[r + at.BU_MADE]] + x[ints[r + at.BU_IMPORTED]] + x[ints[r + at.BU_SHORT]]
        for k in range(header[3 * at.BATTERIES]):
            i = header[3 * at.BATTERIES + 1] + k * at.BA_I
            come += x[ints[i + at.BA_POWER]] if ints[i + at.BA_BUS] == b else 0.0
        yield come, x[ints[r + at.BU_DRAWN]] + x[ints[r + at.BU_SPILLED]]


@pytest.mark.parametrize("real", [False, True], ids=["stylised", "real"])
@settings(max_examples=40)
@given(data=st.data())
def test_the_electric_ledger_closes(real, data):
    simulation = started(REAL_RULES if real else STYLISED_RULES, data.draw(plants(real=real)))
    for until in (1.0, 2.0, 60.0, 125.0, 190.0, 400.0):
        assert simulation.advance(until) == "done"
        for come, gone in buses_balance(simulation):
            assert come == pytest.approx(gone, rel=1e-9, abs=1e-4)  # shortfalls below 1e-9 are rounded off

    assert simulation.electric_residual() < 1e-9
    assert simulation.energy_residual() < 1e-9
    for tag, name, _, place in simulation.plant.channels:
        if name == "charge":
            assert -1e-12 <= simulation.arrays["X"][place] <= 1.0 + 1e-12, tag
