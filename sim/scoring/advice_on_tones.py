"""Causes that the tones show, as advice: sizes as the print shows them, each with a reading that proves it.

Light is told as it is seen on the print at hand: what another filter, size or aperture costs comes with that change and is
a printer's to give (by the rule that the hardest filters take twice the seconds). Stops are those of dialled seconds where
seconds can be changed: one stop is twice the time, and what a lamp's slow coming takes of it is in them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from sim.printing.flash import through_negative
from sim.quantities import FloatArray
from sim.scoring.advice_facts import UNIT_OF_CAUSE, Advice, Evidence
from sim.scoring.advice_from_tones import LEAST_STEP, Explained
from sim.scoring.advice_of_hands import Accounted, Attempt, off_now
from sim.scoring.burn_stops import without_cards
from sim.scoring.judged import JudgedPrint
from sim.scoring.possible_causes import SPLIT_GRADES, Cause, carded_rays, covered, soft_and_hard, work_at
from sim.scoring.put_right import dialled_stops, printed_again
from sim.scoring.start import card_places
from sim.scoring.tone_aims import Aim

LIGHT_CONTROLS = {"time_s", "f_number", "exposures"}
FACTOR_SHARE = 0.4  # of what a filter loses where its factor alone put the light off: chosen, the filter is named first
TOLD_FROM = 0.005  # density: what is nearer would be told as 0.00 off
HIDES_CONTRAST_STOPS = 0.25  # light that is off by so much makes one end of the scale say nothing of its length (chosen)
HARDEST_FROM_GRADE = 4.0  # filters from here on take twice the seconds, by the trade's rule
_DIRECTIONS = {  # what a positive size asks for, and a negative one
    "exposure": ("more-light", "less-light"),
    "contrast": ("harder", "softer"),
    "development": ("longer-development", "shorter-development"),
    "flash": ("more-flash", "less-flash"),
}


@dataclass(frozen=True)
class Needed:
    """A cause with the size that the print shows and the points that hang on it."""

    cause: Cause
    size: float
    loss: float


@dataclass(frozen=True, eq=False)
class Telling:
    """An account of a print, ready to be told: what is read on it now, and what would be with things put right."""

    account: Accounted
    one: JudgedPrint

    @property
    def attempt(self) -> Attempt:
        """The explanation that is told."""
        return self.account.attempt

    @property
    def explained(self) -> Explained | None:
        """What light and filter still need."""
        return self.attempt.best

    @cached_property
    def now(self) -> FloatArray:
        """What the print at hand reads at the places of its aims."""
        return off_now(self.attempt, self.one)

    @property
    def places_apart(self) -> frozenset[int]:
        """The places, by index, that want light of their own."""
        causes = self.explained.causes if self.explained else ()
        return frozenset(cause.place for cause in causes if cause.place is not None)

    @cached_property
    def needed(self) -> tuple[Needed, ...]:
        """The causes as the print shows them, a filter's own factor taken out of the light."""
        explained = self.explained
        assert explained is not None
        plain = tuple(Needed(*each) for each in zip(explained.causes, explained.sizes, explained.losses, strict=True))
        factor = self._factor(explained)
        if not factor:
            return plain
        return self._without_factor(explained, factor)

    def _factor(self, explained: Explained) -> float:
        """Return the stops that the filter asked for takes more (+) or less than the one in the head, by the rule."""
        grades = next((s for c, s in zip(explained.causes, explained.sizes, strict=True) if c.kind == "contrast"), 0.0)
        if not grades or explained.model is None or not LIGHT_CONTROLS & set(self.attempt.exercise.unlocked):
            return 0.0
        now = explained.model.grade_of(0)
        hard = [grade >= HARDEST_FROM_GRADE - 1e-6 for grade in (now, now + grades)]
        return float(hard[1]) - float(hard[0])

    def _without_factor(self, explained: Explained, factor: float) -> tuple[Needed, ...]:
        """Return light and contrast told apart as they are seen, each with what it costs alone and last of all."""
        sizes = {c.kind: s for c, s in zip(explained.causes, explained.sizes, strict=True) if c.place is None}
        light = sizes.get("exposure", 0.0) - factor
        every = through_negative(self.one.record)
        causes = (Cause("exposure", every), next(c for c in explained.causes if c.kind == "contrast"))
        points = self.attempt.problem.points
        now = explained.points_now
        alone = [points(causes, np.array(pair)) - now for pair in ((light, 0.0), (factor, sizes["contrast"]))]
        both = points(causes, np.array((light + factor, sizes["contrast"]))) - now
        losses = [max(0.5 * (alone[k] + both - alone[1 - k]), 0.0) for k in (0, 1)]
        if "exposure" not in sizes:  # the filter alone was changed, and its factor forgotten: the filter is named first
            losses = [FACTOR_SHARE * both, (1.0 - FACTOR_SHARE) * both]
        found = [Needed(causes[1], sizes["contrast"], losses[1])]
        if abs(light) >= LEAST_STEP["exposure"]:
            found.append(Needed(causes[0], light, losses[0]))
        others = zip(explained.causes, explained.sizes, explained.losses, strict=True)
        found += [Needed(*each) for each in others if each[0].kind not in ("exposure", "contrast")]
        return tuple(sorted(found, key=lambda one: -one.loss))

    def told_stops(self, one: Needed) -> float:
        """Return a size of light in stops of dialled seconds, where seconds can be changed."""
        if "time_s" not in self.attempt.exercise.unlocked:
            return one.size
        record = self.attempt.one.record
        longest = max((record.exposures[k] for k in one.cause.rays), key=lambda e: e.time_s)
        return dialled_stops(record, longest, one.size)

    @property
    def main_stops(self) -> float:
        """Stops by which the seconds of the main light will change, a filter's factor counted; 0 where they may stay."""
        if self.explained is None:
            return 0.0
        lights = [self.told_stops(one) for one in self.needed if one.cause.kind == "exposure"]
        return max(lights, key=abs, default=0.0) + self._factor(self.explained)

    @cached_property
    def light_stands(self) -> bool:
        """Tell whether a hand alone is at fault for the lights: without any card the tones that want none would be right.

        What a card put right will take of its neighbours is seen on the next sheet; a right time is not called wrong for it.
        """
        attempt = self.attempt
        if not attempt.faults:
            return False
        aims, cards = attempt.problem.aims, card_places(attempt.exercise, attempt.judged.negatives[self.one.negative])
        meant = {place.name for place in cards}
        wants_one = {k for k, place in enumerate(aims.places) if place.name in meant or covered(place, cards)}
        plain = [aim for aim in aims.aims if aim.exact and not wants_one & set(aim.at)]
        bare = printed_again(attempt.exercise, attempt.judged, self.one, without_cards(self.one.record))
        read = off_now(attempt, bare)
        return bool(plain) and all(abs(aim.off(read)) <= aim.tolerance for aim in plain)

    def said_otherwise(self, one: Needed) -> bool:
        """Tell whether a cause is not to be told beside what is said of a hand: a right time, or a place the other way round.

        A place that reads too light for want of its burn is not to be burnt less: that is told of the sheet that has it.
        """
        if one.cause.kind == "exposure":
            return self.light_stands
        if one.cause.place is None or self.places[one.cause.place] not in self.places_of_faults:
            return False
        off = [aim.off(self.now) for aim in self.attempt.problem.aims.aims if aim.at == (one.cause.place,) and not aim.hidden]
        return any(each * one.size > 0.0 for each in off)

    @property
    def places(self) -> tuple[str, ...]:
        """The names of the places that are asked for, by index."""
        return tuple(place.name for place in self.attempt.problem.aims.places)

    @property
    def places_of_faults(self) -> frozenset[str]:
        """The names of the places whose cards are told to be put right."""
        return frozenset(fault.place for fault in self.attempt.faults)

    def others_right(self, one: Needed) -> FloatArray:
        """Return what the print would read with all causes put right but one, hands among them."""
        assert self.explained is not None
        kept = [each for each in self.needed if each.cause != one.cause]
        sizes = {each.cause: each.size for each in kept}
        if any(each.cause.kind == "contrast" for each in kept):  # a filter takes its factor along
            every = Cause("exposure", through_negative(self.one.record))
            sizes[every] = sizes.get(every, 0.0) + self._factor(self.explained)
        return self.attempt.problem.readings(tuple(sizes), np.array(list(sizes.values())))


def tone_advice(told: Telling, loss_of_light: float) -> Iterator[Advice]:
    """Yield the causes of the tones; ``loss_of_light`` is what other criteria lose besides while the light is off."""
    explained = told.explained
    assert explained is not None
    for one in told.needed:
        if told.said_otherwise(one):
            continue
        if one.cause.place is not None:
            yield _local(told, explained, one)
            continue
        light = one.cause.kind == "exposure"
        size = told.told_stops(one) if light else one.size
        evidence, after = tone_evidence(told, one)
        yield Advice(
            one.cause.kind, _DIRECTIONS[one.cause.kind][0 if size > 0 else 1], abs(size), UNIT_OF_CAUSE[one.cause.kind], "",
            one.loss + (loss_of_light if light else 0.0), one.cause.which, evidence=evidence, after_others=after,
        )  # fmt: skip


def tone_evidence(told: Telling, one: Needed) -> tuple[tuple[Evidence, ...], bool]:
    """Return the readings that show a cause, and whether they are those of the print once the others are put right.

    Only a reading on the side that the cause puts right shows it: what is too dark never proves that more light is needed. One
    end alone shows no contrast while the light is off as well: then it is told as it would be in the right light. Hidden
    criteria are not told.
    """
    light = max((abs(each.size) for each in told.needed if each.cause.kind == "exposure"), default=0.0)
    ends = 2 if one.cause.kind == "contrast" and light >= HIDES_CONTRAST_STOPS else 1
    now = _shown_by(told, one, told.now, False)
    if told.attempt.faults and _under_a_hand(told, one, now):
        then = _shown_by(told, one, told.others_right(one), True)
        if then and not _within(told, then):
            return then, True
    if len(now) >= ends or (now and len(now[0].places) > 1):
        return now, False
    then = _shown_by(told, one, told.others_right(one), True)
    if then or now:
        return (then, True) if then else (now, False)
    return (), any(not aim.hidden for aim in told.attempt.problem.aims.aims)


def _under_a_hand(told: Telling, one: Needed, now: tuple[Evidence, ...]) -> bool:
    """Tell whether what shows a cause now is what a hand made: its own place, or a tone that is right under a wrong card."""
    if one.cause.place is not None:
        return told.places[one.cause.place] in told.places_of_faults
    return one.cause.kind == "exposure" and _within(told, now)


def _within(told: Telling, shown: tuple[Evidence, ...]) -> bool:
    """Tell whether all readings lie within the tolerance of their tones, so that they cost nothing."""
    tolerance = {tuple(told.places[k] for k in aim.at): aim.tolerance for aim in told.attempt.problem.aims.aims}
    return all(abs(each.off) <= tolerance.get(each.places, 0.0) for each in shown)


def _shown_by(told: Telling, one: Needed, readings: FloatArray, then: bool) -> tuple[Evidence, ...]:
    aims = told.attempt.problem.aims.aims
    here = [aim for aim in aims if not aim.hidden and (one.cause.place is None or one.cause.place in aim.at)]
    off = [(aim, aim.off(readings)) for aim in here]
    off = [pair for pair in off if abs(pair[1]) >= TOLD_FROM]
    off = sorted(off, key=lambda pair: -abs(pair[1]) / pair[0].tolerance)
    if one.cause.kind == "contrast":
        off = _ends(told, off, one.size)
    else:
        off = [pair for pair in off if len(pair[0].at) == 1 and (pair[1] < 0) == (one.size > 0)]
        if one.cause.kind == "exposure":  # a place that wants light of its own proves nothing about the sheet
            elsewhere = [pair for pair in off if pair[0].at[0] not in told.places_apart]
            off = _where_it_is_read(elsewhere or off, one.cause.which)
        off = off[:1]
    return tuple(_evidence(told, *pair, readings, then) for pair in off)


def _where_it_is_read(off: list[tuple[Aim, float]], half: str) -> list[tuple[Aim, float]]:
    """Return readings with the one at which this light is judged first: the lightest tone, of hard light the darkest.

    So it is taught; only what lies outside its tolerance is taken before the reading that is furthest off.
    """
    outside = [pair for pair in off if abs(pair[1]) > pair[0].tolerance and pair[0].exact]
    return sorted(outside, key=lambda pair: pair[0].wanted, reverse=half == "hard")[:1] + off


def _ends(told: Telling, off: list[tuple[Aim, float]], size: float) -> list[tuple[Aim, float]]:
    """Return the readings that show a range too short (harder is needed) or too long: the ends on the sides that say so."""
    seen = [aim for aim in told.attempt.problem.aims.aims if len(aim.at) == 1 and not aim.hidden]
    tones = sorted(seen, key=lambda aim: aim.wanted)
    if len(tones) < 2:
        return off[:1]
    middle = 0.5 * (tones[0].wanted + tones[-1].wanted)
    apart = [pair for pair in off if len(pair[0].at) == 2 and (pair[1] < 0) == (size > 0)]
    said = [pair for pair in off if len(pair[0].at) == 1 and ((pair[1] > 0) == (pair[0].wanted < middle)) == (size > 0)]
    ends = [next((p for p in said if (p[0].wanted < middle) == light), None) for light in (True, False)]
    return [pair for pair in ends if pair] or apart[:1]


def _evidence(told: Telling, aim: Aim, off: float, readings: FloatArray, then: bool) -> Evidence:
    read = [float(readings[k]) for k in aim.at]
    names = tuple(told.attempt.problem.aims.places[k].name for k in aim.at)
    return Evidence(names, read[-1] - (read[0] if len(read) == 2 else 0.0), off, then)


def _local(told: Telling, explained: Explained, one: Needed) -> Advice:
    """Say whether a card that is already there should do more or less; where there is none, which one is needed."""
    assert one.cause.place is not None
    assert explained.model is not None
    model, index = explained.model, one.cause.place
    rays = carded_rays(model, index)
    work = work_at(model, index, rays) if rays else 0.0
    tool = "hole" if work > 0.03 else "tool" if work < -0.03 else ""
    if work > 0.03:
        direction = "more-burn" if one.size > 0 else "less-burn"
    elif work < -0.03:
        direction = "less-hold-back" if one.size > 0 else "more-hold-back"
    else:
        direction = "more-burn" if one.size > 0 else "more-hold-back"
    evidence, after = tone_evidence(told, one)
    place = explained.aims.places[index].name
    if one.cause.only_undoes:  # no card of its own: one that is meant for another place reaches over
        tool = "hole" if work > 0 else "tool"  # however little: it is what reaches over
        size = abs(evidence[0].off) if evidence else 0.0
        return Advice(
            "hand", "smaller", size, UNIT_OF_CAUSE["hand"], "", one.loss, evidence=evidence, after_others=after, over=place,
            tool=tool, amount=1.2, amount_unit="widths",
        )  # fmt: skip
    return Advice(
        "local", direction, abs(one.size), UNIT_OF_CAUSE["local"], place, one.loss, _which_of(explained, one.cause),
        evidence=evidence, after_others=after, tool=tool,
    )  # fmt: skip


def _which_of(explained: Explained, cause: Cause) -> str:
    """Name the exposure a card works in where a soft and a hard one are told apart."""
    apart = {other.which: other.rays for other in _exposures_of(explained)}
    return next((which for which, rays in apart.items() if which and set(cause.rays) <= set(rays)), "")


def _exposures_of(explained: Explained) -> list[Cause]:
    model = explained.model
    assert model is not None
    grades = {k: model.grade_of(k) for k in through_negative(model.record)}
    return list(soft_and_hard(grades)) if max(grades.values()) - min(grades.values()) > SPLIT_GRADES else []
