"""The texts of a lesson at every stage. What is said after the reveal depends on what was predicted, seen and answered.

Advice names cause, direction and size; no text here holds a setting of the answer (the worked example excepted: it is
there to be seen).
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Protocol

from sim.evening.evening import Evening
from sim.evening.evening_state import SheetMade
from sim.negative.negative import Negative
from sim.notebook.advice_words import advice_words, stops_in_words
from sim.notebook.control_words import filter_words
from sim.notebook.record_words import shown_words
from sim.printing.make_print import Print
from sim.printing.strips import strip_in
from sim.scoring.advice import Advice
from sim.scoring.exercise import CONTROL_NAMES, Exercise
from sim.scoring.hints import brief_of, hints_of
from sim.scoring.marks import Mark, Marks
from sim.teaching.lesson_looks import (
    LIGHT,
    NOT_ON_IT,
    USUAL_STEPS,
    Verdict,
    about_a_strip,
    compared,
    print_choices,
    said,
    strip_choices,
    verdict_on_print,
)
from sim.teaching.lesson_marks import index_of
from sim.teaching.lesson_step import Choice, Contrast, SheetLine, Stage, Step
from sim.teaching.strip_verdict import PartRead, StripAsked, StripSeen, lost_in_bursts, strip_asked, strip_seen, wanted_tones
from sim.teaching.worked_example import Played, main_place, why_locked
from sim.viewing.plain_names import plain_name
from sim.viewing.strip_reading import StripReading, places_shown, read_strip
from sim.viewing.strip_tones import read_strip_on_tone
from sim.words import Words

WHY_WORDS = {
    "as-planned": "it came out as planned",
    "exposure": "too much or too little light over the whole sheet",
    "contrast": "the range is wrong: with one end right the other is not",
    "local": "one part needs light of its own",
    "sharpness": "focus or aperture",
    "evenness": "the card work shows",
    "development": "the developer did not finish its work",
    "size": "the image has the wrong size",
    "match": "it does not go with the other print",
    "time": "the seconds lie outside what was asked",
}
WHY_NEEDS = {
    "contrast": ("filter", "exposures"), "local": ("cards",), "evenness": ("cards",),
    "sharpness": ("focus_offset_mm", "f_number"), "development": ("development_time_s", "temperature_c"),
    "size": ("height_mm",),
}  # fmt: skip
WHY_OF_KINDS = ("match", "time", "evenness")  # only where a criterion asks for it
STRIP_WHY = {
    "bracketed": "the right step lies inside: lighter and darker steps on both sides",
    "begin-longer": "the strip began too short: every step is too light",
    "begin-shorter": "the strip began too long: every step is too dark",
}
WORTH_SAYING_STOPS = 0.1
OTHER_PLACES = {"other-places": "its steps show different parts of the picture, so they cannot be compared"}


class LessonSoFar(Protocol):
    """What the texts ask of a lesson under way; see LessonRun for what each of it says."""

    folder: Path
    exercise: Exercise
    evening: Evening
    negatives: tuple[Negative, ...]
    mode: str
    plan: tuple[Played, ...]
    words: Words

    @property
    def made(self) -> int: ...
    @property
    def last(self) -> SheetMade | None: ...
    @property
    def stage(self) -> Stage: ...
    @property
    def prediction(self) -> str: ...
    @property
    def shown_next(self) -> bool: ...
    @property
    def hint_level(self) -> int: ...
    def no_hint(self) -> str: ...
    def sheet(self, number: int) -> Print: ...
    def readings(self, number: int) -> tuple[tuple[Mark, ...], tuple[Advice, ...]]: ...
    def result(self) -> tuple[Marks, tuple[Advice, ...], tuple[Contrast, ...]]: ...


def step_of(run: LessonSoFar) -> Step:
    """Return what the lesson shows now."""
    state, stage = run.evening.state, run.stage
    last = run.last
    texts, question, choices = _TEXTS[stage](run)
    shown = stage not in ("see", "brief") and last is not None
    whole = last is not None and last.record.sheet.kind == "sheet"
    reading = strip_reading(run, last) if shown and last is not None and not whole else None
    predicted, seen = _words_about(run, last)
    marks, advice, own = run.result() if stage == "marks" else (None, (), ())
    return Step(
        stage, run.exercise.title, texts, question, choices, allowed(run),
        tuple(Choice(c, why_locked(c, run.words)) for c in CONTROL_NAMES if c not in run.exercise.unlocked),
        last.number if last else 0, last.record.sheet.kind if last else "", predicted, seen,
        verdict_of(run, last).words if shown and last is not None else "",
        run.readings(last.number)[0] if shown and whole and last is not None else (),
        tuple((f"{t:.1f} s", d) for t, d in zip(reading.times_s, reading.densities, strict=True)) if reading else (),
        hints_of(run.folder)[run.hint_level - 1] if run.hint_level else "", run.hint_level, run.no_hint(),
        tuple(_line(run, made) for made in state.sheets), state.sheets_left, state.minutes_left,
        marks, marks.passed(run.exercise) if marks else False, advice, own,
        tuple(str(picture.file) for picture in brief_of(run.folder).pictures) if stage == "brief" else (),
        _shown_by_steps(run, last) if reading and last is not None else (),
    )  # fmt: skip


def _shown_by_steps(run: LessonSoFar, made: SheetMade) -> tuple[str, ...]:
    """Return for every step of a strip the places that it shows whole."""
    return tuple(
        ", ".join(plain_name(one.place.name) for one in step) for step in places_shown(_negative_of(run, made), made.record)
    )


def allowed(run: LessonSoFar) -> tuple[str, ...]:
    """Return what may be done now, in the order in which it is usually done."""
    stage = run.stage
    if stage == "done":
        return ()
    wholes = any(made.record.sheet.kind == "sheet" for made in run.evening.state.sheets)
    acts = {
        "brief": ["go-on", "predict"], "predict": ["predict"], "make": ["predict"], "see": ["see"], "explain": ["why"],
        "marks": ["predict", "hand-in"],
    }[stage]  # fmt: skip
    if stage == "make":
        acts = (["play"] if run.shown_next else ["strip", "print"]) + acts
    if stage not in ("see", "explain"):
        acts += ["nominate"] if wholes and not run.shown_next else []
        acts += [] if run.no_hint() else ["hint"]
    return tuple(acts)


def _line(run: LessonSoFar, made: SheetMade) -> SheetLine:
    exposure = made.record.exposures[0]
    strip = made.record.sheet.kind == "strip"
    what = "test strip" if strip else f"{exposure.time_s:g} s"
    words = f"{what}, f/{exposure.f_number:g}, {filter_words(exposure.filter, run.words)}"
    cards = sum(len(e.cards) for e in made.record.exposures)
    if not strip and len(made.record.exposures) > 1:
        words += f", {len(made.record.exposures)} exposures"
    words += f", {cards} card{'s' if cards > 1 else ''}" if cards and not strip else ""
    counts = made.number in run.evening.state.nominated
    return SheetLine(made.number, made.record.sheet.kind, made.record.negative, words, counts)


def _words_about(run: LessonSoFar, last: SheetMade | None) -> tuple[str, str]:
    """Return prediction and observation that belong to the last piece of paper."""
    if last is None:
        return "", ""
    state = run.evening.state
    predicted = state.said_of("predicted", last.number - 1)
    seen = state.said_of("observed", last.number)
    return predicted[-1].choice if predicted else "", seen[-1].text.partition(":")[0] if seen else ""


def strip_reading(run: LessonSoFar, made: SheetMade) -> StripReading | None:
    """Return the densities of a strip's steps: of a wanted tone where every step shows it, else of their middles.

    None when it was laid in a way of its own.
    """
    strip, everywhere = strip_in(made.record), asked_of(run, made).everywhere
    if strip is None:
        return None
    if everywhere is not None:
        return read_strip_on_tone(everywhere.place, _negative_of(run, made), made.record, run.sheet(made.number))
    return read_strip(strip, run.sheet(made.number))


def asked_of(run: LessonSoFar, made: SheetMade) -> StripAsked:
    """Return what a strip of the lesson can be asked, before anything is read."""
    negative = _negative_of(run, made)
    tones = wanted_tones(run.exercise, negative, index_of(run.negatives, made.record))
    return strip_asked(tones, negative, made.record)


def seen_on(run: LessonSoFar, made: SheetMade) -> StripSeen:
    """Return what a strip's readings say."""
    negative = _negative_of(run, made)
    tones = wanted_tones(run.exercise, negative, index_of(run.negatives, made.record))
    return strip_seen(tones, negative, made.record, run.sheet(made.number))


def verdict_of(run: LessonSoFar, made: SheetMade | None) -> Verdict:
    """Return what the readings say about a piece of paper."""
    if made is None:
        return Verdict()
    if made.record.sheet.kind == "sheet":
        marks, advice = run.readings(made.number)
        return verdict_on_print(marks, advice, bool({"filter", "exposures"} & set(run.exercise.unlocked)))
    return seen_on(run, made).verdict


def refused_sight(run: LessonSoFar, choice: str) -> str:
    """Return why an answer cannot be about the last piece of paper; empty when it can.

    A step can be called right only where every step shows a wanted tone, and only a step that is there.
    """
    last = run.last
    if last is None or last.record.sheet.kind != "strip" or not about_a_strip(choice):
        return ""
    asked = asked_of(run, last)
    if asked.everywhere is None:
        return f"no step of this strip can be called right: {_not_everywhere(asked)}"
    keys = [one.key for one in _strip_choices_of(last)]
    return "" if choice in keys else f"the step must be one of this strip's {len(keys) - 2}, got {said(choice)}"


def _not_everywhere(asked: StripAsked) -> str:
    if not asked.parts:
        return "none of its steps shows a tone that is asked for"
    lie = ", ".join(f"the {plain_name(tone.place)} lies in step {at.step}" for tone, at in asked.parts)
    return f"its steps show different parts of the picture ({lie})"


def _strip_choices_of(made: SheetMade) -> tuple[Choice, ...]:
    strip = strip_in(made.record)
    return strip_choices(len(strip.steps) if strip else USUAL_STEPS)


def _negative_of(run: LessonSoFar, made: SheetMade) -> Negative:
    return next(negative for negative in run.negatives if negative.name == made.record.negative)


_Words = tuple[tuple[str, ...], str, tuple[Choice, ...]]


def _brief(run: LessonSoFar) -> _Words:
    return tuple(brief_of(run.folder).steps), "", ()


def _predict(run: LessonSoFar) -> _Words:
    texts = [*_reply(run)]
    if run.shown_next:
        texts += [*run.plan[run.made].words]
        record = run.plan[run.made].record
        if record.sheet.kind == "strip":
            steps = strip_in(record)
            return tuple(texts), "Which step will be right?", strip_choices(len(steps.steps) if steps else USUAL_STEPS)
        return tuple(texts), "What will the print show?", _print_choices(run)
    if run.plan and run.made == len(run.plan) and run.mode == "completion":
        texts.append("From here on the decisions are yours.")
    if run.mode == "example" and run.made >= len(run.plan) > 0:
        texts.append("The example is finished: name the print that counts, and look at its marks.")
        return tuple(texts), "", ()
    question = "Before you develop anything: what will the next piece of paper show?"
    strips = strip_choices() if run.exercise.predict == "which-step" else ()
    return tuple(texts), question, (*strips, *_print_choices(run))


def _print_choices(run: LessonSoFar) -> tuple[Choice, ...]:
    return print_choices(run.exercise.predict, main_place(run.exercise, run.negatives[0]))


def _make(run: LessonSoFar) -> _Words:
    words = f"Your prediction is kept: {said(run.prediction)}."
    if run.shown_next:
        return (words, "Now watch how it is made."), "", ()
    cost = "A strip costs a quarter of a sheet, a print a whole one."
    return (words, f"Now make it. {cost}"), "", ()


def _see(run: LessonSoFar) -> _Words:
    assert run.last is not None
    record = run.last.record
    if record.sheet.kind == "strip":
        return _see_strip(run, run.last)
    place = main_place(run.exercise, run.negatives[0])
    light = tuple(Choice(key, f"the {plain_name(place)}: {words}" if place else words) for key, words in LIGHT.items())
    contrast = (Choice("softer", "the contrast is too soft"), Choice("harder", "the contrast is too hard"))
    return ("The print lies under white light. Look before you measure.",), "What do you see?", (*light, *contrast)


def _see_strip(run: LessonSoFar, made: SheetMade) -> _Words:
    """Ask about a step where every step shows a wanted tone; else about the tone in the step that shows it."""
    asked = asked_of(run, made)
    texts = ["The strip lies under white light. Look before you measure.", shown_words(_negative_of(run, made), made.record)]
    if asked.everywhere is not None:
        place = plain_name(asked.everywhere.place)
        if not any(one.place.name == asked.everywhere.place for one in places_shown(_negative_of(run, made), made.record)[0]):
            texts[1] = f"Every step shows the tone of the {place}."
        texts += [f"The {plain_name(tone.place)} lies in step {at.step} only." for tone, at in asked.parts]
        return tuple(texts), f"In which step does the {place} look right to you?", _strip_choices_of(made)
    texts.append(f"No step can be called right here: {_not_everywhere(asked)}.")
    if not asked.parts:
        return tuple(filter(None, texts)), "What does it show?", (Choice(NOT_ON_IT, said(NOT_ON_IT)),)
    tone, at = asked.parts[0]
    light = tuple(Choice(key, f"the {plain_name(tone.place)}: {words}") for key, words in LIGHT.items())
    return tuple(filter(None, texts)), f"How does the {plain_name(tone.place)} look in step {at.step}?", light


def _explain(run: LessonSoFar) -> _Words:
    assert run.last is not None
    predicted, seen = _words_about(run, run.last)
    lines = compared(predicted, seen, verdict_of(run, run.last), run.last.record)
    return lines, "Why did it come out so?", why_choices(run)


def _marks(run: LessonSoFar) -> _Words:
    marks, advice, own = run.result()
    share = percent_reached(marks.share, run.exercise.pass_share)
    texts = [f"Quality: {share} % of the points; {100 * run.exercise.pass_share:.0f} % are asked for."]
    if marks.economy:
        e = marks.economy
        texts.append(f"Economy: {e.points:.1f} of {e.full_points:g} points, with {sheets_in_words(e.sheets_used)} used; the trade's "
                     f"rules need about {e.expected_sheets:g}.")  # fmt: skip
    if marks.passed(run.exercise) and not advice:
        texts.append("A good print, and you stopped there. That is worth paper.")
    texts += [advice_words(one, run.words) for one in advice]
    texts += [" ".join(contrast.words) for contrast in own]
    return tuple(texts), "", ()


def percent_reached(share: float, asked: float) -> str:
    """Return a share of the points in percent, never rounded up to what is asked for while it lies below."""
    whole = f"{100 * share:.0f}"
    return f"{math.floor(1000 * share) / 10:.1f}" if share < asked and float(whole) >= 100 * asked - 1e-9 else whole


def sheets_in_words(sheets: float) -> str:
    """Return an amount of paper: 1 sheet, 1.25 sheets."""
    return "1 sheet" if sheets == 1 else f"{sheets:g} sheets"


def _done(run: LessonSoFar) -> _Words:
    return ("This evening has been handed in.",), "", ()


_TEXTS = {
    "brief": _brief, "predict": _predict, "make": _make, "see": _see, "explain": _explain, "marks": _marks, "done": _done,
}  # fmt: skip


def why_choices(run: LessonSoFar) -> tuple[Choice, ...]:
    """Return the reasons that can be given: what strips can show, or what the unlocked controls can cause."""
    if run.last is not None and run.last.record.sheet.kind == "strip":
        more = {} if asked_of(run, run.last).everywhere else OTHER_PLACES
        return tuple(Choice(key, words) for key, words in (more | STRIP_WHY).items())
    free = set(run.exercise.unlocked)
    asked = {criterion.of_kind.cause for criterion in run.exercise.criteria}
    keys = [k for k in WHY_WORDS if free & set(WHY_NEEDS.get(k, free))]
    keys = [k for k in keys if k not in WHY_OF_KINDS or k in asked]
    return tuple(Choice(key, WHY_WORDS[key]) for key in keys)


def _reply(run: LessonSoFar) -> tuple[str, ...]:
    """Return the answer to the last "why", with what the readings say."""
    state, last = run.evening.state, run.last
    said_why = state.said_of("explained", run.made)
    if last is None or not said_why:
        return ()
    answer = said_why[-1].text
    if last.record.sheet.kind == "strip":
        return (*_reply_to_strip(answer, seen_on(run, last)), *_about_bursts(run, last))
    _, advice = run.readings(last.number)
    if not advice:
        agreed = "Yes: " if answer == "as-planned" else "The readings ask for nothing more: "
        return (f"{agreed}every tone lies within its tolerance. Stopping here saves paper.",)
    first = advice[0]
    if answer == first.cause:
        return (f"Yes. {advice_words(first, run.words)}",)
    return (f"Look again: you said {WHY_WORDS.get(answer, answer)}. {advice_words(first, run.words)}",)


def _reply_to_strip(answer: str, seen: StripSeen) -> tuple[str, ...]:
    verdict = seen.verdict
    if not verdict.step:
        agreed = "Yes" if answer in OTHER_PLACES else "Look again"
        first = f"{agreed}: {OTHER_PLACES['other-places']}. What one step shows of a tone still counts for that tone."
        return (first, *(_of_its_own(part) for part in seen.parts))
    right = {"before-first": "begin-shorter", "after-last": "begin-longer"}.get(verdict.step, "bracketed")
    agreed = "Yes" if answer == right else "Look again"
    more = "" if right == "bracketed" else " Lay another strip, or move two stops from its end."
    nearest = f" For the {plain_name(verdict.place)} the nearest is {said(verdict.step)}."
    near = nearest if right == "bracketed" else ""
    return (f"{agreed}: {STRIP_WHY[right]}.{near}{more}",)


def _about_bursts(run: LessonSoFar, made: SheetMade) -> tuple[str, ...]:
    """Return what bursts cost the step that is called right, where it is worth words."""
    key = verdict_of(run, made).step
    lost = lost_in_bursts(made.record, int(key.removeprefix("step-"))) if key.startswith("step-") else 0.0
    if lost < WORTH_SAYING_STOPS:
        return ()
    less = stops_in_words(lost, run.words)
    return (f"It was lit in bursts, and each lost the lamp's coming: one exposure of the same seconds gives {less} more.",)


def _of_its_own(part: PartRead) -> str:
    """Return what a tone in one step says about the time: for its own place alone."""
    need = {"lighter": "more light than that", "darker": "less light than that", "right": "that much light"}[part.tone]
    return f"Step {part.step} shows the {plain_name(part.place)}, {LIGHT[part.tone]}: it needs {need}."
