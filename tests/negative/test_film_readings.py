"""The medium film against readings of a real one at three developments, as read from an open step-tablet set.

One medium-speed sheet film in one developer for 4, 8.5 and 17 minutes; reading error 0.01-0.02 D. The same readings gave
the film's three numbers of development, so each is also found from the other developments and held against the one left
out. Wrong numbers (eight times the speed, four times the fog, a toe 1.6 times as long) must miss the readings.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from sim.negative.film import Film, find_film
from sim.shelf import FILM, shipped_names

GAIN = {4.0: 0.56, 8.5: 0.80, 17.0: 1.17}  # density over 1.30 log exposure from net 0.10, by minutes
BASE_FOG = {4.0: 0.10, 8.5: 0.11, 17.0: 0.12}
LOG_H_OF_SPEED_POINT = {4.0: 0.97, 8.5: 0.80, 17.0: 0.70}
NET = (0.03, 0.05, 0.20, 0.30, 0.50, 0.70, 0.90, 1.20, 1.50)
LOG_H_BEYOND = {
    4.0: (-0.30, -0.18, 0.25, 0.50, 0.94, 1.38, 1.81),
    8.5: (-0.28, -0.16, 0.19, 0.34, 0.64, 0.97, 1.30, 1.74),
    17.0: (-0.25, -0.15, 0.16, 0.28, 0.46, 0.66, 0.87, 1.21, 1.57),
}
MINUTES = tuple(GAIN)
NORMAL = 8.5
CURVE_RMS, SPEED_WITHIN, FOG_WITHIN = 0.022, 0.02, 0.005  # density; log exposure; density, as it was read to 0.01


def development(minutes: float) -> float:
    """Return contrast over normal, as the readings give it."""
    return GAIN[minutes] / GAIN[NORMAL]


def curve_misses(film: Film, minutes: float) -> np.ndarray:
    """Return the density by which the curve misses each reading, counted from where net 0.10 was read."""
    own = development(minutes)
    start = film.log_speed_point - film.speed_gained(own)
    log_h = start + np.array(LOG_H_BEYOND[minutes])
    return film.net_density(log_h, own) - np.array(NET[: len(log_h)])


def rms(film: Film, minutes: float) -> float:
    """Return the root of the mean square of the misses."""
    return float(np.sqrt(np.mean(curve_misses(film, minutes) ** 2)))


def speed_miss(film: Film, minutes: float) -> float:
    """Return by how much log exposure the speed point is missed against normal development."""
    read = LOG_H_OF_SPEED_POINT[NORMAL] - LOG_H_OF_SPEED_POINT[minutes]
    return film.speed_gained(development(minutes)) - read


def fog_miss(film: Film, minutes: float) -> float:
    """Return by how much base+fog is missed."""
    return film.fog_with_development(development(minutes)) - BASE_FOG[minutes]


def agrees(film: Film) -> bool:
    """Tell whether a film agrees with all that was read."""
    return all(
        rms(film, m) <= CURVE_RMS and abs(speed_miss(film, m)) <= SPEED_WITHIN and abs(fog_miss(film, m)) <= FOG_WITHIN
        for m in MINUTES
    )


def fitted(minutes: Iterable[float]) -> Film:
    """Return the film with its numbers of toe, speed and fog found from these developments alone, normal ones given."""
    film, chosen = find_film("medium"), tuple(minutes)
    off = [m for m in chosen if m != NORMAL]
    gains = np.array([1.0 - 1.0 / development(m) for m in off])
    speed = np.array([LOG_H_OF_SPEED_POINT[NORMAL] - LOG_H_OF_SPEED_POINT[m] for m in off])
    logs = np.log([development(m) for m in off])
    fog = np.array([BASE_FOG[m] - BASE_FOG[NORMAL] for m in off])
    film = replace(film, speed_gain=float(gains @ speed / (gains @ gains)), fog_gain=float(logs @ fog / (logs @ logs)))

    def misses(width: float) -> float:
        return float(sum(np.sum(curve_misses(replace(film, toe_width=width), m) ** 2) for m in chosen))

    return replace(film, toe_width=float(minimize_scalar(misses, bounds=(0.05, 0.3), method="bounded").x))


def test_the_medium_film_agrees_with_all_that_was_read() -> None:
    film = find_film("medium")
    assert agrees(film), [(m, rms(film, m), speed_miss(film, m), fog_miss(film, m)) for m in MINUTES]


def test_the_films_numbers_are_those_the_readings_give() -> None:
    film, found = find_film("medium"), fitted(MINUTES)
    assert film.toe_width == pytest.approx(found.toe_width, abs=0.003)
    assert film.speed_gain == pytest.approx(found.speed_gain, abs=0.005)
    assert film.fog_gain == pytest.approx(found.fog_gain, abs=0.001)


@pytest.mark.parametrize("left_out", MINUTES)
def test_a_development_left_out_is_foretold_by_the_others(left_out: float) -> None:
    """Rms of the curve 0.007, 0.012, 0.021 D; speed 0.035 and 0.026 log; base+fog 0.001 D."""
    film = fitted(m for m in MINUTES if m != left_out)
    print(
        left_out,
        round(rms(film, left_out), 4),
        round(speed_miss(film, left_out), 3),
        round(fog_miss(film, left_out), 4),
    )
    assert rms(film, left_out) <= CURVE_RMS
    assert abs(speed_miss(film, left_out)) <= 0.04
    assert abs(fog_miss(film, left_out)) <= FOG_WITHIN


@pytest.mark.parametrize(("number", "factor"), [("speed_gain", 8.0), ("fog_gain", 4.0), ("toe_width", 1.6)])
def test_a_wrong_number_of_the_film_misses_the_readings(number: str, factor: float) -> None:
    film = find_film("medium")
    assert not agrees(replace(film, **{number: getattr(film, number) * factor}))


def test_a_push_gains_a_third_of_a_stop_and_hardly_any_fog() -> None:
    film = find_film("medium")
    assert 0.06 < film.speed_gained(1.4) < 0.12
    assert film.fog_with_development(1.4) - film.fog_with_development(1.0) < 0.015


@pytest.mark.parametrize("name", shipped_names(FILM))
@pytest.mark.parametrize("own", [0.3, 0.7, 1.0, 1.4, 2.5])
def test_development_is_the_contrast_that_the_film_shows(name: str, own: float) -> None:
    film = find_film(name)
    start = film.log_speed_point - film.speed_gained(own)
    low, high = film.net_density(np.array([start, start + 1.30]), own)
    assert low == pytest.approx(0.10, abs=1e-6)
    assert high - low == pytest.approx(0.80 * own, abs=1e-6)


@pytest.mark.parametrize("name", shipped_names(FILM))
def test_more_light_never_gives_less_density_and_the_line_is_straight_to_the_end_of_the_tablet(name: str) -> None:
    film = find_film(name)
    log_h = film.log_speed_point + np.linspace(-2.0, 4.0, 601)
    net = film.net_density(log_h)
    assert np.all(np.diff(net) >= 0.0)
    if name == "medium":
        straight = (log_h > film.log_speed_point + 0.4) & (net < 1.5)
        assert np.ptp(np.gradient(net, log_h)[straight]) < 0.03


@pytest.mark.parametrize("name", shipped_names(FILM))
def test_no_development_makes_more_density_than_a_coating_holds_silver(name: str) -> None:
    """Films of pictures reach 2 to 3.5 whatever the time; gamma comes to a limit (textbooks on gamma infinity, from memory)."""
    film = find_film(name)
    deepest = film.fog_with_development(2.5) + float(film.net_density(np.array([4.0]), 2.5)[0])
    assert deepest < 3.6
