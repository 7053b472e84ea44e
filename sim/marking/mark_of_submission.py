"""An evening's nominated sheets judged by the one score, and every sheet shown with what it changed and what it reads."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from sim.marking.changes import changes_between
from sim.marking.evening_signs import signs_of
from sim.marking.kept_work import Marked
from sim.marking.print_pictures import LARGE_PX, SMALL_PX, THUMB_PX, jpeg_of
from sim.marking.results import (
    AdviceResult,
    CriterionResult,
    EvidenceResult,
    NegativeResult,
    ReadingResult,
    SheetResult,
    StepResult,
    SubmissionResult,
)
from sim.notebook.advice_words import advice_words
from sim.plain_text import one_line
from sim.refusals import Refused
from sim.words import Words

if TYPE_CHECKING:
    from sim.evening.evening_state import EveningState, SheetMade
    from sim.evening.handing_in import Submission
    from sim.negative.negative import Negative, Place
    from sim.printing.exposure import LightCache
    from sim.printing.make_print import Print
    from sim.printing.record import PrintingRecord
    from sim.scoring.advice import Advice
    from sim.scoring.exercise import Exercise
    from sim.scoring.judged import Judged
    from sim.scoring.marks import Mark, Marks
    from sim.scoring.readings import Readings

COARSE_PX_PER_MM = 2.5  # for a picture on a page; what is read is printed at the sheet's own pixels, around the places only
MOST_COARSE_PX = 1_000_000
COARSE_LIGHTS_KEPT = 12  # a tenth of a full sheet's light each: heights and apertures of one evening
MOST_PICTURES = 24  # six sheets cut into strips; further ones are listed without a picture
MOST_READINGS = 8
MOST_NOTES, MOST_NOTE_CHARACTERS = 40, 500


def judged_evening(
    blank: SubmissionResult, exercise: Exercise, negatives: Sequence[Negative], submission: Submission
) -> Marked:
    """Return the marks, the advice and the sheets of an evening whose file has been found in order."""
    from sim.printing.exposure import LightCache
    from sim.scoring.advice import advise
    from sim.scoring.judged import judge
    from sim.scoring.marks import score

    state = submission.state
    nominated = [made for made in state.sheets if made.number in state.nominated]
    whole = [made.record for made in state.sheets if made.record.sheet.kind == "sheet"]
    minutes_used = state.used_s / 60.0
    judged = judge(
        exercise, negatives, [made.record for made in nominated], state.sheets_used, None, LightCache(), minutes_used,
        whole, only_places=True,
    )  # fmt: skip
    marks = score(judged, exercise)
    advice = advise(exercise, judged, marks)
    announced = {mark.place for mark in marks.marks if not mark.hidden}
    kept_back = {mark.place for mark in marks.marks if mark.hidden} - announced
    sheets, pictures = _sheets(exercise, judged, state.sheets, state.nominated)
    sheets = [sheet.model_copy(update=_said(state, sheet.number)) for sheet in sheets]
    about = {
        **_marks_data(exercise, marks), **_evening_data(submission), "sheets": sheets,
        "criteria": [_criterion(mark) for mark in marks.marks],
        "advice": [_advice(one, kept_back) for one in advice],
        "negatives": [NegativeResult(name=n.name, digest=n.digest) for n in negatives],
        "prints_wanted": exercise.copies * len(negatives), "prints_there": len(judged.judged_prints),
    }  # fmt: skip
    result = blank.model_copy(update=about)
    return Marked(SubmissionResult.model_validate(result.model_dump()), pictures)


def _evening_data(submission: Submission) -> dict[str, object]:
    """Return what an evening used and said, beside its prints."""
    state = submission.state
    return {
        "sheets_used": round(state.sheets_used, 2), "minutes_used": round(state.used_s / 60.0, 1), "signs": signs_of(state),
        "exercise_version": submission.opening.exercise_version, "hints": len(state.said_of("hint")),
        "notes": [_line(note) for note in state.notes[:MOST_NOTES]],
    }  # fmt: skip


def _said(state: EveningState, number: int) -> dict[str, str]:
    """Return what was said of a piece of paper: expected before it, seen and explained after it."""
    predicted, observed, explained = (
        [_line(said.choice or said.text) for said in state.said_of(kind, before)]
        for kind, before in (("predicted", number - 1), ("observed", number), ("explained", number))
    )
    found = {"predicted": predicted, "observed": observed, "explained": explained}
    return {key: words[-1] for key, words in found.items() if words}


def _line(text: str) -> str:
    """Return words of a learner as one line that may be kept."""
    return one_line(text)[:MOST_NOTE_CHARACTERS]


def _marks_data(exercise: Exercise, marks: Marks) -> dict[str, object]:
    economy = marks.economy
    return {
        "points": round(marks.points, 4),
        "full_points": round(marks.full_points, 4),
        "quality_share": round(marks.share, 6),
        "economy_points": round(economy.points, 4) if economy else None,
        "economy_full_points": round(economy.full_points, 4) if economy else 0.0,
        "passed": marks.passed(exercise),
    }


def _criterion(mark: Mark) -> CriterionResult:
    return CriterionResult(
        name=mark.name, kind=mark.kind, place=mark.place, negative=mark.negative,
        measured=None if mark.missing else _rounded(mark.measured, 4), wanted=_rounded(mark.wanted, 4),
        tolerance=_rounded(mark.tolerance, 4),
        unit=mark.unit, share=round(mark.share, 6), points=round(mark.points, 4), full_points=round(mark.full_points, 4),
        hidden=mark.hidden,
    )  # fmt: skip


def _rounded(value: float | None, decimals: int) -> float | None:
    return None if value is None else round(float(value), decimals) + 0.0


def _advice(one: Advice, kept_back: set[str]) -> AdviceResult:
    return AdviceResult(
        cause=one.cause, direction=one.direction, size=_rounded(one.size, 3), unit=one.unit, place=one.place,
        loss_points=round(one.loss_points, 4), words=advice_words(one, Words()), hidden=one.place in kept_back,
        exposure=one.exposure, measured=_rounded(one.measured, 4) or 0.0, wanted=_rounded(one.wanted, 4) or 0.0,
        evidence=[
            EvidenceResult(places=list(r.places), read=round(r.read, 4) + 0.0, off=round(r.off, 4) + 0.0)
            for r in one.evidence
        ],
        after_others=one.after_others,
    )  # fmt: skip


def _sheets(
    exercise: Exercise, judged: Judged, sheets: Sequence[SheetMade], nominated: Sequence[int]
) -> tuple[list[SheetResult], dict[str, bytes]]:
    """Return every sheet with what it changed and reads, and the pictures: nominated ones large and as a thumbnail."""
    from sim.printing.exposure import LightCache
    from sim.printing.strips import strip_in

    lights = LightCache(COARSE_LIGHTS_KEPT)
    negatives = {negative.name: negative for negative in judged.negatives}
    before: dict[tuple[str, str], PrintingRecord] = {}
    shown: list[SheetResult] = []
    pictures: dict[str, bytes] = {}
    for made in sheets:
        record, counts = made.record, made.number in nominated
        negative = negatives[record.negative]
        looked, strip = _looked_at(negative, record, judged, lights) if len(shown) < MOST_PICTURES else None, strip_in(record)
        if looked:
            numbers = strip.steps if strip else ()
            pictures[f"sheet-{made.number}"] = jpeg_of(looked[0], LARGE_PX if counts else SMALL_PX, numbers)
        if looked and counts:
            pictures[f"thumb-{made.number}"] = jpeg_of(looked[0], THUMB_PX)
        places = _places(exercise, negative) if looked else []
        same_kind = (record.negative, record.sheet.kind)
        shown.append(
            SheetResult(
                number=made.number, kind=record.sheet.kind, minute=round(made.minute, 1), negative=record.negative,
                changes=changes_between(before.get(same_kind), record),
                readings=_readings(looked[1], places) if looked and not strip else [], nominated=counts,
                picture=f"sheet-{made.number}" if looked else "",
                steps=_steps(negative, record, looked[0], places) if looked and strip else [],
            )
        )  # fmt: skip
        before[same_kind] = record
    return shown, pictures


def _steps(negative: Negative, record: PrintingRecord, sheet: Print, places: Sequence[Place]) -> list[StepResult]:
    """Return a strip step by step, read at those of the places that lie in each: a lesson reads no finer print of it."""
    from sim.viewing.strip_reading import steps_read

    return [
        StepResult(
            number=step.number, time_s=round(step.time_s, 2),
            shows=[ReadingResult(place=place, density=round(read, 2)) for place, read in step.shows],
        )
        for step in steps_read(replace(negative, places=tuple(places)), record, sheet)
    ]  # fmt: skip


def _looked_at(
    negative: Negative, record: PrintingRecord, judged: Judged, coarse: LightCache
) -> tuple[Print, Readings] | None:
    """Return a sheet to look at, and its readings.

    It is printed coarse, for a picture on a page, and read by printing just its places finely, as it was judged.
    """
    from sim.paper.stock import find_stock
    from sim.printing.exposure import LightCache
    from sim.printing.make_print import make_print
    from sim.scoring.readings import PlaceReadings

    own = next((one.readings for one in judged.judged_prints if one.record is record), None)
    try:
        stock, sheet = find_stock(record.sheet.paper), record.sheet
        finer = LARGE_PX / max(sheet.width_mm, sheet.height_mm) if own else 0.0  # a small sheet that counts is shown large
        pitch = min(max(COARSE_PX_PER_MM, finer), math.sqrt(MOST_COARSE_PX / (sheet.width_mm * sheet.height_mm)))
        small = make_print(negative, record, stock, pitch, lights=coarse)
        return small, own or PlaceReadings(negative, record, stock, judged.lights or LightCache())
    except Refused:  # it was printed once, so this is another version's record; the sheet is listed without a picture
        return None


def _places(exercise: Exercise, negative: Negative) -> list[Place]:
    """Return the places that the exercise lets learners see being read, each once."""
    index = exercise.negatives.index(negative.name)
    spots = [
        spot for c in exercise.criteria if not c.hidden and c.belongs_to(index) for spot in c.spots
    ]  # fmt: skip
    places = {spot.name: spot.on(negative) for spot in spots}
    return list(places.values())[:MOST_READINGS]


def _readings(sheet: Readings, places: Sequence[Place]) -> list[ReadingResult]:
    readings = []
    for place in places:
        try:
            readings.append(ReadingResult(place=place.name, density=round(sheet.spot(place), 2)))
        except Refused:
            continue  # the place lies off this piece of paper
    return readings
