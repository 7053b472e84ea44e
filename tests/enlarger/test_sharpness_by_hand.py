"""Sharpness: published transfer values; a knife edge sent through the lens, against formula and a reference package."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from laws.worked import PRACTICE, Worked, as_parameters
from published.sheets import Way, patches

from sim.enlarger.easel import sheet_grid
from sim.enlarger.focus import (
    blur_disc_mm,
    defocus_waves,
    field_f_number,
    geometric_transfer,
    traced_transfer,
)
from sim.enlarger.geometry import working_f_number
from sim.enlarger.lens_image import through_lens
from sim.enlarger.settings import set_up
from sim.lost_detail import diffraction_mtf
from sim.negative.negative import Negative
from sim.printing.record import PrintingRecord
from sim.quantities import exact_f_number
from sim.viewing.loupe import sharpness_at

DIFFRACTION = "transfer of a round lens opening in incoherent light, textbook optics"
RAY = "S. F. Ray, Applied Photographic Optics: 'about 18 lp/mm'"
BLUR_DISC = "2 J1(x)/x of an even disc, textbook optics"
HOPKINS = "H. H. Hopkins 1955, The frequency response of a defocused optical system; sinc^2 of the Strehl ratio"
BEST_STOP = "best two or three stops from the widest, " + PRACTICE
WAVELENGTH_MM, NW = 0.5e-3, 75.7336
FILM = patches(1.0)
EIGHT_BY_TEN = (203.2, 254.0)


def optical_transfer(
    frequency_lp_mm: np.ndarray, f_number: float, image_shift_mm: float, wavelength_mm: float = WAVELENGTH_MM
) -> np.ndarray:
    """Return the transfer of a faultless lens out of focus, one colour (negative where contrast is reversed)."""
    w20_mm = float(defocus_waves(image_shift_mm, f_number, wavelength_mm)) * wavelength_mm
    return traced_transfer(np.asarray(frequency_lp_mm, dtype=np.float64), f_number, (wavelength_mm,), w20_mm, 0.0)


def mtf(s: float) -> float:
    """Return diffraction contrast at a share of the cut-off frequency."""
    return float(optical_transfer(np.array([s]), 1.0, 0.0, 1.0)[0])


def sharpness(f_number: float, lp_mm: float = 5.0) -> float:
    """Return diffraction contrast on 8x10 in from 35 mm film."""
    nw = working_f_number(exact_f_number(f_number), 8.467)
    return float(diffraction_mtf(np.array([lp_mm]), nw, WAVELENGTH_MM)[0])


def nine_per_cent_lp_mm(f_number: float, magnification: float) -> float:
    """Return the frequency at which contrast has fallen to the 9 per cent of Rayleigh's limit (0.52 um)."""
    frequency = np.linspace(1.0, 30.0, 5801)
    contrast = diffraction_mtf(frequency, working_f_number(f_number, magnification), 0.52e-3)
    return float(np.interp(-0.0894, -contrast, frequency))


def geometric(nu_c: float) -> float:
    """Return transfer of a blur disc for frequency times diameter."""
    return float(geometric_transfer(np.array([nu_c]), 1.0)[0])


def first_zero() -> float:
    """Return frequency times disc diameter where contrast first vanishes."""
    from scipy.optimize import brentq

    return float(brentq(geometric, 1.0, 1.4))


def strehl(waves: float) -> float:
    """Return the height of the image of a point, defocused against sharp, from the volume under the transfer."""
    shift_mm = 8.0 * waves * WAVELENGTH_MM * NW**2
    assert abs(float(defocus_waves(shift_mm, NW, WAVELENGTH_MM)) - waves) < 1e-9
    s = np.linspace(0.0, 1.0, 2001)
    frequency = s / (WAVELENGTH_MM * NW)
    sharp = float(np.trapezoid(optical_transfer(frequency, NW, 0.0) * s, s))
    return float(np.trapezoid(optical_transfer(frequency, NW, shift_mm) * s, s)) / sharp


def many_waves() -> float:
    """Return defocus transfer over the geometric disc's, three waves out, at nu c = 0.5."""
    shift_mm = 8.0 * 6.0 * WAVELENGTH_MM * NW**2
    frequency = np.array([0.5 / blur_disc_mm(shift_mm, NW)])
    return float(optical_transfer(frequency, NW, shift_mm)[0])


def edge_light(
    negative: Negative, record: PrintingRecord, x_mm: float, y_mm: float, side_mm: float = 16.0, px_per_mm: float = 40.0
) -> np.ndarray:
    """Return the light of a perfect vertical knife edge laid in the negative plane, as the lens puts it at a point.

    A procedural target: dark left, light right, through the same lens code as any picture.
    """
    bench = set_up(record.enlarger, negative)
    sheet, (right, down) = record.sheet, record.sheet.image_shift_mm
    shift = (right + sheet.width_mm / 2 - x_mm, down + sheet.height_mm / 2 - y_mm)
    grid = sheet_grid(negative, bench, side_mm, side_mm, 0.0, shift, px_per_mm)
    edge = np.zeros((grid.rows, grid.cols), dtype=np.float32)
    edge[:, grid.cols // 2 :] = 1.0
    exposure = record.exposures[0]
    return through_lens(edge, negative, bench, grid, exposure.f_number, exposure.time_s)


def measured_transfer(edge: np.ndarray, px_per_mm: float, frequency_lp_mm: float) -> float:
    """Return the contrast at a frequency measured from a rendered edge: edge to line spread, then Fourier transform."""
    middle = edge[edge.shape[0] // 3 : 2 * edge.shape[0] // 3].mean(axis=0).astype(np.float64)
    half = len(middle) // 2
    line = np.diff(middle)[half // 2 : -half // 2]  # far ends hold only the mirror image of the edge
    position = np.arange(len(line)) / px_per_mm
    wave = np.exp(-2j * np.pi * frequency_lp_mm * position)
    return float(abs((line * wave).sum()) / line.sum())


def edge_against_formula(f_number: float, defocus_mm: float, corner: bool) -> float:
    """Return contrast at 5 lp/mm measured on a rendered knife edge over the formula's at the same point."""
    way = Way(magnification=8.4667, f_number=f_number, paper_mm=EIGHT_BY_TEN)
    record = way.record(FILM, way.exposure(10.0))
    record = replace(record, enlarger=replace(record.enlarger, focus_offset_mm=defocus_mm))
    x, y = (12.0, 14.0) if corner else (101.6, 127.0)
    edge = edge_light(FILM, record, x, y, 12.0, 40.0)
    return measured_transfer(edge, 40.0, 5.0) / sharpness_at(FILM, record, x, y, 5.0)


def _mtf_checks() -> list[Worked]:
    by_share = ((0.1, 0.8729), (0.25, 0.6850), (0.5, 0.3910), (0.75, 0.1443))
    by_mark = ((2.8, 0.916), (5.6, 0.832), (8.0, 0.760), (16.0, 0.530))
    rows = [
        Worked(f"diffraction at {s} of the cut-off", v, 1e-4, DIFFRACTION, lambda s=s: mtf(s), "formula")
        for s, v in by_share
    ]
    return rows + [
        Worked(
            f"5 lp/mm at f/{n}, 8x10 in from 35 mm",
            v,
            0.002,
            DIFFRACTION + ", computed at 0.50 um",
            lambda n=n: sharpness(n),
            "formula",
        )
        for n, v in by_mark
    ]


def _edge_checks() -> list[Worked]:
    cases = [(4.0, 0.0, False), (8.0, 0.0, False), (16.0, 0.0, False), (8.0, 0.0, True), (16.0, 0.0, True),
             (5.6, 0.1, False), (8.0, 0.2, False), (8.0, 0.1, True), (11.0, 0.3, True)]  # fmt: skip
    return [
        Worked(
            f"knife edge over formula, f/{n:g}, {z:g} mm out, {'corner' if corner else 'centre'}", 1.0, 0.10,
            DIFFRACTION + "; " + HOPKINS, lambda n=n, z=z, corner=corner: edge_against_formula(n, z, corner), "formula",
        )
        for n, z, corner in cases
    ]  # fmt: skip


TABLE = (
    *_mtf_checks(),
    *_edge_checks(),
    Worked("Rayleigh's limit, f/8 at ten times, lp/mm", 17.9, 0.3, RAY,
          lambda: nine_per_cent_lp_mm(8.0, 10.0), "formula"),
    Worked("contrast of the Airy disc's radius", 0.0894, 1e-3, "1/1.22 of the cut-off, textbook optics",
          lambda: mtf(1 / 1.21967), "formula"),
    Worked("blur disc, nu c = 0.25", 0.9249, 1e-4, BLUR_DISC, lambda: geometric(0.25), "formula"),
    Worked("blur disc, nu c = 0.5", 0.7217, 1e-4, BLUR_DISC, lambda: geometric(0.5), "formula"),
    Worked("blur disc, nu c = 1", 0.1812, 1e-4, BLUR_DISC, lambda: geometric(1.0), "formula"),
    Worked("blur disc, first zero", 1.21967, 1e-4, "first zero of J1 over pi, mathematical tables", first_zero,
          "formula"),
    Worked("a quarter wave out of focus", 0.8106, 2e-3, HOPKINS, lambda: strehl(0.25), "formula"),
    Worked("half a wave out of focus", 0.4053, 2e-3, HOPKINS, lambda: strehl(0.5), "formula"),
    Worked("six waves out: the geometric disc", 0.7217, 0.02, "geometric blur is right above two waves", many_waves,
          "formula"),
    Worked("the opening off axis at 19 degrees", 75.73 / np.cos(np.radians(18.96)) ** 2, 0.02,
          "radial 1/cos^3 and tangential 1/cos, their mean, textbook optics",
          lambda: field_f_number(75.73, float(np.radians(18.96))), "formula"),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_sharpness_agrees_with_published_values(check: Worked) -> None:
    check.run()


@pytest.fixture
def prysm() -> Any:
    """Import the reference package."""
    import prysm.coordinates
    import prysm.geometry
    import prysm.otf
    import prysm.propagation

    return prysm


def test_diffraction_agrees_with_a_reference_package(prysm: Any) -> None:
    frequency = np.array([2.0, 5.0, 10.0, 20.0])
    theirs = prysm.otf.diffraction_limited_mtf(NW, 0.5, frequency)
    assert diffraction_mtf(frequency, NW, WAVELENGTH_MM) == pytest.approx(theirs, abs=1e-5)


@pytest.mark.parametrize("waves", [0.25, 0.5, 1.0])
def test_defocus_agrees_with_a_reference_package_tracing_the_pupil(prysm: Any, waves: float) -> None:
    samples, focal_mm = 256, NW
    x, y = prysm.coordinates.make_xy_grid(samples, diameter=1.0)
    radius, _ = prysm.coordinates.cart_to_polar(x, y)
    mask = prysm.geometry.circle(0.5, radius)
    error_nm = waves * 500.0 * (radius / 0.5) ** 2
    pupil = prysm.propagation.Wavefront.from_amp_and_phase(mask, error_nm, 0.5, x[0, 1] - x[0, 0])
    spread = pupil.focus(focal_mm, Q=4).intensity
    transfer = prysm.otf.mtf_from_psf(spread, spread.dx)
    along = np.asarray(transfer.data)[transfer.data.shape[0] // 2, transfer.data.shape[1] // 2 :]
    theirs = np.interp([2.0, 5.0, 8.0], np.arange(len(along)) * transfer.dx, along)
    ours = np.abs(optical_transfer(np.array([2.0, 5.0, 8.0]), NW, 8.0 * waves * WAVELENGTH_MM * NW**2))
    assert ours == pytest.approx(theirs, abs=0.02)
