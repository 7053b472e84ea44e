"""The solver's memory of a record at a few places: what they would read with more light, another filter, a card.

Whoever looks for a time, a filter or a cause asks this hundreds of times. It is filled by the same pieces of the sheet
that ``place_print`` prints, exposure by exposure, and adds them up by the same law; then the paper's exact sum over grain
classes stands for its tables, and filters between the set's steps are interpolated. Within 0.0015 in density of
make_print, which a test holds over fresh draws.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import SheetGrid
from sim.enlarger.filters import GRADE_OF_FILTER, GRADED_NAMES, FilterSetting
from sim.enlarger.settings import Bench
from sim.negative.negative import Negative, Place
from sim.paper.response import Response, response_table
from sim.paper.stock import Stock
from sim.printing.exposure import (
    ExposurePart,
    LightCache,
    exposure_parts,
    laid_out,
    light_per_second,
    reciprocity_of,
    safelight_on,
)
from sim.printing.place_print import Points, spot_points
from sim.printing.record import Exposure, PrintingRecord

FloatArray = NDArray[np.float64]
Rates = tuple[FloatArray, FloatArray]

SOFTEST, HARDEST = GRADE_OF_FILTER[GRADED_NAMES[0]], GRADE_OF_FILTER[GRADED_NAMES[-1]]


@dataclass(frozen=True, eq=False)
class Ray:
    """One exposure at the points: seconds of full light, share of the time lit, and its parts, piece by piece."""

    exposure: Exposure
    seconds: float
    lit: FloatArray
    parts: tuple[ExposurePart, ...]


@dataclass(frozen=True, eq=False)
class Change:
    """What is tried against the record: stops per exposure, grades of contrast, stops per exposure and point, development."""

    stops: FloatArray
    grades: float = 0.0
    local: FloatArray | None = None
    response: Response | None = None


class PlaceModel:
    """A record at some pixels of its sheet: its densities, and its densities if something were changed."""

    def __init__(
        self, negative: Negative, record: PrintingRecord, stock: Stock, where: Points | tuple[Place, ...],
        lights: LightCache, px_per_mm: float | None = None, thinned: int = 0, bench: Bench | None = None,
    ):  # fmt: skip
        """``where`` are pixels, or places read by the densitometer's spot; ``thinned`` is the most pixels of each.

        ``bench`` stands for another head or lens than the record names, such as one whose numbers lie a little off.
        """
        named, grid = laid_out(negative, record, px_per_mm)
        bench = bench or named
        points = where if isinstance(where, Points) else spot_points(negative, record, grid, where)
        self.record, self.stock = record, stock
        self.points = points.thinned(thinned) if thinned else points
        self.response = Response(stock, record.development)
        self.law = reciprocity_of(record, stock)
        self.even = safelight_on(record, stock)
        self._pieces = [grid.piece(rows, cols) for rows, cols in self.points.boxes()]
        by_piece = [exposure_parts(negative, record, stock, bench, piece, lights) for piece in self._pieces]
        self.rays = tuple(self._ray(e, parts) for e, *parts in zip(record.exposures, *by_piece, strict=True))

    def _ray(self, exposure: Exposure, parts: Sequence[ExposurePart]) -> Ray:
        shapes = [
            np.ones((piece.rows, piece.cols)) if part.lit is None else part.lit.whole for piece, part in self._with(parts)
        ]
        return Ray(exposure, parts[0].seconds, self._at_points(shapes), tuple(parts))

    def _with(self, parts: Sequence[ExposurePart]) -> list[tuple[SheetGrid, ExposurePart]]:
        return list(zip(self._pieces, parts, strict=True))

    def _at_points(self, pictures: Sequence[NDArray[np.floating]]) -> FloatArray:
        """Return what pictures of the pieces show at the points."""
        out = np.empty(len(self.points.rows))
        for picture, piece, span in zip(pictures, self._pieces, self.points.spans(), strict=True):
            top, left = piece.first_px
            out[span] = picture[self.points.rows[span] - top, self.points.cols[span] - left]
        return out

    def no_change(self) -> Change:
        """Return the change that leaves all as it is."""
        return Change(np.zeros(len(self.rays)))

    def densities(self, change: Change | None = None) -> FloatArray:
        """Return the density of every pixel."""
        change = change or self.no_change()
        local = np.zeros((len(self.rays), 1)) if change.local is None else change.local
        whole_s = [ray.seconds * 2.0**stops for ray, stops in zip(self.rays, change.stops, strict=True)]
        rates = [self.short_of_blue(k, self._rate(k, change.grades), whole_s[k]) for k in range(len(self.rays))]
        seconds = [light_s * ray.lit * 2.0**at for ray, light_s, at in zip(self.rays, whole_s, local, strict=True)]
        return self.densities_of(rates, seconds, change.response)

    def short_of_blue(self, index: int, rates: Rates, light_s: FloatArray | float) -> Rates:
        """Return an exposure's rates as they act over so many seconds of full light: a lamp's blue comes late.

        Rates may be arrays that ``light_s`` broadcasts against; what dims the light counts too.
        """
        given = self.rays[index].parts[0].paper_seconds(light_s)
        blue, green = (rate * (s / np.maximum(light_s, 1e-9)) ** self.law.p for rate, s in zip(rates, given, strict=True))
        return blue, green

    def densities_of(
        self, rates: Sequence[Rates], seconds: Sequence[FloatArray | float], response: Response | None = None
    ) -> FloatArray:
        """Return the density that exposures of blue and green per second and seconds of light (or arrays of them) add to.

        Rates are those of ``short_of_blue``, seconds as the eye counts them.
        """
        blue, green = (self.law.at_places([rate[part] for rate in rates], seconds) for part in (0, 1))
        return (response or self.response).density(blue + self.even[0], green + self.even[1])

    def readings(self, change: Change | None = None) -> FloatArray:
        """Return what a densitometer reads at every place."""
        return self.points.means(self.densities(change))

    def light(self, index: int) -> FloatArray:
        """Return light per second of an exposure at every place as the paper weighs it, cards left out."""
        blue, green = self._own[index]
        return self.points.averages(blue + response_table(self.stock.emulsion).green_weight * green)

    def grade_of(self, index: int) -> float:
        """Return the filter of an exposure in grades; a dialled filtration by its ratio of green to blue."""
        graded = self.rays[index].exposure.filter.graded
        return GRADE_OF_FILTER[graded] if graded is not None else self._graded[index][0]

    def room_for_grades(self) -> tuple[float, float]:
        """Return how far contrast could be turned down and up before a filter is at its end, in grades."""
        grades = [self.grade_of(k) for k in range(len(self.rays))]
        return SOFTEST - min(grades), HARDEST - max(grades)

    def behind(self, index: int, filtration: FilterSetting) -> Rates:
        """Return blue and green light per second at every pixel of an exposure, were it made behind another filter."""
        found = []
        for piece, part in self._with(self.rays[index].parts):
            blue, green = light_per_second(part.behind(filtration, self.stock), self.stock, piece)
            found.append([np.broadcast_to(plane, (piece.rows, piece.cols)) for plane in (blue, green)])
        blue_px, green_px = (self._at_points([pair[k] for pair in found]) for k in (0, 1))
        return blue_px, green_px

    @cached_property
    def _own(self) -> list[Rates]:
        """Every exposure's light per second behind its own filter."""
        return [self.behind(k, ray.exposure.filter) for k, ray in enumerate(self.rays)]

    @cached_property
    def _graded(self) -> list[tuple[float, list[tuple[float, float]]]]:
        """Every exposure's filter in grades, and log blue and green behind every graded filter without film."""
        return [self._by_grades(ray) for ray in self.rays]

    def _by_grades(self, ray: Ray) -> tuple[float, list[tuple[float, float]]]:
        part = ray.parts[0]
        through = [part.behind(FilterSetting(name), self.stock).rates for name in GRADED_NAMES]
        logs = [(float(np.log(b)), float(np.log(max(g, 1e-12 * b)))) for b, g in through]
        blue, green = part.rates
        ratio = float(np.log(max(green, 1e-12 * blue) / blue))
        falling = [g - b for b, g in logs]
        return float(np.interp(-ratio, [-x for x in falling], list(GRADE_OF_FILTER.values()))), logs

    def _rate(self, index: int, grades: float) -> Rates:
        """Return an exposure's rates with its filter so many grades harder (the graded set, interpolated).

        Stained film weakens blue and green at each point by its own share, which a change of filter leaves alone to within
        0.02 stop.
        """
        own = self._own[index]
        if abs(grades) < 1e-9:
            return own
        logs = self._graded[index][1]
        at, now = (self.grade_of(index) + x for x in (grades, 0.0))
        steps = list(GRADE_OF_FILTER.values())
        factors = []
        for part in (0, 1):
            values = [log[part] for log in logs]
            factors.append(float(np.exp(np.interp(at, steps, values) - np.interp(now, steps, values))))
        return own[0] * factors[0], own[1] * factors[1]
