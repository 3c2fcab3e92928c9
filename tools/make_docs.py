"""Write the reference pages of the documentation from the code, or check that they still match it.

python -m tools.make_docs           write docs/reference
python -m tools.make_docs --check   change nothing; exit 1 and name each page that differs
"""

import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from tools.reference import components, errors, findings, python, units, verbs

FOLDER = Path(__file__).resolve().parents[1] / "docs" / "reference"
NOTE = "<!-- Written by `make docs` from the code; edit the code instead. -->\n\n"

WRITERS: tuple[Callable[[], Mapping[str, str]], ...] = (
    verbs.pages,
    components.pages,
    findings.pages,
    python.pages,
    units.pages,
    errors.pages,
)


def all_pages() -> dict[str, str]:
    """Return every reference page by its name below docs/reference."""
    pages = {name: NOTE + text.rstrip() + "\n" for writer in WRITERS for name, text in writer().items()}
    titles = {name: text[len(NOTE) :].splitlines()[0].lstrip("# ") for name, text in pages.items()}
    listed = "\n".join(f"- [{titles[name]}]({name})" for name in sorted(pages) if "/" not in name)
    pages["README.md"] = f"{NOTE}# Reference\n\n{listed}\n"
    return pages


def differences(pages: Mapping[str, str]) -> list[str]:
    """Return one sentence for each page that is missing, differs or is left over."""
    found = {path.relative_to(FOLDER).as_posix(): path.read_text("utf-8") for path in FOLDER.rglob("*.md")}
    missing = [f"{name} is missing" for name in pages if name not in found]
    changed = [
        f"{name} differs from the code" for name in pages if name in found and found[name] != pages[name]
    ]
    return missing + changed + [f"{name} describes nothing any more" for name in found if name not in pages]


def write(pages: Mapping[str, str]) -> None:
    """Write every page and remove those that describe nothing any more."""
    for path in FOLDER.rglob("*.md"):
        if path.relative_to(FOLDER).as_posix() not in pages:
            path.unlink()
    for name, text in pages.items():
        path = FOLDER / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")


def main(arguments: list[str]) -> int:
    """Write or check; return the exit code."""
    if arguments not in ([], ["--check"]):
        print(__doc__)
        return 2
    pages = all_pages()
    if not arguments:
        write(pages)
        print(f"{len(pages)} reference pages written")
        return 0
    stale = differences(pages)
    for sentence in stale:
        print(f"docs/reference: {sentence}; run `make docs`")
    if not stale:
        print(f"{len(pages)} reference pages match the code")
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
