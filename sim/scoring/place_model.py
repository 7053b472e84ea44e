"""A record's light at a handful of the sheet's points, and what they would read with more light, another filter, a card.

Marks of a search, the coach and ``advise`` ask this hundreds of times. It takes the light projected on the pieces of the
sheet that are read (``spot_light.py``), the cards' own shares and the paper's own response, at the very pixels that the
densitometer would read.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import SheetGrid, sheet_grid
from sim.enlarger.easel_light import EaselLight
from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.enlarger.settings import Bench, checked_aperture, set_up
from sim.enlarger.timer import expected_light_s
from sim.negative.negative import Negative, Place
from sim.paper.response import Response
from sim.paper.stock import Stock
from sim.printing.cards import CardOptics, lit_share
from sim.printing.exposure import LightCache, Reciprocity, reciprocity_of
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import Exposure, PrintingRecord
from sim.refusals import Refused
from sim.scoring.spot_light import SpotLight, spot_lights
from sim.viewing.densitometer import disc_mask

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

CARD_PX_PER_MM = 1.0  # a card's shadow is soft: a point a mm, interpolated, is within 0.01 of the share lit
GRADE_OF_FILTER = {name: 0.5 * index - 0.5 for index, name in enumerate(GRADED_NAMES)}  # 00 is half a grade below 0
SOFTEST, HARDEST = -0.5, 5.0


@dataclass(frozen=True, eq=False)
class Points:
    """Pixels of a sheet, in groups: one group for each place. ``starts`` are the groups' first indices."""

    rows: IntArray
    cols: IntArray
    starts: IntArray

    def means(self, densities: FloatArray) -> FloatArray:
        """Return the density of the mean light of each group, as a densitometer reads."""
        counts = np.diff(np.append(self.starts, densities.shape[-1]))
        return np.asarray(-np.log10(np.add.reduceat(10.0**-densities, self.starts, axis=-1) / counts))

    def spans(self) -> tuple[slice, ...]:
        """Return the pixels of each group; of single pixels (a ring around a place) all together."""
        ends = np.append(self.starts[1:], len(self.rows))
        if len(self.rows) < 2 * len(self.starts):
            return (slice(0, len(self.rows)),)
        return tuple(slice(int(a), int(b)) for a, b in zip(self.starts, ends, strict=True))

    def thinned(self, most: int) -> Points:
        """Return at most so many pixels of each group, spread evenly over it."""
        ends = np.append(self.starts[1:], len(self.rows))
        spans = zip(self.starts, ends, strict=True)
        kept = [np.unique(np.linspace(a, b - 1, min(most, b - a)).astype(np.intp)) for a, b in spans]
        chosen = np.concatenate(kept)
        return Points(self.rows[chosen], self.cols[chosen], np.cumsum([0, *(len(k) for k in kept[:-1])]))


@dataclass(frozen=True, eq=False)
class _Ray:
    """One exposure at the points: light through the film (or bare), seconds, share of the time lit."""

    exposure: Exposure
    light: EaselLight
    passed: FloatArray | None
    spots: tuple[SpotLight, ...]
    seconds: float
    lit: FloatArray


@dataclass(frozen=True, eq=False)
class Change:
    """What is tried against the record: stops per exposure, grades of contrast, stops per exposure and point, development."""

    stops: FloatArray
    grades: float = 0.0
    local: FloatArray | None = None
    response: Response | None = None


def sheet_of(negative: Negative, record: PrintingRecord, px_per_mm: float | None = None) -> tuple[Bench, SheetGrid]:
    """Return the bench and the sheet's grid (at the negative's own pixels unless said), as make_print lays it out."""
    bench, sheet = set_up(record.enlarger, negative), record.sheet
    sides = (sheet.width_mm, sheet.height_mm, sheet.border_mm)
    return bench, sheet_grid(negative, bench, *sides, sheet.image_shift_mm, px_per_mm)


def pixel_at(grid: SheetGrid, x_mm: FloatArray, y_mm: FloatArray) -> tuple[IntArray, IntArray]:
    """Return the rows and columns nearest to points in mm (may lie off the sheet)."""
    col = (x_mm - grid.width_mm / 2) * grid.px_per_mm + (grid.cols - 1) / 2
    row = (y_mm - grid.height_mm / 2) * grid.px_per_mm + (grid.rows - 1) / 2
    return np.round(row).astype(np.intp), np.round(col).astype(np.intp)


def spot_points(negative: Negative, record: PrintingRecord, grid: SheetGrid, places: tuple[Place, ...]) -> Points:
    """Return the pixels under the densitometer's spot at every place. Raises ValueError for a place off the sheet."""
    left, top, width, height = frame_on_sheet(negative, record)
    rows, cols, starts, count = [], [], [], 0
    for place in places:
        row, col = pixel_at(grid, np.array(left + place.x * width), np.array(top + place.y * height))
        mask = disc_mask(0.5 * place.spot_mm * grid.px_per_mm)
        dy, dx = np.nonzero(mask)
        r, c = dy + int(row) - mask.shape[0] // 2, dx + int(col) - mask.shape[1] // 2
        on = (r >= 0) & (r < grid.rows) & (c >= 0) & (c < grid.cols)
        if not on.any():
            raise Refused(f"place {place.name!r} does not lie on the sheet")
        rows.append(r[on])
        cols.append(c[on])
        starts.append(count)
        count += int(on.sum())
    return Points(np.concatenate(rows), np.concatenate(cols), np.array(starts, dtype=np.intp))


class PlaceModel:
    """A record at some pixels of its sheet: its densities, and its densities if something were changed."""

    def __init__(
        self, negative: Negative, record: PrintingRecord, stock: Stock, points: Points, lights: LightCache,
        px_per_mm: float | None = None,
    ):  # fmt: skip
        self.record, self.stock, self.points = record, stock, points
        self.response = Response(stock, record.development)
        self.law: Reciprocity = reciprocity_of(record, stock)
        self.even = record.safelight.exposures(stock.emulsion) if record.safelight else (0.0, 0.0)
        bench, grid = sheet_of(negative, record, px_per_mm)
        self.rays = tuple(_ray(e, negative, bench, grid, points, lights, self.law.p) for e in record.exposures)
        self._rates = [self._graded_rates(ray) for ray in self.rays]

    def no_change(self) -> Change:
        """Return the change that leaves all as it is."""
        return Change(np.zeros(len(self.rays)))

    def densities(self, change: Change | None = None) -> FloatArray:
        """Return the density of every pixel."""
        change = change or self.no_change()
        local = np.zeros((len(self.rays), 1)) if change.local is None else change.local
        seconds = [
            ray.seconds * ray.lit * 2.0 ** (stops + at) for ray, stops, at in zip(self.rays, change.stops, local, strict=True)
        ]
        rates = [self._rate(k, change.grades) for k in range(len(self.rays))]
        blue, green = (self.law.at_places([rate[part] for rate in rates], seconds) for part in (0, 1))
        return (change.response or self.response).density(blue + self.even[0], green + self.even[1])

    def readings(self, change: Change | None = None) -> FloatArray:
        """Return what a densitometer reads at every place."""
        return self.points.means(self.densities(change))

    def grade_of(self, index: int) -> float:
        """Return the filter of an exposure in grades; a dialled filtration by its ratio of green to blue."""
        graded = self.rays[index].exposure.filter.graded
        return GRADE_OF_FILTER[graded] if graded is not None else self._rates[index][1]

    def room_for_grades(self) -> tuple[float, float]:
        """Return how far contrast could be turned down and up before a filter is at its end, in grades."""
        grades = [self.grade_of(k) for k in range(len(self.rays))]
        return SOFTEST - min(grades), HARDEST - max(grades)

    def behind(self, index: int, filtration: FilterSetting) -> tuple[FloatArray, FloatArray]:
        """Return blue and green light per second at every pixel of an exposure, were it made behind another filter."""
        return self._own_rate(self.rays[index], filtration)

    def _own_rate(self, ray: _Ray, filtration: FilterSetting) -> tuple[FloatArray, FloatArray]:
        """Return blue and green light per second at the points behind a filter."""
        emulsion = self.stock.emulsion
        if ray.passed is not None:
            blue, green = emulsion.exposures(ray.light.open_spectrum(filtration))
            return ray.passed * blue, ray.passed * green
        behind = [spot.stained(emulsion.weightings(), filtration) for spot in ray.spots]
        blue_px, *green_px = (np.concatenate(part) for part in zip(*behind, strict=True))
        return blue_px, green_px[0] if green_px else np.zeros_like(blue_px)

    def _graded_rates(self, ray: _Ray) -> tuple[tuple[FloatArray, FloatArray], float, list[tuple[float, float]]]:
        """Return the exposure's own rates, its filter in grades, and log blue and green behind every graded filter."""
        emulsion, light = self.stock.emulsion, ray.light
        own = self._own_rate(ray, ray.exposure.filter)
        through = [emulsion.exposures(light.open_spectrum(FilterSetting(name))) for name in GRADED_NAMES]
        logs = [(float(np.log(b)), float(np.log(max(g, 1e-12 * b)))) for b, g in through]
        blue, green = emulsion.exposures(light.open_spectrum(ray.exposure.filter))
        ratio = float(np.log(max(green, 1e-12 * blue) / blue))
        falling = [g - b for b, g in logs]
        grade = float(np.interp(-ratio, [-x for x in falling], list(GRADE_OF_FILTER.values())))
        return own, grade, logs

    def _rate(self, index: int, grades: float) -> tuple[FloatArray, FloatArray]:
        """Return an exposure's rates with its filter so many grades harder (the graded set, interpolated).

        Stained film weakens blue and green at each point by its own share, which a change of filter leaves alone to within
        0.02 stop.
        """
        own, _, logs = self._rates[index]
        if abs(grades) < 1e-9:
            return own
        at, now = (self.grade_of(index) + x for x in (grades, 0.0))
        steps = list(GRADE_OF_FILTER.values())
        factors = []
        for part in (0, 1):
            values = [log[part] for log in logs]
            factors.append(float(np.exp(np.interp(at, steps, values) - np.interp(now, steps, values))))
        return own[0] * factors[0], own[1] * factors[1]


def _ray(
    exposure: Exposure, negative: Negative, bench: Bench, grid: SheetGrid, points: Points, lights: LightCache, p: float
) -> _Ray:
    """Return one exposure's light at the points, as ``printing.exposure`` adds it up on the whole sheet."""
    dx, dy = exposure.paper_shift_mm
    moved = replace(grid, shift_mm=(grid.shift_mm[0] - dx, grid.shift_mm[1] - dy))
    spots = spot_lights(negative, bench, moved, exposure, (points.rows, points.cols), points.spans(), lights)
    light = spots[0].light
    passed: FloatArray | None = None
    if exposure.through == "open":
        passed = np.concatenate([(spot.relative > 0.0).astype(np.float64) for spot in spots])
    elif light.is_neutral:
        passed = np.concatenate([spot.neutral() for spot in spots])
    given = expected_light_s(exposure.time_s, bench.head) if exposure.light_s is None else exposure.light_s
    seconds = given * 2.0 ** (-exposure.dimmed_stops / p)
    return _Ray(exposure, light, passed, spots, seconds, _lit(exposure, bench, moved, points))


def _lit(exposure: Exposure, bench: Bench, grid: SheetGrid, points: Points) -> FloatArray:
    """Return the share of the time that every point is lit under the exposure's cards."""
    if not exposure.cards:
        return np.ones(len(points.rows))
    from scipy.ndimage import map_coordinates

    dx, dy = exposure.paper_shift_mm
    pitch = min(CARD_PX_PER_MM, grid.px_per_mm)
    rows, cols = (max(8, round(side * pitch)) for side in (grid.height_mm, grid.width_mm))
    coarse = replace(grid, px_per_mm=pitch, rows=rows, cols=cols)
    optics = CardOptics(bench.lens_to_paper_mm, bench.lens.focal_mm / checked_aperture(bench.lens, exposure.f_number))
    cards = tuple(card.placed(1.0, -dx, -dy) for card in exposure.cards)
    lit = lit_share(cards, coarse, optics, exposure.time_s)
    assert lit is not None
    scale = pitch / grid.px_per_mm
    row = (points.rows - (grid.rows - 1) / 2) * scale + (rows - 1) / 2
    col = (points.cols - (grid.cols - 1) / 2) * scale + (cols - 1) / 2
    return np.asarray(map_coordinates(lit, [row, col], order=1, mode="nearest"), dtype=np.float64)
