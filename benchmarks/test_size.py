"""How long `size` takes for Kettle Ridge, proof included; the goal is under 10 s on two cores."""

import brinewright as bw
from brinewright.files import read_needs


def test_size_kettle_ridge(benchmark):
    brief, rules = read_needs(bw.shipped_brief("kettle-ridge"))
    answer = benchmark.pedantic(lambda: bw.size(brief, rules), rounds=3, warmup_rounds=1)

    assert answer.is_met
