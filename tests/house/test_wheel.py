"""What a user installs: the package with its data, without its tests."""

import zipfile
from pathlib import Path

import pytest
from hatchling.builders.wheel import WheelBuilder

from tests.house.repository import ROOT

PACKAGE = ROOT / "src" / "brinewright"


def is_test_of_a_component(path: Path) -> bool:
    return path.name.startswith("test_") and "components" in path.parts


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    built = next(iter(WheelBuilder(str(ROOT)).build(directory=str(folder), versions=["standard"])))
    with zipfile.ZipFile(built) as archive:
        return set(archive.namelist())


def test_the_wheel_carries_every_file_of_the_package_but_its_tests(wheel):
    files = (path for path in PACKAGE.rglob("*") if path.is_file() and "__pycache__" not in path.parts)
    expected = {
        path.relative_to(PACKAGE.parent).as_posix() for path in files if not is_test_of_a_component(path)
    }
    carried = {name for name in wheel if name.startswith("brinewright/")}

    assert expected == carried


def test_the_wheel_carries_licence_and_notices(wheel):
    names = {Path(name).name for name in wheel if ".dist-info/licenses/" in name}

    assert {"LICENSE", "NOTICE"} <= names
