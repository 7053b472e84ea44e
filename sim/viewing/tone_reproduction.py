"""The tone reproduction diagram: scene, negative, paper exposure and print on four axes, place by place.

After L. A. Jones's four-quadrant construction: a scene's log luminance becomes a negative density, that becomes a log
exposure on the paper, that becomes a print density, which is set against the scene again.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.negative.develop import scene_luminance_at
from sim.negative.film import find_film
from sim.negative.negative import Negative
from sim.negative.sleeve_contents import Sleeve
from sim.paper.response import Response
from sim.paper.sensitometry import CharacteristicCurve, characteristic_curve
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache, expose
from sim.printing.make_print import Print
from sim.printing.record import PrintingRecord
from sim.quantities import FloatArray
from sim.viewing.densitometer import negative_density, read_place


@dataclass(frozen=True)
class TonePoint:
    """One place through the whole chain: log10 cd/m2, negative density, log10 lux s equivalent, print density."""

    place: str
    log_luminance: float
    negative_density: float
    log_exposure: float
    print_density: float


@dataclass(frozen=True, eq=False)
class ToneReproduction:
    """Points of a print, and the film's and paper's curves they lie near.

    The points are readings: flare, fall-off and cards move them off the curves, which is the diagram's use.
    """

    points: tuple[TonePoint, ...]
    film_log_luminance: FloatArray
    film_density: FloatArray
    paper: CharacteristicCurve


def on_the_papers_curve(
    negative: Negative, record: PrintingRecord, stock: Stock, sheet: Print, lights: LightCache | None = None
) -> tuple[CharacteristicCurve, tuple[float, ...]]:
    """Return the paper's curve in a print's light and development, and the log exposure that every place had on it."""
    blue, green = expose(negative, record, stock, None, lights).planes()
    mean_ratio = float(green.mean() / max(float(blue.mean()), 1e-12))
    spots = (sheet.spot(*sheet.place_mm(place), place.spot_mm) for place in negative.places)
    logs = tuple(float(np.log10(max(spot.mean(blue), 1e-9))) for spot in spots)
    return characteristic_curve(Response(stock, record.development), 1.0, mean_ratio), logs


def tone_reproduction(
    sleeve: Sleeve, negative: Negative, record: PrintingRecord, stock: Stock, sheet: Print,
    lights: LightCache | None = None,
) -> ToneReproduction:  # fmt: skip
    """Return the diagram of a print made from a record."""
    paper, exposures = on_the_papers_curve(negative, record, stock, sheet, lights)
    points = []
    for place, log_exposure in zip(negative.places, exposures, strict=True):
        spot_mm = place.spot_mm * negative.frame_mm[0] / sheet.frame_mm[2]
        points.append(
            TonePoint(
                place.name,
                float(np.log10(scene_luminance_at(sleeve, place, spot_mm))),
                negative_density(negative, place, spot_mm),
                log_exposure,
                read_place(sheet, place),
            )
        )
    logs = np.linspace(-2.5, 4.5, 281)
    film = find_film(sleeve.film)
    light = logs + np.log10(sleeve.camera.exposure_per_luminance(film.iso_speed))
    density = film.net_density(light, sleeve.development) + negative.base_density
    return ToneReproduction(tuple(points), logs, density, paper)
