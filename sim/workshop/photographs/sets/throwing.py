"""Throwing: the wheel has just stopped. A wet jar, slip running, the tools where they fell; two thrown before it behind."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import Form, block, disc, moved, rod, sheet, together, turned
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.relief import uneven
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Along, Bands, Blend, Cells, Cloudy, Material, Plus, Times
from sim.workshop.photographs.timber import board, wood
from sim.workshop.photographs.ware import glaze, slip

TOP = 0.86  # the wheel's head, m
JAR_ON_WHEEL: t.Outline = (
    (0.074, 0.0), (0.084, 0.010), (0.101, 0.055), (0.108, 0.105), (0.100, 0.150), (0.080, 0.186), (0.074, 0.205),
    (0.080, 0.222))
BEFORE_IT: tuple[t.Outline, ...] = (t.sized(t.VASE, 0.85, 0.62), t.sized(t.BOWL, 0.95, 1.15))
WATER = Material(0.10, 0.03, 1.33, (Cloudy(0.05, -0.0003, 0.0003, detail=2),))


def wet(tone: float, lines_m: float = 0.0) -> Material:
    """Clay under a film of slip: runs and drops that shine, a duller bloom where it has begun to dry."""
    runs = Cloudy(0.010, 0.0, 1.0, detail=3, stretch=(1, 1, 5), warp=0.5, sharp=1.5)
    film = Plus(0.5, Times(0.5, runs))
    relief = (Times(runs, 0.00035), Cloudy(0.0035, -0.00010, 0.00010, detail=4), Bands(0.0021, 0.0, lines_m, "z", warp=1.2))
    body = Times(Times(tone, Cloudy(0.05, 0.85, 1.12, detail=4)), Plus(1.06, Times(runs, -0.22)))
    return Material(body, 0.55, 1.4, relief, coat=film, coat_roughness=Cloudy(0.02, 0.05, 0.22), coat_bumps=True)


def _slurry(inner: float, outer: float, seed: int) -> Form:
    """The soft ring of slip that is pushed off a pot's foot: lumps and tongues, lying on the wheel's head."""
    ring = turned(
        ((inner, 0.0), (inner, 0.012), (0.55 * inner + 0.45 * outer, 0.009), (outer, 0.002), (outer, 0.0)), 0.003, 220)
    p = ring.points
    angle = np.arctan2(p[:, 1], p[:, 0])
    far = np.hypot(p[:, 0], p[:, 1])[:, None]
    grow = np.clip((far - inner) / (outer - inner), 0, 1)
    tongue = 0.5 * uneven(np.stack([np.cos(angle), np.sin(angle), 0 * angle], -1), 0.35, 4, seed)[:, None]
    wide = 1 + (outer - inner) * grow * tongue / np.maximum(far, 0.01)
    lumps = 0.004 * uneven(p, 0.022, 3, seed + 1)[:, None] * (p[:, 2:] > 0.001)
    return ring.bent(p * np.concatenate([wide, wide, np.ones_like(wide)], 1) + lumps * (0, 0, 1))


def _ribbons() -> Form:
    """Ribbons of clay the tool has cut off, curled up where they fell."""
    parts = []
    for k in range(9):
        a = np.linspace(0, 4.0 + 1.7 * (k % 4), 70)
        r = 0.012 + 0.005 * (k % 3) - 0.0011 * a
        line = np.stack([r * np.cos(a), r * np.sin(a), 0.006 + 0.0016 * a + 0.004 * np.sin(2 * a)], -1)
        place = (0.05 * np.cos(2.4 * k) * (0.4 + 0.12 * k), 0.04 * np.sin(2.4 * k) * (0.4 + 0.12 * k), 0.0)
        parts.append(moved(rod(line, 0.0042, 8, flat=0.22), place, 40 * k, 25 * np.sin(k)))
    return together(parts)


def _wheel() -> list[Thing]:
    """The jar, the wheel's head with its rings of slip, the basin with slops, what lies in it."""
    pan = ((0.0, 0.0), (0.28, 0.0), (0.315, 0.11), (0.325, 0.11), (0.29, -0.01), (0.0, -0.01))
    dried = Blend(0.30, 0.17, Times(Cloudy(0.03, 0.0, 1.0, detail=5, warp=0.6, sharp=2.0), Along("z", 0.13, 0.02)))
    splashed = Material(
        Times(dried, Cloudy(0.12, 0.75, 1.15, detail=4)), Blend(0.85, 0.25, Along("z", 0.07, 0.0)), 1.4,
        (Cloudy(0.012, -0.0010, 0.0010, detail=4, stretch=(1, 1, 3)), Cells(0.014, 0.0008, 0.0, reach=0.3)))  # fmt: skip
    head = Material(Times(0.25, Bands(0.006, 0.9, 1.05, "z", rings=True, warp=0.3)), 0.5, 1.4,
                    (Bands(0.007, 0.0, 0.00022, "z", rings=True, warp=0.3),), coat=Cloudy(0.05, 0.3, 1.0),
                    coat_roughness=0.12, coat_bumps=True)  # fmt: skip
    return [
        Thing(t.thrown(JAR_ON_WHEEL, 0.007, 5, 0.0011, 0.004, 420), wet(0.25, 0.00007), (0, 0, TOP + 0.002)),
        Thing(_slurry(0.070, 0.118, 7), slip(0.23), (0, 0, TOP)), Thing(disc(0.165, 0.024, 0.004), head, (0, 0, TOP - 0.024)),
        Thing(turned(pan, 0.012, 200), splashed, (0, 0, TOP - 0.105)), Thing(sheet(0.53, 0.53), WATER, (0, 0, TOP - 0.095)),
        Thing(_ribbons(), wet(0.24), (0.165, -0.16, TOP - 0.096)),
        Thing(_ribbons(), wet(0.26), (-0.20, -0.10, TOP - 0.096), turn_deg=130)]


def _beside() -> list[Thing]:
    """The shelf in front with water bowl, sponge, rib and wire; behind, two pots thrown before, on their bats."""
    sponge = turned(((0, -0.022), (0.03, -0.022), (0.042, 0), (0.028, 0.024), (0, 0.024)), 0.018, 110)
    bumps = 0.006 * uneven(sponge.points, 0.03, 3, 8)[:, None]
    soaked = Material(Times(0.26, Cloudy(0.02, 0.7, 1.1)), 0.6, 1.35, (Cells(0.0035, 0.0, 0.0025),))
    used = wood(0.17, 1.0)
    wire = rod([(-0.10, 0.0, 0.002), (-0.03, 0.035, 0.001), (0.04, -0.02, 0.001), (0.11, 0.012, 0.002)], 0.0006, 6, 14)
    toggles = together([moved(rod([(0, -0.028, 0), (0, 0.028, 0)], 0.0068, 16), (x, y, 0.006), a)
                        for x, y, a in ((-0.10, 0.0, 25), (0.11, 0.012, -40))])  # fmt: skip
    things = [
        *(Thing(board(1.5, 0.15, 0.04, 3 + k), used, (0.02 * k, -0.385 - 0.153 * k, TOP - 0.03)) for k in range(2)),
        Thing(t.thrown(t.sized(t.BOWL, 0.75, 0.85), seed=4), glaze(0.36, bare_foot=0.3), (0.205, -0.365, TOP - 0.01)),
        Thing(sheet(0.115, 0.115), WATER, (0.205, -0.365, TOP + 0.042)),
        Thing(sponge.bent(sponge.points * (1, 0.8, 1) + bumps), soaked, (-0.175, -0.355, TOP + 0.011), turn_deg=20),
        Thing(wire, Material(0.3, 0.25, 1.7, metal=0.9), (0.0, -0.395, TOP - 0.009), turn_deg=-8),
        Thing(toggles, wood(0.30, 0.9), (0.0, -0.395, TOP - 0.009), turn_deg=-8),
        Thing(board(1.7, 0.28, 0.035, 9), used, (0.1, 0.56, TOP - 0.05)),
        *(Thing(block(0.08, 0.09, 0.8, 0.004), used, (x, 0.56, TOP - 0.47)) for x in (-0.6, 0.8))]
    for k, (x, y) in enumerate(((-0.20, 0.55), (0.235, 0.53))):
        things += [
            Thing(disc(0.125, 0.02, 0.003), wood(0.2, 1.0), (x, y, TOP - 0.033), turn_deg=40 * k),
            Thing(t.thrown(BEFORE_IT[k], 0.006, 11 + k, 0.0009, 0.004, 320), wet(0.24), (x, y, TOP - 0.012))]
    return things


def scene() -> Scene:
    """From the thrower's stool; the window is behind on the left and lies on everything wet."""
    room = [
        Thing(sheet(6, 4), plaster(0.16, 0.5), (0, 2.0, 1.4), lean_deg=90), *shut_in(plaster(0.20, 0.5), -2.2, 2.3, -3.5, 2.8),
        Thing(sheet(7, 7), Material(0.10), (0, -1, 0))]
    return Scene(
        Camera((0.07, -1.05, TOP + 0.42), (0.005, 0.0, TOP + 0.062), 210, (118.75, 95.0), 20, (0.0, -0.09, TOP + 0.11)),
        [*_wheel(), *_beside(), *room],
        [
            Panel((-1.6, 1.15, TOP + 0.70), (1, -0.66, -0.34), 0.9, 1.4, 3000.0),
            Panel((1.9, -1.6, 1.6), (-1, 0.7, -0.2), 0.7, 1.0, 150.0)],
        bounces=6,
        places={
            "wet-light": (-0.085, -0.045, TOP + 0.12), "jar-shade": (0.075, -0.072, TOP + 0.10),
            "lip": (-0.02, -0.077, TOP + 0.223), "within": (0.01, 0.05, TOP + 0.18), "slurry": (-0.05, -0.085, TOP + 0.006),
            "wheel-head": (0.10, -0.10, TOP), "pan-shade": (-0.26, 0.05, TOP - 0.05), "water": (0.205, -0.365, TOP + 0.042),
            "sponge": (-0.175, -0.38, TOP + 0.02), "pot-behind": (-0.20, 0.48, TOP + 0.08), "wall": (0.0, 1.99, TOP - 0.10)})
