"""Hands that hold clay on the wheel: bones and pads laid round the lump, worked together; of nobody in particular."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sim.workshop.photographs.form import Form
from sim.workshop.photographs.moulded import Shape, egg, grown, join, sausage, skin_of
from sim.workshop.photographs.relief import F64, uneven
from sim.workshop.photographs.surface import Blend, Cells, Cloudy, Material, Plus, Times, Value

Spot = tuple[float, float, float]
# each finger: height of its knuckle and of its tip over the wheel, bend from knuckle to tip in degrees, thickness as a share
FINGERS = ((0.099, 0.084, 82.0, 1.0), (0.079, 0.064, 88.0, 1.05), (0.059, 0.045, 82.0, 0.98), (0.041, 0.030, 66.0, 0.84))


def _round(turn_deg: float, far: float, z: float) -> Spot:
    """A place beside the lump: turned from the right towards us, at a distance from the axis."""
    a = np.radians(turn_deg)
    return float(far * np.cos(a)), float(-far * np.sin(a)), z


def _finger(
    knuckle: float, tip: float, bend: float, thick: float, lump_m: float, start_deg: float
) -> list[tuple[Shape, float]]:
    """Three bones round the lump, a swelling at each joint, a nail."""
    share = (0.0, 0.46, 0.76, 1.0)
    pads = (0.0098, 0.0084, 0.0077, 0.0066)
    off = (0.0145, 0.0115, 0.0095, 0.0075)
    spots = [_round(start_deg + bend * s, lump_m + o, knuckle + (tip - knuckle) * s**1.2) for s, o in zip(share, off)]
    parts: list[tuple[Shape, float]] = []
    for k in range(3):
        parts.append((sausage(spots[k], spots[k + 1], thick * pads[k], thick * pads[k + 1] * 0.98), 0.004))
    for k in (1, 2):
        x, y, z = _round(start_deg + bend * share[k], lump_m + off[k] + 0.0032, knuckle + (tip - knuckle) * share[k] ** 1.2)
        parts.append((egg((x, y, z), (thick * 0.0082, thick * 0.0082, thick * 0.0072)), 0.005))
    x, y, z = _round(start_deg + bend * 0.955, lump_m + off[3] + 0.0052, tip + 0.0004)
    parts.append((egg((x, y, z), (0.0047, 0.0047, 0.0044)), 0.0012))
    return parts


def _hand(lump_m: float, start_deg: float, high: float) -> Shape:
    """The right hand, as a distance: wrist behind, palm against the lump, fingers round it, thumb over its edge."""
    wrist = _round(start_deg - 62, lump_m + 0.046, 0.066)
    masses: list[tuple[Shape, float]] = []
    for knuckle, _, _, thick in FINGERS:
        root = _round(start_deg, lump_m + 0.0165, knuckle)
        carpal = (wrist[0] * 0.97, wrist[1], 0.066 + 0.42 * (knuckle - 0.070))
        masses.append((sausage(carpal, root, 0.0150, 0.0112 * thick), 0.013))
        x, y, z = _round(start_deg, lump_m + 0.0212, knuckle + 0.001)
        masses.append((egg((x, y, z), (0.0092, 0.0092, 0.0080)), 0.007))
    fingers = [part for finger in FINGERS for part in _finger(*finger, lump_m, start_deg)]
    more = [*_forearm(wrist), *_thumb(wrist, lump_m, start_deg, high)]

    def distance(p: F64) -> F64:
        d = grown(p, grown(p, masses[0][0](p), masses[1:]), more)
        every = np.full(p.shape[:-1], 1.0)
        for part, fillet in fingers:  # fingers keep their gaps: each is put on with a small fillet only
            every = join(every, part(p), fillet * 0.55)
        d = join(d, every, 0.0045)
        return np.asarray(d + 0.0005 * uneven(p, 0.016, 3, 3) + 0.00018 * uneven(p, 0.004, 2, 5))

    return distance


def _thumb(wrist: Spot, lump_m: float, start_deg: float, high: float) -> list[tuple[Shape, float]]:
    """The ball of the thumb, its two bones over the edge of the lump, the joint and the nail."""
    ball, joint = _round(start_deg - 36, lump_m + 0.026, 0.098), _round(start_deg - 6, lump_m + 0.004, high + 0.014)
    bend, tip = (_round(start_deg + 24, lump_m - 0.010, high + 0.0125), _round(start_deg + 47, lump_m - 0.019, high + 0.006))
    return [
        (sausage(wrist, ball, 0.019, 0.018), 0.016),
        (sausage(ball, joint, 0.0165, 0.0112), 0.010),
        (sausage(joint, bend, 0.0108, 0.0100), 0.004),
        (sausage(bend, tip, 0.0100, 0.0076), 0.004),
        (egg((bend[0], bend[1], bend[2] + 0.003), (0.010, 0.010, 0.0095)), 0.005),
        (egg((tip[0], tip[1], tip[2] + 0.0056), (0.0058, 0.0058, 0.0034)), 0.0014),
    ]


def _forearm(wrist: Spot) -> list[tuple[Shape, float]]:
    """Two bones under one skin, a sinew, the knob at the wrist."""
    elbow = (wrist[0] + 0.115, wrist[1] + 0.235, 0.115)
    half = tuple(0.5 * (a + b) for a, b in zip(wrist, elbow))
    return [
        (sausage(wrist, elbow, 0.0235, 0.043), 0.022),
        (egg((wrist[0] + 0.012, wrist[1] + 0.012, wrist[2] + 0.012), (0.010, 0.010, 0.008)), 0.012),
        (sausage((half[0], half[1], half[2] + 0.010), elbow, 0.024, 0.040), 0.03),
        (sausage((wrist[0] - 0.006, wrist[1] + 0.01, 0.082), (half[0], half[1], half[2] + 0.03), 0.0035, 0.006), 0.012),
    ]


def hand(
    lump_m: float = 0.060, start_deg: float = 4.0, high: float = 0.105, left: bool = False, cell_m: float = 0.0012
) -> Form:
    """A hand and forearm at a lump of that radius and height standing about the axis; value `arm` 0 at the fingers to 1."""
    form = skin_of(_hand(lump_m, start_deg, high), (-0.02, -0.10, 0.0), (0.26, 0.30, 0.19), cell_m)
    arm = np.clip((form.points[:, 1] - 0.045) / 0.07, 0, 1)
    form = form.with_value("arm", arm)
    if not left:
        return form
    return Form(form.points * (-1.0, 1.0, 1.0), triangles=form.triangles[:, ::-1], values=form.values)


def slip_on_skin(skin: float = 0.33, slip: float = 0.30) -> Material:
    """Skin under slip: fingers coated and shining, runs and splashes towards the elbow, bare skin with its pores beyond."""
    bare = Times(Value("arm"), Plus(0.15, Cloudy(0.02, 0.0, 1.3, sharp=2.0, warp=0.5)))
    folds = Cells(0.0022, 0.0, 0.00018, "crack", 0.4, 1.0, (1.0, 2.5, 1.0))
    body = Blend(Times(slip, Cloudy(0.02, 0.8, 1.12)), Times(skin, Cloudy(0.015, 0.88, 1.08)), bare)
    return Material(
        body,
        Blend(Cloudy(0.008, 0.16, 0.42), 0.5, bare),
        1.42,
        (folds, Times(Cloudy(0.006, -0.0004, 0.0004, warp=0.5), Plus(1.0, Times(bare, -0.8)))),
        deep_mm=0.8,
    )


def lump(lump_m: float = 0.060, high: float = 0.105) -> Sequence[tuple[float, float]]:
    """Outline of the lump the hands hold: broad at the wheel, pressed in by the palms, its edge under the thumbs."""
    return (
        (1.28 * lump_m, 0.0),
        (1.16 * lump_m, 0.010),
        (1.0 * lump_m, 0.028),
        (0.97 * lump_m, 0.6 * high),
        (0.93 * lump_m, 0.92 * high),
        (0.84 * lump_m, high),
    )
