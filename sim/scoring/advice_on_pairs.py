"""Where no one filter holds a print: the light divided into a soft and a hard exposure, a card's work in one of them.

Any single filter equals some pair over the whole sheet. It is under a card that they differ: what the card adds or takes
through the filter of the sheet keeps that filter's contrast. Whether a pair serves better is solved for, never supposed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from sim.enlarger.filters import FilterSetting
from sim.printing.flash import flashes
from sim.printing.record import PrintingRecord
from sim.quantities import FloatArray
from sim.scoring.advice_facts import UNIT_OF_CAUSE, Advice, Evidence
from sim.scoring.advice_from_tones import Found, ToneProblem
from sim.scoring.advice_on_tones import Telling
from sim.scoring.burn_stops import is_burn, main_exposures
from sim.scoring.put_right import printed_again
from sim.scoring.trial import timed

SOFT, HARD = FilterSetting("00"), FilterSetting("5")
SOFT_TIMES, HARD_TIMES = 0.5, 1.0  # of one exposure's seconds, to begin with: the hardest filters take twice the light
LEAST_GAIN = 0.05  # of the tones' points that one filter leaves lying and a pair wins: less is not worth a second exposure


def pair_advice(told: Telling) -> Iterator[Advice]:
    """Yield that the light wants dividing, where one filter leaves tones lying that a pair reaches."""
    explained, problem, exercise = told.explained, told.attempt.problem, told.attempt.exercise
    if explained is None or not {"exposures", "filter", "cards"} <= set(exercise.unlocked):
        return
    least = LEAST_GAIN * problem.aims.full_points
    sizes = np.array(explained.sizes)
    through_one, record = problem.points(explained.causes, sizes), divided(told.attempt.one.record)
    if record is None or problem.aims.full_points - through_one < least:
        return
    judged = told.attempt.judged
    best = _best_pair(ToneProblem(exercise, judged, printed_again(exercise, judged, told.attempt.one, record)))
    left = _left(problem, problem.readings(explained.causes, sizes))
    if best is None or left is None or best.points - through_one < least:
        return
    card = best.causes[-1]
    assert card.place is not None
    half = next(cause.which for cause in best.causes if set(card.rays) <= set(cause.rays))
    yield Advice(
        "pair", "divide", abs(left.off), UNIT_OF_CAUSE["pair"], problem.aims.places[card.place].name, best.points - through_one,
        half, evidence=(left,),
    )  # fmt: skip


def _left(problem: ToneProblem, readings: FloatArray) -> Evidence | None:
    """Return the reading that lies furthest off, in tolerances; hidden criteria are not told."""
    seen = [
        (abs(aim.off(readings)) / aim.tolerance, aim.at[0], aim.off(readings))
        for aim in problem.aims.aims
        if len(aim.at) == 1 and not aim.hidden
    ]
    if not seen:
        return None
    _, at, off = max(seen)
    return Evidence((problem.aims.places[at].name,), float(readings[at]), off, then=True)


def divided(record: PrintingRecord) -> PrintingRecord | None:
    """Return a print's one exposure of the whole sheet divided into a soft and a hard one, its cards in the soft one.

    None where there are several, or none through a graded filter.
    """
    mains = main_exposures(record)
    if len(mains) != 1 or record.exposures[mains[0]].filter.graded is None:
        return None
    exposures = []
    for k, exposure in enumerate(record.exposures):
        if k in mains:
            soft, hard = (timed(exposure, exposure.time_s * times) for times in (SOFT_TIMES, HARD_TIMES))
            exposures += [replace(soft, filter=SOFT), replace(hard, filter=HARD, cards=())]
        elif is_burn(exposure, k) and k not in flashes(record):
            exposures.append(replace(timed(exposure, exposure.time_s * SOFT_TIMES), filter=SOFT))
        else:
            exposures.append(exposure)
    return record.with_exposures(*exposures)


def _best_pair(problem: ToneProblem) -> Found | None:
    """Return the light of both halves, with a card in one of them, that earns most."""
    if not problem.aims.aims:
        return None
    lights = tuple(cause for cause in problem.possible if cause.kind == "exposure")
    cards = [cause for cause in problem.possible if cause.kind == "local"]
    found = [problem.fit((*lights, card)) for card in cards] if len(lights) == 2 else []
    return max(found, key=lambda one: one.points, default=None)
