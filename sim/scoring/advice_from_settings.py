"""Causes that no tone can show: sharpness, size, evenness, and a time outside its window."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import log2
from typing import Protocol

from sim.refusals import Refused
from sim.scoring.advice_from_sharpness import SettingCause, sharpness_causes
from sim.scoring.criterion_measures import Measured, measure, timed_s, window_s
from sim.scoring.exercise import Criterion, Exercise
from sim.scoring.hand_faults import held_cards
from sim.scoring.judged import Judged, JudgedPrint
from sim.scoring.points import RIM_SEEN, rim_share, time_share

WANDERS = 0.75  # of the usual way: a hand that goes so far wanders, and it is the edge that must grow softer (chosen)


def setting_causes(exercise: Exercise, judged: Judged, one: JudgedPrint) -> list[SettingCause]:
    """Return the causes of one print that have nothing to do with its tones. Only unlocked controls are named."""
    found: list[SettingCause] = []
    for criterion, read, loss in _lost(exercise, judged, one):
        if criterion.of_kind.cause in _CAUSES:
            found += _CAUSES[criterion.of_kind.cause](exercise, criterion, read, loss)
    return [*_joined(found), *sharpness_causes(exercise, judged, one)]


def evenness_left(exercise: Exercise, judged: Judged, one: JudgedPrint, explained: PutRight) -> list[SettingCause]:
    """Return what is seen of a card on one print and would still be seen with hands and light put right."""
    found: list[SettingCause] = []
    if "cards" not in exercise.unlocked or one.readings.traces is None:
        return found
    now = [(c, loss) for c, read, loss in _lost(exercise, judged, one) if _by_rim(c, read)]
    if not now or explained.made.readings.traces is None:
        return found
    still = {c.name: loss for c, read, loss in _lost(exercise, judged, explained.made) if _by_rim(c, read)}
    for criterion, loss in now:
        if criterion.name in still:
            wanted = criterion.wanted if criterion.of_kind.cause == "evenness" else RIM_SEEN
            seen, place = one.readings.traces.seen, criterion.spots[0].name
            lost = min(loss, still[criterion.name])
            found.append(SettingCause("evenness", less_seen(judged, one), seen - wanted, place, lost, seen, wanted))
    return _joined(found)


def less_seen(judged: Judged, one: JudgedPrint) -> str:
    """Return what makes less of a print's cards seen: keep the texture, keep the hand wandering, or a softer edge.

    Texture pushed into white or black is mended by less work; a rim by the hand where it went less than the usual way, else
    by an edge that fades out more slowly.
    """
    traces = one.readings.traces
    if traces is not None and traces.seen > traces.rim:
        return "keep-texture"
    held = held_cards(judged.negatives[one.negative], one.record)
    short = [each for each in held if each.card.shape != "edge" and each.wandered_mm < WANDERS * each.usual_way_mm]
    return "wander" if short else "fade"


class PutRight(Protocol):
    """An explanation of a print that can say how the print would be."""

    @property
    def made(self) -> JudgedPrint:
        """The print with all that was found put right."""


def _by_rim(criterion: Criterion, read: Measured) -> bool:
    """Tell whether it is what is seen of a card that costs."""
    if criterion.of_kind.cause == "evenness":
        return read.share < 1.0
    return read.rim > 0.0 and rim_share(read.rim) == read.share


def _lost(exercise: Exercise, judged: Judged, one: JudgedPrint) -> Iterator[tuple[Criterion, Measured, float]]:
    """Yield the criteria that count, lie on the sheet and lose points, with what they read and lose."""
    for criterion in exercise.criteria:
        if not (criterion.counts and criterion.belongs_to(one.negative)) or criterion.of_kind.series:
            continue
        try:
            read = measure(criterion, judged, one)
        except Refused:
            continue
        if read.share < 1.0:
            yield criterion, read, criterion.points * (1.0 - read.share)


def time_causes(exercise: Exercise, judged: Judged, one: JudgedPrint, stops: float) -> tuple[list[SettingCause], float]:
    """Return what is wrong with the time once the print has ``stops`` more light, and what the right light makes good.

    A time that will lie in its window needs nothing else; one that will not wants another aperture (or height, in contact).
    """
    found, made_good = [], 0.0
    for criterion in exercise.criteria:
        if criterion.of_kind.cause != "time" or not (criterion.counts and criterion.belongs_to(one.negative)):
            continue
        now, (least, most) = timed_s(criterion, one), window_s(criterion)
        then = now * 2.0**stops
        nearest = min(max(then, least), most)
        lost = [criterion.points * (1.0 - time_share(value, least, most)) for value in (now, then)]
        made_good += max(0.0, lost[0] - lost[1])
        if lost[1] > 0.0 and {"f_number", "height_mm"} & set(exercise.unlocked):
            off = log2(nearest / then)
            direction = "shorter-time" if off < 0 else "longer-time"
            found.append(SettingCause("time", direction, abs(off), "", lost[1], then, nearest, off, "stops of time"))
    return found, made_good


def _joined(found: list[SettingCause]) -> list[SettingCause]:
    """Return causes of one kind and direction at several places as one: the worst place, the losses added."""
    by_kind: dict[tuple[str, str], list[SettingCause]] = {}
    for cause in found:
        by_kind.setdefault((cause.cause, cause.direction), []).append(cause)
    return [
        replace(max(same, key=lambda c: c.size), loss_points=sum(c.loss_points for c in same)) for same in by_kind.values()
    ]


def _size(exercise: Exercise, criterion: Criterion, read: Measured, loss: float) -> Iterator[SettingCause]:
    if not {"height_mm", "lens"} & set(exercise.unlocked):
        return
    direction = "larger" if read.off < 0 else "smaller"
    yield SettingCause(
        "size", direction, abs(read.off), "", loss, read.value, read.wanted, read.wanted / read.value, "times as wide"
    )


def _development(exercise: Exercise, criterion: Criterion, read: Measured, loss: float) -> Iterator[SettingCause]:
    """Yield the tray's time, known from the clock: how far from complete the sheet was taken out."""
    if {"development_time_s", "temperature_c"} & set(exercise.unlocked):
        direction = "longer-development" if read.off < 0 else "shorter-development"
        yield SettingCause("development", direction, abs(1.0 - read.value), "", loss, read.value, read.wanted)


def _paper(exercise: Exercise, criterion: Criterion, read: Measured, loss: float) -> Iterator[SettingCause]:
    """Yield that a print lies on another paper than it is asked for on; which one stands in the place of a place."""
    if "paper" in exercise.unlocked:
        yield SettingCause("paper", "other-paper", 1.0, exercise.paper, loss, read.value, read.wanted)


_CAUSES: dict[str, Callable[[Exercise, Criterion, Measured, float], Iterator[SettingCause]]] = {
    "size": _size, "development": _development, "paper": _paper,
}  # fmt: skip
