"""Geometry and light level of the enlarger, worked out by hand and textbook optics."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from laws.worked import Worked, as_parameters
from published.sheets import patches

from sim.enlarger.easel import film_coordinates, sheet_grid
from sim.enlarger.easel_light import project
from sim.enlarger.fall_off import clipped_share, cosine_fourth
from sim.enlarger.focus import blur_disc_mm, popped_mm
from sim.enlarger.geometry import lens_to_paper_mm, magnification_at_height, working_f_number
from sim.enlarger.illuminance import contact_illuminance_lux, on_axis_illuminance_lux
from sim.enlarger.lens_image import image_shift_mm
from sim.enlarger.settings import EnlargerSettings, set_up
from sim.quantities import exact_f_number

TENNANT = "J. A. Tennant, Bromide Printing and Enlarging, table of enlarging distances"
THIN_LENS = "thin-lens equation, worked through by hand"
RAY = "S. F. Ray, Applied Photographic Optics"
JACOBSON = "D. Jacobson, Photographic Lenses Tutorial, sec. 9, computed"
HANDBOOK = "a plate maker's photographic handbook, pp. 101-103: 2/11 in iris at 35 in printed as f/192"
DISCS = "overlap of two circles, textbook geometry"
COSINE = "cosine-fourth law, textbook optics"
SHIFTED = "blur = z m^2 / (N (1+m)), textbook optics; 8x10 in from 35 mm at f/8"
ROUNDED = "marks are rounded powers of the square root of two, ISO 517 (number from memory)"
M, V = 8.4667, 473.33
SETTINGS = EnlargerSettings("diffusion-small", "50-mm", 529.24)
FILM = patches(1.0)


def shift_at(x_mm: float, **settings: float) -> float:
    """Return the focus error on the easel side at a point right of the axis on the easel."""
    bench = set_up(replace(SETTINGS, **settings), FILM)  # type: ignore[arg-type]
    grid = sheet_grid(FILM, bench, 330.0, 40.0, 0.0, (0.0, 0.0), 1.0)
    at = film_coordinates(grid, bench)
    shift = np.broadcast_to(image_shift_mm(at, bench, 10.0, FILM.frame_mm), (grid.rows, grid.cols))
    return float(np.interp(x_mm, at.easel_x[0], shift[grid.rows // 2]))


def blur_at(x_mm: float, f_number: float = 8.0, **settings: float) -> float:
    """Return the blur disc on the print at a point right of the axis."""
    return blur_disc_mm(shift_at(x_mm, **settings), working_f_number(f_number, M))


def stretched_percent(x_mm: float, **settings: float) -> float:
    """Return by how many per cent the picture is wider across the tilt at a point of the easel."""
    bench = set_up(replace(SETTINGS, **settings), FILM)  # type: ignore[arg-type]
    grid = sheet_grid(FILM, bench, 330.0, 40.0, 0.0, (0.0, 0.0), 1.0)
    at = film_coordinates(grid, bench)
    film_per_mm = np.gradient(np.asarray(at.y), axis=0)[grid.rows // 2]
    return abs(100.0 * (1.0 / (float(np.interp(x_mm, at.easel_x[0], film_per_mm)) * M) - 1.0))


def edge_exposure_stops(tilt_deg: float) -> float:
    """Return the stops that a tilted easel's raised edge gains over the same edge laid flat."""

    def edge(tilt: float) -> float:
        bench = set_up(replace(SETTINGS, easel_tilt_deg=tilt), FILM)
        grid = sheet_grid(FILM, bench, 330.0, 40.0, 0.0, (0.0, 0.0), 1.0)
        light = project(FILM, bench, grid, 8.0).relative[grid.rows // 2]
        return float(np.interp(127.0, film_coordinates(grid, bench).easel_x[0], light))

    return float(np.log2(edge(tilt_deg) / edge(0.0)))


def negative_depth_total_mm(magnification: float, f_number: float, blur_mm: float) -> float:
    """Return the whole depth at the negative within which the blur stays below a disc."""
    per_mm = blur_disc_mm(magnification**2, working_f_number(f_number, magnification))
    return 2.0 * blur_mm / per_mm


def fall_off(half_angle_deg: float) -> float:
    """Return relative light at a field angle."""
    return float(cosine_fourth(np.array([V * np.tan(np.radians(half_angle_deg))]), V)[0])


def axis_lux(working: float) -> float:
    """Return the light on the axis of a gate of 1 cd/m2."""
    return on_axis_illuminance_lux(1.0, 1.0, working)


def contact_lux(lens_height_mm: float) -> float:
    """Return the light under glass from a gate of 1 cd/m2, 50 mm lens at f/8."""
    return contact_illuminance_lux(1.0, 1.0, lens_height_mm, 50.0, 8.0)


def _table_checks() -> list[Worked]:
    rows = [(6.0, 37.5, 4.0, 30.0), (3.0, 30.375, 8.0, 27.0), (5.0, 36.0, 5.0, 30.0), (8.0, 73.1429, 7.0, 64.0)]
    return [
        Worked(f"{f:g} in lens, {m:g} times: lens to paper, in", v, 0.01, TENNANT,
              lambda f=f, s=s: lens_to_paper_mm(f, magnification_at_height(f, s)), "formula")
        for f, s, m, v in rows
    ]  # fmt: skip


def _size_checks() -> list[Worked]:
    rows = [(50.0, 529.2, 8.467, "35 mm to 8x10"), (105.0, 619.9, 3.629, "6x7 to 8x10"), (150.0, 976.7, 4.278, "4x5 to 16x20"),
            (80.0, 810.0, 8.0, "80 mm lens at 810 mm")]  # fmt: skip
    return [
        Worked(
            f"size at a height, {what}", m, 0.002, THIN_LENS, lambda f=f, s=s: magnification_at_height(f, s), "formula"
        )
        for f, s, m, what in rows
    ]


def _disc_checks() -> list[Worked]:
    return [
        Worked(
            f"two circles {s} apart",
            share,
            1e-4,
            DISCS,
            lambda s=s: float(clipped_share(1.0, 1.0, np.array([s]))[0]),
            "formula",
        )
        for s, share in ((0.25, 0.8413), (0.5, 0.6850), (1.0, 0.3910))
    ]


TABLE = (
    *_table_checks(),
    *_size_checks(),
    *_disc_checks(),
    Worked("one to one needs four focal lengths", 1.0, 1e-6, THIN_LENS,
          lambda: magnification_at_height(50.0, 200.0), "formula"),
    Worked("f/8 at ten times works at", 88.0, 1e-9, RAY, lambda: working_f_number(8.0, 10.0), "formula"),
    Worked("iris of 2/11 in at 35 in works at", 192.0, 0.6, HANDBOOK,
          lambda: working_f_number(22.0, 35.0 / 4.0 - 1.0), "formula"),
    Worked("light on the easel, lx", 0.12324, 1e-5, JACOBSON,
          lambda: on_axis_illuminance_lux(1000.0, 0.9, working_f_number(8.0, M)), "formula"),
    Worked("half size needs this much more light", 2.25, 1e-9, "M. Langford, Advanced Photography, close-up chapter",
          lambda: axis_lux(8.0) / axis_lux(working_f_number(8.0, 0.5)), "formula"),
    Worked("under glass, lens 500 to 750 mm, light", 1 / 2.25, 1e-6, "inverse square law",
          lambda: contact_lux(750.0) / contact_lux(500.0), "formula"),
    Worked("fall-off where the tangent is a half", 0.64, 1e-6, COSINE + ": 'a little less than 2/3 stop'",
          lambda: fall_off(26.565051), "formula"),
    Worked("fall-off at 10 degrees", 0.9406, 1e-4, COSINE, lambda: fall_off(10.0), "formula"),
    Worked("fall-off at 20 degrees", 0.7797, 1e-4, COSINE, lambda: fall_off(20.0), "formula"),
    Worked("fall-off at 30 degrees", 0.5625, 1e-4, COSINE, lambda: fall_off(30.0), "formula"),
    Worked("f/11 is", 11.3137, 1e-4, ROUNDED, lambda: exact_f_number(11.0), "arithmetic"),
    Worked("f/5.6 is", 5.6569, 1e-4, ROUNDED, lambda: exact_f_number(5.6), "arithmetic"),
    Worked("f/22 is", 22.627, 1e-3, ROUNDED, lambda: exact_f_number(22.0), "arithmetic"),
    Worked("f/2.8 is", 2.8284, 1e-4, ROUNDED, lambda: exact_f_number(2.8), "arithmetic"),
    Worked("depth at the negative, 6 times, f/5.6, 0.5 mm", 1.086, 0.006, "a printer's worked example, printed as 1.086",
          lambda: negative_depth_total_mm(6.0, 5.6, 0.5), "formula"),
    Worked("blur of 0.3 mm negative shift at f/2.8", 0.811, 0.002, SHIFTED,
          lambda: blur_at(0.0, 2.8, focus_offset_mm=0.3), "formula"),
    Worked("blur of 0.1 mm negative shift at f/8", 0.095, 0.001, SHIFTED,
          lambda: blur_at(0.0, focus_offset_mm=0.1), "formula"),
    Worked("blur of a popped negative, 0.5 mm", 0.473, 0.01, SHIFTED + "; 0.5 mm: F. J. Kolb, JSMPE 53, 1949, p. 646",
          lambda: blur_at(0.0, focus_offset_mm=0.5), "formula"),
    Worked("half-inch board under the easel", 0.168, 0.001,
          "no visible difference: B. Thornton, Edge of Darkness; below 0.2 mm",
          lambda: blur_disc_mm(12.7, working_f_number(8.0, M)), "formula"),
    Worked("negative over easel, sensitivity", 71.68, 0.1, "m squared, textbook optics",
          lambda: shift_at(0.0, focus_offset_mm=1.0), "formula"),
    Worked("easel 1 degree: height error at 127 mm", 2.216, 0.01, THIN_LENS,
          lambda: abs(shift_at(127.0, easel_tilt_deg=1.0)), "formula"),
    Worked("easel 1 degree: blur", 0.029, 0.001, THIN_LENS, lambda: blur_at(127.0, easel_tilt_deg=1.0), "formula"),
    Worked("easel 5 degrees: blur", 0.146, 0.002, THIN_LENS, lambda: blur_at(127.0, easel_tilt_deg=5.0), "formula"),
    Worked("easel 5 degrees: edge exposure, stops", 0.0891, 0.002, "distances and cosines worked through by hand",
          lambda: edge_exposure_stops(5.0), "formula"),
    Worked("easel 5 degrees: keystone, per cent", 2.34, 0.08, THIN_LENS,
          lambda: stretched_percent(127.0, easel_tilt_deg=5.0), "formula"),
    Worked("negative 1 degree: blur at the edge", 0.297, 0.012, THIN_LENS,
          lambda: blur_at(18.0 * M - 0.001, negative_tilt_deg=1.0), "formula"),
    Worked("negative 1/4 degree: blur at the edge", 0.074, 0.003, THIN_LENS,
          lambda: blur_at(18.0 * M - 0.001, negative_tilt_deg=0.25), "formula"),
    Worked("mean rise of a cold negative over one time constant", 1.0 / np.e, 1e-6,
          "mean of 1 - exp(-t), textbook calculus",
          lambda: popped_mm(12.0, 1.0, 12.0), "formula"),
)  # fmt: skip


@pytest.mark.parametrize("check", as_parameters(TABLE))
def test_optics_agree_with_published_values(check: Worked) -> None:
    check.run()
