"""The texts of a lesson at every stage. What is said after the reveal depends on what was predicted, seen and answered.

Advice names cause, direction and size; no text here holds a setting of the answer (the worked example excepted: it is
there to be seen).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from sim.evening.evening_state import SheetMade
from sim.notebook.advice_words import advice_words, evidence_words, named_as_many
from sim.notebook.control_words import filter_words
from sim.printing.flash import only_flashed
from sim.printing.strips import strip_in
from sim.scoring.advice import Advice
from sim.scoring.criterion_kinds import EXACT_TONE_KINDS
from sim.scoring.exercise import CONTROL_NAMES
from sim.scoring.hints import brief_of, hints_of
from sim.scoring.marks import Mark, Marks
from sim.teaching.lesson_looks import (
    LIGHT,
    USUAL_STEPS,
    Verdict,
    besides_choices,
    compared,
    print_choices,
    said,
    strip_choices,
    verdict_on_print,
)
from sim.teaching.lesson_so_far import LessonSoFar
from sim.teaching.lesson_step import Choice, SheetLine, Step
from sim.teaching.own_decisions import GRADED_ATTEMPTS
from sim.teaching.strip_texts import (
    FLASH_WHY,
    OTHER_PLACES,
    STRIP_WHY,
    StageWords,
    asked_of,
    reply_to_strip,
    see_strip,
    seen_on,
    shown_by_steps,
    strip_reading,
    thought_aloud,
)
from sim.teaching.worked_example import main_place, why_locked
from sim.viewing.plain_names import plain_name

WHY_WORDS = {
    "as-planned": "it came out as planned",
    "exposure": "too much or too little light over the whole sheet",
    "contrast": "the range is wrong: with one end right the other is not",
    "local": "one part needs light of its own",
    "flash": "the flash: too little of it, or too much",
    "sharpness": "focus or aperture",
    "evenness": "the card: how it was cut or held, or a hand at rest",
    "place": "the card was over another place than its own, or in the other exposure",
    "development": "the developer had too little time for its work, or too much",
    "size": "the image has the wrong size",
    "paper": "it is on another paper than was asked for",
    "match": "it does not go with the other print",
    "time": "the seconds lie outside what was asked",
}
WHY_NEEDS = {
    "contrast": ("filter", "exposures"), "local": ("cards",), "evenness": ("cards",), "place": ("cards",), "flash": ("flash",),
    "sharpness": ("focus_offset_mm", "f_number"), "development": ("development_time_s", "temperature_c"),
    "size": ("height_mm",),
}  # fmt: skip
WHY_OF_KINDS = ("match", "time", "paper")  # only where a criterion asks for it
WHY_OF_CARDS = ("place", "evenness")  # only where a card was in the light
NOT_COUNTED_WORDS = {
    "shown": "The marks stand, but this is the print that was shown. The skill is met by settings that you find yourself; the "
    "next attempt is on a negative of its own.",
    "by-chance": "The marks stand, but most other prints of the evening lie far from what was asked, and one near print among "
    "them may be luck. The skill is met where each print follows from what was seen on the one before.",
    "over-limit": f"Of graded work {GRADED_ATTEMPTS} attempts count; this one is practice.",
}  # fmt: skip


def step_of(run: LessonSoFar) -> Step:
    """Return what the lesson shows now."""
    state, stage = run.evening.state, run.stage
    last = run.last
    texts, question, choices = _TEXTS[stage](run)
    shown = stage not in ("see", "brief") and last is not None
    whole = last is not None and last.record.sheet.kind == "sheet"
    reading = strip_reading(run, last) if shown and last is not None and not whole else None
    predicted, seen = _words_about(run, last)
    marks, advice, own = run.result() if stage == "marks" and not run.exam else (None, (), ())
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
        shown_by_steps(run, last) if reading and last is not None else (),
    )  # fmt: skip


def allowed(run: LessonSoFar) -> tuple[str, ...]:
    """Return what may be done now, in the order in which it is usually done."""
    stage = run.stage
    if stage == "done":
        return ()
    wholes = any(made.record.sheet.kind == "sheet" for made in run.evening.state.sheets)
    acts = {
        "brief": ["go-on", "predict"], "predict": ["predict"], "make": ["predict"], "see": ["see"], "explain": ["why"],
        "marks": ["hand-in"] if run.graded and not run.exam else ["predict", "hand-in"],
    }[stage]  # fmt: skip
    if stage == "make":
        acts = (["play"] if run.shown_next else ["strip", "print"]) + acts
    acts += ["pour"] if stage in ("brief", "predict", "make") and run.may_pour else []
    named = run.graded and run.evening.state.nominated and not run.exam
    if stage not in ("see", "explain") and not named:
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


def verdict_of(run: LessonSoFar, made: SheetMade | None) -> Verdict:
    """Return what the readings say about a piece of paper."""
    if made is None:
        return Verdict()
    if made.record.sheet.kind == "sheet":
        marks, _ = run.readings(made.number)
        free = bool({"filter", "exposures"} & set(run.exercise.unlocked)) and not run.exam  # it is told from the advice
        return verdict_on_print(marks, run.holds(made.number), free)
    return seen_on(run, made).verdict


def _brief(run: LessonSoFar) -> StageWords:
    return tuple(brief_of(run.folder).steps), "", ()


def _predict(run: LessonSoFar) -> StageWords:
    texts = [*_reply(run)]
    if run.shown_next:
        record = run.plan[run.made].record
        decided = run.plan[run.made].words
        thought = thought_aloud(run) if record.sheet.kind == "sheet" else ()
        texts += [*thought, f"Decided: {decided[0]}", *decided[1:]] if thought else [*decided]
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
    if run.exercise.predict != "which-step":
        return tuple(texts), question, _print_choices(run)
    texts.append("Of a strip say which step will be right; of a print, how it will look.")
    return tuple(texts), question, (*strip_choices(), *_print_choices(run))


def _print_choices(run: LessonSoFar) -> tuple[Choice, ...]:
    return print_choices(run.exercise.predict, main_place(run.exercise, run.negatives[0]))


def _make(run: LessonSoFar) -> StageWords:
    words = f"Your prediction is kept: {said(run.prediction)}."
    if run.shown_next:
        return (words, "Now watch how it is made."), "", ()
    cost = "A strip costs a quarter of a sheet, a print a whole one."
    return (words, f"Now make it. {cost}"), "", ()


def _see(run: LessonSoFar) -> StageWords:
    assert run.last is not None
    record = run.last.record
    if record.sheet.kind == "strip":
        return see_strip(run, run.last)
    place = main_place(run.exercise, run.negatives[0])
    light = tuple(Choice(key, f"the {plain_name(place)}: {words}" if place else words) for key, words in LIGHT.items())
    contrast = (Choice("softer", "the contrast is too soft"), Choice("harder", "the contrast is too hard"))
    asked = {criterion.kind for criterion in run.exercise.criteria if criterion.counts}
    more = besides_choices(asked, any(exposure.cards for exposure in record.exposures))
    return ("The print lies under white light. Look before you measure.",), "What do you see?", (*light, *contrast, *more)


def _explain(run: LessonSoFar) -> StageWords:
    assert run.last is not None
    predicted, seen = _words_about(run, run.last)
    asked = "contrast" if run.exercise.predict == "softer-harder" else "light"
    lines = compared(predicted, seen, verdict_of(run, run.last), run.last.record, asked)
    return lines, "Why did it come out so?", why_choices(run)


def _marks(run: LessonSoFar) -> StageWords:
    if run.exam:
        numbers = " and ".join(str(number) for number in run.evening.state.nominated)
        return (f"What counts: sheet {numbers}. In an examination marks are given out by whoever teaches, after the due time. "
                "Until you hand it in you may go on and name another.",), "", ()  # fmt: skip
    marks, advice, own = run.result()
    share = percent_reached(marks.share, run.exercise.pass_share)
    texts = [f"Quality: {share} % of the points; {100 * run.exercise.pass_share:.0f} % are asked for."]
    texts += _short_prints(run, marks)
    if marks.provisional:
        texts.insert(0, f"These marks are provisional: {marks.kept_back_points:g} points more are judged by what was not "
                     "announced, once the evening is handed in.")  # fmt: skip
    if marks.economy:
        e = marks.economy
        used = sheets_in_words(e.sheets_used)
        texts.append(f"Economy: {e.points:.1f} of {e.full_points:g} points, with {used} used; the trade's "
                     f"rules need about {e.expected_sheets:g}.")  # fmt: skip
    if run.evening.state.poured_l:
        texts.append(f"Developer: {litres_in_words(run.evening.state.poured_l)} of fresh developer poured.")
    if run.mode == "example":
        texts.append("A worked example shows the way; the skill is met by prints whose settings you find yourself.")
    elif run.not_counted():
        texts.append(NOT_COUNTED_WORDS[run.not_counted()])
    if marks.passed(run.exercise) and not advice:
        texts.append("A good print, and you stopped there. That is worth paper.")
    texts += [advice_words(one, run.words) for one in advice]
    texts += [" ".join(contrast.words) for contrast in own]
    return tuple(texts), "", ()


def _short_prints(run: LessonSoFar, marks: Marks) -> list[str]:
    """Return a line for every negative whose prints fall short of what each must earn by itself."""
    least = run.exercise.each_share
    short = [(index, share) for index, share in marks.of_prints() if share < least - 1e-9]
    return [
        f"The {plain_name(run.negatives[index].name)} earns {percent_reached(share, least)} % of its points; every order must "
        f"reach {100 * least:.0f} % by itself."
        for index, share in short
    ]


def percent_reached(share: float, asked: float) -> str:
    """Return a share of the points in percent, never rounded up to what is asked for while it lies below."""
    whole = f"{100 * share:.0f}"
    return f"{math.floor(1000 * share) / 10:.1f}" if share < asked and float(whole) >= 100 * asked - 1e-9 else whole


def sheets_in_words(sheets: float) -> str:
    """Return an amount of paper: 1 sheet, 1.25 sheets."""
    return "1 sheet" if sheets == 1 else f"{sheets:g} sheets"


def litres_in_words(litres: float) -> str:
    """Return an amount of developer: 1 litre, 2 litres."""
    return "1 litre" if litres == 1 else f"{litres:g} litres"


def _done(run: LessonSoFar) -> StageWords:
    return ("This evening has been handed in.",), "", ()


_TEXTS = {
    "brief": _brief, "predict": _predict, "make": _make, "see": _see, "explain": _explain, "marks": _marks, "done": _done,
}  # fmt: skip


def why_choices(run: LessonSoFar) -> tuple[Choice, ...]:
    """Return the reasons that can be given: what strips can show, or what the unlocked controls can cause."""
    if run.last is not None and run.last.record.sheet.kind == "strip":
        if only_flashed(run.last.record):
            return tuple(Choice(key, words) for key, words in FLASH_WHY.items())
        more = {} if asked_of(run, run.last).everywhere else OTHER_PLACES
        return tuple(Choice(key, words) for key, words in (more | STRIP_WHY).items())
    free = set(run.exercise.unlocked)
    asked = {criterion.of_kind.cause for criterion in run.exercise.criteria}
    keys = [k for k in WHY_WORDS if free & set(WHY_NEEDS.get(k, free))]
    keys = [k for k in keys if k not in WHY_OF_KINDS or k in asked]
    carded = run.last is not None and any(exposure.cards for exposure in run.last.record.exposures)
    keys = [k for k in keys if k not in WHY_OF_CARDS or carded]
    return tuple(Choice(key, WHY_WORDS[key]) for key in keys)


def _reply(run: LessonSoFar) -> tuple[str, ...]:
    """Return the answer to the last "why", with what the readings say."""
    state, last = run.evening.state, run.last
    said_why = state.said_of("explained", run.made)
    if last is None or not said_why:
        return ()
    if run.exam:
        return ("Your answer is kept. In an examination the densitometer reads; the rest is yours to judge.",)
    answer = said_why[-1].text
    if last.record.sheet.kind == "strip":
        return reply_to_strip(run, last, answer)
    marks, advice = run.readings(last.number)
    if not advice:
        agreed = "Yes: " if answer == "as-planned" else "The readings ask for nothing more: "
        return (f"{agreed}{_within(marks)} Stopping here saves paper.",)
    first, true = advice[0], holding(answer, run.holds(last.number))
    if true is None:
        return (f"Look again: you said {WHY_WORDS.get(answer, answer)}. {advice_words(first, run.words)}",)
    if true is first:
        return (f"Yes. {advice_words(first, run.words)}",)
    if true in advice:
        return (f"Yes. {advice_words(true, run.words)}", "But this comes first:", advice_words(first, run.words))
    so = evidence_words(true, run.words) if true.evidence != first.evidence else ""  # a size only where all are told together
    owned = f"Yes: {so}." if so else "Yes, that is so."
    return (owned, "But this comes first, and may change it:", advice_words(first, run.words))


def _within(marks: Sequence[Mark]) -> str:
    """Return that all lies within its tolerance, or what of the tones still does not, though it is worth no change."""
    outside = [mark for mark in marks if mark.kind in EXACT_TONE_KINDS and abs(mark.miss) > mark.tolerance and not mark.missing]
    if not outside:
        return "every tone lies within its tolerance."
    left = " and ".join(_still_off(mark) for mark in outside)
    return f"what is left is little: {left}."


def _still_off(mark: Mark) -> str:
    reads, side = "read" if named_as_many(mark.place) else "reads", "dark" if mark.miss > 0 else "light"
    return f"the {plain_name(mark.place)} {reads} {mark.measured:.2f}, {abs(mark.miss):.2f} too {side}"


_ANSWERED_BY = {  # whose aperture makes the seconds too short or too long has seen rightly, sharp as the print may be
    "sharpness": ("sharpness", "time"), "evenness": ("hand", "evenness"), "contrast": ("contrast", "pair"),
    "local": ("local", "pair"),
}  # fmt: skip


def holding(answer: str, holds: Sequence[Advice]) -> Advice | None:
    """Return what holds on a print of all that an answer may mean; None where the answer is not true."""
    meant = _ANSWERED_BY.get(answer, (answer,))
    return next((one for one in holds if one.cause in meant), None)
