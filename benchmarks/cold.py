"""How long the first answer takes when nothing has been compiled yet: `python -m benchmarks.cold`.

A process of its own begins with an empty cache, builds the benchmark plant and advances it by
a minute.  A processor that others share makes wall time long, so processor time stands beside
it: that of the process itself, and that of the second one which translates beside it.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import time

CALL = """
import resource
from benchmarks.engine import Engine
Engine()
for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN):
    used = resource.getrusage(who)
    print(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024.0)
"""


def measure() -> str:
    """Return what a cold start costs, as a line."""
    with tempfile.TemporaryDirectory() as folder:
        there = {**os.environ, "XDG_CACHE_HOME": folder, "OPENBLAS_NUM_THREADS": "1"}
        there.pop("NUMBA_CACHE_DIR", None)
        began = time.perf_counter()
        said = subprocess.run(
            [sys.executable, "-c", CALL], env=there, stdout=subprocess.PIPE, text=True, check=True
        ).stdout
        wall = time.perf_counter() - began
    (own, memory), (second, its_memory) = (map(float, line.split()) for line in said.splitlines())
    return (
        f"{wall:.1f} s wall, {own:.1f} s and {second:.1f} s of processor; "
        f"at most {memory:.0f} MB and {its_memory:.0f} MB, most of it shared"
    )


def main() -> None:
    """Print each round and the load under which it was measured."""
    parser = argparse.ArgumentParser(description="Time the first answer from an empty cache.")
    parser.add_argument("--rounds", type=int, default=3)
    for _ in range(parser.parse_args().rounds):
        print(f"{measure()}; load {os.getloadavg()[0]:.1f}", flush=True)


if __name__ == "__main__":
    main()
