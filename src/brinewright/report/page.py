"""The whole job on one page for a newcomer: needs, decisions, findings, a day, and what breaks first."""

import html
from collections.abc import Sequence
from dataclasses import dataclass

from brinewright.checks.report import Report
from brinewright.plan.rehearsal import Rehearsal
from brinewright.plan.sizing import Sized
from brinewright.report.findings import findings_in_words
from brinewright.report.rehearsal import rehearsal_in_words
from brinewright.report.words import in_words
from brinewright.results import Result
from brinewright.results.caution import caution


@dataclass(frozen=True, kw_only=True)
class Chapter:
    """One plant, from its needs to what a day and its faults do to it."""

    title: str
    intent: str
    """What it is about, in plain words."""
    folder: str
    """Where its files are, from the page."""
    needs: str
    """The text of its brief."""
    sized: Sized
    report: Report
    result: Result
    curves: str
    """File of the day's curves, from the page."""
    rehearsal: Rehearsal | None = None
    sheets: Sequence[str] = ()
    """Files of the rehearsal's sheets, from the page."""


STYLE = """
:root { color-scheme: light dark; --ink: #20242c; --paper: #fbfaf6; --rule: #c9c4b4; --soft: #f0ede2; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e8e6df; --paper: #1b1d22; --rule: #4a4d55; --soft: #26292f; }
  img { background: #fff; }
}
body { font: 17px/1.5 Georgia, "Liberation Serif", serif; color: var(--ink); background: var(--paper);
  max-width: 62rem; margin: 2rem auto; padding: 0 1.2rem; }
h1 { font-size: 1.9rem; margin-bottom: .2rem; }
h2 { margin-top: 3rem; border-top: 3px double var(--rule); padding-top: 1rem; }
h3 { margin: 1.8rem 0 .4rem; }
table { border-collapse: collapse; width: 100%; }
td, th { text-align: left; vertical-align: top; padding: .35rem .8rem .35rem 0;
  border-bottom: 1px solid var(--rule); }
th { font-weight: 600; }
td, th { overflow-wrap: anywhere; }
@media (max-width: 40rem) { body { padding: 0 .7rem; } tr { display: block; padding: .5rem 0; }
  td, th { display: block; border: 0; padding: 0; } tr { border-bottom: 1px solid var(--rule); } }
pre { font: 13px/1.4 "DejaVu Sans Mono", monospace; background: var(--soft); padding: .8rem 1rem;
  overflow-x: auto; }
img { width: 100%; height: auto; border: 1px solid var(--rule); }
figcaption, .small { font-size: .9rem; }
.caution { border-left: 4px solid var(--ink); padding: .2rem .9rem; font-weight: 600; }
summary { cursor: pointer; }
@media print { pre { white-space: pre-wrap; } details { display: none; } }
"""


def page(title: str, chapters: Sequence[Chapter]) -> str:
    """Return the page as HTML; it names only files that lie beside it, and needs no script."""
    body = "\n".join(_chapter(chapter) for chapter in chapters)
    links = " · ".join(f'<a href="#{_anchor(one)}">{_safe(one.title)}</a>' for one in chapters)
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_safe(title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        f"<h1>{_safe(title)}</h1>\n<p>{links}</p>\n{body}\n</body>\n</html>\n"
    )


def _anchor(chapter: Chapter) -> str:
    return chapter.folder.replace("/", "-")


def _safe(text: str) -> str:
    return html.escape(text)


def _chapter(chapter: Chapter) -> str:
    parts = [
        f'<h2 id="{_anchor(chapter)}">{_safe(chapter.title)}</h2>',
        f"<p>{_safe(chapter.intent)}</p>",
        f'<p class="caution">{_safe(caution(chapter.sized.world))}</p>',
        "<h3>1. What is needed</h3>",
        _folded("The brief", chapter.needs),
        "<h3>2. What was decided, and why</h3>",
        _decisions(chapter.sized),
        "<h3>3. Is it sound?</h3>",
        f"<pre>{_safe(findings_in_words(chapter.report))}</pre>",
        "<h3>4. How a day goes</h3>",
        f"<pre>{_safe(in_words(chapter.result))}</pre>",
        _picture(chapter.curves, "The day in curves."),
    ]
    if chapter.rehearsal is not None:
        parts += [
            "<h3>5. What breaks first when something fails</h3>",
            *(_picture(sheet, "Each fault, and what breaks first.") for sheet in chapter.sheets),
            _folded("Each fault in words", rehearsal_in_words(chapter.rehearsal)),
        ]
    return "\n".join(parts)


def _folded(summary: str, text: str) -> str:
    return f"<details><summary>{_safe(summary)}</summary><pre>{_safe(text)}</pre></details>"


def _decisions(sized: Sized) -> str:
    rows = "\n".join(
        f"<tr><th>{_safe(decision.subject)}</th><td>{_safe(decision.chosen)}</td>"
        f"<td>{_safe(decision.why)}</td></tr>"
        for decision in sized.decisions
    )
    return f"<table>\n{rows}\n</table>"


def _picture(file: str, text: str) -> str:
    image = f'<img src="{_safe(file)}" alt="{_safe(text)}">'
    return f"<figure>{image}<figcaption>{_safe(text)}</figcaption></figure>"
