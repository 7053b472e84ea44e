"""How far a tone on a real sheet may lie from the print that is shown.

Every number of stock, film, head and lens has a standard uncertainty beside it. Each is moved by its own, one after the
other, the places are read anew, and the differences are added as independent errors are (root of the sum of squares;
JCGM 100, Guide to the expression of uncertainty in measurement, 5.1.2). A test strip takes out what all tones share: the
level of the light and the paper's speed, as far as there is a tone to be read: bare paper and full black are the same over
stops of light. Marks know nothing of this: they compare two prints of one model.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from sim.enlarger.equipment import find_head
from sim.enlarger.settings import Bench, set_up
from sim.negative.develop import develop, light_in_film
from sim.negative.film import Film, find_film
from sim.negative.negative import Negative, Place
from sim.negative.sleeve_contents import Sleeve
from sim.paper.response import Response
from sim.paper.sensitometry import NET_IDMIN, SHARE_IDMAX
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache
from sim.printing.place_model import PlaceModel
from sim.printing.record import PrintingRecord
from sim.quantities import FloatArray
from sim.refusals import Refused

Moved = tuple[str, PlaceModel]

CURVE = "paper curve"
CURVE_TURNS_WITHIN = 0.6  # density: a curve that is right at one tone is off by its whole error so far away (assumption)
READING_ERROR = 0.02  # what is right on a strip is right to this much: a densitometer's spread (common practice)
MOST_STOPS = 3.0  # a strip finds a time within so much of the expected one
MOST_NAMED = 3


@dataclass(frozen=True)
class RealTone:
    """A place's density as shown; how far off a real sheet may be, untested and after a strip; and what that comes from.

    Both are standard uncertainties in density: two of three real sheets lie within. ``mostly`` names the numbers that
    weigh most after a strip, the heaviest first.
    """

    place: str
    density: float
    untested: float
    after_a_strip: float
    mostly: tuple[str, ...]


def real_tones(
    sleeve: Sleeve, negative: Negative, record: PrintingRecord, stock: Stock, places: tuple[Place, ...], strip_at: Place
) -> tuple[RealTone, ...]:
    """Return the places of a print with what their densities are worth on a real paper.

    ``strip_at`` is the place, one of ``places``, that a test strip would put right. Raises Refused for another one. Where that
    one is bare paper or full black on the print, the lightest place with a tone is put right instead; where none has one a
    strip tells nothing.
    """
    if strip_at not in places:
        raise Refused(f"the strip's place must be one of those that are read, got {strip_at.name!r}")
    density = PlaceModel(negative, record, stock, places, LightCache()).readings()
    anchor = _read_on_a_strip(density, places.index(strip_at), Response(stock, record.development))
    names, shape = [CURVE], np.full(len(places), stock.error.along_curve if stock.error else 0.0)
    apart = np.ones(len(places)) if anchor is None else np.minimum(np.abs(density - density[anchor]) / CURVE_TURNS_WITHIN, 1.0)
    off, left = [shape], [shape * apart]
    for name, model in _moved(sleeve, negative, record, stock, places):
        names.append(name)
        off.append(model.readings() - density)
        left.append(off[-1] if anchor is None else _after_a_strip(model, anchor, float(density[anchor])) - density)
    untested = np.sqrt(np.square(off).sum(axis=0))
    after = np.sqrt(np.square(left).sum(axis=0) + READING_ERROR**2)
    return tuple(
        RealTone(place.name, float(density[k]), float(untested[k]), float(after[k]), _heaviest(names, [row[k] for row in left]))
        for k, place in enumerate(places)
    )


def _read_on_a_strip(density: FloatArray, wished: int, paper: Response) -> int | None:
    """Return the place that a strip is read at: the wished one if it has a tone, else the lightest that has."""
    white = paper.base_plus_fog
    most = SHARE_IDMAX * (paper.black - white)
    tones = [k for k, each in enumerate(density) if NET_IDMIN <= each - white <= most]
    return wished if wished in tones else min(tones, key=lambda k: float(density[k]), default=None)


def _after_a_strip(model: PlaceModel, anchor: int, wanted: float) -> FloatArray:
    """Return the readings once all times are so many stops longer or shorter that the strip's place is as wanted."""
    strip = model.at_place(anchor)
    stops = strip.stops_to(wanted, -MOST_STOPS, MOST_STOPS, within=1e-3)
    if stops is None:  # paper white or full black whatever the time: no strip can put that right
        stops = -MOST_STOPS if float(strip.with_light(-MOST_STOPS)[0]) > wanted else MOST_STOPS
    return model.with_light(stops)


def _heaviest(names: list[str], errors: list[float]) -> tuple[str, ...]:
    order = np.argsort(-np.abs(errors))
    return tuple(names[k] for k in order[:MOST_NAMED] if abs(errors[k]) > 0.25 * READING_ERROR)


def _moved(
    sleeve: Sleeve, negative: Negative, record: PrintingRecord, stock: Stock, places: tuple[Place, ...]
) -> Iterator[Moved]:
    """Yield every uncertain number with the print when it is moved by its uncertainty."""
    bench, same_light = set_up(record.enlarger, negative), LightCache()

    def printed(negative: Negative, stock: Stock, bench: Bench, lights: LightCache | None = None) -> PlaceModel:
        return PlaceModel(negative, record, stock, places, lights or LightCache(), bench=bench)

    for key, other in each_moved(stock, stock.uncertainty):
        yield f"paper {key}", printed(negative, other, bench, same_light)
    rated, share = find_head(bench.settings.head), bench.settings.lamp_voltage_share  # its numbers are of the rated voltage
    for key, head in each_moved(rated, bench.head.uncertainty):
        yield f"head {key}", printed(negative, stock, replace(bench, head=head.at_voltage(share)))
    for key, lens in each_moved(bench.lens, bench.lens.uncertainty):
        yield f"lens {key}", printed(negative, stock, replace(bench, lens=lens))
    if sleeve.scan is None:
        for key, another in _films_moved(sleeve, find_film(sleeve.film)):
            yield f"film {key}", printed(another, stock, bench)


def _films_moved(sleeve: Sleeve, film: Film) -> Iterator[tuple[str, Negative]]:
    """Yield the negative on its film with each uncertain number moved; all that spread light alike share the light."""
    light = light_in_film(sleeve, film)
    for key, another in each_moved(film, film.uncertainty):
        yield key, develop(sleeve, another, light if another.spread_lp_mm == film.spread_lp_mm else None)


def each_moved(thing: Any, uncertainty: Mapping[str, float]) -> Iterator[tuple[str, Any]]:
    """Yield the thing anew with each uncertain number of it moved up by its uncertainty, and the number's key.

    A dotted key names a part of the thing; a number that has been left out (None) is left alone.
    """
    for key, sigma in uncertainty.items():
        part, _, name = key.rpartition(".")
        owner = getattr(thing, part) if part and hasattr(thing, part) else thing
        own = name if hasattr(owner, name) else f"{part}_{name}"
        value = getattr(owner, own, None)
        if sigma == 0.0 or not isinstance(value, float):
            continue
        moved = replace(owner, **{own: value + sigma})
        yield key, moved if owner is thing else replace(thing, **{part: moved})
