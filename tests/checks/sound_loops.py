"""The sound loops into which mistakes are put: the shipped ones, and Kettle Ridge drawn otherwise."""

from tests.checks.seeded import add, leave_out, line, part, scenario_text, swap

RIDGE = scenario_text("kettle-ridge")


def _with_two_valves(text: str) -> str:
    for change in (
        leave_out("TV-110"),
        swap('to = "TV-110.in"', 'to = "T-110.in"'),
        swap('from = "TV-110.a"', 'from = "TV-110A.out"'),
        swap('from = "TV-110.b"', 'from = "TV-110B.out"'),
        swap(
            '[{ valve = "TV-110", made = "a" }]',
            '[{ valve = "TV-110A", made = "open" }, { valve = "TV-110B", made = "shut" }]',
        ),
        add(
            part("T-110", "tee.plain")
            + part("TV-110A", "shut-off-valve.plain", material='"deep-steel"', feeder='"TX-901"')
            + part(
                "TV-110B", "shut-off-valve.plain", material='"deep-steel"', feeder='"TX-901"',
                fail_position='"open"',
            )
            + line("L-103A", "T-110.out", "TV-110A.in", length=2.0)
            + line("L-104A", "T-110.out", "TV-110B.in", length=2.0)
        ),
    ):  # fmt: skip
        text = change(text)
    return text


def _with_two_pumps(text: str) -> str:
    for change in (
        swap('to = "P-103.in"', 'to = "T-131.in"'),
        swap('from = "P-103.out"', 'from = "T-132.out"'),
        add(
            part("T-131", "tee.plain")
            + part("T-132", "tee.plain")
            + part("P-104", "pump.mover", feeder='"FD-902"', capacity='"20 kg/s"')
            + line("L-136", "T-131.out", "P-103.in")
            + line("L-137", "P-103.out", "T-132.in")
            + line("L-138", "T-131.out", "P-104.in")
            + line("L-139", "P-104.out", "T-132.in")
        ),
    ):
        text = change(text)
    return text


SOUND = {
    "ridge": RIDGE,
    "hot rock": scenario_text("kettle-ridge-hot-rock"),
    "deepstead": scenario_text("deepstead"),
    "two valves": _with_two_valves(RIDGE),
    "two pumps": _with_two_pumps(RIDGE),
}
"""By name; "two valves" has a tee and two shut-off valves at the first decision, driven by its one switch;
"two pumps" has a second pump beside that of the consumers, on another feeder."""
