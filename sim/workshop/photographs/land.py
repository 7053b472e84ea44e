"""Open ground: a land given by its height, cut finely near the camera and coarsely far off, and the earth it is made of."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from sim.workshop.photographs.form import Form, grid
from sim.workshop.photographs.relief import F64
from sim.workshop.photographs.surface import Blend, Cells, Cloudy, Material, Pattern, Times, Value

Height = Callable[[F64, F64], F64]  # x and y in m to height in m
Cover = Callable[[F64, F64, F64], F64]  # x, y and height in m to a number of the material, 0..1


def land(height: Height, eye: tuple[float, float], bearing_deg: tuple[float, float], near_m: float, far_m: float,
        rows: int = 900, cols: int = 700, **values: Cover) -> Form:
    """The ground before a camera that stands at `eye`: rows of points at ever larger distances within two bearings.

    `values` are numbers of the material (grass, wet, ...) as functions of x, y and height.
    """
    away = (near_m * (far_m / near_m) ** np.linspace(0, 1, rows))[:, None]
    turn = np.radians(np.linspace(*bearing_deg, cols))[None, :]
    x, y = eye[0] + away * np.sin(turn), eye[1] + away * np.cos(turn)
    z = height(x, y)
    form = Form(np.stack([x, y, z], -1).reshape(-1, 3), grid(rows, cols))
    for name, of in values.items():
        form = form.with_value(name, of(x, y, z).ravel())
    return form


def step(value: F64, low: F64 | float, high: F64 | float) -> F64:
    """0 below `low`, 1 above `high`, smooth between."""
    share = np.clip((value - low) / (high - low), 0, 1)
    return np.asarray(share * share * (3 - 2 * share))


def cut_clay(tone: float = 0.42) -> Material:
    """Clay ground: beds of it in the cut, turf where `grass` is 1, wet and shining where `wet` is 1."""
    beds = Times(
        Cloudy(0.45, 0.55, 1.25, detail=3, stretch=(14, 14, 1)), Cloudy(0.09, 0.75, 1.15, detail=3, stretch=(20, 20, 1)))
    body: Pattern = Times(Times(tone, beds), Cloudy(0.5, 0.75, 1.15, detail=5))
    turf = Times(Times(0.10, Cloudy(6.0, 0.55, 1.5, detail=3)), Times(Cloudy(0.5, 0.5, 1.5, detail=5), Cloudy(0.03, 0.6, 1.4)))
    bare = Blend(body, Times(0.35, body), Value("wet"))
    ledges = Cloudy(0.07, -0.022, 0.022, detail=4, stretch=(9, 9, 1))
    lumps = (ledges, Cloudy(0.10, -0.014, 0.014, detail=5, harsh=0.6), Times(Value("grass"), Cloudy(0.05, -0.04, 0.04)))
    return Material(Blend(bare, turf, Value("grass")), Blend(0.92, 0.22, Value("wet")), 1.35, lumps)


def water(ripple_m: float = 0.0012) -> Material:
    """Still water: dark, a mirror that breathes a little."""
    return Material(0.03, 0.03, 1.33, (Cloudy(0.35, -ripple_m, ripple_m, detail=3, stretch=(2.5, 1, 1)),))


def far_field(tone: float = 0.16) -> Material:
    """Distant fields and hedges in patches."""
    return Material(
        Times(tone, Times(Cells(90.0, 0.5, 1.5, reach=0.8, stretch=(1.6, 1, 1)), Cloudy(12.0, 0.7, 1.2, detail=5))), 0.95,
        1.3)
