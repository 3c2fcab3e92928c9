"""Symptoms as people say them: "supply warm, chillers idle"; a small grammar of subjects and states."""

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from brinewright.compile.view import View
from brinewright.errors import InputError, Problem, nearest_names
from brinewright.model.loop import Loop
from brinewright.plan.course import Course

Floats = NDArray[np.float64]

LATELY = 1800.0
"""What somebody means by now [s]."""
WHILE = 2.0 * 3600.0
"""Over which somebody notices a trend or a swing [s]."""
DAY = 86400.0
FELT: Mapping[str, float] = {"K": 1.0, "1": 0.03}
"""Least change that somebody notices, by SI unit; else 5 % of what is usual. Common practice, no source."""
HEARSAY = 0.05
"""Share of symptoms that are said and not so."""
UNKNOWN = math.log(0.25)
"""Logarithm of how likely a symptom is where nothing is known of the plant."""


@dataclass(frozen=True, kw_only=True)
class Claim:
    """One symptom about one or several channels, as an observation."""

    text: str
    keys: tuple[str, ...]
    strength: Callable[[Course, str], float]
    """How strongly one channel shows it: 1 is what somebody would just call so."""
    every: bool
    """Whether all the channels must show it; else one is enough."""
    width: float = 0.3
    seen: float = 1.0
    unit: str = "strength"

    @property
    def key(self) -> str:
        """Return the first channel that it is about."""
        return self.keys[0]

    def predicted(self, course: Course) -> Floats:
        """Return how strongly a hypothesis shows it."""
        found = [self.strength(course, key) for key in self.keys]
        return np.array([min(found) if self.every else max(found)])

    def swing(self, _sound: Course, _times: Floats) -> float:
        """Return 0: what is said is no value of a channel."""
        return 0.0

    def log_likelihood(self, predicted: Floats, spread: float) -> float:
        """Return the logarithm of how likely it is to be said."""
        width = math.hypot(self.width, spread)
        shown = 0.5 + 0.5 * math.tanh((float(predicted[0]) - 1.0) / (2.0 * width))
        return math.log(HEARSAY + (1.0 - 2.0 * HEARSAY) * shown)

    def apart(self, mine: Floats, its: Floats) -> float:
        """Return the weight of evidence of what is said for the first prediction against the other."""
        return abs(self.log_likelihood(mine, 0.0) - self.log_likelihood(its, 0.0))

    @property
    def log_background(self) -> float:
        """Return the same where nothing is known of the plant."""
        return UNKNOWN


@dataclass(frozen=True)
class State:
    """A state that something can be in, and how it shows."""

    said: tuple[str, ...]
    """Ways to say it; the first is the usual one."""
    quantities: tuple[str, ...]
    """Channels that show it, the first that the subject has."""
    strength: Callable[[Course, str], float]
    every: bool
    text: str


def _lately(course: Course, key: str, span: float = LATELY) -> Floats:
    return course.at(key, course.now - np.arange(0.0, span, 120.0))


def _before(course: Course, key: str) -> Floats:
    """Return half-hour means of the sound plant over the day before."""
    sound = Course(course.sound, None, course.now)
    values = sound.at(key, course.now - np.arange(0.0, DAY, 120.0))
    return np.asarray(values.reshape(-1, 15).mean(axis=1))


def _felt(key: str, usual: Floats) -> float:
    unit = "K" if "temperature" in key or key.endswith("reading") else ""
    level = key.endswith((".level", ".charge", "humidity"))
    least = FELT["K"] if unit else FELT["1"] if level else 0.05 * float(np.abs(usual).max()) + 1e-9
    return math.hypot(least, float(usual.std()))


def _higher(course: Course, key: str) -> float:
    usual = _before(course, key)
    return (float(_lately(course, key).mean()) - float(usual.mean())) / (1.5 * _felt(key, usual))


def _lower(course: Course, key: str) -> float:
    return -_higher(course, key)


def _apart(course: Course, key: str) -> float:
    return abs(_higher(course, key))


def _idle(course: Course, key: str) -> float:
    usual = float(np.abs(_before(course, key)).mean())
    share = float(np.abs(_lately(course, key)).mean()) / max(usual, 1e-9)
    return 1.0 + (0.15 - share) / 0.1 if usual > 0.0 else 0.0


def _working(course: Course, key: str) -> float:
    most = float(np.abs(_before(course, key)).max())
    share = float(np.abs(_lately(course, key)).mean()) / max(most, 1e-9)
    return 1.0 + (share - 0.9) / 0.1 if most > 0.0 else 0.0


def _trend(course: Course, key: str) -> float:
    """Return the change over a while [the unit of the channel]."""
    values = _lately(course, key, WHILE)
    third = len(values) // 3
    return float(values[:third].mean() - values[-third:].mean()) * 1.5


def _rising(course: Course, key: str) -> float:
    usual = _before(course, key)
    return _trend(course, key) / (1.5 * _felt(key, usual))


def _falling(course: Course, key: str) -> float:
    return -_rising(course, key)


def _swinging(course: Course, key: str) -> float:
    values = _lately(course, key, WHILE)
    sound = Course(course.sound, None, course.now).at(key, course.now - np.arange(0.0, DAY, 120.0))
    least = FELT["K"] if "temperature" in key else 0.03
    return float(values.std()) / math.hypot(1.3 * float(sound.std()), least)


def _changing(course: Course, key: str) -> float:
    now, hour = course.now, 3600.0
    count = float(np.diff(course.at(key, np.array([now - hour, now])))[0])
    sound = Course(course.sound, None, now)
    usual = float(np.diff(sound.at(key, np.array([now - DAY, now])))[0]) / 24.0
    return math.log2((count + 2.0) / (usual + 2.0))


def _empty(course: Course, key: str) -> float:
    return 1.0 + (0.08 - float(_lately(course, key).mean())) / 0.05


def _full(course: Course, key: str) -> float:
    return 1.0 + (float(_lately(course, key).mean()) - 0.95) / 0.03


TEMPERATURES = ("temperature", "outlet temperature", "metal temperature", "reading")
DUTY = ("running", "cooling", "generated", "flow", "power", "signal")
CONTENT = ("level", "charge")
STATES = (
    State(("warm", "hot", "too warm", "too hot"), TEMPERATURES, _higher, False, "warmer than usual"),
    State(
        ("cold", "cool", "too cold", "too cool", "icing", "does not reach threshold"),
        TEMPERATURES,
        _lower,
        False,
        "colder than usual",
    ),
    State(
        ("creeping up", "rising", "warming", "getting warmer"),
        (*TEMPERATURES, *CONTENT),
        _rising,
        False,
        "rising for hours",
    ),
    State(
        ("creeping down", "falling", "cooling down", "getting colder"),
        (*TEMPERATURES, *CONTENT),
        _falling,
        False,
        "falling for hours",
    ),
    State(
        ("swinging", "swinging slowly", "hunting", "unsteady"),
        TEMPERATURES,
        _swinging,
        False,
        "swinging more than usual",
    ),
    State(("idle", "off", "standing", "stopped", "not running", "dead"), DUTY, _idle, True, "doing nothing"),
    State(
        ("at full duty", "always on", "running all the time", "flat out"),
        DUTY,
        _working,
        False,
        "doing all it ever does",
    ),
    State(("empty", "flat", "dry"), CONTENT, _empty, False, "empty"),
    State(("full", "overflowing"), CONTENT, _full, False, "full"),
    State(("high", "level high"), (*CONTENT, "flow", *TEMPERATURES), _higher, False, "higher than usual"),
    State(("low", "level low"), (*CONTENT, "flow", *TEMPERATURES), _lower, False, "lower than usual"),
    State(
        ("drifting", "level drifting", "off its usual level"),
        CONTENT,
        _apart,
        False,
        "away from what is usual",
    ),
    State(
        ("clicking fast", "chattering", "clicking"),
        ("changes",),
        _changing,
        False,
        "changing over more often",
    ),
    State(("not flowing", "no flow", "blocked", "not moving"), ("flow",), _idle, True, "without flow"),
    State(
        ("no power", "gives no power", "making no power"),
        ("generated", "power"),
        _idle,
        True,
        "without power",
    ),
)
WHOLE: Mapping[str, tuple[str, str]] = {
    "nothing moves": ("supply", "not flowing"),
    "nothing moves while the pump runs": ("supply", "not flowing"),
    "nothing flows": ("supply", "not flowing"),
    "steam fine no power": ("turbines", "no power"),
    "fast valve clicking": ("valves", "clicking fast"),
    "vessel does not reach threshold": ("vessel", "cold"),
    "casing hot": ("casing", "hot"),
}
"""Sentences that are symptoms as a whole: subject and state."""


class Vocabulary:
    """What can be said of one loop: its subjects with their channels, and every state."""

    def __init__(self, loop: Loop, views: Mapping[str, View], keys: Sequence[str]) -> None:
        self._known = set(keys)
        self.subjects: dict[str, tuple[str, ...]] = {}
        for tag in sorted(view.tag for view in views.values() if not view.declared.is_line):
            self.subjects[tag.lower()] = (tag,)
            words = views[tag].kind.split()
            for word in {words[-1], " ".join(words)}:
                for spelling in (word, _plural(word)):
                    self.subjects[spelling] = (*self.subjects.get(spelling, ()), tag)
        switches = tuple(sorted(switch.tag for switch in loop.switches))
        self.subjects |= {tag.lower(): (tag,) for tag in switches}
        if switches:
            self.subjects |= {"switch": switches, "switches": switches}
            drives = {switch.tag: {drive.target for drive in switch.drives} for switch in loop.switches}
            self._clicks = {
                tag: tuple(sorted(switch for switch, targets in drives.items() if tag in targets))
                for tag in {target for targets in drives.values() for target in targets}
            }
        else:
            self._clicks = {}
        supply, back = supply_and_return(loop, views)
        self._own = {"supply": supply, "return": back}
        cased = tuple(tag for tag in sorted(views) if f"{tag}.casing heat" in self._known)
        self._own["casing"] = tuple(f"{tag}.metal temperature" for tag in cased)
        self._own = {name: found for name, found in self._own.items() if found}

    @property
    def words(self) -> tuple[str, ...]:
        """Return every subject that can be named."""
        return (*sorted(self._own), *sorted(self.subjects))

    def claims(self, text: str) -> list[Claim]:
        """Return what a text of symptoms claims.

        Raises
        ------
        InputError
            A word is not known; the nearest are named.
        """
        found = []
        for clause in re.split(r"[,;]| and ", text.lower()):
            plain = " ".join(clause.split())
            if plain:
                found.append(self._claim(plain))
        if not found:
            raise InputError(
                [Problem("No symptom is stated.", 'Write for example "supply warm, chillers idle".')]
            )
        return found

    def _claim(self, clause: str) -> Claim:
        subject, said = WHOLE.get(clause) or self._parted(clause)
        state = next(state for state in STATES if said in state.said)
        keys = self._keys(subject, state)
        if not keys:
            raise InputError(
                [Problem(f'"{clause}": {subject} shows nothing by which it could be {said}.', self._hint())]
            )
        return Claim(text=f"{subject} {said}", keys=keys, strength=state.strength, every=state.every)

    def _parted(self, clause: str) -> tuple[str, str]:
        words = re.sub(r"\b(the|is|are|too|very|a|an)\b", " ", clause).split()
        plain = " ".join(words)
        spelled = {_plain(said): said for state in STATES for said in state.said}
        for cut in range(1, len(words)):
            subject, rest = " ".join(words[:cut]), " ".join(words[cut:])
            if subject in self.words and rest in spelled:
                return subject, spelled[rest]
            if rest in self.words and subject in spelled:
                return rest, spelled[subject]
        is_known = [
            subject for subject in self.words if re.search(rf"(^|\s){re.escape(subject)}(\s|$)", plain)
        ]
        if is_known:
            best = max(is_known, key=len)
            rest = plain.replace(best, "").strip()
            near = nearest_names(rest, list(spelled.values())).strip()
            raise InputError(
                [Problem(f'"{clause}": "{rest}" is no state that is known.', near or self._hint())]
            )
        near = nearest_names(words[0] if words else clause, self.words).strip()
        raise InputError([Problem(f'"{clause}" names nothing that is known.', near or self._hint())])

    def _keys(self, subject: str, state: State) -> tuple[str, ...]:
        if subject in self._own:
            own = self._own[subject]
            if "flow" in state.quantities and "temperature" not in state.quantities:
                own = tuple(f"{key.partition('.')[0]}.flow" for key in own)
            return tuple(key for key in own if key in self._known)
        tags = self.subjects[subject]
        if state.quantities == ("changes",):
            tags = tuple(dict.fromkeys(one for tag in tags for one in self._clicks.get(tag, (tag,))))
        keys = []
        for tag in tags:
            for quantity in state.quantities:
                if f"{tag}.{quantity}" in self._known:
                    keys.append(f"{tag}.{quantity}")
                    break
        return tuple(keys)

    def _hint(self) -> str:
        return 'See --symptom help for what can be said, such as "supply warm, chillers idle".'

    def help(self) -> str:
        """Return what can be said, in words."""
        general = sorted(
            {*self._own, *(word for word in self.subjects if word[0].isalpha() and "-" not in word)}
        )
        lines = ['A symptom is a subject and a state: "supply warm, chillers idle".', ""]
        lines.append("Subjects: any tag; " + ", ".join(general) + ".")
        lines.append("States:")
        lines += [f"  {', '.join(state.said)}: {state.text}" for state in STATES]
        lines.append("Whole sentences: " + "; ".join(WHOLE) + ".")
        return "\n".join(lines) + "\n"


def _plain(said: str) -> str:
    return " ".join(word for word in said.split() if word not in ("too", "a"))


def _plural(word: str) -> str:
    if word.endswith("y") and word[-2] not in "aeiou":
        return word[:-1] + "ies"
    return word + ("es" if word.endswith(("s", "ch", "sh")) else "s")


def supply_and_return(loop: Loop, views: Mapping[str, View]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the channels of the liquid that goes to the consumers and of that which comes back.

    It is the last line before the ways to the consumers part, or each consumer's own line.
    """
    consumers = {tag for tag, view in views.items() if view.declared.role == "consumer"}
    to = [line for line in loop.lines if line.end.partition(".")[0] in consumers]
    back = [line for line in loop.lines if line.start.partition(".")[0] in consumers]
    before = {line.start.partition(".")[0] for line in to}
    behind = {line.end.partition(".")[0] for line in back}
    supply = [line for line in loop.lines if line.end.partition(".")[0] in before]
    home = [line for line in loop.lines if line.start.partition(".")[0] in behind]
    if len(before) == 1 and len(supply) == 1:
        to = supply
    if len(behind) == 1 and len(home) == 1:
        back = home
    return (
        tuple(sorted(f"{line.tag}.outlet temperature" for line in to)),
        tuple(sorted(f"{line.tag}.inlet temperature" for line in back)),
    )
