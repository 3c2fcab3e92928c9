"""Write the switches, each with what touches the node that it reads, so that steps can be bounded."""

import math
from collections import defaultdict

from brinewright.compile.writer import Extra, FlowOf, Start, Writer
from brinewright.kernel import layout as at
from brinewright.model.lowering import Place


def write_switches(w: Writer, longest_step: int) -> None:
    """Write one record for each switch."""
    a = w.assembly
    edges: dict[int, list[Place]] = defaultdict(list)
    for left, right, conductance in a.edges:
        edges[left] += [conductance, right]
        edges[right] += [conductance, left]
    tanks = {tank.node: number for number, tank in enumerate(a.tanks)}
    runs = _runs_by_node(w)
    decays: dict[float, Extra] = {}
    # those of machines that tick by themselves come last
    for s in sorted(a.switches, key=lambda s: s.out in w.apart.signals):
        node = s.node if s.node in a.nodes else None
        if s.sensor >= 0 and w.blocks[at.SENSORS][s.sensor][0][at.SE_MOUTH] != -1:
            # while liquid leaves that tank it reads what is in it
            node = w.blocks[at.SENSORS][s.sensor][0][at.SE_MOUTH]
        touching = edges[node] if node is not None else []
        if s.lag > 0.0 and s.lag not in decays:
            decays[s.lag] = w.many_p([math.exp(-ticks / s.lag) for ticks in range(longest_step + 1)])
        passing = runs[node] if node is not None else []
        w.row(
            at.SWITCHES,
            [
                s.reading, s.filtered, s.out, s.sense, int(s.inclusive), s.setting, s.count, s.slope,
                s.nature, s.sensor, a.hidden(start=a.values[s.reading]), a.hidden(),
                -1 if node is None else node,
                -1 if node is None else tanks.get(node, -1), w.many(touching), len(touching) // 2,
                w.many(passing), len(passing) // 4, decays.get(s.lag, 0), a.hidden(), a.hidden(), a.hidden(),
            ],
            [s.differential, s.lag],
        )  # fmt: skip


def _runs_by_node(w: Writer) -> dict[int, list[Start | FlowOf | int]]:
    """Return for each node the runs that exchange with it: place in I and in P, branch, item."""
    found: dict[int, list[Start | FlowOf | int]] = defaultdict(list)
    for number, (b, item) in w.run_at.items():
        node = w.blocks[at.RUNS][number][0][at.RUN_NODE]
        if node >= 0:
            found[node] += [Start(at.RUNS, number, "i"), Start(at.RUNS, number, "p"), b, item]
    return found
