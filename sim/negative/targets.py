"""Exact test negatives: a step wedge, a sheet of tone patches, and a focus and resolution target."""

from __future__ import annotations

import numpy as np

from sim.negative.film import Film, find_film
from sim.negative.grain import Grain
from sim.negative.identity import digest_of, grain_key
from sim.negative.negative import Negative, Place
from sim.negative.sleeve_contents import Sleeve
from sim.quantities import Float32Array

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
    """Return stars of radial spokes, clear (0.05) and density 1.5, for focusing and reading sharpness; edges are smooth."""
    out = np.full((rows, cols), 0.05, dtype=np.float32)
    pitch = min(rows, cols) / 4.0
    for cy in (-1.4, 0.0, 1.4):
        for cx in (-1.2, 0.0, 1.2):
            middle, reach = (rows / 2 + cy * pitch, cols / 2 + cx * pitch), 0.45 * pitch
            top, left = (max(int(m - reach), 0) for m in middle)
            box = out[top : int(middle[0] + reach) + 1, left : int(middle[1] + reach) + 1]
            dy = (np.arange(box.shape[0]) + top + 0.5 - middle[0])[:, None]
            dx = (np.arange(box.shape[1]) + left + 0.5 - middle[1])[None, :]
            radius = np.hypot(dy, dx)
            spokes = np.clip(0.5 + np.sin(36.0 * np.arctan2(dy, dx)) * radius / 36.0, 0.0, 1.0)
            ring = np.clip(0.5 + reach - radius, 0.0, 1.0) * np.clip(0.5 + radius - 0.03 * pitch, 0.0, 1.0)
            box += (1.45 * spokes * ring).astype(np.float32)
    edge = round(0.006 * min(rows, cols))
    out[:edge] = out[-edge:] = out[:, :edge] = out[:, -edge:] = 1.5
    return out


TARGETS = {"step-wedge": step_wedge, "tone-patches": tone_patches, "focus-target": focus_target}
TARGET_PX = {"step-wedge": (250, 1260), "tone-patches": (1400, 1000), "focus-target": (3000, 2376)}


def wedge_places() -> tuple[Place, ...]:
    """Return the middle of every wedge step as a named place, step-1 (clear) to step-21."""
    return tuple(
        Place(f"step-{k + 1}", (k + 0.5) / WEDGE_STEPS, 0.5, 2.0, "tone", f"density {WEDGE_START + k * 0.15:.2f}")
        for k in range(WEDGE_STEPS)
    )


def target_negative(sleeve: Sleeve) -> Negative:
    """Return the negative of a target sleeve: densities stand as drawn, without camera.

    Wedge and patches are exact, without grain; the focus target bears its film's, since an eye focuses on grain.
    """
    silver, film = TARGETS[sleeve.scene](*TARGET_PX[sleeve.scene]), find_film(sleeve.film)
    places = sleeve.places or (wedge_places() if sleeve.scene == "step-wedge" else ())
    digest, grainy = digest_of(sleeve, film, None), sleeve.scene == "focus-target"
    return negative_on(film, sleeve, silver, film.base_fog_density, places, digest, grainy)


def negative_on(
    film: Film, sleeve: Sleeve, silver: Float32Array, base_density: float, places: tuple[Place, ...], digest: str,
    grainy: bool = True,
) -> Negative:  # fmt: skip
    """Return silver without grain (density [row, col]) as the negative of a sleeve, with the film's grain laid on."""
    grain = film.grain(sleeve.development, grain_key(sleeve)) if grainy else Grain(0.0)
    if grain.rms_granularity > 0.0:
        silver = grain.laid_on(silver, sleeve.frame_mm[0] / silver.shape[1], (0, 0))
        np.maximum(silver, np.float32(0.0), out=silver)
    return Negative(
        name=sleeve.name,
        silver_density=silver,
        base_density=base_density,
        frame_mm=sleeve.frame_mm,
        stain_share=sleeve.stain_share,
        rebate_mm=sleeve.rebate_mm,
        rms_granularity=grain.rms_granularity,
        clump_mm=grain.clump_mm,
        grain_key=grain.key,
        gamma=film.gamma(sleeve.development),
        places=places,
        digest=digest,
    )
