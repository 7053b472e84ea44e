"""The light that reaches the paper, kept factored: lamp spectrum x film x fall-off. No array of pixels x wavelengths.

Order of the light's way: gate, film (silver scatters, stain colours), lens (blur, flare), column (level, fall-off).
Blur and flare act on transmitted light, before the paper.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np
from numpy.typing import NDArray

from sim.bands import bands, look_up, looked_up
from sim.enlarger.easel import FilmCoordinates, SheetGrid, film_coordinates
from sim.enlarger.fall_off import light_by_radius
from sim.enlarger.film_light import FilmLight, scattering_of
from sim.enlarger.filters import FilterSetting
from sim.enlarger.fine_detail import TOO_COARSE, FineDetail
from sim.enlarger.illuminance import open_gate_lux
from sim.enlarger.lens_image import through_lens, with_fine_grain
from sim.enlarger.light_from_beyond import light_from_beyond
from sim.enlarger.settings import Bench, checked_aperture
from sim.enlarger.sharpness import spread_on_paper
from sim.enlarger.spectra import Spectrum, per_lux
from sim.enlarger.under_loupe import film_under_loupe
from sim.negative.callier import Scattering
from sim.negative.negative import FRAME_LEVELS, Negative, stain_shape
from sim.quantities import WAVELENGTHS_NM, Float32Array, FloatArray

CODES = 65535  # densities are coded 0..65534; the last code means: no light at all
NO_LIGHT = np.uint16(CODES)
LEAST_PASSED, LEAST_NEUTRAL = 1e-6, 1e-9  # shares of light that are none: behind the film alone, and with base and corners


@dataclass(frozen=True, eq=False)
class DensityCodes:
    """A map of densities as 16-bit codes: ``density = low + step * code``; code 65535 is no light."""

    codes: NDArray[np.uint16]
    low: float
    step: float

    @property
    def levels(self) -> FloatArray:
        """Density of every code that stands for light."""
        return np.asarray(self.low + self.step * np.arange(CODES), dtype=np.float64)

    def table_of(self, value: Callable[[FloatArray], FloatArray], dark: float = 0.0) -> Float32Array:
        """Return what a function of density comes to for every code, ``dark`` for the one without light [65536]."""
        return np.append(value(self.levels), dark).astype(np.float32)

    def picture_of(self, value: Callable[[FloatArray], FloatArray], dark: float = 0.0) -> Float32Array:
        """Return what a function of density comes to at every point.

        Of a sheet by a table of all codes, of a small piece point by point: the same numbers either way.
        """
        if self.codes.size > CODES:
            return looked_up(self.table_of(value, dark), self.codes)
        out = value(np.asarray(self.low + self.step * self.codes.astype(np.intp), dtype=np.float64))
        return np.where(self.codes == NO_LIGHT, np.float32(dark), out.astype(np.float32))

    @property
    def passed(self) -> Float32Array:
        """The share of light that comes through at every point."""
        return self.picture_of(lambda density: np.asarray(10.0**-density))

    def piece(self, rows: slice, cols: slice) -> DensityCodes:
        """Return the codes between two rows and two columns."""
        return DensityCodes(np.ascontiguousarray(self.codes[rows, cols]), self.low, self.step)


def coded(light: Float32Array, dark: float) -> DensityCodes:
    """Return a picture of light as codes of its density, over their own range; what is no lighter than ``dark`` is none.

    Half a step is below 0.00003 for a usual negative.
    """
    low, high = _density_range(light, dark)
    step = (high - low) / (CODES - 1)
    out = np.empty(light.shape, dtype=np.uint16)
    per_log, first = np.float32(-1.0 / (np.log(10.0) * step)), np.float32(0.5 - low / step)
    for band in bands(light.shape):
        shares = light[band]
        none = shares <= dark
        codes = np.log(np.maximum(shares, np.float32(dark)))
        codes *= per_log
        codes += first
        np.copyto(out[band], codes, casting="unsafe")
        if none.any():
            out[band][none] = NO_LIGHT
    return DensityCodes(out, low, step)


def _density_range(light: Float32Array, dark: float) -> tuple[float, float]:
    """Return the density of the lightest and of the darkest point that gets more light than ``dark``; half a unit at least."""
    most, least = float(light.max(initial=0.0)), float(light.min(initial=np.inf))
    if least <= dark:
        lit = (light[band].min(where=light[band] > dark, initial=np.inf) for band in bands(light.shape))
        least = min((float(one) for one in lit), default=1.0)
    if most <= dark:
        return 0.0, 0.5
    low = float(-np.log10(most))
    return low, max(float(-np.log10(least)), low + 0.5)


@dataclass(frozen=True, eq=False)
class EaselLight:
    """Light on the sheet from one aperture: what the paper gets is a function of these factors and a filter.

    ``film`` codes the silver density that the head sees (Callier effect and blur included); ``relative`` is fall-off times
    easel window, 1 on the axis, float32 [row, col]. ``illuminance_lux`` is on the axis, open gate, no filter.
    ``frame_silver`` counts the WHOLE frame's pixels by diffuse silver density on FRAME_LEVELS: stray light comes from all
    of it, whatever piece of it lies on the paper.
    """

    grid: SheetGrid
    illuminance_lux: float
    lamp_per_lux: Spectrum
    film: DensityCodes
    relative: Float32Array
    base_density: float
    stain_share: float
    scattering: Scattering
    flare_share: float
    frame_silver: NDArray[np.int64]

    @property
    def is_neutral(self) -> bool:
        """Tell whether the film passes all colours alike, so that one map of light serves every filter."""
        return self.stain_share == 0.0

    def open_spectrum(self, filtration: FilterSetting) -> Spectrum:
        """Return irradiance in W/m2/nm on the axis through a filter, without film."""
        return self.illuminance_lux * self.lamp_per_lux * filtration.densities().transmittance()

    @cached_property
    def neutral_light(self) -> DensityCodes:
        """Codes of the total neutral density between lamp and paper: film, flare, base, fall-off, easel window."""
        picture = self.transmitted
        stray = np.float32(self.flare_share * self._frame_mean_neutral())
        for band in bands(picture.shape):
            picture[band] += stray
            picture[band] *= self.relative[band]
        return coded(picture, LEAST_NEUTRAL)

    @property
    def transmitted(self) -> Float32Array:
        """Neutral transmittance of silver and base at every point."""
        return self.film.picture_of(lambda density: 10.0 ** -(density + self.base_density))

    def piece(self, rows: slice, cols: slice, grid: SheetGrid) -> EaselLight:
        """Return the same light between two rows and two columns, whose grid is given with its blades."""
        relative = self.relative[rows, cols].copy()
        _covered_by_blades(relative, grid)
        return replace(self, grid=grid, film=self.film.piece(rows, cols), relative=relative)

    def _frame_mean_neutral(self) -> float:
        """Return the mean transmittance of silver and base over the whole frame."""
        printing = self.scattering.printing_density(FRAME_LEVELS) + self.base_density
        return float(self.frame_silver @ 10.0**-printing / self.frame_silver.sum())

    def _frame_mean_light(self, silver: FloatArray, light: FloatArray) -> FloatArray:
        """Return the frame's mean of ``light`` [silver density, weighting] given at rising densities of silver."""
        shares = self.frame_silver / self.frame_silver.sum()
        columns = [np.exp(np.interp(FRAME_LEVELS, silver, np.log(np.maximum(k, 1e-300)))) for k in light.T]
        return np.array([[shares @ column] for column in columns])

    def stained_light(self, weightings: FloatArray, filtration: FilterSetting) -> list[Float32Array]:
        """Return exposure per second at every point, one picture for each weighting: film, flare and fall-off.

        ``weightings`` [weighting, wavelength] are a paper's spectral sensitivities times the wavelength step. Needed for
        stained film, where blue and green are held back differently. Blur is taken on the silver image; the stain
        follows it (exact for even areas).
        """
        curves = self.stained_curves(weightings, filtration)
        return [self.film.picture_of(through, flare) * self.relative for through, flare in curves]

    def stained_curves(
        self, weightings: FloatArray, filtration: FilterSetting
    ) -> list[tuple[Callable[[FloatArray], FloatArray], float]]:
        """Return, for each weighting, exposure per second as a function of the film's density, and the flare in it."""
        nodes = np.linspace(self.film.low, self.film.low + self.film.step * (CODES - 1), 1025)
        silver = self._diffuse_silver(nodes)
        per_node = np.log(np.maximum(self._behind_film(nodes, silver, filtration) @ weightings.T, 1e-300))
        stray = self._stray_light(weightings, filtration)
        return [
            (partial(_interpolated, nodes, column, flare), flare)
            for column, flare in zip(per_node.T, stray, strict=True)
        ]

    def _stray_light(self, weightings: FloatArray, filtration: FilterSetting) -> list[float]:
        """Return the lens's stray light for each weighting: a share of the whole frame's mean."""
        if self.flare_share == 0.0:
            return [0.0] * len(weightings)
        frame = np.linspace(0.0, float(FRAME_LEVELS[-1]), 385)
        light = self._behind_film(self.scattering.printing_density(frame), frame, filtration) @ weightings.T
        return [self.flare_share * float(mean[0]) for mean in self._frame_mean_light(frame, light)]

    def _behind_film(self, printing: FloatArray, silver: FloatArray, filtration: FilterSetting) -> FloatArray:
        """Return irradiance [density, wavelength] on the axis behind silver (as the head sees it), its stain and base."""
        density = printing[:, None] + self.base_density + self.stain_share * silver[:, None] * stain_shape(WAVELENGTHS_NM)
        return np.asarray(self.open_spectrum(filtration) * 10.0**-density)

    def _diffuse_silver(self, printing_density: FloatArray) -> FloatArray:
        """Return diffuse silver density behind a density as this head sees it (never below 0)."""
        if not self.scattering.shows:
            return np.maximum(printing_density, 0.0)
        diffuse = np.linspace(0.0, 6.0, 2401)
        return np.interp(printing_density, self.scattering.printing_density(diffuse), diffuse)


def _interpolated(nodes: FloatArray, log_light: FloatArray, flare: float, density: FloatArray) -> FloatArray:
    return np.asarray(np.exp(np.interp(density, nodes, log_light)) + flare)


RADIAL_STEPS = 4096


def _fall_off(at: FilmCoordinates, bench: Bench, f_number: float, shape: tuple[int, int]) -> Float32Array:
    """Return relative light on the sheet [row, col]: cosine law, barrel, tilt.

    Both laws depend on the field angle alone; they are worked out on 4096 radii and looked up (0.0002 of light at most).
    Of a tilted easel the radius is where the beam would meet the easel laid flat.
    """
    flat_x, flat_y, stretch = at.on_flat_easel
    furthest = max(float(np.hypot(np.abs(flat_x).max(), np.abs(flat_y).max() * np.abs(stretch).max())), 1.0)
    light = light_by_radius(bench, np.linspace(0.0, furthest, RADIAL_STEPS), f_number).astype(np.float32)
    per_mm = (RADIAL_STEPS - 1) / furthest
    across, down = ((flat_x * per_mm) ** 2).astype(np.float32), ((flat_y * per_mm) ** 2).astype(np.float32)
    stretched = (stretch**2).astype(np.float32)
    out = np.empty(shape, dtype=np.float32)
    for band in bands(shape):
        step = down[band] * stretched + across
        np.sqrt(step, out=step)
        step += np.float32(0.5)
        look_up(light, step, out[band])
        if at.tilt_light is not None:
            out[band] *= at.tilt_light.astype(np.float32)
    return out


def _covered_by_blades(light: Float32Array, grid: SheetGrid) -> None:
    """Take away the light that falls on the easel's blades, in place."""
    rows, cols = grid.open_window()
    for beside in ((slice(0, rows.start), slice(None)), (slice(rows.stop, None), slice(None)),
                   (rows, slice(0, cols.start)), (rows, slice(cols.stop, None))):  # fmt: skip
        light[beside] = 0.0


def project(
    negative: Negative, bench: Bench, grid: SheetGrid, f_number_mark: float, exposure_time_s: float = 10.0,
    film: FilmLight | None = None, fine: FineDetail = TOO_COARSE,
) -> EaselLight:  # fmt: skip
    """Return the light on the sheet. Raises SettingsRefused for an aperture the lens does not have.

    ``exposure_time_s`` matters only for a glassless carrier, where the negative moves while it warms. ``film`` is the
    negative's own ``FilmLight`` on this bench at this aperture where it is known already; ``fine`` what a fine grid shows
    besides.
    """
    f_number = checked_aperture(bench.lens, f_number_mark)
    at = film_coordinates(grid, bench)
    passed = film or FilmLight(negative, scattering_of(negative, bench, f_number_mark), bench.settings.flipped)
    if bench.settings.contact:
        picture = spread_on_paper(_contact_picture(passed, negative, at), grid.px_per_mm, fine.paper_half_lp_mm)
        flare = 0.0
    else:
        picture = _projected_picture(passed, bench, grid, at)
        picture = through_lens(picture, negative, bench, grid, f_number_mark, exposure_time_s, fine)
        if grid.whole is not None and not grid.magnified:
            picture += light_from_beyond(passed, bench, grid, f_number_mark, exposure_time_s, fine)
            np.maximum(picture, np.float32(0.0), out=picture)
        flare = bench.lens.flare_share
    codes = coded(picture, LEAST_PASSED)
    relative = _fall_off(at, bench, f_number, (grid.rows, grid.cols))
    _covered_by_blades(relative, grid)
    return EaselLight(
        grid, open_gate_lux(bench, f_number_mark), per_lux(bench.head.lamp), codes, relative, negative.base_density,
        negative.stain_share, passed.scattering, flare, negative.frame_silver,
    )  # fmt: skip


def _projected_picture(passed: FilmLight, bench: Bench, grid: SheetGrid, at: FilmCoordinates) -> Float32Array:
    """Return what of the film's light is projected to every point, before the lens has blurred it."""
    if grid.magnified:
        return film_under_loupe(passed.negative, bench, grid, at, passed.scattering)
    return with_fine_grain(passed.sampled(at, 0.0), passed.negative, bench, grid)


def _contact_picture(film_light: FilmLight, negative: Negative, at: FilmCoordinates) -> Float32Array:
    """Return light under a negative on the paper: the frame, its clear rebate (prints black), and bare light beyond.

    Silver transmittance is relative to the film's base, so bare light is brighter than 1 by the base's own density.
    """
    picture = film_light.sampled(at, 1.0)
    half_w, half_h = (side / 2 + negative.rebate_mm for side in negative.frame_mm)
    beyond = (np.abs(at.x) > half_w) | (np.abs(at.y) > half_h)
    return np.where(beyond, np.float32(10.0**negative.base_density), picture)
