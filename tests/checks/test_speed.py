"""What a check of Kettle Ridge takes beside the run that it shares."""

import time

from brinewright.checks import LoopCase, check
from tests.checks.seeds import sound


def test_judgement_and_headroom_take_less_than_a_second_of_one_core():
    """Of the two seconds of the whole check; measured at 0.5 s, counted in processor time."""
    loop, rules, folder = sound("kettle-ridge")
    day = LoopCase(loop, rules, folder=folder).day
    check(loop, rules, day=day, folder=folder)  # load what is loaded once
    began = time.process_time()
    report = check(loop, rules, day=day, folder=folder)

    assert report.headroom
    assert time.process_time() - began < 1.0
