"""A roll of twelve: one walk through the pottery with a small camera, from the pit to the packing room.

Each frame is seen by the small camera's own lens from where its bearer stood; nothing is cut from the large sheets.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from importlib import import_module

import numpy as np

from sim.workshop.photographs.scene import Camera, Point, Scene
from sim.workshop.photographs.sets import clay_pit

LYING, STANDING = (36.0, 24.0), (24.0, 36.0)  # the frame, mm
EYE_M = float(clay_pit.height(np.array([-2.6]), np.array([2.4]))[0]) + 1.62  # of who stands at the pit


def _seen(place: str, at: Point, towards: Point, focal_mm: float, f_number: float, sharp_at: Point,
        film: tuple[float, float] = LYING) -> Scene:
    """The same place through the small camera; the points named for the large sheet are left out."""
    scene: Scene = import_module(f"sim.workshop.photographs.sets.{place}").scene()
    camera = Camera(at, towards, focal_mm, film, f_number, sharp_at)
    return replace(scene, camera=camera, places={name: p for name, p in scene.places.items() if _within(camera, p)})


def _within(camera: Camera, point: Point) -> bool:
    x, y = camera.in_frame(point)
    return 0.03 < x < 0.97 and 0.03 < y < 0.97


FRAMES: tuple[Callable[[], Scene], ...] = (
    lambda: _seen("clay_pit", (-2.6, 2.4, EYE_M), (3.6, 30.0, EYE_M - 4.2), 75, 8, (1.0, 14.0, -2.0)),
    lambda: _seen("clay_pit", (-2.6, 2.4, EYE_M), (-5.6, 30.0, EYE_M + 0.6), 85, 8, (-6.0, 26.0, 0.0), STANDING),
    lambda: _seen("mist_yard", (-0.30, -0.2, 1.62), (0.25, 8.0, 2.2), 40, 5.6, (0.3, 6.5, 0.7), STANDING),
    lambda: _seen("mist_yard", (0.15, 2.4, 1.35), (0.45, 7.2, 0.72), 50, 4, (0.5, 6.8, 0.6)),
    lambda: _seen("wheel_window", (0.75, -2.5, 1.55), (-0.25, -0.6, 1.12), 35, 4, (-0.12, -1.1, 1.0)),
    lambda: _seen("throwing", (0.42, -0.72, 1.42), (0.0, 0.0, 0.92), 50, 4, (0.0, -0.05, 0.95), STANDING),
    lambda: _seen("drying_racks", (0.05, -1.2, 1.30), (0.95, 0.5, 1.15), 35, 4, (0.72, 0.0, 1.2), STANDING),
    lambda: _seen("tool_wall", (-0.66, -0.74, 1.14), (-0.12, 0.0, 1.02), 50, 5.6, (-0.15, -0.08, 0.9)),
    lambda: _seen("glaze_shelf", (-0.75, -1.15, 1.72), (0.15, -0.1, 1.60), 50, 4, (-0.12, -0.15, 1.7)),
    lambda: _seen("clay_head", (0.62, -0.95, 1.45), (-0.035, 0.0, 1.34), 90, 4, (0.0, -0.09, 1.36), STANDING),
    lambda: _seen("kiln_mouth", (-0.75, -2.6, 1.25), (0.15, -0.3, 0.55), 35, 2.8, (0.1, -0.7, 0.3)),
    lambda: _seen("packing_room", (-0.85, -1.15, 1.42), (0.02, 0.02, 0.90), 50, 5.6, (-0.1, -0.15, 0.88)))


def frame(number: int) -> Scene:
    """One of the twelve, 1 to 12."""
    return FRAMES[number - 1]()
