"""The command starts without loading what it does not need."""

import subprocess
import sys

import pytest

HEAVY = ("numba", "numpy", "matplotlib", "pyarrow", "scipy", "pandas", "xarray", "tree_sitter", "tomlkit")


def run(code):
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)


def test_help_loads_no_heavy_library():
    code = (
        "import sys; from brinewright.cli.app import main; main(['--help']); "
        f"print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)"
    )

    assert run(code).stderr.strip().splitlines()[-1] == "[]"


def test_importing_the_package_loads_no_heavy_library():
    code = f"import sys, brinewright; print([name for name in {HEAVY!r} if name in sys.modules])"

    assert run(code).stdout.strip() == "[]"


@pytest.mark.parametrize("asked", ["nothing --json", "property air density --json"])
def test_a_reader_that_has_enough_is_no_error(asked):
    code = f"import sys; from brinewright.cli.app import main; sys.exit(main({asked.split()!r}))"
    done = subprocess.run(
        ["bash", "-c", f'"{sys.executable}" -c "{code}" | true; echo "${{PIPESTATUS[0]}}"'],
        capture_output=True,
        text=True,
        check=False,
    )

    assert "Traceback" not in done.stderr
    # What was wrong with the input counts only while somebody reads it.
    assert done.stdout.strip() in {"0", "2"}
