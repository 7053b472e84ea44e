"""Tones on a strip: where a step shows a named place, or another part of the picture that is as dense and as even as it.

A strip that is covered piece by piece cannot show one place in every step, but laid along a wall it shows the wall's tone in
every step, and there it can be read. What is as dense is worked out from the negative, never from the paper's edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import on_film_mm
from sim.enlarger.settings import set_up
from sim.negative.negative import Negative, Place
from sim.printing.flash import only_flashed
from sim.printing.make_print import Print, frame_on_sheet
from sim.printing.record import PrintingRecord
from sim.printing.strips import Bands, bands_of
from sim.quantities import FloatArray
from sim.viewing.densitometer import spot_density
from sim.viewing.strip_reading import EDGE_MM, StripReading, paper_shifts_mm, places_shown, read_spots

SAME_DENSITY = 0.02  # on film: under a fourteenth of a stop, a seventh of a half-stop step
UNEVEN_DENSITY = 0.03  # how much rougher than the place itself such a part may be within the spot
SEARCH_MM = 1.5  # how closely the piece is searched
FAR_MM = 100.0  # a part so far from the place counts as SAME_DENSITY worse: the light falls off across the easel


@dataclass(frozen=True)
class ToneInStep:
    """Where a step shows a place's tone, mm on the piece; ``itself`` when it is the place, not a part as dense as it."""

    step: int
    place: Place
    x_mm: float
    y_mm: float
    itself: bool


def steps_that_show(negative: Negative, record: PrintingRecord, name: str) -> tuple[ToneInStep | None, ...]:
    """Return for every step of a strip where it shows the tone of a named place, None where it does not.

    Empty when the record lays no strip; of flashes alone no step shows a tone of the picture. Raises NoSuchPlace.
    """
    place = negative.place(name)
    shown = places_shown(negative, record)
    found: list[ToneInStep | None] = []
    for k, inside in enumerate(shown):
        here = next((one for one in inside if one.place.name == name), None)
        found.append(ToneInStep(k + 1, place, here.x_mm, here.y_mm, True) if here else None)
    if all(found) or only_flashed(record):  # of no steps all is true
        return tuple(found)
    film = _Film.of(negative, record, place)
    return tuple(one or film.as_dense_in(k) for k, one in enumerate(found))


def read_strip_on_tone(name: str, negative: Negative, record: PrintingRecord, sheet: Print) -> StripReading:
    """Return the readings of a place's tone in every step. Raises Refused naming the steps that do not show it."""
    found = steps_that_show(negative, record, name)
    spots = [None if one is None else (one.x_mm, one.y_mm, one.place.spot_mm) for one in found]
    return read_spots(record, sheet, spots, name, tone=True)


def read_tone(sheet: Print, one: ToneInStep) -> float:
    """Return what the densitometer reads of a tone in a step."""
    return spot_density(sheet, one.x_mm, one.y_mm, one.place.spot_mm)


@dataclass(frozen=True, eq=False)
class _Film:
    """The film under a strip's piece: mean density and unevenness under the place's spot, pixel by pixel from ``corner``."""

    negative: Negative
    record: PrintingRecord
    place: Place
    bands: Bands
    corner: tuple[int, int]
    mean: FloatArray
    uneven: FloatArray

    @classmethod
    def of(cls, negative: Negative, record: PrintingRecord, place: Place) -> _Film:
        assert record.strip is not None
        rows, cols = negative.silver_density.shape
        left, top, width, height = frame_on_sheet(negative, record)
        side = max(1, round(0.8 * place.spot_mm * cols / width))  # the square of a round spot
        shifts = np.array(paper_shifts_mm(record))
        row, col = (0, rows), (0, cols)
        if set_up(record.enlarger, negative).projects_straight:  # else the piece may look at any part of the film
            row = _pixels(shifts[:, 1] - top, record.sheet.height_mm, height, rows, side)
            col = _pixels(shifts[:, 0] - left, record.sheet.width_mm, width, cols, side)
        mean, uneven = _under_a_spot(negative.silver_density[row[0] : row[1], col[0] : col[1]], side)
        bands = bands_of(record.sheet, record.strip.angle_deg, len(record.strip.times_s))
        return cls(negative, record, place, bands, (row[0], col[0]), mean, uneven)

    @property
    def of_the_place(self) -> tuple[float, float]:
        """Mean density and unevenness of the place itself."""
        rows, cols = self.negative.silver_density.shape
        half = max(1, round(0.4 * self.place.spot_mm * cols / frame_on_sheet(self.negative, self.record)[2]))
        row, col = int(self.place.y * rows), int(self.place.x * cols)
        spot = self.negative.silver_density[max(0, row - half) : row + half + 1, max(0, col - half) : col + half + 1]
        return float(spot.mean()), float(spot.std())

    def as_dense_in(self, k: int) -> ToneInStep | None:
        """Return the part of a step (0-based) that is as dense and as even as the place and lies nearest to it, or None."""
        place = self.place
        x, y, fx, fy = self._points(k)
        if not x.size:
            return None
        width, height = frame_on_sheet(self.negative, self.record)[2:]
        density, unevenness = self.of_the_place
        off = np.abs(self._at(self.mean, fx, fy) - density)
        rough = self._at(self.uneven, fx, fy) > unevenness + UNEVEN_DENSITY
        far = np.hypot((fx - place.x) * width, (fy - place.y) * height)
        worse = np.where((off > SAME_DENSITY) | rough, np.inf, off / SAME_DENSITY + far / FAR_MM)
        best = int(np.argmin(worse))
        return ToneInStep(k + 1, place, float(x[best]), float(y[best]), False) if np.isfinite(worse[best]) else None

    def _points(self, k: int) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        """Return the points of a step that keep a spot off its edges: mm on the piece, fractions of the frame."""
        sheet = self.record.sheet
        left, top, width, height = frame_on_sheet(self.negative, self.record)
        dx, dy = paper_shifts_mm(self.record)[k]
        reach = 0.5 * self.place.spot_mm + EDGE_MM
        x, y = np.meshgrid(_within(sheet.width_mm, reach), _within(sheet.height_mm, reach))
        along = x * self.bands.direction[0] + y * self.bands.direction[1]
        bench = set_up(self.record.enlarger, self.negative)
        film_x, film_y = on_film_mm(x + dx - left - width / 2, y + dy - top - height / 2, bench)
        fx, fy = 0.5 + film_x / width * bench.print_scale, 0.5 + film_y / height * bench.print_scale
        inside = (along >= self.bands.marks_mm[k] + reach) & (along <= self.bands.marks_mm[k + 1] - reach)
        inside &= (np.abs(fx - 0.5) <= 0.5 - reach / width) & (np.abs(fy - 0.5) <= 0.5 - reach / height)
        return x[inside], y[inside], fx[inside], fy[inside]

    def _at(self, film: FloatArray, fx: FloatArray, fy: FloatArray) -> FloatArray:
        rows, cols = self.negative.silver_density.shape
        row = np.clip((fy * rows).astype(int) - self.corner[0], 0, film.shape[0] - 1)
        col = np.clip((fx * cols).astype(int) - self.corner[1], 0, film.shape[1] - 1)
        return np.asarray(film[row, col])


def _pixels(starts_mm: FloatArray, side_mm: float, frame_mm: float, count: int, spare: int) -> tuple[int, int]:
    """Return the first and the last pixel of the film along one axis that a piece shows, in any of its positions."""
    first = int(np.floor(float(starts_mm.min()) / frame_mm * count)) - spare
    last = int(np.ceil((float(starts_mm.max()) + side_mm) / frame_mm * count)) + spare
    first = min(max(first, 0), count - 1)
    return first, min(max(last, first + 1), count)


def _under_a_spot(film: NDArray[np.float32], side: int) -> tuple[FloatArray, FloatArray]:
    """Return mean and standard deviation of density in a square of so many pixels around every pixel."""
    from scipy.ndimage import uniform_filter

    density = film.astype(np.float64)
    mean = uniform_filter(density, side)
    return mean, np.sqrt(np.maximum(uniform_filter(density * density, side) - mean * mean, 0.0))


def _within(side_mm: float, reach_mm: float) -> FloatArray:
    return np.arange(reach_mm, max(side_mm - reach_mm, reach_mm) + 1e-9, SEARCH_MM)
