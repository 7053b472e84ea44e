"""The yard in morning mist: saggars and a shed near and dark, a puddle that mirrors, the kilns going grey behind a cart."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs import yard
from sim.workshop.photographs.form import block, sheet
from sim.workshop.photographs.growth import bare_tree, blades, grass, sown, twig_bark
from sim.workshop.photographs.land import land, step
from sim.workshop.photographs.masonry import brick_clay, mortar
from sim.workshop.photographs.relief import F64, uneven_plane
from sim.workshop.photographs.scene import Camera, Many, Mist, Scene, Sky, Thing, all_round, bearing
from sim.workshop.photographs.surface import Along, Blend, Cells, Cloudy, EachOne, InRoom, Material, Plus, Times, Value
from sim.workshop.photographs.timber import old_wood
from sim.workshop.photographs.ware import ash_glaze, biscuit, glaze

SUN = (16.0, -6.6)
MIST = Mist(0.062, 7.0, 850.0, clear_m=2.5, sun_deg=SUN, brighter=3.5, wide_deg=14.5,
    drift=InRoom(Cloudy(5.0, 0.65, 1.35, detail=3, stretch=(2.5, 2.5, 1.0))), in_mirrors=True)
WATER = -0.035  # level of the puddles, m
# x, y, half the width and depth, m
PUDDLES = ((0.12, 4.7, 0.62, 1.75), (-0.35, 8.6, 0.9, 1.3), (0.9, 12.5, 1.3, 1.6), (-1.5, 13.5, 0.8, 1.5),
    (0.2, 18.0, 2.5, 1.5))
STACKS = ((-1.02, 3.15), (-0.52, 3.95), (-1.62, 4.0))


def ground(x: F64, y: F64) -> F64:
    """Height of the trodden yard, m: hollows, the ruts of carts that turned in, where water stands."""
    high = 0.028 * uneven_plane(x, y, 1.7, 3, 3) + 0.010 * uneven_plane(x, y, 0.32, 3, 5)
    high += 0.004 * uneven_plane(x, y, 0.07, 2, 8)
    way = 0.15 + 0.35 * np.sin(0.28 * y) + 0.04 * uneven_plane(y, 0 * y, 0.8, 2, 9)
    for side in (-0.52, 0.52):
        off = np.abs(x - way - side)
        high += 0.020 * np.exp(-(((off - 0.15) / 0.06) ** 2)) - 0.050 * np.exp(-((off / 0.075) ** 2))
    for px, py, wide, deep in PUDDLES:
        far = np.hypot((x - px) / wide, (y - py) / deep) + 0.28 * uneven_plane(x, y, 0.8, 3, 12)
        high -= 0.075 * (1 - step(far, 0.45, 1.35))
    for px, py in STACKS:
        high += (0.012 - high) * np.exp(-((np.hypot(x - px, y - py) / 0.42) ** 6))
    return np.asarray(high)


def _earth() -> Material:
    """Trodden earth, ash and broken ware, wet through: it shines where water has just gone."""
    wet = Value("wet")
    grit = Cells(0.017, 1.0, 0.0, reach=0.5)
    body = Times(Times(0.085, Cloudy(0.35, 0.55, 1.45, detail=5)), Times(Cells(0.02, 1.5, 0.75, reach=0.5),
        Cloudy(0.02, 0.6, 1.4)))
    return Material(Times(body, Blend(1.0, 0.5, wet)), Blend(Cloudy(0.15, 0.4, 0.8), 0.14, wet), 1.36,
        (Times(grit, Blend(0.006, 0.0035, wet)), Cloudy(0.05, -0.006, 0.006, detail=5, harsh=0.6)))


def _ground() -> list[Thing | Many]:
    lie = land(ground, (0.0, 0.0), (-33, 33), 2.2, 60, 1000, 760,
        wet=lambda x, y, z: step(z + 0.012 * uneven_plane(x, y, 0.25, 3, 4), 0.020, WATER))
    water = Material(0.02, 0.02, 1.33, (Cloudy(0.22, -0.0004, 0.0004, detail=2),))
    things: list[Thing | Many] = [Thing(lie, _earth()), Thing(sheet(80, 80), water, (0, 30, WATER)),
        Thing(sheet(400, 400), Material(0.09), (0, 60, -0.3))]
    chance = np.random.Generator(np.random.PCG64(4))
    stone = Material(Times(Times(0.13, EachOne(0.35, 1.9)), Cloudy(0.02, 0.6, 1.3, detail=4)), Cloudy(0.03, 0.12, 0.45), 1.42,
        (Cloudy(0.012, -0.0006, 0.0006, detail=4),))
    for form in yard.pebbles():
        away = 2.3 * (14 / 2.3) ** chance.random(1500)
        turn = chance.uniform(-0.5, 0.5, 1500)
        x, y = away * np.sin(turn), away * np.cos(turn)
        keep = uneven_plane(x, y, 0.6, 3, 30) + 0.5 * chance.random(1500) > 0.2  # they lie in drifts
        x, y = x[keep], y[keep]
        big = np.clip(np.exp(chance.normal(-3.75, 0.55, len(x))), 0.008, 0.16)
        laid = yard.matrices(np.stack([x, y, ground(x, y) + 0.10 * big], 1), chance.uniform(0, 360, len(x)),
            chance.normal(0, 9, len(x)), chance.normal(0, 9, len(x)), big)
        things.append(Many(form, stone, laid))
    brown = Material(Times(Times(0.16, EachOne(0.5, 1.8)), Cloudy(0.02, 0.7, 1.2)), 0.3, 1.45, lets_through=0.1)
    for k in range(5):
        x, y = chance.normal(-0.1, 1.3, 45), 2.5 + 6.5 * chance.random(45) ** 1.3
        at = np.stack([x, y, np.maximum(ground(x, y), WATER) + 0.004], 1)
        laid = yard.matrices(at, chance.uniform(0, 360, 45), chance.normal(0, 7, 45), chance.normal(0, 7, 45),
            chance.uniform(0.03, 0.06, 45))
        things.append(Many(yard.fallen_leaf(0.3 + 0.25 * k, k), brown, laid))
    at = np.concatenate([np.stack([chance.uniform(1.30, 1.52, 90), chance.uniform(3.3, 9, 90)], 1),
            np.stack([chance.uniform(-6, -1.7, 260), chance.uniform(4.5, 13, 260)], 1),
            np.stack([-1.0 + 0.5 * chance.normal(size=40), 3.75 + 0.35 * chance.normal(size=40)], 1),
            np.stack([chance.uniform(-9, 9, 500), chance.uniform(15, 21, 500)], 1),
            np.stack([chance.normal(-3.3, 0.35, 60), chance.uniform(15.6, 16.6, 60)], 1),
            np.array([0.55, 25.0]) + chance.uniform(3.05, 3.6, (260, 1)) * np.stack(
                [np.cos(foot := chance.uniform(-3.0, -0.1, 260)), np.sin(foot)], 1)])
    tuft = sown(at[ground(at[:, 0], at[:, 1]) > WATER + 0.015], lambda x, y: ground(x, y) - 0.01, 3, (0.4, 1.2))
    return [*things, Many(blades(45, 0.26, 0.13, 2, 0.0035, 0.9), grass(0.13, 0.9), tuft)]


def _old_brick() -> Material:
    """The kiln's skin: smoke has blackened the chimney and run down from it, damp climbs at the foot, patches are newer."""
    smoke = Times(Along("z", 4.6, 10.0), Cloudy(1.1, 0.0, 2.4, detail=5, stretch=(1, 1, 3.5)))
    damp = Times(Along("z", 2.3, 0.1), Cloudy(0.9, 0.0, 1.8, detail=4))
    old = brick_clay(0.20, InRoom(Plus(smoke, damp)), (0.45, 1.5))
    patch = InRoom(Cloudy(1.5, -0.2, 0.75, detail=2, sharp=7.0))
    return replace(old, reflectance=Blend(old.reflectance, Times(0.28, EachOne(0.7, 1.2)), Times(patch, 0.8)))


def _fireclay() -> Material:
    """Rough fireclay, many times fired and left in the rain: soot, runs of glaze that got away, wet here and there."""
    soot = InRoom(Cloudy(0.35, -0.3, 1.1, detail=5, stretch=(1, 1, 1.7)))
    body = Times(Times(0.17, EachOne(0.55, 1.3)), Times(Cloudy(0.05, 0.65, 1.3, detail=5), Cells(0.009, 0.6, 1.0, reach=0.2)))
    run = Cloudy(0.035, -2.2, 2.2, detail=2, stretch=(1, 1, 9), warp=0.3)
    crack = Cells(0.30, 0.25, 1.0, "crack", 0.006, 1.0, warp=0.2)
    tone = Times(Blend(Blend(body, 0.03, soot), 0.055, Times(run, 0.8)), crack)
    relief = (Cloudy(0.02, -0.0016, 0.0016, detail=5, harsh=0.65), Cells(0.008, -0.0016, 0.0, reach=0.25), Times(crack, 0.002))
    return Material(tone, Blend(0.75, 0.16, Times(run, 1.0)), 1.42, relief, coat=InRoom(Cloudy(0.3, -0.9, 1.0, detail=3)),
        coat_roughness=Cloudy(0.05, 0.15, 0.4), coat_bumps=True)


def _near() -> list[Thing | Many]:
    """Saggars on the left, a pale jar under the eaves of the shed on the right."""
    things: list[Thing | Many] = []
    clay = _fireclay()
    tall = ((0.54, 0.29), (0.52, 0.25), (0.53, 0.31), (0.49, 0.24), (0.50, 0.22))
    for (x, y), sizes, seed in zip(STACKS, (tall, tall[2:4], (tall[1], tall[0], tall[3])), (3, 21, 40)):
        things += yard.saggar_stack(x, y, 0.0, sizes, clay, seed)
    jar = t.thrown(t.sized(t.JAR, 2.25, 2.15), 0.014, 5, 0.0012, 0.012, 360)
    things.append(Thing(jar, ash_glaze(0.52), (0.98, 4.0, float(ground(np.array(0.98), np.array(4.0))) - 0.01), 40, 1.5))
    bowl = t.thrown(t.sized(t.WIDE_BOWL, 1.0, 1.1), 0.009, 4)
    things.append(Thing(bowl, biscuit(0.42), (-0.50, 3.94, 0.66), 30, 176, 7))
    crock = t.thrown(t.sized(t.CROCK, 1.7, 1.6), 0.013, 8, 0.0009, 0.012, 300)
    things.append(Thing(crock, biscuit(0.22), (1.22, 4.75, 0.0), 80))
    grey = old_wood(0.10)
    wet = replace(grey, reflectance=Times(grey.reflectance, Blend(1.0, 0.45, Along("x", -0.6, -1.15))),
        roughness=Cloudy(0.2, 0.3, 0.7))
    things += yard.plank_wall((1.55, 9.6, -0.06), 6.4, 2.5, -90.0, wet, 5)
    things += yard.tiled_roof((1.20, 9.7, 2.36), (1.20, 2.9, 2.36), 1.5, 2.1, yard.roof_tile(0.12), 3)
    for k in range(12):
        things.append(Thing(block(0.6, 0.07, 0.11, 0.006, 4), wet, (1.5, 3.2 + 0.55 * k, 2.42), roll_deg=-35.5))
    return things


def scene() -> Scene:
    """Low, from where the ruts come in, the sheet upright; no sun on the ground, the mist itself is the light."""
    apart = np.degrees(np.arccos(np.clip(all_round(1100) @ bearing(*SUN), -1, 1)))
    sky = Sky(MIST.sky(1100).luminance_cd_m2 + 5500.0 * np.exp(-((apart / 0.36) ** 4)))  # its disc is just to be seen
    tree = bare_tree(9.5, 83, 0.65, 0.007, 7)
    far = [Many(bare_tree(8.0, 24, finest_m=0.012), twig_bark(), sown(np.array([[-9.5, 31.0], [12.0, 30.0], [-15.0, 38.0]]),
        lambda x, y: 0 * x, 5, (0.9, 1.2), 2))]
    kiln = yard.bottle_kiln((0.55, 25.0, -0.1), _old_brick(), mortar(0.15))
    behind = yard.bottle_kiln((-9.0, 46.0, -0.1), _old_brick(), mortar(0.15), 7, 10.2)
    cart = yard.hand_cart((0.55, 7.2, -0.02), -150, old_wood(0.07))
    load = [Thing(t.thrown(t.sized(shape, size, size), 0.012, 50), skin, at, turn)
        for shape, size, skin, at, turn in ((t.CROCK, 1.55, glaze(0.12), (0.70, 7.25, 0.60), 0),
            (t.JAR, 1.5, biscuit(0.2), (0.28, 7.05, 0.56), 60))]
    things = [*_ground(), *_near(), *kiln, *behind,
        Thing(tree, twig_bark(), (-3.3, 16.5, -0.22), size=0.92), *far, *cart, *load]
    return Scene(Camera((0.0, 0.0, 1.10), (0.0, 8.0, 1.10), 120, (95.0, 118.75), 32, (0.0, 4.4, 0.3), rise=0.10), things,
        sky=sky, mist=MIST, bounces=4,
        places={"sky": (16.6, 60.0, 32.0), "sky's glow": (-3.8, 60.0, 20.1), "mist at the foot": (-2.2, 20.0, 0.31),
            "kiln's chimney": (0.66, 24.0, 8.7), "kiln's belly": (1.74, 22.0, 3.28), "tree": (-3.54, 16.5, 1.9),
            "shed's planks": (1.48, 5.2, 1.10), "pale jar": (0.89, 3.75, 0.36), "saggars": (-0.92, 2.9, 0.76),
            "cart": (0.55, 7.0, 0.55), "puddle": (0.0, 3.8, 0.12), "stones": (-0.46, 2.9, 0.08)})
