"""Black on black: three pots under iron glaze on a sooty slab before black cloth. The lights are edges; all else is shadow."""

from __future__ import annotations

import numpy as np

from sim.workshop.photographs import thrown as t
from sim.workshop.photographs.form import Form, block, grid, outward, sheet, smooth_line, turning
from sim.workshop.photographs.relief import F64, uneven, uneven_plane
from sim.workshop.photographs.rooms import sash, shut_in
from sim.workshop.photographs.scene import Camera, Panel, Point, Scene, Thing
from sim.workshop.photographs.surface import Along, Blend, Cells, Cloudy, Material, Pattern, Plus, Times, Value
from sim.workshop.photographs.ware import Along01, Clamped

SHOULDERED: t.Outline = ((0.066, 0.0), (0.071, 0.010), (0.092, 0.070), (0.112, 0.140), (0.1185, 0.178), (0.112, 0.212),
    (0.088, 0.236), (0.064, 0.247), (0.0585, 0.258), (0.062, 0.272), (0.0665, 0.279))
LONG_NECK: t.Outline = ((0.036, 0.0), (0.042, 0.010), (0.060, 0.060), (0.058, 0.105), (0.034, 0.150), (0.0175, 0.185),
    (0.0135, 0.225), (0.0140, 0.262), (0.0205, 0.285))
# the tea bowl in section, radius and height in m: from under its foot over the trimmed ring and the lip to its floor
TEA_BOWL = ((0.0, 0.0072), (0.012, 0.0075), (0.0195, 0.0070), (0.0218, 0.0030), (0.0232, 0.0004), (0.0262, 0.0),
    (0.0280, 0.0012), (0.0288, 0.0060), (0.0305, 0.0095), (0.0420, 0.0150), (0.0545, 0.0290), (0.0612, 0.0490),
    (0.0628, 0.0680), (0.0622, 0.0752), (0.0606, 0.0770), (0.0590, 0.0752), (0.0575, 0.0660), (0.0545, 0.0480),
    (0.0460, 0.0290), (0.0290, 0.0165), (0.0120, 0.0128), (0.0, 0.0125))


def _ringed(pot: Form, deep_m: float, seed: int) -> Form:
    """The wall as the fingers left it: rings that widen, part and run out, each its own. Value `ring` 0 hollow, 1 crest."""
    ring = uneven(pot.points * (0.10, 0.10, 1.0), 0.0125, 3, seed) * (0.55 + 0.45 * uneven(pot.points, 0.09, 2, seed + 1))
    radius = np.maximum(np.linalg.norm(pot.points[:, :2], axis=1, keepdims=True), 1e-6)
    out = pot.points * (1, 1, 0) / radius
    raised = pot.bent(pot.points + deep_m * ring[:, None] * out * np.clip(radius / 0.02, 0, 1))
    return raised.with_value("ring", np.clip(0.5 + 0.5 * ring, 0, 1))


def _dusted(pot: Form, turn_deg: float = 0.0, lean_deg: float = 0.0, roll_deg: float = 0.0) -> Form:
    """Where dust settles once the pot stands or lies as told: value `dust` 1 on what looks up, 0 on sides and undersides."""
    up = (outward(pot) @ turning(turn_deg, lean_deg, roll_deg).T)[:, 2]
    return pot.with_value("dust", np.clip((up - 0.15) / 0.8, 0, 1) ** 1.5)


def _chipped(pot: Form, bearing_deg: float, wide_m: float) -> Form:
    """A shell knocked out of the lip at a bearing about the axis: value `chip` 1 where the clay shows."""
    a, top = np.radians(bearing_deg), pot.points[:, 2].max()
    lip = pot.points[pot.points[:, 2] > top - 0.001]
    r = float(np.linalg.norm(lip[:, :2], axis=1).mean())
    middle = np.array([(r + 0.35 * wide_m) * np.cos(a), (r + 0.35 * wide_m) * np.sin(a), top + 0.30 * wide_m])
    away = pot.points - middle
    far = np.linalg.norm(away, axis=1)
    reach = wide_m * (0.62 + 0.10 * uneven(pot.points, 0.006, 3, 5))
    inside = np.clip((reach - far) / (0.06 * wide_m), 0, 1)
    cut = middle + away / np.maximum(far, 1e-9)[:, None] * reach[:, None]
    return pot.bent(np.where(far[:, None] < reach[:, None], cut, pot.points)).with_value("chip", inside)


def _tea_bowl(seed: int = 5) -> Form:
    """A bowl with a trimmed foot, its glaze stopped short of it in a thick roll with one long run.

    Values: `cover` above a half where there is glaze, `up` 0 at the foot to 1 at the lip.
    """
    section, n = smooth_line(np.array(TEA_BOWL), 14), 420
    angle = np.linspace(0, 2 * np.pi, n, endpoint=False)
    r, h = section[:, :1] * np.ones(n), section[:, 1:] * np.ones(n)
    lip = int(np.argmax(section[:, 1]))
    without = (np.arange(len(section)) <= lip)[:, None]
    edge = _glaze_edge(angle, seed)
    depth = np.where(without & (r > 0.0284), h - edge, np.where(without, -0.01, 0.01))  # how far within the glaze, m
    points = np.stack([r * np.cos(angle), r * np.sin(angle), h], -1)
    hand = uneven(points, 0.016, 3, seed + 4)  # the trimming tool's spiral, pressed now more, now less
    spiral = np.sin(2 * np.pi * (r + 0.0012 * hand) / 0.0027 + angle)
    spiral = spiral + 0.5 * np.sin(2 * np.pi * r / 0.0011 + 2 * angle + 4 * hand)
    points[..., 2] -= 0.00013 * (1 + hand) * spiral * np.clip((0.0255 - r) / 0.003, 0, 1) * without
    form = Form(points.reshape(-1, 3), grid(len(section), n, around=True))
    thick = np.clip(0.6 + 0.7 * uneven(form.points, 0.016, 3, seed + 2), 0.1, 1.6).reshape(r.shape)
    roll = 0.0006 * np.clip(depth / 0.0016, 0, 1) + 0.0011 * thick * np.exp(-(((depth - 0.0028) / 0.0024) ** 2)) * without
    out = outward(form)
    body = 0.0009 * uneven(form.points, 0.045, 3, seed)[:, None] * out
    form = form.bent(form.points + np.clip(roll, 0, 1).reshape(-1, 1) * out + body)
    form = form.with_value("up", (h / h.max()).ravel()).with_value("cover", np.clip(0.5 + depth / 0.02, 0, 1).ravel())
    return _ringed(form, 0.00016, seed)


def _glaze_edge(angle: F64, seed: int) -> F64:
    """Height at which the glaze stopped, m, by bearing: a wandering line, two tongues, and one run that reached the foot."""
    circle = np.stack([0.03 * np.cos(angle), 0.03 * np.sin(angle), np.zeros_like(angle)], -1)
    edge = 0.0190 + 0.0035 * uneven(circle, 0.028, 3, seed)
    for at_deg, wide, long in ((-62.0, 0.085, 0.0065), (-115.0, 0.06, 0.0035), (10.0, 0.10, 0.004)):
        away = (angle - np.radians(at_deg) + np.pi) % (2 * np.pi) - np.pi
        edge -= long * np.exp(-((away / wide) ** 2))
    return np.asarray(edge)


def _lying(bowl: Form, turn_deg: float, at: tuple[float, float]) -> tuple[float, Point]:
    """Lean and place of a bowl on its side, its foot towards the lens: it rests on its lip and on its belly."""
    r, h = np.linalg.norm(bowl.points[:, :2], axis=1), bowl.points[:, 2]
    lip = int(np.argmax(r * (h > 0.95 * h.max())))
    below = h < 0.75 * h.max()
    slope = float(np.min((r[lip] - r[below]) / (h[lip] - h[below])))
    lean = -(90.0 + float(np.degrees(np.arctan(slope))))
    low = float((bowl.points @ turning(turn_deg, lean).T)[:, 2].min())
    return lean, (at[0], at[1], -low)


def _black_glaze(tone: float, gloss: float, fur: float) -> Material:
    """Iron glaze, thick and black; brown-grey where it ran thin, on lip and rings; streaked as `fur` 0..1; dust; bare where
    the form says so."""
    streak = Cloudy(0.0022, 0.0, 1.0, detail=3, stretch=(1, 1, 16), warp=0.25, sharp=1.3)
    streaks = Times(Times(streak, Cloudy(0.045, -0.3, 1.2)), fur)
    body: Pattern = Blend(Times(tone, Cloudy(0.025, 0.7, 1.35)), 4.0 * tone, streaks)
    crest = Times(Along01("ring", 0.62, 0.95), Cloudy(0.03, 0.0, 0.8, warp=0.4))
    body = Blend(body, 3.0 * tone, crest)
    body = Blend(body, 0.10, Times(Along01("up", 0.968, 0.992, Cloudy(0.02, -0.012, 0.012)), Cloudy(0.005, 0.55, 1.0)))
    specks = Plus(Cells(0.0021, 1.0, 0.0, reach=0.20), Cells(0.0048, 1.0, 0.0, reach=0.13))
    dust = Times(Value("dust"), Plus(Cloudy(0.04, 0.0, 0.45, detail=4), Times(specks, Cloudy(0.03, 0.1, 0.9))))
    body = Blend(body, 0.16, Times(dust, 0.36))
    body = Blend(body, Times(0.16, Cloudy(0.003, 0.7, 1.2)), Value("chip"))
    shine = Blend(Cloudy(0.022, 0.7 * gloss, 1.5 * gloss), 0.5, Times(dust, 0.5))
    waves = (Cloudy(0.032, -0.00013, 0.00013, detail=2), Cloudy(0.0045, -0.000010, 0.000010),
        Cells(0.016, -0.00022, 0.0, reach=0.035))
    return Material(body, Blend(shine, 0.85, Value("chip")), 1.62, waves)


def _half_glazed(tone: float) -> Material:
    """The bowl: black glaze above, dark gritty clay with a burnt edge below it."""
    glaze = _black_glaze(tone, 0.075, 0.9)
    covered = Clamped(Times(Plus(Value("cover"), -0.47), 1 / 0.05))
    burnt = Clamped(Times(Plus(Value("cover"), -0.30), 1 / 0.15))
    flashed = Times(Cloudy(0.030, 0.55, 1.30, detail=4, warp=0.8), Cloudy(0.0016, 0.75, 1.2, detail=3, harsh=0.7))
    iron = Times(Cells(0.0042, 0.35, 1.0, reach=0.20), Cells(0.0019, 0.65, 1.0, reach=0.35))
    clay = Times(Blend(0.072, 0.034, burnt), Times(flashed, iron))
    sand = Plus(Cells(0.0016, -0.00016, 0.0, reach=0.45), Cloudy(0.0050, -0.00030, 0.00030, detail=4, harsh=0.7))
    grit = Times(sand, Plus(1.0, Times(-1.0, covered)))
    return Material(Blend(clay, glaze.reflectance, covered), Blend(0.85, glaze.roughness, covered), 1.58, (*glaze.relief, grit))


def _slab() -> Thing:
    """A slab of slate that has lain in soot: cleft in leaves, each broken off along its own line, wiped and dusty again."""
    flat = sheet(1.30, 1.00, 830, 1080)
    x, y = flat.points[:, 0], flat.points[:, 1]
    leaf = 3.4 * uneven_plane(x, 0.7 * y, 0.30, 5, 3, 0.55)
    torn = 0.06 + 0.5 * np.clip(uneven_plane(x, y, 0.10, 3, 12) + 0.1, 0, 1)  # here broken off sharp, there worn away
    step = np.floor(leaf) + np.clip((leaf - np.floor(leaf) - 1.0 + torn) / torn, 0, 1)
    high = 0.0009 * step + 0.0010 * uneven_plane(x, y, 0.07, 4, 4) + 0.00030 * uneven_plane(x, 0.5 * y, 0.012, 4, 6, 0.6)
    level = high.max()
    form = flat.bent(np.stack([x, y, high - level], -1))
    wiped = Times(Cloudy(0.12, 0.45, 1.4, detail=5, harsh=0.65, stretch=(2.2, 1, 1), warp=0.7),
        Cloudy(0.0035, 0.5, 1.5, detail=4, harsh=0.8))
    specks = Cells(0.0034, 1.0, 0.0, reach=0.22)
    dust = Times(specks, Cloudy(0.05, -0.25, 1.1, detail=4))
    # old scratches
    drawn = Times(Cells(0.030, 1.0, 0.0, "crack", 0.008, stretch=(3.0, 1, 1), warp=0.15), Cloudy(0.06, -0.5, 0.6))
    tone = Blend(Blend(Times(0.019, wiped), 0.075, drawn), 0.15, dust)
    scratch = Cells(0.02, -0.00004, 0.0, "crack", 0.02, stretch=(6, 0.8, 1), warp=0.2)
    grit = Cloudy(0.0060, -0.0007, 0.0007, detail=5, harsh=0.7, stretch=(1.6, 1, 1))
    stone = Material(tone, Cloudy(0.06, 0.42, 0.72, detail=4, warp=0.5), 1.5, (grit, scratch))
    return Thing(form, stone, (0.0, 0.02, 0.0))


def _cloth() -> Thing:
    """Black woollen cloth behind: hung from up on the right, so that its few broad folds fan out and sag to the left."""
    flat = sheet(2.2, 1.3, 420, 720)
    x, z = flat.points[:, 0], flat.points[:, 1] + 0.45
    away, fall = np.hypot(x - 0.55, z - 1.15), np.arctan2(x - 0.55, 1.15 - z)
    wander = 0.05 * uneven_plane(x, z, 0.35, 2, 8)
    folds = np.zeros_like(x)
    for at, wide, deep in ((-0.72, 0.060, 0.9), (-0.57, 0.028, 0.35), (-0.44, 0.070, 1.0), (-0.20, 0.038, 0.7),
            (-0.13, 0.024, 0.4), (0.07, 0.05, 0.9), (-0.92, 0.08, 0.9)):
        aside = (fall - at + wander) / wide
        folds += deep * np.exp(1.0 - np.sqrt(1.0 + (1.6 * aside) ** 2))
    out = 0.055 * folds * np.clip(away / 0.9, 0.2, 1.1) + 0.006 * uneven_plane(x, z, 0.12, 3, 9)
    form = flat.bent(np.stack([x, 0.46 - out, z], -1))
    wool = Material(Times(0.032, Cloudy(0.004, 0.8, 1.2, detail=4)), 0.95, 1.15, (Cloudy(0.0022, -0.0002, 0.0002, detail=3),))
    return Thing(form, wool)


def _crumbs() -> list[Thing]:
    """What fell: the flake out of the jar's lip, crumbs of soot and slate about it."""
    chance, things = np.random.Generator(np.random.PCG64(11)), []
    soot = Material(Times(0.03, Cloudy(0.002, 0.4, 1.5)), 0.7, 1.45, (Cloudy(0.0015, -0.0003, 0.0003, detail=4),))
    for k in range(22):
        size = 0.0011 + 0.0030 * float(chance.random()) ** 3
        crumb = block(size, 0.8 * size, 0.5 * size, 0.2 * size, 6).worn(0.25 * size, 0.8 * size, k)
        x, y = chance.normal((0.055, -0.165), (0.075, 0.030))
        things.append(Thing(crumb, soot, (float(x), float(y), 0.25 * size - 0.0012), turn_deg=float(chance.uniform(0, 360)),
                lean_deg=float(chance.normal(0, 15))))
    flake = block(0.017, 0.009, 0.0042, 0.0008, 24)
    x, y = flake.points[:, 0] / 0.0085, flake.points[:, 1] / 0.0045
    flake = flake.bent(flake.points * np.stack([1 - 0.15 * y, 1 - 0.65 * x**2, 1 - 0.55 * x**2], 1)).worn(0.0007, 0.004, 3)
    broken = Times(0.08, Times(Cloudy(0.003, 0.6, 1.3), Cells(0.0015, 0.5, 1.0, reach=0.3)))
    clay = Material(broken, 0.85, 1.4, (Cloudy(0.0016, -0.0003, 0.0003),))
    return [*things, Thing(flake, clay, (0.078, -0.150, 0.0012), turn_deg=28, lean_deg=-14)]


def _window() -> tuple[list[Thing], Panel]:
    """A low broad window on the left, four panes by two in old bars; over a dark hedge the sky of a dull day."""
    wide, high, middle = 1.7, 0.80, (-0.95, -0.18, 0.42)
    frame = sash(wide, 0.0, high, 4, 2, (0.0, 0.0, 0.0), Material(0.12))[0]
    hedge = Clamped(Plus(Along("z", -0.30 * high, -0.20 * high), Cloudy(0.12, -0.8, 0.8, detail=5)))
    sky = Times(1700.0, Blend(0.65, 1.15, Along("z", -0.2 * high, 0.5 * high)))
    light = Panel((middle[0] - 0.08, middle[1], middle[2]), (1, 0, 0), wide, high, Blend(110.0, sky, hedge))
    return [Thing(frame.form, frame.material, middle, turn_deg=90)], light


def scene() -> Scene:
    """The lens close over the slab; a low broad window on the left rakes across it, a pale wall far on the right answers."""
    jar = t.thrown(t.sized(SHOULDERED, 0.94, 0.90), 0.0055, 2, 0.0, fineness=520, rows=34)
    jar = _chipped(_ringed(jar, 0.00030, 21), 247, 0.019)
    bowl, turn = _tea_bowl(), -34.0
    lean, place = _lying(bowl, turn, (-0.058, -0.125))
    bottle = _ringed(t.thrown(t.sized(LONG_NECK, 1.0, 0.84), 0.004, 4, 0.0, fineness=260), 0.00016, 33)
    frame, window = _window()
    pale = Times(55.0, Times(Along("y", -0.45, -0.2), Along("z", -0.6, 0.1)))
    door = Panel((1.15, 0.20, 0.55), (-1, -0.1, 0), 0.9, 1.3, pale)
    bench = Thing(sheet(5, 5), Material(Times(0.15, Cloudy(0.4, 0.4, 1.5))), (0, 0, -0.03))
    # a paper nearer than the picture begins, which opens the pots' undersides
    paper = Thing(sheet(0.9, 0.30), Material(Times(0.22, Cloudy(0.2, 0.5, 1.4))), (0.1, -0.47, 0.006))
    things = [_slab(), _cloth(), *_crumbs(), bench, paper,
        Thing(_dusted(jar), _black_glaze(0.020, 0.06, 0.7), (0.083, 0.060, 0.0)),
        Thing(_dusted(bowl, turn, lean), _half_glazed(0.018), place, turn_deg=turn, lean_deg=lean),
        Thing(_dusted(bottle), _black_glaze(0.016, 0.15, 0.3), (-0.130, 0.160, 0.0))]
    room = shut_in(Material(Times(0.6, Cloudy(0.7, 0.4, 1.4))), -1.12, 1.5, -1.6, 2.0)
    return Scene(Camera((-0.005, -0.84, 0.205), (0.008, 0.0, 0.108), 240, (118.75, 95.0), 22, (-0.02, -0.10, 0.09)),
        [*things, *frame, *room], [window, door], bounces=5,
        places={"glint on the jar": (0.006, -0.020, 0.183), "jar's shoulder": (0.083, -0.010, 0.205),
            "jar's shaded side": (0.074, -0.030, 0.072), "jar's flank": (0.130, -0.020, 0.060),
            "bottle's neck": (-0.130, 0.145, 0.220), "bottle's belly": (-0.150, 0.110, 0.080),
            "inside the bowl's foot": (-0.052, -0.175, 0.069), "where the glaze ran": (-0.017, -0.165, 0.070),
            "slab in front": (-0.110, -0.090, 0.000), "flake of the lip": (0.078, -0.150, 0.001),
            "cloth on the left": (-0.270, 0.420, 0.220), "cloth on the right": (0.290, 0.420, 0.200)})
