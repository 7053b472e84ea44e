"""The easel meter: light at a place in lux and in stops, and the time that keeps a chosen tone when something changes.

Lux alone misleads when the filter changes, because eye and paper see colours differently; so the meter also weighs the
light as the paper in the box would.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from sim.enlarger.equipment import find_head
from sim.enlarger.timer import expected_light_s
from sim.negative.negative import Negative, Place
from sim.paper.response import Response
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache, reciprocity_of
from sim.printing.place_light import place_light
from sim.printing.record import Exposure, PrintingRecord
from sim.quantities import factor_to_stops
from sim.refusals import Refused


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
    exposure = record.exposures[0]
    light = place_light(negative, record, (place,), exposure.f_number, lights or LightCache(), exposure.time_s)
    lux = float(light.illuminance_lux(exposure.filter)[0])
    stops = factor_to_stops(lux / reference.illuminance_lux) if reference and lux > 0 else None
    return MeterReading(place.name, lux, stops)


def place_density(
    negative: Negative, record: PrintingRecord, place: Place, stock: Stock, exposure: Exposure, light_s: float,
    lights: LightCache,
) -> float:  # fmt: skip
    """Return the density a place would print to from one exposure of ``light_s`` seconds of full light."""
    response = Response(stock, record.development)
    light = place_light(negative, record, (place,), exposure.f_number, lights, exposure.time_s)
    law = reciprocity_of(record, stock)
    even = record.safelight.exposures(stock.emulsion) if record.safelight else (0.0, 0.0)
    rates = light.rates(stock.emulsion, exposure.filter)
    blue, green = (law.at_places([rate], [light_s]) + fog for rate, fog in zip(rates, even, strict=True))
    density = response.density(blue, green)
    return float(-np.log10(np.mean(10.0**-density)))


def time_for_density(
    negative: Negative, record: PrintingRecord, place: Place, stock: Stock, exposure: Exposure, density: float,
    lights: LightCache | None = None,
) -> float:  # fmt: skip
    """Return the dialled time (s) at which a place prints to a density with an exposure's aperture and filter.

    Raises ValueError when the density lies outside the paper, or the time outside 0.05 to 5,000 s.
    """
    from scipy.optimize import brentq

    cache = lights or LightCache()
    response = Response(stock, record.development)
    if not response.base_plus_fog < density < response.black:
        raise Refused(
            f"density must be between {response.base_plus_fog:.2f} and {response.black:.2f} on this paper, "
            f"got {density:.2f}"
        )

    def miss(log_time: float) -> float:
        return place_density(negative, record, place, stock, exposure, 10.0**log_time, cache) - density

    low, high = np.log10(0.05), np.log10(5000.0)
    if miss(low) > 0 or miss(high) < 0:
        raise Refused(f"no time between 0.05 and 5000 s prints {place.name!r} to density {density:.2f}")
    dead_s = expected_light_s(1.0, find_head(record.enlarger.head))
    return float(10.0 ** brentq(miss, low, high, xtol=1e-5) + (1.0 - dead_s))


def time_that_keeps_tone(
    negative: Negative, before: PrintingRecord, after: PrintingRecord, place: Place, stock: Stock,
    lights: LightCache | None = None,
) -> tuple[float, float]:  # fmt: skip
    """Return the new time (s) and the factor that keep a place's tone from ``before`` to ``after``.

    The two records may differ in filter, aperture, height, head, anything; the first exposure of each counts.
    """
    cache = lights or LightCache()
    first = before.exposures[0]
    light_s = expected_light_s(first.time_s, find_head(before.enlarger.head))
    tone = place_density(negative, before, place, stock, first, light_s, cache)
    new_time_s = time_for_density(negative, after, place, stock, after.exposures[0], tone, cache)
    return new_time_s, new_time_s / first.time_s


def with_time(record: PrintingRecord, time_s: float) -> PrintingRecord:
    """Return a record whose first exposure has another time."""
    first, *rest = record.exposures
    return record.with_exposures(replace(first, time_s=time_s, light_s=None), *rest)
