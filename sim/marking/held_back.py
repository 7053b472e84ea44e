"""Examinations whose marks are not given out yet: what learners and course systems are given says nothing of them."""

from __future__ import annotations

from dataclasses import dataclass

from sim.marking.course import Course, exercise_of
from sim.marking.print_pictures import LARGE_PX, jpeg_of
from sim.marking.results import CourseResults, RowResult
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record_file import read_record
from sim.scoring.derived import read_reference, reference_file

MOST_OWN_PRINTS = 6
OWN_PRINT_PX_PER_MM = 2.5


def as_given_out(results: CourseResults) -> CourseResults:
    """Return the results without what is held back: that work came in is told, and nothing of what it came to."""
    held = {one.name for one in results.exercises if one.held_back}
    if not held:
        return results
    return results.model_copy(update={"rows": [_silent(row) if row.exercise in held else row for row in results.rows]})


def _silent(row: RowResult) -> RowResult:
    attempts = [one.model_copy(update={"share": None, "points": None, "counted": False}) for one in row.attempts]
    return row.model_copy(
        update={"points": None, "points_before_late": None, "override": None, "submission": None, "attempts": attempts,
                "by_eye": [], "comments": [], "reasons": [], "which_counts": ""}
    )


@dataclass(frozen=True)
class OwnPrint:
    """A print by whoever set an exercise: the negative it is of, and a JPEG of it."""

    negative: str
    picture: bytes


def own_prints(course: Course) -> dict[str, tuple[OwnPrint, ...]]:
    """Return the instructor's own prints of the examinations that are given out, as pictures. Raises OutsideError."""
    return {
        one.name: _pictures(course, index) for index, one in enumerate(course.exercises) if one.exam and one.given_out
    }


def _pictures(course: Course, index: int) -> tuple[OwnPrint, ...]:
    entry, (folder, _) = course.exercises[index], exercise_of(course, index)
    if entry.own_print:
        records = [read_record(course.file.parent / entry.own_print)]
    else:
        records = list(read_reference(folder)) if reference_file(folder).is_file() else []
    found = []
    for record in records[:MOST_OWN_PRINTS]:
        sheet = make_print(find_negative(record.negative), record, find_stock(record.sheet.paper), OWN_PRINT_PX_PER_MM)
        found.append(OwnPrint(record.negative, jpeg_of(sheet, LARGE_PX)))
    return tuple(found)
