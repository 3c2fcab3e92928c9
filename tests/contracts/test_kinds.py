"""What every kind of part owes to the rest of the house."""

import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

import brinewright.components
from brinewright.catalogue import KINDS, kind_named
from brinewright.errors import UnknownNameError
from brinewright.model.kind import Kind, Parameter
from brinewright.units import QUANTITIES

FOLDER = Path(brinewright.components.__path__[0])
PLAIN = {"number", "count", "flag", "word", "text", "schedule", "table"}
WORDS_OF_A_PART = {"tag", "use", "count", "material", "sited", "feeder", "shed", "note", "law"}
VALVE_LETTERS = {"TV", "XV", "HV", "LV", "FV"}
"""Instrument letters say what drives a valve, not which body it has, so two kinds share them."""
CHECK_VALUES = {
    "temperature difference": (14.0,),
    "temperature": (398.15, 368.15, 448.15),
}
"""Numbers of common practice that no world of ours may be built on."""

each_kind = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)


def folder_of(kind: Kind) -> Path:
    return FOLDER / re.sub(r"[ -]", "_", kind.name)


def parameters_of(kind: Kind) -> list[Parameter]:
    """Every parameter that a file may state for a part of this kind, in any law."""
    return [*kind.parameters, *kind.start, *(item for law in kind.laws for item in law.parameters)]


def stated_together(kind: Kind) -> list[list[Parameter]]:
    """The parameters that one part can have at once: those of the kind and of one law."""
    return [[*kind.parameters, *law.parameters] for law in kind.laws]


def test_every_folder_is_in_the_catalogue_and_the_other_way_round():
    folders = {path.parent.name for path in FOLDER.glob("*/kind.py")}

    assert {folder_of(kind).name for kind in KINDS} == folders


def test_names_of_kinds_are_unique():
    assert len({kind.name for kind in KINDS}) == len(KINDS)


def test_a_kind_is_found_by_its_words_and_by_its_spelling_in_files():
    for kind in KINDS:
        assert kind_named(kind.name) is kind
        assert kind_named(kind.name.replace(" ", "-")) is kind


def test_an_unknown_kind_names_the_nearest():
    with pytest.raises(UnknownNameError, match="chiller"):
        kind_named("chillr")


def test_no_two_kinds_share_tag_letters():
    owners: dict[str, list[str]] = {}
    for kind in KINDS:
        for letters in kind.letters:
            owners.setdefault(letters, []).append(kind.name)
    shared = {letters for letters, kinds in owners.items() if len(kinds) > 1}

    assert shared <= VALVE_LETTERS


@each_kind
def test_letters_are_capitals_and_unlike(kind):
    assert kind.letters
    assert len(set(kind.letters)) == len(kind.letters)
    assert all(re.fullmatch(r"[A-Z]{1,3}", letters) for letters in kind.letters)


@each_kind
def test_the_package_of_a_kind_imports_nothing(kind):
    source = (folder_of(kind) / "__init__.py").read_text("utf-8")

    assert re.fullmatch(r'"""[^"\n]+"""\n', source)


@each_kind
def test_every_parameter_says_what_it_is_in_a_sentence(kind):
    for item in parameters_of(kind):
        assert item.text[0].isupper(), item.name
        assert item.text.endswith("."), item.name
        assert len(item.text.split()) >= 3, item.name


@each_kind
def test_names_in_files_are_lower_case_words(kind):
    named = [item.name for item in (*parameters_of(kind), *kind.references)]

    assert all(re.fullmatch(r"[a-z]+(_[a-z]+)*", name) for name in named)


@each_kind
def test_every_quantity_has_a_unit_or_is_a_plain_word(kind):
    for item in parameters_of(kind):
        assert item.quantity in PLAIN or item.quantity in QUANTITIES, item.name
        assert (item.quantity == "schedule") == (item.schedule_of in QUANTITIES), item.name
        assert (item.quantity == "table") == bool(item.columns), item.name
        assert all(quantity in QUANTITIES for _, quantity in item.columns), item.name


@each_kind
def test_every_number_has_bounds_and_a_default_within_them(kind):
    for item in parameters_of(kind):
        if item.quantity in ("flag", "word", "text", "table"):
            assert item.low is None, item.name
            assert item.high is None, item.name
            continue
        assert item.low is not None, item.name
        assert item.high is not None, item.name
        assert math.isfinite(item.low), item.name
        assert item.low < item.high, item.name
        if item.default is not None:
            assert isinstance(item.default, float), item.name
            assert item.low <= item.default <= item.high, item.name


@each_kind
def test_words_have_choices_and_a_default_among_them(kind):
    for item in parameters_of(kind):
        assert item.choices or item.quantity != "word", item.name
        assert not item.choices or item.quantity == "word" or item.names, item.name
        assert len(set(item.choices)) == len(item.choices), item.name
        if item.quantity == "word" and item.default is not None:
            assert item.default in item.choices, item.name
        if item.quantity == "flag" and item.default is not None:
            assert isinstance(item.default, bool), item.name


@each_kind
def test_what_may_be_absent_says_what_absence_means(kind):
    for item in parameters_of(kind):
        assert item.optional == ("; absent: " in item.text), item.name
        assert not (item.optional and item.default is not None), item.name


@each_kind
def test_masses_volumes_and_sizes_cannot_be_negative(kind):
    never_negative = {"mass", "volume", "area", "length", "mass flow", "volume flow", "energy", "conductance"}
    for item in parameters_of(kind):
        if item.quantity in never_negative and item.name != "elevation":
            assert item.low is not None, item.name
            assert item.low >= 0.0, item.name


@each_kind
def test_nothing_is_named_twice_within_a_part(kind):
    for together in stated_together(kind):
        names = [item.name for item in together]
        assert len(set(names)) == len(names)
        assert not set(names) & WORDS_OF_A_PART
        assert not set(names) & {reference.name for reference in kind.references}
    for group in (kind.ports, kind.references, kind.channels, kind.start, kind.laws):
        names = [item.name for item in group]
        assert len(set(names)) == len(names)
    assert not {reference.name for reference in kind.references} & WORDS_OF_A_PART


@each_kind
def test_a_parameter_means_the_same_in_every_law(kind):
    quantities: dict[str, set[str]] = {}
    for law in kind.laws:
        for item in law.parameters:
            quantities.setdefault(item.name, set()).add(item.quantity)

    assert all(len(found) == 1 for found in quantities.values())


@each_kind
def test_both_worlds_have_a_law(kind):
    worlds = {law.world for law in kind.laws}

    assert worlds >= {"both"} or worlds >= {"stylised", "real"}


@each_kind
def test_references_name_kinds_that_exist(kind):
    known = {other.name for other in KINDS}
    for reference in kind.references:
        assert reference.kinds
        assert set(reference.kinds) <= known


@each_kind
def test_channels_have_units_of_si_and_a_text(kind):
    units = {"K", "W", "kg/s", "Pa", "1", "kg", "J", "V", "m", "m3", "W/K", "s"}
    for channel in kind.channels:
        assert channel.unit in units, channel.name
        assert channel.text.endswith("."), channel.name


@each_kind
def test_a_driven_part_tells_its_position(kind):
    if kind.positions:
        assert kind.positions[0] != kind.positions[1]
        assert {"position", "running", "closed", "power", "heat", "cooling"} & {c.name for c in kind.channels}


@each_kind
def test_no_check_value_of_the_trade_is_built_in(kind):
    for item in parameters_of(kind):
        quantity = item.schedule_of or item.quantity
        assert item.default not in CHECK_VALUES.get(quantity, ()), item.name


def test_choices_that_change_the_answer_have_no_default():
    must_be_stated = {
        "chiller": {"drop", "power_mode", "power_share", "flow_proof"},
        "steam vessel": {"latent_heat", "water_mass"},
        "turbine": {"threshold", "differential", "condensate_temperature", "casing_share_of", "efficiency"},
        "feeder": {"limit", "when_over"},
        "bus": {"when_short"},
        "three-way valve": {"body", "fail_position"},
        "dump valve": {"returns"},
    }
    for name, wanted in must_be_stated.items():
        items = {item.name: item for item in parameters_of(kind_named(name))}
        for parameter in wanted:
            assert items[parameter].default is None
            assert not items[parameter].optional


# --- guide and symbol ---------------------------------------------------------------------------

NOT_SYMBOLS = {
    "if",
    "else",
    "while",
    "and",
    "or",
    "exp",
    "ln",
    "min",
    "max",
    "sqrt",
    "sum",
    "tanh",
    "d",
    "dt",
}


def equations(guide: str) -> str:
    """The text between the fences of a guide."""
    return "\n".join(re.findall(r"```text\n(.*?)```", guide, re.DOTALL))


def symbols_listed(guide: str) -> set[str]:
    """The first cells of the guide's table of symbols."""
    table = guide.partition("## Symbols")[2].partition("\n## ")[0]
    return {
        symbol for row in re.findall(r"^\| ([^|]+) \|", table, re.MULTILINE) for symbol in row.split(", ")
    }


@each_kind
def test_the_guide_names_every_parameter(kind):
    guide = (folder_of(kind) / kind.guide).read_text("utf-8")
    missing = {item.name for item in parameters_of(kind)} - set(re.findall(r"`([a-z_]+)`", guide))

    assert not missing


@each_kind
def test_the_guide_has_a_section_for_each_law_and_what_a_reader_needs(kind):
    guide = (folder_of(kind) / kind.guide).read_text("utf-8")
    headings = set(re.findall(r"^## (.+)$", guide, re.MULTILINE))
    wanted = {f"Law: {law.name}" for law in kind.laws} | {"Limits", "References", "Symbols"}
    if any(law.world == "stylised" for law in kind.laws):
        wanted.add("What the stylised law hides")

    assert wanted <= headings
    assert guide.startswith(f"# {kind.name.capitalize()}\n")


@each_kind
def test_every_symbol_in_an_equation_is_explained(kind):
    guide = (folder_of(kind) / kind.guide).read_text("utf-8")
    used = set(re.findall(r"[A-Za-z]\w*", equations(guide))) - NOT_SYMBOLS
    listed = symbols_listed(guide)
    unexplained = {name for name in used if name not in listed and name.removeprefix("d") not in listed}

    assert used
    assert not unexplained


@each_kind
def test_the_symbol_has_an_anchor_where_each_line_and_link_ends(kind):
    root = ET.parse(folder_of(kind) / kind.symbol).getroot()
    space = {"s": "http://www.w3.org/2000/svg"}
    anchors = {circle.get("id"): circle for circle in root.findall(".//s:circle[@id]", space)}
    left, top, width, height = (float(number) for number in root.attrib["viewBox"].split())
    wanted = {f"port-{port.name}" for port in kind.ports} | {f"link-{link.name}" for link in kind.references}

    assert wanted | {"link"} <= set(anchors)
    for anchor in anchors.values():
        assert anchor.get("r") == "0"
        assert left <= float(anchor.attrib["cx"]) <= left + width
        assert top <= float(anchor.attrib["cy"]) <= top + height


@each_kind
def test_the_symbol_is_black_on_nothing_and_needs_no_font(kind):
    text = (folder_of(kind) / kind.symbol).read_text("utf-8")
    colours = set(re.findall(r'(?:stroke|fill)="([^"]+)"', text))

    assert colours <= {"#000", "none"}
    assert "<text" not in text
    assert "style=" not in text
    assert "<title>" in text


@each_kind
def test_strokes_stay_legible_at_twelve_millimetres(kind):
    root = ET.parse(folder_of(kind) / kind.symbol).getroot()
    height = float(root.attrib["viewBox"].split()[3])
    thin = min(float(item.attrib["stroke-width"]) for item in root.iter() if "stroke-width" in item.attrib)

    assert thin * 12.0 / height >= 0.25  # the thinnest line of ISO 128 that still copies
