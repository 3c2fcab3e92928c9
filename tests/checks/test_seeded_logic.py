"""Mistakes of switches, valves and ways: each is found by its own code, and only where it is made."""

import pytest

from tests.checks.seeded import (
    Seed,
    add,
    field,
    is_found,
    is_silent,
    leave_out,
    line,
    part,
    report_of,
    start,
    swap,
    switch,
)
from tests.checks.sound_loops import SOUND


def own_switch(set_point, differential="0.5 K", *, sense="low", made="open", tag="TSL-110"):
    """Give the second of the two valves a switch of its own."""
    drives = f'{{ valve = "TV-110B", made = "{made}" }}'
    return (
        swap(', { valve = "TV-110B", made = "shut" }', ""),
        add(switch(tag, "L-102 at 16 m", set_point, drives, sense=sense, differential=differential)),
    )


PERMISSIVE = switch("TSH-102", "TK-102 temperature", "18 degC", '{ pump = "P-102", made = "run" }')
COLD_TANK = start("TK-102", 'level = 0.6, temperature = "-14 degC"')

SEEDS = [
    Seed(
        code="BW-F14",
        sound="two valves",
        mistake="two strict tests at one set point, so that nothing opens at exactly 18 degC",
        names="TV-110B",
        changes=(*own_switch("18 degC", "0 K"), field("TSH-110", "differential", '"0 K"')),
    ),
    Seed(
        code="BW-F15",
        sound="two valves",
        mistake="the way past the chillers shuts at 16 degC, the way to them opens at 18.5 degC",
        names="TV-110B",
        changes=own_switch("16 degC"),
    ),
    Seed(
        code="BW-F15",
        sound="two valves",
        mistake="a second high switch that shuts the direct valve 3 K too early",
        names="TV-110B",
        changes=own_switch("15 degC", sense="high", made="shut", tag="TSH-111"),
    ),
    Seed(
        code="BW-F16",
        sound="two valves",
        mistake="a second high switch that shuts the direct valve 3 K too late",
        names="TV-110B",
        changes=own_switch("21 degC", sense="high", made="shut", tag="TSH-111"),
    ),
    Seed(
        code="BW-F23",
        sound="two valves",
        mistake="two switches with narrow differentials share one decision",
        names="TSH-111",
        changes=(
            *own_switch("18 degC", "0.3 K", sense="high", made="shut", tag="TSH-111"),
            field("TSH-110", "differential", '"0.3 K"'),
        ),
    ),
    Seed(
        code="BW-F15b",
        sound="ridge",
        mistake="the first switch set 3 K above the second",
        names="TSH-110",
        changes=(field("TSH-110", "set", '"21 degC"'),),
    ),
    Seed(
        code="BW-F16b",
        sound="ridge",
        mistake="the first switch set 3 K below the second",
        names="TSH-110",
        changes=(field("TSH-110", "set", '"15 degC"'),),
    ),
    Seed(
        code="BW-F16b",
        sound="hot rock",
        mistake="the second switch raised alone",
        names="TSH-120",
        changes=(field("TSH-120", "set", '"19 degC"'),),
    ),
    Seed(
        code="BW-F16c",
        sound="ridge",
        mistake="a waiting tank filled with cold liquid",
        names="TK-102",
        changes=(COLD_TANK,),
    ),
    Seed(
        code="BW-F18",
        sound="ridge",
        mistake="a switch without a differential",
        names="TSH-120",
        changes=(field("TSH-120", "differential", '"0 K"'),),
    ),
    Seed(
        code="BW-F18",
        sound="deepstead",
        mistake="a room with little air behind a fast switch: its coil opens every few seconds",
        names="TSH-601",
        changes=(
            field("ZN-601", "air_heat_capacity", '"60 kJ/K"'),
            field("TSH-601", "differential", '"0.3 K"'),
            field("TSH-601", "lag", '"1 s"'),
        ),
    ),
    Seed(
        code="BW-F19",
        sound="ridge",
        mistake="a differential as wide as a pass",
        names="TSH-120",
        changes=(field("TSH-120", "differential", '"9 K"'),),
    ),
    Seed(
        code="BW-F19",
        sound="deepstead",
        mistake="a room whose switch swings through more than half of what it bears",
        names="ZN-601",
        changes=(field("TSH-601", "differential", '"8 K"'),),
    ),
    Seed(
        code="BW-F20",
        sound="ridge",
        mistake="the first sensor in the direct line, behind its own valve",
        names="TSH-110",
        changes=(field("TSH-110", "senses", '"L-104 at 2 m"'),),
    ),
    Seed(
        code="BW-F20",
        sound="ridge",
        mistake="the ring's sensor in the recirculation",
        names="TSH-120",
        changes=(field("TSH-120", "senses", '"L-109 at 2 m"'),),
    ),
    Seed(
        code="BW-F20",
        sound="ridge",
        mistake="the ring's sensor before the chillers, while its valve is behind them",
        names="TSH-120",
        changes=(field("TSH-120", "senses", '"L-107 at 2 m"'),),
    ),
    Seed(
        code="BW-F20",
        sound="hot rock",
        mistake="the first decision taken by the supply tank that it fills",
        names="TSH-110",
        changes=(field("TSH-110", "senses", '"TK-103 temperature"'),),
    ),
    Seed(
        code="BW-F21",
        sound="ridge",
        mistake="the ring's sensor half a metre before its valve",
        names="TSH-120",
        changes=(field("TSH-120", "senses", '"L-108 at 15.5 m"'),),
    ),
    Seed(
        code="BW-F21",
        sound="hot rock",
        mistake="a sensor in a thick pocket, with a lag of half a minute",
        names="TSH-110",
        changes=(field("TSH-110", "lag", '"30 s"'),),
    ),
    Seed(
        code="BW-F22",
        sound="ridge",
        mistake="a permissive that reads the line of the pump it stops",
        names="L-106",
        changes=(add(PERMISSIVE.replace("TK-102 temperature", "L-106 at 3 m")),),
    ),
    Seed(
        code="BW-F22",
        sound="ridge",
        mistake="a first sensor in the direct line, which stands while it is made",
        names="L-104",
        changes=(field("TSH-110", "senses", '"L-104 at 2 m"'),),
    ),
    Seed(
        code="BW-F24",
        sound="two valves",
        mistake="both valves open on the same signal, so that both are shut while it is broken",
        names="P-101",
        changes=(swap('{ valve = "TV-110B", made = "shut" }', '{ valve = "TV-110B", made = "open" }'),),
    ),
    Seed(
        code="BW-F24",
        sound="deepstead",
        mistake="rooms and looms all shut off by a switch of their own, with nothing left open",
        names="P-101",
        changes=(
            add(switch("TSH-603", "MC-603 temperature", "24 degC", '{ machine = "MC-603", made = "run" }')),
        ),
    ),
    Seed(
        code="BW-F25",
        sound="ridge",
        mistake="the ring's valve falls back to recirculation when its feeder fails",
        names="TV-120",
        changes=(field("TV-120", "fail_position", '"a"'),),
    ),
    Seed(
        code="BW-F25",
        sound="two valves",
        mistake="both valves of one decision fall shut, and the pump hangs on another feeder",
        names="TX-901",
        changes=(
            field("TV-110B", "fail_position", '"shut"'),
            field("P-101", "feeder", '"FD-902"'),
        ),
    ),
    Seed(
        code="BW-F93",
        sound="ridge",
        mistake="fresh liquid before recirculation at the ring's entry",
        names="J-111",
        changes=(field("L-109", "rank", "2"), field("L-106", "rank", "1")),
    ),
    Seed(
        code="BW-F93",
        sound="hot rock",
        mistake="recirculation without a rank",
        names="L-109",
        changes=(field("L-109", "rank", "0"),),
    ),
    Seed(
        code="BW-F94",
        sound="ridge",
        mistake="the direct line before the ring's outlet at the delivery",
        names="J-131",
        changes=(field("L-104", "rank", "1"), field("L-135", "rank", "2")),
    ),
    Seed(
        code="BW-F95",
        sound="ridge",
        mistake="a machine in the common return, a dead end when it is shut",
        names="MC-605",
        changes=(
            field("L-141", "to", '"MC-605.in"'),
            add(
                part("MC-605", "machine.bench", heat='"20 kW"', capacity='"20 kg/s"')
                + line("L-143", "MC-605.out", "ST-401.in")
            ),
            start("MC-605", 'temperature = "30 degC"'),
        ),
    ),
    Seed(
        code="BW-F96",
        sound="ridge",
        mistake="a full ring whose place fresh liquid holds",
        names="J-111",
        changes=(field("L-109", "rank", "2"), field("L-106", "rank", "1")),
    ),
    Seed(
        code="BW-F96",
        sound="ridge",
        mistake="all three tanks filled to the brim",
        names="TK-102",
        changes=(
            start("TK-101", 'level = 1.0, temperature = "26 degC"'),
            start("TK-102", 'level = 1.0, temperature = "27 degC"'),
            start("TK-103", 'level = 1.0, temperature = "16 degC"'),
        ),
    ),
    Seed(
        code="BW-F108",
        sound="two pumps",
        mistake="a standby pump that lets liquid back while it rests",
        names="P-104",
        changes=(field("P-104", "when_off", '"passes"'),),
    ),
    Seed(
        code="BW-F108",
        sound="deepstead",
        mistake="two chillers staged straight before the consumers, the resting one open",
        names="CH-202",
        changes=(
            leave_out("L-207"),
            swap('from = "TK-101.out"\nto = "P-101.in"', 'from = "T-202.out"\nto = "P-101.in"'),
        ),
    ),
    Seed(
        code="BW-F112",
        sound="ridge",
        mistake="a check valve turned round in the bypass past the consumers",
        names="NRV-101",
        changes=(
            add(
                part("NRV-101", "check-valve.flap")
                + line("L-191", "T-602.out", "NRV-101.in")
                + line("L-192", "NRV-101.out", "T-601.in")
            ),
        ),
    ),
    Seed(
        code="BW-F112",
        sound="deepstead",
        mistake="a room's lines exchanged: supply on the return, return on the supply",
        names="ZN-602",
        changes=(
            swap('from = "T-601.out"\nto = "ZN-602.in"', 'from = "T-602.out"\nto = "ZN-602.in"'),
            swap('from = "ZN-602.out"\nto = "T-602.in"', 'from = "ZN-602.out"\nto = "T-601.in"'),
        ),
    ),
    Seed(
        code="BW-F113",
        sound="deepstead",
        mistake="a line for filling, left between the field and the house",
        names="TK-801",
        changes=(
            add(
                line("L-901", "TK-801.out", "TK-101.in", bore="40 mm")
                + line("L-902", "TK-101.out", "TK-801.in", bore="40 mm")
            ),
        ),
    ),
    Seed(
        code="BW-F17",
        sound="ridge",
        mistake="the ring's switch makes on fall",
        names="TSH-120",
        changes=(field("TSH-120", "sense", '"low"'),),
    ),
    Seed(
        code="BW-F17",
        sound="ridge",
        mistake="the first valve driven to the wrong way",
        names="TV-110",
        changes=(field("TSH-110", "drives", '[{ valve = "TV-110", made = "b" }]'),),
    ),
    Seed(
        code="BW-F17",
        sound="deepstead",
        mistake="a chiller that runs while its tank is cold",
        names="CH-201",
        changes=(field("TSH-101", "drives", '[{ chiller = "CH-201", made = "stop" }]'),),
    ),
    Seed(
        code="BW-F17",
        sound="deepstead",
        mistake="a room that takes liquid only while it is cold",
        names="ZN-601",
        changes=(field("TSH-601", "sense", '"low"'),),
    ),
    Seed(
        code="BW-F17",
        sound="deepstead",
        mistake="rock that heats the vessel only when it is too hot",
        names="HR-801",
        changes=(field("TSH-301", "drives", '[{ source = "HR-801", made = "run" }]'),),
    ),
]


@pytest.mark.parametrize("seed", SEEDS, ids=str)
def test_a_mistake_is_found_by_its_own_code(seed):
    assert is_found(seed, SOUND[seed.sound])


@pytest.mark.parametrize("seed", SEEDS, ids=str)
def test_the_sound_loop_does_not_raise_that_code(seed):
    assert is_silent(seed, SOUND[seed.sound])


def test_a_permissive_keeps_a_cold_waiting_tank_out_of_the_ring():
    guarded = add(PERMISSIVE)(COLD_TANK(SOUND["ridge"]))

    assert not report_of(guarded, "BW-F16c").findings
