"""How much each suspect is to be believed: cells of size and age, split where they matter."""

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from brinewright.plan.cell import FAR, Cell, Standing, edges, half, log_sum, spread_over, thirds, widest
from brinewright.plan.course import Course
from brinewright.plan.observation import Observation
from brinewright.plan.signature import Library, Trace, in_parallel
from brinewright.plan.suspect import Suspect

Floats = NDArray[np.float64]

AGES = (900.0, 2520.0, 7200.0, 21600.0, 57600.0)
"""Bounds of the ages that are tried first [s]; each cell is tried at its geometric mean."""
NOTHING_WRONG = 0.05
NONE_OF_THESE = 0.02
"""Shares of belief before anything is seen."""
LEADING = 14
"""How many suspects are looked at closely."""
LENDERS = 4
"""From how many suspects the others take an age to be tried at."""
FAR_BEHIND = 40.0
"""Suspects that are less likely than the best by more than this exponent are looked at no further,"""
BEHIND = (30.0, 22.0, 14.0, 10.0)
"""Suspects that are less likely than the best by more than this exponent are not looked at closely: the
limit of each round in which cells are split.  It is wide while cells are."""
KEPT = 25
"""but for so many at least."""
SAME = 0.5
"""Two causes show the same if everything that was seen, taken together, is expected to speak for the
one and against the other by less than this exponent."""
PHASE = 3.0
"""What is lost of a swing counts up to so many times of what the age is seen to matter."""


class Search:
    """The belief in every suspect, given what was seen at these moments."""

    def __init__(
        self,
        library: Library,
        suspects: Sequence[Suspect],
        observations: Callable[[float], Sequence[Observation]],
        nows: Sequence[float],
        *,
        span: float,
        after: float,
        step: float,
        ages: Sequence[float] = AGES,
        early: float = 0.0,
        tell: Callable[[float, float], None] | None = None,
        should_stop: Callable[[], bool] | None = None,
    ) -> None:
        self.library, self.suspects, self.nows = library, suspects, nows
        self.seen = {now: list(observations(now)) for now in nows}
        self.span, self.after, self.step, self.ages = span, after, step, ages
        self.tell, self.should_stop = tell, should_stop
        self.early = early
        self._whole = 0.0
        self._swings: dict[tuple[int, int, float], Floats] = {}
        self._sound: dict[float, list[Floats]] = {}
        self.cells: dict[str, list[Cell]] = {}
        self.runs = 0

    # trying cells -------------------------------------------------------------------

    def course(self, cell: Cell) -> Course | None:
        """Return what a cell says would be seen."""
        end = cell.now + self.after
        trace = self.library.trace(
            cell.suspect, cell.size, cell.now - cell.age, end, self.step, self.span + self.after
        )
        return None if trace is None else Course(self.library.sound, trace, cell.now - self.early)

    def _try(self, cell: Cell) -> Cell:
        course = self.course(cell)
        if course is not None and course.trouble is not None:
            self._hold(cell, course)
            cell.unchanged = self._is_sound(course.trouble)
        return cell

    def _is_sound(self, trace: Trace) -> bool:
        sound = self.library.sound
        rows = np.rint((trace.times - sound.times[0]) / (sound.times[1] - sound.times[0])).astype(int)
        is_known = (rows >= 0) & (rows < len(sound.times))
        usual = sound.values[rows[is_known]].astype(np.float64)
        change = np.nanmean(np.abs(trace.values[is_known] - usual), axis=0)
        return bool(
            np.all(change <= 0.02 * np.nanstd(usual, axis=0) + 1e-4 * np.nanmax(np.abs(usual), axis=0))
        )

    def shows_nothing(self, standing: Standing) -> bool:
        """Tell whether a suspect would have shown what the sound plant shows."""
        cell = standing.best
        sound = self.sound_predictions(cell.now)
        return self._same(cell, sound)

    def sound_predictions(self, now: float) -> list[Floats]:
        """Return what the sound plant would show to somebody who looks before this half hour."""
        if now not in self._sound:
            course = Course(self.library.sound, None, now - self.early)
            self._sound[now] = [item.predicted(course) for item in self.seen[now]]
        return self._sound[now]

    def _same(self, cell: Cell, others: Sequence[Floats]) -> bool:
        """Tell whether all that was seen together would tell the two apart by less than a hair."""
        weight = sum(
            item.apart(mine, its)
            for item, mine, its in zip(self.seen[cell.now], cell.predicted, others, strict=True)
        )
        return weight < SAME

    def _hold(self, cell: Cell, course: Course) -> None:
        cell.predicted = [item.predicted(course) for item in self.seen[cell.now]]
        cell.means = np.array([float(values.mean()) for values in cell.predicted])
        cell.spreads = [np.zeros(len(cell.means)), np.zeros(len(cell.means))]

    def _judge(self, cell: Cell) -> None:
        if not cell.predicted:
            cell.log_likelihood = FAR
            return
        spread = np.hypot(np.hypot(*cell.spreads), self._phase(cell))
        cell.each = np.array(
            [
                item.log_likelihood(values, float(width))
                for item, values, width in zip(self.seen[cell.now], cell.predicted, spread, strict=True)
            ]
        )
        cell.log_likelihood = float(cell.each.sum())

    def _phase(self, cell: Cell) -> Floats:
        """Return what is uncertain because the swing that a fault broke off in may have had any phase.

        A plant that hunts and then stands still keeps for hours what it had when it stopped.  Where
        a fault leaves less swing in a channel than the sound plant had when it may have begun, and
        the age matters at all, the rest of that swing is not known.
        """
        moment = cell.now - self.early
        begin, end = moment - cell.ages[1], moment - cell.ages[0]
        key = (round(begin / 60.0), round(end / 60.0), cell.now)
        if key not in self._swings:
            course = Course(self.library.sound, None, moment)
            times = np.linspace(begin, end, max(2, min(int((end - begin) / 120.0), 120)))
            self._swings[key] = np.array(
                [item.swing(course, times) for item in self.seen[cell.now]], dtype=np.float64
            )
        left = np.array([float(values.std()) for values in cell.predicted])
        lost = np.sqrt(np.maximum(self._swings[key] ** 2 - left**2, 0.0))
        return np.asarray(np.minimum(lost, PHASE * cell.memory) if len(cell.memory) else lost)

    def first(self) -> None:
        """Try every suspect at its first sizes and ages.

        The oldest go first: what changes nothing at all in half a day is no suspect.  The last
        age follows only for those that are not far behind the best at the others.
        """
        grids = [self._grid(suspect, now) for suspect in self.suspects for now in self.nows]
        count = len(self.ages) - 1
        stages = ((count - 1, *range(count - 2)), (count - 2,)) if count > 2 else (tuple(range(count))[::-1],)
        total = sum(len(grid) for grid in grids) * count
        for stage, columns in enumerate(stages):
            for column in columns:
                cells = [row[column] for grid in grids for row in grid]
                in_parallel(cells, self._try, self._telling(total), self.should_stop)
                self.runs += len(cells)
                if stage == 0 and column == count - 1:
                    grids = [[row for row in grid if not row[column].unchanged] for grid in grids]
                    grids = [grid for grid in grids if grid]
                if self._is_stopped():
                    break
            for grid in grids:
                spread_over(grid)
                for row in grid:
                    for cell in row:
                        self._judge(cell)
            if stage == 0:
                grids = _not_far_behind(grids)
        for grid in grids:
            for row in grid:
                for cell in row:
                    if cell.predicted:
                        self.cells.setdefault(cell.suspect.key, []).append(cell)

    def _is_stopped(self) -> bool:
        return bool(self.should_stop and self.should_stop())

    def _telling(self, total: int) -> Callable[[int, int], None] | None:
        tell, before = self.tell, self.runs
        each = sum(math.sqrt(begin * end) for begin, end in pairwise(self.ages))
        each = each / (len(self.ages) - 1) + self.after
        return (lambda done, _: tell((before + done) * each, total * each)) if tell else None

    def _grid(self, suspect: Suspect, now: float) -> list[list[Cell]]:
        sizes = suspect.sizes
        ranges = edges(suspect)
        count = len(self.ages) - 1
        span = ranges[-1][1] - ranges[0][0]
        rows = []
        for size, edge in zip(sizes, ranges, strict=True):
            share = (edge[1] - edge[0]) / span if suspect.low is not None and span > 0.0 else 1.0 / len(sizes)
            rows.append(
                [
                    Cell(
                        suspect, size, edge, math.sqrt(begin * end), (begin, end),
                        share / count / len(self.nows), now,
                    )
                    for begin, end in pairwise(self.ages)
                ]
            )  # fmt: skip
        return rows

    def split(self) -> None:
        """Split the cells that carry the leading suspects, where they are widest."""
        for limit in BEHIND:
            jobs: list[tuple[Cell, Cell, Cell, int]] = []
            ranking = self.standings()[:LEADING]
            for standing in ranking:
                if standing.evidence < ranking[0].evidence - limit:
                    break
                parents = sorted(standing.cells, key=lambda cell: -cell.weight)[:2]
                for parent in parents:
                    if parent.weight < standing.evidence - 6.0:
                        continue
                    way = widest(parent)
                    if way is None:
                        continue
                    jobs.append((*thirds(parent, way), way))
            if not jobs or (self.should_stop and self.should_stop()):
                return
            fresh = [cell for before, _, behind, _ in jobs for cell in (before, behind)]
            in_parallel(fresh, self._try, None, self.should_stop)
            self.runs += len(fresh)
            for before, middle, behind, way in jobs:
                for cell in (before, behind):
                    if cell.predicted:
                        cell.memory = middle.memory
                        cell.spreads[1 - way] = middle.spreads[1 - way]
                        cell.spreads[way] = half(cell.means - middle.means)
                near = [half(cell.means - middle.means) for cell in (before, behind) if cell.predicted]
                middle.spreads = list(middle.spreads)
                if near:
                    middle.spreads[way] = np.max(near, axis=0)
                cells = self.cells[middle.suspect.key]
                cells.extend((before, behind))
                for cell in (before, middle, behind):
                    self._judge(cell)
            self._lend_ages(limit)

    def _lend_ages(self, limit: float) -> None:
        """Try the ages that fit one suspect best on the others too.

        What stands still tells the moment at which it stopped; a suspect must not win because it
        alone was tried at that moment.
        """
        ranking = self.standings()[:LEADING]
        sources = [standing.best for standing in ranking[:LENDERS]]
        fresh: list[tuple[Cell, Cell]] = []
        for standing in ranking:
            if standing.evidence < ranking[0].evidence - 2.0 * limit:
                break
            for source in sources:
                around = [
                    cell
                    for cell in standing.cells
                    if cell.now == source.now
                    and cell.ages[0] <= source.age <= cell.ages[1]
                    and cell.predicted
                ]
                if not around or source.suspect is standing.suspect:
                    continue
                whole = max(around, key=lambda cell: cell.weight)
                if math.log(whole.ages[1] / whole.ages[0]) < 1.5 * math.log(source.ages[1] / source.ages[0]):
                    continue
                begin, end = max(source.ages[0], whole.ages[0]), min(source.ages[1], whole.ages[1])
                part = math.log(end / begin) / math.log(whole.ages[1] / whole.ages[0])
                lent = replace(
                    whole, age=source.age, ages=(begin, end), share=whole.share * part, predicted=[]
                )
                whole.share *= 1.0 - part
                fresh.append((lent, whole))
        in_parallel([lent for lent, _ in fresh], self._try, None, self.should_stop)
        self.runs += len(fresh)
        for lent, whole in fresh:
            if lent.predicted:
                lent.spreads = [
                    whole.spreads[0],
                    whole.spreads[1] * lent.share / max(lent.share + whole.share, 1e-300),
                ]
                lent.memory = whole.memory
                self._judge(lent)
                self.cells[lent.suspect.key].append(lent)

    def alike(self, one: Standing, other: Standing) -> bool:
        """Tell whether another suspect, begun at the same time, would have shown the very same."""
        cell = one.best
        suspect = other.suspect
        sizes = [other.best.size, *suspect.sizes]
        if suspect.low is not None and suspect.high is not None:
            sizes += [size for size in (cell.size, -cell.size) if suspect.low <= size <= suspect.high]
        for size in dict.fromkeys(sizes):
            trial = self._try(replace(cell, suspect=suspect, size=size, predicted=[], means=np.zeros(0)))
            if trial.predicted and self._same(cell, trial.predicted):
                return True
        return False

    # what it comes to ----------------------------------------------------------------

    def standings(self) -> list[Standing]:
        """Return the suspects with their share of belief, the most believed first."""
        total = sum(suspect.share for suspect in self.suspects)
        rows = []
        for suspect in self.suspects:
            cells = self.cells.get(suspect.key, [])
            if not cells:
                continue
            evidence = log_sum([cell.weight for cell in cells]) + math.log(suspect.share / total)
            rows.append(Standing(suspect, tuple(cells), evidence))
        free = math.log(1.0 - NOTHING_WRONG - NONE_OF_THESE)
        whole = self._whole = log_sum([row.evidence + free for row in rows] + [self.sound(), self.none()])
        return sorted(
            (
                Standing(row.suspect, row.cells, row.evidence, math.exp(row.evidence + free - whole))
                for row in rows
            ),
            key=lambda row: -row.evidence,
        )

    def whole(self) -> float:
        """Return the logarithm of the evidence for anything at all."""
        self.standings()
        return self._whole

    def sound(self) -> float:
        """Return the logarithm of the evidence that nothing is wrong, times its share before."""
        logs = [
            sum(
                item.log_likelihood(values, 0.0)
                for item, values in zip(self.seen[now], self.sound_predictions(now), strict=True)
            )
            for now in self.nows
        ]
        return log_sum(logs) - math.log(len(logs)) + math.log(NOTHING_WRONG)

    def none(self) -> float:
        """Return the same for a cause that is not among the suspects."""
        logs = [sum(item.log_background for item in self.seen[now]) for now in self.nows]
        return log_sum(logs) - math.log(len(logs)) + math.log(NONE_OF_THESE)


def _not_far_behind(grids: list[list[list[Cell]]]) -> list[list[list[Cell]]]:
    """Return what is left of the suspects after a first look."""
    best = [max((cell.weight for row in grid for cell in row), default=FAR) for grid in grids]
    order = sorted(range(len(grids)), key=lambda k: -best[k])
    if not order:
        return grids
    limit = best[order[0]] - FAR_BEHIND
    kept = [k for place, k in enumerate(order) if place < KEPT or best[k] > limit]
    return [grids[k] for k in sorted(kept)]
