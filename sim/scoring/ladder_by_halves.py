"""The trade's rules where tones under one card want a contrast of their own: a soft and a hard half, the card in one of them.

The lightest tone outside the cards sets the soft seconds, a dark middle tone over it the hard ones, each by a strip; then the
card is tried in either half, and stays in the one that leaves the tones under it nearest. A strip costs a quarter sheet.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import ceil, log2

import numpy as np

from sim.negative.negative import Negative, Place
from sim.quantities import ENGRAVED_F_NUMBERS, FloatArray
from sim.scoring.criterion_kinds import LEAST_SECONDS_KINDS
from sim.scoring.ladder_bench import LadderBench, aims_of, read_of
from sim.scoring.possible_causes import covered
from sim.scoring.start import Dials, Half, card_places
from sim.scoring.tone_aims import Aim

SOFT, HARD = "00", "5"
STRIP_SHEETS = 0.25
FAR_STOPS, FINE_STOPS = np.arange(-4.0, 4.01, 1.0), np.arange(-0.6, 0.61, 0.2)
CARD_FAR_STOPS = np.array([-2.0, -1.5, -1.0, -0.5, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0])
DARK_MIDDLE = 1.3  # density where a print's tones move most for a stop: what the hard seconds are read at (common practice)
HAND_ROOM = 1.1  # times the least seconds: what a lamp that comes late may still take away


@dataclass(frozen=True)
class _Tones:
    """The tones that set the two halves, the one that a card is for, and those that lie under it."""

    light: Aim
    dark: Aim
    meant: Aim
    meant_place: Place
    under: tuple[Aim, ...]


def asks_for_halves(bench: LadderBench, dials: Dials, negative: Negative) -> bool:
    """Tell whether a card's place has another wanted tone under it, and two exposures are open to set them apart."""
    return {"exposures", "cards", "filter"} <= set(bench.exercise.unlocked) and _tones(bench, dials, negative) is not None


def by_halves(bench: LadderBench, dials: Dials, negative: Negative) -> tuple[Dials, float]:
    """Return the settings found by strips in the two lights, and the sheets that they cost."""
    tones = _tones(bench, dials, negative)
    assert tones is not None
    first = dials.second is None
    if dials.second is None:
        start = replace(dials.start, filter=SOFT)
        dials = replace(dials, start=start, cards=(), second=Half(HARD, 0.1))
    bare, sheets = _without_cards(dials), 0.0
    for steps in (FAR_STOPS, FINE_STOPS) if first else (FINE_STOPS,):
        bare, sheets = _seconds(bench, bare, negative, tones, steps), sheets + 2 * STRIP_SHEETS
    stopped = _time_for_a_hand(bench, bare)
    if stopped != bare:
        bare, sheets = _seconds(bench, stopped, negative, tones, FINE_STOPS), sheets + 2 * STRIP_SHEETS
    return _card_in_one_half(bench, bare, negative, tones), sheets + 4 * STRIP_SHEETS


def _tones(bench: LadderBench, dials: Dials, negative: Negative) -> _Tones | None:
    aims, places = aims_of(bench, dials, negative)
    cards = card_places(bench.exercise, negative)
    exact = [aim for aim in aims if aim.exact and len(aim.at) == 1]
    meant = [aim for aim in exact if places[aim.at[0]] in cards]
    under = tuple(aim for aim in exact if aim not in meant and covered(places[aim.at[0]], cards))
    free = sorted((aim for aim in exact if aim not in meant and aim not in under), key=lambda aim: aim.wanted)
    if not meant or not under or len(free) < 2:
        return None
    dark = min(free[1:], key=lambda aim: abs(aim.wanted - DARK_MIDDLE))
    return _Tones(free[0], dark, meant[0], places[meant[0].at[0]], under)


def _without_cards(dials: Dials) -> Dials:
    assert dials.second is not None
    return replace(dials, cards=(), second=replace(dials.second, cards=()))


def _seconds(bench: LadderBench, dials: Dials, negative: Negative, tones: _Tones, steps: FloatArray) -> Dials:
    """Return the halves' seconds by a strip in each: lights by the soft one, then the dark middle by the hard one."""

    def soft(stops: float) -> Dials:
        return replace(dials, start=replace(dials.start, time_s=_dial(dials.start.time_s * 2.0**stops)))

    dials = soft(_right_step(bench, negative, soft, tones.light, steps))
    assert dials.second is not None
    half = dials.second if dials.second.time_s > 0.1 else replace(dials.second, time_s=dials.start.time_s)

    def hard(stops: float) -> Dials:
        return replace(dials, second=replace(half, time_s=_dial(half.time_s * 2.0**stops)))

    return hard(_right_step(bench, negative, hard, tones.dark, steps))


def _right_step(
    bench: LadderBench, negative: Negative, set_to: Callable[[float], Dials], aim: Aim, steps: FloatArray
) -> float:
    """Return the stops at which a tone comes out as wanted, read between the steps of a strip of whole settings."""
    read = np.array([read_of(bench, set_to(float(stops)), negative)[aim.at[0]] for stops in steps])
    return float(np.interp(aim.wanted, np.maximum.accumulate(read) + 1e-9 * np.arange(len(read)), steps))


def _time_for_a_hand(bench: LadderBench, dials: Dials) -> Dials:
    """Return the settings at the mark of the lens where the shorter half lasts as long as is asked for, its light kept."""
    least_s = max((c.wanted for c in bench.exercise.criteria if c.kind in LEAST_SECONDS_KINDS), default=0.0)
    half = dials.second
    assert half is not None
    shortest_s = min(dials.start.time_s, half.time_s)
    stops = ceil(log2(max(HAND_ROOM * least_s / shortest_s, 1.0)))
    if stops == 0 or "f_number" not in bench.exercise.unlocked:
        return dials
    marks = [mark for mark, _ in ENGRAVED_F_NUMBERS]
    mark = min(marks, key=lambda one: abs(2.0 * log2(one / dials.start.f_number) - stops))
    light = 2.0 ** round(2.0 * log2(mark / dials.start.f_number))
    start = replace(dials.start, f_number=mark, time_s=_dial(dials.start.time_s * light))
    return replace(dials, start=start, second=replace(half, time_s=_dial(half.time_s * light)))


def _card_in_one_half(bench: LadderBench, bare: Dials, negative: Negative, tones: _Tones) -> Dials:
    """Return the settings with a card in the half that leaves the tones under it nearest to what is wanted."""
    tried = []
    for soft in (True, False):

        def with_card(stops: float, soft: bool = soft) -> Dials:
            cards = ((tones.meant_place.name, round(stops, 2)),)
            assert bare.second is not None
            return replace(bare, cards=cards) if soft else replace(bare, second=replace(bare.second, cards=cards))

        stops = _right_step(bench, negative, with_card, tones.meant, CARD_FAR_STOPS)
        stops = _right_step(bench, negative, with_card, tones.meant, stops + FINE_STOPS)
        read = read_of(bench, with_card(stops), negative)
        tried.append((sum(abs(aim.off(read)) / aim.tolerance for aim in (tones.meant, *tones.under)), with_card(stops)))
    return min(tried, key=lambda one: one[0])[1]


def _dial(seconds: float) -> float:
    return round(max(seconds, 0.1), 2 if seconds < 10.0 else 1)
