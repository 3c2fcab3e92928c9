"""Every correlation with a stated range: whole at both edges, smooth beyond them."""

import importlib
import inspect
import math
import pkgutil

import pytest

import brinewright.laws
from brinewright.laws.ranges import outside

# What an argument is set to when another one stands at its edge.
MIDDLE = {
    "reynolds": 1.5e4,
    "roughness": 1e-3,
    "prandtl": 5.0,
    "friction": 0.02,
    "bore_over_length": 0.01,
    "is_heated": True,
    "rayleigh": 1e6,
    "slenderness": 20.0,
}
STEPS = 1e-7
STATED_AT_AN_EDGE = {
    # argument at its edge, other arguments that suit it
    ("hausen", "prandtl"): {"reynolds": 1000.0},
    ("laminar", "reynolds"): {},
}


def cases():
    for entry in pkgutil.iter_modules(brinewright.laws.__path__, "brinewright.laws."):
        module = importlib.import_module(entry.name)
        for law, limits in getattr(module, "RANGES", {}).items():
            for argument, edges in limits.items():
                for edge in edges:
                    yield pytest.param(module, law, argument, edge, id=f"{law}-{argument}-{edge:g}")


def value(module, law, argument, x):
    function = getattr(module, law)
    plain = getattr(function, "py_func", function)
    others = MIDDLE | STATED_AT_AN_EDGE.get((law, argument), {}) | {argument: x}
    answer = function(**{name: others[name] for name in inspect.signature(plain).parameters})
    return answer[0] if isinstance(answer, tuple) else answer


@pytest.mark.parametrize(("module", "law", "argument", "edge"), list(cases()))
def test_a_correlation_is_whole_at_its_edges_and_smooth_beyond(module, law, argument, edge):
    if edge == 0.0 and argument == "reynolds":
        edge = 1e-3  # no flow has no friction factor; the loss there is tested with the slopes
    at = value(module, law, argument, edge)
    beyond = value(module, law, argument, edge * (1.0 + STEPS) + (1e-12 if edge == 0.0 else 0.0))
    before = value(module, law, argument, edge * (1.0 - STEPS))

    assert math.isfinite(at)
    assert at > 0.0
    # a step of 1e-7 may change a smooth law by some 1e-6 (powers up to 16 damp each other)
    assert beyond == pytest.approx(at, rel=1e-5)
    assert before == pytest.approx(at, rel=1e-5)


def test_ranges_say_which_values_lie_outside():
    limits = {"reynolds": (3000.0, 5e6), "prandtl": (0.5, 2000.0)}

    assert outside(limits, reynolds=3000.0, prandtl=2000.0) == ()
    assert outside(limits, reynolds=2999.0, prandtl=2001.0) == ("reynolds", "prandtl")
    assert outside(limits, roughness=9.0) == ()


def test_every_range_belongs_to_a_law_that_names_the_argument():
    for entry in pkgutil.iter_modules(brinewright.laws.__path__, "brinewright.laws."):
        module = importlib.import_module(entry.name)
        for law, limits in getattr(module, "RANGES", {}).items():
            function = getattr(module, law)
            named = inspect.signature(getattr(function, "py_func", function)).parameters

            assert set(limits) <= set(named), law
            assert all(low < high for low, high in limits.values()), law
