"""The reference pages say all that the code declares, and a page that lags behind is noticed."""

import pytest

from brinewright.catalogue import KINDS
from brinewright.checks import CRITERIA
from tools.make_docs import FOLDER, differences
from tools.reference import components, findings, units

PAGES = components.pages()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_the_page_of_a_kind_names_everything_that_it_declares(kind):
    page = PAGES[f"components/{kind.name.replace(' ', '-')}.md"]
    parameters = [*kind.parameters, *kind.start, *(item for law in kind.laws for item in law.parameters)]
    declared = [
        item.name for item in (*kind.laws, *parameters, *kind.ports, *kind.references, *kind.channels)
    ]

    assert [name for name in declared if f"`{name}`" not in page] == []


def test_the_page_of_findings_says_all_of_every_criterion():
    page = findings.pages()["findings.md"]

    for criterion in CRITERIA:
        told = page.split(f"## {criterion.code}\n")[1].split("\n## ")[0]
        said = (criterion.title, criterion.lesson, criterion.consequence, criterion.remedy, criterion.source)
        assert [text for text in (*said, criterion.question) if text not in told] == []


def test_a_default_is_written_as_a_file_would_state_it():
    assert units.amount(295.15, "temperature") == "`22 degC`"
    assert units.amount(3.0, "count") == "`3`"


def test_a_page_that_is_missing_changed_or_left_over_is_named():
    found = {path.relative_to(FOLDER).as_posix(): path.read_text("utf-8") for path in FOLDER.rglob("*.md")}
    first, second = sorted(found)[:2]
    altered = {name: text for name, text in found.items() if name != second} | {first: "", "new.md": ""}

    assert differences(altered) == [
        "new.md is missing",
        f"{first} differs from the code",
        f"{second} describes nothing any more",
    ]
