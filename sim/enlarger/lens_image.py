"""What the lens makes of the film's picture: grain too fine for the negative's pixels, focus everywhere, blur.

Acts on transmitted light on the sheet's grid, before the paper. Where focus varies over the sheet (tilts, a buckled
negative) a few evenly blurred pictures are mixed.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sim.enlarger.easel import FilmCoordinates, SheetGrid, film_coordinates
from sim.enlarger.fine_detail import TOO_COARSE, FineDetail
from sim.enlarger.focus import MIDDLE_WAVELENGTH_MM, defocus_waves, field_f_number, popped_mm
from sim.enlarger.printing_light import printing_wavelengths_mm
from sim.enlarger.settings import Bench, checked_aperture
from sim.enlarger.sharpness import Pupil, blurred, pupil_at
from sim.enlarger.under_loupe import first_node
from sim.negative.negative import Negative
from sim.quantities import Float32Array, FloatArray

MARGIN_MM = 6.0  # beyond the blur disc: diffraction spreads its last thousandths of the light that far


def with_fine_grain(picture: Float32Array, negative: Negative, bench: Bench, grid: SheetGrid) -> Float32Array:
    """Return a picture rendered finer than the negative's pixels with the grain those pixels were too coarse to hold.

    Smaller pixels fluctuate more; what the negative already carries is left out. A sheet at the negative's own pixels is
    returned unchanged.
    """
    finer_px_per_mm = grid.px_per_mm * bench.print_scale
    if negative.rms_granularity == 0.0 or finer_px_per_mm < 1.5 * negative.px_per_mm:
        return picture
    grain, pitch_mm = negative.grain, 1.0 / finer_px_per_mm
    density = -np.log10(np.maximum(picture, np.float32(1e-4)))
    missing = np.sqrt(np.maximum(grain.sd(density, pitch_mm) ** 2 - grain.sd(density, 1.0 / negative.px_per_mm) ** 2, 0.0))
    pattern = missing.astype(np.float32) * grain.pattern(pitch_mm, first_node(grid), picture.shape)
    return np.asarray(picture * np.exp(np.float32(-np.log(10.0)) * pattern), dtype=np.float32)


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


def pupil_of_sheet(bench: Bench, grid: SheetGrid, f_number_mark: float, fine: FineDetail) -> Pupil:
    """Return the beam by which a sheet is judged: towards its middle, a piece's too, unless a loupe stands on the piece."""
    right, down = (grid if grid.magnified else grid.whole or grid).shift_mm
    return pupil_towards(bench, f_number_mark, (-right, -down), fine)


def through_lens(
    light: Float32Array, negative: Negative, bench: Bench, grid: SheetGrid, f_number_mark: float,
    exposure_time_s: float, fine: FineDetail = TOO_COARSE,
) -> Float32Array:  # fmt: skip
    """Return the picture of light after the lens; where focus varies, a mix of a few evenly blurred pictures.

    Each of those is made only where it counts.
    """
    at = film_coordinates(grid, bench)
    shift_mm = image_shift_mm(at, bench, exposure_time_s, negative.frame_mm)
    pupil = pupil_of_sheet(bench, grid, f_number_mark, fine)
    low, high = float(shift_mm.min()), float(shift_mm.max())
    f_number = field_f_number(pupil.working_f, float(np.arccos(pupil.cosine)))
    waves = float(defocus_waves(high - low, f_number, MIDDLE_WAVELENGTH_MM))
    levels = 1 if waves < 0.05 else int(min(2 + np.ceil(waves / 0.5), 7))
    if levels == 1:
        return blurred(light, grid.px_per_mm, pupil, 0.5 * (low + high))
    out = np.zeros_like(light)
    for level, shift in enumerate(np.linspace(low, high, levels)):
        span, weight = _where_level_counts((shift_mm - low) * ((levels - 1) / (high - low)) - level, light.shape)
        margin = int(np.ceil((MARGIN_MM + pupil.disc_mm(float(shift))) * grid.px_per_mm))
        around = tuple(
            slice(max(side.start - margin, 0), min(side.stop + margin, most))
            for side, most in zip(span, light.shape, strict=True)
        )
        evenly = blurred(np.ascontiguousarray(light[around]), grid.px_per_mm, pupil, float(shift))
        inner = tuple(slice(s.start - a.start, s.stop - a.start) for s, a in zip(span, around, strict=True))
        out[span] += weight * evenly[inner]
    return out


def _where_level_counts(apart: FloatArray, shape: tuple[int, ...]) -> tuple[tuple[slice, slice], Float32Array]:
    """Return the rows and columns in which one of the evenly blurred pictures counts, and how much of it there.

    ``apart`` is how many levels of focus each point lies away from that picture's, [row or 1, col].
    """
    weight = np.maximum(np.float32(1.0) - np.abs(apart.astype(np.float32)), np.float32(0.0))
    span = []
    for axis, count in enumerate(shape):
        counts = np.flatnonzero(weight.any(axis=1 - axis))
        if weight.shape[axis] == 1:
            counts = np.array([0, count - 1])
        span.append(slice(int(counts[0]), int(counts[-1]) + 1) if counts.size else slice(0, 0))
    rows, cols = span
    return (rows, cols), weight[rows if weight.shape[0] > 1 else slice(None), cols]
