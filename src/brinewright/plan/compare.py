"""`compare`: designs, or one under several rulebooks, side by side."""

from collections.abc import Callable, Sequence
from pathlib import Path

from brinewright.checks.case import DAY, LoopCase
from brinewright.checks.check import check
from brinewright.checks.report import Report
from brinewright.errors import InputError, RunError
from brinewright.files import find_rulebook, read_rulebook
from brinewright.model.loop import Loop
from brinewright.model.rulebook import Rulebook
from brinewright.plan.comparison import Comparison, Found
from brinewright.plan.differences import differences, law_differences
from brinewright.plan.figures import figures_of, side_by_side
from brinewright.plan.upsets import upsets
from brinewright.results import Result
from brinewright.run.simulate import simulate

RANK = "SCWA"


def compare(
    loops: Sequence[Loop],
    rulebooks: Sequence[Rulebook] = (),
    *,
    duration: float = DAY,
    folder: Path | None = None,
    progress: Callable[[float, float], None] | None = None,
) -> Comparison:
    """Lay designs side by side: figures of a run, what they state differently, what is found in each.

    Parameters
    ----------
    loops : the designs
    rulebooks : each design is taken under each of them; by default each under its own
    duration : how long each is run [s]
    folder : where a weather file that a site names is looked for
    progress : called with simulated and total time of all runs [s]

    Raises
    ------
    InputError
        If there are fewer than two to compare, or one of them does not make a plant.

    Example
    -------
    >>> import brinewright as bw
    >>> loop = bw.read_loop(bw.scenario("kettle-ridge"))
    >>> books = [bw.read_rulebook("kettle"), bw.read_rulebook("earth")]
    >>> told = bw.compare([loop], books, duration=7200.0)
    >>> [told.senseless(design) for design in (0, 1)]
    [False, True]
    """
    pairs = _designs(loops, rulebooks, folder)
    return compare_designs(
        [(loop, rules, folder) for loop, rules in pairs], duration=duration, progress=progress
    )


def compare_designs(
    designs: Sequence[tuple[Loop, Rulebook, Path | None]],
    *,
    duration: float = DAY,
    progress: Callable[[float, float], None] | None = None,
) -> Comparison:
    """Lay designs side by side, each with its rulebook and the folder that its files are looked for in.

    Parameters
    ----------
    designs : loop, rulebook and folder of each
    duration : how long each is run [s]
    progress : called with simulated and total time of all runs [s]
    """
    if len(designs) < 2:
        raise InputError("Name two designs to compare, or one and two rulebooks.")
    results: list[Result | None] = []
    reports: list[Report] = []
    cases: list[LoopCase] = []
    outcomes: list[str] = []
    for number, (loop, rules, folder) in enumerate(designs):

        def told(done: float, _: float, already: float = number * duration) -> None:
            if progress:
                progress(already + done, len(designs) * duration)

        case = LoopCase(loop, rules, folder=folder)
        cases.append(case)
        try:
            result = simulate(loop, rules, duration=duration, folder=folder, progress=told)
            day = result if duration == DAY else None
            results.append(result)
            outcomes.append(result.outcome.name)
            reports.append(check(loop, rules, day=day, folder=folder))
        except RunError as error:
            results.append(None)
            outcomes.append(f"unfinished: {error}")
    names = _names([(loop, rules) for loop, rules, _ in designs])
    loops, books = [design[0] for design in designs], [design[1] for design in designs]
    same_loop = all(loop == loops[0] for loop in loops)
    return Comparison(
        names=names,
        worlds=tuple(rules.world for rules in books),
        outcomes=tuple(outcomes),
        simulated=duration,
        figures=side_by_side(figures_of(case, result) for case, result in zip(cases, results, strict=True)),
        decisions=() if same_loop else differences(loops),
        laws=law_differences(loops[0], books) if same_loop else (),
        findings=_findings(results, reports),
        upsets=tuple(
            upset
            for number, (case, result) in enumerate(zip(cases, results, strict=True))
            for upset in upsets(number, case, result)
        ),
        serious=_serious(results, reports),
        results=tuple(results),
    )


def _designs(
    loops: Sequence[Loop], rulebooks: Sequence[Rulebook], folder: Path | None
) -> list[tuple[Loop, Rulebook]]:
    if rulebooks:
        return [(loop, rules) for loop in loops for rules in rulebooks]
    return [(loop, read_rulebook(find_rulebook(loop.rulebook, folder or Path.cwd()))) for loop in loops]


def _names(designs: Sequence[tuple[Loop, Rulebook]]) -> tuple[str, ...]:
    """Return a name for each design that no other has."""
    names = [loop.name for loop, _ in designs]
    if len(set(names)) < len(names):
        names = [f"{loop.name} under {rules.name}" for loop, rules in designs]
    seen: dict[str, int] = {}
    unique = []
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        unique.append(name if names.count(name) == 1 else f"{name} ({seen[name]})")
    return tuple(unique)


def _by_design(results: Sequence[Result | None], reports: Sequence[Report]) -> list[Report | None]:
    """Return the report of each design, None where its run could not be finished."""
    left = iter(reports)
    return [None if result is None else next(left) for result in results]


def _findings(results: Sequence[Result | None], reports: Sequence[Report]) -> tuple[Found, ...]:
    rows: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    about: dict[str, tuple[str, str]] = {}
    for number, report in enumerate(_by_design(results, reports)):
        for finding in report.findings if report else ():
            key = (finding.code, finding.subject)
            about[finding.code] = (finding.severity, finding.criterion.title)
            rows.setdefault(key, [""] * len(results))[number] = finding.measure.text
    found = [
        Found(code=code, severity=about[code][0], title=about[code][1], subject=subject, texts=tuple(texts))
        for (code, subject), texts in rows.items()
    ]
    return tuple(sorted(found, key=lambda one: (RANK.index(one.severity), one.code, one.subject)))


def _serious(results: Sequence[Result | None], reports: Sequence[Report]) -> tuple[int, ...]:
    return tuple(len(report.serious) if report else 0 for report in _by_design(results, reports))
