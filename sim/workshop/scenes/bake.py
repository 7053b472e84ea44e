"""Filling the light grid: distances of all things, then the light their skins send out, bounce by bounce."""

import numpy as np
import numpy.typing as npt

from sim.workshop.scenes.grid import START_VOXELS, LightGrid
from sim.workshop.scenes.lights import Light, first_light
from sim.workshop.scenes.sampling import around_normal, sphere_directions
from sim.workshop.scenes.sdf import F32, normalise
from sim.workshop.scenes.stage import Beyond, GridBox, Scene, Thing

NEAR_M = 0.12  # exact distances are worked out this far from a thing; farther off a safe lower bound will do
SHADOW_RAYS = 4
BOUNCE_RAYS = 4
BOUNCES = 2
EVEN_RAYS = 64
CHUNK = 16384


def bake(scene: Scene, coarser: float, seed: int) -> LightGrid:
    """Fill the grid of a scene; `coarser` multiplies the voxel edge (2 or 3 for quick trials). Deterministic by seed."""
    box = scene.grid
    voxel = box.voxel_m * coarser
    lo = np.array(box.lo, np.float32)
    size = np.ceil((np.array(box.hi) - lo) / voxel).astype(int)
    shape = (int(size[0]), int(size[1]), int(size[2]))
    distance, owner = _distances(scene.things, lo, voxel, shape)
    mean = np.array([t.material.mean_reflectance for t in scene.things], np.float32)
    glow = np.array([t.material.mean_glow_cd_m2 for t in scene.things], np.float32)
    reflectance = np.where(owner >= 0, mean[owner], 0).astype(np.float32).ravel()
    glowing = np.where(owner >= 0, glow[owner], 0).astype(np.float32).ravel()
    even_m = max(0.12, voxel * 4)
    even_shape, even_lo = _even_frame(box, even_m)
    grid = LightGrid(
        lo,
        voxel,
        shape,
        (distance / np.float32(voxel)).ravel(),
        glowing,
        reflectance,
        np.zeros((int(np.prod(even_shape)), 4), np.float32),
        even_lo,
        even_m,
        even_shape,
    )
    rng = np.random.Generator(np.random.PCG64([seed, 5]))
    _send_light(grid, scene, glowing, rng)
    _even_out(grid, scene, rng)
    return grid


def _distances(
    things: tuple[Thing, ...], lo: F32, voxel: float, shape: tuple[int, int, int]
) -> tuple[F32, npt.NDArray[np.int16]]:
    near = np.float32(max(NEAR_M, 6 * voxel))
    distance = np.full(shape, near, np.float32)
    owner = np.full(shape, -1, np.int16)
    for index, thing in enumerate(things):
        if not thing.shadows:
            continue
        t_lo, t_hi = thing.world_box()
        start = np.clip(np.floor((t_lo - near - lo) / voxel).astype(int), 0, shape)
        stop = np.clip(np.ceil((t_hi + near - lo) / voxel).astype(int), 0, shape)
        # Slab by slab, so that a wall as wide as the grid does not need a gigabyte at once.
        for first in range(start[0], stop[0], 8):
            _min_into(
                distance,
                owner,
                thing,
                index,
                lo,
                voxel,
                (first, start[1], start[2]),
                (min(first + 8, stop[0]), stop[1], stop[2]),
            )
    _fill_far(distance, near, voxel)
    return distance, owner


def _min_into(
    distance: F32,
    owner: npt.NDArray[np.int16],
    thing: Thing,
    index: int,
    lo: F32,
    voxel: float,
    start: tuple[int, int, int],
    stop: tuple[int, int, int],
) -> None:
    axes = [
        lo[i] + (np.arange(start[i], stop[i], dtype=np.float32) + np.float32(0.5)) * np.float32(voxel) for i in range(3)
    ]
    if min(a.size for a in axes) == 0:
        return
    p = np.stack([m.ravel() for m in np.meshgrid(*axes, indexing="ij")])
    d = thing.shape.distance(thing.to_local(p)).reshape([a.size for a in axes]) * np.float32(thing.slack)
    region = tuple(slice(start[i], stop[i]) for i in range(3))
    nearer = d < distance[region]
    distance[region] = np.where(nearer, d, distance[region])
    owner[region] = np.where(nearer, np.int16(index), owner[region])


def _fill_far(distance: F32, near: np.float32, voxel: float) -> None:
    """Where nothing is near, add the distance to the nearest voxel that has something near (a lower bound, coarse)."""
    from scipy.ndimage import distance_transform_edt

    coarse = distance[::4, ::4, ::4] >= near
    if coarse.all():
        distance += np.float32(1.0)
        return
    far = (distance_transform_edt(coarse).astype(np.float32) - np.float32(2.8)) * np.float32(4 * voxel)
    far = np.maximum(far, 0)
    grown = far.repeat(4, 0).repeat(4, 1).repeat(4, 2)[: distance.shape[0], : distance.shape[1], : distance.shape[2]]
    distance += np.where(distance >= near, grown, 0)


def surface_points(grid: LightGrid) -> tuple[npt.NDArray[np.int64], F32, F32]:
    """Voxels close to a skin: flat indices (K,), points moved onto the skin (3, K) and outward normals (3, K)."""
    cells = np.nonzero(np.abs(grid.distance) < 1.6)[0]
    nx, ny, nz = grid.shape
    ix, iy, iz = cells // (ny * nz), (cells // nz) % ny, cells % nz
    inner = (ix > 0) & (ix < nx - 1) & (iy > 0) & (iy < ny - 1) & (iz > 0) & (iz < nz - 1)
    cells, ix, iy, iz = cells[inner], ix[inner], iy[inner], iz[inner]
    d = grid.distance
    n = np.stack([d[cells + ny * nz] - d[cells - ny * nz], d[cells + nz] - d[cells - nz], d[cells + 1] - d[cells - 1]])
    n = normalise(n.astype(np.float32))
    p = (np.stack([ix, iy, iz]).astype(np.float32) + np.float32(0.5) - n * d[cells]) * np.float32(
        grid.voxel_m
    ) + grid.lo[:, None]
    return cells, p.astype(np.float32), n


def _send_light(grid: LightGrid, scene: Scene, glowing: F32, rng: np.random.Generator) -> None:
    """Direct light on every skin voxel, then its reflections, written into grid.radiance in place."""
    cells, p, n = surface_points(grid)
    start = p + n * np.float32(START_VOXELS * grid.voxel_m)
    direct = np.zeros(cells.size, np.float32)
    for first in range(0, cells.size, CHUNK):
        part = slice(first, first + CHUNK)
        for light in scene.lights:
            direct[part] += _direct(grid, light, start[:, part], n[:, part], rng)
    rho = grid.reflectance[cells]
    own = glowing[cells]
    grid.radiance[cells] = own + rho / np.float32(np.pi) * direct
    for _ in range(BOUNCES):
        gathered = np.zeros(cells.size, np.float32)
        for first in range(0, cells.size, CHUNK):
            part = slice(first, first + CHUNK)
            o, about = start[:, part], n[:, part]
            total = np.zeros(o.shape[1], np.float32)
            for k in range(BOUNCE_RAYS):
                u = rng.random((2, o.shape[1]), np.float32)
                u[0] = (u[0] + k) / BOUNCE_RAYS
                total += gather(grid, scene.lights, scene.beyond, o, around_normal(about, u), rng)
            gathered[part] = total / BOUNCE_RAYS
        grid.radiance[cells] = own + rho * (direct / np.float32(np.pi) + gathered)


def _direct(grid: LightGrid, light: Light, o: F32, n: F32, rng: np.random.Generator) -> F32:
    lux = light.illuminance_lux(o, n)
    lit = np.nonzero(lux > 1e-3)[0]
    if lit.size == 0:
        return lux
    clear = np.zeros(lit.size, np.float32)
    for k in range(SHADOW_RAYS):
        u = rng.random((2, lit.size), np.float32)
        u[0] = (u[0] + k) / SHADOW_RAYS
        u[1] = (u[1] + (k * 3) % SHADOW_RAYS) / SHADOW_RAYS
        d, far, share = light.aim(o[:, lit], u)
        shake = rng.random((3, lit.size), np.float32) - np.float32(0.5)
        free = ~np.isfinite(grid.march(o[:, lit], d, far, shake))
        clear += free * share
    lux[lit] *= clear / SHADOW_RAYS
    return lux


def gather(
    grid: LightGrid,
    lights: tuple[Light, ...],
    beyond: Beyond,
    o: F32,
    d: F32,
    rng: np.random.Generator,
    lobe: F32 | None = None,
) -> F32:
    """Luminance (N,) a wandering ray brings back: skin in the grid, or what lies beyond; lights only for mirrored rays.

    `lobe` is given for mirrored rays: the density (per sr) with which their direction was drawn. Lights are sampled on
    their own too, so each counts in proportion to the squares of the two densities (the power heuristic).
    """
    count = o.shape[1]
    shake = rng.random((3, count), np.float32) - np.float32(0.5)
    t_light, glare, spread = first_light(lights, o, d)
    if lobe is None:
        glare = np.zeros_like(glare)
    else:
        glare = glare / (1 + 1 / np.maximum(lobe * spread, np.float32(1e-6)) ** 2)
    limit = np.minimum(t_light, np.float32(1e5))
    t = grid.march(o, d, limit, shake)
    hit = np.isfinite(t)
    out = np.where(np.isfinite(t_light), glare, np.float32(0))
    if hit.any():
        which = np.nonzero(hit)[0]
        p = o[:, which] + d[:, which] * t[which] + shake[:, which] * np.float32(grid.voxel_m)
        out[which] = grid.radiance.take(grid.cell_of(p))
    away = np.nonzero(~hit & ~np.isfinite(t_light))[0]
    if away.size:
        out[away] = beyond.glow_cd_m2(o[:, away], d[:, away])
    return out.astype(np.float32)


def _even_frame(box: GridBox, cell_m: float) -> tuple[tuple[int, int, int], F32]:
    lo = np.array(box.lo, np.float32)
    size = np.maximum(np.ceil((np.array(box.hi) - lo) / cell_m).astype(int), 2)
    return (int(size[0]), int(size[1]), int(size[2])), lo


def _even_out(grid: LightGrid, scene: Scene, rng: np.random.Generator) -> None:
    """Mean luminance and moment in each coarse cell; cells inside solids borrow from their nearest free neighbour."""
    from scipy.ndimage import distance_transform_edt

    index = np.indices(grid.even_shape).reshape(3, -1).astype(np.float32)
    centre = (index + np.float32(0.5)) * np.float32(grid.even_m) + grid.even_lo[:, None]
    free = grid.distance[grid.cell_of(centre)] > 1.0
    spots = np.nonzero(free)[0]
    fan = sphere_directions(EVEN_RAYS)
    for first in range(0, spots.size, CHUNK // EVEN_RAYS):
        part = spots[first : first + CHUNK // EVEN_RAYS]
        o = np.repeat(centre[:, part], EVEN_RAYS, axis=1)
        d = np.tile(fan, (1, part.size))
        lum = gather(grid, scene.lights, scene.beyond, o, d, rng).reshape(part.size, EVEN_RAYS)
        grid.even[part, 0] = lum.mean(axis=1)
        grid.even[part, 1:] = 3 * (lum[:, :, None] * fan.T[None]).mean(axis=1)
    if spots.size and spots.size < free.size:
        nearest = distance_transform_edt(~free.reshape(grid.even_shape), return_distances=False, return_indices=True)
        flat = np.ravel_multi_index(tuple(nearest.reshape(3, -1)), grid.even_shape)
        grid.even[:] = grid.even[flat]


def even_illuminance_lux(light: F32, n: F32) -> F32:
    """Illuminance (N,) on normals n from mean luminance and moment (4, N): pi a + 2 pi/3 b.n, kept above a tenth of pi a."""
    along = light[1] * n[0] + light[2] * n[1] + light[3] * n[2]
    return np.asarray(np.pi * np.maximum(light[0] + np.float32(2 / 3) * along, np.float32(0.1) * light[0]), np.float32)
