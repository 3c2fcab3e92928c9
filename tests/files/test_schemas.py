"""The shipped schemas match the kinds, accept good files and point at plain mistakes."""

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest

import brinewright
from tests.files.samples import DATA, LOOP_TEXT, RULEBOOK_TEXT
from tools.make_schemas import differences

FOLDER = Path(brinewright.__file__).parent / "data" / "schema"


def validator(sort: str) -> jsonschema.Draft7Validator:
    schema = json.loads((FOLDER / f"{sort}.json").read_text("utf-8"))
    # Source: JSON Schema draft-07, its own meta-schema.
    jsonschema.Draft7Validator.check_schema(schema)
    return jsonschema.Draft7Validator(schema)


def test_the_shipped_schemas_are_those_that_the_kinds_make():
    assert differences() == []


@pytest.mark.parametrize("path", sorted(DATA.glob("*.toml")), ids=lambda path: path.name)
def test_good_files_satisfy_their_schema(path):
    sort = path.name.split(".")[-2]
    errors = list(validator(sort).iter_errors(tomllib.loads(path.read_text("utf-8"))))

    assert errors == []


SHIPPED = sorted((Path(brinewright.__file__).parent / "data").rglob("*.toml"))


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.name)
def test_shipped_files_satisfy_their_schema(path):
    sort = path.name.split(".")[-2]
    if sort in ("brief", "loop", "rulebook"):
        assert list(validator(sort).iter_errors(tomllib.loads(path.read_text("utf-8")))) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('length = "9 m"', "length = 9"),
        ('length = "9 m"', 'length = "9 kg"'),
        ("count = 3", "count = 2.5"),
        ("count = 3", "cuont = 3"),
        ('use = "chiller.frostbox"', 'use = "chiller.frostbox"\nvolume = "3 m3"'),
        ('style = "insulated"', 'style = "wooden"'),
        ('sense = "high"', 'sense = "hot"'),
        ('made = "shut" }]', 'made = "ajar" }]'),
        ('finding = "BW-F35"', 'finding = "F35"'),
        ('tag = "J-112"', 'tag = "J 112"'),
        ('from = "TK-101.out"', 'from = "TK-101"'),
    ],
)
def test_plain_mistakes_in_a_loop_are_seen(old, new):
    assert LOOP_TEXT.count(old) == 1
    assert list(validator("loop").iter_errors(tomllib.loads(LOOP_TEXT.replace(old, new)))) != []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('law = "fixed drop"', 'law = "fixed rise"'),
        ('drop = "8 K"', "drop = 8"),
        ('world = "stylised"', 'world = "dream"'),
        ('law = "mixed"', 'law = "mixed"\nlayers = 20'),
        ("[tee.fork]", "[tea.fork]"),
    ],
)
def test_plain_mistakes_in_a_rulebook_are_seen(old, new):
    assert RULEBOOK_TEXT.count(old) == 1
    assert list(validator("rulebook").iter_errors(tomllib.loads(RULEBOOK_TEXT.replace(old, new)))) != []
