"""How long the command takes before it says anything; the goal for `--help` is under half a second."""

import subprocess
import sys

import pytest

CALL = "import sys; from brinewright.cli.app import main; sys.exit(main(sys.argv[1:]))"


@pytest.mark.parametrize(
    "arguments",
    [
        ["--help"],
        ["run", "--help"],
        ["property", "air", "density", "--temperature", "20 degC", "--pressure", "1 bar abs"],
    ],
    ids=" ".join,
)
def test_start(benchmark, arguments):
    def call():
        return subprocess.run(
            [sys.executable, "-c", CALL, *arguments], capture_output=True, check=False
        ).returncode

    assert benchmark.pedantic(call, rounds=5, warmup_rounds=1) == 0
