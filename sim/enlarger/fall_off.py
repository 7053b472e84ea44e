"""How light falls off towards the corners of the easel: the fourth power of the cosine and, wide open, the lens barrel.

Source: standard photometry; the barrel as the overlap of two circles.
"""

from __future__ import annotations

import numpy as np

from sim.enlarger.settings import Bench
from sim.quantities import FloatArray


def cosine_fourth(radius_mm: FloatArray, lens_to_paper_mm: float) -> FloatArray:
    """Return relative illuminance at a distance from the axis on the paper: cos**4 of the field angle."""
    return np.asarray((1.0 + (radius_mm / lens_to_paper_mm) ** 2) ** -2.0)


def clipped_share(iris_radius: float, rim_radius: float, shift: FloatArray) -> FloatArray:
    """Return the share of an iris disc that a rim disc, shifted sideways, still lets through (two-circle overlap)."""
    r, big = iris_radius, rim_radius
    s = np.abs(np.asarray(shift, dtype=np.float64))
    inside = s <= big - r
    outside = s >= big + r
    d = np.clip(s, max(abs(big - r), 1e-9), big + r)
    a = np.clip((d**2 + r**2 - big**2) / (2 * d * r), -1, 1)
    b = np.clip((d**2 + big**2 - r**2) / (2 * d * big), -1, 1)
    kite = np.sqrt(np.maximum((-d + r + big) * (d + r - big) * (d - r + big) * (d + r + big), 0.0))
    lens = r**2 * np.arccos(a) + big**2 * np.arccos(b) - 0.5 * kite
    return np.where(inside, 1.0, np.where(outside, 0.0, lens / (np.pi * r**2)))


def mechanical_vignetting(
    radius_mm: FloatArray, lens_to_paper_mm: float, focal_mm: float, f_number: float, widest_f_number: float,
    rim_distance_mm: float,
) -> FloatArray:  # fmt: skip
    """Return the share of the beam that the lens barrel lets through at a distance from the axis on the paper.

    The rim stands ``rim_distance_mm`` from the iris and is as wide as the largest iris; it stops mattering when the iris
    is a couple of stops smaller.
    """
    iris_radius = focal_mm / f_number / 2.0
    rim_radius = focal_mm / widest_f_number / 2.0
    return clipped_share(iris_radius, rim_radius, rim_distance_mm * np.asarray(radius_mm) / lens_to_paper_mm)


def barrel_share(bench: Bench, radius_mm: FloatArray, f_number: float) -> FloatArray:
    """Return what a bench's lens barrel lets through at an exact f-number; all of it in contact, where the lens is a lamp."""
    if bench.settings.contact:
        return np.ones_like(radius_mm)
    lens = bench.lens
    return mechanical_vignetting(
        radius_mm, bench.lens_to_paper_mm, lens.focal_mm, f_number, lens.widest_f_number, lens.rim_distance_mm
    )


def light_by_radius(bench: Bench, radius_mm: FloatArray, f_number: float) -> FloatArray:
    """Return light over that on the axis at distances from it on the paper, mm: cosine law, barrel, and one's own head."""
    light = cosine_fourth(radius_mm, bench.lens_to_paper_mm) * barrel_share(bench, radius_mm, f_number)
    own = bench.head.own
    return light if own is None else light * own.evenness(np.asarray(radius_mm) / bench.magnification)
