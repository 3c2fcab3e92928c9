"""The verb `demo`."""

import json
import sys
import textwrap
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from brinewright.cli.failure import DONE, UNFINISHED

if TYPE_CHECKING:
    from brinewright.report.page import Chapter

WIDTH = 96


@dataclass(frozen=True)
class Plant:
    """One shipped plant, and what to look for in it."""

    title: str
    intent: str
    rehearsed: bool = False
    """Whether its faults are rehearsed too: one plant is enough to see how that goes."""


PLANTS = {
    "kettle-ridge": Plant(
        "Kettle Ridge",
        "An invented place with laws of its own: a chiller takes a fixed number of kelvin off every kilogram "
        "that passes it, and its heat goes into a closed vessel of water and steam. Turbines take the heat "
        "out of the vessel again and drive the chillers. Does it all stay cold for a day, and what breaks "
        "first when something fails?",
        rehearsed=True,
    ),
    "kettle-ridge-hot-rock": Plant(
        "Kettle Ridge on hot rock",
        "The same needs, but hot rock heats the vessel as well. Power is plenty now. Watch how hot the "
        "vessel gets, and what that asks of its metal.",
    ),
    "deepstead": Plant(
        "Deepstead",
        "An invented settlement under the laws of physics: no heat vanishes, every chiller needs power "
        "for each kelvin of lift, and in the end radiators on a cold plain must give everything away.",
    ),
}
"""The shipped plants, in the order in which they are told."""


def demo(
    *,
    out: Annotated[Path, Parameter(show_default=True)] = Path("brinewright-demo"),
    force: bool = False,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Go the whole way on the shipped plants: size from a brief, check, run a day, rehearse, tell.

    Parameters
    ----------
    out
        Folder to keep everything in: summary.html, and a folder for each plant.
    force
        Replace what is there already.
    as_json
        Print the summaries as JSON.
    """
    from brinewright.cli.simulation import prepare
    from brinewright.files.whole import refuse_existing, whole_folder
    from brinewright.report.page import page

    refuse_existing(out, force)
    prepare()
    chapters: list[Chapter] = []
    with whole_folder(out, force=force) as folder:
        for name, plant in PLANTS.items():
            chapter = _told(name, plant, folder, quiet=as_json)
            chapters.append(chapter)
            if not as_json:
                print(_in_short(chapter), flush=True)
        title = "From a page of needs to a proven loop"
        (folder / "summary.html").write_text(page(title, chapters), encoding="utf-8")
    if as_json:
        print(json.dumps(_document(chapters, out), indent=1, ensure_ascii=False))
    else:
        print(f"Everything is in {out}; begin with {out / 'summary.html'}.")
    return DONE if all(chapter.result.outcome.is_done for chapter in chapters) else UNFINISHED


def _told(name: str, plant: Plant, folder: Path, *, quiet: bool) -> "Chapter":
    """Take one plant the whole way, keep everything in its folder, and return what to tell of it."""
    from brinewright.checks.check import check
    from brinewright.cli.progress import progress
    from brinewright.errors import RunError
    from brinewright.files import read_needs
    from brinewright.files.scenario import shipped_brief
    from brinewright.plan import size
    from brinewright.report import render
    from brinewright.report.findings import findings_in_words
    from brinewright.report.page import Chapter
    from brinewright.report.sizing import sized_in_words
    from brinewright.results import save
    from brinewright.run.simulate import simulate

    path = shipped_brief(name)
    own = folder / name
    own.mkdir()
    needs = path.read_text(encoding="utf-8")
    (own / path.name).write_text(needs, encoding="utf-8")
    brief, rules = read_needs(path)
    if not quiet:
        print(f"{plant.title.upper()}\n{textwrap.fill(plant.intent, WIDTH)}\n", flush=True)
    with progress(f"{plant.title}, sizing") as show:
        sized = size(brief, rules, folder=path.parent, progress=show)
    if sized.loop is None and sized.nearest is not None:
        print(f"{plant.title}: the brief is not met; the nearest that works is shown.", file=sys.stderr)
        sized = sized.nearest
    loop = sized.loop
    if loop is None:
        raise RunError(f"The brief of {plant.title} is not met: {sized.obstacles[0].text}")
    sized.write(own / f"{name}.loop.toml")
    (own / "decisions.txt").write_text(sized_in_words(sized), encoding="utf-8")
    result = sized.proof.result if sized.proof is not None else None
    if result is None:
        result = simulate(loop, rules, folder=path.parent)
    report = check(loop, rules, day=result, folder=path.parent)
    (own / "findings.txt").write_text(findings_in_words(report), encoding="utf-8")
    save(result, own / "day", sheets=render(result))
    rehearsal = None
    sheets: list[str] = []
    if plant.rehearsed:
        from brinewright.plan.rehearse import rehearse
        from brinewright.report.rehearsal import rehearsal_in_words
        from brinewright.report.rehearsal_sheet import render_rehearsal

        with progress(f"{plant.title}, rehearsing", unit="faults", each=1.0) as show:
            rehearsal = rehearse(loop, rules, progress=show, folder=path.parent)
        trials = own / "rehearsal"
        trials.mkdir()
        (trials / "rehearsal.txt").write_text(rehearsal_in_words(rehearsal), encoding="utf-8")
        for sheet, content in render_rehearsal(rehearsal).items():
            (trials / sheet).write_bytes(content)
            if sheet.endswith(".svg"):
                sheets.append(f"{name}/rehearsal/{sheet}")
    return Chapter(
        title=plant.title,
        intent=plant.intent,
        folder=name,
        needs=needs,
        sized=sized,
        report=report,
        result=result,
        curves=f"{name}/day/curves/overview.svg",
        rehearsal=rehearsal,
        sheets=tuple(sheets),
    )


def _in_short(chapter: "Chapter") -> str:
    """Return what a newcomer wants to know of one plant, in a few lines."""
    from brinewright.report import in_words

    decided = [
        textwrap.fill(
            f"{decision.subject}: {decision.chosen} ({decision.why})", WIDTH - 2, subsequent_indent="    "
        )
        for decision in chapter.sized.decisions
    ]
    counts = chapter.report.counts()
    serious, lesser = counts["S"] + counts["C"], counts["W"] + counts["A"]
    lines = [
        f"Decided, out of {chapter.sized.tried:,} choices:",
        *(textwrap.indent(text, "  ") for text in decided),
        "",
        f"Checked: {chapter.report.applying} criteria apply; broken: {serious} serious, {lesser} others.",
        "",
        in_words(chapter.result),
    ]
    if chapter.rehearsal is not None:
        tried, broken = len(chapter.rehearsal.trials), len(chapter.rehearsal.broken)
        first = min(
            (trial for trial in chapter.rehearsal.broken), key=lambda one: one.failures[0].time, default=None
        )
        lines.append(f"Rehearsed: {tried} faults, {tried - broken} survived.")
        if first is not None:
            lines.append(textwrap.fill(f"The quickest to hurt: {first.fault.text}", WIDTH))
        lines.append("")
    return "\n".join(lines)


def _document(chapters: "list[Chapter]", out: Path) -> dict[str, Any]:
    return {
        "format": "brinewright/demo/2",
        "page": (out / "summary.html").as_posix(),
        "scenarios": [
            {
                "scenario": chapter.folder,
                "folder": (out / chapter.folder).as_posix(),
                "size": chapter.sized.as_dict(),
                "check": chapter.report.as_dict(),
                "summary": chapter.result.summary(),
                "rehearsal": chapter.rehearsal.as_dict() if chapter.rehearsal is not None else None,
            }
            for chapter in chapters
        ],
    }
