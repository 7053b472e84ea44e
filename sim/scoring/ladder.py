"""A printer who works by the trade's rules at one exercise, round after round, and what that comes to.

Any printer turns the same dials (``start.Dials``) and is marked by the same ``score``; a lesson must tell those who know the
rules from those who guess. A strip costs a quarter sheet.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import log2
from typing import Protocol

import numpy as np

from sim.enlarger.equipment import find_head, find_lens
from sim.enlarger.filters import GRADED_NAMES
from sim.negative.negative import Negative
from sim.printing.controls import number_in_range
from sim.printing.record import PrintingRecord
from sim.quantities import ENGRAVED_F_NUMBERS
from sim.scoring.criterion_kinds import KINDS
from sim.scoring.exercise import Exercise, Start
from sim.scoring.ladder_bench import LadderBench, aims_of, darks_of, ends_of, on_strip, read_of
from sim.scoring.ladder_by_halves import asks_for_halves, by_halves
from sim.scoring.readings import on_sheet
from sim.scoring.start import Dials, ready

Generator = np.random.Generator

MOST_SHEETS = 6
STRIP_SHEETS = 0.25
DENSITY_A_GRADE = 0.25  # what one filter moves the darkest tone by, the lightest held: common practice, then by what was seen
CLOSE_STOPS = np.arange(-3.0, 3.01, 1.0)
FINE_STOPS = np.arange(-0.75, 0.76, 0.25)
OPEN_WINDOW = 3.0  # times the least seconds: as long as anybody plans where no upper end is asked for
AT_THE_END = 0.8  # of a strip's reach: what lies further out is not read between steps


@dataclass(frozen=True)
class Climb:
    """How one evening went: the best share of marks so far after every round, and the sheets used when it passed."""

    shares: tuple[float, ...]
    passed: bool
    sheets: float


class Printer(Protocol):
    """Somebody at the dials, one set for every nominated sheet, and the sheets used so far."""

    dials: list[Dials]
    sheets: float

    def go_on(self) -> None:
        """Look at what was printed and set the dials anew."""


def climb(
    bench: LadderBench, rng: Generator, printer: Callable[[LadderBench, list[Dials], Generator], Printer]
) -> Climb:
    """Let a printer work from a random start until a round passes or the box is empty.

    Every nominated sheet whose settings were changed is printed anew and counts.
    """
    work = printer(bench, bench.random(rng), rng)
    best, shares = 0.0, []
    before: list[Dials | None] = [None] * len(bench.slots())
    for _ in range(MOST_SHEETS):
        marks = bench.marks(work.dials)
        work.sheets += sum(now != old for now, old in zip(work.dials, before, strict=True))
        before = list(work.dials)
        best = max(best, marks.share)
        shares.append(best)
        if marks.passed(bench.exercise):
            return Climb(tuple(shares), True, work.sheets)
        work.go_on()
    return Climb(tuple(shares), False, work.sheets)


class ByTheRules:
    """Size by the ruler, focus by the magnifier, developed to the end; a strip for the lights, the filter for the darks."""

    def __init__(self, bench: LadderBench, dials: list[Dials], rng: Generator):
        self.bench, self.sheets = bench, 0.0
        self.seen: list[list[tuple[int, float, float]]] = [[] for _ in dials]  # place, grade, density of every dark
        self.dials = self._alike(lambda k, negative: self._begun(self._ready(dials[k], negative), negative))

    def go_on(self) -> None:
        """Set the darks by the filter, then the lights by a new strip; a sheet that lacks nothing is left alone."""
        marks = self.bench.marks(self.dials).marks
        slots = self.bench.slots()
        lacking = {mark.negative for mark in marks if mark.share < 1.0 and not KINDS[mark.kind].series}
        if any(mark.share < 1.0 and KINDS[mark.kind].series for mark in marks):
            lacking = {index + 1 for index in slots}  # the whole series is brought nearer to what was asked
        now = list(self.dials)

        def again(number: int, negative: Negative) -> Dials:
            if lacking and slots[number] + 1 not in lacking:
                return now[number]
            if now[number].second is not None:
                return self._by_halves(now[number], negative)
            dials = self._filtered(now[number], negative, self.seen[number])
            return self._by_strip(self._stopped_down(dials, slots[number]), negative)

        self.dials = self._alike(again)

    def _begun(self, dials: Dials, negative: Negative) -> Dials:
        """The first settings: by strips in one light, or in two where tones under one card want a contrast of their own."""
        if asks_for_halves(self.bench, dials, negative):
            return self._by_halves(replace(dials, second=None), negative)
        return self._by_strip(dials, negative)

    def _by_halves(self, dials: Dials, negative: Negative) -> Dials:
        dials, sheets = by_halves(self.bench, dials, negative)
        self.sheets += sheets
        return dials

    def _alike(self, setting: Callable[[int, Negative], Dials]) -> list[Dials]:
        """Return settings for every slot: found once for a negative, for its copies are printed alike."""
        found: dict[int, Dials] = {}
        for number, index in enumerate(self.bench.slots()):
            if index not in found:
                found[index] = setting(number, self.bench.negatives[index])
        return [found[index] for index in self.bench.slots()]

    def _ready(self, dials: Dials, negative: Negative) -> Dials:
        """What costs no paper: size, focus, level, complete development, two stops down from the widest."""
        exercise, start = self.bench.exercise, ready(self.bench.exercise, negative, dials.start)
        if "f_number" in exercise.unlocked and any(c.of_kind.cause == "sharpness" for c in exercise.criteria):
            lens = find_lens(dials.record(negative, exercise.stock).enlarger.lens)
            marks = [mark for mark, _ in ENGRAVED_F_NUMBERS if mark >= lens.widest_f_number]
            start = replace(start, f_number=marks[2])
        return replace(dials, start=start, cards=())

    def _by_strip(self, dials: Dials, negative: Negative) -> Dials:
        """Lay a strip over the lightest tone, another in finer steps; then the same on every place a card is meant for."""
        light, _, carded = ends_of(self.bench, dials, negative)
        record = dials.record(negative, self.bench.exercise.stock)
        places = aims_of(self.bench, dials, negative)[1]
        if light is None or not all(on_sheet(negative, record, place) for place in places):
            return dials
        plain = replace(dials, cards=())
        stops = on_strip(self.bench, plain, negative, light, CLOSE_STOPS)
        self.sheets += STRIP_SHEETS
        if abs(stops) > AT_THE_END * CLOSE_STOPS[-1]:  # the answer lies at the strip's end, or beyond it
            stops = on_strip(self.bench, plain, negative, light, stops + CLOSE_STOPS)
            self.sheets += STRIP_SHEETS
        stops = on_strip(self.bench, plain, negative, light, stops + FINE_STOPS)
        self.sheets += STRIP_SHEETS
        cards = []
        for aim, place in carded:
            needed = on_strip(self.bench, plain, negative, aim, stops + CLOSE_STOPS)
            needed = on_strip(self.bench, plain, negative, aim, needed + FINE_STOPS)
            self.sheets += 2 * STRIP_SHEETS
            cards.append((place.name, round(float(np.clip(needed - stops, -2.5, 3.5)), 2)))
        start = _lit(self.bench.exercise, dials, stops, record)
        return replace(dials, start=start, cards=tuple(cards))

    def _stopped_down(self, dials: Dials, index: int) -> Dials:
        """One more stop of depth where the print is not sharp."""
        marks = [mark for mark in self.bench.marks(self.dials).marks if mark.negative == index + 1]
        sharp = [mark for mark in marks if KINDS[mark.kind].cause == "sharpness"]
        if "f_number" not in self.bench.exercise.unlocked or all(mark.share == 1.0 for mark in sharp):
            return dials
        lens = dials.record(self.bench.negatives[index], self.bench.exercise.stock).enlarger.lens
        smallest = find_lens(lens).smallest_f_number
        closed = [stop for stop, _ in ENGRAVED_F_NUMBERS if dials.start.f_number < stop <= smallest]
        return replace(dials, start=replace(dials.start, f_number=closed[0])) if closed else dials

    def _filtered(self, dials: Dials, negative: Negative, seen: list[tuple[int, float, float]]) -> Dials:
        """Set the darks by the filter: by the rule of thumb first, then by what the last change did at that place."""
        darks = darks_of(self.bench, dials, negative)
        if not darks or "filter" not in self.bench.exercise.unlocked or dials.start.filter == "none":
            return dials
        read = read_of(self.bench, dials, negative)
        dark = next((aim for aim in darks if abs(aim.off(read)) > aim.tolerance), darks[0])
        off, place = dark.off(read), dark.at[0]
        grade, density = 0.5 * GRADED_NAMES.index(dials.start.filter), float(read[place])
        per_grade = DENSITY_A_GRADE
        before = [(g, d) for at, g, d in seen if at == place and g != grade]
        if before:
            per_grade = max((density - before[-1][1]) / (grade - before[-1][0]), 0.08)
        seen.extend((aim.at[0], grade, float(read[aim.at[0]])) for aim in darks)
        steps = float(np.clip(-off / per_grade, -2.5, 2.5)) if abs(off) > dark.tolerance else 0.0
        return replace(dials, start=replace(dials.start, filter=harder(dials.start.filter, steps)))


def harder(name: str, grades: float) -> str:
    """Return the filter of the set so many grades harder (+) or softer, the last one at its end; no filter stays none."""
    if name == "none":
        return name
    return GRADED_NAMES[int(np.clip(GRADED_NAMES.index(name) + round(2.0 * grades), 0, len(GRADED_NAMES) - 1))]


def _lit(exercise: Exercise, dials: Dials, stops: float, record: PrintingRecord) -> Start:
    """Return the start with so many stops more light, kept inside a time window by whole stops of aperture.

    A contact print's lamp is raised or lowered instead: its light falls with the square of the distance.
    """
    start = dials.start
    if "time_s" not in exercise.unlocked:
        marks = [mark for mark, _ in ENGRAVED_F_NUMBERS if 4.0 <= mark <= 32.0]
        return replace(start, f_number=min(marks, key=lambda mark: abs(2 * log2(mark / start.f_number) + stops)))
    time_s = start.time_s * 2.0**stops
    windows = [c for c in exercise.criteria if c.of_kind.cause == "time"]
    f_number = start.f_number
    if windows and record.enlarger.contact and "height_mm" in exercise.unlocked:
        least, most = windows[0].wanted, windows[0].most or OPEN_WINDOW * windows[0].wanted
        if not least <= time_s <= most:
            low, high = find_head(record.enlarger.head).column_mm
            now, wanted = record.enlarger.height_mm, (least * most) ** 0.5
            column_mm = round(min(max(now * (wanted / time_s) ** 0.5, low), high), 1)
            start, time_s = replace(start, column_mm=column_mm), time_s * (column_mm / now) ** 2
    if windows and "f_number" in exercise.unlocked:
        middle = (windows[0].wanted * (windows[0].most or OPEN_WINDOW * windows[0].wanted)) ** 0.5
        closed = round(log2(middle / time_s))
        marks = [mark for mark, _ in ENGRAVED_F_NUMBERS if 4.0 <= mark <= 45.0]
        other = min(marks, key=lambda mark: abs(2 * log2(mark / f_number) - closed))
        time_s *= 2.0 ** round(2 * log2(other / f_number))
        f_number = other
    time_s = round(max(number_in_range("time_s", min(time_s, 600.0)), 0.5), 1)
    return replace(start, time_s=time_s, f_number=f_number)
