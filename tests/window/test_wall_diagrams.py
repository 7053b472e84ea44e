"""Difference, curves and soft beside hard: every point is the densitometer's reading, every word has its place."""

from __future__ import annotations

import itertools
from pathlib import Path
from typing import Any

import numpy as np
import pygame
import pytest
from driving import Driver, open_room
from evening_made import STEPS_S, darkroom, evening, sheet
from layouts import faults
from pygame import Rect

from sim.negative.develop import find_negative
from sim.viewing.plain_names import plain_name
from sim.window.wall.axes import Axes, free_places, multiples, round_step, spread
from sim.window.wall.split_view import hardness
from sim.window.wall.tone_views import paper_axes, quadrants


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Driver:
    driver = open_room(tmp_path_factory.mktemp("wall"), evening=True)
    evening(driver)
    return driver


@pytest.fixture
def hand(kept: Driver) -> Driver:
    kept.app.screens.pop("wall", None)
    kept.app.place = "enlarger"
    kept.go("wall")
    return kept


def words(driver: Driver) -> list[str]:
    return [label.words for label in driver.frame(0.0).labels]


def data(driver: Driver) -> Any:
    return driver.app.screen.diagrams.data


def spots(driver: Driver, number: int) -> dict[str, float]:
    """Return what the densitometer reads at every named place, with the place's own spot."""
    dark = darkroom(driver)
    negative = find_negative(dark.wall.record(number).negative)
    spot = {place.name: place.spot_mm for place in negative.places}
    return {name: dark.wall.read(number, x, y, spot[name]).density for name, x, y, _ in dark.wall.places(number)}


def test_points_on_the_curve_are_the_densitometers(hand: Driver) -> None:
    hand.click("look-at:curve")
    read = spots(hand, 4)
    assert len(read) >= 5
    assert {p.place for p in data(hand).points} == set(read)
    axes = paper_axes(hand.canvas, Rect(10, 10, 640, 500), data(hand))  # type: ignore[arg-type]
    for point in data(hand).points:
        assert point.density == pytest.approx(read[point.place], abs=0.01)
        x, y = axes.at(point.log_exposure, point.density)
        drawn = axes.bottom + (axes.rect.bottom - y) / axes.rect.h * (axes.top - axes.bottom)
        assert drawn == pytest.approx(read[point.place], abs=0.01)
        assert axes.rect.collidepoint(x, y)
        assert f"{plain_name(point.place)}  {point.density:.2f}" in words(hand)


def test_points_of_an_even_print_lie_on_the_papers_curve(hand: Driver) -> None:
    hand.click("look-at:curve")
    curve = data(hand)
    on_curve = [float(np.interp(p.log_exposure, curve.log_exposure, curve.density)) for p in curve.points]
    off = [abs(p.density - wanted) for p, wanted in zip(curve.points, on_curve, strict=True)]
    # a spot that holds an edge has another mean of light on the print than on the easel: one place here does
    assert np.median(off) < 0.03
    assert max(off) < 0.2


def test_the_four_quadrants_agree_with_each_other_and_the_densitometer(hand: Driver) -> None:
    hand.click("look-at:chain")
    read = spots(hand, 4)
    chain = data(hand)
    four = quadrants(Rect(0, 0, 600, 500), 8, chain)
    for p in chain.points:
        assert p.print_density == pytest.approx(read[p.place], abs=0.01)
        negative, light, paper, print_ = four.way(p.log_luminance, p.negative_density, p.log_exposure, p.print_density)
        assert negative[0] == pytest.approx(print_[0])
        assert light[0] == pytest.approx(paper[0])
        assert negative[1] == pytest.approx(light[1])
        assert paper[1] == pytest.approx(print_[1])
    lightest, darkest = (f(chain.points, key=lambda p: p.print_density) for f in (min, max))
    assert lightest.negative_density > darkest.negative_density
    assert lightest.log_luminance > darkest.log_luminance


@pytest.mark.parametrize("view", ["difference", "curve", "chain", "split"])
@pytest.mark.parametrize("number", ["1", "3", "4"])
def test_no_label_stands_over_another(hand: Driver, view: str, number: str) -> None:
    hand.app.screen.sheets.value = number
    hand.click(f"look-at:{view}")
    assert faults(hand.frame(0.0)) == []


def test_the_chosen_place_is_told_in_words_and_ringed(hand: Driver) -> None:
    hand.click("look-at:chain")
    hand.click("places:plaster")
    assert hand.app.screen.words.text.startswith("plaster: ")
    before = pygame.image.tobytes(hand.surface, "RGB")
    hand.press("down")
    hand.frame()
    assert hand.app.screen.places.value != "plaster"
    assert pygame.image.tobytes(hand.surface, "RGB") != before


def test_equal_prints_differ_by_nothing_and_look_neutral(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    sheet(driver, time_s=6.0)
    sheet(driver, time_s=6.0)
    driver.go("wall")
    driver.click("look-at:difference")
    assert np.abs(data(driver).picture.astype(int) - 128).max() <= 16, "only the lamp's own small spread"
    text = driver.app.screen.words.text
    assert "No difference that can be seen." in text or abs(data(driver).mean) < 0.03
    assert text.endswith("nothing")


def test_a_difference_is_told_by_tone_sign_and_words(hand: Driver) -> None:
    hand.click("sheets:4")
    hand.click("look-at:difference")
    found = data(hand)
    wall = darkroom(hand).wall
    for name, x, y, _ in wall.places(4)[:4]:
        apart = wall.read(4, x, y, 6.0).density - wall.read(3, x, y, 6.0).density
        if abs(apart) > 0.15:
            left, top, wide, high = wall.sheet(3).frame_mm
            row = round((y - top) / high * found.picture.shape[0])
            col = round((x - left) / wide * found.picture.shape[1])
            level = float(found.picture[row - 2 : row + 3, col - 2 : col + 3].mean())
            assert (level < 128) == (apart > 0), name
    text = hand.app.screen.words.text
    assert "sheet 4 against sheet 3" in text
    assert "filter 2 → 3" in text
    assert {"the same", "+  sheet 4 darker by 0.50", "−  sheet 4 lighter by 0.50"} <= set(words(hand))


def test_prints_that_cannot_be_compared_say_why(tmp_path: Path) -> None:
    driver = open_room(tmp_path, evening=True)
    sheet(driver)
    driver.go("wall")
    driver.click("look-at:difference")
    assert any("Pin two prints" in w for w in words(driver))
    assert data(driver) is None
    driver.click("look-at:split")
    assert any("Lay two strips" in w for w in words(driver))
    assert faults(driver.frame(0.0)) == []


def test_soft_and_hard_stand_beside_each_other_and_become_the_plan(hand: Driver) -> None:
    hand.click("look-at:split")
    soft, hard = hand.app.screen.diagrams.pair
    assert (soft.strip.number, soft.filter) == (1, "00")
    assert (hard.strip.number, hard.filter) == (2, "5")
    wall = darkroom(hand).wall
    for half in (soft, hard):
        for step, density in zip(half.strip.strip_steps, half.densities, strict=True):
            assert density == wall.read(half.strip.number, step.x_mm, step.y_mm).density
            assert f"{step.time_s:.1f} s   D {density:.2f}" in words(hand)
    hand.click("soft-step:3")
    hand.click("hard-step:1")
    shown = [bar.seconds for bar in hand.app.screen.diagrams.bars]
    assert shown == [STEPS_S[3], STEPS_S[1]]
    hand.click("use-plan")
    hand.frame()
    plan = darkroom(hand).paper.plan
    assert [(one.time_s, one.filter) for one in plan] == [(8.0, "00"), (4.0, "5")]
    assert hand.app.place == "enlarger"


def test_filters_are_ordered_from_soft_to_hard(hand: Driver) -> None:
    record = darkroom(hand).wall.record
    soft, middle, hard = (hardness(record(n).exposures[-1].filter) for n in (1, 3, 2))
    assert soft < middle < hard


def test_labels_are_spread_and_stay_in_order() -> None:
    rng = np.random.Generator(np.random.PCG64(5))
    for _ in range(50):
        wanted = list(rng.uniform(0, 300, 12))
        got = spread(wanted, 20, 0, 300)
        order = np.argsort(wanted)
        assert all(got[b] - got[a] >= 20 - 1e-6 for a, b in itertools.pairwise(order))
        assert min(got) >= 10 - 1e-6
        assert max(got) <= 290 + 1e-6


def test_free_places_overlap_nothing() -> None:
    rng = np.random.Generator(np.random.PCG64(6))
    room = Rect(0, 0, 300, 240)
    for _ in range(20):
        points = [(float(x), float(y)) for x, y in rng.uniform((20, 20), (280, 220), (10, 2))]
        placed = free_places(points, [(18, 15)] * 10, room, 10)
        for one, other in itertools.combinations(placed, 2):
            assert not one.colliderect(other)
        assert all(room.contains(one) for one in placed)


def test_axes_have_round_steps_and_run_the_right_way() -> None:
    assert round_step(2.2, 8) == 0.5
    assert round_step(1.0, 5) == pytest.approx(0.2)
    assert round_step(11.0, 4) == 5.0
    assert multiples(-1.2, 0.3, 0.5) == [-1.0, -0.5, 0.0]
    assert multiples(0.3, -1.2, 0.5) == [-1.0, -0.5, 0.0]
    axes = Axes(Rect(0, 0, 100, 100), 0.0, 1.0, 0.0, 2.0)
    assert axes.at(0.0, 0.0) == (0, 100)
    assert axes.at(1.0, 2.0) == (100, 0)


@pytest.mark.parametrize("view", ["difference", "curve", "chain", "split"])
def test_drawing_changes_nothing(hand: Driver, view: str) -> None:
    hand.click(f"look-at:{view}")
    found = data(hand)
    hand.app.draw(hand.surface)
    first = pygame.image.tobytes(hand.surface, "RGB")
    hand.app.draw(hand.surface)
    assert pygame.image.tobytes(hand.surface, "RGB") == first
    assert data(hand) is found
