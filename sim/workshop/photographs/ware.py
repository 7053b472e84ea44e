"""Clay and glaze, from wet to fired: what light finds on a pot."""

from __future__ import annotations

from sim.workshop.photographs.surface import Blend, Cells, Cloudy, EachOne, Material, Pattern, Plus, Times, Value

GRIT = (Cloudy(0.0035, -0.00012, 0.00012, detail=4, harsh=0.7), Cells(0.0025, -0.00009, 0.0, reach=0.25))


def raw_clay(tone: float = 0.38, damp: float = 0.0) -> Material:
    """Clay before firing: matt and chalky when dry; darker with a dull shine where it is still damp."""
    stains = Cloudy(0.06, 0.82 * tone, 1.1 * tone, warp=0.5)
    specks = Cells(0.0045, 0.55, 1.0, reach=0.16)
    grazed = Blend(Times(stains, specks), 0.7 * tone, Cloudy(0.03, 0.0, damp))
    return Material(Times(grazed, EachOne(0.88, 1.1)), Cloudy(0.02, 0.85 - 0.45 * damp, 0.95 - 0.35 * damp), 1.4, GRIT)


def slip(tone: float = 0.3) -> Material:
    """Wet slip on the wheel: a film of water over fine clay."""
    return Material(Cloudy(0.03, 0.85 * tone, 1.1 * tone), 0.5, 1.4, (Cloudy(0.008, -0.0003, 0.0003, warp=0.6),),
        coat=Cloudy(0.02, 0.5, 1.0), coat_roughness=Cloudy(0.015, 0.08, 0.3), coat_bumps=True)


def biscuit(tone: float = 0.55) -> Material:
    """Fired once, unglazed: dry, open, with flashes where flame or a neighbour touched it."""
    flashes = Cloudy(0.09, 0.72, 1.08, detail=3, warp=1.0)
    return Material(Times(Times(tone, flashes), EachOne(0.9, 1.08)), 0.9, 1.35, GRIT)


def glaze(tone: float = 0.6, breaks: float = 0.55, specks: float = 0.5, roughness: Pattern = 0.08, bare_foot: float = 0.0,
        clay: float = 0.35) -> Material:
    """A glossy glaze: thinner and of the tone `breaks` x on lip and rings, iron specks, the foot left bare to `bare_foot`."""
    run = Cloudy(0.018, 0.85, 1.1, stretch=(1, 1, 5), warp=0.4)
    body: Pattern = Times(tone, Times(run, Cloudy(0.07, 0.9, 1.08)))
    lip = Plus(Along01("up", 0.965, 0.995), 0.0)
    body = Blend(body, breaks * tone, Times(lip, Cloudy(0.006, 0.5, 1.0)))
    body = Times(body, Cells(0.011, specks, 1.0, reach=0.07))
    shine: Pattern = roughness
    if bare_foot:
        covered = Along01("up", bare_foot, bare_foot + 0.015, Cloudy(0.05, -0.04, 0.04))
        body = Blend(Times(clay, Cloudy(0.02, 0.8, 1.1)), body, covered)
        shine = Blend(0.85, roughness, covered)
    waves = (Cloudy(0.035, -0.00018, 0.00018, detail=2), Cells(0.006, -0.00004, 0.0, reach=0.12))
    return Material(body, shine, 1.52, waves)


def Along01(name: str, start: float, end: float, wander: Pattern = 0.0) -> Pattern:
    """From 0 to 1 while a value of the form goes from `start` to `end`, its border wandering."""
    return Clamped(Plus(Times(Plus(Plus(Value(name), wander), -start), 1 / (end - start)), 0.0))


def Clamped(of: Pattern) -> Pattern:
    """A pattern held between 0 and 1."""
    return Blend(0.0, 1.0, of)


def iron_glaze(tone: float = 0.022, roughness: float = 0.12) -> Material:
    """Black iron glaze that breaks lighter on edges and where it ran thin."""
    thin = Along01("up", 0.955, 0.995, Cloudy(0.02, -0.02, 0.02))
    body = Blend(Times(tone, Cloudy(0.03, 0.7, 1.4)), 5.0 * tone, thin)
    waves = (Cloudy(0.03, -0.0002, 0.0002, detail=2), Cloudy(0.0015, -0.000012, 0.000012))
    return Material(body, Cloudy(0.015, 0.8 * roughness, 1.6 * roughness), 1.55, waves)


def porcelain(glazed: bool = True) -> Material:
    """White, a little let through by the light; glazed or like an egg's shell."""
    tone = Times(0.86, Cloudy(0.08, 0.97, 1.0))
    waves = (Cloudy(0.03, -0.00012, 0.00012, detail=2),)
    return Material(tone, 0.07 if glazed else 0.6, 1.5 if glazed else 1.35, waves, deep_mm=1.2)


def ash_glaze(tone: float = 0.42) -> Material:
    """Wood ash that melted on the shoulder and ran down in glossy rivulets; darker below, where less of it fell."""
    runs = Cloudy(0.007, 0.0, 1.0, detail=2, stretch=(1, 1, 9), warp=0.3, sharp=1.2)
    reach = Along01("up", 0.30, 0.85, Cloudy(0.03, -0.25, 0.25, stretch=(1, 1, 4)))  # it ran down from the shoulder
    body = Times(tone, Blend(Cloudy(0.05, 0.82, 0.98), Times(1.12, Plus(0.84, Times(0.16, runs))), reach))
    lip = Along01("up", 0.975, 0.997, Cloudy(0.01, -0.01, 0.01))
    body = Times(Blend(body, 0.55 * tone, lip), Cells(0.009, 0.55, 1.0, reach=0.08))
    return Material(body, Cloudy(0.03, 0.07, 0.16), 1.53, (Cloudy(0.03, -0.00018, 0.00018, detail=2), Times(runs, 0.00006)))
