"""The solver's memory of a record at a few places: what they would read with more light, another filter, a card.

Whoever looks for a time, a filter or a cause asks this hundreds of times. It is filled by the same pieces of the sheet
that ``place_print`` prints, exposure by exposure, and adds them up by the same law; then the paper's exact sum over grain
classes stands for its tables. Behind every filter of the set its light is worked out, stain and the lamp's late blue
with it; only between the set's steps is it interpolated. Within 0.0015 in density of make_print, which a test holds over
fresh draws of light, filters and film.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, replace
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
from sim.printing.few_tones import FewTones, few_tones
from sim.printing.place_print import Points, spot_points
from sim.printing.record import Exposure, PrintingRecord
from sim.quantities import FloatArray

Rates = tuple[FloatArray, FloatArray]

LEAST_RATE = 1e-30  # a light so weak is none, and has a logarithm
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
    """A record at some points of its sheet, pixels or tones of a place: its densities now, and if something were changed."""

    def __init__(
        self, negative: Negative, record: PrintingRecord, stock: Stock, where: Points | tuple[Place, ...],
        lights: LightCache, px_per_mm: float | None = None, tones: int = 0, bench: Bench | None = None,
    ):  # fmt: skip
        """``where`` are pixels, or places read by the densitometer's spot, each told by so many ``tones`` (0: every pixel).

        ``bench`` stands for another head or lens than the record names, such as one whose numbers lie a little off.
        """
        named, grid = laid_out(negative, record, px_per_mm)
        bench = bench or named
        self._pixels = where if isinstance(where, Points) else spot_points(negative, record, grid, where)
        self.record, self.stock = record, stock
        self.response = Response(stock, record.development)
        self.law = reciprocity_of(record, stock)
        self._light: dict[tuple[int, FilterSetting], Rates] = {}
        self._logs: dict[tuple[int, FilterSetting], Rates] = {}
        self._parts: dict[tuple[int, FilterSetting], ExposurePart] = {}
        self._pieces = [grid.piece(rows, cols) for rows, cols in self._pixels.boxes()]
        by_piece = [exposure_parts(negative, record, stock, bench, piece, lights) for piece in self._pieces]
        rays = [self._ray(e, parts) for e, *parts in zip(record.exposures, *by_piece, strict=True)]
        light = [self._at_pixels(ray.parts, ray.exposure.filter) for ray in rays]
        self.points = self._pixels
        self._told: FewTones | None = None
        if tones:
            doses = np.sum([blue * ray.lit * ray.seconds for (blue, _), ray in zip(light, rays, strict=True)], axis=0)
            self._told, self.points = few_tones(self._pixels, doses, tones)
        self.even = self._safelight(grid)
        self.rays = tuple(
            replace(ray, lit=self._by_tones(ray.lit, blue)) for ray, (blue, _) in zip(rays, light, strict=True)
        )
        for k, (ray, (blue, green)) in enumerate(zip(rays, light, strict=True)):
            self._light[k, ray.exposure.filter] = self._by_tones(blue), self._by_tones(green)

    def _safelight(self, grid: SheetGrid) -> tuple[FloatArray | float, FloatArray | float]:
        """Return blue and green of the safelight: alike everywhere, or at every point where a coin lies on the sheet."""
        blue, green = safelight_on(self.record, self.stock)
        lamp = self.record.safelight
        if lamp is None or lamp.coin_mm is None or self.record.sheet.kind == "strip":
            return blue, green
        x_mm, y_mm = grid.mm_of(self._pixels.rows.astype(np.float64), self._pixels.cols.astype(np.float64))
        share = self._by_tones(lamp.beside_the_coin(x_mm, y_mm, 1.0 / grid.px_per_mm))
        return blue * share, green * share

    def _ray(self, exposure: Exposure, parts: Sequence[ExposurePart]) -> Ray:
        """Return an exposure with its share lit at every pixel."""
        shapes = [
            np.ones((piece.rows, piece.cols)) if part.lit is None else part.lit.whole
            for piece, part in zip(self._pieces, parts, strict=True)
        ]
        return Ray(exposure, parts[0].seconds, self._seen(shapes), tuple(parts))

    def _seen(self, pictures: Sequence[NDArray[np.floating]]) -> FloatArray:
        """Return what pictures of the pieces show at the pixels."""
        out = np.empty(len(self._pixels.rows))
        for picture, piece, span in zip(pictures, self._pieces, self._pixels.spans(), strict=True):
            top, left = piece.first_px
            out[span] = picture[self._pixels.rows[span] - top, self._pixels.cols[span] - left]
        return out

    def _at_pixels(self, parts: Sequence[ExposurePart], filtration: FilterSetting) -> Rates:
        """Return blue and green light per second at every pixel of an exposure, were it made behind another filter."""
        found = []
        for piece, part in zip(self._pieces, parts, strict=True):
            blue, green = light_per_second(part.behind(filtration, self.stock), self.stock, piece)
            found.append([np.broadcast_to(plane, (piece.rows, piece.cols)) for plane in (blue, green)])
        blue_px, green_px = (self._seen([pair[k] for pair in found]) for k in (0, 1))
        return blue_px, green_px

    def _by_tones(self, values: FloatArray, light: FloatArray | None = None) -> FloatArray:
        """Return what the points have of what the pixels have; what cards let through counts by the ``light`` it falls on."""
        return values if self._told is None else self._told.of(values, light)

    def at_place(self, index: int) -> PlaceModel:
        """Return the memory of one of the places alone, which answers as many times sooner as there were places."""
        one, mine = copy(self), self.points.group(index)
        piece = index if len(self._pieces) == len(self._pixels.starts) else 0  # single pixels lie in one piece together
        one._told = self._told and self._told.only(self._pixels.group(index), mine)
        one.points, one._pixels, one._pieces = self.points.only(index), self._pixels.only(index), [self._pieces[piece]]
        one.rays = tuple(replace(ray, lit=ray.lit[mine], parts=(ray.parts[piece],)) for ray in self.rays)
        blue, green = (light[mine] if isinstance(light, np.ndarray) else light for light in self.even)
        one.even = blue, green
        one._light, one._logs = (
            {behind: (blue[mine], green[mine]) for behind, (blue, green) in kept.items()} for kept in (self._light, self._logs)
        )
        return one

    def no_change(self) -> Change:
        """Return the change that leaves all as it is."""
        return Change(np.zeros(len(self.rays)))

    def densities(self, change: Change | None = None) -> FloatArray:
        """Return the density of every point."""
        change = change or self.no_change()
        local = np.zeros((len(self.rays), 1)) if change.local is None else change.local
        whole_s = [ray.seconds * 2.0**stops for ray, stops in zip(self.rays, change.stops, strict=True)]
        rates = [self._acting(k, change.grades, light_s) for k, light_s in enumerate(whole_s)]
        seconds = [light_s * ray.lit * 2.0**at for ray, light_s, at in zip(self.rays, whole_s, local, strict=True)]
        return self.densities_of(rates, seconds, change.response)

    def as_given(self) -> list[Rates]:
        """Return every exposure's rates as they act over its own seconds behind its own filter."""
        return [self._acting(k, 0.0, ray.seconds) for k, ray in enumerate(self.rays)]

    def short_of_blue(self, index: int, rates: Rates, light_s: FloatArray | float, filtration: FilterSetting) -> Rates:
        """Return an exposure's rates behind a filter as they act over so many seconds of full light: blue comes late.

        Rates may be arrays that ``light_s`` broadcasts against; what dims the light counts too.
        """
        given = self._part(index, filtration).paper_seconds(light_s)
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

    def with_light(self, stops: float) -> FloatArray:
        """Return what a densitometer reads at every place with so many stops more in all exposures."""
        return self.readings(Change(np.full(len(self.rays), stops)))

    def stops_to(self, density: float, least: float, most: float, within: float) -> float | None:
        """Return the stops more in all exposures at which the first place reads a density; None where ``least`` to ``most`` do
        not hold them. ``within`` is how closely they are found."""
        from scipy.optimize import brentq

        def miss(stops: float) -> float:
            return float(self.with_light(stops)[0]) - density

        return None if miss(least) > 0.0 or miss(most) < 0.0 else float(brentq(miss, least, most, xtol=within))

    def light(self, index: int) -> FloatArray:
        """Return light per second of an exposure at every place as the paper weighs it, cards left out."""
        blue, green = self.behind(index, self.rays[index].exposure.filter)
        return self.points.averages(blue + response_table(self.stock.emulsion).green_weight * green)

    def grade_of(self, index: int) -> float:
        """Return the filter of an exposure in grades; a dialled filtration by its ratio of green to blue."""
        graded = self.rays[index].exposure.filter.graded
        return GRADE_OF_FILTER[graded] if graded is not None else self._grades[index]

    @cached_property
    def _grades(self) -> list[float]:
        """Every exposure's filter in grades, by what comes of green and blue without film."""
        found = []
        for k, ray in enumerate(self.rays):
            rates = [self._part(k, FilterSetting(name)).rates for name in GRADED_NAMES]
            *of_set, own = (np.log(blue / max(green, 1e-12 * blue)) for blue, green in (*rates, ray.parts[0].rates))
            found.append(float(np.interp(own, of_set, list(GRADE_OF_FILTER.values()))))
        return found

    def room_for_grades(self) -> tuple[float, float]:
        """Return how far contrast could be turned down and up before a filter is at its end, in grades."""
        grades = [self.grade_of(k) for k in range(len(self.rays))]
        return SOFTEST - min(grades), HARDEST - max(grades)

    def behind(self, index: int, filtration: FilterSetting) -> Rates:
        """Return blue and green light per second at every pixel of an exposure, were it made behind another filter."""
        known = self._light.get((index, filtration))
        if known is None:
            blue, green = self._at_pixels(self.rays[index].parts, filtration)
            known = self._light[index, filtration] = self._by_tones(blue), self._by_tones(green)
        return known

    def _part(self, index: int, filtration: FilterSetting) -> ExposurePart:
        """Return an exposure of the first piece behind another filter: its seconds and rates are those of all pieces."""
        known = self._parts.get((index, filtration))
        if known is None:
            known = self._parts[index, filtration] = self.rays[index].parts[0].behind(filtration, self.stock)
        return known

    def _acting(self, index: int, grades: float, light_s: float) -> Rates:
        """Return an exposure's rates as they act over so many seconds, its filter so many grades harder.

        On the set's steps they are those of that filter. Between two steps the log of light is interpolated, and a dialled
        filtration changes as the set would there.
        """
        filtration = self.rays[index].exposure.filter
        if abs(grades) < 1e-9:
            return self.short_of_blue(index, self.behind(index, filtration), light_s, filtration)
        now = self.grade_of(index)
        blue, green = self._log_acting(index, now + grades, light_s)
        if filtration.graded is None:
            own, of_set = self._log_behind(index, filtration, light_s), self._log_acting(index, now, light_s)
            blue, green = blue + own[0] - of_set[0], green + own[1] - of_set[1]
        return np.exp(blue), np.exp(green)

    def _log_acting(self, index: int, grade: float, light_s: float) -> Rates:
        """Return logs of an exposure's rates as they act behind the graded set at a grade, its steps joined by lines."""
        position = (min(max(grade, SOFTEST), HARDEST) - SOFTEST) / (HARDEST - SOFTEST) * (len(GRADED_NAMES) - 1)
        low = min(int(position), len(GRADED_NAMES) - 2)
        softer, harder = (self._log_behind(index, FilterSetting(GRADED_NAMES[k]), light_s) for k in (low, low + 1))
        blue, green = (a + (position - low) * (b - a) for a, b in zip(softer, harder, strict=True))
        return blue, green

    def _log_behind(self, index: int, filtration: FilterSetting, light_s: float) -> Rates:
        """Return logs of an exposure's rates as they act over so many seconds behind a filter."""
        logs = self._logs.get((index, filtration))
        if logs is None:
            blue, green = (np.log(np.maximum(rate, LEAST_RATE)) for rate in self.behind(index, filtration))
            logs = self._logs[index, filtration] = blue, green
        given = self._part(index, filtration).paper_seconds(light_s)
        late = [self.law.p * math.log(max(float(s), 1e-9) / max(light_s, 1e-9)) for s in given]
        return logs[0] + late[0], logs[1] + late[1]
