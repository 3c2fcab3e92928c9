"""The worked example "test loop S" comes out of a brief: the same counts and choices.

The printed figures were computed beside this package, in closed form.  The 14 K of a chiller, the 125
and 95 degC of a turbine and the 175 degC of the soft alloy are common practice, no source; all other
data are invented.  These data are for tests alone.
"""

from functools import cache

import pytest

from tests.plan.places import consumer, figure, materials, place, sized

ZERO = 273.15
LOADS = (
    consumer("ZN-601", "300 kW")
    + consumer("MC-602", "520 kW")
    + consumer("MC-603", "180 kW", electric_power='"2 kW"')
    + consumer("GQ-604", "120 kW")
)
NEEDS = """
[at_hand]
power = "1 MW"
[survive]
turbines = 1
[wanted]
supply = "10.26 degC"
flow = "12 kg/s"
hold = "10 min"
matters = ["least material", "fewest machines"]
"""


@cache
def example(layouts='["L1"]'):
    return sized(LOADS + NEEDS + f"layouts = {layouts}\n", place())


def test_counts_are_those_of_the_worked_example():
    answer = example()
    counts = {part.tag: part.count for part in answer.loop.parts}

    assert answer.is_met
    assert counts["CH-201"] + counts["CH-202"] == 4
    assert counts["ST-401"] == 4


FIGURES = [
    # subject, symbol, printed, last printed digit; [kW], [degC] and [m3] as printed
    ("load", "Phi_loop", 1235.5e3, 0.1e3),
    ("flow, passes, set point", "n", 1.8386, 1e-4),
    ("flow, passes, set point", "T_s", 22.0 + ZERO, 0.01),
    ("flow, passes, set point", "T_hot", 36.0 + ZERO, 0.01),
    ("flow, passes, set point", "T_supply", 10.26 + ZERO, 0.01),
    ("chillers", "Phi_c", 336e3, 1.0),
    ("chillers", "COP", 1.8667, 1e-4),
    ("chillers", "duty", 0.919, 1e-3),
    ("chillers", "shed", 227e3, 1e3),
    ("turbines", "Phi_all", 1416e3, 1e3),
    # the printed bounds leave the leak out: 151.19 and 169.92; with it 150.88 and 169.45
    ("turbines", "T_max", 150.88 + ZERO, 0.01),
    ("turbines", "T_max(N-1)", 169.45 + ZERO, 0.01),
    ("turbines", "T_eq", 146.35 + ZERO, 0.01),
    ("power", "P_ch", 661.9e3, 0.1e3),
    ("power", "P_t", 711.8e3, 0.1e3),
    ("power", "P_net", 23.9e3, 0.1e3),
    ("audits", "eta_II", 0.92, 0.01),
    ("audits", "eta_C", 0.122, 1e-3),
    ("audits", "lost", 467e3, 1e3),
    ("audits", "G", 1.08, 0.01),
]


@pytest.mark.parametrize(("subject", "symbol", "printed", "digit"), FIGURES, ids=[row[1] for row in FIGURES])
def test_the_decision_record_gives_the_printed_figure(subject, symbol, printed, digit):
    assert figure(example(), subject, symbol) == pytest.approx(printed, abs=digit)


def test_the_return_tank_holds_ten_minutes():
    assert figure(example(), "tanks", "t_hold") == pytest.approx(600.0, rel=0.01)


def test_chillers_and_turbines_are_of_the_soft_alloy_and_valves_of_steel():
    made = materials(example())

    assert {made[tag] for tag in ("CH-201", "CH-202", "ST-401")} == {"alloy-a"}
    assert {made[tag] for tag in ("TV-110", "TV-120")} == {"steel"}


def test_three_turbines_are_refused_by_the_ordinary_peak():
    """With three the ordinary peak is 169.9 degC, above the alloy less 15 K."""
    others = {other.name: other for other in example().decision("turbines").alternatives}

    assert not others["3 turbines"].is_legal
    assert others["3 turbines"].aim == "material limit"


def test_any_layout_gives_a_loop_that_is_no_worse():
    """Free to choose, the search finds the same in its first aim, or better, and says in what."""
    free, bound = example('["L1", "L2", "L3", "L4", "L5", "L6"]'), example()
    aims = ("least material", "fewest machines")

    assert free.is_met
    assert tuple(free.measures[aim] for aim in aims) <= tuple(bound.measures[aim] for aim in aims)


def test_the_run_agrees_with_the_closed_form():
    for row in example().proof.agreements:
        assert row.difference <= 0.01 or row.reason, row.what
    load = next(row for row in example().proof.agreements if row.what.startswith("heat taken"))
    assert load.run == pytest.approx(1235.5e3, rel=0.01)
