"""Grain by hand: as coarse as a film's granularity says, clumped, grown with development, without a pattern over the film."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.signal import fftconvolve

from sim.negative.film import find_film
from sim.negative.grain import CELL, Grain, _clumped_tile, clumping, grain_tile, white_noise

FILMS = ("slow", "medium", "fast", "old")


def even(grain: Grain, density: float, pitch_mm: float, size: int, first: tuple[int, int] = (0, 0)) -> np.ndarray:
    """Return the fluctuations of an even piece of film."""
    piece = np.full((size, size), density, dtype=np.float32)
    return grain.laid_on(piece, pitch_mm, first).astype(float) - density


def spectrum_of(picture: np.ndarray, pitch_mm: float, low: float, high: float) -> float:
    """Return the mean power of a picture in density**2 mm**2 between two frequencies, cycles/mm."""
    rows, cols = picture.shape
    power = np.abs(np.fft.fft2(picture - picture.mean())) ** 2 * pitch_mm**2 / picture.size
    nu = np.hypot(np.fft.fftfreq(rows, pitch_mm)[:, None], np.fft.fftfreq(cols, pitch_mm)[None, :])
    return float(power[(nu >= low) & (nu < high)].mean())


@pytest.mark.parametrize("name", FILMS)
def test_a_circle_of_48_micrometres_reads_the_films_rms_granularity(name: str) -> None:
    film, pitch = find_film(name), 0.001
    y, x = np.mgrid[-25:26, -25:26]
    circle = np.clip(24.5 - np.hypot(y, x), 0.0, 1.0)  # its mean edge lies at 24 um
    read = fftconvolve(even(film.grain(1.0, 5), 1.0, pitch, 1400), circle / circle.sum(), mode="valid")
    assert 1000 * read.std() == pytest.approx(film.rms_granularity, rel=0.04)


@pytest.mark.parametrize("pitch_mm", [0.004, 0.012, 0.036])
def test_a_pixel_holds_the_mean_of_the_grain_within_it(pitch_mm: float) -> None:
    grain, fine = find_film("fast").grain(1.0, 9), 0.001
    many = round(pitch_mm / fine)
    size = 1500 // many * many
    small = even(grain, 1.0, fine, size).reshape(size // many, many, size // many, many).mean(axis=(1, 3))
    assert float(grain.sd(np.array(1.0), pitch_mm)) == pytest.approx(small.std(), rel=0.05)
    assert even(grain, 1.0, pitch_mm, 1000).std() == pytest.approx(small.std(), rel=0.05)


@pytest.mark.parametrize(("name", "half_lp_mm"), [("slow", 177.0), ("medium", 132.0), ("fast", 76.0)])
def test_half_of_the_granularity_is_left_where_a_clump_is_half_a_cycle(name: str, half_lp_mm: float) -> None:
    """0.53 cycles to a clump: 3, 4 and 7 um."""
    grain = find_film(name).grain(1.0, 1)
    fluctuations = even(grain, 1.0, 0.001, 1500)
    coarse = spectrum_of(fluctuations, 0.001, 3.0, 0.25 * half_lp_mm)
    there = spectrum_of(fluctuations, 0.001, 0.9 * half_lp_mm, 1.1 * half_lp_mm)
    assert coarse == pytest.approx(float(grain.spectrum(np.array(1.0))), rel=0.08)
    assert there / coarse == pytest.approx(0.5, abs=0.06)
    assert float(grain.spectrum(np.array(half_lp_mm)) / grain.spectrum(np.array(0.0))) == pytest.approx(0.5, abs=0.01)


def test_grain_grows_with_development_as_the_root_of_gamma() -> None:
    film = find_film("medium")
    pulled, normal, pushed = (film.grain(d, 0) for d in (0.7, 1.0, 1.46))
    steeper = film.gamma(1.46) / film.gamma(1.0)
    assert normal.rms_granularity == film.rms_granularity
    assert pushed.rms_granularity / normal.rms_granularity == pytest.approx(np.sqrt(steeper), rel=1e-6)
    assert pushed.clump_mm / normal.clump_mm == pytest.approx(np.sqrt(steeper), rel=1e-6)
    assert pulled.rms_granularity < 0.9 * normal.rms_granularity < normal.rms_granularity < 0.9 * pushed.rms_granularity


def test_grain_grows_with_density_and_shows_a_little_on_clear_film() -> None:
    clear, light, at_one, dense = find_film("medium").grain(1.0, 0).sd(np.array([0.0, 0.25, 1.0, 2.0]), 0.012)
    assert at_one / light == pytest.approx(4**0.45, rel=0.04)
    assert dense / at_one == pytest.approx(2**0.45, rel=0.02)
    assert 0.1 * at_one < clear < 0.25 * at_one


def test_the_light_that_comes_through_stays_what_the_density_says() -> None:
    fluctuations = even(find_film("fast").grain(1.46, 3), 1.2, 0.004, 1200)
    assert fluctuations.std() > 0.08
    assert -np.log10((10.0**-fluctuations).mean()) == pytest.approx(0.0, abs=0.0015)


def test_no_two_negatives_share_their_grain_and_a_negative_keeps_its_own() -> None:
    one, again, other = (Grain(9.0, 0.004, key).pattern(0.012, (0, 0), (400, 400)) for key in (1, 1, 2))
    assert np.array_equal(one, again)
    assert abs(float((one * other).mean())) < 0.02


def test_a_piece_of_the_film_has_the_grain_of_the_whole() -> None:
    for grain, pitch in ((Grain(9.0, 0.004, 4), 0.012), (Grain(15.0, 0.007, 4), 0.003)):
        whole = grain.pattern(pitch, (-300, 100), (900, 700))
        piece = grain.pattern(pitch, (-300 + 211, 100 + 97), (300, 301))
        assert np.abs(whole[211:511, 97:398] - piece).max() < 1e-5


def test_the_tile_cannot_be_found_again_in_a_frame() -> None:
    """No shift of a five-megapixel frame over itself fits better than chance, neighbours left out."""
    pattern = Grain(9.0, 0.004, 7).pattern(0.012, (0, 0), (2500, 2000))
    fits = np.fft.irfft2(np.abs(np.fft.rfft2(pattern)) ** 2, pattern.shape) / pattern.size
    fits[:3, :3] = fits[-3:, :3] = fits[:3, -3:] = fits[-3:, -3:] = 0.0
    tiled = np.tile(grain_tile(), (3, 2))[:2500, :2000]
    again = np.fft.irfft2(np.abs(np.fft.rfft2(tiled)) ** 2, tiled.shape) / tiled.size
    assert again[1024, 0] > 0.5  # what a tile laid beside itself would show
    assert np.abs(fits).max() < 0.02


def test_no_seam_shows_where_cells_meet() -> None:
    """Neighbours across a cell's edge differ no more than neighbours anywhere, where pixels show clumps."""
    pattern = Grain(15.0, 0.007, 3).pattern(0.002, (0, 0), (3 * CELL, 3 * CELL))
    step = (np.diff(pattern, axis=1) ** 2).mean(axis=0)
    assert step[[CELL - 1, 2 * CELL - 1]].max() < 1.25 * step.mean()


def test_grain_that_was_laid_on_can_be_taken_off() -> None:
    grain = find_film("fast").grain(1.0, 12)
    ramp = np.broadcast_to(np.linspace(0.05, 1.8, 600, dtype=np.float32), (500, 600)).copy()
    laid = np.maximum(grain.laid_on(ramp, 0.012, (0, 0)), 0.0)
    off = grain.taken_off(laid[100:300, 50:450], 0.012, (100, 50))
    assert np.abs(laid - ramp).max() > 0.1
    assert np.abs(off - ramp[100:300, 50:450]).max() < 0.004


def test_weights_of_clumping_keep_the_noise_as_strong() -> None:
    for clump_px in (0.04, 0.3, 1.2, 3.5):
        row = np.array(clumping(clump_px))
        assert (row**2).sum() == pytest.approx(1.0)
        assert len(row) % 2 == 1


def test_a_clumped_tile_adds_its_neighbours_and_goes_round() -> None:
    beside, middle = np.float32(0.08), np.float32(0.99)
    plain = grain_tile()
    for axis in (0, 1):
        plain = middle * plain + beside * (np.roll(plain, 1, axis) + np.roll(plain, -1, axis))
    assert np.array_equal(_clumped_tile((0.08, 0.99, 0.08)), plain / plain.std())


def test_white_noise_is_even_and_has_no_memory() -> None:
    noise = white_noise(3, (-100, 37), (1000, 900))
    assert noise.mean() == pytest.approx(0.0, abs=0.01)
    assert noise.std() == pytest.approx(1.0, abs=0.01)
    assert abs(float((noise[1:] * noise[:-1]).mean())) < 0.01
