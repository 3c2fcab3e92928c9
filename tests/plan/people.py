"""Somebody who stands before a plant in which one thing has gone wrong, and reads what there is to read.

The faults are drawn from the same list of suspects that a diagnosis has, but their sizes, the
moments at which they begin and the moments of the readings are drawn from continuous ranges.
A diagnosis sees nothing of this but the text of the readings.
"""

import math
from dataclasses import dataclass

import numpy as np

from brinewright.plan.course import Course
from brinewright.plan.signature import SOUND_DAYS, Library
from brinewright.plan.suspect import Suspect
from brinewright.plan.suspects import suspects

READ = (
    "TK-101.temperature", "TK-102.temperature", "TK-103.temperature",
    "TK-101.level", "TK-102.level", "TK-103.level",
    "L-133.outlet temperature", "L-141.inlet temperature", "VE-301.temperature",
    "TSH-110.signal", "TSH-120.signal", "TV-110.position", "TV-120.position", "BT-901.charge",
)  # fmt: skip
"""Tanks, supply, return, vessel, switches, valves, battery: what hangs on the wall of a plant."""
NOISE = {"K": 0.3, "1": 0.02}
LOOKED_AT = (6.5, 11.0, 16.0, 21.5)
"""Times of day at which somebody looks [h]."""
ROUNDS = 3
APART = 2400.0
"""Somebody goes round as often as this, and so long after the last time [s]."""
HASTE = 300.0
"""A reading is written down with the time of the round, and was read within this of it [s]."""
STRIKES = 3.0
"""A fault is seen at all if a mean over the last hour lies so many standard errors outside of what the
sound plant shows at that time of day."""


@dataclass(frozen=True)
class Case:
    """One fault as it is, and what somebody wrote down."""

    suspect: Suspect
    size: float
    age: float
    readings: tuple[str, ...]


def case(library: Library, seed: int, hours: tuple[float, ...] = LOOKED_AT) -> Case:
    """Return the case of this seed: the first fault drawn that shows in what can be read."""
    random = np.random.default_rng(seed)
    everyone = suspects(library.loop, library.rules, library.views)
    while True:
        suspect = everyone[random.integers(len(everyone))]
        if suspect.low is None or suspect.high is None:
            size = float(random.choice(suspect.sizes))
        else:
            size = float(random.uniform(suspect.low, suspect.high))
        age = math.exp(random.uniform(math.log(1800.0), math.log(12.0 * 3600.0)))
        now = SOUND_DAYS * 86400.0 + 3600.0 * float(random.choice(hours))
        trace = library.trace(suspect, size, now - age, now + 600.0, 20.0, 4.0 * 3600.0)
        if trace is None:
            continue
        course = Course(library.sound, trace, now)
        if _strikes(library, course, now):
            return Case(suspect, size, age, tuple(_rounds(library, course, now, random)))


def _strikes(library: Library, course: Course, now: float) -> bool:
    sound = Course(library.sound, None, now)
    hour = now - np.arange(0.0, 3600.0, 30.0)
    for key in READ:
        usual = [sound.at(key, hour + 600.0 * shift).mean() for shift in range(-18, 19)]
        shown = course.at(key, hour).mean()
        limit = STRIKES * NOISE[library.units[key]]
        if shown > max(usual) + limit or shown < min(usual) - limit:
            return True
    return False


def _rounds(library, course, now, random):
    for number in range(ROUNDS):
        written = now - APART * (ROUNDS - 1 - number)
        for key in READ:
            true = float(course.at(key, np.array([written + random.uniform(-HASTE, HASTE)]))[0])
            yield f"{key}={_told(library, key, true, random)} @ {clock(written)} +- 5 min"


def _told(library, key, true, random):
    if key.endswith("signal"):
        return "made" if true > 0.5 else "broken"
    if key.endswith("position"):
        return f"{100.0 * true:.0f} %"
    error = random.normal(0.0, NOISE[library.units[key]])
    if library.units[key] == "K":
        return f"{true + error - 273.15:.1f} degC"
    return f"{100.0 * (true + error):.1f} %"


def clock(moment: float) -> str:
    """Return a simulated moment as a time of day."""
    minutes = round(moment % 86400.0 / 60.0)
    return f"{minutes // 60 % 24:02d}:{minutes % 60:02d}"


def place(found, key: str) -> int:
    """Return the place of a cause in a diagnosis, 1 for the first; 99 if it is not told.

    Causes that show the very same in all that was read stand, and are shown, as one.
    """
    for number, cause in enumerate(found.causes, start=1):
        if key in (cause.name, *(other.name for other in cause.alike)):
            return number
    return 99
