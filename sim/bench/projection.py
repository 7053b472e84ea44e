"""The projected picture at the size of a window: the sheet's own light on a coarser grid, quick to follow aperture and filter.

Projecting anew (height, focus, negative) takes the way of every print. An aperture changes level and corners only, as
long as its blur stays below a third of a screen pixel; then the picture is kept. For looking only, never for marks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.bounded_store import MEGABYTE, KeptWithin, bytes_of
from sim.enlarger.easel import FilmCoordinates, SheetGrid, film_coordinates
from sim.enlarger.easel_light import project
from sim.enlarger.fall_off import barrel_share, light_by_radius
from sim.enlarger.film_light import FilmLight, scattering_of
from sim.enlarger.filters import FilterSetting
from sim.enlarger.lens_image import through_lens, widest_blur_mm
from sim.enlarger.settings import Bench, checked_aperture
from sim.enlarger.spectra import Spectrum, per_lux
from sim.negative.negative import Negative
from sim.quantities import WAVELENGTHS_NM

Float32Array = NDArray[np.float32]

SHARP_PX = 0.33  # a blur disc smaller than this is not seen on the screen
RADII = 2048
PICTURE_BYTES = 32 * MEGABYTE


@dataclass(frozen=True, eq=False)
class Projected:
    """Light on a view's grid relative to the open beam on the axis [row, col], and what an aperture changes of it."""

    relative: Float32Array  # film x fall-off at the aperture it was projected with
    lamp_per_lux: Spectrum
    f_number: float
    radius_index: NDArray[np.int32]
    radii_mm: NDArray[np.float64]


class Projector:
    """Keeps the last few projections of a view, and what a new height or focus does not change."""

    def __init__(self) -> None:
        self._kept: KeptWithin[tuple[Negative, Projected]] = KeptWithin(PICTURE_BYTES, lambda kept: bytes_of(kept[1]), most=4)
        self._film: tuple[tuple[object, ...], FilmLight] | None = None
        self._radius: tuple[tuple[object, ...], NDArray[np.int32], NDArray[np.float64]] | None = None

    def projected(self, negative: Negative, bench: Bench, grid: SheetGrid, f_mark: float, time_s: float) -> Projected:
        """Return the projection of a negative on a grid. Raises SettingsRefused for an aperture the lens lacks."""
        warming = round(time_s, 1) if bench.settings.carrier == "glassless" else 0.0
        sharp = self._looks_sharp(negative, bench, grid, f_mark, time_s)
        scattering = scattering_of(negative, bench, f_mark)  # under a condenser every aperture has its own contrast
        key = (id(negative), bench.settings, grid, warming, scattering, None if sharp else f_mark)
        return self._kept.keep(key, lambda: (negative, self._project(negative, bench, grid, f_mark, time_s, sharp)))[1]

    def _looks_sharp(self, negative: Negative, bench: Bench, grid: SheetGrid, f_mark: float, time_s: float) -> bool:
        """Tell whether the lens's blur is too small to be seen at this grid's pixels, anywhere in the picture."""
        if bench.settings.contact:
            return True
        return widest_blur_mm(negative, bench, grid, f_mark, time_s) * grid.px_per_mm < SHARP_PX

    def _project(
        self, negative: Negative, bench: Bench, grid: SheetGrid, f_mark: float, time_s: float, sharp: bool
    ) -> Projected:
        """Project as every print is projected, without coding the picture for exact tables."""
        at = film_coordinates(grid, bench)
        index, radii = self._radii(grid, bench, at)
        f_number, lamp = checked_aperture(bench.lens, f_mark), per_lux(bench.head.lamp)
        if bench.settings.contact:
            light = project(negative, bench, grid, f_mark, time_s)
            relative = light.transmitted * light.relative
            return Projected(relative, lamp, f_number, index, radii)
        picture = self._film_light(negative, bench, f_mark).sampled(at, 0.0)
        if not sharp:
            picture = through_lens(picture, negative, bench, grid, f_mark, time_s)
        picture = picture + np.float32(bench.lens.flare_share * float(picture.mean()))
        picture *= (10.0**-negative.base_density * light_by_radius(bench, radii, f_number)).astype(np.float32).take(index)
        if at.tilt_light is not None:
            picture *= at.tilt_light.astype(np.float32)
        return Projected(picture, lamp, f_number, index, radii)

    def _film_light(self, negative: Negative, bench: Bench, f_mark: float) -> FilmLight:
        scattering, flipped = scattering_of(negative, bench, f_mark), bench.settings.flipped
        key = (id(negative), scattering, flipped)
        if self._film is None or self._film[0] != key:
            self._film = (key, FilmLight(negative, scattering, flipped))
        return self._film[1]

    def _radii(
        self, grid: SheetGrid, bench: Bench, at: FilmCoordinates
    ) -> tuple[NDArray[np.int32], NDArray[np.float64]]:
        """Return where every pixel lies on a table of distances from the axis on a flat easel, and the table."""
        tilt_deg = bench.settings.easel_tilt_deg
        key = (grid, tilt_deg, bench.lens_to_paper_mm if tilt_deg else 0.0)
        if self._radius is None or self._radius[0] != key:
            flat_x, flat_y, stretch = at.on_flat_easel
            radius = np.hypot(flat_x, flat_y * stretch)
            radii = np.linspace(0.0, max(float(radius.max()), 1.0), RADII)
            self._radius = (key, np.rint(radius * ((RADII - 1) / radii[-1])).astype(np.int32), radii)
        return self._radius[1:]


def light_at(view: Projected, bench: Bench, f_mark: float) -> Float32Array:
    """Return light relative to the open beam on the axis at an aperture: only the corners follow it."""
    f_number = checked_aperture(bench.lens, f_mark)
    if bench.settings.contact or abs(f_number - view.f_number) < 1e-6:
        return view.relative
    clipped = [barrel_share(bench, view.radii_mm, f) for f in (f_number, view.f_number)]
    ratio = (clipped[0] / np.maximum(clipped[1], 1e-6)).astype(np.float32)
    if float(np.abs(ratio - 1.0).max()) < 1e-3:
        return view.relative
    return np.asarray(view.relative * ratio.take(view.radius_index))


def light_tint(filtration: FilterSetting) -> tuple[float, float, float]:
    """Return how a filter colours white paper: red, green, blue shares, the largest 1 (three bands of the spectrum)."""
    through = filtration.densities().transmittance()
    bands = ((575.0, 620.0), (495.0, 575.0), (400.0, 495.0))
    shares = [float(through[(a <= WAVELENGTHS_NM) & (b >= WAVELENGTHS_NM)].mean()) for a, b in bands]
    most = max(shares)
    return shares[0] / most, shares[1] / most, shares[2] / most
