"""The verb `demo`."""

import json
from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from brinewright.cli.failure import DONE, UNFINISHED

SCENARIOS = {
    "kettle-ridge": (
        "KETTLE RIDGE. An invented place with laws of its own: a chiller takes a fixed number of kelvin off\n"
        "every kilogram that passes it, and its heat goes into a closed vessel of water and steam. Turbines\n"
        "take the heat out of the vessel again and drive the chillers. Does it all stay cold for a day?"
    ),
    "kettle-ridge-hot-rock": (
        "KETTLE RIDGE ON HOT ROCK. The same plant, but hot rock heats the vessel as well.\n"
        "Power is plenty now. Watch how hot the vessel gets, and what that asks of its metal."
    ),
    "deepstead": (
        "DEEPSTEAD. An invented settlement under the laws of physics: no heat vanishes, every chiller needs\n"
        "power for each kelvin of lift, and in the end radiators on a cold plain must give everything away."
    ),
}
"""The shipped plants, in the order in which they are told, and what to look for."""


def demo(
    *,
    out: Annotated[Path, Parameter(show_default=True)] = Path("brinewright-demo"),
    force: bool = False,
    as_json: Annotated[bool, Parameter(name="--json")] = False,
) -> int:
    """Run the whole chain on the shipped plants: read, run a day, draw the curves, tell what happened.

    Parameters
    ----------
    out
        Folder to keep the results in, one folder for each plant.
    force
        Replace the results that are there already.
    as_json
        Print the summaries as JSON.
    """
    from brinewright.cli.simulation import simulated
    from brinewright.files.scenario import scenario
    from brinewright.report import in_words, render
    from brinewright.results import refuse_to_replace, save

    folders = {name: out / name for name in SCENARIOS}
    for folder in folders.values():
        refuse_to_replace(folder, force=force)
    told: list[dict[str, Any]] = []
    finished = True
    for name, folder in folders.items():
        result = simulated(scenario(name))
        save(result, folder, force=force, sheets=render(result))
        told.append({"scenario": name, "folder": folder.as_posix(), "summary": result.summary()})
        finished = finished and result.outcome.is_done
        if not as_json:
            print(f"{SCENARIOS[name]}\n\n{in_words(result)}Kept, with curves, in {folder}\n")
        if result.outcome.name == "interrupted":
            break
    if as_json:
        print(json.dumps({"format": "brinewright/demo/1", "scenarios": told}, indent=1, ensure_ascii=False))
    return DONE if finished else UNFINISHED
