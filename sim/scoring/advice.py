"""Advice: which decision a print is off by, which way and by how much, three at most: by cost, a hand that is seen first.

Each size is solved for with the physics of the print itself (``advice_from_tones.py``, ``advice_from_settings.py``), and what
a hand did is told from light by making the print anew (``advice_of_hands.py``): never a rule of thumb. These are facts, codes
and numbers; ``sim/notebook/advice_words.py`` says them in a language, never a setting to dial.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from math import log2
from typing import Any

from sim.enlarger.settings import set_up
from sim.scoring.advice_facts import CAUSES_OF_HANDS, UNIT_OF_CAUSE
from sim.scoring.advice_facts import Advice as Advice
from sim.scoring.advice_facts import Evidence as Evidence
from sim.scoring.advice_from_settings import evenness_left, setting_causes, time_causes
from sim.scoring.advice_from_sharpness import SettingCause
from sim.scoring.advice_from_tones import Explained
from sim.scoring.advice_of_hands import accounted
from sim.scoring.advice_on_hands import hand_advice
from sim.scoring.advice_on_pairs import pair_advice
from sim.scoring.advice_on_tones import Telling, tone_advice
from sim.scoring.causes_besides import causes_besides
from sim.scoring.exercise import Exercise
from sim.scoring.judged import Judged, JudgedPrint
from sim.scoring.marks import Marks

MOST_ADVICE = 3
LEAST_LOSS_SHARE = 0.005  # of all quality points: below that a cause is not worth a line
HAND_FIRST_SHARE = 0.25  # of all that a print loses (chosen): a hand that is seen and costs that much goes before light
ALIKE_SIZES = 0.25  # of the larger: causes of several prints so near each other are told in one line


def advise(exercise: Exercise, judged: Judged, marks: Marks) -> tuple[Advice, ...]:
    """Return at most three pieces of advice in the order of ``in_order``. Empty when nothing is lost."""
    found = [advice for one in judged.judged_prints for advice in _told(exercise, judged, marks, one)]
    return in_order(_together(found, len(judged.judged_prints)) + _economy(marks))[:MOST_ADVICE]


def advise_on_one(exercise: Exercise, judged: Judged, marks: Marks) -> tuple[tuple[Advice, ...], tuple[Advice, ...]]:
    """Return the first lines about a single print, and all that holds on it, told or not: what a true answer may name."""
    one = judged.judged_prints[0]
    account = _account(exercise, judged, one)
    least = _least(marks)
    told = [advice for advice in _of_account(account, exercise, judged, one) if advice.loss_points >= least]
    first = in_order(told + _economy(marks))[:MOST_ADVICE]
    return first, (*told, *causes_besides(account.telling, told))


def advise_each(exercise: Exercise, judged: Judged, marks: Marks) -> tuple[tuple[Advice, ...], ...]:
    """Return at most three pieces of advice for every print apart, in the prints' order: for a series or an evening."""
    return tuple(in_order(_told(exercise, judged, marks, one))[:MOST_ADVICE] for one in judged.judged_prints)


def in_order(found: Sequence[Advice]) -> tuple[Advice, ...]:
    """Return advice in the order in which it is told: hands that decide, the picture's size, then the largest loss of marks.

    Light read under a card that lay wrong tells little, so a hand goes first where it is seen and explains a good part of
    what its print loses, or where what would come first holds only once the hand is put right; where it spoils little beside
    the light, the light comes first. The light follows from the size.
    """

    def rank(one: Advice) -> tuple[int, float]:
        if one.cause in CAUSES_OF_HANDS and _decides(one, found):
            return 0, -one.loss_points
        return (1 if one.cause == "size" else 2), -one.loss_points

    return tuple(sorted(found, key=rank))


def _decides(hand: Advice, found: Sequence[Advice]) -> bool:
    """Tell whether a hand is seen on its print, by a tone or by the card's trace, and costs a good part of what that loses."""
    if not (hand.evidence or hand.measured):
        return False
    own = [one for one in found if one.prints == hand.prints or set(one.prints) & set(hand.prints)]
    rest = [one for one in own if one.cause not in (*CAUSES_OF_HANDS, "economy")]
    if rest and max(rest, key=lambda one: one.loss_points).after_others:
        return True
    return hand.loss_points >= HAND_FIRST_SHARE * sum(one.loss_points for one in own if one.cause != "economy")


def _told(exercise: Exercise, judged: Judged, marks: Marks, one: JudgedPrint) -> list[Advice]:
    """Return what one print is off by, as far as marks hang on it, and which print it is where there are several."""
    least = _least(marks)
    several = len(judged.judged_prints) > 1
    prints = (judged.judged_prints.index(one) + 1,) if several else ()
    film = judged.negatives[one.negative].name if len(judged.negatives) > 1 else ""
    return [
        replace(advice, negative=one.negative + 1, copy=one.copy + 1, prints=prints, film=film)
        for advice in _of_account(_account(exercise, judged, one), exercise, judged, one)
        if advice.loss_points >= least
    ]


def _together(found: list[Advice], many: int) -> list[Advice]:
    """Return advice with what several prints of one negative need alike told once, their losses added."""
    joined: list[Advice] = []
    for one in found:
        same = next((k for k, other in enumerate(joined) if many > 1 and _alike(one, other)), None)
        if same is None:
            joined.append(one)
            continue
        other = joined[same]
        larger = max(one, other, key=lambda each: each.loss_points)
        loss = one.loss_points + other.loss_points
        joined[same] = replace(larger, prints=(*other.prints, *one.prints), loss_points=loss)
    return joined


def _alike(one: Advice, other: Advice) -> bool:
    said = ("cause", "direction", "place", "exposure", "film", "over", "after_others")
    same = all(getattr(one, name) == getattr(other, name) for name in said)
    return same and abs(one.size - other.size) <= ALIKE_SIZES * max(one.size, other.size)


def advice_data(advice: Advice) -> dict[str, Any]:
    """Return one piece of advice as JSON-able data, numbers rounded to what can be worked with."""

    def rounded(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: rounded(inner) for key, inner in value.items()}
        if isinstance(value, tuple):
            return [rounded(inner) for inner in value]
        return round(value, 3) if isinstance(value, float) else value

    data: dict[str, Any] = rounded(asdict(advice))
    return data


def _least(marks: Marks) -> float:
    return LEAST_LOSS_SHARE * sum(mark.full_points for mark in marks.marks)


@dataclass(frozen=True)
class _Account:
    """What set-up a print is off by, and hand and light as they are told."""

    settings: tuple[SettingCause, ...]
    telling: Telling


def _account(exercise: Exercise, judged: Judged, one: JudgedPrint) -> _Account:
    return _Account(tuple(setting_causes(exercise, judged, one)), Telling(accounted(exercise, judged, one), one))


def _of_account(account: _Account, exercise: Exercise, judged: Judged, one: JudgedPrint) -> Iterator[Advice]:
    """Yield what one print is off by."""
    told = account.telling
    in_tones = told.explained is not None and any(cause.kind == "development" for cause in told.explained.causes)
    trays = [cause for cause in account.settings if in_tones and cause.cause == "development"]  # told once, by the tones
    yield from (_setting_advice(cause) for cause in account.settings if cause not in trays)
    yield from hand_advice(told)
    yield from (_setting_advice(cause) for cause in evenness_left(exercise, judged, one, told.attempt))
    stops = told.main_stops + _light_of_size(account.settings, judged, one)
    of_time, made_good = time_causes(exercise, judged, one, stops)
    yield from (_setting_advice(cause) for cause in of_time)
    if told.explained is None:
        return
    lights = sum(each.cause.kind == "exposure" for each in told.needed)
    of_tray = sum(cause.loss_points for cause in trays)
    for advice in tone_advice(told, made_good / max(1, lights)):
        yield replace(advice, loss_points=advice.loss_points + of_tray) if advice.cause == "development" else advice
    yield from pair_advice(told)
    yield from _unmatched(told.explained)


def _light_of_size(settings: Sequence[SettingCause], judged: Judged, one: JudgedPrint) -> float:
    """Return the stops of light that putting the size right will take: E goes with (1+m)**-2 (diffuse light, one aperture)."""
    for cause in settings:
        if cause.cause == "size" and not one.record.enlarger.contact:
            now = set_up(one.record.enlarger, judged.negatives[one.negative]).magnification
            return 2.0 * log2((1.0 + now * cause.amount) / (1.0 + now))
    return 0.0


def _setting_advice(cause: SettingCause) -> Advice:
    return Advice(
        cause.cause, cause.direction, cause.size, UNIT_OF_CAUSE[cause.cause], cause.place, cause.loss_points,
        amount=cause.amount, amount_unit=cause.amount_unit, measured=cause.measured, wanted=cause.wanted,
    )  # fmt: skip


def _unmatched(explained: Explained) -> Iterator[Advice]:
    """Yield what is left of a match that no unlocked control can close."""
    matched = [aim for aim in explained.aims.aims if aim.matches]
    if not matched or explained.causes:
        return
    worst = max(matched, key=lambda aim: abs(aim.off(explained.readings)) / aim.tolerance)
    off, place = worst.off(explained.readings), explained.aims.places[worst.at[0]].name
    if abs(off) > worst.tolerance:
        direction = "lighter" if off > 0 else "darker"
        loss = explained.aims.full_points - explained.points_now
        yield Advice("match", direction, abs(off), UNIT_OF_CAUSE["match"], place, loss)


def _economy(marks: Marks) -> list[Advice]:
    economy = marks.economy
    if economy is None or economy.points >= economy.full_points - 1e-9:
        return []
    over = economy.sheets_used - economy.expected_sheets
    if over <= 0.0:  # the points went with a print that is missing: no thrift brings them back
        return []
    loss = economy.full_points - economy.points
    used, expected = economy.sheets_used, economy.expected_sheets
    return [Advice("economy", "fewer-sheets", over, UNIT_OF_CAUSE["economy"], "", loss, measured=used, wanted=expected)]
