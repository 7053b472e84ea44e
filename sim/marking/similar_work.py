"""Where a person who teaches may want to look twice: signs that honest evenings seldom show. A sign is a question, no verdict.

The thresholds were set on scripted honest classes (``tests/marking/honest_classes.py`` measures them): three whole sheets in a
row, however they were dialled, were shared by 3 of 120 evenings. A log holds no clock but the darkroom's: haste is told by
what was left of paper and minutes beside a print that earned little, and by answers that were all alike and mostly wrong.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from sim.marking.evening_signs import ROUND
from sim.marking.results import CourseResults, ExerciseResult, RowResult, SubmissionResult
from sim.marking.said_figures import told_of

SAME_IN_A_ROW = 3  # whole sheets with every decision the same, one after the other, in two evenings;
MOST_ROUND = 1  # at most so many of them what anybody might dial,
ROUND_IN_A_ROW = 5  # or so many in a row, whatever was dialled
PERFECT_SHARE = 0.995
WITHOUT_STRIP_SHARE, WITHOUT_STRIP_TIMES = 0.97, 3  # exercises
SMALL_CARD_MM = 6.0
LEFT_EARLY_SHARE, LEFT_OF_BOX = 0.35, 0.5  # of the quality at most, with so much or more of paper and minutes left
SAME_ANSWERS, MOST_RIGHT = 4, 0.5  # prints of which the same was said, and how often at most it was so

What = Literal["same-light", "same-decisions", "first-sheet", "no-strip", "small-card", "left-early", "same-answer"]


@dataclass(frozen=True)
class Sign:
    """A sign on a learner's evening: which, with whom it is shared (empty: nobody), and its number (sheets, share, mm).

    ``version`` of the exercise under which the evening was done, where that is not today's; 0: it is.
    """

    what: What
    learner: str
    exercise: str
    other: str = ""
    value: float = 0.0
    version: int = 0


def signs_in(results: CourseResults) -> list[Sign]:
    """Return the signs of a course, exercise by exercise. Nothing where results are anonymous: they hold no signs."""
    found: list[Sign] = []
    for exercise in results.exercises:
        rows = [row for row in results.rows if row.exercise == exercise.name and row.submission and row.submission.signs]
        versions = {row.learner: row.submission.exercise_version for row in rows if row.submission}
        signs = [*_same_light(rows), *_same_decisions(rows), *(sign for row in rows for sign in signs_of_row(row, exercise))]
        found += [
            replace(one, version=made) if (made := versions[one.learner]) not in (0, exercise.version) else one for one in signs
        ]
    return [*found, *_never_a_strip(results.rows)]


def signs_of_row(row: RowResult, exercise: ExerciseResult) -> Iterator[Sign]:
    """Yield the signs of one evening by itself."""
    result = row.submission
    if result is None or result.signs is None:
        return
    if result.quality_share is not None:
        yield from _of_a_marked_row(row, result, exercise, result.quality_share)
    smallest = result.signs.smallest_card_mm
    if smallest is not None and smallest < SMALL_CARD_MM:
        yield Sign("small-card", row.learner, row.exercise, value=smallest)


def _of_a_marked_row(row: RowResult, result: SubmissionResult, exercise: ExerciseResult, share: float) -> Iterator[Sign]:
    """Yield what needs marks or readings to be seen: a first sheet too good, a print left early, answers all alike."""
    first = next((sheet for sheet in result.sheets if sheet.nominated), None)
    if first is not None and first.number == 1 and share >= PERFECT_SHARE:
        yield Sign("first-sheet", row.learner, row.exercise, value=share)
    left = min(_left_of(result.sheets_used, exercise.box_sheets), _left_of(result.minutes_used, exercise.box_minutes))
    if share <= LEFT_EARLY_SHARE and left >= LEFT_OF_BOX and not result.in_part:
        yield Sign("left-early", row.learner, row.exercise, value=share)
    seen = [one for one in told_of(result) if one.kind == "observed"]
    right = sum(one.said == one.read for one in seen)
    if len(seen) >= SAME_ANSWERS and len({one.said for one in seen}) == 1 and right < MOST_RIGHT * len(seen):
        yield Sign("same-answer", row.learner, row.exercise, value=float(len(seen)))


def _left_of(used: float, given: float) -> float:
    """Return what share of what was given was left; nothing where it is not known."""
    return 1.0 - used / given if given else 0.0


def _never_a_strip(rows: Sequence[RowResult]) -> Iterator[Sign]:
    """Yield the learners who, in several exercises, came to a very good print within two sheets and laid no strip.

    Once it may be luck, or good advice followed well.
    """
    straight = Counter(
        row.learner
        for row in rows
        if (result := row.submission) is not None and result.signs is not None and result.quality_share is not None
        and result.signs.strips == 0 and len(result.signs.decisions) <= 2 and result.quality_share >= WITHOUT_STRIP_SHARE
    )  # fmt: skip
    for learner, count in sorted(straight.items()):
        if count >= WITHOUT_STRIP_TIMES:
            yield Sign("no-strip", learner, "", value=float(count))


def _same_light(rows: Sequence[RowResult]) -> Iterator[Sign]:
    """Yield pairs whose lamp and timer erred the same way sheet by sheet: drawn from one number, as no two evenings are."""
    for one, other in _sharing({row.learner: [_signs(row).light] for row in rows}):
        yield Sign("same-light", one, rows[0].exercise, other)


def _signs(row: RowResult) -> SignsOf:
    assert row.submission is not None
    return SignsOf.of(row.submission)


@dataclass(frozen=True)
class SignsOf:
    """The two lists that evenings are compared by."""

    light: str
    decisions: tuple[str, ...]

    @classmethod
    def of(cls, result: SubmissionResult) -> SignsOf:
        """Return them of a result that has signs."""
        assert result.signs is not None
        return cls(result.signs.light, tuple(result.signs.decisions))


def _same_decisions(rows: Sequence[RowResult]) -> Iterator[Sign]:
    """Yield pairs with enough whole sheets in a row decided the same."""
    runs = {row.learner: ["".join(run) for run in _runs(_signs(row).decisions)] for row in rows}
    for one, other in _sharing(runs):
        yield Sign("same-decisions", one, rows[0].exercise, other, float(SAME_IN_A_ROW))


def _runs(decisions: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """Yield every run of different decisions in a row that two honest evenings hardly share."""
    for length in (SAME_IN_A_ROW, ROUND_IN_A_ROW):
        for start in range(len(decisions) - length + 1):
            run = tuple(decisions[start : start + length])
            plain = sum(one.endswith(ROUND) for one in run)
            if len(set(run)) == length and (length == ROUND_IN_A_ROW or plain <= MOST_ROUND):
                yield run  # the same print again and again is an edition, no path


def _sharing(marks: Mapping[str, Sequence[str]]) -> Iterator[tuple[str, str]]:
    """Yield each learner with the first one, by id, who has a mark in common: all of a group are told, once each."""
    holders: dict[str, list[str]] = {}
    for learner in sorted(marks):
        for mark in dict.fromkeys(marks[learner]):
            holders.setdefault(mark, []).append(learner)
    told: set[tuple[str, str]] = set()
    for group in holders.values():
        for other in group[1:]:
            if (group[0], other) not in told:
                told.add((group[0], other))
                yield group[0], other
