"""What the README and the contributor's page state is true."""

import re
import shlex

import pytest

from brinewright.cli.app import app
from tests.house.repository import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
CONTRIBUTING = (ROOT / "CONTRIBUTING.md").read_text(encoding="utf-8")
MAKEFILE = (ROOT / "Makefile").read_text(encoding="utf-8")
PAGES = [ROOT / "README.md", ROOT / "CONTRIBUTING.md", *sorted((ROOT / "docs").rglob("*.md"))]


def code_blocks(text: str, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.MULTILINE | re.DOTALL)


def test_every_make_target_that_is_named_exists():
    targets = set(re.findall(r"^([a-z][a-z-]*):", MAKEFILE, re.MULTILINE))
    named = set(re.findall(r"(?:`|^)make ([a-z][a-z-]*)", README + CONTRIBUTING, re.MULTILINE))

    assert {"check", "demo"} <= named
    assert named <= targets


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_every_relative_link_leads_somewhere(page):
    links = re.findall(r"\]\(([^)#\s]+)", page.read_text(encoding="utf-8"))
    broken = [link for link in links if "://" not in link and not (page.parent / link).exists()]

    assert broken == []


def test_the_readme_opens_with_the_job_in_one_paragraph():
    paragraphs = [part for part in README.split("\n\n") if part.strip()]

    assert paragraphs[0] == "# Brinewright"
    assert len(paragraphs[1].split()) > 60
    assert not paragraphs[1].startswith(("!", "#", "-", "|", "```", ">"))


def command_lines(text: str) -> list[list[str]]:
    lines = [line for block in code_blocks(text, "") for line in block.splitlines()]
    words = [shlex.split(line, comments=True) for line in lines]
    return [tokens[1:] for tokens in words if tokens and tokens[0] == "brinewright"]


@pytest.mark.parametrize("tokens", command_lines(README), ids=" ".join)
def test_every_command_line_in_the_readme_is_understood(tokens):
    command, _, _ = app.parse_args(tokens, exit_on_error=False, print_error=False)

    assert command.__module__.startswith("brinewright.cli.")


def test_the_readme_shows_every_verb():
    verbs = {name for name in app if not name.startswith("-")}

    assert verbs == {tokens[0] for tokens in command_lines(README)}


@pytest.mark.parametrize("code", code_blocks(README, "python"))
def test_the_python_of_the_readme_runs(code, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    exec(compile(code, "README.md", "exec"), {})

    assert "done" in capsys.readouterr().out
    assert (tmp_path / "tank.svg").stat().st_size > 1000
