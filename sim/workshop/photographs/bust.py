"""A head modelled in clay: skull, face, neck and hair, put on mass by mass; of nobody in particular.

Sizes are those of a small adult head (common proportions: the eyes half way up, the ears between brow and nose). Own
coordinates: chin at z = 0, face towards -y, x to its left; metres.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from sim.workshop.photographs.form import Form
from sim.workshop.photographs.moulded import cut, egg, grown, hollowed, join, pellets, sausage, skin_of
from sim.workshop.photographs.relief import F64, uneven

SKULL = (
    (egg((0, 0.012, 0.150), (0.0745, 0.096, 0.083)), 0.01), (egg((0, -0.020, 0.105), (0.0645, 0.064, 0.092)), 0.03),
    (egg((0, -0.022, 0.048), (0.050, 0.058, 0.050)), 0.03), (egg((0.018, -0.058, 0.160), (0.032, 0.026, 0.026)), 0.03),
    (egg((0, -0.070, 0.011), (0.019, 0.018, 0.014)), 0.018),
    (sausage((0.056, 0.006, 0.056), (0.020, -0.058, 0.008), 0.015, 0.012), 0.022),
    (egg((0.046, -0.047, 0.087), (0.021, 0.022, 0.013)), 0.022),
    (sausage((0.062, -0.020, 0.092), (0.070, 0.01, 0.098), 0.008, 0.006), 0.02))
SOCKET = (
    (egg((0.0310, -0.0915, 0.1125), (0.0195, 0.0215, 0.0130)), 0.010),
    (egg((0.0140, -0.0890, 0.1120), (0.0060, 0.0100, 0.0090)), 0.010))
FACE = (
    (sausage((0.007, -0.0800, 0.1270), (0.034, -0.0750, 0.1315), 0.0078, 0.0072), 0.011),
    (sausage((0.034, -0.0750, 0.1315), (0.054, -0.0560, 0.1225), 0.0072, 0.0055), 0.011),
    (egg((0, -0.080, 0.098), (0.0105, 0.017, 0.027)), 0.014),
    (sausage((0, -0.0815, 0.121), (0, -0.1010, 0.080), 0.0062, 0.0080), 0.009),
    (egg((0, -0.1020, 0.0755), (0.0095, 0.0100, 0.0085)), 0.007),
    (egg((0.0112, -0.0915, 0.0725), (0.0068, 0.0105, 0.0075)), 0.006), (egg((0, -0.060, 0.045), (0.030, 0.031, 0.029)), 0.02))
LIPS = (
    (sausage((0.0045, -0.0915, 0.0500), (0.0240, -0.0830, 0.0440), 0.0056, 0.0026), 0.005),
    (sausage((0.0, -0.0905, 0.0478), (0.006, -0.0905, 0.0485), 0.0042, 0.0042), 0.004),
    (sausage((0.0, -0.0900, 0.0362), (0.0105, -0.0880, 0.0370), 0.0072, 0.0065), 0.005),
    (sausage((0.0105, -0.0880, 0.0370), (0.0225, -0.0832, 0.0424), 0.0065, 0.0026), 0.005))
LINES = (
    (sausage((0.0, -0.0965, 0.0434), (0.0130, -0.0935, 0.0438), 0.0014, 0.0014), 0.0035),
    (sausage((0.0130, -0.0935, 0.0438), (0.0255, -0.0842, 0.0434), 0.0014, 0.0013), 0.0035),
    (sausage((0.0, -0.0990, 0.0640), (0.0, -0.0975, 0.0550), 0.0024, 0.0028), 0.006),
    (egg((0, -0.0950, 0.0258), (0.018, 0.0090, 0.0055)), 0.009),
    (egg((0.0058, -0.0970, 0.0655), (0.0032, 0.0058, 0.0040)), 0.003))
EYE, MOUTH = np.array([0.0312, -0.0640, 0.1105]), np.array([0.010, -0.0900, 0.0430])
NECK = (
    (sausage((0, 0.026, 0.045), (0, 0.045, -0.115), 0.047, 0.055), 0.012),
    (sausage((0, -0.022, 0.0), (0, -0.012, -0.105), 0.011, 0.012), 0.030),
    (egg((0, 0.050, -0.150), (0.165, 0.072, 0.052)), 0.060), (egg((0, 0.010, -0.185), (0.125, 0.065, 0.065)), 0.050),
    (sausage((0.014, -0.020, -0.122), (0.115, 0.030, -0.112), 0.0070, 0.0055), 0.020))
RAISED, TURN_DEG, FOOT_M = 0.042, 17.0, -0.150


def _eyes(p: F64, d: F64) -> F64:
    """Ball, upper lid a little lowered, lower lid, and the pupil drilled, which gives a look."""
    q = p - EYE
    r = np.linalg.norm(q, axis=-1)
    d = join(d, r - 0.0130, 0.003)
    arch = q[..., 2] - 0.0022 + 9.0 * (q[..., 0] + 0.001) ** 2
    upper, lower = (-join(-(r - 0.0158), arch, 0.0014), -join(-(r - 0.0150), -(arch + 0.0086 - 16.0 * q[..., 0] ** 2), 0.0014))
    d = join(join(d, upper, 0.0035), lower, 0.0035)
    return cut(
        d, egg((float(EYE[0]) - 0.001, float(EYE[1]) - 0.0134, float(EYE[2]) - 0.0024), (0.0036, 0.0034, 0.0036))(p), 0.0014)


def _ears(p: F64, d: F64) -> F64:
    d = join(d, egg((0.0755, 0.0090, 0.0965), (0.0075, 0.0175, 0.0285))(p), 0.006)
    d = cut(d, egg((0.0850, 0.0050, 0.0930), (0.0060, 0.0085, 0.0130))(p), 0.004)
    rim = []
    for part in np.linspace(0, 0.92, 11):
        turn, out = 5.2 * part - 1.9, 0.0755 + 0.010 * np.sin(np.pi * part) * (0.6 + 0.4 * part)
        rim.append((float(out), float(0.008 + 0.0155 * np.sin(turn)), float(0.1 + 0.027 * np.cos(turn))))
    d = grown(p, d, [(sausage(a, b, 0.0046, 0.0042), 0.006) for a, b in pairwise(rim)])
    return grown(
        p, d,
        [
            (egg((0.0745, -0.0010, 0.0720), (0.0050, 0.0065, 0.0085)), 0.005),
            (egg((0.0740, -0.0060, 0.0930), (0.0045, 0.0035, 0.0060)), 0.004)])


def _hair(q: F64) -> F64:
    """Hair drawn back from a middle parting into a knot, furrowed with the tool."""
    side = np.abs(q[..., 0])
    p = np.stack([side, q[..., 1], q[..., 2]], -1)
    cap = join(egg((0, 0.018, 0.156), (0.0835, 0.1050, 0.0905))(p), egg((0, 0.060, 0.105), (0.074, 0.052, 0.070))(p), 0.03)
    turn = np.arctan2(side, q[..., 2] - 0.10 + 0.35 * (q[..., 1] - 0.02))
    wave = turn + 0.10 * np.sin(-q[..., 1] * 50 + turn * 3) + 0.05 * uneven(q, 0.05, 3, 4)
    strand = np.abs(np.sin(wave * 9.0 + 0.6 * np.sign(q[..., 0]))) ** 0.8
    fine = np.sin(wave * 41 + 2 * np.sin(q[..., 1] * 40))
    cap = cap - 0.0042 * (strand - 0.5) - 0.0007 * fine + 0.0035 * np.exp(-((side / 0.004) ** 2)) * (q[..., 1] < 0.03)
    cap = cut(
        cut(cap, egg((0, -0.090, 0.066), (0.0660, 0.0740, 0.1060))(p), 0.0045),
        egg((0.080, 0.0, 0.088), (0.030, 0.030, 0.032))(p), 0.004)
    spiral = np.arctan2(q[..., 2] - 0.120, q[..., 0]) * 2 + np.hypot(q[..., 0], q[..., 2] - 0.12) * 260
    return join(cap, egg((0, 0.128, 0.120), (0.040, 0.034, 0.038))(q) - 0.0016 * np.sin(spiral), 0.008)


def _whole(p: F64) -> F64:
    """The bust as a distance: the head turned over its shoulder, neck and shoulders square, marks of thumb and tool on all."""
    c, s = np.cos(np.radians(TURN_DEG)), np.sin(np.radians(TURN_DEG))
    q = np.stack([c * p[..., 0] + s * p[..., 1], -s * p[..., 0] + c * p[..., 1], p[..., 2]], -1)
    side = np.concatenate([np.abs(q[..., :1]), q[..., 1:]], -1)
    d = grown(side, SKULL[0][0](side), SKULL[1:])
    d = grown(side, hollowed(side, d, SOCKET), FACE)
    d = hollowed(side, grown(side, _eyes(side, d), LIPS), LINES)
    d = join(_ears(side, d), _hair(q), 0.0025)
    low = p - np.array([0, 0, RAISED])
    body = np.concatenate([np.abs(low[..., :1]), low[..., 1:]], -1)
    neck = grown(body, NECK[0][0](body), NECK[1:])
    for sign in (-1.0, 1.0):  # the cords run from behind the turned ears to the pit of the throat
        x, y = sign * 0.052, 0.018
        neck = join(
            neck, sausage((c * x - s * y, s * x + c * y, 0.062), (sign * 0.011, -0.020, -0.116), 0.012, 0.007)(low), 0.018)
    neck = -join(-neck, -(np.abs(low[..., 0]) - 0.142 + 0.05 * (low[..., 2] + 0.1)), 0.012)
    d = join(d, neck, 0.014)
    below = np.clip((0.02 - p[..., 2]) / 0.10, 0, 1)
    fine = np.exp(-(((side - EYE) ** 2).sum(-1)) / 0.022**2) + np.exp(-(((side - MOUTH) ** 2).sum(-1)) / 0.024**2)
    rough = (1 - 0.8 * np.clip(fine, 0, 1)) * (1 + 0.8 * below)  # pads of clay pressed on, fewer about eyes and mouth
    d = d + 0.0005 * uneven(p, 0.022, 2, 9) + 0.0002 * uneven(p * (1, 1, 0.25), 0.005, 2, 12)
    wander = p + 0.004 * np.stack([uneven(p, 0.03, 1, 31), uneven(p, 0.03, 1, 32), uneven(p, 0.03, 1, 33)], -1)
    d = d - (0.0011 * rough + 0.0014 * below) * (pellets(wander * (1, 1, 0.75), 0.021, 21) - 0.6)
    return np.asarray(-join(-d, p[..., 2] - FOOT_M, 0.004))


def bust(cell_m: float = 0.0016) -> Form:
    """The bust, cut off straight below the collar bones and standing on the ground."""
    form = skin_of(_whole, (-0.17, -0.135, FOOT_M - 0.004), (0.17, 0.185, 0.262), cell_m)
    return Form(form.points - np.array([0, 0, FOOT_M]), triangles=form.triangles)
