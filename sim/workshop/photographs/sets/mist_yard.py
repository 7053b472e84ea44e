"""The yard in morning mist: bottle kiln, shed and tree going grey one behind the other; a cart and wet cobbles in front."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import block, sheet
from sim.workshop.photographs.growth import bare_tree, blades, grass, sown, twig_bark
from sim.workshop.photographs.masonry import brick_clay, mortar
from sim.workshop.photographs.scene import Camera, Many, Mist, Scene, Thing
from sim.workshop.photographs.surface import Blend, Cloudy, Material, Plus, Times, Value
from sim.workshop.photographs.timber import old_wood
from sim.workshop.photographs.ware import biscuit, glaze
from sim.workshop.photographs.yard import bottle_kiln, cobbles, crate, hand_cart, plank_wall, roof_tile, tiled_roof

AIR = 1150.0  # luminance of the mist, cd/m2


def _ground() -> list[Thing | Many]:
    wet = Cloudy(0.9, 0.0, 1.0, detail=4, sharp=2.0)
    stone = Material(
        Times(Times(0.12, Plus(0.7, Times(0.6, Value("stone")))), Times(Cloudy(0.06, 0.75, 1.2), Blend(1.0, 0.55, wet))),
        Blend(0.6, 0.18, wet), 1.45)
    puddle = Material(0.03, 0.02, 1.33, (Cloudy(0.3, -0.0005, 0.0005),))
    things: list[Thing | Many] = [Thing(cobbles(9.5, 13.0), stone, (0.4, 3.5, 0.0)),
        Thing(sheet(12, 14), puddle, (0.4, 3.5, -0.043)),
        Thing(sheet(160, 120), Material(Times(0.13, Cloudy(0.8, 0.6, 1.4))), (0, 60, -0.06))]
    chance = np.random.Generator(np.random.PCG64(4))
    at = np.concatenate([np.stack([chance.uniform(-4.6, -3.4, 260), chance.uniform(-1, 9, 260)], 1),
            np.stack([chance.uniform(-8, 12, 500), chance.uniform(9.9, 16, 500)], 1),
            np.stack([chance.uniform(2.2, 5.2, 200), chance.uniform(5.0, 5.7, 200)], 1)])
    things.append(Many(blades(50, 0.35, 0.22, 2), grass(0.16, 0.7), sown(at, lambda x, y: 0 * x - 0.05, 3)))
    return things


def _shed() -> list[Thing | Many]:
    """On the right: an open-fronted shed of planks under a sagging tiled roof, ware stacked in its shade."""
    grey = old_wood(0.17)
    things: list[Thing | Many] = [*plank_wall((2.35, 5.8, 0), 4.8, 2.6, 0.0, grey, 5),
        *plank_wall((2.35, 8.8, 0), 3.0, 2.5, -90.0, grey, 6)]
    things += tiled_roof((1.95, 5.35, 2.42), (7.2, 5.35, 2.42), 1.75, 2.1, roof_tile(0.17), 3)
    for x in (2.35, 4.6):
        things.append(Thing(block(0.14, 0.14, 2.5, 0.01, 10), grey, (x, 5.55, 1.25), roll_deg=0.8))
    for k in range(10):
        things.append(Thing(block(0.07, 0.5, 0.11, 0.006, 4), grey, (2.0 + 0.52 * k, 5.5, 2.42), lean_deg=38))
    for k, (outline, size, x, y, z, skin) in enumerate(
        ((t.CROCK, 2.0, 2.55, 5.0, 0.0, glaze(0.2, bare_foot=0.2)), (t.CROCK, 1.7, 2.95, 5.2, 0.0, biscuit(0.35)),
            (t.JAR, 1.6, 2.25, 4.6, 0.0, biscuit(0.4)), (t.CROCK, 1.5, 2.62, 5.02, 0.63, biscuit(0.3)),
            (t.WIDE_BOWL, 1.2, 2.95, 5.2, 0.535, glaze(0.3)))):
        things.append(Thing(t.thrown(t.sized(outline, size, size), 0.012, k), skin, (x, y, z), turn_deg=30 * k))
    things += crate(0.7, 0.5, 0.36, (3.45, 4.95, -0.01), 12, old_wood(0.25), 4)
    return things


def scene() -> Scene:
    """From the gate, the sheet upright; no sun, the mist itself is the light."""
    trees = [Many(bare_tree(9.5, 21, finest_m=0.008), twig_bark(),
            sown(np.array([[-5.6, 19.0]]), lambda x, y: 0 * x, 2, (1.0, 1.01), 1))]
    trees.append(Many(bare_tree(8.0, 24, finest_m=0.008), twig_bark(),
            sown(np.array([[6.5, 30.0], [11.0, 26.0], [-13.0, 34.0], [1.0, 44.0]]), lambda x, y: 0 * x, 5, (0.9, 1.2), 2)))
    kiln = bottle_kiln((-1.15, 13.2, 0.0), brick_clay(0.22), mortar(0.16), door_deg=-78)
    things = [*_ground(), *_shed(), *kiln, *trees, *hand_cart((-1.15, 3.3, 0.0), -148, old_wood(0.10))]
    things.append(Thing(t.thrown(t.sized(t.CROCK, 1.5, 1.4), 0.012, 50), glaze(0.35, bare_foot=0.2), (-1.0, 3.35, 0.62)))
    things += crate(0.6, 0.45, 0.3, (-2.6, 4.3, -0.01), 25, old_wood(0.22), 7)
    return Scene(Camera((0.0, -4.4, 1.7), (0.1, 8.0, 2.15), 135, (95.0, 118.75), 22, (-0.8, 4.0, 0.6), rise=0.10), things,
        even_sky_cd_m2=1250.0, mist=Mist(0.030, 18.0, AIR), bounces=4,
        places={"sky": (14.065, 60.000, 30.861), "mist at the foot": (7.188, 40.000, -0.006),
            "kiln's chimney": (-0.984, 12.300, 9.245), "kiln's belly": (-2.448, 10.300, 2.859),
            "kiln's door": (-0.419, 10.300, 1.136), "kiln's left edge": (-4.008, 13.000, 1.795),
            "tree": (-6.292, 19.000, 3.199), "roof": (2.708, 6.000, 3.138), "shed's planks": (2.039, 5.800, 1.159),
            "crocks": (2.397, 4.900, 0.258), "cart's wheel": (-0.665, 2.800, 0.483),
            "darkest stones": (-1.303, 1.471, 0.000), "wet stones": (-1.654, 2.416, 0.000),
            "cobbles": (0.608, 1.891, 0.000), "crate": (-2.568, 4.300, -0.069)})
