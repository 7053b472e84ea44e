"""A learner's page: their prints, the tones asked for, what each sheet changed, what cost most, the marks, the late note."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from sim.marking.answer_words import answer_words
from sim.marking.by_eye import step_words
from sim.marking.charts import standing_bars, tolerance_gauge
from sim.marking.held_back import OwnPrint, as_given_out
from sim.marking.kept_work import Marked
from sim.marking.moments import on_the_wall
from sim.marking.pages import number, page_text, picture_link, points_text
from sim.marking.persons_text import with_persons_text
from sim.marking.results import (
    CourseResults,
    CriterionResult,
    ExerciseResult,
    ReadingResult,
    RowResult,
    SheetResult,
    SubmissionResult,
)
from sim.marking.said_figures import Said, step_held_against, told_of, told_of_sheet, why_held_against
from sim.marking.statuses import MARKED, SETTLED, WORDS, said_status
from sim.notebook.mark_words import kind_words
from sim.page_templates import our_markup
from sim.plain_text import as_named, as_written, bare
from sim.scoring.criterion_kinds import EXACT_TONE_KINDS, KINDS, TONE_KINDS
from sim.shelf import VARIANT_MARK
from sim.viewing.lightness import screen_values
from sim.viewing.plain_names import plain_name
from sim.words import Words

DECIDED = {
    "accept": "Somebody has looked, and it is marked as it stands", "excused": "Excused",
    "re-open": "Open again: one more evening may be handed in",
}  # fmt: skip
UNTOLD = "the readings do not tell"
NOTHING_COUNTS = "nothing has come in that could be marked"
LOOKED_AT = ("needs-person", "tampered", "out-of-range", "unreadable", "failed")
LEAST_SHOWN_POINTS = 0.05  # chosen: points stand with one decimal, and less would read as nothing lost
LEAST_WEEKS, MOST_WEEKS = 3, 24
HELD_BACK = "An examination: its marks are given out later, for all at once."
Marker = Callable[[str], Marked | None]


def feedback_text(
    results: CourseResults, learner: str, marked: Marker, own_prints: Mapping[str, Sequence[OwnPrint]] | None = None
) -> str:
    """Return the page of one learner. ``marked`` gives a replayed evening with its pictures by content.

    ``own_prints`` are the instructor's, by exercise.
    """
    mine = results.model_copy(update={"rows": [row for row in results.rows if row.learner == learner], "unplaced": []})
    results = with_persons_text(as_given_out(mine))
    rows = results.rows
    exercises = {exercise.name: exercise for exercise in results.exercises}
    points = [row.points for row in rows if row.points is not None]
    zone, total = ZoneInfo(results.time_zone), ""
    given_out = [row for row in rows if not exercises[row.exercise].held_back and row.status != "excused"]
    if len(rows) > 1 and points:
        total = f"{points_text(sum(points))} of {points_text(sum(row.full_points for row in given_out))} points in all."
        held = [exercises[row.exercise].title for row in rows if exercises[row.exercise].held_back]
        total += f" Not counted yet: {', '.join(held)}." if held else ""
    page = {
        "results": results, "who": rows[0].name or rows[0].learner, "total": total, "weeks": _weeks(given_out),
        "titles": [exercises[row.exercise].title for row in given_out],
        "parts": [
            _part(row, exercises[row.exercise], marked, (own_prints or {}).get(row.exercise, ())) for row in rows
        ],
        "came": lambda moment: on_the_wall(moment, zone) if moment else "",
    }  # fmt: skip
    told = (losses, said_words, readings_words, criterion_told, negative_name, paper_words, bare,
            grey_of, plain_name, number, said_status, picture_link)
    return page_text("feedback.html", page, step_words, *told, MARKED=MARKED, SETTLED=SETTLED, TONE_KINDS=TONE_KINDS)


def _weeks(rows: Sequence[RowResult]) -> str:
    """Return how one learner did from exercise to exercise, in percent of the points; empty for fewer than three."""
    bars = [
        (str(n), round(100 * row.points / row.full_points) if row.points is not None else 0) for n, row in enumerate(rows, 1)
    ]
    if sum(row.points is not None for row in rows) < LEAST_WEEKS or len(rows) > MOST_WEEKS:
        return ""
    return our_markup(standing_bars("Percent of the points, exercise by exercise", bars, "exercise, percent of its points"))


def _part(row: RowResult, exercise: ExerciseResult, marked: Marker, own_prints: Sequence[OwnPrint]) -> dict[str, Any]:
    """Return what the page shows of one exercise; ``result`` is the evening shown, None where none could be marked."""
    shown = row.submission if row.submission is not None and row.submission.status in MARKED else None
    evening = marked(shown.content) if shown else None
    due = (row.own_due or exercise.due).replace("T", " ").removesuffix(":00")
    return {
        "row": row, "exercise": exercise, "result": shown, "pictures": evening.pictures if evening else {},
        "due": f"{due} for you" if row.own_due else due,
        "answers": _answers(shown) if shown else "", "state": _state(row),
        "marked": shown is not None and row.points_before_late is not None,
        "gauged": shown is not None and any(criterion_told(one)["gauge"] for one in shown.criteria),
        "verdict": _verdict(shown, exercise) if shown else "", "by_eye": by_eye_words(row, exercise),
        "comments": [one.text for one in row.comments if not one.about or one.about not in _beside(shown)],
        "notes": [*_notes(row), *([HELD_BACK] if exercise.held_back else [])],
        "earned": _earned(shown, row.full_points - sum(one.full_points for one in row.by_eye)) if shown else "",
        "own_prints": [(one.picture, _of_negative(one, shown)) for one in own_prints],
    }  # fmt: skip


def _of_negative(own: OwnPrint, result: SubmissionResult | None) -> str:
    """Say which negative the instructor's print is of, and that it is not theirs where theirs was another of its sleeve."""
    film, _, variant = own.negative.partition(VARIANT_MARK)
    called = f"{negative_name(film)} ({as_written(variant)})" if variant else negative_name(film)
    printed = {sheet.negative for sheet in result.sheets} if result else set()
    another = own.negative not in printed and any(one.partition(VARIANT_MARK)[0] == film for one in printed)
    return f"Of {called}" + ("; yours was another negative of that sleeve." if another else ".")


def negative_name(name: str) -> str:
    """Return a negative's name as pages show it, without which variant of it was printed."""
    return as_named(plain_name(name.partition(VARIANT_MARK)[0]))


def _beside(result: SubmissionResult | None) -> set[str]:
    """Return the prints and criteria of the evening that is shown, beside which comments stand."""
    if result is None:
        return set()
    sheets = {f"sheet-{sheet.number}" for sheet in result.sheets}
    return sheets | {bare(one.name) for one in result.criteria if not one.hidden}


def _state(row: RowResult) -> str:
    if row.status == "missing" and row.waiting:
        return NOTHING_COUNTS
    return WORDS[row.status] + (f" ({row.limit})" if row.limit else "")


def _notes(row: RowResult) -> list[str]:
    reasons = list(row.reasons)
    if row.status == "unreadable" and reasons:
        file = next((one.file for one in reversed(row.attempts) if one.status == "unreadable"), "")
        reasons[0] = f"{file}: {reasons[0]}" if file and not reasons[0].startswith(f"{file}: ") else reasons[0]
    notes = [*reasons, *(one.words for one in row.waiting)]
    result = row.submission
    if result is not None and result.in_part:
        wanted = f"{result.prints_there} of the {result.prints_wanted} prints asked for are there"
        notes.append(f"{wanted}; what is missing earns nothing.")
    notes += _decided(row)
    notes += [row.which_counts] if row.which_counts else []
    if row.override is not None:
        notes.append(f"{row.override.points:g} points given by a person: {row.override.reason}")
    return notes


def _decided(row: RowResult) -> list[str]:
    """Return what was decided about an exercise, and whether something is still to be decided: never both of one file."""
    waits, decision = (row.status in LOOKED_AT and bool(row.attempts)) or bool(row.waiting_beside), row.decision
    looks = "Somebody looks at what you handed in; nothing is decided yet."
    if row.waiting_beside:
        looks = f"Somebody looks at {', '.join(row.waiting_beside)}; nothing is decided about that yet."
    if decision is None or decision.choice == "partial":
        return [looks] if waits else []
    because = f": {decision.reason}" if decision.reason else ""
    if decision.used_by:
        used = f"Opened again for one more evening, which was used up by {decision.used_by}{because}."
        since = "Somebody looks at what you handed in since; nothing is decided about that yet."
        return [used, *([looks if row.waiting_beside else since] if waits else [])]
    if decision.choice != "accept" or (row.status in MARKED and not decision.unsettled):
        which = f" ({', '.join(decision.files)})" if decision.files and (len(row.attempts) > 1 or row.waiting) else ""
        return [f"{DECIDED[decision.choice]}{which}{because}.", *([looks] if row.waiting_beside else [])]
    if decision.unsettled or row.status == "needs-person":
        return [looks] if waits else []
    return [f"Somebody has looked: it cannot be marked as it stands, and what comes of it is still to be decided{because}."] \
        if waits else []


def losses(result: SubmissionResult) -> list[tuple[str, CriterionResult]]:
    """Return every criterion that lost points with its name as pages show it, largest loss first."""
    lost = [
        (one.full_points - one.points, "what was kept back" if one.hidden else plain_name(one.name), one)
        for one in result.criteria
    ]
    lost = [each for each in lost if each[0] >= LEAST_SHOWN_POINTS]
    lost.sort(key=lambda each: -each[0])
    return [(name, one) for _, name, one in lost]


def said_words(sheet: SheetResult, result: SubmissionResult | None = None) -> str:
    """Return what was expected, seen and explained, in the learner's own answers, and whether the readings say the same."""
    held = {} if result is None else {one.kind: _held_against(one) for one in told_of_sheet(result, sheet)}
    answers = {"predicted": sheet.predicted, "observed": sheet.observed}
    if result is not None:
        steps = {kind: step_held_against(result, sheet, answer) for kind, answer in answers.items() if sheet.steps}
        held = {kind: held.get(kind) or steps.get(kind) or UNTOLD for kind in answers}
    parts = (
        ("Expected", sheet.predicted, held.get("predicted", "")), ("seen", sheet.observed, held.get("observed", "")),
        ("why", sheet.explained, "" if result is None else why_held_against(result, sheet)),
    )  # fmt: skip
    said = "; ".join(
        f"{what}: {answer_words(words)}{f' ({true})' if true else ''}" for what, words, true in parts if words
    )
    return f"{said[:1].upper()}{said[1:]}." if said else ""


def _held_against(one: Said) -> str:
    if one.said == one.read:
        return "it was"
    return "it was as wanted" if one.read == "right" else f"it was {one.read} than wanted"


def _answers(result: SubmissionResult) -> str:
    """Return how often what was expected and seen was so, and the hints taken; empty where neither was."""
    told, said = list(told_of(result)), []
    for kind, words in (("predicted", "What you expected"), ("observed", "What you saw before the numbers")):
        found = [one for one in told if one.kind == kind]
        if found:
            said.append(f"{words} was so {sum(one.said == one.read for one in found)} of {len(found)} times (prints alone).")
    if result.hints or told:
        said.append(f"Hints taken: {result.hints or 'none'}.")
    return " ".join(said)


def _earned(result: SubmissionResult, full_points: float) -> str:
    """Return the sum of the marks, and where the exercise counts for another number of points, what it comes to there."""
    words = f"{points_text(result.points)} of {points_text(result.full_points)}"
    if result.points is None or not result.full_points or points_text(result.full_points) == points_text(full_points):
        return words
    return f"{words}, which makes {points_text(full_points * result.points / result.full_points)} of {points_text(full_points)}"


def _verdict(result: SubmissionResult, exercise: ExerciseResult) -> str:
    """Say whether the prints pass, and what is asked for; empty where that is not known."""
    if result.passed is None or result.quality_share is None or not exercise.pass_share:
        return ""
    earned, asked = f"{100 * result.quality_share:.0f}", f"{100 * exercise.pass_share:.0f}"
    if result.passed:
        return f"Passed: the prints earned {earned} % of their points for quality, and {asked} % are asked for."
    if result.quality_share >= exercise.pass_share:
        return f"Not passed yet: {earned} % of the points for quality, but one of the negatives alone earned less than it must."
    return f"Not passed yet: the prints earned {earned} % of their points for quality, and {asked} % are asked for."


def by_eye_words(row: RowResult, exercise: ExerciseResult) -> str:
    """Say what all that is judged by eye came to, and whether that is the share that passes; empty where nothing is."""
    if not row.by_eye:
        return ""
    open_ones = sum(one.points is None for one in row.by_eye)
    points, full = sum(one.points or 0.0 for one in row.by_eye), sum(one.full_points for one in row.by_eye)
    earned = f"{points_text(points)} of {points_text(full)}"
    if open_ones:
        return f"By eye so far: {earned} points; still to be judged: {open_ones} of {len(row.by_eye)}."
    asked = f"{100 * exercise.pass_share:.0f}"
    if not exercise.pass_share:
        return f"By eye: {earned} points."
    if points >= exercise.pass_share * full - 1e-9:
        return f"By eye: {earned} points, which passes ({asked} % are asked for)."
    return f"By eye: {earned} points, which does not pass ({asked} % are asked for)."


def paper_words(result: SubmissionResult) -> str:
    """Return how much paper an evening used, and how long it took."""
    sheets, minutes = f"{result.sheets_used:g}", f"{result.minutes_used:.0f}"
    return f"{sheets} {'sheet' if sheets == '1' else 'sheets'}, {minutes} {'minute' if minutes == '1' else 'minutes'}"


def readings_words(sheet: SheetResult) -> str:
    """Return what a sheet reads, or the steps of a strip; a step that shows nothing named is passed over."""
    if not sheet.steps:
        return _readings(sheet.readings)
    showing = [f"step {step.number} shows {_readings(step.shows)}" for step in sheet.steps if step.shows]
    return "; ".join(showing) or "no step shows one of the places whole"


def _readings(found: Sequence[ReadingResult]) -> str:
    shown = {one.shown_place: one.density for one in found}  # one place may stand under two names
    return ", ".join(f"{plain_name(place)} {number(density)}" for place, density in shown.items())


def criterion_told(one: CriterionResult) -> dict[str, Any]:
    """Return what the page says of a criterion; of a hidden one only its points."""
    if one.hidden:
        nothing = dict.fromkeys(("wanted", "measured", "gauge"), "")
        return {"name": "kept back", "what": "judged without being announced", **nothing}
    gauge = ""
    if one.kind in EXACT_TONE_KINDS and one.measured is not None and one.wanted is not None and one.tolerance:
        gauge = our_markup(tolerance_gauge(one.measured, one.wanted, one.tolerance))
    unit = f" {one.unit}" if one.unit and one.unit != "density" else ""
    of = (f": {plain_name(one.called)}" if one.called else "") + (f", negative {one.negative}" if one.negative > 1 else "")
    yes_or_no = one.kind in KINDS and KINDS[one.kind].yes_or_no
    measured = "not read" if one.measured is None else number(one.measured) + unit
    return {
        "name": plain_name(one.name), "what": kind_words(one.kind, Words()) + of, "gauge": gauge,
        "wanted": "yes" if yes_or_no else _wanted(one) + (unit if one.wanted is not None else ""),
        "measured": measured if not yes_or_no or one.measured is None else ("yes" if one.share == 1.0 else "no"),
    }  # fmt: skip


def _wanted(one: CriterionResult) -> str:
    """Return what was asked for; of a window both ends, and where only one side costs points which side that is."""
    if one.kind in KINDS and KINDS[one.kind].side == "none":
        return "any"
    if one.least is None:
        side = KINDS[one.kind].side if one.kind in KINDS and one.wanted is not None else ""
        return number(one.wanted) + {"too-little": " or more", "too-much": " or less"}.get(side, "")
    return f"{number(one.least)} or more" if one.most is None else f"{number(one.least)} to {number(one.most)}"


def grey_of(density: float) -> int:
    """Return a density as a screen shows it under white light, 0 to 255."""
    return int(screen_values(np.array([density], dtype=np.float32))[0])
