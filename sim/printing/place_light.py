"""The light that arrives at named places, without printing the whole sheet: the same factors, read at a few points.

Easel meter and solver need many filters and times at a few places. They take the sheet's own projected light, so what
they say and what make_print does cannot part ways.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import sheet_grid
from sim.enlarger.easel_light import EaselLight
from sim.enlarger.filters import FilterSetting
from sim.enlarger.settings import Bench, set_up
from sim.negative.negative import Negative, Place
from sim.paper.emulsion import Emulsion
from sim.printing.exposure import LightCache
from sim.printing.record import PrintingRecord
from sim.refusals import Refused

FloatArray = NDArray[np.float64]

SAMPLES_PER_PLACE = 121


@dataclass(frozen=True, eq=False)
class PlaceLight:
    """Film codes and relative light at sample points of places [place, sample], from one aperture."""

    light: EaselLight
    codes: NDArray[np.intp]
    relative: FloatArray
    neutral_codes: NDArray[np.intp] | None

    def rates(self, emulsion: Emulsion, filtration: FilterSetting) -> tuple[FloatArray, FloatArray]:
        """Return blue and green exposure per second at every sample [place, sample] through a filter."""
        if self.neutral_codes is not None:
            neutral = self.light.neutral_light
            passed = np.append(10.0**-neutral.levels, 0.0)[self.neutral_codes]
            blue, green = emulsion.exposures(self.light.open_spectrum(filtration))
            return passed * blue, passed * green
        tables = self.light.stained_tables(emulsion.weightings(), filtration)
        blue_rates = tables[0][self.codes] * self.relative
        green_rates = tables[1][self.codes] * self.relative if len(tables) == 2 else np.zeros_like(blue_rates)
        return blue_rates, green_rates

    def illuminance_lux(self, filtration: FilterSetting) -> FloatArray:
        """Return mean illuminance at each place, in lux of the lamp's unfiltered light scaled by the filter's V share.

        The filter is weighed with V(lambda) over the wavelengths that paper sees and the red beyond as at 620 nm.
        """
        from sim.enlarger.spectra import VISIBLE_NM, photopic_efficiency

        lamp = self.light.lamp_per_lux
        through = filtration.densities().transmittance()
        eye = photopic_efficiency(VISIBLE_NM[: len(lamp)]) * lamp
        share = float((eye * through).sum() / eye.sum())
        if self.neutral_codes is not None:
            neutral = self.light.neutral_light
            passed = np.append(10.0**-neutral.levels, 0.0)[self.neutral_codes]
        else:
            passed = self.light.film_transmittance[self.codes] * self.relative
        return np.asarray(self.light.illuminance_lux * share * passed.mean(axis=1))


def sample_points_mm(place_mm: tuple[float, float], spot_mm: float) -> FloatArray:
    """Return points spread evenly over a round spot [sample, 2]: a sunflower pattern, the same every time."""
    k = np.arange(SAMPLES_PER_PLACE)
    radius = 0.5 * spot_mm * np.sqrt((k + 0.5) / SAMPLES_PER_PLACE)
    angle = k * np.pi * (3.0 - np.sqrt(5.0))
    return np.column_stack([place_mm[0] + radius * np.cos(angle), place_mm[1] + radius * np.sin(angle)])


def places_on_sheet(negative: Negative, record: PrintingRecord, places: tuple[Place, ...]) -> tuple[Bench, FloatArray]:
    """Return the bench and the sample points of places on the sheet [place, sample, 2] in mm."""
    from sim.printing.make_print import frame_on_sheet

    left, top, width, height = frame_on_sheet(negative, record)
    points = [sample_points_mm((left + p.x * width, top + p.y * height), p.spot_mm) for p in places]
    return set_up(record.enlarger, negative), np.array(points)


def place_light(
    negative: Negative, record: PrintingRecord, places: tuple[Place, ...], f_number: float,
    lights: LightCache, exposure_time_s: float = 10.0,
) -> PlaceLight:  # fmt: skip
    """Return the light at places of a sheet. Raises ValueError when a place does not lie on the open sheet."""
    bench, points = places_on_sheet(negative, record, places)
    sheet = record.sheet
    grid = sheet_grid(negative, bench, sheet.width_mm, sheet.height_mm, sheet.border_mm, sheet.image_shift_mm)
    light = lights.get(negative, bench, grid, f_number, exposure_time_s)
    col = np.round((points[..., 0] - grid.width_mm / 2) * grid.px_per_mm + (grid.cols - 1) / 2).astype(np.intp)
    row = np.round((points[..., 1] - grid.height_mm / 2) * grid.px_per_mm + (grid.rows - 1) / 2).astype(np.intp)
    rows, cols = grid.open_window()
    outside = (row < rows.start) | (row >= rows.stop) | (col < cols.start) | (col >= cols.stop)
    for place, missing in zip(places, outside.all(axis=1), strict=True):
        if missing:
            raise Refused(f"place {place.name!r} does not lie on the open part of the sheet")
    row, col = np.clip(row, rows.start, rows.stop - 1), np.clip(col, cols.start, cols.stop - 1)
    neutral = light.neutral_light.codes[row, col].astype(np.intp) if light.is_neutral else None
    return PlaceLight(
        light, light.film.codes[row, col].astype(np.intp), light.relative[row, col].astype(float), neutral
    )
