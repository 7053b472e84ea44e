"""A learner's page: their prints, the tones asked for, what each sheet changed, what cost most, the marks, the late note."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from sim.marking.charts import standing_bars, tolerance_gauge
from sim.marking.held_back import as_given_out
from sim.marking.kept_work import Marked
from sim.marking.moments import on_the_wall
from sim.marking.pages import number, page_text, picture_link, points_text
from sim.marking.results import (
    AttemptResult,
    CommentResult,
    CourseResults,
    CriterionResult,
    ExerciseResult,
    EyeResult,
    ReadingResult,
    RowResult,
    SheetResult,
    SubmissionResult,
)
from sim.marking.statuses import MARKED, SETTLED, WORDS, said_status
from sim.notebook.mark_words import kind_words
from sim.page_templates import our_markup
from sim.scoring.criterion_kinds import EXACT_TONE_KINDS, TONE_KINDS
from sim.viewing.lightness import screen_values
from sim.viewing.plain_names import plain_name
from sim.words import Words

DECIDED = {
    "accept": "Somebody has looked, and it is marked as it stands", "excused": "Excused",
    "re-open": "Open again: one more evening may be handed in",
}  # fmt: skip
LEAST_WEEKS, MOST_WEEKS = 3, 24
HELD_BACK = "An examination: its marks are given out later, for all at once."

Marker = Callable[[str], Marked | None]


def feedback_text(
    results: CourseResults, learner: str, marked: Marker, own_prints: Mapping[str, Sequence[bytes]] | None = None
) -> str:
    """Return the page of one learner. ``marked`` gives a replayed evening with its pictures by content.

    ``own_prints`` are the instructor's, by exercise, as JPEG.
    """
    rows = as_given_out(results.model_copy(update={"rows": [row for row in results.rows if row.learner == learner]})).rows
    exercises = {exercise.name: exercise for exercise in results.exercises}
    points = [row.points for row in rows if row.points is not None]
    zone = ZoneInfo(results.time_zone)
    total = ""
    given_out = [row for row in rows if not exercises[row.exercise].held_back]
    if len(rows) > 1 and points:
        total = f"{points_text(sum(points))} of {points_text(sum(row.full_points for row in given_out))} points in all."
    page = {
        "title": results.title,
        "zone": results.time_zone,
        "marker": f"Tonewright {results.marker_version}",
        "weeks": _weeks(given_out),
        "titles": [exercises[row.exercise].title for row in given_out],
        "who": rows[0].name or rows[0].learner,
        "total": total,
        "parts": [
            _part(row, exercises[row.exercise], zone, marked)
            | {"own_prints": [picture_link(data) for data in (own_prints or {}).get(row.exercise, ())]}
            for row in rows
        ],
    }
    return page_text("feedback.html", page)


def _weeks(rows: Sequence[RowResult]) -> str:
    """Return how one learner did from exercise to exercise, in percent of the points; empty for fewer than three."""
    bars = [
        (str(n), round(100 * row.points / row.full_points) if row.points is not None else 0) for n, row in enumerate(rows, 1)
    ]
    if sum(row.points is not None for row in rows) < LEAST_WEEKS or len(rows) > MOST_WEEKS:
        return ""
    return our_markup(standing_bars("Percent of the points, exercise by exercise", bars, "exercise, percent of its points"))


def _part(row: RowResult, exercise: ExerciseResult, zone: ZoneInfo, marked: Marker) -> dict[str, Any]:
    shown = row.submission if row.submission is not None and row.submission.status in MARKED else None
    evening = marked(shown.content) if shown else None
    part: dict[str, Any] = {
        "title": exercise.title,
        "due": _due(row, exercise),
        "points": points_text(row.points),
        "full_points": points_text(row.full_points),
        "points_before_late": points_text(row.points_before_late) if row.late and row.late.percent else "",
        "state": WORDS[row.status] + (f" ({row.limit})" if row.limit else ""),
        "look": row.status not in SETTLED,
        "comments": [one.text for one in row.comments if not _belongs_elsewhere(one, shown)],
        "by_eye": [_eye(one) for one in row.by_eye] if row.status in MARKED else [],
        "provisional": row.provisional,
        "said_notes": [],
        "version": "",
        "notes": [*_notes(row), *([HELD_BACK] if exercise.held_back else [])],
        "late": row.late.words if row.late and row.late.late_s > 0 and row.points_before_late is not None else "",
        "marked": shown is not None and row.points_before_late is not None,
        "attempts": [_attempt(one, zone) for one in row.attempts],
    }
    return part | _evening(shown, evening.pictures if evening else {}, row) if shown else part


def _belongs_elsewhere(comment: CommentResult, result: SubmissionResult | None) -> bool:
    """Tell whether a comment stands beside a print or a criterion of the evening that is shown."""
    if result is None or not comment.about:
        return False
    beside = {f"sheet-{sheet.number}" for sheet in result.sheets} | {one.name for one in result.criteria if not one.hidden}
    return comment.about in beside


def _eye(one: EyeResult) -> dict[str, str]:
    return {
        "asks": one.asks, "step": one.step.replace("-", " ") or "not judged yet", "reason": one.reason,
        "points": number(one.points, 1), "full_points": points_text(one.full_points),
    }  # fmt: skip


def _said_of(row: RowResult, about: str) -> list[str]:
    return [one.text for one in row.comments if one.about == about]


def _due(row: RowResult, exercise: ExerciseResult) -> str:
    """Return until when, empty where there is no due time."""
    due = (row.own_due or exercise.due).replace("T", " ").removesuffix(":00")
    return f"{due} for you" if row.own_due else due


def _notes(row: RowResult) -> list[str]:
    notes = list(row.reasons)
    if row.submission is not None and row.submission.in_part:
        notes.append(in_part_words(row.submission))
    if row.decision is not None and row.decision.choice != "partial":
        reason = f": {row.decision.reason}" if row.decision.reason else ""
        notes.append(f"{DECIDED[row.decision.choice]}{reason}.")
    if row.override is not None:
        notes.append(f"{row.override.points:g} points given by a person: {row.override.reason}")
    return notes


def in_part_words(result: SubmissionResult) -> str:
    """Return how much of what was asked for is there."""
    return f"{result.prints_there} of the {result.prints_wanted} prints asked for are there; what is missing earns nothing."


def _attempt(one: AttemptResult, zone: ZoneInfo) -> dict[str, str]:
    return {
        "file": one.file,
        "received": on_the_wall(one.received, zone),
        "number": str(one.number or ""),
        "state": said_status(one.status, one.limit),
        "points": number(one.points, 1),
        "note": "; ".join(word for word in ("this one counts" if one.counted else "", one.note) if word),
    }


def _evening(result: SubmissionResult, pictures: dict[str, bytes], row: RowResult) -> dict[str, Any]:
    sheets = [
        _sheet(sheet, pictures) | {"comments": _said_of(row, f"sheet-{sheet.number}")} for sheet in result.sheets
    ]
    eye = sum(one.full_points for one in row.by_eye)
    economy = ""
    if result.economy_points is not None and result.economy_full_points:
        economy = f"{number(result.economy_points, 1)} of {points_text(result.economy_full_points)}"
    return {
        "sheets": sheets,
        "counted": [sheet for sheet in sheets if sheet["nominated"] and sheet["picture"]],
        "criteria": [
            _criterion(one) | {"comments": [] if one.hidden else _said_of(row, one.name)} for one in result.criteria
        ],
        "patches": [_patch(one) for one in result.criteria if one.kind in TONE_KINDS and _is_shown(one)],
        "advice": [{"words": one.words, "loss": points_text(one.loss_points)} for one in result.advice if not one.hidden],
        "earned": _earned(result, row.full_points - eye),
        "economy": economy,
        "said_notes": result.notes,
        "version": _version(result),
        "used": f"{result.sheets_used:g} sheets, {result.minutes_used:.0f} minutes",
    }


def _version(result: SubmissionResult) -> str:
    return f"Done under version {result.exercise_version} of the exercise." if result.exercise_version else ""


def _said_words(sheet: SheetResult) -> str:
    """Return what was expected, seen and explained, in the learner's own answers."""
    parts = (("Expected", sheet.predicted), ("seen", sheet.observed), ("why", sheet.explained))
    said = "; ".join(f"{what}: {plain_name(words)}" for what, words in parts if words)
    return f"{said[:1].upper()}{said[1:]}." if said else ""


def _earned(result: SubmissionResult, full_points: float) -> str:
    """Return the sum of the marks, and where the exercise counts for another number of points, what it comes to there."""
    words = f"{points_text(result.points)} of {points_text(result.full_points)}"
    if result.points is None or not result.full_points or points_text(result.full_points) == points_text(full_points):
        return words
    return f"{words}, which makes {points_text(full_points * result.points / result.full_points)} of {points_text(full_points)}"


def _sheet(sheet: SheetResult, pictures: dict[str, bytes]) -> dict[str, Any]:
    data = pictures.get(sheet.picture)
    return {
        "number": sheet.number,
        "title": f"{'Strip' if sheet.kind == 'strip' else 'Sheet'} {sheet.number}",
        "negative": plain_name(sheet.negative.partition("~")[0]),
        "nominated": sheet.nominated,
        "picture": picture_link(data) if data else "",
        "minute": number(sheet.minute, 0),
        "changes": sheet.changes,
        "said": _said_words(sheet),
        "readings": _step_readings(sheet) if sheet.steps else _readings(sheet.readings),
    }


def _readings(found: Sequence[ReadingResult]) -> str:
    return ", ".join(f"{plain_name(one.place)} {number(one.density)}" for one in found)


def _step_readings(sheet: SheetResult) -> str:
    """Return what a strip's steps show and read; a step that shows nothing named is passed over."""
    showing = [f"step {step.number} shows {_readings(step.shows)}" for step in sheet.steps if step.shows]
    return "; ".join(showing) or "no step shows one of the places whole"


def _is_shown(one: CriterionResult) -> bool:
    return not one.hidden and one.measured is not None and one.wanted is not None


def _criterion(one: CriterionResult) -> dict[str, Any]:
    points = {"points": number(one.points, 1), "full_points": points_text(one.full_points)}
    if one.hidden:
        return {"name": "kept back", "what": "judged without being announced", "wanted": "", "measured": "",
                "gauge": "", **points}  # fmt: skip
    gauge = ""
    if one.kind in EXACT_TONE_KINDS and one.measured is not None and one.wanted is not None and one.tolerance:
        gauge = our_markup(tolerance_gauge(one.measured, one.wanted, one.tolerance))
    unit = f" {one.unit}" if one.unit and one.unit != "density" else ""
    of = f", negative {one.negative}" if one.negative > 1 else ""
    return {
        "name": plain_name(one.name), "what": kind_words(one.kind, Words()) + of, "gauge": gauge,
        "wanted": number(one.wanted) + (unit if one.wanted is not None else ""),
        "measured": number(one.measured) + (unit if one.measured is not None else ""), **points,
    }  # fmt: skip


def _grey(density: float) -> int:
    return int(screen_values(np.array([density], dtype=np.float32))[0])


def _patch(one: CriterionResult) -> dict[str, Any]:
    wanted, measured = one.wanted or 0.0, one.measured or 0.0
    return {
        "name": plain_name(one.place or one.name), "wanted": number(wanted), "measured": number(measured),
        "wanted_grey": _grey(wanted), "grey": _grey(measured),
    }  # fmt: skip
