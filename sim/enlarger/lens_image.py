"""What the lens makes of the film's picture: grain too fine for the negative's pixels, focus everywhere, blur.

Acts on transmitted light on the sheet's grid, before the paper. Where focus varies over the sheet (tilts, a buckled
negative) a few evenly blurred pictures are mixed.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.easel import FilmCoordinates, SheetGrid, film_coordinates
from sim.enlarger.fine_detail import TOO_COARSE, FineDetail
from sim.enlarger.focus import MIDDLE_WAVELENGTH_MM, defocus_waves, field_f_number, popped_mm
from sim.enlarger.printing_light import printing_wavelengths_mm
from sim.enlarger.settings import Bench, checked_aperture
from sim.enlarger.transfer import Pupil, blurred, pupil_at
from sim.negative.film import granularity_sd
from sim.negative.grain import grain_field
from sim.negative.negative import Negative

BAND_ROWS = 256

Float32Array = NDArray[np.float32]
FloatArray = NDArray[np.float64]


def with_fine_grain(picture: Float32Array, negative: Negative, bench: Bench, grid: SheetGrid) -> Float32Array:
    """Return a picture rendered finer than the negative's pixels with the grain those pixels were too coarse to hold.

    By Selwyn's law smaller pixels fluctuate more; what the negative already carries is taken off. A sheet at the
    negative's own pixels is returned unchanged.
    """
    finer_px_per_mm = grid.px_per_mm * bench.print_scale
    if negative.rms_granularity == 0.0 or finer_px_per_mm < 1.5 * negative.px_per_mm:
        return picture
    density = -np.log10(np.maximum(picture, np.float32(1e-4)))
    fine = granularity_sd(density, negative.rms_granularity, finer_px_per_mm**-2.0)
    coarse = granularity_sd(density, negative.rms_granularity, negative.px_per_mm**-2.0)
    missing = np.sqrt(np.maximum(fine**2 - coarse**2, 0.0)).astype(np.float32)
    offset = int(abs(grid.shift_mm[0]) * 97 + abs(grid.shift_mm[1]) * 89)
    grain = grain_field(picture.shape, offset)
    return np.asarray(picture * np.exp(np.float32(-np.log(10.0)) * missing * grain), dtype=np.float32)


def image_shift_mm(
    at: FilmCoordinates, bench: Bench, exposure_time_s: float, frame_mm: tuple[float, float]
) -> FloatArray:
    """Return the focus error on the easel side at every point: focus, popping and both tilts together.

    Positive where the sharp image lies above the paper, towards the lens. A negative moved away from the lens by z lifts
    the image by ``m**2 z``; a cold negative in a glassless carrier has not yet risen to where it was focused warm.
    """
    settings, head = bench.settings, bench.head
    stage = settings.focus_offset_mm - at.x * np.sin(np.radians(settings.negative_tilt_deg))
    if settings.carrier == "glassless":
        rise = popped_mm(exposure_time_s, head.popping_mm, head.popping_time_s)
        reference = head.popping_mm if settings.focused == "warm" else 0.0
        radius = (2 * at.x / frame_mm[0]) ** 2 + (2 * at.y / frame_mm[1]) ** 2
        stage = stage + (rise - reference) * (1.0 - np.minimum(radius / 2.0, 1.0))
    easel = at.easel_x * np.sin(np.radians(settings.easel_tilt_deg))
    return np.asarray(bench.magnification**2 * stage - easel)


def widest_blur_mm(
    negative: Negative, bench: Bench, grid: SheetGrid, f_number_mark: float, exposure_time_s: float
) -> float:
    """Return the widest disc into which defocus and aberration smear a point on a grid (none in the contact frame)."""
    if bench.settings.contact:
        return 0.0
    coarse = replace(grid, rows=9, cols=9, px_per_mm=8.0 / max(grid.width_mm, grid.height_mm))
    shift = image_shift_mm(film_coordinates(coarse, bench), bench, exposure_time_s, negative.frame_mm)
    return pupil_towards(bench, f_number_mark, (0.0, 0.0)).disc_mm(float(np.abs(shift).max()))


def pupil_towards(
    bench: Bench, f_number_mark: float, off_axis_mm: tuple[float, float], fine: FineDetail = TOO_COARSE
) -> Pupil:
    """Return the beam of a bench towards a point of the paper, (right, down) from the axis in mm, at a mark of the ring."""
    pupil = pupil_at(
        bench.lens, checked_aperture(bench.lens, f_number_mark), bench.magnification,
        printing_wavelengths_mm(bench.head.lamp, fine.filtration), off_axis_mm, bench.lens_to_paper_mm,
    )  # fmt: skip
    return replace(pupil, paper_half_lp_mm=fine.paper_half_lp_mm)


def through_lens(
    light: Float32Array, negative: Negative, bench: Bench, grid: SheetGrid, f_number_mark: float,
    exposure_time_s: float, fine: FineDetail = TOO_COARSE,
) -> Float32Array:  # fmt: skip
    """Return the picture of light after the lens; where focus varies, a mix of a few evenly blurred pictures.

    The beam is taken as seen from the middle of the grid: on the axis for a whole sheet, off it for a loupe's crop.
    A piece of a sheet is seen as the whole sheet is.
    """
    at = film_coordinates(grid, bench)
    shift_mm = image_shift_mm(at, bench, exposure_time_s, negative.frame_mm)
    right, down = (grid.whole or grid).shift_mm
    pupil = pupil_towards(bench, f_number_mark, (-right, -down), fine)
    low, high = float(shift_mm.min()), float(shift_mm.max())
    f_number = field_f_number(pupil.working_f, float(np.arccos(pupil.cosine)))
    waves = float(defocus_waves(high - low, f_number, MIDDLE_WAVELENGTH_MM))
    levels = 1 if waves < 0.05 else int(min(2 + np.ceil(waves / 0.5), 7))
    if levels == 1:
        return blurred(light, grid.px_per_mm, pupil, 0.5 * (low + high))
    shifts = np.linspace(low, high, levels)
    shift_mm = np.broadcast_to(shift_mm, light.shape)
    out = np.zeros_like(light)
    for k, shift in enumerate(shifts):
        evenly: Float32Array | None = None
        for first in range(0, len(light), BAND_ROWS):  # band by band: a large sheet's weights would take more than its light
            band = slice(first, first + BAND_ROWS)
            position = (shift_mm[band] - low) / (high - low) * (levels - 1)
            weight = np.maximum(1.0 - np.abs(position - k), 0.0).astype(np.float32)
            if weight.any():
                evenly = blurred(light, grid.px_per_mm, pupil, float(shift)) if evenly is None else evenly
                out[band] += weight * evenly[band]
    return out
