"""What comes back from a worker, held against what it was asked: nothing is believed because of where it comes from.

A worker may be a process of ours, a machine behind a scheduler, or a file kept from another day. An answer must be a whole
result of the form that is published, about this file, this exercise and this version of the marker; its points must be
those the exercise has to give; its texts short and printable, its pictures small JPEGs of sheets it tells of. Which mark
it gives within that cannot be seen from here: whoever owns the scheduler owns the marks (lessons/courses.md says so).
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from sim.marking.kept_work import MARKER_VERSION, Marked, kept
from sim.marking.print_pictures import LARGE_PX
from sim.marking.replaying import Task
from sim.marking.results import SubmissionResult
from sim.marking.statuses import DECIDED, MARKED

MOST_TEXT = 2_000  # characters of one text
MOST_LISTED = {"reasons": 40, "criteria": 800, "advice": 80, "sheets": 20_000, "negatives": 12, "notes": 40}
MOST_PICTURES = 80
MOST_PICTURE_BYTES = 512 * 1024
MOST_PICTURES_BYTES = 12 * 1024 * 1024
NOT_OF_A_FILE = ("late", "missing", "excused", *DECIDED)  # what a row may be, but never the replay of one file
_PICTURE = re.compile(r"(sheet|thumb)-(\d{1,5})", re.ASCII)


def kept_for(folder: Path, key: str, task: Task) -> Marked | None:
    """Return work kept under a key, when it is a whole answer to this task; None else."""
    found = kept(folder, key)
    return None if found is None or wrong_with(task, found) else found


def wrong_with(task: Task, answer: object) -> str:
    """Return in words why an answer is none to its task; empty: it may be taken. Raises nothing."""
    if type(answer) is not Marked or type(answer.result) is not SubmissionResult or type(answer.pictures) is not dict:
        return "it is no result"
    try:
        data = answer.result.model_dump(mode="json", warnings=False)
        result = SubmissionResult.model_validate(data, strict=True)
    except (ValidationError, ValueError, TypeError, AttributeError, RecursionError) as error:
        return f"it has not the form of a result ({type(error).__name__})"
    return _of_another(task, result) or _unfit(data) or _other_points(task, result) or _pictures(answer.pictures, result)


def _of_another(task: Task, result: SubmissionResult) -> str:
    """Say when a result is about something else than what was asked."""
    asked = (task.content, task.exercise.digest if task.exercise else "", MARKER_VERSION)
    if (result.content, result.exercise_digest, result.marker_version) != asked:
        return "it is about another file, another exercise or another version of the marker"
    if result.status in NOT_OF_A_FILE or (result.limit != "") != (result.status == "failed"):
        return f"no file's replay ends as {result.status} {result.limit}".rstrip()
    return ""


def _unfit(data: Mapping[str, Any]) -> str:
    """Say when a text is too long or unprintable, a number is none, or a list is longer than any evening makes it."""
    for name, most in MOST_LISTED.items():
        if len(data[name]) > most:
            return f"{name} number more than {most}"
    for value in _values(data):
        if isinstance(value, str) and (len(value) > MOST_TEXT or not all(c.isprintable() or c == "\n" for c in value)):
            return "a text in it is too long, or holds what is no text"
        if isinstance(value, float) and not math.isfinite(value):
            return "a number in it is not finite"
    return ""


def _values(value: Any) -> Iterator[Any]:
    if isinstance(value, Mapping):
        for inner in value.values():
            yield from _values(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _values(inner)
    else:
        yield value


def _other_points(task: Task, result: SubmissionResult) -> str:
    """Say when a result has points where there are none to have, or others than the exercise gives."""
    exercise = task.exercise
    if result.status not in MARKED:
        return "" if result.points is None and not result.criteria else "it gives points for what was not marked"
    if exercise is None or result.points is None:
        return "it is marked without an exercise or without points"
    economy = result.economy_points or 0.0
    full = sum(one.full_points for one in result.criteria) + result.economy_full_points
    earned = sum(one.points for one in result.criteria) + economy
    wanted = exercise.quality_points + exercise.economy_points
    if {one.name for one in result.criteria} - {one.name for one in exercise.criteria}:
        return "it names criteria that the exercise has not"
    if max(abs(full - wanted), abs(result.full_points - wanted), abs(earned - result.points)) > 0.05:  # each is rounded
        return "its points are not those of the exercise"
    if any(not -1e-6 <= one.points <= one.full_points + 1e-6 for one in result.criteria):
        return "a criterion has more points than it can have"
    if not 0.0 <= economy <= exercise.economy_points + 1e-6 or result.economy_full_points != exercise.economy_points:
        return "its points for economy are not those of the exercise"
    if {one.name for one in result.negatives} - set(exercise.negatives):
        return "it is about other negatives than the ones given"
    return ""


def _pictures(pictures: Mapping[Any, Any], result: SubmissionResult) -> str:
    """Say when pictures are not small JPEGs of sheets that the result tells of."""
    numbers = {sheet.number for sheet in result.sheets}
    if len(pictures) > MOST_PICTURES:
        return f"it holds more than {MOST_PICTURES} pictures"
    total = 0
    for name, data in pictures.items():
        called = _PICTURE.fullmatch(name) if type(name) is str else None
        if called is None or int(called[2]) not in numbers:
            return "it holds a picture of no sheet"
        if type(data) is not bytes or len(data) > MOST_PICTURE_BYTES or not _is_small_jpeg(data):
            return "a picture in it is no small JPEG"
        total += len(data)
    if total > MOST_PICTURES_BYTES:
        return "its pictures are larger than any evening's"
    if any(sheet.picture and sheet.picture != f"sheet-{sheet.number}" for sheet in result.sheets):
        return "a sheet in it has another sheet's picture"
    return ""


def _is_small_jpeg(data: bytes) -> bool:
    from PIL import Image

    try:
        with Image.open(io.BytesIO(data), formats=("JPEG",)) as image:
            return bool(max(image.size) <= LARGE_PX)
    except Exception:  # a decoder fed with anything raises whatever it stumbles over
        return False
