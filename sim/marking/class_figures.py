"""What a class did, in numbers: distribution, hardest criterion, commonest cause, curves over attempts, sheets used."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from statistics import mean, median

from sim.marking.results import CourseResults, RowResult, SubmissionResult
from sim.marking.statuses import shown_status

BINS = 10  # tenths of the points


@dataclass(frozen=True)
class CriterionFigure:
    """How a criterion went: mean share of its points over all counted evenings, and how often it earned less than half."""

    name: str
    mean_share: float
    below_half: int
    count: int


@dataclass(frozen=True)
class ExerciseFigures:
    """The numbers of one exercise. ``distribution`` counts learners by tenths of the points, the last one closed."""

    name: str
    title: str
    statuses: tuple[tuple[str, int], ...]
    distribution: tuple[int, ...]
    mean_points: float | None
    median_points: float | None
    full_points: float
    passed: int
    counted: int
    criteria: tuple[CriterionFigure, ...]
    causes: tuple[tuple[str, int], ...]
    curves: tuple[tuple[float, ...], ...]
    mean_curve: tuple[float, ...]
    sheets_used: tuple[tuple[int, int], ...]

    @property
    def hardest(self) -> CriterionFigure | None:
        """The criterion with the lowest mean share."""
        return self.criteria[0] if self.criteria else None

    @property
    def commonest_cause(self) -> str:
        """The cause that cost most points most often; empty when there was no advice."""
        return self.causes[0][0] if self.causes else ""


def exercise_figures(results: CourseResults, name: str) -> ExerciseFigures:
    """Return the numbers of one exercise of a course."""
    exercise = next(one for one in results.exercises if one.name == name)
    rows = [row for row in results.rows if row.exercise == name]
    marked = [row for row in rows if row.points_before_late is not None and row.submission is not None]
    points = sorted(row.points for row in rows if row.points is not None)
    shares = (tuple(a.share for a in row.attempts if a.number and a.share is not None) for row in rows)
    curves = tuple(filter(None, shares))
    return ExerciseFigures(
        name, exercise.title, tuple(sorted(Counter(shown_status(r.status, r.limit) for r in rows).items())),
        _distribution(points, exercise.points), mean(points) if points else None, median(points) if points else None,
        exercise.points, sum(bool(row.submission and row.submission.passed) for row in marked), len(points),
        _criteria(marked), _causes(marked), curves, _mean_curve(curves), _sheets(marked),
    )  # fmt: skip


def _distribution(points: list[float], full: float) -> tuple[int, ...]:
    counts = [0] * BINS
    for value in points:
        counts[min(max(int(BINS * value / full + 1e-9), 0), BINS - 1)] += 1
    return tuple(counts)


def _criteria(rows: list[RowResult]) -> tuple[CriterionFigure, ...]:
    """Return the criteria that carry points, hardest first."""
    shares: dict[str, list[float]] = {}
    for row in rows:
        for one in row.submission.criteria if row.submission else ():
            if one.full_points > 0:
                shares.setdefault(one.name, []).append(one.share)
    figures = [
        CriterionFigure(name, sum(values) / len(values), sum(value < 0.5 for value in values), len(values))
        for name, values in shares.items()
    ]
    return tuple(sorted(figures, key=lambda one: (one.mean_share, one.name)))


def _causes(rows: list[RowResult]) -> tuple[tuple[str, int], ...]:
    """Return how often each cause cost most, commonest first: the first of the advice, else what lost most by itself."""
    counts = Counter(cause for row in rows if row.submission and (cause := _cost_most(row.submission)))
    return tuple(sorted(counts.items(), key=lambda item: (-item[1], item[0])))


def _cost_most(result: SubmissionResult) -> str:
    """Return what cost an evening most; empty where no points were lost."""
    if result.advice:
        return result.advice[0].cause
    lost = [(one.full_points - one.points, one.name) for one in result.criteria]
    lost.append((result.economy_full_points - (result.economy_points or 0.0), "economy"))
    most, name = max(lost, key=lambda each: each[0])
    return name if most > 0.0 else ""


def _mean_curve(curves: tuple[tuple[float, ...], ...]) -> tuple[float, ...]:
    """Return the mean of those who tried again, attempt by attempt from their first; empty where nobody did."""
    again = [curve for curve in curves if len(curve) > 1]
    longest = max((len(curve) for curve in again), default=0)
    return tuple(mean(curve[number] for curve in again if len(curve) > number) for number in range(longest))


def _sheets(rows: list[RowResult]) -> tuple[tuple[int, int], ...]:
    """Return how many learners used up to 1, 2, 3, ... sheets (a begun sheet counts whole)."""
    counts = Counter(-int(-row.submission.sheets_used // 1) for row in rows if row.submission)
    if not counts:
        return ()
    return tuple((n, counts.get(n, 0)) for n in range(min(counts), max(counts) + 1))
