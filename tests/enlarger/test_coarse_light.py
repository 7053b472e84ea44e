"""A print coarser than its negative sees the mean of the light that pixels pass, not of their densities."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger import film_light
from sim.enlarger.easel import film_coordinates, sheet_grid
from sim.enlarger.film_light import FilmLight, scattering_of
from sim.enlarger.settings import EnlargerSettings, set_up
from sim.negative.negative import Negative

FRAME_MM = (36.0, 24.0)
SETTINGS = EnlargerSettings(head="diffusion-small", lens="50-mm", height_mm=500.0)


def grained(rows: int = 403, cols: int = 605) -> Negative:
    """Return a small negative of two densities side by side in a chequerboard: its squares' light is known."""
    chequers = np.indices((rows, cols)).sum(axis=0) % 2
    return Negative("chequers", np.where(chequers, 1.5, 0.3).astype(np.float32), 0.1, FRAME_MM)


def light_of(negative: Negative, settings: EnlargerSettings, px_per_mm: float) -> tuple[FilmLight, np.ndarray]:
    bench = set_up(settings, negative)
    grid = sheet_grid(negative, bench, 120.0, 90.0, 0.0, (0.0, 0.0), px_per_mm)
    film = FilmLight(negative, scattering_of(negative, bench, 8.0), settings.flipped)
    return film, film.sampled(film_coordinates(grid, bench), 0.0)


@pytest.mark.parametrize("settings", [SETTINGS, replace(SETTINGS, flipped=True), replace(SETTINGS, easel_tilt_deg=6.0)])
def test_a_coarse_picture_of_a_chequerboard_is_its_mean_light(settings: EnlargerSettings) -> None:
    _, light = light_of(grained(), settings, 1.0)
    middle = light[30:60, 40:80]
    mean_light = 0.5 * (10.0**-1.5 + 10.0**-0.3)
    assert middle == pytest.approx(mean_light, rel=0.03)  # squares of an odd number of pixels hold one more of a kind
    assert mean_light > 1.5 * 10.0**-0.9  # the mean density would be far darker


def test_squares_hold_all_the_light_and_the_last_may_be_cut() -> None:
    negative = grained()
    film = FilmLight(negative, scattering_of(negative, set_up(SETTINGS, negative), 8.0), False)
    squares = film.averaged(4)
    assert squares.shape == (101, 152)
    exact = (10.0 ** -negative.silver_density[8:12, 600:605].astype(float))
    assert squares[2, 150] == pytest.approx(exact[:, :4].mean(), rel=1e-4)
    assert squares[2, 151] == pytest.approx(exact[:, 4:].mean(), rel=1e-4)


def test_an_edge_stays_where_it_is_however_coarse_the_print() -> None:
    """Half the frame dark: the lit share of a row says where the edge lies."""
    dark = np.zeros((403, 605), dtype=np.float32)
    dark[:, 301:] = 3.0
    negative = Negative("half", dark, 0.1, FRAME_MM)
    shares = []
    for px_per_mm in (0.6, 1.0, 1.7, 5.0):
        _, light = light_of(negative, SETTINGS, px_per_mm)
        row = light[len(light) // 2]
        shares.append(row.sum() / px_per_mm)
    assert shares == pytest.approx([shares[-1]] * 4, abs=0.25)  # mm on the easel


def test_a_piece_of_a_sheet_sees_what_the_sheet_sees_there() -> None:
    negative = grained()
    bench = set_up(SETTINGS, negative)
    whole = sheet_grid(negative, bench, 120.0, 90.0, 0.0, (0.0, 0.0), 3.0)
    piece = whole.piece(slice(40, 80), slice(100, 150))
    scattering = scattering_of(negative, bench, 8.0)
    film = [FilmLight(negative, scattering, False) for _ in range(2)]
    of_whole, of_piece = (one.sampled(film_coordinates(g, bench), 0.0) for one, g in zip(film, (whole, piece), strict=True))
    assert of_piece == pytest.approx(of_whole[40:80, 100:150], abs=1e-6)


@pytest.mark.parametrize(("most", "kept"), [(0, True), (-1, False)])
def test_the_light_of_a_usual_film_is_kept_whole_and_squares_are_the_same(
    most: int, kept: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    negative = grained()
    scattering = scattering_of(negative, set_up(SETTINGS, negative), 8.0)
    usual = FilmLight(negative, scattering, False).averaged(3)
    monkeypatch.setattr(film_light, "KEPT_WHOLE_PX", negative.silver_density.size + most)
    film = FilmLight(negative, scattering, False)
    assert np.array_equal(film.averaged(3), usual)
    assert ("silver" in vars(film)) == kept
