"""The easel meter: light at a place in lux and in stops, and the time that keeps a chosen tone when something changes.

Lux alone misleads when the filter changes, because eye and paper see colours differently; so the meter also weighs the
light as the paper in the box would.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from sim.enlarger.light_given import dialled_time_s
from sim.enlarger.settings import head_of
from sim.negative.negative import Negative, Place
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache
from sim.printing.place_model import PlaceModel
from sim.printing.place_print import PlacePrint, illuminance_lux
from sim.printing.record import Exposure, PrintingRecord
from sim.quantities import factor_to_stops
from sim.refusals import Refused

LIGHT_LIMITS_S = (0.05, 5000.0)


@dataclass(frozen=True)
class MeterReading:
    """Light at a place: ``illuminance_lux`` as the eye weighs it, ``stops`` against another reading if one was given."""

    place: str
    illuminance_lux: float
    stops_from_reference: float | None = None


def read_meter(
    negative: Negative, record: PrintingRecord, place: Place, lights: LightCache | None = None,
    reference: MeterReading | None = None,
) -> MeterReading:  # fmt: skip
    """Return the easel meter's reading at a place for the record's first exposure (no card in the light)."""
    lux = illuminance_lux(negative, record, place, lights or LightCache(), record.exposures[0].filter)
    stops = factor_to_stops(lux / reference.illuminance_lux) if reference and lux > 0 else None
    return MeterReading(place.name, lux, stops)


def paper_light(
    negative: Negative, record: PrintingRecord, place: Place, stock: Stock, lights: LightCache
) -> float:
    """Return the light per second at a place for the record's first exposure, as the paper weighs it (no card in it)."""
    bare = _bare(record, record.exposures[0])
    return float(PlaceModel(negative, bare, stock, (place,), lights).light(0)[0])


def _bare(record: PrintingRecord, exposure: Exposure) -> PrintingRecord:
    """Return the record with this exposure alone, no card in the light."""
    return record.with_exposures(replace(exposure, cards=()))


def place_density(
    negative: Negative, record: PrintingRecord, place: Place, stock: Stock, exposure: Exposure, lights: LightCache
) -> float:
    """Return the density a place prints to from one exposure alone, cards left out."""
    return float(PlacePrint(negative, _bare(record, exposure), stock, lights).readings(place)[0])


def time_for_density(
    negative: Negative, record: PrintingRecord, place: Place, stock: Stock, exposure: Exposure, density: float,
    lights: LightCache | None = None,
) -> float:  # fmt: skip
    """Return the dialled time (s) at which a place prints to a density with an exposure's aperture and filter.

    Raises Refused when the density lies outside the paper, or the time outside 0.05 to 5,000 s.
    """
    model = PlaceModel(negative, _bare(record, exposure), stock, (place,), lights or LightCache())
    low_d, high_d = model.response.base_plus_fog, model.response.black
    if not low_d < density < high_d:
        raise Refused(f"density must be between {low_d:.2f} and {high_d:.2f} on this paper, got {density:.2f}")
    seconds = model.rays[0].seconds
    low, high = (factor_to_stops(end / seconds) for end in LIGHT_LIMITS_S)
    stops = model.stops_to(density, low, high, within=3e-5)
    if stops is None:
        raise Refused(f"no time between 0.05 and 5000 s prints {place.name!r} to density {density:.2f}")
    return dialled_time_s(seconds * 2.0**stops, head_of(record.enlarger))


def time_that_keeps_tone(
    negative: Negative, before: PrintingRecord, after: PrintingRecord, place: Place, stock: Stock,
    lights: LightCache | None = None,
) -> tuple[float, float]:  # fmt: skip
    """Return the new time (s) and the factor that keep a place's tone from ``before`` to ``after``.

    The two records may differ in filter, aperture, height, head, anything; the first exposure of each counts.
    """
    cache = lights or LightCache()
    first = replace(before.exposures[0], light_s=None)
    tone = place_density(negative, before, place, stock, first, cache)
    new_time_s = time_for_density(negative, after, place, stock, after.exposures[0], tone, cache)
    return new_time_s, new_time_s / first.time_s
