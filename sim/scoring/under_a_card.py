"""What else lies under a card: a tool over one place takes light from its neighbours too, each by its share.

Where a soft and a hard exposure are told apart, that is the whole point of a card in one of them: it moves the lights under
it and leaves the darks, or the other way. Whoever looks for such a card must know all that it moves.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sim.negative.negative import Negative, Place
from sim.printing.exposure import LightCache
from sim.printing.place_model import PlaceModel
from sim.quantities import FloatArray
from sim.scoring.burn_stops import main_exposures
from sim.scoring.start import carded

LEAST_SHARE, MOST_SHARE = 0.02, 1.5  # of a card's work at its place: less is not seen, more is the penumbra's own place
DARKEST = 2.0**-6  # of the light: no card shuts out more (its light is never asked for below six stops)
TONES_PER_PLACE = 8


def shares_of_cards(model: PlaceModel, index: int, rays: Sequence[int]) -> tuple[float, ...]:
    """Return how a change of the cards over one place moves the light of every place, as a share of the light there.

    ``rays`` are the exposures that the cards work in. Light given at a place is what the exposures give it bare, plus what
    cards add or less what they take; cards that stay longer change that last part alike wherever they lie.
    """
    mains = [k for k in rays if k in main_exposures(model.record)]
    bare = sum(model.rays[k].seconds for k in mains)
    lit = np.zeros(len(model.points.starts))
    for k in rays:
        lit += model.rays[k].seconds * model.points.averages(model.rays[k].lit)
    work = lit - bare
    if abs(work[index]) < LEAST_SHARE * bare or bare <= 0.0:
        return ()
    return _kept(work / work[index] * lit[index] / np.maximum(lit, DARKEST * bare))


def shares_of_a_usual_card(
    negative: Negative, model: PlaceModel, place: Place, places: tuple[Place, ...], lights: LightCache
) -> tuple[float, ...]:
    """Return by what share of its own light each place would change if the place's usual tool were held over it."""
    bare = model.record.with_exposures(model.record.exposures[0].bare())
    held = carded(negative, bare, place, -1.0)
    shadow = PlaceModel(negative, held, model.stock, places, lights, tones=TONES_PER_PLACE)
    taken = 1.0 - shadow.points.averages(shadow.rays[0].lit)
    own = taken[places.index(place)]
    return () if own < LEAST_SHARE else _kept(taken / own)


def stops_there(share: float, stops: float) -> float:
    """Return the stops by which light changes where so large a share of a card's work arrives, for its stops at its place."""
    return float(np.log2(max(1.0 + share * (2.0**stops - 1.0), DARKEST)))


def _kept(shares: FloatArray) -> tuple[float, ...]:
    clipped = np.clip(shares, 0.0, MOST_SHARE)
    return tuple(float(share) if share >= LEAST_SHARE else 0.0 for share in clipped)
