"""How sharp lens and paper are, stopped down or wide open: what becomes of fine detail between negative and paper's grains.

One transfer, laid on a picture of light. The lens passes less contrast the finer the detail: diffraction in all the colours
that print, its own residual aberration (spherical, and off axis astigmatism), focus; the mark at which it does best comes
out of these. The paper spreads light among its grains. All act on light, before the curve.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sim.enlarger.equipment import Lens
from sim.enlarger.focus import MIDDLE_WAVELENGTH_MM, blur_disc_mm, oblique_f_numbers, traced_transfer
from sim.enlarger.geometry import working_f_number
from sim.lost_detail import FINE_STEPS, SHOWS, highest_frequency, spread_transfer, with_detail_lost
from sim.quantities import FloatArray

Direction = Literal["radial", "tangential"]

TABLE_STEPS = 512
CORNER = 0.7072  # of the square of frequencies that pixels can hold, over their number per mm
REFOCUSED = 1.15  # path at the rim by which an aberrated lens is focused nearer, over its spherical error: most contrast


@dataclass(frozen=True)
class Pupil:
    """The beam that makes one point of the image.

    ``spherical_mm`` is the wavefront's error at the rim (r**4, in mm of path), refocused as an eye does that looks for most
    contrast (best at 5 lp/mm within 0.004); ``astigmatism_mm`` how far above and below the middle focus, at the easel,
    detail across and along the radius is sharp. ``paper_half_lp_mm`` is where the paper passes half contrast (0: paper
    left out). ``cosine`` is of the field angle, ``towards_rad`` the way from the axis to the point (0 right, pi/2 down).
    """

    working_f: float
    wavelengths_mm: tuple[float, ...]
    spherical_mm: float = 0.0
    astigmatism_mm: float = 0.0
    paper_half_lp_mm: float = 0.0
    cosine: float = 1.0
    towards_rad: float = 0.0

    @property
    def is_round(self) -> bool:
        """Tell whether detail in all directions fares alike."""
        return self.cosine > 0.9999 and self.astigmatism_mm == 0.0

    def transfer(self, frequency_lp_mm: FloatArray, image_shift_mm: float, direction: Direction) -> FloatArray:
        """Return the transfer of detail that runs across the radius ("radial") or along it, at cycles/mm on the print."""
        radial, tangential = oblique_f_numbers(self.working_f, float(np.arccos(self.cosine)))
        f_number = radial if direction == "radial" else tangential
        lifted = image_shift_mm + (self.astigmatism_mm if direction == "radial" else -self.astigmatism_mm)
        # a disc of light in the paper's plane is as wide off axis as on it, so focus counts with Nw as well as f_number
        w20_mm = lifted / (8.0 * self.working_f * f_number) - REFOCUSED * self.spherical_mm
        lens = traced_transfer(frequency_lp_mm, f_number, self.wavelengths_mm, w20_mm, self.spherical_mm)
        return lens * spread_transfer(frequency_lp_mm, self.paper_half_lp_mm)

    def mean_transfer(self, frequency_lp_mm: FloatArray, image_shift_mm: float) -> FloatArray:
        """Return the mean over both directions."""
        if self.is_round:
            return self.transfer(frequency_lp_mm, image_shift_mm, "radial")
        both = [self.transfer(frequency_lp_mm, image_shift_mm, way) for way in ("radial", "tangential")]
        return np.asarray(0.5 * (both[0] + both[1]))

    def disc_mm(self, image_shift_mm: float) -> float:
        """Return the even disc that smears as far as focus error and aberration do (root mean square)."""
        focus = blur_disc_mm(abs(image_shift_mm) + abs(self.astigmatism_mm), self.working_f)
        aberration = 2.0 * np.sqrt(2.0) * 2.0 * self.working_f * np.sqrt(0.512) * abs(self.spherical_mm)
        return float(np.hypot(focus, aberration))


def pupil_at(
    lens: Lens, f_number: float, magnification: float, wavelengths_mm: tuple[float, ...],
    off_axis_mm: tuple[float, float] = (0.0, 0.0), lens_to_paper_mm: float = 1.0,
) -> Pupil:  # fmt: skip
    """Return the beam of a lens at an exact f-number towards a point of the paper, (right, down) from the axis in mm.

    Wavefront error of third order: spherical as the fourth power of the opening; astigmatism as the square of opening and
    of image height (Seidel's sums, textbook optics). How far off it lies at the rim is the lens file's.
    """
    opening = lens.widest_f_number / f_number
    spherical_mm = lens.spherical * MIDDLE_WAVELENGTH_MM * opening**4
    radius_mm = float(np.hypot(*off_axis_mm))
    height = radius_mm / magnification / (lens.covers_diagonal_mm / 2.0)
    return Pupil(
        working_f_number(f_number, magnification), wavelengths_mm, spherical_mm,
        magnification**2 * lens.astigmatism * height**2, 0.0,
        float(np.cos(np.arctan(radius_mm / lens_to_paper_mm))), float(np.arctan2(off_axis_mm[1], off_axis_mm[0])),
    )  # fmt: skip


def paper_spread_shown(half_lp_mm: float, px_per_mm: float) -> float:
    """Return a paper's half contrast where pixels are fine enough to show its spread, else 0.

    They are where the finest detail they hold, half their pitch, loses more than 3 %: above 8.8 px/mm at 25 lp/mm.
    """
    finest = np.array([0.5 * px_per_mm])
    return half_lp_mm if float(spread_transfer(finest, half_lp_mm)[0]) < SHOWS else 0.0


@lru_cache(maxsize=256)
def transfer_table(pupil: Pupil, image_shift_mm: float, highest_lp_mm: float, direction: Direction) -> FloatArray:
    """Return the transfer on 513 frequencies from 0 to the highest; kept, since many pixels ask for it.

    Worked out on fewer and joined smoothly: enough for every swing of a picture out of focus.
    """
    from scipy.interpolate import CubicSpline

    frequency = np.linspace(0.0, highest_lp_mm, TABLE_STEPS + 1)
    swings = pupil.disc_mm(image_shift_mm) * highest_lp_mm
    fewer = int(min(33 + 12 * swings, TABLE_STEPS + 1))
    nodes = np.linspace(0.0, highest_lp_mm, fewer)
    return np.asarray(CubicSpline(nodes, pupil.transfer(nodes, image_shift_mm, direction))(frequency))


def blurred(light: NDArray[np.float32], px_per_mm: float, pupil: Pupil, image_shift_mm: float) -> NDArray[np.float32]:
    """Return a picture of light [row, col] after lens and paper, its spectrum multiplied with their transfer.

    The picture is continued as a mirror image over its edges, so that no false border darkens it.
    """
    highest = px_per_mm * CORNER
    at_axis = replace(pupil, towards_rad=0.0) if pupil.is_round else pupil
    radial = transfer_table(at_axis, image_shift_mm, highest, "radial").astype(np.float32)
    if pupil.is_round:
        return alike_all_round(light, px_per_mm, radial)
    tangential = transfer_table(at_axis, image_shift_mm, highest, "tangential").astype(np.float32)
    return by_direction(light, px_per_mm, pupil.disc_mm(image_shift_mm), radial, tangential, pupil.towards_rad)


def spread_on_paper(light: NDArray[np.float32], px_per_mm: float, half_lp_mm: float) -> NDArray[np.float32]:
    """Return a picture of light laid straight on the paper, as the emulsion spreads it (0: too coarse to show it)."""
    if half_lp_mm == 0.0:
        return light
    frequency = np.linspace(0.0, px_per_mm * CORNER, TABLE_STEPS + 1)
    return alike_all_round(light, px_per_mm, spread_transfer(frequency, half_lp_mm).astype(np.float32))


def alike_all_round(light: NDArray[np.float32], px_per_mm: float, table: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return a picture whose detail passes by a table of frequencies from 0 up to the corner."""
    highest = highest_frequency((px_per_mm, px_per_mm))
    passed = np.interp(np.linspace(0.0, highest, FINE_STEPS), np.linspace(0.0, px_per_mm * CORNER, len(table)), table)
    out = with_detail_lost(light, (px_per_mm, px_per_mm), passed)
    return np.maximum(out, np.float32(0.0), out=out)


def by_direction(
    light: NDArray[np.float32], px_per_mm: float, smear_mm: float, radial: NDArray[np.float32],
    tangential: NDArray[np.float32], towards_rad: float,
) -> NDArray[np.float32]:  # fmt: skip
    """Return a picture whose detail passes by one table across the radius and by another along it."""
    from scipy import fft

    rows, cols = light.shape
    pad = int(min(max(32, np.ceil(2.0 * smear_mm * px_per_mm)), min(light.shape)))
    padded = np.pad(light, pad, mode="symmetric")
    shape = tuple(fft.next_fast_len(n, real=True) for n in padded.shape)
    spectrum = fft.rfft2(padded, shape, workers=2)
    fy = fft.fftfreq(shape[0], 1.0 / px_per_mm).astype(np.float32)[:, None]
    fx = fft.rfftfreq(shape[1], 1.0 / px_per_mm).astype(np.float32)[None, :]
    frequency = np.hypot(fy, fx)
    steps = frequency * np.float32(TABLE_STEPS / (px_per_mm * CORNER))
    other = _looked_up(tangential, steps)
    spectrum *= other + (_looked_up(radial, steps) - other) * _radial_share(fy, fx, frequency, towards_rad)
    out = fft.irfft2(spectrum, shape, workers=2, overwrite_x=True)[pad : pad + rows, pad : pad + cols]
    return np.maximum(out, 0.0).astype(np.float32)


def _looked_up(table: NDArray[np.float32], steps: NDArray[np.float32]) -> NDArray[np.float32]:
    low = np.minimum(steps.astype(np.int32), TABLE_STEPS - 1)
    part = steps - low
    return table[low] * (1 - part) + table[low + 1] * part


def _radial_share(
    fy: NDArray[np.float32], fx: NDArray[np.float32], frequency: NDArray[np.float32], towards_rad: float
) -> NDArray[np.float32]:
    """Return how far each frequency runs along the radius: the square of the cosine between them."""
    along = fx * np.float32(np.cos(towards_rad)) + fy * np.float32(np.sin(towards_rad))
    return np.asarray((along / np.maximum(frequency, np.float32(1e-9))) ** 2, dtype=np.float32)
