"""Tracing one tile: camera rays, skins, direct light with soft shadows, one reflected ray, one mirrored ray for glazes.

Light is kept in layers. Direct light is worked out without shadow exactly (noise-free, relief included) and once more
with its shadow by sampling; only the ratio of the two is noisy and only the ratio is smoothed. Reflected light is
treated the same way, with the coarse even light as the control.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from sim.workshop.scenes.bake import even_illuminance_lux, gather
from sim.workshop.scenes.gloss import SATIN_RAD, Arrival, fresnel, mirror, sheen
from sim.workshop.scenes.grid import START_VOXELS, LightGrid
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sampling import TILE_PX, around_normal, sequence
from sim.workshop.scenes.sdf import F32, dot, normalise
from sim.workshop.scenes.sight import local_normal, near_others, nearest_hit, openness, things_in_view, touched
from sim.workshop.scenes.stage import Scene, Thing

LAYERS = (
    "straight",
    "straight_lit",
    "even",
    "even_flat",
    "found",
    "mirror",
    "satin",
    "own",
    "nx",
    "ny",
    "nz",
    "px",
    "py",
    "pz",
)
ROW = {name: i for i, name in enumerate(LAYERS)}
DIMENSIONS = 12
RAYS_AT_ONCE = 16384
LENS_PLAY = 0.22
CONTACT_M = 0.016  # contact shadows are worked out exactly this far from another thing, by the grid beyond
BRIGHTEST = 14  # a reflected ray counts for at most this many times the even light about it (chosen: bias under 2 %)


@dataclass(frozen=True, eq=False)
class World:
    """A scene ready for tracing: its grid, its noise, the blue-noise offsets (DIMENSIONS, TILE_PX, TILE_PX)."""

    scene: Scene
    grid: LightGrid
    noise: Noise
    offsets: F32


@dataclass(frozen=True)
class Frame:
    """Picture size in pixels, number of passes and the seed."""

    width_px: int
    height_px: int
    passes: int
    seed: int

    def tiles(self) -> tuple[int, int]:
        """Rows and columns of tiles."""
        return -(-self.height_px // TILE_PX), -(-self.width_px // TILE_PX)

    def span(self, tile_row: int, tile_col: int) -> tuple[int, int, int, int]:
        """First and past-last row, first and past-last column of a tile."""
        top, left = tile_row * TILE_PX, tile_col * TILE_PX
        return top, min(top + TILE_PX, self.height_px), left, min(left + TILE_PX, self.width_px)


def trace_tile(world: World, frame: Frame, tile_row: int, tile_col: int) -> F32:
    """Layers (len(LAYERS), rows, cols) of one tile, averaged over the passes; the same whoever computes it, and when."""
    top, bottom, left, right = frame.span(tile_row, tile_col)
    rows, cols = bottom - top, right - left
    rng = np.random.Generator(np.random.PCG64([frame.seed, tile_row, tile_col]))
    # A wider view than the tile: things just outside it still touch things inside it and cast contact shadows.
    window = (
        left / frame.width_px - 0.03,
        top / frame.height_px - 0.03,
        right / frame.width_px + 0.03,
        bottom / frame.height_px + 0.03,
    )
    order = things_in_view(world.scene.things, world.scene.camera, window)
    y, x = (a.astype(np.float32).ravel() for a in np.mgrid[top:bottom, left:right])
    offsets = world.offsets[:, :rows, :cols].reshape(DIMENSIONS, -1)
    steps = sequence(frame.passes, DIMENSIONS // 2, frame.seed)
    total = np.zeros((len(LAYERS), rows * cols), np.float32)
    at_once = max(1, RAYS_AT_ONCE // (rows * cols))
    for first in range(0, frame.passes, at_once):
        batch = steps[first : first + at_once]
        u = (offsets[:, None, :] + batch.T[:, :, None]) % np.float32(1)
        count = batch.shape[0]
        flat = u.reshape(DIMENSIONS, -1)
        # Every pixel uses the same points, spread as a tent two pixels wide: edges then come out even and unserrated.
        shift = np.repeat(_tent(batch[:, :2]), rows * cols, axis=0)
        px = (np.tile(x, count) + shift[:, 0]) / np.float32(frame.width_px)
        py = (np.tile(y, count) + shift[:, 1]) / np.float32(frame.height_px)
        py = (py - np.float32(0.5)) * np.float32(_tallness(world.scene, frame)) + np.float32(0.5)
        # The lens likewise, but for a little play: out-of-focus edges stay even, large blurs do not split into copies.
        play = (np.tile(offsets[2:4], count) - np.float32(0.5)) * np.float32(LENS_PLAY)
        flat[2:4] = (np.repeat(batch[:, 2:4].T, rows * cols, axis=1) + play) % np.float32(1)
        layers = _trace_rays(world, px, py, flat, order, rng)
        total += layers.reshape(len(LAYERS), count, rows * cols).sum(axis=1)
    return (total / np.float32(frame.passes)).reshape(len(LAYERS), rows, cols)


def _tent(u: F32) -> F32:
    """Offsets in -0.5..1.5 pixel spread as a tent about the pixel's middle, from u in 0..1."""
    low = np.sqrt(2 * u)
    high = 2 - np.sqrt(np.maximum(2 - 2 * u, 0))
    return np.asarray(np.where(u < 0.5, low, high) - np.float32(0.5), np.float32)


def _tallness(scene: Scene, frame: Frame) -> float:
    """Height of the picture relative to the sheet's when its width fills the sheet (1 for the sheet's own shape)."""
    wide, high = scene.camera.sheet_m()
    return (frame.height_px / frame.width_px) / (high / wide)


def _trace_rays(world: World, px: F32, py: F32, u: F32, order: list[int], rng: np.random.Generator) -> F32:
    scene = world.scene
    o, d = scene.camera.rays(px, py, u[2:4])
    t, owner = nearest_hit(scene.things, order, o, d)
    layers = np.zeros((len(LAYERS), px.size), np.float32)
    missed = np.nonzero(owner < 0)[0]
    if missed.size:
        layers[ROW["own"], missed] = scene.beyond.luminance_cd_m2(o[:, missed], d[:, missed], world.noise)
        layers[ROW["px"] : ROW["pz"] + 1, missed] = d[:, missed] * np.float32(60)
    seen = np.nonzero(owner >= 0)[0]
    if seen.size:
        _shade(world, layers, seen, owner[seen], o[:, seen] + d[:, seen] * t[seen], d[:, seen], u[:, seen], order, rng)
    if scene.air is not None:
        clear, added = scene.air.through(o, d, t, world.noise)
        layers[: ROW["own"] + 1] *= clear
        layers[ROW["own"]] += added
    return layers


def _shade(
    world: World, layers: F32, seen: npt.NDArray[np.int64], owner: npt.NDArray[np.int32], p: F32, d: F32, u: F32,
    order: list[int], rng: np.random.Generator,
) -> None:  # fmt: skip
    scene, grid = world.scene, world.grid
    flat, bent, rho, f0, rough, own = _skins(world, owner, p, d)
    start = p + flat * np.float32(START_VOXELS * grid.voxel_m)
    over_pi = np.float32(1 / np.pi)
    reach = min(START_VOXELS * grid.voxel_m, CONTACT_M)
    others = near_others(scene.things, order, owner, p, reach)
    straight, lit, arrivals = _direct_light(world, p, start, bent, u, others, rng)
    even = grid.even_light(start)
    level = even_illuminance_lux(even, flat) * over_pi
    found = gather(grid, scene.lights, scene.beyond, start, around_normal(flat, u[8:10]), rng)
    # One ray in a hundred that meets something far brighter than its surroundings would leave a white speck.
    found = np.minimum(found, np.minimum(level * np.float32(BRIGHTEST), np.float32(scene.clamp_cd_m2)))
    found *= openness(others, p, flat, reach)
    body = rho * (1 - fresnel(f0, rough, -dot(bent, d)))
    layers[ROW["straight"], seen] = body * straight * over_pi
    layers[ROW["straight_lit"], seen] = body * lit * over_pi
    layers[ROW["even"], seen] = body * even_illuminance_lux(even, bent) * over_pi
    layers[ROW["even_flat"], seen] = body * level
    layers[ROW["found"], seen] = body * found
    layers[ROW["own"], seen] = own
    glossy = np.nonzero(f0 > 0.002)[0]
    if glossy.size:
        satin = rough > SATIN_RAD
        lum = np.zeros(seen.size, np.float32)
        lum[glossy] = mirror(scene, grid, glossy, start, d, bent, flat, f0, rough, u[10:12], rng)
        layers[ROW["satin"], seen] = np.where(satin, lum, 0) + sheen(scene, arrivals, d, bent, f0, rough)
        layers[ROW["mirror"], seen] = np.where(satin, 0, lum)
    layers[ROW["nx"] : ROW["nz"] + 1, seen] = flat
    layers[ROW["px"] : ROW["pz"] + 1, seen] = p - np.array(scene.camera.eye, np.float32)[:, None]


def _skins(world: World, owner: npt.NDArray[np.int32], p: F32, d: F32) -> tuple[F32, F32, F32, F32, F32, F32]:
    """Normals without and with relief (3, N), reflectance, gloss, roughness and own luminance where rays have arrived."""
    flat, bent = np.empty_like(p), np.empty_like(p)
    rho, f0, rough, own = (np.empty(owner.size, np.float32) for _ in range(4))
    for index in np.unique(owner):
        mine = np.nonzero(owner == index)[0]
        thing = world.scene.things[index]
        local = thing.to_local(p[:, mine])
        n = local_normal(thing, local)
        skin = thing.material.skin(local, n, world.noise)
        slope = skin.slope - n * dot(skin.slope, n)
        flat[:, mine] = thing.direction_to_world(n)
        bent[:, mine] = thing.direction_to_world(normalise(n - slope))
        rho[mine], f0[mine], rough[mine], own[mine] = skin.reflectance, skin.f0, skin.rough, skin.glow_cd_m2
    # A normal that looks away from the lens (grazing rays, strong relief) would shade black specks: turn it back.
    return _face(flat, d), _face(bent, d), rho, f0, rough, own


def _face(n: F32, d: F32) -> F32:
    """Normals bent just far enough that they do not look away from the lens."""
    away = np.maximum(dot(n, d) + np.float32(0.02), 0)
    return normalise(n - d * away) if away.any() else n


def _direct_light(
    world: World,
    p: F32,
    start: F32,
    n: F32,
    u: F32,
    others: list[tuple[Thing, npt.NDArray[np.int64]]],
    rng: np.random.Generator,
) -> tuple[F32, F32, list[Arrival]]:
    """Illuminance (N,) from all lights without and with one sampled shadow each, and what arrived from where."""
    arrivals: list[Arrival] = []
    straight = np.zeros(p.shape[1], np.float32)
    lit = np.zeros(p.shape[1], np.float32)
    for k, light in enumerate(world.scene.lights):
        lux = light.illuminance_lux(p, n)
        straight += lux
        rays = np.nonzero(lux > 1e-4)[0]
        if rays.size == 0:
            continue
        pick = u[4 + 2 * (k % 2) : 6 + 2 * (k % 2), rays]
        d, far, share = light.aim(start[:, rays], pick)
        shake = rng.random((3, rays.size), np.float32) - np.float32(0.5)
        free = ~np.isfinite(world.grid.march(start[:, rays], d, far, shake))
        free &= ~touched(others, p, d, rays, min(START_VOXELS * world.grid.voxel_m, CONTACT_M))
        lit[rays] += lux[rays] * free * share
        arrivals.append(
            Arrival(
                rays[free],
                d[:, free],
                light.spread_sr(d[:, free], far[free]),
                share[free] * np.float32(light.mean_luminance_cd_m2),
            )
        )
    return straight, lit, arrivals
