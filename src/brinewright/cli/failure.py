"""Exit codes, and errors as sentences or as JSON in one shape."""

import json
import os
import sys
import traceback
from typing import Any

from cyclopts import CycloptsError

from brinewright.errors import (
    BrinewrightError,
    InputError,
    OutputError,
    Problem,
    PropertyRangeError,
    RunError,
    UnknownNameError,
)

DONE, FINDING, WRONG, UNFINISHED = 0, 1, 2, 3
"""Exit codes: done; done with a serious finding; the input is wrong; could not be finished."""

TRACEBACK = "BRINEWRIGHT_TRACEBACK"
"""Variable of the environment that shows where in the program an error arose."""

KINDS: tuple[tuple[type[Exception], str, int], ...] = (
    (CycloptsError, "usage", WRONG),
    (UnknownNameError, "name", WRONG),
    (PropertyRangeError, "range", WRONG),
    (InputError, "input", WRONG),
    (OutputError, "output", WRONG),
    (RunError, "run", UNFINISHED),
    (BrinewrightError, "other", UNFINISHED),
    (MemoryError, "memory", UNFINISHED),
)
"""What each error is called in JSON, and the exit code it leads to; the first that fits counts."""


def told(error: Exception, *, as_json: bool) -> int:
    """Print an error, as JSON to the output or as sentences to the error output; return its exit code."""
    if os.environ.get(TRACEBACK):
        traceback.print_exception(error)
    name, code = next(
        ((name, code) for kind, name, code in KINDS if isinstance(error, kind)), ("fault", UNFINISHED)
    )
    problems = problems_of(error, name)
    if as_json:
        print(json.dumps(error_document(name, code, problems), indent=1, ensure_ascii=False))
    else:
        print("\n".join(str(problem) for problem in problems), file=sys.stderr)
    return code


def problems_of(error: Exception, name: str) -> tuple[Problem, ...]:
    """Return what is wrong, one problem for each sentence."""
    if isinstance(error, InputError) and error.problems:
        return error.problems
    if name == "usage":
        return (
            Problem(
                str(error), "`brinewright --help` lists the verbs, `brinewright VERB --help` their options."
            ),
        )
    if name == "memory":
        return (Problem("There is not enough memory.", "Record fewer channels or a longer interval."),)
    if name == "fault":
        said = f"This is a fault of the program, not of your input: {type(error).__name__}: {error}."
        return (Problem(said, f"{TRACEBACK}=1 shows where it arose."),)
    return (Problem(str(error)),)


def error_document(name: str, code: int, problems: tuple[Problem, ...]) -> dict[str, Any]:
    """Return an error as it stands in JSON; the shape is `data/schema/error.json`."""
    return {
        "error": {
            "kind": name,
            "exit_code": code,
            "problems": [
                {
                    "message": problem.message,
                    "advice": problem.advice,
                    "file": problem.file,
                    "line": problem.line,
                    "column": problem.column,
                }
                for problem in problems
            ],
        }
    }
