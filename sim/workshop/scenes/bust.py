"""A head modelled in clay: the masses of skull, face, neck and hair, put on one after another as a modeller does.

Sizes are those of a small adult head (common proportions: the eyes half way up, the ears between brow and nose);
nobody in particular is shown. Own coordinates: chin at y = 0, face towards +z, metres.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sim.workshop.scenes.materials import Skin, between, full, tone
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sdf import F32, Capsule, Ellipsoid, Shape, Vector, smooth_max, smooth_min

Put = tuple[Shape, float]  # a mass and the fillet (m) it is worked in with

SKULL: tuple[Put, ...] = (
    (Ellipsoid((0, 0.150, -0.012), (0.0745, 0.083, 0.096)), 0.01),
    (Ellipsoid((0, 0.105, 0.020), (0.0645, 0.092, 0.064)), 0.03),
    (Ellipsoid((0, 0.048, 0.022), (0.051, 0.050, 0.058)), 0.03),
    (Ellipsoid((0.018, 0.160, 0.058), (0.032, 0.026, 0.026)), 0.03),
    (Ellipsoid((0, 0.011, 0.070), (0.019, 0.014, 0.018)), 0.018),
    (Capsule((0.056, 0.056, -0.006), (0.020, 0.008, 0.058), 0.015, 0.012), 0.022),
    (Ellipsoid((0.047, 0.087, 0.047), (0.021, 0.013, 0.022)), 0.022),
    (Capsule((0.062, 0.092, 0.020), (0.070, 0.098, -0.01), 0.008, 0.006), 0.02),
)
FACE: tuple[Put, ...] = (
    (Capsule((0.006, 0.1270, 0.0815), (0.034, 0.1320, 0.0760), 0.0080, 0.0075), 0.010),
    (Capsule((0.034, 0.1320, 0.0760), (0.054, 0.1230, 0.0560), 0.0075, 0.0055), 0.010),
    (Ellipsoid((0, 0.098, 0.080), (0.0105, 0.027, 0.017)), 0.014),
    (Capsule((0, 0.121, 0.0825), (0, 0.080, 0.1040), 0.0062, 0.0085), 0.008),
    (Ellipsoid((0, 0.0745, 0.1060), (0.0098, 0.0088, 0.0105)), 0.007),
    (Ellipsoid((0.0118, 0.0715, 0.0940), (0.0072, 0.0080, 0.0110)), 0.005),
    (Ellipsoid((0, 0.045, 0.060), (0.030, 0.029, 0.031)), 0.02),
)
LIPS: tuple[Put, ...] = (
    (Capsule((0.0045, 0.0500, 0.0925), (0.0250, 0.0438, 0.0832), 0.0060, 0.0028), 0.004),
    (Capsule((0.0, 0.0475, 0.0915), (0.006, 0.0485, 0.0915), 0.0045, 0.0045), 0.004),
    (Capsule((0.0, 0.0365, 0.0915), (0.0105, 0.0372, 0.0890), 0.0074, 0.0068), 0.004),
    (Capsule((0.0105, 0.0372, 0.0890), (0.0228, 0.0426, 0.0835), 0.0068, 0.0026), 0.004),
)
LIP_LINE: tuple[Put, ...] = (
    (Capsule((0.0, 0.0436, 0.0975), (0.0130, 0.0438, 0.0942), 0.0018, 0.0017), 0.0028),
    (Capsule((0.0130, 0.0438, 0.0942), (0.0262, 0.0432, 0.0846), 0.0017, 0.0016), 0.0032),
    (Capsule((0.0, 0.0650, 0.1000), (0.0, 0.0545, 0.0985), 0.0026, 0.0030), 0.006),
    (Ellipsoid((0, 0.0258, 0.0950), (0.019, 0.0058, 0.0095)), 0.009),
    (Ellipsoid((0.0060, 0.0650, 0.0990), (0.0036, 0.0045, 0.0062)), 0.003),
)
SOCKET: tuple[Put, ...] = (
    (Ellipsoid((0.0310, 0.1125, 0.0900), (0.0195, 0.0125, 0.0215)), 0.009),
    (Ellipsoid((0.0140, 0.1120, 0.0880), (0.0060, 0.0090, 0.0100)), 0.010),
)
EYE = (0.0315, 0.1105, 0.0640)


def _rim() -> tuple[Put, ...]:
    """The folded edge of the ear as short sticks along its curve."""
    points: list[Vector] = []
    for part in np.linspace(0, 0.92, 11):
        turn = 5.2 * part - 1.9
        out = 0.0765 + 0.010 * np.sin(np.pi * part) * (0.6 + 0.4 * part)
        points.append((float(out), float(0.1 + 0.027 * np.cos(turn)), float(-0.008 - 0.0155 * np.sin(turn))))
    return tuple((Capsule(a, b, 0.0042, 0.0040), 0.004) for a, b in pairwise(points))


EAR = _rim()
NECK: tuple[Put, ...] = (
    (Capsule((0, 0.045, -0.026), (0, -0.115, -0.045), 0.047, 0.056), 0.012),
    (Capsule((0.0, 0.0, 0.026), (0.0, -0.105, 0.014), 0.012, 0.013), 0.028),
    (Ellipsoid((0, -0.150, -0.050), (0.165, 0.052, 0.072)), 0.060),
    (Ellipsoid((0, -0.185, -0.010), (0.125, 0.065, 0.065)), 0.050),
    (Capsule((0.014, -0.122, 0.020), (0.115, -0.112, -0.030), 0.0075, 0.006), 0.018),
)
SHORTER_M = 0.024  # shoulders are put on this much higher than their sketch above
TURN_DEG = 17.0  # the head looks this far over its shoulder


def _grown(p: F32, d: F32, masses: tuple[Put, ...]) -> F32:
    for shape, fillet in masses:
        d = smooth_min(d, shape.distance(p), fillet)
    return d


def _cut(p: F32, d: F32, masses: tuple[Put, ...]) -> F32:
    for shape, fillet in masses:
        d = smooth_max(d, -shape.distance(p), fillet)
    return d


def _eye(p: F32, d: F32) -> F32:
    """Ball, upper lid lowered a little, lower lid, and the pupil drilled as modellers do to give a look."""
    x, y, z = EYE
    q = p - np.array(EYE, np.float32)[:, None]
    r = np.sqrt((q * q).sum(axis=0))
    ball = r - np.float32(0.0134)
    d = smooth_min(d, ball, 0.0025)
    arch = q[1] - np.float32(0.0024) + np.float32(9.0) * (q[0] + np.float32(0.001)) ** 2
    upper = smooth_max(r - np.float32(0.0162), -arch, 0.0012)
    lower = smooth_max(r - np.float32(0.0154), arch + np.float32(0.0088) - np.float32(16.0) * q[0] ** 2, 0.0012)
    d = smooth_min(d, upper, 0.003)
    d = smooth_min(d, lower, 0.003)
    pupil = Ellipsoid((x - 0.0010, y - 0.0024, z + 0.0138), (0.0034, 0.0034, 0.0036)).distance(p)
    return smooth_max(d, -pupil, 0.0012)


def _ear(p: F32, d: F32) -> F32:
    shell = Ellipsoid((0.0760, 0.0960, -0.0085), (0.0065, 0.0270, 0.0150)).distance(p)
    d = smooth_min(d, shell, 0.005)
    d = _cut(p, d, ((Ellipsoid((0.0850, 0.0955, -0.0050), (0.0075, 0.0150, 0.0080)), 0.003),))
    d = _grown(p, d, EAR)
    lobe = Ellipsoid((0.0755, 0.0720, 0.0010), (0.0050, 0.0085, 0.0065)).distance(p)
    d = smooth_min(d, lobe, 0.005)
    inner = Capsule((0.0795, 0.083, -0.010), (0.0815, 0.112, -0.016), 0.0030, 0.0026).distance(p)
    tragus = Ellipsoid((0.0750, 0.0930, 0.0060), (0.0045, 0.0060, 0.0035)).distance(p)
    return smooth_min(smooth_min(d, inner, 0.004), tragus, 0.004)


def _hair(q: F32) -> F32:
    """A cap of hair drawn back from a middle parting into a knot, furrowed by the tool; q keeps its sign of x."""
    x = np.abs(q[0])
    p = np.stack([x, q[1], q[2]])
    cap = Ellipsoid((0, 0.156, -0.018), (0.0850, 0.0925, 0.1060)).distance(p)
    low = Ellipsoid((0.0, 0.105, -0.060), (0.074, 0.070, 0.052)).distance(p)
    cap = smooth_min(cap, low, 0.03)
    # The face is left free: an egg-shaped opening whose edge is the hairline.
    face = Ellipsoid((0, 0.068, 0.090), (0.0660, 0.1060, 0.0740)).distance(p)
    ear = Ellipsoid((0.080, 0.088, 0.000), (0.030, 0.032, 0.030)).distance(p)
    turn = np.arctan2(x, q[1] - np.float32(0.10) - np.float32(0.35) * (q[2] + np.float32(0.02)))
    wave = turn + np.float32(0.09) * np.sin(q[2] * 55 + turn * 3) + np.float32(0.04) * np.sin(q[2] * 140 + q[1] * 60)
    strand = np.abs(np.sin(wave * 10.5 + np.float32(0.6) * np.sign(q[0]))) ** np.float32(0.8)
    fine = np.sin(wave * 47 + 2 * np.sin(q[2] * 40))
    furrow = np.float32(0.0052) * (strand - np.float32(0.5)) + np.float32(0.0008) * fine
    parting = np.float32(0.004) * np.exp(-((x / np.float32(0.004)) ** 2)) * (q[2] > -0.03)
    cap = cap - furrow + parting
    cap = smooth_max(smooth_max(cap, -face, 0.0035), -ear, 0.004)
    knot = Ellipsoid((0, 0.120, -0.128), (0.040, 0.038, 0.034)).distance(p)
    spiral = np.arctan2(q[1] - np.float32(0.120), q[0]) * 2 + np.hypot(q[0], q[1] - np.float32(0.12)) * 260
    return smooth_min(cap, knot - np.float32(0.0016) * np.sin(spiral), 0.008)


def _worked(p: F32) -> F32:
    """Unevenness left by thumbs and wooden tools (m): pellets flattened, a comb drawn over the shoulders."""
    a = np.sin(p[0] * 210 + 3 * np.sin(p[1] * 90) + 1.3) * np.sin(p[1] * 170 + 2.5 * np.sin(p[2] * 110 + 0.7))
    b = np.sin(p[2] * 150 + 2 * np.sin(p[0] * 130)) * np.sin(p[1] * 260 + 2 * np.sin(p[0] * 70 + 2))
    below = between(-p[1], 0.05, 0.12)
    comb = np.sin((p[1] * np.float32(0.75) + p[0] * np.float32(0.6)) * 1150 + 2.5 * np.sin(p[0] * 38) + p[2] * 300)
    patch = between(np.sin(p[0] * 41 + 1) * np.sin(p[2] * 53 + p[1] * 37), 0.05, 0.4)
    out = np.float32(0.00036) * (a + np.float32(0.7) * b) * (1 + np.float32(0.9) * below)
    return np.asarray(out + np.float32(0.00042) * comb * below * patch, np.float32)


@dataclass(frozen=True)
class Head:
    """The whole bust, cut off straight below the collar bones (at `foot_m`), as a distance; table it before use."""

    foot_m: float = -0.152

    def distance(self, p: F32) -> F32:
        a = np.radians(TURN_DEG)
        c, s = np.float32(np.cos(a)), np.float32(np.sin(a))
        # The head alone is turned: neck and shoulders stay square.
        q = np.stack([c * p[0] - s * p[2], p[1], s * p[0] + c * p[2]])
        side = np.stack([np.abs(q[0]), q[1], q[2]])
        d = SKULL[0][0].distance(side)
        d = _grown(side, d, SKULL[1:])
        d = _cut(side, d, SOCKET)
        d = _grown(side, d, FACE)
        d = _eye(side, d)
        d = _grown(side, d, LIPS)
        d = _cut(side, d, LIP_LINE)
        d = _ear(side, d)
        d = smooth_min(d, _hair(q), 0.0022)
        p = p - np.array([[0], [SHORTER_M], [0]], np.float32)
        body = np.stack([np.abs(p[0]), p[1], p[2]])
        neck = NECK[0][0].distance(body)
        neck = _grown(body, neck, NECK[1:])
        # The cords run from behind the turned ears to the pit of the throat.
        for sign in (-1, 1):
            top = np.array([sign * 0.052, 0.062, -0.018])
            top[[0, 2]] = c * top[0] + s * top[2], -s * top[0] + c * top[2]
            cord = Capsule((float(top[0]), 0.062, float(top[2])), (sign * 0.011, -0.116, 0.020), 0.013, 0.0075)
            neck = smooth_min(neck, cord.distance(p), 0.016)
        neck = smooth_max(neck, np.abs(p[0]) - np.float32(0.142) + np.float32(0.05) * (p[1] + np.float32(0.1)), 0.012)
        d = smooth_min(d, neck, 0.014) + _worked(p)
        return np.asarray(
            smooth_max(d, np.float32(self.foot_m - SHORTER_M) - p[1], 0.004) * np.float32(0.94), np.float32
        )

    def box(self) -> tuple[F32, F32]:
        return np.array([-0.155, self.foot_m, -0.175], np.float32), np.array([0.155, 0.250, 0.125], np.float32)


@dataclass(frozen=True)
class WetClay:
    """Modelling clay, leather-hard: drier and paler on what stands out, thumbed smooth or scraped, a dull sheen.

    With `body` given, creases finer than the light grid darken by how little room there is in front of the skin.
    """

    reflectance: float = 0.34
    sheen: float = 0.018
    rough: float = 0.34
    thumb_m: float = 1.6e-4
    shift: float = 0.0
    body: Shape | None = None

    @property
    def mean_reflectance(self) -> float:
        return self.reflectance

    @property
    def mean_glow_cd_m2(self) -> float:
        return 0.0

    def skin(self, p: F32, n: F32, noise: Noise) -> Skin:
        damp = noise.stain(p, 0.38, self.shift)
        cloud = noise.stain(p, 0.11, self.shift + 1)
        grain = noise.stain(p, 0.023, self.shift + 2)
        thumb, g = noise.relief(p, 0.075, self.shift + 3)
        _, g_fine = noise.relief(p, 0.016, self.shift + 4)
        scratch = noise.stain(p, 0.05, self.shift + 5, stretch=(0.5, 6.0, 1.0))
        smooth = between(thumb, -0.6, 0.6)
        stops = damp * np.float32(0.13) + cloud * np.float32(0.10) + grain * np.float32(0.07) * (1 - 0.5 * smooth)
        pit = between(noise.relief(p, 0.012, self.shift + 6)[0], 2.0, 2.7)
        stops = stops - pit * np.float32(0.35) - between(scratch, 1.6, 2.4) * np.float32(0.12)
        if self.body is not None:
            for reach in (0.0035, 0.008):
                room = self.body.distance(p + n * np.float32(reach)) / np.float32(reach)
                stops = stops - np.float32(1.5) * (1 - np.clip(room, 0, 1))
        slope = g * np.float32(self.thumb_m) + g_fine * np.float32(1.5e-5) * (1 - np.float32(0.6) * smooth)
        f0 = np.float32(self.sheen) * np.clip(1 - np.float32(0.4) * damp, 0.2, 2.0)
        return Skin(tone(self.reflectance, stops), slope, f0.astype(np.float32), full(p, self.rough), full(p, 0.0))
