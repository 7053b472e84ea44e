"""Every size of the window: tiny ones show the whole room made smaller, and a thousand sizes fill no memory."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pygame
import pytest
from hands_in_room import Hands, in_room
from layouts import faults
from night import turns
from test_random_events import NAMES, _Faults

from sim.window.kit.events import Key, Pointer
from sim.window.standing.small import LEAST_ROOM, room_size, scale_for

SMALL = ((320, 240), (400, 1200), (1900, 260), (679, 450), (640, 480))
MOST_GROWTH_MB = 150.0
RESIZES = turns("TONEWRIGHT_RESIZES", 80, 1000)


def pointed(hands: Hands, name: str) -> None:
    """Touch where a thing is drawn in the window, which shows the room smaller."""
    rect, (wide, high), (w, h) = hands.where(name), hands.window.size, hands.window.glass
    at = (rect.centerx * w // wide, rect.centery * h // high)
    hands.window.handle(Pointer("down", at, 1, buttons=frozenset({1})))
    hands.window.handle(Pointer("up", at, 1))
    hands.frame()


def test_the_room_is_never_laid_out_smaller_than_its_least_size() -> None:
    assert room_size(LEAST_ROOM) == LEAST_ROOM
    assert room_size((1280, 800)) == (1280, 800)
    assert room_size((340, 225)) == (680, 450)
    assert room_size((679, 450)) == (680, 451), "a point too narrow already"
    assert room_size((320, 240)) == (680, 510)  # the window's shape is kept
    assert all(side <= 4096 for size in ((1, 1), (1, 2000), (9000, 3)) for side in room_size(size)[:1])


def test_type_is_as_large_as_asked_for_where_the_room_still_fits() -> None:
    assert scale_for(1.5, (1020, 675)) == 1.5
    assert scale_for(1.5, (1019, 675)) < 1.5
    assert scale_for(2.5, (1700, 1125)) == 2.5
    assert scale_for(2.0, (300, 200)) == 1.0


@pytest.mark.parametrize("size", SMALL)
def test_a_tiny_window_shows_every_place_whole_and_throws_nothing(tmp_path: Path, size: tuple[int, int]) -> None:
    hands = in_room(tmp_path, size, evening=False)
    found = _Faults()
    hands.window.room.log.addHandler(found)
    pointed(hands, "new evening")
    assert hands.place == "enlarger", "the touch arrived"
    for key in ("alt+1", "alt+2", "alt+3", "alt+4", "f1"):
        hands.press(key)
        canvas = hands.frame()
        assert [fault for fault in faults(canvas) if not fault.startswith("over")] == []
        assert pygame.surfarray.array2d(hands.surface).std() > 0
    assert found.found == []


def test_random_keys_and_touches_in_a_tiny_window_throw_nothing(tmp_path: Path) -> None:
    hands = in_room(tmp_path, (320, 240))
    found, dice = _Faults(), np.random.Generator(np.random.PCG64(5))
    hands.window.room.work.begin = lambda *more: None  # type: ignore[method-assign]
    hands.window.room.log.addHandler(found)
    for number in range(400):
        at = (int(dice.integers(-5, 325)), int(dice.integers(-5, 245)))
        if dice.random() < 0.5:
            hands.window.handle(Pointer("down", at, 1, buttons=frozenset({1})))
            hands.window.handle(Pointer("up", at, 1))
        else:
            name = str(dice.choice([n for n in NAMES if n != "q"]))
            hands.window.handle(Key(name, True, text=name if len(name) == 1 else ""))
            hands.window.handle(Key(name, False))
        hands.window.leaving = False
        hands.window.update(0.05)
        if number % 40 == 0:
            hands.frame()
    assert found.found == []


def test_many_sizes_of_the_window_fill_no_memory() -> None:
    """Every size makes its pictures anew; those of the sizes before are let go of by their bytes, not by their number."""
    probe = Path(__file__).with_name("sizes_probe.py")
    done = subprocess.run(
        [sys.executable, str(probe), str(RESIZES)], capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    found = json.loads(done.stdout.splitlines()[-1])
    print(f"\n{RESIZES} sizes: {found}")
    assert found["over_their_bound"] == 0
    assert found["most_mb"] - found["start_mb"] < MOST_GROWTH_MB
    assert found["most_mb"] < 400.0
