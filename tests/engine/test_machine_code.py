"""What makes compiling quick changes no answer: one process or two, and one function for all constants."""

import os
import sys
import threading

import numba
import numpy as np
import pytest

from brinewright.jit import UNCOMPILED, inner

if UNCOMPILED:
    pytest.skip("nothing is compiled", allow_module_level=True)

from brinewright import machine_code


def fresh():
    """Return a function of many parts that nothing has compiled yet, and its parts."""

    @inner
    def grown(x, power):
        return x**power + max(x, 1.5)

    @inner
    def turned(x):
        return grown(x, 2) - grown(x, 3)

    @inner
    def summed(values, count):
        total = 0.0
        for k in range(count):
            total += turned(values[k]) + grown(values[k], k)
        return total

    def answer(values):
        return summed(values, values.size)

    whole = numba.njit(error_model="numpy", pipeline_class=machine_code.WHOLE)(answer)
    return whole, (grown, turned, summed)


def by_hand(values):
    def grown(x, power):
        return x**power + max(x, 1.5)

    return sum(grown(x, 2) - grown(x, 3) + grown(x, k) for k, x in enumerate(values))


VALUES = [0.5, 1.0, 2.0, 3.5]


@pytest.fixture
def translators(monkeypatch):
    if sys.platform != "linux" or len(os.sched_getaffinity(0)) < 2 or threading.active_count() > 1:
        pytest.skip("here a second process is never split off")
    fresh_translators = machine_code._Translators()
    monkeypatch.setattr(machine_code, "_translators", fresh_translators)
    monkeypatch.setattr(machine_code, "_WORTH_A_SPLIT", 1)
    return fresh_translators


def value(function):
    return function(np.array(VALUES))


def test_two_processes_find_what_python_finds(translators):
    assert value(fresh()[0]) == pytest.approx(by_hand(VALUES), rel=1e-14)  # rounding of the powers
    assert translators.splits > 0
    assert translators.works


def test_one_process_finds_what_two_find(translators, monkeypatch):
    by_two = value(fresh()[0])
    monkeypatch.setattr(translators, "works", False)
    assert value(fresh()[0]) == by_two


def test_a_second_process_that_fails_costs_no_answer(translators, monkeypatch):
    monkeypatch.delattr(machine_code._Part, "packed")
    assert value(fresh()[0]) == pytest.approx(by_hand(VALUES), rel=1e-14)
    assert not translators.works


def test_a_function_is_compiled_once_for_all_constants():
    whole, (grown, *_) = fresh()
    value(whole)
    assert len(grown.overloads) == 1
