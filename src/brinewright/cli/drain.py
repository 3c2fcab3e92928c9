"""The verb `drain`, and what is planned beside it: another liquid, an extension, as-built against design."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from brinewright.cli.failure import DONE, FINDING

if TYPE_CHECKING:
    from brinewright.model.loop import Loop
    from brinewright.model.rulebook import Rulebook

Progress = Callable[[float, float], None]


def drain(
    loop: Path,
    /,
    *,
    section: str = "all",
    rulebook: str | None = None,
    changes: Annotated[tuple[str, ...], Parameter(name="--set")] = (),
    at: Annotated[str, Parameter(show_default=True)] = "6h",
    duration: Annotated[str, Parameter(name="--for", show_default=True, allow_leading_hyphen=True)] = "24h",
    pump: str | None = None,
    full: tuple[str, ...] = (),
    change_to: str | None = None,
    circuit: str = "",
    flushes: int | None = None,
    left: str | None = None,
    add: Path | None = None,
    more_load: tuple[str, ...] = (),
    as_built: Path | None = None,
    out: Annotated[Path | None, Parameter(name=("--out", "-o"))] = None,
    force: bool = False,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Say how part of a loop is emptied: where the liquid goes, what stays cold, in which order.

    With --change-to, --add or --more-load, or --as-built it says instead what becomes of the loop
    with another liquid, whether it carries an extension, or how what was built differs from it.

    Exit code 1 says that the tanks can't take it, that the plant does not carry it, or that
    something else of severity S or C stands in the way.

    Parameters
    ----------
    loop
        The loop file, such as ridge.loop.toml.
    section
        Sections, lines or parts to empty, separated by commas; "all" for the whole loop.
    rulebook
        Rulebook to judge it under instead of the loop's own: a file, or "kettle" or "earth".
    changes
        PART.parameter=value to change before, such as TK-101.volume=8 m3; may be repeated.
    at
        When in the run the section is shut off.
    duration
        How long the plant is watched after that; how long each plant is run where two are compared.
    pump
        Volume flow of the pump that lifts what does not run by itself, such as "3 m3/h".
    full
        STORE=level to take instead of the run's, such as TK-101=90 %; may be repeated.
    change_to
        Liquid of the rulebook that takes the place of the old one.
    circuit
        The circuit whose liquid is changed, where the loop has several.
    flushes
        Fills that are let out again before the last one; by default as few as leave 1 % of the old.
    left
        Share of the content that an emptying leaves behind, such as "4 %", instead of what heights tell.
    add
        File with parts, lines and switches to add, as a loop file states them.
    more_load
        CONSUMER=+POWER to add, such as ZN-601=+80 kW or MC-604=+20 %; may be repeated.
    as_built
        Loop file of what was built, to hold against this design.
    out
        File to write the answer to: JSON if it ends in .json, else words.
    force
        Replace the file that is there.
    as_json
        Print the answer as JSON.
    """
    from brinewright.cli.progress import progress
    from brinewright.cli.simulation import changed_design, prepare, seconds
    from brinewright.errors import InputError
    from brinewright.files.whole import write_whole

    asked = [name for name, value in (
        ("--change-to", change_to), ("--add or --more-load", add or more_load), ("--as-built", as_built),
    ) if value]  # fmt: skip
    if len(asked) > 1:
        raise InputError(f"{asked[0]} and {asked[1]} are two questions; ask one after the other.")
    design, book = changed_design(loop, rulebook, changes)
    span = seconds(duration, "--for")
    folder = loop.parent
    if change_to:
        answer = _other_liquid(change_to, circuit, flushes, left)
    elif add or more_load:
        answer = _extension(add, more_load)
    elif as_built:
        answer = _as_built(as_built, rulebook)
    else:
        answer = _emptying(section, seconds(at, "--at"), pump, full)
    prepare()
    with progress(design.name) as show:
        told, words, is_serious = answer(design, book, span, folder, show)
    text = json.dumps(told, indent=1, ensure_ascii=False) + "\n"
    if out is not None:
        write_whole(out, text if out.suffix == ".json" else words, force=force)
    print(text if as_json else words, end="")
    return FINDING if is_serious else DONE


Answer = Callable[["Loop", "Rulebook", float, Path, Progress], tuple[dict[str, Any], str, bool]]
"""From design, rulebook, time span [s], folder and progress to JSON, words and whether it is serious."""


def _emptying(section: str, shut_at: float, pump: str | None, full: tuple[str, ...]) -> Answer:
    from brinewright.files.edit import split_assignment
    from brinewright.plan.drain import drain as planned
    from brinewright.report.draining import drainage_in_words
    from brinewright.units import parse

    names = [name.strip() for name in section.split(",") if name.strip()]
    levels = {split_assignment(one)[0]: parse(one.partition("=")[2], "ratio") for one in full}
    rate = None if pump is None else parse(pump, "volume flow")

    def answer(
        design: "Loop", book: "Rulebook", span: float, folder: Path, show: Progress
    ) -> tuple[dict[str, Any], str, bool]:
        found = planned(
            design, book, sections=names, shut_at=shut_at, watched=span, pump=rate, full=levels,
            folder=folder, progress=show,
        )  # fmt: skip
        return found.as_dict(), drainage_in_words(found), bool(found.serious)

    return answer


def _other_liquid(liquid: str, circuit: str, flushes: int | None, left: str | None) -> Answer:
    from brinewright.plan.liquid_change import change_liquid
    from brinewright.report.changes import liquid_change_in_words
    from brinewright.units import parse

    share = None if left is None else parse(left, "ratio")

    def answer(
        design: "Loop", book: "Rulebook", span: float, folder: Path, show: Progress
    ) -> tuple[dict[str, Any], str, bool]:
        found = change_liquid(
            design, book, liquid=liquid, circuit=circuit, flushes=flushes, left=share, duration=span,
            folder=folder, progress=show,
        )  # fmt: skip
        return found.as_dict(), liquid_change_in_words(found), found.is_serious

    return answer


def _extension(add: Path | None, more_load: tuple[str, ...]) -> Answer:
    from brinewright.files.document import read_text
    from brinewright.plan.extension import extend
    from brinewright.report.changes import extension_in_words

    text = read_text(add) if add is not None else ""
    loads = {one.partition("=")[0].strip(): one.partition("=")[2] for one in more_load}

    def answer(
        design: "Loop", book: "Rulebook", span: float, folder: Path, show: Progress
    ) -> tuple[dict[str, Any], str, bool]:
        found = extend(
            design, book, addition=text, more_load=loads, duration=span, folder=folder, progress=show
        )
        return found.as_dict(), extension_in_words(found), found.serious

    return answer


def _as_built(built: Path, rulebook: str | None) -> Answer:
    from brinewright.files import read_design
    from brinewright.plan.as_built import as_built
    from brinewright.report.changes import as_built_in_words

    other, _ = read_design(built, rulebook)

    def answer(
        design: "Loop", book: "Rulebook", span: float, folder: Path, show: Progress
    ) -> tuple[dict[str, Any], str, bool]:
        found = as_built(design, other, book, duration=span, folder=folder, progress=show)
        return found.as_dict(), as_built_in_words(found), found.serious

    return answer
