"""Exact test negatives: a step wedge, a sheet of tone patches, and a focus and resolution target."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.negative.film import find_film
from sim.negative.identity import digest_of
from sim.negative.negative import Negative, Place
from sim.negative.sleeve_contents import Sleeve

Float32Array = NDArray[np.float32]

WEDGE_STEPS, WEDGE_INCREMENT, WEDGE_START = 21, 0.15, 0.05  # half-stop steps, 0.05 to 3.05 (US Navy course, chapter 10)


def step_wedge(rows: int, cols: int) -> Float32Array:
    """Return a 21-step wedge of density 0.05 to 3.05 in steps of 0.15, darkest step at the right, in one row."""
    step = np.minimum(np.arange(cols) * WEDGE_STEPS // cols, WEDGE_STEPS - 1)
    density = (WEDGE_START + WEDGE_INCREMENT * step).astype(np.float32)
    return np.broadcast_to(density, (rows, cols)).copy()


def tone_patches(rows: int, cols: int) -> Float32Array:
    """Return 5 x 7 patches of density 0.00 to 1.70 in steps of 0.05 on a clear ground, out of order like a real scene."""
    out = np.full((rows, cols), 0.02, dtype=np.float32)
    for index in range(35):
        density = 0.05 * ((index * 11) % 35)  # 11 and 35 share no factor: every density once, none beside its like
        r, c = divmod(index, 5)
        top, bottom = round((r + 0.12) * rows / 7), round((r + 0.88) * rows / 7)
        left, right = round((c + 0.12) * cols / 5), round((c + 0.88) * cols / 5)
        out[top:bottom, left:right] = density
    return out


def focus_target(rows: int, cols: int) -> Float32Array:
    """Return radial spokes with rings of bars around them: clear and density 1.5, for focusing and reading sharpness."""
    y = (np.arange(rows) + 0.5 - rows / 2)[:, None]
    x = (np.arange(cols) + 0.5 - cols / 2)[None, :]
    out = np.full((rows, cols), 0.05, dtype=np.float32)
    pitch = min(rows, cols) / 4.0
    for cy in (-1.4, 0.0, 1.4):
        for cx in (-1.2, 0.0, 1.2):
            dy, dx = y - cy * pitch, x - cx * pitch
            spokes = np.sin(36.0 * np.arctan2(dy, dx)) > 0
            radius = np.hypot(dy, dx)
            inside = (radius < 0.45 * pitch) & (radius > 0.03 * pitch)
            out[inside & spokes] = 1.5
    out[np.broadcast_to((np.abs(x) > cols / 2 - 6) | (np.abs(y) > rows / 2 - 6), out.shape)] = 1.5
    return out


TARGETS = {"step-wedge": step_wedge, "tone-patches": tone_patches, "focus-target": focus_target}
TARGET_PX = {"step-wedge": (250, 1260), "tone-patches": (1400, 1000), "focus-target": (1250, 1000)}


def wedge_places() -> tuple[Place, ...]:
    """Return the middle of every wedge step as a named place, step-1 (clear) to step-21."""
    return tuple(
        Place(f"step-{k + 1}", (k + 0.5) / WEDGE_STEPS, 0.5, 2.0, "tone", f"density {WEDGE_START + k * 0.15:.2f}")
        for k in range(WEDGE_STEPS)
    )


def target_negative(sleeve: Sleeve) -> Negative:
    """Return the exact negative of a target sleeve: densities stand as drawn, without camera or grain."""
    rows, cols = TARGET_PX[sleeve.scene]
    silver, film = TARGETS[sleeve.scene](rows, cols), find_film(sleeve.film)
    places = sleeve.places or (wedge_places() if sleeve.scene == "step-wedge" else ())
    return Negative(
        name=sleeve.name,
        silver_density=silver,
        base_density=film.base_fog_density,
        frame_mm=sleeve.frame_mm,
        stain_share=sleeve.stain_share,
        rebate_mm=sleeve.rebate_mm,
        gamma=film.gamma(sleeve.development),
        places=places,
        digest=digest_of(sleeve, film, None),
    )
