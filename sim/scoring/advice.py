"""Advice: which decision a print is off by, in which direction and by how much, largest loss first, three at most.

Each size is solved for with the physics of the print itself (``advice_from_tones.py``, ``advice_from_settings.py``), never a
rule of thumb. These are facts, codes and numbers; ``sim/notebook/advice_words.py`` says them in a language, never a setting
to dial.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from typing import Any

from sim.enlarger.settings import set_up
from sim.scoring.advice_from_settings import setting_causes, time_causes
from sim.scoring.advice_from_sharpness import SettingCause
from sim.scoring.advice_from_tones import Explained, ToneProblem
from sim.scoring.exercise import Exercise
from sim.scoring.judged import Judged, JudgedPrint
from sim.scoring.marks import Marks
from sim.scoring.possible_causes import Cause
from sim.scoring.tone_aims import Aim

MOST_ADVICE = 3
UNIT_OF_CAUSE = {
    "exposure": "stops", "local": "stops", "contrast": "filter grades", "sharpness": "contrast at 5 lp/mm", "size": "mm",
    "evenness": "density", "match": "density", "development": "share of completion", "economy": "sheets", "time": "stops",
}  # fmt: skip
LEAST_LOSS_SHARE = 0.005  # of all quality points: below that a cause is not worth a line


@dataclass(frozen=True)
class Evidence:
    """A reading that shows a cause: a place's density and how far off it is (+ too dark), or how far two places lie apart."""

    places: tuple[str, ...]
    read: float
    off: float


@dataclass(frozen=True)
class Advice:
    """One cause: what the print needs (``direction``), by how much, where, and how many points hang on it.

    ``exposure`` names the soft or the hard one where the causes of two are told apart. ``amount`` says, signed and in
    ``amount_unit``, by how much the control is off where that is not the size itself (stage in mm, width as a ratio,
    aperture in stops). ``evidence`` is what shows it; ``after_others``: no reading does until the other causes are put right.
    ``measured`` and ``wanted`` are those of a set-up, a time or the paper used. ``negative`` and ``copy`` count from 1.
    """

    cause: str
    direction: str
    size: float
    unit: str
    place: str = ""
    loss_points: float = 0.0
    exposure: str = ""
    amount: float = 0.0
    amount_unit: str = ""
    evidence: tuple[Evidence, ...] = ()
    after_others: bool = False
    measured: float = 0.0
    wanted: float = 0.0
    negative: int = 1
    copy: int = 1


def advise(exercise: Exercise, judged: Judged, marks: Marks) -> tuple[Advice, ...]:
    """Return at most three pieces of advice, the largest loss of marks first. Empty when nothing is lost."""
    found = [advice for one in judged.judged_prints for advice in _told(exercise, judged, marks, one)]
    return _largest(found + _economy(marks))


def advise_each(exercise: Exercise, judged: Judged, marks: Marks) -> tuple[tuple[Advice, ...], ...]:
    """Return at most three pieces of advice for every print apart, in the prints' order: for a series or an evening."""
    return tuple(_largest(_told(exercise, judged, marks, one)) for one in judged.judged_prints)


def _largest(found: list[Advice]) -> tuple[Advice, ...]:
    return tuple(sorted(found, key=lambda advice: -advice.loss_points)[:MOST_ADVICE])


def _told(exercise: Exercise, judged: Judged, marks: Marks, one: JudgedPrint) -> list[Advice]:
    """Return what one print is off by, as far as marks hang on it."""
    least = LEAST_LOSS_SHARE * sum(mark.full_points for mark in marks.marks)
    return [
        replace(advice, negative=one.negative + 1, copy=one.copy + 1)
        for advice in _of_print(exercise, judged, one)
        if advice.loss_points >= least
    ]


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


def _of_print(exercise: Exercise, judged: Judged, one: JudgedPrint) -> Iterator[Advice]:
    """Yield what one print is off by."""
    settings = setting_causes(exercise, judged, one)
    yield from (_setting_advice(cause) for cause in settings)
    problem = ToneProblem(exercise, judged, one, _shift_of_size(settings, judged, one))
    explained = problem.explained() if problem.aims.aims else None
    light = [] if explained is None else [size for c, size in zip(explained.causes, explained.sizes) if c.kind == "exposure"]
    of_time, made_good = time_causes(exercise, judged, one, max(light, key=abs, default=0.0))
    yield from (_setting_advice(cause) for cause in of_time)
    if explained is None:
        return
    for cause, size, loss in zip(explained.causes, explained.sizes, explained.losses, strict=True):
        share = made_good / len(light) if cause.kind == "exposure" else 0.0
        yield _tone_advice(explained, cause, size, loss + share, one)
    yield from _unmatched(explained)


def _shift_of_size(settings: list[SettingCause], judged: Judged, one: JudgedPrint) -> float:
    """Return the stops of light that putting the size right will cost: E goes with (1+m)**-2 (diffuse light, one aperture)."""
    from math import log2

    for cause in settings:
        if cause.cause == "size" and not one.record.enlarger.contact:
            now = set_up(one.record.enlarger, judged.negatives[one.negative]).magnification
            return -2.0 * log2((1.0 + now * cause.amount) / (1.0 + now))
    return 0.0


def _setting_advice(cause: SettingCause) -> Advice:
    return Advice(
        cause.cause, cause.direction, cause.size, UNIT_OF_CAUSE[cause.cause], cause.place, cause.loss_points,
        amount=cause.amount, amount_unit=cause.amount_unit, measured=cause.measured, wanted=cause.wanted,
    )  # fmt: skip


_DIRECTIONS = {  # what a positive size asks for, and a negative one
    "exposure": ("more-light", "less-light"),
    "contrast": ("harder", "softer"),
    "development": ("longer-development", "shorter-development"),
}


def _tone_advice(explained: Explained, cause: Cause, size: float, loss: float, one: JudgedPrint) -> Advice:
    """Return a cause of the tones as advice."""
    if cause.place is None:
        direction, place, which = _DIRECTIONS[cause.kind][0 if size > 0 else 1], "", cause.which
    else:
        place = explained.aims.places[cause.place].name
        direction, which = _local_direction(explained, cause, size), _which_of(explained, cause, one)
    evidence, after_others = tone_evidence(explained, cause, size)
    return Advice(
        cause.kind, direction, abs(size), UNIT_OF_CAUSE[cause.kind], place, loss, which, evidence=evidence,
        after_others=after_others,
    )  # fmt: skip


def tone_evidence(explained: Explained, cause: Cause, size: float) -> tuple[tuple[Evidence, ...], bool]:
    """Return what shows a cause: the reading furthest off, or for contrast both ends; hidden criteria are not told.

    True beside none: only once the other causes are put right will a reading show it.
    """
    seen = [
        (aim, aim.off(explained.readings)) for aim in explained.aims.aims
        if not aim.hidden and (cause.place is None or cause.place in aim.at)
    ]  # fmt: skip
    off = sorted((pair for pair in seen if pair[1]), key=lambda pair: -abs(pair[1]) / pair[0].tolerance)
    if not off:
        return (), False
    if cause.kind == "contrast":
        ends = {side: next((p for p in off if (p[1] > 0) == side and len(p[0].at) == 1), None) for side in (False, True)}
        told = [pair for pair in ends.values() if pair] or off[:1]
        return tuple(_evidence(explained, *pair) for pair in told), False
    if cause.kind == "exposure":  # only a reading on the side that this light puts right is evidence for it
        off = [pair for pair in off if len(pair[0].at) == 1 and (pair[1] < 0) == (size > 0)]
    return tuple(_evidence(explained, *pair) for pair in off[:1]), not off


def _evidence(explained: Explained, aim: Aim, off: float) -> Evidence:
    read = [float(explained.readings[k]) for k in aim.at]
    return Evidence(tuple(explained.aims.places[k].name for k in aim.at), read[-1] - (read[0] if len(read) == 2 else 0.0), off)


def _local_direction(explained: Explained, cause: Cause, size: float) -> str:
    """Say whether a card that is already there should do more or less; where there is none, which one is needed."""
    assert explained.model is not None
    assert cause.place is not None
    model = explained.model
    inside = model.points.group(cause.place)
    burnt = held = 0.0
    for k, ray in enumerate(model.rays):
        if not ray.exposure.cards:
            continue
        lit = float(ray.lit[inside].mean())
        whole = k == 0 or not any(card.lets_through == "inside" or card.shape == "edge" for card in ray.exposure.cards)
        held, burnt = (max(held, 1.0 - lit), burnt) if whole else (held, max(burnt, lit))
    if burnt > 0.1 and burnt >= held:
        return "more-burn" if size > 0 else "less-burn"
    if held > 0.02:
        return "less-hold-back" if size > 0 else "more-hold-back"
    return "more-burn" if size > 0 else "more-hold-back"


def _which_of(explained: Explained, cause: Cause, one: JudgedPrint) -> str:
    """Name the exposure a card works in where a soft and a hard one are told apart."""
    apart = {other.which: other.rays for other in _exposures_of(explained)}
    return next((which for which, rays in apart.items() if which and set(cause.rays) <= set(rays)), "")


def _exposures_of(explained: Explained) -> list[Cause]:
    model = explained.model
    assert model is not None
    grades = [model.grade_of(k) for k in range(len(model.rays))]
    if max(grades) - min(grades) <= 0.75:
        return []
    middle = 0.5 * (max(grades) + min(grades))
    soft = tuple(k for k, grade in enumerate(grades) if grade < middle)
    hard = tuple(k for k in range(len(grades)) if k not in soft)
    return [Cause("exposure", soft, which="soft"), Cause("exposure", hard, which="hard")]


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
    loss = economy.full_points - economy.points
    used, expected = economy.sheets_used, economy.expected_sheets
    return [Advice("economy", "fewer-sheets", over, UNIT_OF_CAUSE["economy"], "", loss, measured=used, wanted=expected)]
