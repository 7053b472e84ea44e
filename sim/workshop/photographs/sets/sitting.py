"""One sitting, four plates: jug, bottle, bowl, cup and two eggs on a cloth, moved about between the plates.

The window stays; a bright cloud comes and goes, so that no two had quite the same light. One card serves them all, nearly.
"""

from __future__ import annotations

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import moved, sheet, turned
from sim.workshop.photographs.linen import linen, lying_cloth
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Point, Scene, Thing
from sim.workshop.photographs.surface import Cells, Cloudy, Material, Times
from sim.workshop.photographs.timber import board, wood
from sim.workshop.photographs.ware import ash_glaze, biscuit, glaze, iron_glaze

EDGE = -0.52
FEET_M = (0.062, 0.046, 0.040, 0.030, 0.022, 0.022)
Spot = tuple[float, float, float]  # x, y, turned by
# jug, bottle, bowl, cup, two eggs; camera; luminance of the window in cd/m2
PLATES: tuple[tuple[tuple[Spot, ...], Point, float], ...] = (
    (((-0.10, -0.18, 20), (0.085, -0.10, 0), (0.115, -0.33, 40), (-0.035, -0.385, 10),
      (-0.13, -0.395, 30), (-0.175, -0.36, 110)), (0.14, -1.95, 0.52), 2400.0),
    (((0.105, -0.17, 160), (-0.075, -0.11, 0), (-0.09, -0.345, 100), (0.065, -0.385, 200),
      (0.155, -0.37, 75), (0.19, -0.325, 10)), (0.02, -1.98, 0.46), 2100.0),
    (((0.0, -0.10, 70), (0.16, -0.20, 0), (-0.14, -0.285, 10), (0.05, -0.345, 90),
      (0.115, -0.40, 130), (-0.035, -0.42, 60)), (-0.08, -1.95, 0.58), 2750.0),
    (((-0.125, -0.10, -25), (0.055, -0.07, 0), (-0.015, -0.315, 70), (0.155, -0.24, 30),
      (0.11, -0.405, 20), (0.165, -0.385, 80)), (0.10, -1.88, 0.70), 2300.0),
)  # fmt: skip


def _wall() -> Material:
    """Smooth plaster under old distemper: brushed unevenly, quiet."""
    tone = Times(Cloudy(0.45, 0.20, 0.29, detail=3, warp=0.4), Cloudy(0.03, 0.96, 1.03, detail=4, stretch=(1, 1, 3)))
    return Material(tone, 0.92, 1.3, (Cloudy(0.25, -0.002, 0.002, detail=2), Cloudy(0.006, -0.00012, 0.00012, detail=3)))


def _ware(spots: tuple[Spot, ...]) -> list[Thing]:
    pitcher = t.handled(t.with_spout(t.thrown(t.sized(t.JUG, 1.08, 1.08), seed=2, off_round=0.003), 195), 0.08, 0.23, 0.052)
    egg = moved(
        turned(((0, -0.027), (0.014, -0.024), (0.0215, -0.006), (0.019, 0.012), (0.0095, 0.027), (0, 0.0305)), 0.012, 90),
        (0, 0, 0.0208), 0, 88)
    shell = Material(Times(0.76, Cloudy(0.02, 0.95, 1.03)), 0.5, 1.4, (Cells(0.0009, -0.00002, 0.0),), deep_mm=0.6)
    made = (
        (pitcher, ash_glaze(0.46)), (t.thrown(t.BOTTLE, seed=5), iron_glaze(0.025)),
        (t.thrown(t.sized(t.BOWL, 0.9, 0.95), seed=6), glaze(0.62, bare_foot=0.12)), (t.thrown(t.CUP, seed=9), biscuit(0.42)),
        (egg, shell), (egg, shell))
    return [Thing(form, skin, (x, y, 0.0014), turn_deg=turn) for (form, skin), (x, y, turn) in zip(made, spots)]


def plate(number: int) -> Scene:
    """One of the four, 1 to 4: the same table, cloth and wall; the camera a little moved each time."""
    spots, at, window = PLATES[number - 1]
    things = [
        *(Thing(board(2.0, 0.22, 0.04, seed=k), wood(0.2, 0.8), (0.01 * k, EDGE + 0.11 + 0.224 * k, -0.021)) for k in range(4)),
        lying_cloth(0.60, 0.66, (0.03, -0.38, 0.0), EDGE, 5.0 + 4 * number, linen(0.5, worn=0.25), 10 + number, 0.008,
            [(x, y, foot) for (x, y, _), foot in zip(spots, FEET_M)]),
        *_ware(spots), Thing(sheet(5, 4), _wall(), (0, 0.42, 0.8), lean_deg=90),
        *shut_in(plaster(0.3, 0.5), -2.2, 2.0, -3.5, 2.7)]
    light = (
        Panel((-1.9, -0.35, 0.95), (1, 0.0, -0.38), 0.8, 1.3, window),
        Panel((1.9, -1.5, 0.8), (-1, 0.5, 0), 0.8, 1.0, 0.03 * window))
    (jx, jy, _), (bx, by, _), (wx, wy, _), (cx, cy, _), (ex, ey, _), _ = spots
    places = {
        "egg": (ex - 0.008, ey - 0.012, 0.040), "bowl": (wx + 0.045, wy + 0.045, 0.055), "jug": (jx - 0.060, jy - 0.065, 0.120),
        "jug-shade": (jx + 0.062, jy - 0.060, 0.140), "bottle": (bx + 0.030, by - 0.054, 0.100),
        "cup-shade": (cx + 0.024, cy - 0.030, 0.050), "cloth": (0.0, -0.50, 0.004), "hanging-cloth": (0.03, EDGE - 0.02, -0.10),
        "wall": (0.2, 0.41, 0.34)}
    camera = Camera(at, (0.0, -0.2, 0.100), 298, (95.0, 118.75), 22, (0.0, -0.27, 0.10))
    return Scene(camera, things, light, bounces=6, places=places)


def scene() -> Scene:
    """The first of the four."""
    return plate(1)
