"""The plan as bars: every kind has a form of its own, nothing is cut or overlaps, drawing changes nothing."""

from __future__ import annotations

from typing import Any

import pygame
import pytest
from layouts import faults
from pygame import Rect

from sim.notebook.exposure_plan import PlanBar
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.wall.plan_drawing import draw_plan, plan_height

KINDS = ("base", "soft", "hard", "burn", "dodge", "flash")


def bar(kind: Any, k: int = 0, **more: Any) -> PlanBar:
    stops = {"burn": 1.2, "dodge": -0.4}.get(kind)
    found = {"label": kind, "filter": "2", "f_number": 8.0, "start_s": 4.0 * k, "seconds": 4.0, "stops": stops}
    return PlanBar(kind, **{**found, "exposure": k, "done": False, **more})


def drawn(bars: list[PlanBar], rect: Rect | None = None, palette: str = "safelight") -> tuple[Canvas, Rect]:
    pygame.font.init()
    canvas = Canvas(pygame.Surface((640, 420)), Look(1.0, palette))
    return canvas, draw_plan(canvas, rect or Rect(10, 10, 600, 390), bars)


@pytest.mark.parametrize("palette", ["safelight", "white-light"])
def test_every_kind_of_bar_looks_different_without_colour(palette: str) -> None:
    pictures = set()
    for kind in KINDS:
        canvas, _ = drawn([bar(kind, label="x", stops=None)], palette=palette)
        grey = pygame.surfarray.array3d(canvas.surface)[20:500, 10:34].mean(axis=2)
        pictures.add(grey.tobytes())
    assert len(pictures) == len(KINDS)


def test_all_rows_are_named_with_seconds_and_stops() -> None:
    canvas, used = drawn([bar(kind, k) for k, kind in enumerate(KINDS)])
    words = [label.words for label in canvas.labels]
    assert {*KINDS} <= set(words)
    assert "+4.0 s  +1.20" in words
    assert "−4.0 s  −0.40" in words
    assert faults(canvas) == []
    assert Rect(10, 10, 600, 390).contains(used)


def test_what_does_not_fit_is_counted() -> None:
    bars = [bar("burn", k) for k in range(20)]
    canvas, _ = drawn(bars, Rect(10, 10, 600, 200))
    shown = sum(label.words == "burn" for label in canvas.labels)
    assert f"and {20 - shown} more" in [label.words for label in canvas.labels]
    assert plan_height(canvas.look, bars) > 200


def test_bars_stand_where_their_seconds_are() -> None:
    canvas, _ = drawn([bar("base", 0, start_s=0.0, seconds=8.0), bar("base", 1, start_s=8.0, seconds=8.0)])
    ink = canvas.look.colour("soft")
    lit = pygame.surfarray.array3d(canvas.surface) == ink
    rows = [lit[:, 10 + 27 * k + 11].all(axis=1).nonzero()[0] for k in range(2)]
    ends = [(row[row > 60].min(), row[(row > 60) & (row < 574)].max()) for row in rows]
    assert abs(int(ends[0][1]) - int(ends[1][0])) <= 2
    assert abs((ends[0][1] - ends[0][0]) - (ends[1][1] - ends[1][0])) <= 2


def test_drawing_twice_gives_the_same_pixels() -> None:
    bars = [bar(kind, k) for k, kind in enumerate(KINDS)]
    one, other = (pygame.image.tobytes(drawn(bars)[0].surface, "RGB") for _ in range(2))
    assert one == other
