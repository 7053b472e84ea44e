"""The loupe and the filters by scripted hands: what is set down where, what the grain says, what colour the light is."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Literal

import numpy as np
import pygame
import pytest
from hands_in_room import Hands, in_room

from sim.window.kit.events import Pointer
from sim.window.things.easel_picture import as_seen
from sim.window.things.head import RING_FINE_MM, RING_STEP_MM
from sim.window.things.loupe import CLEARER, LIGHTEST_MEAN, clearer


@pytest.fixture
def hands(tmp_path: Path) -> Hands:
    return in_room(tmp_path / "evenings")


def test_the_loupe_follows_the_hand_until_it_is_set_down(hands: Hands) -> None:
    easel = hands.enlarger.easel
    hands.touch("loupe")
    for share in (0.3, 0.6):
        at = (easel.rect.x + int(easel.rect.w * share), easel.rect.y + int(easel.rect.h * share))
        hands.point(at)
        hands.frame()
        assert hands.window.room.standing.loupe_mm == easel.plan.to_mm(at)
    kinds: tuple[Literal["down", "up"], ...] = ("down", "up")
    for kind in kinds:
        hands.window.handle(Pointer(kind, at, 1))
    hands.point((at[0] - 40, at[1]))
    assert hands.window.room.standing.loupe_mm == easel.plan.to_mm(at), "set down, it stays"


def test_a_loupe_set_down_by_key_stands_where_something_is_to_be_seen(hands: Hands) -> None:
    hands.press("g")
    hands.frame()
    at = hands.window.room.standing.loupe_mm
    assert at is not None

    def detail(x_mm: float, y_mm: float) -> float:
        levels = hands.window.room.darkroom.easel.loupe(x_mm, y_mm, side_mm=16.0, px=96).values.astype(float)
        return float(np.abs(np.diff(levels, axis=0)).mean() + np.abs(np.diff(levels, axis=1)).mean())

    now = hands.window.room.darkroom.desk.now
    others = [detail(now.sheet_width_mm * x / 4, now.sheet_height_mm * y / 4) for x in (1, 2, 3) for y in (1, 2, 3)]
    assert detail(*at) > sorted(others)[4], "more is to be seen than at most other places"


def test_the_grain_says_whether_it_is_sharp_and_one_notch_is_seen(hands: Hands) -> None:
    hands.press("g")
    hands.frame()
    loupe, desk = hands.enlarger.loupe, hands.window.room.darkroom.desk
    assert "crisp" in loupe.said
    levels = []
    for notch in range(4):
        desk.set("focus_offset_mm", notch * RING_STEP_MM)
        hands.frame()
        assert loupe._crop is not None
        levels.append(pygame.surfarray.array3d(loupe._crop)[..., 0].astype(float))
        assert ("soft" in loupe.said) is (notch > 0)
    fine = [float(np.abs(np.diff(one, axis=0)).mean()) for one in levels]
    assert all(later < 0.97 * earlier for earlier, later in pairwise(fine)), fine
    desk.set("focus_offset_mm", 0.0)
    hands.frame()
    hands.wheel("loupe", 1)
    assert abs(desk.focus_offset_mm) == pytest.approx(RING_STEP_MM), "the wheel under the glass turns the knob"


@pytest.mark.parametrize("off_mm", [-1.0, -2.6, 1.1, 1.7, 4.5])
def test_far_out_of_focus_the_grain_is_soft_though_either_way_it_is_softer_still(hands: Hands, off_mm: float) -> None:
    desk = hands.window.room.darkroom.desk
    desk.set("f_number", 8.0)
    desk.set("focus_offset_mm", off_mm)
    hands.press("g")
    hands.frame()
    middle = desk.now.sheet_width_mm / 2, desk.now.sheet_height_mm / 2
    for at in (middle, (15.0, 15.0)):
        hands.window.room.stand(loupe_mm=at)
        hands.frame()
        assert "soft" in hands.enlarger.loupe.said


def test_in_a_lesson_that_begins_out_of_focus_the_grain_is_soft_until_the_knob_is_turned(tmp_path: Path) -> None:
    """f/2.8, the ring 0.3 mm off, beside the middle: the lens's contrast is a quarter of what focusing reaches there."""
    hands = in_room(tmp_path, evening=False)
    hands.window.open_exercise("focus-and-best-aperture")
    hands.frame(times=3)
    room = hands.window.room
    assert (room.darkroom.desk.now.f_number, room.darkroom.desk.focus_offset_mm) == (2.8, pytest.approx(0.3))
    assert not room.darkroom.easel.grain_is_crisp(60.0, 60.0)
    crisp = []
    for notch in range(-2, 12):
        room.darkroom.desk.set("focus_offset_mm", notch * RING_FINE_MM)
        if room.darkroom.easel.grain_is_crisp(60.0, 60.0):
            crisp.append(notch * RING_FINE_MM)
    assert crisp, "some fine notch is sharp"
    assert max(abs(one - 0.2) for one in crisp) < 0.06, "the film has risen by so much at that place"


def test_a_loupe_called_by_its_key_leaves_the_cards_shadow_where_it_lies(hands: Hands) -> None:
    easel = hands.enlarger.easel

    def seen() -> np.ndarray:
        hands.point(easel.rect.center)
        hands.frame(times=2)
        return pygame.surfarray.array3d(hands.surface.subsurface(easel.rect)).astype(int)

    hands.point(easel.rect.center)
    hands.press("2")
    before = seen()
    hands.point((5, 5))
    hands.frame()
    for _ in range(2):  # out, and away again
        hands.press("g")
        hands.frame()
    assert not hands.enlarger.loupe.down
    assert np.abs(seen() - before).max() == 0


def test_under_the_glass_contrast_grows_and_lights_are_not_burnt_out() -> None:
    grey, light = (np.array([[mean - 20, mean + 20]], dtype=np.uint8) for mean in (100, 220))
    assert clearer(grey).tolist() == [[100 - 20 * CLEARER, 100 + 20 * CLEARER]]
    assert clearer(light).mean() == LIGHTEST_MEAN
    assert np.ptp(clearer(light)) == 40 * CLEARER


def test_every_raised_filter_shows_its_number(hands: Hands) -> None:
    desk = hands.window.room.darkroom.desk
    for name, shown in (("00", "00"), ("0", "0"), ("2.5", "2½"), ("5", "5")):
        desk.set("filter", name)
        canvas = hands.frame()
        box = hands.where("filter").inflate(0, 30)
        assert shown in [label.words for label in canvas.labels if box.contains(label.rect)], name
        assert hands.cut() == []


def test_light_through_a_magenta_filter_looks_magenta(hands: Hands) -> None:
    desk = hands.window.room.darkroom.desk
    for name in ("4", "5"):
        desk.set("filter", name)
        hands.frame(0.2, times=2)
        surface = hands.enlarger.easel.picture.surface
        assert surface is not None
        red, green, blue = pygame.surfarray.array3d(surface).reshape(-1, 3).astype(float).mean(axis=0)
        assert red >= blue > green, name
    assert as_seen((1.0, 0.9, 0.2)) == (1.0, 0.9, 0.2), "yellow stays yellow"
