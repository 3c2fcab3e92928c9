"""The command `brinewright` and its verbs; each verb is loaded only when it is used."""

import os
import sys
from collections.abc import Sequence

from cyclopts import App, Parameter

import brinewright
from brinewright.cli.failure import DONE, UNFINISHED, told

HELP = """Design, prove, run and explain closed coolant loops.

A loop is a file such as ridge.loop.toml. "brinewright VERB --help" tells what a verb does with it.

Exit codes: 0 done; 1 done, with a serious finding; 2 the input is wrong; 3 the run could not be finished.
"""


app = App(
    name="brinewright",
    help=HELP,
    version=brinewright.__version__,
    default_parameter=Parameter(negative=(), show_default=False),
    help_format="plaintext",  # others load a renderer for markup, a quarter of the time that help takes
    suppress_keyboard_interrupt=False,
)
app.command("brinewright.cli.demo:demo", name="demo", help="Run the whole chain on the shipped plants.")
app.command(
    "brinewright.cli.size:size",
    name="size",
    help="Find a loop that meets a brief, prove it, and explain each decision.",
)
app.command("brinewright.cli.run:run", name="run", help="Simulate a loop; tell, keep and draw the result.")
app.command(
    "brinewright.cli.check:check",
    name="check",
    help="Find what is wrong with a loop, and how near to its limits it is.",
)
app.command(
    "brinewright.cli.diagnose:diagnose",
    name="diagnose",
    help="Find the likely causes of what somebody sees, and where to look next.",
)
app.command(
    "brinewright.cli.drain:drain",
    name="drain",
    help="Say how part of a loop is emptied: where the liquid goes, what stays cold, in which order.",
)
app.command(
    "brinewright.cli.compare:compare",
    name="compare",
    help="Lay designs side by side, or one design under several rulebooks.",
)
app.command(
    "brinewright.cli.rehearse:rehearse",
    name="rehearse",
    help="Put every credible fault into a loop: what breaks first, when, and what helps.",
)
app.command(
    "brinewright.cli.property:show_property",
    name="property",
    help="Show one property of a fluid, its range and its source.",
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one verb; return its exit code. Bad input gives sentences, never a traceback."""
    tokens = list(sys.argv[1:] if arguments is None else arguments)
    try:
        code = _answered(tokens)
        sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read our output has enough of it; there is nobody left to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    return code


def _answered(tokens: list[str]) -> int:
    try:
        code = app(tokens, exit_on_error=False, print_error=False, result_action="return_value")
    except BrokenPipeError:
        raise
    except KeyboardInterrupt:
        print("Interrupted; nothing was written.", file=sys.stderr)
        return UNFINISHED
    except Exception as error:  # noqa: BLE001 - the last place where an error can become a sentence
        return told(error, as_json="--json" in tokens)
    return code if isinstance(code, int) else DONE
