"""Marks: the nominated prints' readings against what was asked. One ``score`` for every door.

Only readings of the nominated sheets count, and how much paper was used; no stored result, no strip, no notes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import overload

from sim.printing.make_print import Print
from sim.refusals import Refused
from sim.scoring.criterion_kinds import KINDS
from sim.scoring.criterion_measures import Measured, measure, measure_series
from sim.scoring.exercise import Criterion, Exercise
from sim.scoring.judged import Judged
from sim.scoring.points import economy_share
from sim.scoring.target_tones import ToneTarget
from sim.viewing.densitometer import read_place


@dataclass(frozen=True)
class Mark:
    """One criterion: what was measured, what was wanted, the tolerance, and the points it earned.

    ``negative`` is 1, 2, ...; ``missing`` means there was no print to read, or its place lay off the sheet. ``rim`` is what is
    seen of the card that made the tone, where that costs: as a sharp step of that density in middle grey.
    """

    name: str
    kind: str
    place: str
    measured: float
    wanted: float
    tolerance: float
    unit: str
    share: float
    points: float
    full_points: float
    negative: int = 1
    hidden: bool = False
    missing: bool = False
    rim: float = 0.0

    @property
    def miss(self) -> float:
        """Measured minus wanted: for a tone + too dark, - too light."""
        return self.measured - self.wanted


@dataclass(frozen=True)
class Economy:
    """Points for using no more paper than the trade's rules need."""

    points: float
    full_points: float
    sheets_used: float
    expected_sheets: float


@dataclass(frozen=True)
class Marks:
    """All criteria of the nominated prints, and the economy apart from them.

    ``kept_back_points`` are judged elsewhere, by criteria that were not announced: until then these marks are provisional.
    """

    marks: tuple[Mark, ...]
    economy: Economy | None = None
    kept_back_points: float = 0.0

    @property
    def provisional(self) -> bool:
        """Tell whether more is judged than can be judged here."""
        return self.kept_back_points > 0.0

    @property
    def quality_points(self) -> float:
        """Points for the prints themselves."""
        return sum(mark.points for mark in self.marks)

    @property
    def points(self) -> float:
        """Points earned, economy included."""
        return self.quality_points + (self.economy.points if self.economy else 0.0)

    @property
    def full_points(self) -> float:
        """Points that could be earned, economy included."""
        return sum(mark.full_points for mark in self.marks) + (self.economy.full_points if self.economy else 0.0)

    @property
    def share(self) -> float:
        """Quality earned as a share of all quality, 0 to 1. Paper used does not touch it."""
        full = sum(mark.full_points for mark in self.marks)
        return self.quality_points / full if full else 0.0

    def of_prints(self) -> tuple[tuple[int, float], ...]:
        """Return, for every negative (from 0), the share of the points that its own prints earn; a series belongs to none."""
        own: dict[int, list[Mark]] = {}
        for mark in self.marks:
            if not KINDS[mark.kind].series:
                own.setdefault(mark.negative - 1, []).append(mark)
        sums = {k: (sum(m.points for m in marks), sum(m.full_points for m in marks)) for k, marks in sorted(own.items())}
        return tuple((k, earned / full if full else 1.0) for k, (earned, full) in sums.items())

    def passed(self, exercise: Exercise) -> bool:
        """Tell whether the quality reaches what the exercise asks for: altogether, and of each negative by itself."""
        each = all(share >= exercise.each_share - 1e-9 for _, share in self.of_prints())
        return self.share >= exercise.pass_share - 1e-9 and each


@overload
def score(sheet: Print, targets: Sequence[ToneTarget]) -> Marks: ...
@overload
def score(sheet: Judged, targets: Exercise) -> Marks: ...
def score(sheet: Print | Judged, targets: Sequence[ToneTarget] | Exercise) -> Marks:
    """Return the marks of a print against target tones, or of an exercise's nominated prints against its criteria.

    With several copies of a negative the one furthest off counts. A print that is not there earns nothing, and takes its
    part of the points for copies, for a series and for paper with it.
    """
    if isinstance(sheet, Judged):
        assert isinstance(targets, Exercise)
        return _exercise_marks(sheet, targets)
    assert not isinstance(targets, Exercise)
    marks = []
    for target in targets:
        value = read_place(sheet, target.place)
        off = target.miss(value)
        read = Measured(target.place.name, value, target.density, target.tolerance_density, off)
        marks.append(_mark(f"{target.kind}-{target.place.name}", target.kind, target.points, read, 1))
    return Marks(tuple(marks))


def _exercise_marks(judged: Judged, exercise: Exercise) -> Marks:
    marks = []
    for criterion in exercise.criteria:
        if criterion.of_kind.series:
            marks.append(_series_mark(criterion, judged, exercise))
            continue
        for index in range(len(exercise.negatives)):
            if criterion.belongs_to(index):
                marks.append(_worst_copy(criterion, judged, exercise, index))
    wanted = exercise.copies * len(exercise.negatives)
    economy = economy_mark(exercise, judged.sheets_used, len(judged.judged_prints) / wanted)
    return Marks(tuple(marks), economy, exercise.kept_back_points)


def _worst_copy(criterion: Criterion, judged: Judged, exercise: Exercise, index: int) -> Mark:
    prints = judged.of_negative(index)
    if not prints:
        return _missing(criterion, index + 1)
    try:
        worst = min((measure(criterion, judged, one) for one in prints), key=lambda measured: measured.share)
    except Refused:  # the place lies off the sheet
        return _missing(criterion, index + 1)
    made = len(prints) / exercise.copies  # each copy that is not there takes its part of the points with it
    return _mark(criterion.name, criterion.kind, criterion.points, worst, index + 1, criterion.hidden, made)


def _series_mark(criterion: Criterion, judged: Judged, exercise: Exercise) -> Mark:
    if len(judged.judged_prints) < exercise.copies * len(exercise.negatives):
        return _missing(criterion, 1)
    try:
        read = measure_series(criterion, judged)
    except Refused:
        return _missing(criterion, 1)
    return _mark(criterion.name, criterion.kind, criterion.points, read, 1, criterion.hidden)


def _mark(
    name: str, kind: str, points: float, read: Measured, negative: int, hidden: bool = False, made: float = 1.0
) -> Mark:
    share = read.share * made
    return Mark(
        name, kind, read.place, read.value, read.wanted, read.tolerance, KINDS[kind].unit, share,
        share * points, points, negative, hidden, rim=read.rim,
    )  # fmt: skip


def _missing(criterion: Criterion, negative: int) -> Mark:
    place = " to ".join(spot.name for spot in criterion.spots)
    unit = criterion.of_kind.unit
    return Mark(
        criterion.name, criterion.kind, place, 0.0, criterion.wanted, criterion.tolerance, unit, 0.0, 0.0,
        criterion.points, negative, criterion.hidden, missing=True,
    )  # fmt: skip


def economy_mark(exercise: Exercise, sheets_used: float, made: float = 1.0) -> Economy | None:
    """Return the points for paper; none where the exercise gives none for it.

    ``made`` is the share of the prints asked for that is there: what was not printed has not saved any paper.
    """
    if exercise.economy_points == 0.0:
        return None
    expected = exercise.box.expected_sheets * made
    share = economy_share(sheets_used, expected) * made if made else 0.0
    return Economy(share * exercise.economy_points, exercise.economy_points, sheets_used, expected)
