"""Throwing: the wheel has just stopped. A wet jar, slip running, the tools where they fell; two thrown before it behind."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import Form, block, disc, grid, moved, rod, sheet, together, turned
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.relief import uneven
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Along, Bands, Blend, Cells, Cloudy, Material, Plus, Times
from sim.workshop.photographs.timber import board, wood
from sim.workshop.photographs.ware import glaze

TOP = 0.86  # the wheel's head, m
JAR_ON_WHEEL: t.Outline = (
    (0.074, 0.0), (0.084, 0.010), (0.101, 0.055), (0.108, 0.105), (0.100, 0.150), (0.080, 0.186), (0.074, 0.205),
    (0.080, 0.222))
BEFORE_IT: tuple[t.Outline, ...] = (t.sized(t.VASE, 0.85, 0.62), t.sized(t.BOWL, 0.95, 1.15))
WATER = Material(0.10, 0.03, 1.33, (Cloudy(0.05, -0.0003, 0.0003, detail=2),))


def wet(tone: float, gloss: float = 1.0) -> Material:
    """Clay under a film of slip: smooth, shining where water stands on it, a duller bloom where it has begun to dry."""
    film = Cloudy(0.06, 0.45 * gloss, gloss, detail=2, stretch=(1, 1, 0.5))
    body = Times(Times(tone, Cloudy(0.05, 0.88, 1.10, detail=3, stretch=(1, 1, 0.4))), Cells(0.006, 0.8, 1.0, reach=0.08))
    relief = (Cloudy(0.012, -0.00008, 0.00008, detail=2, stretch=(6, 6, 1)),
        Bands(0.0019, 0.0, 0.000035, "z", warp=0.5, warp_size_m=0.2))
    return Material(body, 0.5, 1.4, relief, coat=film, coat_roughness=Cloudy(0.025, 0.12, 0.28), coat_bumps=True)


def _slurry(inner: float, outer: float, high: float, seed: int) -> Form:
    """Soft slip that the fingers pushed off a pot's foot: a ring joined to it, smooth, thicker here and there, run out."""
    far, angle = np.meshgrid(np.linspace(0.0, 1.0, 40), np.linspace(0, 2 * np.pi, 360, endpoint=False), indexing="ij")
    round_it = np.stack([np.cos(angle), np.sin(angle), 0.6 * far], -1)
    wide = (outer - inner) * (1.0 + 0.45 * uneven(round_it, 0.55, 3, seed))
    radius = inner + wide * far
    body = (1 - far) ** 2.2 + 0.30 * (1 + uneven(round_it, 0.30, 2, seed + 1)) * np.sqrt(np.maximum(1 - far**3, 0))
    turns = 0.05 * np.sin(2 * np.pi * 5 * far + angle) * (1 - far)
    points = np.stack([radius * np.cos(angle), radius * np.sin(angle), high * (body + turns) - 0.0002], -1)
    return Form(points.reshape(-1, 3), grid(40, 360, around=True))


def _trimmings() -> Form:
    """Strips of clay the tool has cut off, soft and thick, where they fell."""
    parts = []
    for k in range(7):
        a = np.linspace(0, 2.4 + 0.9 * (k % 3), 40)
        r = 0.016 + 0.006 * (k % 3) - 0.002 * a
        line = np.stack([r * np.cos(a), r * np.sin(a), 0.004 + 0.001 * a], -1)
        place = (0.05 * np.cos(2.4 * k) * (0.4 + 0.12 * k), 0.04 * np.sin(2.4 * k) * (0.4 + 0.12 * k), 0.0)
        parts.append(moved(rod(line, 0.006 * np.sin(np.linspace(0.25, 2.9, 40)), 12, flat=0.5), place, 40 * k, 12 * np.sin(k)))
    return together(parts).worn(0.0012, 0.012, 4)


def _wheel() -> list[Thing]:
    """The jar, the wheel's head with its rings of slip, the basin with slops, what lies in it."""
    pan = ((0.0, 0.0), (0.28, 0.0), (0.315, 0.11), (0.325, 0.11), (0.29, -0.01), (0.0, -0.01))
    splash = Times(Cloudy(0.02, 0.0, 1.0, detail=5, warp=0.5, sharp=3.0), Along("z", 0.0, 0.06))
    dried = Blend(Times(0.30, Cloudy(0.08, 0.85, 1.1, detail=3)), 0.16, Along("z", 0.045, 0.0))  # pale crust, dark where wet
    splashed = Material(
        Blend(Times(dried, Cloudy(0.03, 0.9, 1.08, detail=4, stretch=(1, 1, 4))), 0.36, splash),
        Blend(0.8, 0.22, Along("z", 0.06, 0.0)), 1.4,
        (Times(splash, 0.0006), Cloudy(0.05, -0.0008, 0.0008, detail=2), Cloudy(0.004, -0.00008, 0.00008)))
    smeared = Bands(0.0105, 0.0, 1.0, "z", rings=True, warp=0.5)
    slipped = Blend(0.15, 0.25, Times(smeared, Cloudy(0.05, 0.2, 1.3, detail=4)))
    head = Material(Times(slipped, Cloudy(0.02, 0.88, 1.08)), 0.45, 1.4,
        (Times(smeared, 0.0004), Cloudy(0.006, -0.00012, 0.00012)), coat=Cloudy(0.04, 0.1, 1.0, detail=4),
        coat_roughness=Cloudy(0.03, 0.10, 0.35), coat_bumps=True)
    return [
        Thing(t.thrown(JAR_ON_WHEEL, 0.007, 5, 0.00055, 0.004, 420, 60), wet(0.25), (0, 0, TOP + 0.002)),
        Thing(_slurry(0.077, 0.112, 0.013, 7), wet(0.24), (0, 0, TOP)),
        Thing(_slurry(0.158, 0.1645, 0.0025, 9), wet(0.23), (0, 0, TOP)),
        Thing(disc(0.165, 0.024, 0.005), head, (0, 0, TOP - 0.024)),
        Thing(rod([(0, 0, 0), (0, 0, 0.12)], 0.028, 32), head, (0, 0, TOP - 0.135)),
        Thing(turned(pan, 0.012, 200), splashed, (0, 0, TOP - 0.105)), Thing(sheet(0.53, 0.53), WATER, (0, 0, TOP - 0.088)),
        Thing(_trimmings(), wet(0.22, 0.5), (0.165, -0.16, TOP - 0.090)),
        Thing(_trimmings(), wet(0.23, 0.5), (-0.20, -0.12, TOP - 0.090), turn_deg=130)]


def _beside() -> list[Thing]:
    """The shelf in front with water bowl, sponge, rib and wire; behind, two pots thrown before, on their bats."""
    sponge = turned(((0, -0.022), (0.03, -0.022), (0.042, 0), (0.028, 0.024), (0, 0.024)), 0.018, 110)
    bumps = 0.0035 * uneven(sponge.points, 0.04, 3, 8)[:, None]
    pores = Times(Cells(0.0045, 0.0, 1.0, reach=0.42), Cells(0.0017, 0.35, 1.0, reach=0.4))
    soaked = Material(Times(0.34, Plus(0.25, Times(0.75, pores))), 0.8, 1.3, (Times(pores, 0.0016),))
    used = wood(0.17, 1.0)
    wire = rod([(-0.10, 0.0, 0.002), (-0.03, 0.035, 0.001), (0.04, -0.02, 0.001), (0.11, 0.012, 0.002)], 0.0006, 6, 14)
    toggles = together([moved(rod([(0, -0.028, 0), (0, 0.028, 0)], 0.0068, 16), (x, y, 0.006), a)
                        for x, y, a in ((-0.10, 0.0, 25), (0.11, 0.012, -40))])  # fmt: skip
    things = [
        *(Thing(board(1.5, 0.15, 0.04, 3 + k), used, (0.02 * k, -0.385 - 0.153 * k, TOP - 0.03)) for k in range(2)),
        Thing(t.thrown(t.sized(t.BOWL, 0.62, 0.8), seed=4), glaze(0.36, bare_foot=0.3), (0.205, -0.375, TOP - 0.01)),
        Thing(disc(0.051, 0.001, 0.0003), WATER, (0.205, -0.375, TOP + 0.036)),
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
        Camera((0.07, -1.05, TOP + 0.42), (0.005, 0.0, TOP + 0.062), 190, (118.75, 95.0), 20, (0.0, -0.09, TOP + 0.11)),
        [*_wheel(), *_beside(), *room],
        [
            Panel((-1.6, 1.15, TOP + 0.70), (1, -0.66, -0.34), 0.9, 1.4, 3000.0),
            Panel((1.9, -1.6, 1.6), (-1, 0.7, -0.2), 0.7, 1.0, 150.0)],
        bounces=6,
        places={
            "wet-light": (-0.085, -0.045, TOP + 0.12), "jar-shade": (0.075, -0.072, TOP + 0.10),
            "lip": (-0.02, -0.077, TOP + 0.223), "within": (0.01, 0.05, TOP + 0.18), "slurry": (-0.05, -0.085, TOP + 0.006),
            "wheel-head": (0.10, -0.10, TOP), "pan-shade": (-0.26, 0.05, TOP - 0.05), "water": (0.205, -0.375, TOP + 0.037),
            "sponge": (-0.175, -0.38, TOP + 0.02), "pot-behind": (-0.20, 0.48, TOP + 0.08), "wall": (0.0, 1.99, TOP - 0.10)})
