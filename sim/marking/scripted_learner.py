"""A learner played by rules, for the demonstration course: lays a strip, prints, follows the advice more or less well.

How well is one number, the spread of what is done around what was meant. Nothing here knows an exercise's answer; it sees
what a learner sees: the strip, the marks' readings and the advice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.enlarger.filters import FilterSetting
from sim.evening.evening import Evening, EveningEnded
from sim.negative.negative import Negative
from sim.paper.stock import Stock, find_stock
from sim.printing.controls import range_of
from sim.printing.record import PrintingRecord
from sim.printing.setup import strip_on
from sim.printing.strips import lay_strip, stop_times_s
from sim.scoring.advice import Advice, advise
from sim.scoring.criterion_kinds import EXACT_TONE_KINDS
from sim.scoring.exercise import Exercise
from sim.scoring.judged import judge
from sim.scoring.ladder import harder
from sim.scoring.marks import Marks, score
from sim.scoring.start import start_record, with_card
from sim.viewing.strip_reading import read_strip

EYE_TOLERANCES = 4.0  # chosen: so many tolerances of a tone, times the spread, is how far an eye errs


@dataclass(frozen=True)
class Skill:
    """How a learner works: ``spread`` of what is done around what was meant (a share), how often a strip is laid, how
    often contrast is mistaken for exposure, and the share of the box after which they stop at the latest."""

    spread: float
    strips: float = 1.0
    mistakes: float = 0.0
    patience: float = 1.0


def print_evening(
    evening: Evening, exercise: Exercise, negatives: Sequence[Negative], skill: Skill, rng: np.random.Generator
) -> None:
    """Print an exercise's negatives one after the other and nominate the best of each; the evening's log holds it all."""
    best = tuple(_best_of(evening, exercise, negative, skill, rng) for negative in negatives)
    evening.nominate(*(number for number in best if number))


def _best_of(
    evening: Evening, exercise: Exercise, negative: Negative, skill: Skill, rng: np.random.Generator
) -> int | None:
    """Return the number of the sheet a learner would show, after as many sheets as patience and box allow."""
    stock = find_stock(exercise.paper)
    record = start_record(exercise, negative, stock)
    tried: list[tuple[float, int]] = []
    cards: dict[str, float] = {}
    try:
        if rng.random() < skill.strips:
            record = _after_strip(evening, exercise, negative, record, stock, skill, rng)
        while evening.state.sheets_used < skill.patience * exercise.box.sheets:
            shown = record
            for place, stops in cards.items():
                shown = with_card(negative, shown, negative.place(place), stops)
            evening.predict(str(rng.choice(["lighter", "darker", "right"])))
            evening.make(negative, shown)
            made = evening.state.sheets[-1]
            judged = judge(exercise, [negative], [made.record], evening.state.sheets_used, only_places=True)
            marks = score(judged, exercise)
            evening.observe(_seen(marks, skill.spread, np.random.Generator(np.random.PCG64(_of_the_eye(evening, made.number)))))
            tried.append((marks.share + 0.05 * skill.spread * rng.standard_normal(), made.number))
            if marks.passed(exercise) and marks.share > 1.0 - skill.spread:
                break
            record, cards = _corrected(exercise, record, cards, advise(exercise, judged, marks), skill, rng)
    except EveningEnded:
        pass
    return max(tried)[1] if tried else None


def _of_the_eye(evening: Evening, number: int) -> list[int]:
    """Return what an eye's slips are drawn from: apart from what hands do, so that these stay what they are."""
    return [evening.state.opening.seed, number]


def _seen(marks: Marks, spread: float, rng: np.random.Generator) -> str:
    """Return what is seen of the tone that counts most, by an eye that errs as hands do; "right" where no tone is wanted."""
    tones = [mark for mark in marks.marks if mark.kind in EXACT_TONE_KINDS and not mark.missing and mark.full_points > 0]
    main = max(tones, key=lambda mark: mark.full_points, default=None)
    if main is None:
        return "right"
    miss = main.miss + EYE_TOLERANCES * spread * main.tolerance * float(rng.standard_normal())
    return "right" if abs(miss) <= main.tolerance else ("darker" if miss > 0 else "lighter")


def _after_strip(
    evening: Evening, exercise: Exercise, negative: Negative, record: PrintingRecord, stock: Stock, skill: Skill,
    rng: np.random.Generator,
) -> PrintingRecord:  # fmt: skip
    """Lay a half-stop strip on the first tone that is asked for, and take the time of the step that comes nearest."""
    tone = next((c for c in exercise.criteria if c.kind in EXACT_TONE_KINDS), None)
    if tone is None or "time_s" not in exercise.unlocked:
        return record
    place, first = tone.spots[0].on(negative), record.exposures[0]
    on_strip = strip_on(negative, record, place.x, place.y)
    times = stop_times_s(max(1.0, first.time_s / 2.83), 0.5, 7)
    laid = lay_strip(on_strip.record, times, first.f_number, first.filter, "same-place", home_mm=on_strip.at_mm)
    evening.predict(f"step {int(rng.integers(1, 8))}")
    reading = read_strip(laid, evening.make(negative, laid.record))
    step = int(np.clip(reading.nearest(tone.wanted) + round(2.0 * skill.spread * rng.standard_normal()), 0, 6))
    return _with_time(record, times[step])


def _with_time(record: PrintingRecord, time_s: float) -> PrintingRecord:
    longest_s = range_of("time_s")[1]
    exposures = (replace(record.exposures[0], time_s=round(min(max(time_s, 1.0), longest_s), 1)), *record.exposures[1:])
    return record.with_exposures(*exposures)


def _corrected(
    exercise: Exercise, record: PrintingRecord, cards: dict[str, float], advice: Sequence[Advice], skill: Skill,
    rng: np.random.Generator,
) -> tuple[PrintingRecord, dict[str, float]]:  # fmt: skip
    """Return the next try: every piece of advice followed, each more or less well."""
    out = dict(cards)
    for one in advice:
        size = one.size * (1.0 + skill.spread * float(rng.standard_normal()))
        cause = one.cause
        if cause == "contrast" and rng.random() < skill.mistakes:
            cause, size = "exposure", 0.5 * size
        if cause == "exposure" and "time_s" in exercise.unlocked:
            up = one.direction in ("more-light", "harder")
            record = _with_time(record, record.exposures[0].time_s * 2.0 ** (size if up else -size))
        elif cause == "contrast" and "filter" in exercise.unlocked:
            record = _with_filter(record, size if one.direction == "harder" else -size)
        elif cause == "local":
            up = one.direction in ("more-burn", "less-hold-back", "more-light-here")
            out[one.place] = float(np.clip(out.get(one.place, 0.0) + (size if up else -size), -2.5, 3.0))
        elif cause == "sharpness" and "focus_offset_mm" in exercise.unlocked:
            enlarger = record.enlarger
            left_over = skill.spread * enlarger.focus_offset_mm * float(rng.standard_normal())
            record = replace(record, enlarger=replace(enlarger, focus_offset_mm=round(left_over, 2)))
    return record, out


def _with_filter(record: PrintingRecord, grades: float) -> PrintingRecord:
    """Return the record behind a filter so many grades harder (+) or softer, the nearest of the set."""
    first = record.exposures[0]
    if first.filter.graded is None:
        return record
    name = harder(first.filter.graded, grades)
    return record.with_exposures(replace(first, filter=FilterSetting(name)), *record.exposures[1:])
