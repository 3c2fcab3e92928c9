"""What the house tests look at: the files of the repository and where it starts."""

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def repository_files() -> list[Path]:
    """Every file that is in the repository or would go into it, in order."""
    if not (ROOT / ".git").exists():
        pytest.skip("not a checkout: what belongs to the repository is not known here")
    command = ["git", "ls-files", "-coz", "--exclude-standard"]
    listing = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    paths = (ROOT / name for name in sorted(set(listing.stdout.split("\0"))) if name)
    return [path for path in paths if path.is_file()]


def text_lines(path: Path) -> list[str]:
    """The lines of a text file; none if it is not text."""
    try:
        return path.read_text(encoding="utf-8").splitlines()
    except UnicodeDecodeError:
        return []
