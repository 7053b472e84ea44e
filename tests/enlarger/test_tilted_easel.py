"""A tilted easel or negative: every point at its own distance, under its own angle at the lens and slope of the paper."""

from __future__ import annotations

import numpy as np
import pytest

from sim.bench.projection import Projector
from sim.enlarger import easel, easel_light, fall_off
from sim.enlarger.easel import sheet_grid
from sim.enlarger.easel_light import project
from sim.enlarger.settings import Bench
from tests.oracle.light import share_of_disc_inside

from .knife_edge import FILM, bench_of

AGREES_WITHIN = 0.0006  # of the light; a thousandth is 0.0004 of density
SIZE_MM = (150.0, 120.0)


def by_geometry(bench: Bench, x_mm: np.ndarray, y_mm: np.ndarray, f_number: float) -> np.ndarray:
    """Return light at points of the tilted easel (mm on it from the axis) over that on a flat one's axis.

    The pupil is a disc over the axis that shines evenly; what is seen of it is cut by the barrel's rim.
    """
    tilt, v = np.radians(bench.settings.easel_tilt_deg), bench.lens_to_paper_mm
    point = np.stack([x_mm * np.cos(tilt), y_mm, x_mm * np.sin(tilt)], axis=-1)
    paper_up = np.array([-np.sin(tilt), 0.0, np.cos(tilt)])
    to_lens = np.array([0.0, 0.0, v]) - point
    distance = np.linalg.norm(to_lens, axis=-1)
    at_lens, at_paper = to_lens[..., 2] / distance, to_lens @ paper_up / distance
    lens = bench.lens
    tangent = np.hypot(point[..., 0], point[..., 1]) / to_lens[..., 2]
    iris, rim = lens.focal_mm / f_number / 2, lens.focal_mm / lens.widest_f_number / 2
    return at_lens * at_paper * (v / distance) ** 2 * share_of_disc_inside(iris, rim, lens.rim_distance_mm * tangent)


def both(f_number: float, shift_mm: tuple[float, float] = (0.0, 0.0), **tilts: float) -> tuple[np.ndarray, np.ndarray]:
    """Return light on a sheet by projection and by geometry [row, col], over the axis of a flat easel."""
    bench = bench_of("50-mm", 7.0, **tilts)
    grid = sheet_grid(FILM, bench, *SIZE_MM, 0.0, shift_mm, 0.25)
    centre_x, centre_y = grid.image_centre_mm
    x, y = np.meshgrid(grid.x_mm - centre_x, grid.y_mm - centre_y)
    exact_f = {2.8: 2.8284, 8.0: 8.0}[f_number]
    return project(FILM, bench, grid, f_number).relative.astype(float), by_geometry(bench, x, y, exact_f)


@pytest.mark.parametrize("f_number", [2.8, 8.0])
@pytest.mark.parametrize("tilt_deg", [0.0, 3.0, -8.0, 15.0])
def test_light_along_a_tilted_easel_is_that_of_direct_geometry(tilt_deg: float, f_number: float) -> None:
    product, geometry = both(f_number, easel_tilt_deg=tilt_deg)
    assert product == pytest.approx(geometry, rel=AGREES_WITHIN)


def test_light_on_a_shifted_and_tilted_sheet_is_that_of_direct_geometry() -> None:
    product, geometry = both(8.0, (35.0, -20.0), easel_tilt_deg=10.0)
    assert product == pytest.approx(geometry, rel=AGREES_WITHIN)


def test_a_tilted_negative_leaves_the_light_of_an_open_gate_alone() -> None:
    tilted, geometry = both(8.0, negative_tilt_deg=3.0)
    assert tilted == pytest.approx(geometry, rel=AGREES_WITHIN)


@pytest.mark.parametrize("power", [2.0, 4.0])
def test_another_power_of_the_distance_is_noticed(power: float, monkeypatch: pytest.MonkeyPatch) -> None:
    right = easel.film_coordinates

    def wrong(grid, bench):
        at = right(grid, bench)
        tilt = np.radians(bench.settings.easel_tilt_deg)
        nearer = (at.tilt_light / np.cos(tilt)) ** (1 / 3)
        object.__setattr__(at, "tilt_light", nearer**power * np.cos(tilt))
        return at

    monkeypatch.setattr(easel_light, "film_coordinates", wrong)
    product, geometry = both(8.0, easel_tilt_deg=3.0)
    assert np.abs(product / geometry - 1).max() > 4 * AGREES_WITHIN


def test_the_cube_of_the_cosine_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    right = fall_off.cosine_fourth
    monkeypatch.setattr(fall_off, "cosine_fourth", lambda radius, v: right(radius, v) ** 0.75)
    product, geometry = both(8.0, easel_tilt_deg=3.0)
    assert np.abs(product / geometry - 1).max() > 4 * AGREES_WITHIN


@pytest.mark.parametrize("tilt_deg", [0.0, 8.0])
def test_the_picture_on_the_easel_falls_off_as_the_print_does(tilt_deg: float) -> None:
    bench = bench_of("50-mm", 7.0, easel_tilt_deg=tilt_deg)
    grid = sheet_grid(FILM, bench, *SIZE_MM, 0.0, (0.0, 0.0), 0.25)
    seen = Projector().projected(FILM, bench, grid, 8.0, 10.0).relative
    printed = project(FILM, bench, grid, 8.0).relative
    assert seen / seen.max() == pytest.approx(printed / printed.max(), rel=0.002)
