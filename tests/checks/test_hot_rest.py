"""Liquid and air beside a hot vessel: lines that are led through it, and what is sealed in with its steam."""

from dataclasses import replace

import pytest

import brinewright as bw
from brinewright.model.loop import Sited
from brinewright.run.simulate import simulate


def through_the_vessel(loop, tag):
    lines = (replace(line, sited=Sited(inside="VE-301")) if line.tag == tag else line for line in loop.lines)
    return replace(loop, lines=tuple(lines))


def test_a_line_led_through_a_vessel_above_boiling_is_found_by_its_own_code():
    sound = bw.read_loop(bw.scenario("kettle-ridge"))
    report = bw.check(through_the_vessel(sound, "L-104"), codes={"BW-F06"})

    assert [finding.subject for finding in report.serious] == [("L-104", "VE-301")]
    assert bw.check(sound, codes={"BW-F06"}).findings == ()


def test_air_sealed_into_a_vessel_is_asked_about_with_its_pressure():
    """1.41 bar at 135 degC from 1.013 bar at 20 degC, as Dalton's law says."""
    loop = bw.read_loop(bw.scenario("deepstead"))
    (asked,) = bw.check(loop, codes={"BW-F56"}).questions
    mean = simulate(loop)["VE-301"].temperature.mean

    told = float(asked.measure.text.split("would add ")[1].split()[0])
    assert told == pytest.approx(0.977 * mean / 293.15, rel=0.005)  # the site stands at 97.7 kPa
    assert bw.check(bw.read_loop(bw.scenario("kettle-ridge")), codes={"BW-F56"}).questions == ()
