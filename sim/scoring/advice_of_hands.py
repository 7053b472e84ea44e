"""Hands and light told apart by asking the print: what would it be with the card as is usual, what with light alone?

Each attempt at an explanation is made anew as a print, cards and all: tones and evenness are read on it as they are marked.
A fault of the hand is one where putting it right earns what light and filter alone do not, or earns as much with fewer
things to change. So the hand is never blamed for light, nor light for the hand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from sim.quantities import FloatArray
from sim.refusals import Refused
from sim.scoring.advice_from_tones import GOOD_ENOUGH, Explained, ToneProblem
from sim.scoring.exercise import Exercise
from sim.scoring.hand_faults import HandFault, hand_faults, held_cards
from sim.scoring.judged import Judged, JudgedPrint
from sim.scoring.put_right import printed_again, put_right, stops_of, tone_points

MOST_FAULTS = 2
CUT_TO_SIZE = ("larger", "smaller", "move")  # faults that are put right by the card that is usual for the place
DOUBTED_SHARE = 0.15  # of the points: where less hangs on light for one place, the print is asked whether it needs it


@dataclass(frozen=True, eq=False)
class Attempt:
    """One explanation of a print: the hand's faults put right in ``one``, and what its light then still needs."""

    exercise: Exercise
    judged: Judged
    one: JudgedPrint
    faults: tuple[HandFault, ...]

    @cached_property
    def problem(self) -> ToneProblem:
        """The tones of the print with the hand's faults put right; a card cut to its place's size reaches over no other."""
        cut = any(fault.direction in CUT_TO_SIZE for fault in self.faults)
        return ToneProblem(self.exercise, self.judged, self.one, undoing=not cut)

    @cached_property
    def explained(self) -> Explained | None:
        """What light, filter and development still need; None where no tone is asked for."""
        return self.problem.explained() if self.problem.aims.aims else None

    def corrected(self, explained: Explained | None) -> JudgedPrint:
        """Return the print with causes put right, made anew."""
        if explained is None or not explained.causes:
            return self.one
        negative = self.judged.negatives[self.one.negative]
        record = put_right(negative, self.one.record, self.judged.stock, explained)
        return printed_again(self.exercise, self.judged, self.one, record)

    @cached_property
    def best(self) -> Explained | None:
        """The explanation that holds when printed.

        Light for a place that the print does not need after all is left out: a card's time in another exposure is another
        share of a lamp's slow coming. Only where little hangs on it can that be.
        """
        explained = self.explained
        if explained is None or len(explained.causes) < 2:
            return explained
        for k in reversed(range(len(explained.causes))):
            if explained.causes[k].kind != "local" or explained.losses[k] > DOUBTED_SHARE * self.full:
                continue
            fewer = tuple(c for n, c in enumerate(explained.causes) if n != k)
            without = self.problem.with_losses(self.problem.fit(fewer), explained.points_now)
            with_all = tone_points(self.exercise, self.judged, self.corrected(explained))
            if tone_points(self.exercise, self.judged, self.corrected(without)) >= with_all - GOOD_ENOUGH * self.full:
                return without
        return explained

    @cached_property
    def made(self) -> JudgedPrint:
        """The print with all that was found put right."""
        return self.corrected(self.best)

    @cached_property
    def points(self) -> float:
        """The points that it really earns then."""
        return tone_points(self.exercise, self.judged, self.made)

    @property
    def full(self) -> float:
        """Points that tones and evenness are worth."""
        return sum(
            c.points for c in self.exercise.criteria
            if c.counts and not c.of_kind.series and c.belongs_to(self.one.negative)
            and (c.of_kind.tones != "none" or c.of_kind.cause == "evenness")
        )  # fmt: skip

    @property
    def changes(self) -> int:
        """How many things it asks to be changed."""
        return len(self.faults) + (len(self.best.causes) if self.best else 0)

    def beats(self, other: Attempt) -> bool:
        """Tell whether it earns more when printed, or as much with no more things to change."""
        allowed = GOOD_ENOUGH * self.full
        mine, theirs = self.points, other.points
        if abs(mine - theirs) > allowed:
            return mine > theirs
        return self.changes <= other.changes


@dataclass(frozen=True, eq=False)
class Accounted:
    """What a print is off by, hand and light apart: ``attempt`` explains best; ``base`` blames light alone."""

    attempt: Attempt
    base: Attempt

    @cached_property
    def hand_loss(self) -> float:
        """Points that hang on the hand: what putting it right earns at once, or what light alone leaves lying."""
        if not self.attempt.faults:
            return 0.0
        exercise, judged = self.attempt.exercise, self.attempt.judged
        alone = tone_points(exercise, judged, self.attempt.one) - tone_points(exercise, judged, self.base.one)
        last = self.attempt.points - self.base.points
        return max(alone, last, GOOD_ENOUGH * self.attempt.full)


def accounted(exercise: Exercise, judged: Judged, one: JudgedPrint) -> Accounted:
    """Return what a print is off by; the hand is asked about wherever a card was in the light otherwise than is usual."""
    base = Attempt(exercise, judged, one, ())
    best = base
    if "cards" in exercise.unlocked and held_cards(judged.negatives[one.negative], one.record):
        for _ in range(MOST_FAULTS):
            better = _one_more(best)
            if better is None:
                break
            best = better
    return Accounted(best, base)


def _one_more(best: Attempt) -> Attempt | None:
    """Return the attempt with one more fault of the hand that explains the print better, None where there is none."""
    found: Attempt | None = None
    for attempt in _with_another(best):
        if (found or best) is best:
            found = attempt if attempt.beats(best) else None
        elif found is not None and attempt.beats(found) and not found.beats(attempt):
            found = attempt
    return found


def _with_another(best: Attempt) -> Iterator[Attempt]:
    negative = best.judged.negatives[best.one.negative]
    known = {(fault.direction, fault.card) for fault in best.faults}
    for fault in hand_faults(best.exercise, negative, best.one.record):
        if (fault.direction, fault.card) in known:
            continue
        try:
            one = printed_again(best.exercise, best.judged, best.one, fault.record)
            attempt = replace(best, one=one, faults=(*best.faults, fault))
            attempt.points  # noqa: B018 - a card that cannot be there is found out here
        except Refused:
            continue
        if not _undone(attempt, fault):
            yield attempt


def _undone(attempt: Attempt, fault: HandFault) -> bool:
    """Tell whether a card carried to a place would have to do nothing there, or the opposite: it does not belong there."""
    if fault.direction != "move" or attempt.best is None:
        return False
    record, places = attempt.one.record, attempt.best.aims.places
    held = next(one for one in held_cards(attempt.judged.negatives[attempt.one.negative], record) if one.at == fault.card)
    work = stops_of(record, held)
    return any(
        cause.place is not None and places[cause.place].name == fault.place and work * size < 0.0 and abs(size) >= abs(work)
        for cause, size in zip(attempt.best.causes, attempt.best.sizes, strict=True)
    )


def off_now(attempt: Attempt, one: JudgedPrint) -> FloatArray:
    """Return what the print at hand reads at the places of an attempt's aims."""
    return np.array([one.readings.spot(place) for place in attempt.problem.aims.places])
