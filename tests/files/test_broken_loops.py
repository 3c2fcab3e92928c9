# ruff: noqa: E501 -- one case on one line reads as a table
"""Every way in which a loop file can be wrong, with the place and the advice that it must get."""

import pytest

from brinewright.errors import InputError, Problem
from brinewright.files import parse_loop, read_loop
from tests.files.samples import LOOP_TEXT, broken, brook_rulebook

HEAD = LOOP_TEXT[: LOOP_TEXT.index("[site]")]
WHOLE_START = LOOP_TEXT[LOOP_TEXT.index("[start]") :]
LAST = 'L-104 = { temperature = "18 degC" }\n'

# What is exchanged for what («: where the error must point), a piece of the message, a piece of the advice.
CASES = {
    "number without unit": ('length = "9 m"', "length = «9", "the bare number 9", 'Write length = "9 m"'),
    "text without unit": ('length = "9 m"', 'length = «"9"', '"9" has no unit', 'Write for example "9 m"'),
    "unquoted quantity": ('length = "9 m"', "length = «9 m", "stands without quotes", 'Write length = "9 m"'),
    "unit of another dimension": ('length = "9 m"', 'length = «"9 kg"', 'unknown unit "kg"', "Accepted units: km, m, mm"),
    "decimal comma": ('length = "9 m"', 'length = «"9,5 m"', "decimal comma", '"9.5 m"'),
    "wrong case of unit": ('on_delay = "30 s"', 'on_delay = «"30 S"', 'unknown unit "S"', 'Write "30 s"'),
    "difference in Celsius": ('differential = "0.5 K"', 'differential = «"0.5 degC"', "degC", "written in K"),
    "no number at all": ('length = "9 m"', 'length = «"long"', "does not start with a number", "Accepted units"),
    "not a number": ('length = "9 m"', 'length = «"nan m"', "not a finite number", "Accepted units"),
    "bare not a number": ('length = "9 m"', "length = «nan", "bare number", 'Write length = "12 m"'),
    "infinite": ('length = "9 m"', 'length = «"inf m"', "not a finite number", "Accepted units"),
    "bare infinity as level": ("{ level = 0.5,", "{ level = «inf,", "not a finite number", "Write level = 1.0"),
    "beyond all numbers": ('length = "9 m"', 'length = «"1e400 m"', "beyond what a number can hold", ""),
    "negative length": ('length = "9 m"', 'length = «"-9 m"', "expected more than zero", ""),
    "no length": ('length = "9 m"', 'length = «"0 m"', "expected more than zero", ""),
    "absurd length": ('length = "9 m"', 'length = «"9e9 km"', "more than the most allowed", ""),
    "absurd bore": ('to = "T-110.in"\nlength = "9 m"\nbore = "100 mm"', 'to = "T-110.in"\nlength = "9 m"\nbore = «"100 m"', "more than the most allowed, 20 m", ""),
    "below absolute zero": ('TK-101 = { level = 0.5, temperature = "16 degC" }', 'TK-101 = { level = 0.5, temperature = «"-300 degC" }', "below absolute zero", ""),
    "level above the brim": ("{ level = 0.5,", "{ level = «1.5,", "more than the most allowed, 100 %", ""),
    "date as value": ('length = "9 m"', "length = «2026-01-01", "a date or time", 'Write length = "12 m"'),
    "list as value": ('length = "9 m"', "length = «[9]", "a list", 'Write length = "12 m"'),
    "boolean as value": ('length = "9 m"', "length = «true", "true", 'Write length = "12 m"'),
    "capital boolean": ("ramps = true", "ramps = «True", "must be written small", "Write ramps = true"),
    "text as flag": ("ramps = true", 'ramps = «"yes"', "expected true or false", "Write ramps = true"),
    "fractional count": ("count = 3", "count = «2.5", "expected a whole number", "Write count = 1"),
    "count as text": ("count = 3", 'count = «"3"', "expected a whole number", "Write count = 1"),
    "count of none": ("count = 3", "count = «0", "expected 1 to 10,000", ""),
    "absurd count": ("count = 3", "count = «1000000000000000000000000", "a very large number", ""),
    "count of what is no bank": ('volume = "6 m3"  ', 'count = «2\nvolume = "6 m3"  ', "a buffer tank is no bank", "a part of its own"),
    "tag missing": ('[[part]]\ntag = "TK-101"\nuse', "«[[part]]\nuse", "tag is missing", 'Add the line: tag = "CH-201"'),
    "tag taken": ('tag = "TV-110B"', 'tag = «"TV-110A"', 'the tag "TV-110A" is taken by the part at line 16', "another number"),
    "tag with a dot": ('tag = "J-112"', 'tag = «"J.112"', "is no tag", "begins with a letter"),
    "tag with a blank": ('tag = "J-112"', 'tag = «"J 112"', "is no tag", "begins with a letter"),
    "tag as number": ('tag = "J-112"', "tag = «112", "expected a text", 'Write tag = "CH-201"'),
    "unknown key": ('note = "forty beds"', '«nose = "forty beds"', '"nose" is not known here', "Nearest: note"),
    "unknown table": ("[[waiver]]", "«[[wavier]]", '"wavier" is not known here', "Nearest: waiver"),
    "unknown entry": ('use = "chiller.frostbox"', 'use = «"chiller.frostbux"', 'there is no "chiller.frostbux"', "Nearest: chiller.frostbox"),
    "unknown kind": ('use = "chiller.frostbox"', 'use = «"chillers.frostbox"', 'there is no "chillers.frostbox"', "Nearest: chiller.frostbox"),
    "entry without kind": ('use = "chiller.frostbox"', 'use = «"frostbox"', 'there is no "frostbox"', "written kind.name"),
    "use missing": ('[[part]]\ntag = "SB-600"\nuse = "bus.main"', '«[[part]]\ntag = "SB-600"', "use is missing", "Add the line: use ="),
    "part made as a line": ('tag = "SB-600"\nuse = "bus.main"', 'tag = "SB-600"\nuse = «"pipe-run.plain"', "which joins two ports", "Write it as a [[line]]"),
    "line made as a part": ('use = "pipe-run.plain"', 'use = «"tee.fork"', "can't be the make of a line", "an entry of a pipe run"),
    "unknown material": ('material = "blackiron"', 'material = «"blackirn"', 'no material "blackirn"', "Nearest: blackiron"),
    "unknown site": ('sited = { in = "VE-301", height', 'sited = { in = «"VE-300", height', 'there is no part "VE-300"', "VE-301"),
    "sited in itself": ('sited = { in = "VE-301", height', 'sited = { in = «"CH-201", height', "it can't stand in itself", "vessel or room"),
    "sited as a text": ('sited = { in = "VE-301", height = "0.5 m" }', 'sited = «"VE-301"', "not a table", "in braces"),
    "unknown feeder": ('feeder = "FD-601"', 'feeder = «"FD-610"', 'there is no part "FD-610"', "FD-601"),
    "link missing": ('[[part]]\ntag = "HR-350"\nuse = "heat-source.spring"\ninto = "VE-301"', '«[[part]]\ntag = "HR-350"\nuse = "heat-source.spring"', "into is missing", "steam vessel"),
    "link to nothing": ('into = "VE-301"', 'into = «"VE-999"', 'there is no part "VE-999"', "VE-301"),
    "link to the wrong kind": ('vessel = "VE-301"', 'vessel = «"TK-101"', '"TK-101" is a buffer tank', ""),
    "link to itself": ('vessel = "VE-301"', 'vessel = «"ST-401"', "names the part itself", ""),
    "several where one is meant": ('vessel = "VE-301"', 'vessel = «["VE-301", "VE-301"]', "names 2 parts", "Leave one"),
    "wrong word": ('style = "insulated"', 'style = «"insulted"', 'expected "bare", "insulated" or "finned"', "Nearest: insulated"),
    "number of another law": ('volume = "6 m3"  ', '«layers = 30\nvolume = "6 m3"  ', '"layers" is not known here', 'Only the law "stratified" has it'),
    "limits reversed": ('volume = "6 m3"  ', 'lowest_level = «"90 %"\nhighest_level = "80 %"\nvolume = "6 m3"  ', "lowest_level lies above highest_level", "Exchange the two"),
    "schedule that is not there": ('gains = "people"', 'gains = «"poeple"', "names no [schedule.poeple]", "Nearest: people"),
    "schedule of another quantity": ('gains = "people"', 'heat_capacity = "3 MJ/K"\ngains = «"cold"', 'the schedule "cold" is a temperature', 'quantity = "power"'),
    "port missing": ('from = "TK-101.out"', 'from = «"TK-101"', "names no port", 'Write from = "TK-101.out"'),
    "port unknown": ('from = "TK-101.out"', 'from = «"TK-101.outt"', 'has no port "outt"', "Nearest: out"),
    "port of no part": ('from = "TK-101.out"', 'from = «"TK-110.out"', 'there is no part "TK-110"', "TK-101"),
    "port of a line": ('from = "TK-101.out"', 'from = «"L-104.out"', '"L-104" is a line, not a part', ""),
    "port of what has none": ('from = "TK-101.out"', 'from = «"VE-301.out"', 'a steam vessel, has no port "out"', "No line ends on a steam vessel"),
    "against the flow": ('from = "TK-101.out"', 'from = «"TK-101.in"', "liquid comes in", 'Write from = "TK-101.out"'),
    "port taken": ('from = "T-110.out"\nto = "TV-110B.in"', 'from = "T-110.out"\nto = «"TV-110A.in"', 'already ends line "L-102"', "tee or a priority junction"),
    "length missing": ('[[line]]\ntag = "L-101"\nfrom = "TK-101.out"\nto = "T-110.in"\nlength = "9 m"', '«[[line]]\ntag = "L-101"\nfrom = "TK-101.out"\nto = "T-110.in"', "length is missing", 'Add the line: length = "12 m"'),
    "from missing": ('[[line]]\ntag = "L-101"\nfrom = "TK-101.out"\n', '«[[line]]\ntag = "L-101"\n', "from is missing", 'Add the line: from = "TK-101.out"'),
    "three levels": ('levels = ["0.4 m", "1.2 m"]', 'levels = «["0.4 m", "1.2 m", "2 m"]', "a list of 3", 'levels = ["0.4 m", "1.2 m"]'),
    "bare level": ('levels = ["0.4 m", "1.2 m"]', 'levels = ["0.4 m", «1.2]', "the bare number 1.2", "1.2 m"),
    "ends too far apart": ('levels = ["0.4 m", "1.2 m"]', 'levels = «["0.4 m", "99 m"]', "further apart in height than it is long", "Correct"),
    "negative rank": ("rank = 1\n", "rank = «-1\n", "expected 0 to 1,000", ""),
    "sense unknown": ('sense = "high"', 'sense = «"hi"', 'expected "high" or "low"', "Nearest: high"),
    "senses nothing": ('senses = "L-101 at 8 m"', 'senses = «"L-101"', "is no reading", "TK-101 level"),
    "senses no part": ('senses = "L-101 at 8 m"', 'senses = «"L-199 at 8 m"', 'there is no part or line "L-199"', "L-10"),
    "senses beyond the end": ('senses = "L-101 at 8 m"', 'senses = «"L-101 at 80 m"', "lies outside L-101, which is 9 m long", "on the line"),
    "senses at no length": ('senses = "L-101 at 8 m"', 'senses = «"L-101 at 8 s"', 'unknown unit "s"', "Accepted units: m"),
    "senses along a tank": ('senses = "L-101 at 8 m"', 'senses = «"TK-101 at 8 m"', "TK-101 is no line", "TK-101 temperature"),
    "senses what is not there": ('senses = "TK-101 level"', 'senses = «"TK-101 levl"', 'has no "levl"', "Nearest: level"),
    "set in another quantity": ('set = "15 degC"', 'set = «"15 kW"', 'unknown unit "kW"', "degC"),
    "set beyond full": ('set = "20 %"', 'set = «"120 %"', "between 0 % and 100 %", ""),
    "makes never": ('differential = "5 %"', 'differential = «"30 %"', "which never comes", "Make it smaller"),
    "negative differential": ('differential = "0.5 K"', 'differential = «"-0.5 K"', "less than the least allowed, 0 K", ""),
    "absurd differential": ('differential = "0.5 K"', 'differential = «"900 K"', "out of all proportion", "Make it smaller"),
    "set missing": ('[[switch]]\ntag = "TSH-110"\nsense = "high"\nsenses = "L-101 at 8 m"\nset = "15 degC"', '«[[switch]]\ntag = "TSH-110"\nsense = "high"\nsenses = "L-101 at 8 m"', "set is missing", "Add the line: set"),
    "drives nothing known": ('{ valve = "TV-110A", made = "open" }', '{ valve = «"TV-111A", made = "open" }', 'there is no part "TV-111A"', "TV-110A"),
    "drives to a wrong position": ('{ valve = "TV-110A", made = "open" }', '{ valve = "TV-110A", made = «"opened" }', 'expected "open" or "shut"', "Nearest: open"),
    "drives what stands still": ('{ valve = "TV-110A", made = "open" }', '{ part = «"TK-101", made = "open" }', "can't be driven", ""),
    "drives by a wrong name": ('{ valve = "TV-110A", made = "open" }', '{ «pump = "TV-110A", made = "open" }', "TV-110A is a shut-off valve", 'Write valve = "TV-110A"'),
    "drives without a target": ('{ valve = "TV-110A", made = "open" }', '«{ made = "open" }', "does not say which part", "Write drives ="),
    "driven twice": ('on_delay = "30 s"', 'on_delay = "30 s"\ndrives = «[{ valve = "TV-110A", made = "shut" }, { valve = "TV-110A", made = "open" }]', 'it drives "TV-110A" twice', "Leave one"),
    "senses what the site lacks": ('senses = "L-101 at 8 m"', 'senses = «"site wind"', 'the site has no "wind"', "ambient temperature"),
    "logic unknown": ('does = "timer"', 'does = «"time"', 'expected "and", "or", "not", "latch" or "timer"', "Nearest: timer"),
    "logic without input": ('inputs = ["LSL-101"]', "inputs = «[]", '"timer" has 0 inputs', ""),
    "logic on nothing": ('inputs = ["LSL-101"]', 'inputs = «["LSL-110"]', 'no switch or logic "LSL-110"', "LSL-101"),
    "latch without reset": ('[[logic]]\ntag = "Y-101"\ndoes = "timer"\ninputs = ["LSL-101"]\non_delay = "30 s"', '«[[logic]]\ntag = "Y-101"\ndoes = "latch"\ninputs = ["LSL-101"]', "resets is missing", 'resets = ["TSH-120"]'),
    "delay of what is no timer": ('does = "timer"\ninputs = ["LSL-101"]\non_delay', 'does = "not"\ninputs = ["LSL-101"]\n«on_delay', "only a timer has on_delay", ""),
    "schedule out of order": ('["07:00", "31 kW"], ["19:30", "18 kW"]', '["07:00", "31 kW"], «["06:30", "18 kW"]', "does not come after", "in the order of time"),
    "schedule of one number": ('["07:00", "31 kW"]', '«["07:00"]', "a point is a time and a value", "Write points ="),
    "schedule at no time": ('["07:00", "31 kW"]', '«["7 o\'clock", "31 kW"]', "7 o'clock", "Accepted units"),
    "schedule of a wrong unit": ('["07:00", "31 kW"]', '«["07:00", "31 degC"]', 'unknown unit "degC"', "kW"),
    "schedule beyond its period": ('points = [["00:00", "12 kW"], ["07:00", "31 kW"], ["19:30"', 'points = «[["00:00", "12 kW"], ["07:00", "31 kW"], ["30 h"', "beyond its period of 24 h", 'repeats = "never"'),
    "schedule without points": ('[["00:00", "12 kW"], ["07:00", "31 kW"], ["19:30", "18 kW"]]', "«[]", "points is empty", "Write points ="),
    "schedule of what is nothing": ('quantity = "power"', 'quantity = «"might"', 'there is no "might"', ""),
    "force on nothing": ('target = "TV-110B.position"', 'target = «"TV-119B.position"', "TV-119B", "TV-110B"),
    "force of what is not there": ('target = "TV-110B.position"', 'target = «"TV-110B.positoin"', "can't be forced", "Nearest: position"),
    "force of nothing in particular": ('target = "TV-110B.position"', 'target = «"TK-101"', "what of TK-101?", 'Write target = "TK-101.'),
    "force to a wrong word": ('value = "open"', 'value = «"closed"', 'expected "open" or "shut"', 'Write value = "open"'),
    "force that ends too soon": ('end = "10:30"', 'end = «"09:30"', "ends before it starts", "Exchange the two"),
    "force without a value": ('[[force]]\ntarget = "TV-110B.position"\nvalue = "open"', '«[[force]]\ntarget = "TV-110B.position"', "value is missing", 'Add the line: value = "open"'),
    "waiver of nothing": ('finding = "BW-F35"', 'finding = «"F35"', "is no code of a finding", 'Write finding = "BW-F35"'),
    "waiver without a reason": ('reason = "no spare until the second gallery is dug"', 'reason = «" "', "the reason is empty", "Say why"),
    "signature of nothing": ('finding = "BW-F46"', 'finding = «"46"', "is no code of a finding", 'Write finding = "BW-F35"'),
    "signature of nobody": ('by = "Ada Reed"', 'by = «" "', "the name is empty", "Say who looked"),
    "signature without a name": ('[[signature]]\nfinding = "BW-F46"\nby = "Ada Reed"', '«[[signature]]\nfinding = "BW-F46"', "by is missing", "Add the line: by ="),
    "signature on no day": ('on = "2026-11-25"', 'on = «"2026-11-31"', "is no day", 'Write on = "2026-11-25"'),
    "signature with a reason": ('note = "40 kg, aired hall"', '«reason = "40 kg, aired hall"', '"reason" is not known here', "Nearest: on"),
    "waiver that can't lapse": ('until = "margin below -10 %"', 'until = «"later"', "can't be judged", "margin below -10 %"),
    "liquid unknown": ('liquid = "reedwater"', 'liquid = «"redwater"', 'expected "reedwater"', "Nearest: reedwater"),
    "liquid missing": (HEAD, "«" + HEAD.replace('liquid = "reedwater"\n', ""), "liquid is missing", 'Add the line: liquid = "reedwater"'),
    "rulebook missing": (HEAD, "«" + HEAD.replace('rulebook = "brook.rulebook.toml"\n', ""), "rulebook is missing", 'Add the line: rulebook = "kettle"'),
    "format missing": (HEAD, "«" + HEAD.replace('format = "brinewright/loop/1"\n', ""), "format is missing", 'Write format = "brinewright/loop/1" as the first line'),
    "ambient that is no temperature": ('ambient_temperature = "19 degC"', 'ambient_temperature = «"19 kg"', 'unknown unit "kg"', "degC"),
    "ambient of zero": ('ambient_temperature = "19 degC"', '«ambiant_temperature = "19 degC"', "is not known here", "Nearest: ambient_temperature"),
    "weather of another folder": ('ambient_temperature = "19 degC"', 'weather = «"../secret.epw"', "leads out of the folder", "beside the loop"),
    "store without a start": ('[start]\nTK-101 = { level = 0.5, temperature = "16 degC" }', "«[start]", '"TK-101", a buffer tank, is missing', "Add the line: TK-101 = { level ="),
    "start of nothing": (LAST, f'{LAST}«TK-109 = {{ level = 0.5 }}\n', 'no part or line "TK-109"', "TK-101"),
    "start of what stores nothing": (LAST, f"{LAST}«T-110 = {{ }}\n", "a tee stores nothing", "Leave the line out"),
    "start without its level": ('TK-101 = { level = 0.5, temperature', '«TK-101 = { temperature', "level is missing", "Add the line: level"),
    "start of a number": (LAST, "L-104 = «3\n", "not a table", "in braces"),
    "start with a typing error": ("{ level = 0.5,", "{ «levle = 0.5, level = 0.5,", '"levle" is not known here', "Nearest: level"),
    "older than old": ('format = "brinewright/loop/1"', 'format = «"brinewright/lop/1"', 'unknown sort of file "lop"', "Nearest: loop"),
    "newer than known": ('format = "brinewright/loop/1"', 'format = «"brinewright/loop/7"', "version 7; this Brinewright reads up to 1", "newer Brinewright"),
    "rulebook in its place": ('format = "brinewright/loop/1"', 'format = «"brinewright/rulebook/1"', "This is a rulebook file", "*.loop.toml"),
    "format as a number": ('format = "brinewright/loop/1"', "format = «1", "the bare number 1", "brinewright/loop/1"),
    "table closed wrongly": ("[[waiver]]", "[[waiver«]", "not TOML", "as many brackets"),
    "text without an end": ('name = "Brook"', 'name = "Brook«', "not TOML", "the same quotes"),
    "key twice": ("count = 3", "count = 3\ncount = 4«", "not TOML", "once in its table"),
    "colon for equals": ("count = 3", "count «: 3", "not TOML", 'joined by "="'),
    "value missing": ("count = 3", "count = «", "not TOML", "After the equals sign stands a value"),
    "number that is too long": ("count = 3", f"count = «{'9' * 5000}", "a number is too long", ""),
    "nested too deep": ("count = 3", f"count = {'[' * 12}«{'[' * 40}", "nested more than 12 deep", ""),
    "name nested too deep": ("count = 3", f"«{'a.' * 40}a = 3", "nested more than 12 deep", ""),
    "empty note of a list": ('note = "forty beds"', "note = «[]", "expected a text", "Write note ="),
    "endless note": ('note = "forty beds"', f'note = «"{"x" * 3000}"', "3,000 characters", ""),
    "one table where several may be": ("[[waiver]]", "«[waiver]", "one table", "Write [[waiver]]"),
}  # fmt: skip


@pytest.mark.parametrize("claim", CASES)
def test_a_broken_loop_is_refused_where_it_is_wrong_with_what_to_write(claim):
    old, new, message, advice = CASES[claim]
    text, line, column = broken(LOOP_TEXT, old, new)
    if '"cold"' in new:
        text += '\n[schedule.cold]\nquantity = "temperature"\npoints = [["00:00", "3 degC"]]\n'
    problems = problems_of(text)

    found = [problem for problem in problems if (problem.line, problem.column) == (line, column)]
    assert found, f"expected {line}:{column}, got {[str(problem) for problem in problems]}"
    assert any(message in problem.message and advice in problem.advice for problem in found), found
    assert all(problem.file == "brook.loop.toml" for problem in problems)


def problems_of(text: str) -> tuple[Problem, ...]:
    with pytest.raises(InputError) as caught:
        parse_loop(text, brook_rulebook(), "brook.loop.toml")
    return caught.value.problems


def test_a_port_left_open_is_reported_at_its_part():
    text = LOOP_TEXT.replace('from = "J-112.out"', 'from = "TK-101.out"')
    problem = problems_of(text)[0]

    assert problem.message == 'part "J-112": nothing is connected to its port "out".'
    assert problem.advice == 'Add a [[line]] with from = "J-112.out"'
    assert text.split("\n")[problem.line - 1] == 'tag = "J-112"'


def test_parts_that_stand_in_each_other_are_refused():
    text = LOOP_TEXT.replace(
        'use = "steam-vessel.drum"', 'use = "steam-vessel.drum"\nsited = { in = "CH-201" }'
    )
    problems = problems_of(text)

    assert len(problems) == 1
    assert "CH-201 in VE-301 in CH-201" in problems[0].message


def test_logic_that_waits_for_itself_is_refused():
    circle = """
[[logic]]
tag = "Y-1"
does = "and"
inputs = ["Y-2", "LSL-101"]

[[logic]]
tag = "Y-2"
does = "not"
inputs = ["Y-1"]
"""
    problems = problems_of(LOOP_TEXT.replace("[schedule.people]", f"{circle}\n[schedule.people]"))

    assert len(problems) == 1
    assert "depends on itself" in problems[0].message
    assert "latch or a timer" in problems[0].advice


def test_a_timer_breaks_the_circle():
    circle = """
[[logic]]
tag = "Y-1"
does = "and"
inputs = ["Y-2", "LSL-101"]

[[logic]]
tag = "Y-2"
does = "timer"
inputs = ["Y-1"]
on_delay = "3 s"
"""
    loop = parse_loop(
        LOOP_TEXT.replace("[schedule.people]", f"{circle}\n[schedule.people]"), brook_rulebook()
    )

    assert [element.tag for element in loop.logic] == ["Y-101", "Y-1", "Y-2"]


def test_a_loop_without_a_start_is_told_both_ways_to_state_it():
    problem = problems_of(LOOP_TEXT.replace(WHOLE_START, ""))[0]

    assert 'start = "settled"' in problem.message
    assert "TK-101 = { level =" in problem.advice


def test_a_wrong_word_for_the_start_is_refused():
    text = LOOP_TEXT.replace(WHOLE_START, "").replace('liquid = "reed', 'start = "steady"\nliquid = "reed')
    problem = problems_of(text)[0]

    assert (problem.line, problem.column) == (5, 9)
    assert problem.advice == 'Write start = "settled"'


def test_a_settled_start_needs_no_table():
    text = LOOP_TEXT.replace(WHOLE_START, "").replace('liquid = "reed', 'start = "settled"\nliquid = "reed')

    assert parse_loop(text, brook_rulebook()).settled


def test_all_problems_of_a_file_come_at_once_in_its_order():
    text = LOOP_TEXT
    wrong = {
        'volume = "6 m3"': "volume = 6 m3",
        "count = 3": "count = 2.5",
        'length = "9 m"': "length = 9",
        'set = "15 degC"': 'set = "15"',
        "ramps = true": "ramps = True",
        'until = "margin below -10 %"': 'untill = "margin below -10 %"',
    }
    for old, new in wrong.items():
        text = text.replace(old, new)
    problems = problems_of(text)

    assert len(problems) == len(wrong)
    assert [problem.line for problem in problems] == sorted(problem.line for problem in problems)


def test_windows_line_ends_and_a_byte_order_mark_change_no_place(tmp_path):
    text = LOOP_TEXT.replace('length = "9 m"', "length = 9").replace("\n", "\r\n")
    path = tmp_path / "brook.loop.toml"
    path.write_bytes(b"\xef\xbb\xbf" + text.encode())
    with pytest.raises(InputError) as caught:
        read_loop(path, brook_rulebook())

    assert [(problem.line, problem.column) for problem in caught.value.problems] == [(75, 10)]


def test_columns_count_characters_not_bytes():
    text = LOOP_TEXT.replace(
        'sited = { in = "VE-301", height = "0.5 m" }', 'sited = { in = "Ä-Ö-Ü", height = 0.5 }'
    )
    places = {(problem.line, problem.column) for problem in problems_of(text)}

    assert places == {(37, 16), (37, 34)}


def test_logic_takes_a_signal_the_other_way_round():
    text = LOOP_TEXT.replace('inputs = ["LSL-101"]', 'inputs = ["not LSL-101"]')

    assert parse_loop(text, brook_rulebook()).logic[0].inputs == ("not LSL-101",)
    assert 'no switch or logic "LSL-1"' in problems_of(text.replace("not LSL-101", "not LSL-1"))[0].message


def test_readings_are_kept_in_one_spelling():
    text = LOOP_TEXT.replace('"L-101 at 8 m"', '"L-101  at 800 cm"').replace(
        '"TK-101 level"', '"TK-101  outlet_temperature"'
    )
    text = text.replace('set = "20 %"', 'set = "9 degC"').replace(
        'differential = "5 %"', 'differential = "1 K"'
    )
    first, second = parse_loop(text, brook_rulebook()).switches

    assert (first.senses, second.senses) == ("L-101 at 8 m", "TK-101 outlet temperature")
    assert second.quantity == "temperature"


def test_a_switch_may_sense_the_surroundings():
    text = LOOP_TEXT.replace('"L-101 at 8 m"', '"site ambient temperature"')

    assert parse_loop(text, brook_rulebook()).switches[0].senses == "site ambient temperature"


def test_two_signals_may_drive_one_part():
    text = LOOP_TEXT.replace(
        'on_delay = "30 s"', 'on_delay = "30 s"\ndrives = [{ valve = "TV-110A", made = "shut" }]'
    )

    assert parse_loop(text, brook_rulebook()).logic[0].drives[0].target == "TV-110A"
