"""What is written reads back as the same, whatever its numbers."""

import dataclasses
import math
import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from brinewright.catalogue import KINDS
from brinewright.files import loop_text, parse_loop, parse_rulebook, rulebook_text
from brinewright.files.values import file_key
from brinewright.model.frozen import Frozen
from brinewright.model.kind import Kind, Law, Parameter
from brinewright.model.loop import Circuit, Force, Logic, Loop, Schedule, Signature, Sited, Waiver
from brinewright.model.rulebook import Entry, Gas, Liquid, Material, Rulebook
from tests.files.samples import LOOP_TEXT, RULEBOOK_TEXT, brook, brook_rulebook

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)


def floats(low: float | None, high: float | None) -> st.SearchStrategy[float]:
    bottom, top = -1e15 if low is None else low, 1e15 if high is None else high
    return st.floats(bottom, top, allow_nan=False, allow_infinity=False)


def values_of(parameter: Parameter) -> st.SearchStrategy:
    """Any value that a parameter may have, in SI."""
    quantity = parameter.quantity
    if quantity == "word":
        return st.sampled_from(parameter.choices)
    if quantity == "flag":
        return st.booleans()
    if quantity == "text":
        return st.just("stillair") if parameter.names else TEXTS
    if quantity == "count":
        return st.integers(int(parameter.low or 0), min(int(parameter.high or 1000), 1_000_000))
    if quantity == "table":
        row = st.tuples(*(st.floats(1.0, 1e6) for _ in parameter.columns))
        return st.lists(row, min_size=1, max_size=3).map(tuple)
    return floats(parameter.low, parameter.high)


def is_forwards(values: dict[str, object]) -> bool:
    """Whether no lower limit stands above its upper one."""
    for name, value in values.items():
        for low, high in (("lowest", "highest"), ("low", "high"), ("minimum", "maximum"), ("least", "most")):
            top = values.get(name.replace(low, high))
            if low in name.split("_") and isinstance(top, float) and isinstance(value, float) and value > top:
                return False
    return True


def stated(parameters: tuple[Parameter, ...]) -> st.SearchStrategy[dict[str, object]]:
    required = {p.name: values_of(p) for p in parameters if p.default is None and not p.optional}
    others = {p.name: values_of(p) for p in parameters if p.name not in required}
    return st.fixed_dictionaries(required, optional=others).filter(is_forwards)


def worlds_of(law: Law) -> list[str]:
    return ["stylised", "real"] if law.world == "both" else [law.world]


EVERY_LAW = [(kind, law) for kind in KINDS for law in kind.laws]


@pytest.mark.parametrize(("kind", "law"), EVERY_LAW, ids=lambda item: item.name)
@settings(max_examples=8)
@given(data=st.data())
def test_an_entry_of_every_law_of_every_kind_survives(kind: Kind, law: Law, data):
    values = data.draw(stated((*kind.parameters, *law.parameters)))
    world = worlds_of(law)[0]
    rulebook = dataclasses.replace(
        brook_rulebook(),
        world=world,
        choices=brook_rulebook().choices if world == "stylised" else Frozen(),
        entries=(Entry(kind=kind.name, name="it", law=law.name, values=Frozen(values)),),
    )

    assert parse_rulebook(rulebook_text(rulebook)) == rulebook


def temperatures() -> st.SearchStrategy[float]:
    return st.floats(1.0, 2000.0)


SITES = st.fixed_dictionaries(
    {
        "gravity": st.floats(0.0, 100.0),
        "ambient_pressure": st.floats(0.0, 1e8),
        "ambient_temperature": temperatures(),
    },
    optional={
        "sky_temperature": temperatures(),
        "ground_temperature": temperatures(),
        "humidity": st.floats(0.0, 1.0),
    },
)
NAMES = st.from_regex(r"[a-z][a-z0-9_-]{0,12}", fullmatch=True)


@given(
    SITES,
    st.lists(
        st.builds(Gas, name=NAMES, factor=st.floats(0.0, 1e6)), max_size=2, unique_by=lambda gas: gas.name
    ),
    st.lists(
        st.builds(
            Liquid,
            name=NAMES,
            heat_capacity=st.floats(1.0, 1e5),
            density=st.floats(1e-3, 3e4),
            freezes=st.floats(0.0, 300.0),
            boils=st.floats(301.0, 3000.0),
            viscosity=st.floats(0.0, 1e4),
            conductivity=st.floats(0.0, 1e3),
        ),
        max_size=2,
        unique_by=lambda liquid: liquid.name,
    ),
    st.lists(
        st.builds(
            Material,
            name=NAMES,
            limit=temperatures(),
            heat_capacity=st.floats(0.0, 1e5),
            density=st.floats(0.0, 3e4),
            conductivity=st.floats(0.0, 1e4),
            emissivity=st.floats(0.0, 1.0),
            scarcity=st.floats(0.0, 1e9),
        ),
        max_size=2,
        unique_by=lambda material: material.name,
    ),
    TEXTS.filter(bool),
)
def test_what_a_place_declares_survives(site, gases, liquids, materials, name):
    rulebook = Rulebook(
        name=name,
        world="stylised",
        choices=brook_rulebook().choices,
        site=Frozen(site),
        gases=tuple(gases),
        liquids=tuple(liquids),
        materials=tuple(materials),
        provenance=Frozen({"from": name, "rows": [1, 2.5, {"deep": True}]}),
    )

    assert parse_rulebook(rulebook_text(rulebook)) == rulebook


POINTS = st.lists(st.floats(0.0, 86_399.0), min_size=1, max_size=5, unique=True).map(sorted)


@st.composite
def loops(draw: st.DrawFn) -> Loop:
    """The sample loop with other numbers everywhere."""
    base = brook()
    lines = tuple(
        dataclasses.replace(
            line,
            length=draw(st.floats(8.0, 1e5)),
            bore=draw(st.floats(1e-6, 20.0)),
            section=draw(TEXTS),
            rank=draw(st.integers(0, 1000)),
            levels=draw(st.tuples(st.floats(-4.0, 4.0), st.floats(-4.0, 4.0))),
            sited=draw(
                st.one_of(st.none(), st.builds(Sited, inside=st.just("VE-301"), height=st.floats(-9.0, 9.0)))
            ),
        )
        for line in base.lines
    )
    parts = tuple(
        dataclasses.replace(
            part,
            count=draw(st.integers(1, 10_000)) if part.tag in ("CH-201", "ST-401") else 1,
            shed=draw(st.integers(0, 1000)),
            note=draw(TEXTS),
            values=Frozen({"volume": draw(st.floats(1e-4, 1e6))}) if part.tag == "TK-101" else part.values,
        )
        for part in base.parts
    )
    high, low = base.switches
    switches = (
        dataclasses.replace(
            high,
            setting=draw(st.floats(1.0, 2000.0)),
            differential=draw(st.floats(0.0, 500.0)),
            lag=draw(st.floats(0.0, 86_400.0)),
            inclusive=draw(st.booleans()),
            start=draw(st.sampled_from(("made", "broken"))),
        ),
        dataclasses.replace(low, setting=draw(st.floats(0.5, 1.0)), differential=draw(st.floats(0.0, 0.4))),
    )
    times = draw(POINTS)
    schedule = Schedule(
        name="people",
        quantity="power",
        times=tuple(times),
        values=tuple(draw(st.floats(-1e12, 1e12)) for _ in times),
        repeats=draw(st.sampled_from((0.0, 86_400.0, 604_800.5))),
        ramps=draw(st.booleans()),
    )
    table = tuple((time, draw(st.floats(0.0, 1.0))) for time in draw(POINTS))
    forces = (
        Force(target="TV-110B.position", value=0.0, table=table, start=draw(st.floats(0.0, 100.0))),
        Force(target="TSH-110", value=draw(st.sampled_from((0.0, 1.0)))),
        Force(target="TSH-110.reading", value=draw(temperatures()), end=draw(st.floats(1.0, 1e6))),
        Force(target="CH-201.capacity", value=draw(st.floats(0.0, 1.0))),
    )
    logic = (
        *base.logic,
        Logic(tag="Y-102", does="latch", inputs=("Y-101",), resets=("TSH-110",), start="made"),
        Logic(tag="Y-103", does="and", inputs=("Y-102", "LSL-101")),
        Logic(tag="Y-104", does="timer", inputs=("Y-103",), off_delay=draw(st.floats(0.0, 1e6))),
    )
    several = (Circuit(name="cold", liquid="reedwater", at="L-101", temperature=draw(temperatures())),)
    settled = draw(st.booleans())
    return dataclasses.replace(
        base,
        name=draw(TEXTS),
        parts=parts,
        lines=lines,
        switches=switches,
        logic=logic,
        schedules=(schedule,),
        forces=forces,
        circuits=draw(st.sampled_from((base.circuits, several))),
        waivers=(*base.waivers, Waiver(finding="BW-F07", reason=draw(TEXTS.filter(str.strip)))),
        signatures=(Signature(finding="BW-F71", by=draw(TEXTS.filter(str.strip)), on="2024-02-29"),),
        settled=settled,
        start=Frozen() if settled else base.start,
    )


@settings(max_examples=60)
@given(loops())
def test_a_loop_survives_being_written_and_read(loop):
    assert parse_loop(loop_text(loop), brook_rulebook()) == loop


@settings(max_examples=15)
@given(loops())
def test_a_written_text_is_settled_after_one_writing(loop):
    text = loop_text(loop)

    assert loop_text(parse_loop(text, brook_rulebook())) == text


def test_the_samples_survive():
    assert parse_loop(loop_text(brook()), brook_rulebook()) == brook()
    assert parse_rulebook(rulebook_text(brook_rulebook())) == brook_rulebook()


def test_the_order_of_tables_in_a_file_never_matters():
    tables = LOOP_TEXT.split("\n\n")
    turned = "\n\n".join([tables[0], *reversed(tables[1:])])
    one, other = brook(), parse_loop(turned, brook_rulebook())

    for name in ("parts", "lines", "switches"):
        assert set(getattr(one, name)) == set(getattr(other, name))
    assert dict(one.start) == dict(other.start)


def test_loops_and_rulebooks_can_be_sent_to_another_process():
    assert pickle.loads(pickle.dumps((brook(), brook_rulebook()))) == (brook(), brook_rulebook())
    assert len({brook(), parse_loop(LOOP_TEXT, brook_rulebook())}) == 1
    assert len({brook_rulebook(), parse_rulebook(RULEBOOK_TEXT)}) == 1


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_one_name_has_one_quantity_in_all_laws_of_a_kind(kind):
    # The writer knows a part's kind and not its law.
    found: dict[str, set[tuple[str, str]]] = {}
    for parameter in (*kind.parameters, *(p for law in kind.laws for p in law.parameters)):
        found.setdefault(file_key(parameter.name), set()).add((parameter.quantity, parameter.schedule_of))

    assert {name: of for name, of in found.items() if len(of) > 1} == {}


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_no_number_or_link_takes_the_name_of_another_key(kind):
    own = [file_key(p.name) for p in kind.parameters] + [file_key(link.name) for link in kind.references]
    for law in kind.laws:
        keys = [*own, *(file_key(p.name) for p in law.parameters)]
        keys += ["tag", "use", "count", "material", "materials", "law", "sited", "feeder", "shed", "note"]

        assert len(keys) == len(set(keys))


def test_a_number_that_no_text_can_hold_is_not_written():
    loop = dataclasses.replace(brook(), lines=(dataclasses.replace(brook().lines[0], length=math.nan),))
    with pytest.raises(ValueError, match="can't be written"):
        loop_text(loop)
