"""What is read on a judged sheet: spots at places, and the halo around one. From a whole print, or at the places only."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import SheetGrid
from sim.negative.negative import Negative, Place
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, frame_on_sheet
from sim.printing.place_print import PlacePrint, Points, pixel_at
from sim.printing.record import PrintingRecord
from sim.viewing.densitometer import read_place

FloatArray = NDArray[np.float64]
Frame = tuple[float, float, float, float]

# A halo is looked for just outside what belongs to the place: from a quarter beyond its edge to three quarters.
RING = (1.25, 1.42, 1.58, 1.75)
SECTORS = 24
USUAL_AREA = (0.25, 0.25)


class Readings(Protocol):
    """A sheet that can be read."""

    @property
    def frame_mm(self) -> Frame:
        """Where the negative's frame lies on the sheet: left, top, width, height."""

    def spot(self, place: Place) -> float:
        """Return the density at a place. Raises ValueError when it lies off the sheet."""

    def at(self, x_mm: FloatArray, y_mm: FloatArray) -> FloatArray:
        """Return the density of single pixels; NaN off the sheet or under the easel's blades."""


def _on_open(grid: SheetGrid, x_mm: FloatArray, y_mm: FloatArray) -> tuple[NDArray[np.intp], ...]:
    rows, cols = grid.open_window()
    row, col = pixel_at(grid, x_mm, y_mm)
    on = (row >= rows.start) & (row < rows.stop) & (col >= cols.start) & (col < cols.stop)
    return row, col, np.flatnonzero(on)


@dataclass(frozen=True, eq=False)
class PrintReadings:
    """A whole print."""

    sheet: Print

    @property
    def frame_mm(self) -> Frame:
        """Where the negative's frame lies on the sheet."""
        return self.sheet.frame_mm

    def spot(self, place: Place) -> float:
        """Return the density at a place."""
        return read_place(self.sheet, place)

    def at(self, x_mm: FloatArray, y_mm: FloatArray) -> FloatArray:
        """Return the density of single pixels; NaN off the open sheet."""
        row, col, on = _on_open(self.sheet.grid, x_mm, y_mm)
        out = np.full(x_mm.shape, np.nan)
        out[on] = self.sheet.density[row[on], col[on]]
        return out


@dataclass(frozen=True, eq=False)
class PlaceReadings:
    """A record, printed only where it is read: for searches and the coach."""

    negative: Negative
    record: PrintingRecord
    stock: Stock
    lights: LightCache
    places: tuple[Place, ...] = ()

    @property
    def frame_mm(self) -> Frame:
        """Where the negative's frame lies on the sheet."""
        return frame_on_sheet(self.negative, self.record)

    def spot(self, place: Place) -> float:
        """Return the density at a place."""
        if place in self._spots:
            return self._spots[place]
        return self._read((place,))[0]

    @cached_property
    def _spots(self) -> dict[Place, float]:
        """The places named beforehand, read all at once; those off the sheet left out."""
        on = [place for place in self.places if on_sheet(self.negative, self.record, place)]
        return dict(zip(on, self._read(tuple(on)), strict=True)) if on else {}

    @cached_property
    def _print(self) -> PlacePrint:
        return PlacePrint(self.negative, self.record, self.stock, self.lights)

    def _read(self, places: tuple[Place, ...]) -> list[float]:
        return [float(reading) for reading in self._print.readings(*places)]

    def at(self, x_mm: FloatArray, y_mm: FloatArray) -> FloatArray:
        """Return the density of single pixels; NaN off the open sheet."""
        row, col, on = _on_open(self._print.grid, x_mm, y_mm)
        out = np.full(x_mm.shape, np.nan)
        points = Points(row[on], col[on], np.arange(len(on), dtype=np.intp), np.ones(len(on)))
        if len(on):
            out[on] = self._print.densities(points)
        return out


def on_sheet(negative: Negative, record: PrintingRecord, place: Place) -> bool:
    """Tell whether a place's middle lies on the sheet of a record."""
    left, top, width, height = frame_on_sheet(negative, record)
    x_mm, y_mm = left + place.x * width, top + place.y * height
    return 0.0 <= x_mm <= record.sheet.width_mm and 0.0 <= y_mm <= record.sheet.height_mm


def halo_density(sheet: Readings, plain: Readings, place: Place) -> float:
    """Return how far a card's work reaches beyond its place: the largest change of density around it, sector by sector.

    The same record is read with and without cards in a ring outside the place's own extent; the sector changed most
    counts, so that a tool moved to one side is found. 0 where nothing of the ring lies on the sheet.
    """
    left, top, width, height = sheet.frame_mm
    area = place.area or USUAL_AREA
    angle = np.repeat(2.0 * np.pi * np.arange(SECTORS) / SECTORS, len(RING))
    reach = np.tile(RING, SECTORS)
    x_mm = left + place.x * width + reach * np.cos(angle) * 0.5 * area[0] * width
    y_mm = top + place.y * height + reach * np.sin(angle) * 0.5 * area[1] * height
    inside = (x_mm > left) & (x_mm < left + width) & (y_mm > top) & (y_mm < top + height)
    change = np.where(inside, sheet.at(x_mm, y_mm) - plain.at(x_mm, y_mm), np.nan).reshape(SECTORS, len(RING))
    seen = ~np.isnan(change).any(axis=1)
    return float(np.abs(change[seen].mean(axis=1)).max()) if seen.any() else 0.0
