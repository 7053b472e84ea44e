"""One cup, close: a dim corner, the window only in its glaze. Little light reached the film."""

from __future__ import annotations

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import block, sheet
from sim.workshop.photographs.linen import linen, lying_cloth
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Blend, Cells, Cloudy, Material, Times
from sim.workshop.photographs.timber import board, wood
from sim.workshop.photographs.ware import Along01, biscuit, glaze, iron_glaze

EDGE = -0.30


def _crackled() -> Material:
    """A pale glaze over grey clay, crazed all over, run thin at the lip, stopped short of the foot in a thick roll."""
    crack = Cells(0.0085, 0.0, 1.0, "crack", 0.026, 1.0, (1, 1, 1.3), warp=0.4)
    finer = Cells(0.0036, 0.75, 1.0, "crack", 0.035, warp=0.4)
    stained = Blend(Cloudy(0.02, 0.38, 0.75), 1.0, crack)
    body = Times(
        Times(0.58, Cloudy(0.02, 0.88, 1.06, stretch=(1, 1, 3))), Times(stained, Blend(1.0, finer, Cloudy(0.03, -0.4, 1.2))))
    body = Times(Times(body, Cells(0.008, 0.45, 1.0, reach=0.06)), Cloudy(0.0012, 0.95, 1.05, detail=4))
    thin = Along01("up", 0.95, 0.995, Cloudy(0.015, -0.015, 0.015))
    covered = Along01("up", 0.13, 0.15, Cloudy(0.03, -0.06, 0.06))
    clay = Times(0.24, Cloudy(0.004, 0.7, 1.2))
    tone = Blend(clay, Blend(body, 0.26, thin), covered)
    return Material(
        tone, Blend(0.8, 0.06, covered), 1.52,
        (Cloudy(0.016, -0.00016, 0.00016, detail=2), Times(crack, 0.00001), Times(covered, 0.0004)))


def _table() -> list[Thing]:
    """The cup in front; jug, bowl and another cup behind it, out of focus; a cloth."""
    cup = t.thrown(
        ((0.024, 0.0), (0.0285, 0.006), (0.0385, 0.018), (0.0420, 0.036), (0.0412, 0.058), (0.0385, 0.077)), 0.0036, 7,
        rings_m=0.00026, fineness=320)
    things = [
        Thing(board(1.4, 0.175, 0.035, seed=k), wood(0.2, 1.0), (0.02 * k, EDGE + 0.09 + 0.178 * k, -0.018)) for k in range(4)]
    things += [
        Thing(cup, _crackled(), (0.0, -0.14, 0.0005), turn_deg=25),
        Thing(
            t.handled(t.with_spout(t.thrown(t.JUG, seed=2), 200), 0.07, 0.215, 0.048), glaze(0.3, bare_foot=0.2),
            (-0.125, 0.11, 0.0), turn_deg=30),
        Thing(t.thrown(t.sized(t.BOWL, 0.8, 0.8), seed=3), iron_glaze(0.03), (0.125, 0.045, 0.0)),
        Thing(t.thrown(t.sized(t.CUP, 0.9, 0.9), seed=5), biscuit(0.5), (0.075, 0.24, 0.0)),
        lying_cloth(0.24, 0.30, (0.155, -0.17, 0.0), EDGE, 24, linen(0.42, worn=0.3), seed=8, lift_m=0.007)]
    return things


def scene() -> Scene:
    """The lens at arm's length, wide open enough that the jug behind is only a shape."""
    room = [
        Thing(sheet(4, 3), plaster(0.20, 0.8), (0, 0.55, 0.8), lean_deg=90), *shut_in(plaster(0.12, 0.5), -1.9, 1.7, -3.0, 2.6),
        Thing(block(0.03, 0.06, 1.5, 0.004), Material(0.2), (-1.42, 0.05, 0.80)),
        Thing(block(0.9, 0.03, 0.04, 0.004), Material(0.2), (-1.42, 0.05, 0.85), turn_deg=82)]
    return Scene(
        Camera((0.03, -0.66, 0.20), (0.014, -0.13, 0.058), 240, (95.0, 118.75), 18, (-0.005, -0.178, 0.055)),
        [*_table(), *room], [Panel((-1.5, 0.02, 0.62), (1, -0.08, -0.32), 0.7, 1.2, 340.0)], bounces=6,
        places={
            "glaze-lit": (-0.028, -0.168, 0.045), "glaze-shade": (0.030, -0.166, 0.040), "lip": (-0.010, -0.177, 0.076),
            "within": (0.010, -0.112, 0.066), "bare-foot": (0.004, -0.168, 0.004), "board": (-0.050, -0.225, 0.0),
            "cloth": (0.065, -0.200, 0.004), "shadow": (0.062, -0.130, 0.004), "jug-shade": (-0.090, 0.040, 0.080),
            "bowl-black": (0.095, -0.022, 0.050), "wall": (0.0, 0.540, 0.130)})
