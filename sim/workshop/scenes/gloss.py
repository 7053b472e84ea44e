"""Gloss: what glazes, wet clay, worn wood and iron mirror, sharp or spread, without white specks."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sim.workshop.scenes.bake import gather
from sim.workshop.scenes.grid import LightGrid
from sim.workshop.scenes.sampling import tangents
from sim.workshop.scenes.sdf import F32, dot, normalise
from sim.workshop.scenes.stage import Scene

SATIN_RAD = 0.06  # reflections spread wider than this are smooth enough to be denoised


@dataclass(frozen=True, eq=False)
class Arrival:
    """Unblocked samples of one light: which points, towards where (3, N), solid angle sr and luminance cd/m2 of each."""

    rays: npt.NDArray[np.int64]
    d: F32
    spread_sr: F32
    luminance_cd_m2: F32


def fresnel(f0: F32, rough: F32, cos: F32) -> F32:
    """Schlick's approximation; on rough skins the rise at grazing angles is held down (facets shade each other; by eye)."""
    grazing = np.maximum(1 - np.float32(6) * rough, f0) - f0
    return np.asarray(f0 + grazing * (1 - np.clip(cos, 0, 1)) ** 5 * (f0 > 0), np.float32)


def _lobe(spread: F32, facet_cos: F32, toward_cos: F32) -> F32:
    """Density per sr of mirrored directions when facets tilt by the usual rational law of roughness `spread`."""
    square = np.maximum(facet_cos * facet_cos, np.float32(1e-4))
    alpha = np.maximum(spread * spread, np.float32(1e-6))
    facets = alpha / (np.float32(np.pi) * (square * (alpha - 1) + 1) ** 2)
    return np.asarray(facets * facet_cos / np.maximum(4 * toward_cos, np.float32(0.02)), np.float32)


def mirror(
    scene: Scene,
    grid: LightGrid,
    glossy: npt.NDArray[np.int64],
    start: F32,
    d: F32,
    n: F32,
    flat: F32,
    f0: F32,
    rough: F32,
    pick: F32,
    rng: np.random.Generator,
) -> F32:
    """Luminance (len(glossy),) brought by one mirrored ray for each glossy point, spread by its roughness; pick (2, N)."""
    n, flat, toward = n[:, glossy], flat[:, glossy], d[:, glossy]
    spread = rough[glossy]
    side, up = tangents(n)
    pick = pick[:, glossy]
    tilt = spread * np.sqrt(pick[0] / np.maximum(1 - pick[0], np.float32(0.02)))
    turn = pick[1] * np.float32(2 * np.pi)
    facet = normalise(n + (side * np.cos(turn) + up * np.sin(turn)) * tilt)
    cos = np.maximum(-dot(toward, facet), np.float32(0.005))
    out = toward + facet * (2 * cos)
    below = np.maximum(np.float32(0.02) - dot(out, flat), 0)
    out = normalise(out + flat * below)
    # Bright glazes mirror the window itself; only satin skins share it with the sampled lights.
    lobe = np.where(spread > SATIN_RAD, _lobe(spread, dot(facet, n), cos), np.float32(1e6))
    lum = gather(grid, scene.lights, scene.beyond, start[:, glossy], out, rng, lobe)
    return np.asarray(np.minimum(lum * fresnel(f0[glossy], spread, cos), np.float32(scene.clamp_cd_m2)), np.float32)


def sheen(scene: Scene, arrivals: list[Arrival], d: F32, n: F32, f0: F32, rough: F32) -> F32:
    """Luminance (N,) of the lights' own reflections in satin skins, from the samples already taken for their shadows."""
    out = np.zeros(f0.shape, np.float32)
    for arrival in arrivals:
        keep = np.nonzero((f0[arrival.rays] > 0.002) & (rough[arrival.rays] > SATIN_RAD))[0]
        if keep.size == 0:
            continue
        rays, towards = arrival.rays[keep], arrival.d[:, keep]
        facet = normalise(towards - d[:, rays])
        cos = np.maximum(dot(towards, facet), np.float32(0.005))
        lobe = _lobe(rough[rays], np.maximum(dot(facet, n[:, rays]), 0), cos)
        seen_share = lobe * arrival.spread_sr[keep]
        lum = (
            arrival.luminance_cd_m2[keep]
            * fresnel(f0[rays], rough[rays], cos)
            * seen_share
            / (1 + seen_share * seen_share)
        )
        out[rays] += np.minimum(lum, np.float32(scene.clamp_cd_m2))
    return out
