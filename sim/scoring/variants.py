"""Variants for learners: a negative of one's own from a keyed hash, and whether the exercise can be done on it.

The key comes from the course's secret, the exercise and the learner alone, so that a marker finds it again without the
learner's file. ``tone_share`` looks at the named places only, on a coarse sheet (1.5 px/mm, which moves
a spot by at most a third of a millimetre): under 50 ms a negative.
"""

from __future__ import annotations

import hashlib
import hmac

import numpy as np

from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.negative.negative import Negative, NoSuchPlace
from sim.paper.development import Development
from sim.paper.response import Response
from sim.printing.exposure import LightCache
from sim.printing.place_model import PlaceModel
from sim.quantities import FloatArray
from sim.refusals import Refused
from sim.scoring.exercise import Exercise
from sim.scoring.judged import judge
from sim.scoring.points import share_for_miss
from sim.scoring.readings import on_sheet
from sim.scoring.start import card_places, start_record
from sim.scoring.tone_aims import ToneAims, tone_aims
from sim.shelf import VARIANT_MARK

KEY_CHARACTERS = 16
COARSE_PX_PER_MM = 1.5
TONES_PER_PLACE = 8
COARSE_STOPS = np.arange(-5.0, 5.01, 0.25)
FINE_STOPS = np.arange(-0.25, 0.251, 0.02)
CARD_STOPS = np.arange(-1.5, 2.01, 0.125)
TRIED_FINELY = 3


def learner_variant_key(secret: bytes, exercise_name: str, learner: str) -> str:
    """Return a learner's key for an exercise: the first 16 hex digits of HMAC-SHA-256 over exercise and learner.

    The same on every machine. Raises Refused for an empty secret.
    """
    if not secret:
        raise Refused("secret must not be empty, got none")
    message = f"{exercise_name}\n{learner}".encode()
    return hmac.new(secret, message, hashlib.sha256).hexdigest()[:KEY_CHARACTERS]


def variant_negative(name: str, key: str) -> str:
    """Return the name of a sleeve's variant: ``sleeve~key``."""
    return f"{name}{VARIANT_MARK}{key}"


def is_of_a_course(name: str) -> bool:
    """Tell whether a negative is a variant made for one learner of a course; a lesson's second negative is called by a word."""
    key = name.partition(VARIANT_MARK)[2]
    return len(key) == KEY_CHARACTERS and set(key) <= set("0123456789abcdef")


def tone_share(exercise: Exercise, negative: Negative) -> float | None:
    """Return the best share of a negative's tone points by any time and unlocked filter; None for a place off the frame."""
    stock = exercise.stock
    record = start_record(exercise, negative, stock)
    lights = LightCache()
    try:
        judged = judge(exercise, (negative,), (record,), 0.0, lights=lights, only_places=True)
        aims = tone_aims(exercise, judged, judged.judged_prints[0])
    except NoSuchPlace:
        return None
    if not aims.aims:
        return 1.0
    if not all(on_sheet(negative, record, place) for place in aims.places):
        return None
    model = PlaceModel(negative, record, stock, aims.places, lights, COARSE_PX_PER_MM, TONES_PER_PLACE)
    response = Response(stock, Development(stock.development.completion_time_s))
    carded = _carded(exercise, negative, aims)
    filters = [FilterSetting(name) for name in GRADED_NAMES] if "filter" in exercise.unlocked else [record.exposures[0].filter]
    if not stock.is_variable_contrast:
        filters = [record.exposures[0].filter]
    times = COARSE_STOPS if {"time_s", "f_number", "height_mm"} & set(exercise.unlocked) else np.zeros(1)
    tried = []
    for filtration in filters:
        share, stops = _best(model, response, aims, carded, filtration, times)
        tried.append((share, stops, filtration))
    tried.sort(key=lambda one: -one[0])
    fine = [_best(model, response, aims, carded, f, stops + FINE_STOPS)[0] for _, stops, f in tried[:TRIED_FINELY]]
    return max([tried[0][0], *(fine if len(times) > 1 else [])])


def _carded(exercise: Exercise, negative: Negative, aims: ToneAims) -> tuple[int, ...]:
    if "cards" not in exercise.unlocked:
        return ()
    meant = card_places(exercise, negative)
    return tuple(k for k, place in enumerate(aims.places) if place in meant)


def _best(
    model: PlaceModel, response: Response, aims: ToneAims, carded: tuple[int, ...], filtration: FilterSetting, stops: FloatArray
) -> tuple[float, float]:
    """Return the best share of points over the stops tried, and where it is; nearer counts as long as nothing earns points."""
    blue, green = model.behind(0, filtration)
    seconds = (model.rays[0].seconds * 2.0**stops)[:, None]
    rates = model.short_of_blue(0, (blue[None, :], green[None, :]), seconds, filtration)
    readings = model.points.means(model.densities_of([rates], [seconds], response))
    if carded:
        spread = stops[:, None] + CARD_STOPS[None, :]
        readings = _with_cards(model, response, aims, carded, filtration, spread, readings)
    found = []
    for row, at in zip(readings, stops, strict=True):
        misses = [abs(aim.off(row)) / aim.tolerance for aim in aims.aims]
        found.append((aims.points(row) / aims.full_points - 1e-4 * float(np.sum(misses)), float(at), row))
    best = max(found, key=lambda one: one[0])
    return aims.points(best[2]) / aims.full_points, best[1]


def _with_cards(
    model: PlaceModel, response: Response, aims: ToneAims, carded: tuple[int, ...], filtration: FilterSetting,
    spread: FloatArray, readings: FloatArray,
) -> FloatArray:  # fmt: skip
    """Return the readings with every carded place at the card stops that suit it best."""
    out, (blue, green) = readings.copy(), model.behind(0, filtration)
    for index in carded:
        inside = model.points.group(index)
        seconds = (model.rays[0].seconds * 2.0**spread)[..., None]
        acting = model.short_of_blue(0, (blue[inside], green[inside]), seconds, filtration)
        density = model.densities_of([acting], [seconds], response)
        reached = -np.log10(np.average(10.0**-density, axis=-1, weights=model.points.weights[inside]))
        wanted = [aim for aim in aims.aims if aim.at == (index,)]
        if wanted:
            shares = np.array([[share_for_miss(d - wanted[0].wanted, wanted[0].tolerance) for d in row] for row in reached])
            nearest = np.abs(reached - wanted[0].wanted) - shares
            out[:, index] = reached[np.arange(len(reached)), np.argmin(nearest, axis=1)]
    return out
