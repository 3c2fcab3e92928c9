"""A room follows its two nodes, its ventilation and the water in its air."""

import math

import pytest

from brinewright.compile import compile_plant
from brinewright.files import parse_design, parse_rulebook
from brinewright.files.weather import read_weather, shipped_weather
from brinewright.laws.room import two_node_temperatures
from brinewright.run.simulation import Simulation
from tests.plants import HEAD, REAL, STYLISED, closes, started

PRESSURE = 9e4  # of the site of these plants

RULES = (
    REAL.replace('ambient_temperature = "20 degC"', 'ambient_temperature = "20 degC"\nhumidity = "40 %"')
    + """
[room.hall]
law = "two-node"
air_heat_capacity = "2 MJ/K"
wall_heat_capacity = "40 MJ/K"
air_wall_conductance = "300 W/K"
wall_outside_conductance = "80 W/K"
air_outside_conductance = "20 W/K"
air_mass = "400 kg"
gains = "3 kW"
coil_conductance = "500 W/K"
highest_temperature = "40 degC"
when_stopped = "bypass"
[pipe-run.hose]
law = "layered"
wall_thickness = "3 mm"
insulation_thickness = "0 mm"
[pump.steady]
law = "curve"
shut_off_pressure = "100 kPa"
duty_flow = "0.001 m3/s"
duty_pressure = "60 kPa"
when_off = "stops"
[buffer-tank.big]
law = "mixed"
volume = "500 m3"
"""
)
ROOM = """
[[part]]
tag = "ZN-1"
use = "room.hall"
"""
START = """
[start.ZN-1]
temperature = "30 degC"
wall_temperature = "25 degC"
humidity = "50 %"
"""
COIL = """
[[part]]
tag = "TK-1"
use = "buffer-tank.big"
[[part]]
tag = "P-1"
use = "pump.steady"
[[line]]
tag = "L-1"
from = "TK-1.out"
to = "P-1.in"
use = "pipe-run.hose"
length = "20 m"
bore = "50 mm"
material = "steel"
[[line]]
tag = "L-2"
from = "P-1.out"
to = "ZN-1.in"
use = "pipe-run.hose"
length = "20 m"
bore = "50 mm"
material = "steel"
[[line]]
tag = "L-3"
from = "ZN-1.out"
to = "TK-1.in"
use = "pipe-run.hose"
length = "20 m"
bore = "50 mm"
material = "steel"
"""
COLD = '[start.TK-1]\nlevel = 0.5\ntemperature = "6 degC"\n'


def saturated(temperature):
    """Saturation pressure of water [Pa] after Buck (1981): within 0.3 % from 0 to 50 degC."""
    t = temperature - 273.15
    return 611.21 * math.exp((18.678 - t / 234.5) * t / (257.14 + t))


def ratio(humidity, temperature):
    vapour = humidity * saturated(temperature)
    return 0.622 * vapour / (PRESSURE - vapour)


def relative(water, temperature):
    """Relative humidity of air with `water` by dry air [kg/kg]."""
    return PRESSURE * water / (0.622 + water) / saturated(temperature)


def test_air_and_wall_follow_the_closed_form():
    """Two-node model in closed form, `laws.room.two_node_temperatures`."""
    plant = started(RULES, ROOM + START)
    assert plant.advance(7200.0) == "done"
    air, wall = two_node_temperatures(
        7200.0, 303.15, 298.15, 2e6, 40e6, 300.0, 20.0, 80.0, 293.15, 3000.0, 0.0
    )

    # 11 s steps of second order against the fastest time of 6250 s
    assert plant.value("ZN-1", "temperature") == pytest.approx(air, abs=1e-4)
    assert plant.value("ZN-1", "wall temperature") == pytest.approx(wall, abs=1e-4)
    assert closes(plant)


def test_ventilation_draws_the_room_to_the_air_outside():
    """M_a dw/dt = q (w_o - w): after 2 M_a / q the difference has fallen to e^-2."""
    plant = started(RULES, ROOM + 'ventilation = "0.5 kg/s"\n' + START)
    assert plant.advance(1600.0) == "done"
    outside, begin = ratio(0.4, 293.15), ratio(0.5, 303.15)
    expected = outside + (begin - outside) * math.exp(-2.0)
    air = plant.value("ZN-1", "temperature")

    assert plant.value("ZN-1", "humidity") == pytest.approx(relative(expected, air), rel=0.006)
    still = started(RULES, ROOM + START)
    still.advance(1600.0)
    assert air < still.value("ZN-1", "temperature") - 1.0
    assert closes(plant)


def test_the_steady_room_balances_gains_against_all_ways_out():
    """Phi = (G_ao + q c_a + G_aw G_wo / (G_aw + G_wo)) (T - T_o), with c_a of moist air."""
    plant = started(RULES, ROOM + 'ventilation = "0.2 kg/s"\nwall_heat_capacity = "1 MJ/K"\n' + START)
    assert plant.advance(40 * 86400.0 / 24.0) == "done"
    ways = 20.0 + 0.2 * (1006.0 + 1860.0 * ratio(0.4, 293.15)) + 300.0 * 80.0 / 380.0

    assert plant.value("ZN-1", "temperature") - 293.15 == pytest.approx(3000.0 / ways, rel=1e-4)


def test_people_and_plants_wet_the_air_of_a_closed_room():
    plant = started(
        RULES, ROOM + 'moisture_gain = "0.4 g/s"\ngains = "0 kW"\nhighest_humidity = "70 %"\n' + START
    )
    assert plant.advance(3600.0) == "done"
    expected = ratio(0.5, 303.15) + 0.4e-3 * 3600.0 / 400.0
    told = [plant.plant.events[int(row[1])][1] for row in plant.events[: plant.counters[1]]]

    assert plant.value("ZN-1", "humidity") == pytest.approx(
        relative(expected, plant.value("ZN-1", "temperature")), rel=0.006
    )
    assert told == ["too-humid"]


def test_a_coil_below_the_dew_point_dries_the_air_and_gives_its_latent_heat_to_the_coolant():
    """Steady: g_m = (G_c / c_a) (w - w_k), and the coolant takes sensible and latent heat."""
    plant = started(RULES, ROOM + 'moisture_gain = "1 g/s"\n' + COIL + START + COLD)
    assert plant.advance(86400.0) == "done"
    cold = 0.5 * (plant.value("L-2", "outlet temperature") + plant.value("ZN-1", "outlet temperature"))
    air = plant.value("ZN-1", "temperature")
    expected = ratio(1.0, cold) + 1e-3 / (500.0 / 1006.0)
    latent = 1e-3 * 2.487e6  # at 6 degC, steam tables
    carried = plant.value("ZN-1", "flow") * 3500.0
    # the coolant takes the heat of the water behind the coil's own content
    sensible = 500.0 * (air - (cold - 0.5 * latent / carried))
    rise = plant.value("ZN-1", "outlet temperature") - plant.value("L-2", "outlet temperature")

    assert plant.value("ZN-1", "humidity") == pytest.approx(relative(expected, air), rel=0.01)
    assert plant.value("ZN-1", "cooling") == pytest.approx(sensible + latent, rel=0.01)
    # temperatures are those at the end of a step, the heat flow is its mean; both move by some
    # thousandths while a parcel goes over from the coil to the line
    assert carried * rise == pytest.approx(plant.value("ZN-1", "cooling"), rel=6e-3)
    assert closes(plant)


def test_a_coil_above_the_dew_point_stays_dry():
    warm = COLD.replace("6 degC", "24 degC")
    plant = started(RULES, ROOM + COIL + START + warm)
    assert plant.advance(600.0) == "done"
    cold = 0.5 * (plant.value("L-2", "outlet temperature") + plant.value("ZN-1", "outlet temperature"))

    assert plant.value("ZN-1", "cooling") == pytest.approx(
        500.0 * (plant.value("ZN-1", "temperature") - cold), rel=1e-3
    )


def test_the_fan_warms_the_room_and_draws_its_power_while_the_coil_works():
    fan = ROOM + 'fan_power = "2 kW"\ngains = "0 kW"\ncoil_conductance = "0 W/K"\n' + COIL + START + COLD
    stop = '[[force]]\ntarget = "ZN-1.running"\nvalue = "stop"\nstart = "1800 s"\n'
    plant = started(RULES, fan + stop.replace('"stop"', '"0 %"'))
    plain = started(RULES, fan.replace("2 kW", "0 kW"))
    assert plant.advance(1800.0) == "done"
    plain.advance(1800.0)
    warmer = plant.value("ZN-1", "temperature") - plain.value("ZN-1", "temperature")
    drawn = plant.value("ZN-1", "power")
    assert plant.advance(1900.0) == "done"

    assert (drawn, plant.value("ZN-1", "power")) == (2000.0, 0.0)
    # 2 kW for 1800 s into 2 MJ/K would be 1.8 K, less what the wall takes
    assert 1.4 < warmer < 1.8


@pytest.mark.parametrize(("word", "passes"), [("dead end", False), ("bypass", True)])
def test_a_stopped_room_takes_no_heat_and_its_coolant_stops_or_goes_past(word, passes):
    rules = RULES.replace('when_stopped = "bypass"', f'when_stopped = "{word}"')
    stop = '[[force]]\ntarget = "ZN-1.running"\nvalue = "0 %"\n'
    plant = started(rules, ROOM + COIL + START + COLD + stop)
    assert plant.advance(300.0) == "done"

    assert (plant.value("ZN-1", "flow") > 0.1) == passes
    assert plant.value("ZN-1", "cooling") == pytest.approx(0.0, abs=1e-6)


def test_the_room_follows_the_weather_file():
    rules = parse_rulebook(RULES, "toy.rulebook.toml")
    design, book = parse_design(
        HEAD + ROOM + 'ventilation = "2 kg/s"\nair_wall_conductance = "0 W/K"\n' + START, ".", rules
    )
    weather = read_weather(shipped_weather())
    plant = Simulation(compile_plant(design, book, weather=weather))
    assert plant.advance(12 * 3600.0) == "done"
    moment = weather.at(12 * 3600.0)

    assert plant.value("SITE", "outside temperature") == pytest.approx(moment.temperature, abs=0.05)
    assert plant.value("SITE", "humidity") == pytest.approx(moment.humidity, abs=0.01)
    # 3 kW, and 20 W/K from the hall at 20 degC, against 2 kg/s of outside air
    led_in = 2.0 * 1006.0
    expected = (3000.0 + 20.0 * 293.15 + led_in * moment.temperature) / (led_in + 20.0)
    assert plant.value("ZN-1", "temperature") == pytest.approx(expected, abs=0.3)  # it lags behind the hour


def test_a_declared_lump_reaches_its_own_balance():
    """T - T_o = Phi / G, after six time constants."""
    rules = STYLISED + (
        '[room.cave]\nlaw = "lump"\nheat_capacity = "1 MJ/K"\noutside_conductance = "200 W/K"\n'
        'gains = "4 kW"\nhighest_temperature = "60 degC"\n'
        'lowest_temperature = "10 degC"\nwhen_stopped = "dead end"\n'
    )
    plant = started(
        rules, '[[part]]\ntag = "ZN-1"\nuse = "room.cave"\n[start.ZN-1]\ntemperature = "5 degC"\n'
    )
    assert plant.advance(86400.0) == "done"
    told = [plant.plant.events[int(row[1])][:2] for row in plant.events[: plant.counters[1]]]

    assert plant.value("ZN-1", "temperature") - 293.15 == pytest.approx(20.0, rel=1e-6)
    assert told == [("ZN-1", "too-cold")]
