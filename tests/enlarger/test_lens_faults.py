"""The lens with its faults: rendered edges against the pupil laid over itself point by point; which aperture is best."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from sim.enlarger import lens_image, settings
from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import FilterSetting
from sim.enlarger.focus import MOST_WAVES, traced_transfer
from sim.enlarger.printing_light import printing_wavelengths_mm
from sim.enlarger.transfer import pupil_at
from sim.quantities import exact_f_number
from tests.oracle.lens import contrast, light_that_prints

from .knife_edge import HEADS, bench_of, edge_contrast

AGREES_WITHIN = 0.006  # of contrast
SHOWS = 2 * AGREES_WITHIN
USUAL_SIZE = {"50-mm": 8.467, "80-mm": 4.0, "105-mm": 3.63, "150-mm": 2.14}  # of an 8x10 in print
MARKS = {"50-mm": (2.8, 4.0, 5.6, 8.0, 11.0, 16.0), "80-mm": (4.0, 5.6, 8.0, 11.0, 16.0, 22.0),
         "105-mm": (5.6, 8.0, 11.0, 16.0, 22.0, 32.0), "150-mm": (5.6, 8.0, 11.0, 16.0, 22.0, 32.0)}  # fmt: skip

# lens, magnification, f-number, filter, lp/mm, mm out of focus
CASES: dict[str, tuple[str, float, float, str | None, float, float]] = {
    "wide open": ("50-mm", 8.467, 2.8, None, 5.0, 0.0),
    "one stop down": ("50-mm", 8.467, 4.0, None, 10.0, 0.0),
    "smallest, no filter": ("50-mm", 8.467, 16.0, None, 5.0, 0.0),
    "smallest, softest filter": ("50-mm", 8.467, 16.0, "00", 5.0, 0.0),
    "smallest, hardest filter": ("50-mm", 8.467, 16.0, "5", 5.0, 0.0),
    "smallest, hardest filter, fine detail": ("50-mm", 8.467, 16.0, "5", 10.0, 0.0),
    "wide open, negative too high": ("50-mm", 8.467, 2.8, "2", 3.0, 0.05),
    "wide open, negative too low": ("50-mm", 8.467, 2.8, "2", 3.0, -0.05),
    "medium film wide open": ("80-mm", 4.0, 4.0, "3", 8.0, 0.0),
    "large film wide open": ("150-mm", 2.14, 5.6, "2", 10.0, 0.0),
}  # fmt: skip


def both(case: str) -> tuple[float, float]:
    """Return the contrast of a case on a rendered edge, and the oracle's."""
    lens, size, f_number, name, frequency, focus_mm = CASES[case]
    bench = bench_of(lens, size, focus_offset_mm=focus_mm)
    wanted = contrast(frequency, HEADS[lens], lens, FilterSetting(name), f_number, size, focus_mm)
    return edge_contrast(bench, f_number, frequency, name), abs(wanted)


@pytest.mark.parametrize("case", CASES)
def test_a_rendered_edge_agrees_with_the_pupil_summed_point_by_point(case: str) -> None:
    measured, wanted = both(case)
    assert measured == pytest.approx(wanted, abs=AGREES_WITHIN)


@pytest.mark.parametrize("f_number", [2.8, 5.6, 16.0])
@pytest.mark.parametrize("along", ["radial", "tangential"])
def test_off_the_axis_both_directions_agree_with_the_oracle(f_number: float, along: str) -> None:
    bench, off_mm = bench_of("50-mm", 8.467), 150.0
    right, down = (off_mm, 0.0) if along == "radial" else (0.0, off_mm)
    wanted = contrast(5.0, "diffusion-small", "50-mm", FilterSetting(), f_number, 8.467, 0.0, off_mm, along)
    assert edge_contrast(bench, f_number, 5.0, None, right, down) == pytest.approx(abs(wanted), abs=AGREES_WITHIN)


WRONG: dict[str, tuple[str, Any]] = {
    "one wavelength for all filters": (
        "smallest, hardest filter", ("printing_wavelengths_mm", lambda lamp, filtration: (0.5e-3,))),
    "one wavelength for all light, fine detail": (
        "smallest, hardest filter, fine detail", ("printing_wavelengths_mm", lambda lamp, filtration: (0.5e-3,))),
    "the colour of the filter left out": (
        "smallest, softest filter",
        ("printing_wavelengths_mm", lambda lamp, filtration: printing_wavelengths_mm(lamp, FilterSetting("5")))),
}  # fmt: skip


@pytest.mark.parametrize("name", WRONG)
def test_light_of_the_wrong_colour_is_noticed(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    case, (function, value) = WRONG[name]
    monkeypatch.setattr(lens_image, function, value)
    measured, wanted = both(case)
    assert abs(measured - wanted) > SHOWS


@pytest.mark.parametrize("case", ["wide open", "medium film wide open", "large film wide open"])
@pytest.mark.parametrize("factor", [0.67, 1.5])
def test_half_as_much_aberration_again_or_a_third_less_is_noticed(
    case: str, factor: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    find = settings.find_lens
    monkeypatch.setattr(settings, "find_lens", lambda n: replace(find(n), spherical_waves=factor * find(n).spherical))
    measured, wanted = both(case)
    assert abs(measured - wanted) > SHOWS


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


@pytest.mark.parametrize(("name", "within"), [(None, 0.003), ("00", 0.003), ("5", 0.004)])
def test_seven_wavelengths_stand_for_all_forty_nine(name: str | None, within: float) -> None:
    frequency, working_f = np.linspace(0.5, 12.0, 24), 151.5
    head = bench_of("50-mm", 8.467).head
    seven = traced_transfer(frequency, working_f, printing_wavelengths_mm(head.lamp, FilterSetting(name)), 0.0, 0.0)
    shares = light_that_prints("diffusion-small", FilterSetting(name))
    nm = np.arange(380.0, 621.0, 5.0)
    all_of_them = sum(
        share * traced_transfer(frequency, working_f, (one * 1e-6,), 0.0, 0.0) for one, share in zip(nm, shares)
    )
    assert seven == pytest.approx(all_of_them, abs=within)


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
