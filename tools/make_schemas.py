"""Write the JSON Schemas of the files from what the kinds declare, or check that they still match.

python -m tools.make_schemas           write src/brinewright/data/schema
python -m tools.make_schemas --check   change nothing; exit 1 and name each schema that differs
"""

import json
import sys
from pathlib import Path

from brinewright.files.schema import loop_schema, rulebook_schema
from brinewright.files.schema_brief import brief_schema

FOLDER = Path(__file__).resolve().parents[1] / "src" / "brinewright" / "data" / "schema"


def schemas() -> dict[str, str]:
    """Return the text of each schema by the name of its file."""
    made = {"brief.json": brief_schema(), "loop.json": loop_schema(), "rulebook.json": rulebook_schema()}
    return {name: json.dumps(schema, indent=1, ensure_ascii=False) + "\n" for name, schema in made.items()}


def differences() -> list[str]:
    """Return one sentence for each schema that is missing or differs."""
    found = {name: FOLDER / name for name in schemas()}
    return [
        f"{name} {'differs from the kinds' if found[name].exists() else 'is missing'}"
        for name, text in schemas().items()
        if not found[name].exists() or found[name].read_text("utf-8") != text
    ]


def main(arguments: list[str]) -> int:
    """Write or check; return the exit code."""
    if arguments not in ([], ["--check"]):
        print(__doc__)
        return 2
    if arguments:
        different = differences()
        print("\n".join(different) or "The schemas match the kinds.")
        return 1 if different else 0
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, text in schemas().items():
        (FOLDER / name).write_text(text, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
