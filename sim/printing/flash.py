"""A flash: even light on the sheet without the negative, before the picture or after it, which the paper adds to the picture's.

Paper bears a certain light without showing it. A flash of nearly so much leaves white paper white, and every light that the
picture adds counts from there on: faint lights get a tone, darks hardly change. Measured in shares of what the paper bears
unseen, as a strip of flashes shows it; more than one share veils the whites.
"""

from __future__ import annotations

from dataclasses import replace

from sim.enlarger.light_given import dialled_time_s, expected_light_s
from sim.enlarger.settings import head_of
from sim.negative.negative import Negative, Place
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache
from sim.printing.place_model import PlaceModel
from sim.printing.record import FLASHES, Exposure, PrintingRecord

USUAL_DIMMED_STOPS = 5.0  # an opal sheet under the lens and a stop or two more: seconds that a hand can count (chosen)
UNSEEN_NET_DENSITY = 0.01  # what no eye tells from white paper (a step of L* there is 0.011)
SEARCHED_STOPS = (-12.0, 12.0)
MIDDLE = Place("middle", 0.5, 0.5)
LEAST_FLASH_S = 0.1


def flashes(record: PrintingRecord) -> tuple[int, ...]:
    """Return the indices of the exposures over the whole sheet without the negative; a flash of one place is none of them."""
    return tuple(k for k, exposure in enumerate(record.exposures) if exposure.through == "open" and not exposure.cards)


def through_negative(record: PrintingRecord) -> tuple[int, ...]:
    """Return the indices of the exposures that bring the picture: main ones and burns."""
    return tuple(k for k, exposure in enumerate(record.exposures) if exposure.through == "negative")


def only_flashed(record: PrintingRecord) -> bool:
    """Tell whether a strip shows flashes alone: paper, and nothing of the picture."""
    return record.strip is not None and record.strip.way in FLASHES and not through_negative(record)


def with_flash(record: PrintingRecord, time_s: float, dimmed_stops: float = USUAL_DIMMED_STOPS) -> PrintingRecord:
    """Return the record with a flash of so many seconds at its aperture and filter, in the place of any other; 0: without.

    A flash of one place stays.
    """
    others = flashes(record)
    first, kept = record.exposures[0], [one for k, one in enumerate(record.exposures) if k not in others]
    if time_s > 0.0:
        kept.append(Exposure(time_s, first.f_number, first.filter, through="open", dimmed_stops=dimmed_stops))
    return record.with_exposures(*kept)


def _dimmed_stops(record: PrintingRecord) -> float:
    """Return by how much a record's flash is dimmed, or one would be."""
    return next((record.exposures[k].dimmed_stops for k in flashes(record)), USUAL_DIMMED_STOPS)


def threshold_light_s(negative: Negative, record: PrintingRecord, stock: Stock) -> float:
    """Return the seconds of full light, dimmed as the record's flash is, that white paper bears unseen."""
    alone = with_flash(record, 1.0, _dimmed_stops(record)).exposures[-1]
    model = PlaceModel(negative, record.with_exposures(replace(alone, light_s=1.0)), stock, (MIDDLE,), LightCache(1), tones=4)
    stops = model.stops_to(model.response.base_plus_fog + UNSEEN_NET_DENSITY, *SEARCHED_STOPS, within=1e-3)
    assert stops is not None
    return float(2.0**stops)


def flash_share(negative: Negative, record: PrintingRecord, stock: Stock) -> float:
    """Return a record's flash as a share of what the paper bears unseen; 0 without one."""
    head = head_of(record.enlarger)
    given = [record.exposures[k] for k in flashes(record)]
    light_s = sum(expected_light_s(e.time_s, head) if e.light_s is None else e.light_s for e in given)
    return light_s / threshold_light_s(negative, record, stock) if given else 0.0


def flashed_by(negative: Negative, record: PrintingRecord, stock: Stock, share: float) -> PrintingRecord:
    """Return the record with a flash of such a share, dimmed as its own was; below a tenth of a second none."""
    light_s = max(share, 0.0) * threshold_light_s(negative, record, stock)
    time_s = dialled_time_s(light_s, head_of(record.enlarger)) if light_s > 0.0 else 0.0
    return with_flash(record, round(time_s, 2) if time_s >= LEAST_FLASH_S else 0.0, _dimmed_stops(record))
