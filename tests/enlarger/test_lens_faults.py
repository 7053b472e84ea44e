"""The lens with its faults: which aperture is best, how its error falls, a reference package. The slow way: tests/oracle."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.equipment import find_lens
from sim.enlarger.focus import MOST_WAVES, traced_transfer
from sim.enlarger.sharpness import pupil_at
from sim.quantities import exact_f_number

from .knife_edge import bench_of, edge_contrast

USUAL_SIZE = {"50-mm": 8.467, "80-mm": 4.0, "105-mm": 3.63, "150-mm": 2.14}  # of an 8x10 in print
MARKS = {"50-mm": (2.8, 4.0, 5.6, 8.0, 11.0, 16.0), "80-mm": (4.0, 5.6, 8.0, 11.0, 16.0, 22.0),
         "105-mm": (5.6, 8.0, 11.0, 16.0, 22.0, 32.0), "150-mm": (5.6, 8.0, 11.0, 16.0, 22.0, 32.0)}  # fmt: skip


@pytest.mark.parametrize("lens", USUAL_SIZE)
@pytest.mark.parametrize("larger", [1.0, 2.0])
def test_with_flat_film_in_glass_every_lens_is_best_one_to_two_stops_down(lens: str, larger: float) -> None:
    bench = bench_of(lens, larger * USUAL_SIZE[lens])
    found = [edge_contrast(bench, mark, 5.0, "2") for mark in MARKS[lens]]
    assert int(np.argmax(found)) in (1, 2), np.round(found, 3)


def test_a_buckled_negative_asks_for_another_stop() -> None:
    flat, buckled = (
        int(np.argmax([edge_contrast(bench, mark, 5.0, "2") for mark in MARKS["50-mm"]]))
        for bench in (bench_of("50-mm", 8.467), bench_of("50-mm", 8.467, focus_offset_mm=0.1))
    )
    assert flat < buckled <= 3


def test_the_error_of_the_wavefront_falls_with_the_fourth_power_of_the_opening() -> None:
    lens, light = find_lens("50-mm"), (0.5e-3,)
    at = [pupil_at(lens, exact_f_number(mark), 8.0, light) for mark in (2.8, 4.0, 8.0)]
    assert at[0].spherical_mm == pytest.approx(4 * at[1].spherical_mm) == pytest.approx(64 * at[2].spherical_mm)
    assert at[0].disc_mm(0.0) == pytest.approx(4 / np.sqrt(2) * at[1].disc_mm(0.0))  # blur on the film: as 1/N**3


def test_zero_focus_is_where_the_eye_finds_most_contrast() -> None:
    for mark in (2.8, 4.0, 8.0):
        here = edge_contrast(bench_of("50-mm", 8.467), mark, 5.0, "2")
        for offset_mm in (-0.01, 0.01):
            assert edge_contrast(bench_of("50-mm", 8.467, focus_offset_mm=offset_mm), mark, 5.0, "2") < here + 0.01


def test_rays_take_over_from_waves_where_they_agree() -> None:
    frequency = np.linspace(0.2, 8.0, 40)
    below, above = (MOST_WAVES - 0.01) * 0.5e-3, (MOST_WAVES + 0.01) * 0.5e-3
    waves, rays = (traced_transfer(frequency, 30.0, (0.45e-3, 0.5e-3, 0.55e-3), w20, 0.0) for w20 in (below, above))
    assert rays == pytest.approx(waves, abs=0.03)


@pytest.mark.parametrize(("w20", "w40"), [(0.0, 0.5), (-0.6, 0.6), (-1.7, 1.5), (0.4, 1.0)])
def test_an_aberrated_pupil_agrees_with_a_reference_package(w20: float, w40: float) -> None:
    import prysm.coordinates
    import prysm.geometry
    import prysm.otf
    import prysm.propagation

    samples, working_f = 256, 75.7336
    x, y = prysm.coordinates.make_xy_grid(samples, diameter=1.0)
    radius, _ = prysm.coordinates.cart_to_polar(x, y)
    mask = prysm.geometry.circle(0.5, radius)
    r = radius / 0.5
    error_nm = 500.0 * (w20 * r**2 + w40 * r**4)
    pupil = prysm.propagation.Wavefront.from_amp_and_phase(mask, error_nm, 0.5, x[0, 1] - x[0, 0])
    spread = pupil.focus(working_f, Q=4).intensity
    transfer = prysm.otf.mtf_from_psf(spread, spread.dx)
    along = np.asarray(transfer.data)[transfer.data.shape[0] // 2, transfer.data.shape[1] // 2 :]
    frequency = np.array([2.0, 5.0, 8.0])
    theirs = np.interp(frequency, np.arange(len(along)) * transfer.dx, along)
    ours = np.abs(traced_transfer(frequency, working_f, (0.5e-3,), w20 * 0.5e-3, w40 * 0.5e-3))
    assert ours == pytest.approx(theirs, abs=0.02)


@pytest.mark.parametrize("lens", USUAL_SIZE)
def test_wide_open_a_point_of_the_film_becomes_a_spot_of_hundredths_of_a_millimetre(lens: str) -> None:
    size = USUAL_SIZE[lens]
    wide = pupil_at(find_lens(lens), exact_f_number(MARKS[lens][0]), size, (0.5e-3,))
    assert 0.012 < wide.disc_mm(0.0) / size < 0.028


def test_a_lens_whose_file_says_nothing_of_its_faults_has_usual_ones() -> None:
    silent = replace(find_lens("150-mm"), spherical_waves=None, astigmatism_mm=None, uncertainty={})
    assert silent.spherical == find_lens("150-mm").spherical
    assert silent.astigmatism == pytest.approx(find_lens("150-mm").astigmatism)
