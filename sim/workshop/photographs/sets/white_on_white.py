"""White on white: porcelain, eggs, lace and paper before a limewashed wall. Everything lies within a stop and a half."""

from __future__ import annotations

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import Form, sheet, turned
from sim.workshop.photographs.linen import curled_sheet, lace, lace_thread, linen, lying_cloth, paper, ream
from sim.workshop.photographs.masonry import plaster
from sim.workshop.photographs.rooms import shut_in
from sim.workshop.photographs.scene import Camera, Panel, Scene, Thing
from sim.workshop.photographs.surface import Cloudy, EachOne, Material, Times
from sim.workshop.photographs.ware import porcelain

EDGE = -0.62  # the table's front edge, y in m


def _egg() -> Form:
    """An egg lying on its side along x."""
    import numpy as np

    s = np.linspace(0, np.pi, 40)
    section = np.stack([0.0215 * np.sin(s) * (1 + 0.12 * np.cos(s)), 0.0285 * (1 - np.cos(s))], 1)
    upright = turned([tuple(p) for p in section], 0.0001, 64)
    p = upright.points
    return Form(np.stack([p[:, 2] - 0.0285, p[:, 1], p[:, 0] + 0.0215], -1), upright.quads)


def _ware() -> list[Thing]:
    """A tall vase a little off the middle, a bowl of eggs, cups, a lidded jar; one egg has rolled away."""
    glazed, bare = porcelain(), porcelain(glazed=False)
    shell = Material(Times(0.80, Times(EachOne(0.93, 1.03), Cloudy(0.004, 0.98, 1.01))), 0.55, 1.35,
        (Cloudy(0.0012, -0.00002, 0.00002),), deep_mm=1.0)
    egg = _egg()
    bowl = t.thrown(t.sized(t.BOWL, 0.95, 0.72), 0.0035, 3)
    things = [Thing(t.thrown(t.sized(t.VASE, 0.82, 1.0), 0.004, 1), bare, (-0.13, -0.20, 0.004)),
        Thing(bowl, glazed, (0.10, -0.36, 0.008)),
        Thing(t.thrown(t.TEA_BOWL, 0.003, 5), bare, (-0.255, -0.335, 0.006), turn_deg=30),
        Thing(t.thrown(t.sized(t.JAR, 0.62, 0.62), 0.004, 6), glazed, (0.245, -0.17, 0.003)),
        Thing(t.lid(0.053, 7), glazed, (0.245, -0.17, 0.169), turn_deg=20),
        Thing(t.thrown(t.CUP, 0.0028, 8), glazed, (-0.035, -0.475, 0.010), turn_deg=70),
        Thing(t.thrown(t.sized(t.DISH, 0.72, 0.8), 0.0035, 9), glazed, (-0.30, -0.105, 0.116), lean_deg=74, turn_deg=12)]
    for x, y, z, turn, roll in ((0.075, -0.37, 0.026, 20, 8), (0.125, -0.345, 0.026, 100, -10),
            (0.10, -0.39, 0.030, 160, 20), (0.102, -0.36, 0.058, 60, -5)):
        things.append(Thing(egg, shell, (x, y, z), turn_deg=turn, roll_deg=roll))
    things.append(Thing(egg, shell, (0.225, -0.485, 0.004), turn_deg=35))
    return things


def scene() -> Scene:
    """A table before the wall; one large window on the left, a white wall on the right sends its light back."""
    doily = lace(0.20)
    things = [Thing(sheet(6, 4), plaster(0.80, 0.22), (0, 0.10, 1.0), lean_deg=90),
        Thing(sheet(3.0, 1.6), Material(0.6, 0.8), (0, EDGE + 0.802, -0.004)),
        lying_cloth(1.5, 1.0, (0.0, -0.42, 0.0), EDGE, 2.0, linen(0.80, worn=0.06), seed=5, lift_m=0.0035),
        Thing(doily, lace_thread(), (0.09, -0.405, 0.0062), turn_deg=11),
        *ream(0.21, 0.148, 7, (0.265, -0.40, 0.004), 24, paper(0.82)),
        Thing(curled_sheet(0.20, 0.14, 0.035), paper(0.84), (-0.20, -0.50, 0.006), turn_deg=-28), *_ware(),
        *shut_in(plaster(0.72, 0.3), -2.2, 1.3, -3.5, 2.6)]
    things.append(Thing(sheet(7, 7), Material(0.3), (0, -2, -0.8)))
    return Scene(
        Camera((0.06, -1.95, 0.54), (0.0, -0.25, 0.135), 210, (118.75, 95.0), 32, (0.02, -0.36, 0.08), rise=0.015), things,
        [Panel((-1.9, -0.85, 1.0), (1, 0.22, -0.28), 1.1, 1.5, 2600.0)], bounces=9,
        places={"vase's lit side": (-0.184, -0.220, 0.185), "vase's shaded side": (-0.077, -0.220, 0.124),
            "rim of the vase": (-0.166, -0.200, 0.347), "tea bowl": (-0.287, -0.360, 0.064),
            "dish on edge": (-0.363, -0.100, 0.159), "wall": (0.316, 0.100, 0.373), "egg": (0.103, -0.360, 0.084),
            "lone egg": (0.217, -0.480, 0.029), "cup's shadow": (0.040, -0.458, 0.008), "lace": (0.072, -0.544, 0.007),
            "paper": (-0.239, -0.502, 0.020), "jar's shaded side": (0.290, -0.200, 0.085),
            "hanging cloth": (0.186, -0.625, -0.052), "under the paper pile": (0.380, -0.441, 0.004)})
