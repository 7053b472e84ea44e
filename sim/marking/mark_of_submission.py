"""An evening's nominated sheets judged by the one score, and every sheet shown with what it changed and what it reads."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from sim.bounded_store import MEGABYTE
from sim.evening.evening_state import EveningState, SheetMade
from sim.evening.handing_in import Submission
from sim.marking.changes import changes_between
from sim.marking.evening_signs import signs_of
from sim.marking.kept_work import Marked
from sim.marking.missing_prints import with_missing_prints
from sim.marking.print_pictures import LARGE_PX, SMALL_PX, THUMB_PX, jpeg_of
from sim.marking.results import (
    AdviceResult,
    CriterionResult,
    NegativeResult,
    ReadingResult,
    SheetResult,
    StepResult,
    SubmissionResult,
)
from sim.negative.negative import Negative, Place
from sim.notebook.advice_words import advice_words
from sim.paper.stock import find_stock
from sim.plain_text import one_line
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, make_print
from sim.printing.record import PrintingRecord, Sheet
from sim.printing.strips import strip_in
from sim.refusals import Refused
from sim.scoring.advice import Advice, advise
from sim.scoring.exercise import Criterion, Exercise, Spot
from sim.scoring.judged import Judged, judge
from sim.scoring.marks import Mark, Marks, score
from sim.scoring.readings import PlaceReadings, Readings
from sim.viewing.strip_reading import steps_read
from sim.words import Words

COARSE_PX_PER_MM = 2.5  # for a picture on a page; what is read is printed at the sheet's own pixels, around the places only
MOST_COARSE_PX = 1_000_000
COARSE_LIGHTS_KEPT = 12  # a tenth of a full sheet's light each: heights and apertures of one evening
KEPT_BETWEEN_EVENINGS = 64 * MEGABYTE  # what a dozen places and sheets of two negatives take
MOST_PICTURES = 24  # six sheets cut into strips; further ones are listed without a picture
MOST_READINGS = 8
MOST_NOTES, MOST_NOTE_CHARACTERS = 40, 500


class AtTheEnlarger:
    """An exercise's negatives with what they were found to project: evenings on the same negatives share it."""

    def __init__(self, negatives: Sequence[Negative]):
        """Begin with nothing projected; whole sheets are kept coarse, as pages show them."""
        self.negatives = tuple(negatives)
        self.clear()

    def clear(self) -> None:
        """Forget what was projected."""
        self.lights = LightCache()
        self.coarse = LightCache(COARSE_LIGHTS_KEPT, films_of=self.lights)

    def clear_if_large(self) -> None:
        """Forget what was projected where it takes more memory than the next evening should find taken."""
        if self.lights.bytes + self.coarse.bytes > KEPT_BETWEEN_EVENINGS:
            self.clear()


def judged_evening(
    blank: SubmissionResult, exercise: Exercise, enlarger: AtTheEnlarger, submission: Submission
) -> Marked:
    """Return the marks, the advice and the sheets of an evening whose file has been found in order."""
    state, negatives = submission.state, enlarger.negatives
    nominated = [made for made in state.sheets if made.number in state.nominated]
    whole = [made.record for made in state.sheets if made.record.sheet.kind == "sheet"]
    minutes_used = state.used_s / 60.0
    judged = judge(
        exercise, negatives, [made.record for made in nominated], state.sheets_used, None, enlarger.lights, minutes_used,
        whole, only_places=True,
    )  # fmt: skip
    marks = score(judged, exercise)
    advice = [_advice(one, kept_back_places(marks)) for one in advise(exercise, judged, marks)]
    sheets, pictures = _sheets(exercise, judged, state.sheets, state.nominated, enlarger.coarse)
    sheets = [sheet.model_copy(update=_said(state, sheet.number)) for sheet in sheets]
    economy, asked = marks.economy, {one.name: one for one in exercise.criteria}
    about = {
        **_evening_data(submission), "sheets": sheets,
        "points": marks.points, "full_points": marks.full_points, "quality_share": marks.share,
        "economy_points": economy.points if economy else None,
        "economy_full_points": economy.full_points if economy else 0.0,
        "passed": marks.passed(exercise),
        "criteria": [_criterion(mark, asked[mark.name], negatives[max(mark.negative, 1) - 1]) for mark in marks.marks],
        "advice": with_missing_prints(advice, marks, exercise, judged),
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


def kept_back_places(marks: Marks) -> set[str]:
    """Return the places that only hidden criteria read."""
    announced = {mark.place for mark in marks.marks if not mark.hidden}
    return {mark.place for mark in marks.marks if mark.hidden} - announced


def _criterion(mark: Mark, asked: Criterion, negative: Negative) -> CriterionResult:
    found, names = CriterionResult.model_validate(mark), {spot.name: _own_name(spot, negative) for spot in asked.spots}
    own = " to ".join(names.get(name, name) for name in mark.place.split(" to "))
    about = {**_window(asked), "called": own if own != mark.place else ""}
    return found.model_copy(update={**about, **({"measured": None} if mark.missing else {})})


def _own_name(spot: Spot, negative: Negative) -> str:
    """Return what a negative calls a criterion's place: its lightest one has a name of its own."""
    return spot.known_as(negative.places) or spot.name


def _window(criterion: Criterion) -> dict[str, float | None]:
    """Return both ends of what a criterion accepts, where it is a window and no single value."""
    return dict(zip(("least", "most"), criterion.window, strict=True)) if criterion.window else {}


def _advice(one: Advice, kept_back: set[str]) -> AdviceResult:
    facts = {name: getattr(one, name) for name in AdviceResult.model_fields if hasattr(one, name)}
    return AdviceResult.model_validate({**facts, "words": advice_words(one, Words()), "hidden": one.place in kept_back})


def _sheets(
    exercise: Exercise, judged: Judged, sheets: Sequence[SheetMade], nominated: Sequence[int], lights: LightCache
) -> tuple[list[SheetResult], dict[str, bytes]]:
    """Return every sheet with what it changed and reads, and the pictures: nominated ones large and as a thumbnail."""
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
        own = _own_names(exercise, negative)
        same_kind = (record.negative, record.sheet.kind)
        shown.append(
            SheetResult(
                number=made.number, kind=record.sheet.kind, minute=round(made.minute, 1), negative=record.negative,
                changes=changes_between(before.get(same_kind), record),
                readings=_readings(looked[1], places, own) if looked and not strip else [], nominated=counts,
                picture=f"sheet-{made.number}" if looked else "",
                steps=_steps(negative, record, looked[0], places, own) if looked and strip else [],
            )
        )  # fmt: skip
        before[same_kind] = record
    return shown, pictures


def _steps(
    negative: Negative, record: PrintingRecord, sheet: Print, places: Sequence[Place], own: Mapping[str, str]
) -> list[StepResult]:
    """Return a strip step by step, read at those of the places that lie in each: a lesson reads no finer print of it."""
    return [
        StepResult(
            number=step.number, time_s=round(step.time_s, 2),
            shows=[ReadingResult(place=place, density=round(read, 2), called=own.get(place, "")) for place, read in step.shows],
        )
        for step in steps_read(replace(negative, places=tuple(places)), record, sheet)
    ]  # fmt: skip


def pictured_px_per_mm(sheet: Sheet, counts: bool) -> float:
    """Return how fine a piece of paper is printed for its picture: a small one that counts finer, since it is shown large.

    A whole sheet that does not count is printed no finer than it is shown; a strip is read as well.
    """
    longest_mm = max(sheet.width_mm, sheet.height_mm)
    shown = (LARGE_PX if counts else SMALL_PX) / longest_mm
    wanted = max(COARSE_PX_PER_MM, shown) if counts else COARSE_PX_PER_MM
    if not counts and sheet.kind == "sheet":
        wanted = min(wanted, shown)
    return min(wanted, math.sqrt(MOST_COARSE_PX / (sheet.width_mm * sheet.height_mm)))


def _looked_at(
    negative: Negative, record: PrintingRecord, judged: Judged, coarse: LightCache
) -> tuple[Print, Readings] | None:
    """Return a sheet to look at, and its readings.

    It is printed coarse, for a picture on a page, and read by printing just its places finely, as it was judged.
    """
    own = next((one.readings for one in judged.judged_prints if one.record is record), None)
    try:
        stock = find_stock(record.sheet.paper)
        small = make_print(negative, record, stock, pictured_px_per_mm(record.sheet, bool(own)), lights=coarse)
        return small, own or PlaceReadings(negative, record, stock, judged.lights or LightCache())
    except Refused:  # it was printed once, so this is another version's record; the sheet is listed without a picture
        return None


def _places(exercise: Exercise, negative: Negative) -> list[Place]:
    """Return the places that the exercise lets learners see being read, each once."""
    index = exercise.negatives.index(negative.name)
    spots = [
        spot for c in exercise.criteria if not c.hidden and c.belongs_to(index) for spot in c.spots
    ]  # fmt: skip
    # called as the criterion calls it: "lightest" is another place on each negative, and what is read is held against it
    places = {spot.name: replace(spot.on(negative), name=spot.name) for spot in spots}
    return list(places.values())[:MOST_READINGS]


def _own_names(exercise: Exercise, negative: Negative) -> dict[str, str]:
    """Return the negative's own names of places that criteria call otherwise."""
    names = {spot.name: _own_name(spot, negative) for c in exercise.criteria for spot in c.spots}
    return {name: own for name, own in names.items() if own != name}


def _readings(sheet: Readings, places: Sequence[Place], own: Mapping[str, str]) -> list[ReadingResult]:
    readings = []
    for place in places:
        try:
            read = round(sheet.spot(place), 2)
            readings.append(ReadingResult(place=place.name, density=read, called=own.get(place.name, "")))
        except Refused:
            continue  # the place lies off this piece of paper
    return readings
