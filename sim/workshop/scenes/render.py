"""Rendering a scene: tiles shared among processes, put together, smoothed, with the named places found in the frame."""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.refusals import Refused
from sim.workshop.scenes.bake import bake
from sim.workshop.scenes.catalogue import SCENES
from sim.workshop.scenes.denoise import REACH_PX, compose
from sim.workshop.scenes.noise import Noise
from sim.workshop.scenes.sampling import TILE_PX, blue_offsets
from sim.workshop.scenes.sdf import F32
from sim.workshop.scenes.stage import Scene
from sim.workshop.scenes.tracer import DIMENSIONS, LAYERS, Frame, World, trace_tile

NOISE_SEED = 20
TILES_PER_TASK = 8
TILE_TOLERANCE_LOG10 = 2e-4  # a tile rendered alone agrees with the picture within this log10 luminance on one machine
_THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


@dataclass(frozen=True, eq=False)
class SceneImage:
    """A finished scene: luminance in cd/m2, float32 [row, col], y down; places as fractions (x, y) of the frame."""

    name: str
    luminance_cd_m2: F32
    places: dict[str, tuple[float, float]]


@lru_cache(maxsize=1)
def build_world(name: str, seed: int, coarser: float = 1.0) -> World:
    """Set up and bake a scene; remembered because every task of a worker needs the same one. KeyError if unknown.

    `coarser` multiplies the voxel edge of the light grid: 1 for pictures, 2-4 for trials and tests.
    """
    if name not in SCENES:
        raise KeyError(f"scene must be one of {', '.join(SCENES)}, got {name!r}")
    scene = SCENES[name]()
    return World(scene, bake(scene, coarser, seed), Noise.make(NOISE_SEED), blue_offsets(seed, DIMENSIONS))


def render_scene(
    name: str,
    width_px: int,
    height_px: int,
    passes: int,
    seed: int,
    processes: int = 1,
    progress: Callable[[int, int], None] | None = None,
    coarser: float = 1.0,
) -> SceneImage:
    """Render a scene. The picture is the same, bit for bit, for any number of processes on one machine.

    `passes` 1..64 samples per pixel; `progress(done, all)` is told of finished tiles. ValueError for sizes out of range.
    """
    frame = _checked(width_px, height_px, passes, seed)
    rows, cols = frame.tiles()
    tiles = [(r, c) for r in range(rows) for c in range(cols)]
    layers = np.zeros((len(LAYERS), height_px, width_px), np.float32)
    for done, (tile, part) in enumerate(_all_tiles(name, frame, tiles, processes, coarser), 1):
        top, bottom, left, right = frame.span(*tile)
        layers[:, top:bottom, left:right] = part
        if progress is not None:
            progress(done, len(tiles))
    return SceneImage(name, compose(layers), find_places(SCENES[name](), frame))


def render_tile(
    name: str, width_px: int, height_px: int, passes: int, seed: int, tile_row: int, tile_col: int, coarser: float = 1.0
) -> F32:
    """Luminance of one tile of the picture, rendered alone: the tile and its neighbours are traced, smoothed and cropped.

    Equals the same part of render_scene within TILE_TOLERANCE_LOG10, because smoothing reaches less than a tile.
    """
    frame = _checked(width_px, height_px, passes, seed)
    rows, cols = frame.tiles()
    if not (0 <= tile_row < rows and 0 <= tile_col < cols):
        raise Refused(f"tile must lie within {rows} rows and {cols} columns of tiles, got {tile_row}, {tile_col}")
    assert REACH_PX <= TILE_PX
    near_r = range(max(0, tile_row - 1), min(rows, tile_row + 2))
    near_c = range(max(0, tile_col - 1), min(cols, tile_col + 2))
    world = build_world(name, seed, coarser)
    bands = [np.concatenate([trace_tile(world, frame, r, c) for c in near_c], axis=2) for r in near_r]
    luminance = compose(np.concatenate(bands, axis=1))
    top, bottom, left, right = frame.span(tile_row, tile_col)
    first_row, first_col = near_r[0] * TILE_PX, near_c[0] * TILE_PX
    return luminance[top - first_row : bottom - first_row, left - first_col : right - first_col]


def find_places(scene: Scene, frame: Frame) -> dict[str, tuple[float, float]]:
    """Named places as fractions (x, y) of the picture, by projecting their points through the camera."""
    wide, high = scene.camera.sheet_m()
    tall = (frame.height_px / frame.width_px) / (high / wide)
    out: dict[str, tuple[float, float]] = {}
    for place, point in scene.places.items():
        x, y, _ = scene.camera.project(np.array(point, np.float32)[:, None])
        out[place] = (float(x[0]), float((y[0] - 0.5) / tall + 0.5))
    return out


def _checked(width_px: int, height_px: int, passes: int, seed: int) -> Frame:
    for key, value, high in (("width_px", width_px, 8192), ("height_px", height_px, 8192), ("passes", passes, 64)):
        if not 1 <= value <= high:
            raise Refused(f"{key} must be between 1 and {high}, got {value}")
    return Frame(width_px, height_px, passes, seed)


def _batch(name: str, frame: Frame, tiles: list[tuple[int, int]], coarser: float) -> list[F32]:
    world = build_world(name, frame.seed, coarser)
    return [trace_tile(world, frame, r, c) for r, c in tiles]


def _all_tiles(
    name: str, frame: Frame, tiles: list[tuple[int, int]], processes: int, coarser: float
) -> Iterator[tuple[tuple[int, int], F32]]:
    if processes <= 1:
        world = build_world(name, frame.seed, coarser)
        for tile in tiles:
            yield tile, trace_tile(world, frame, *tile)
        return
    from concurrent.futures import ProcessPoolExecutor, as_completed
    from multiprocessing import get_context

    with _single_threaded_children(), ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        groups = [tiles[i : i + TILES_PER_TASK] for i in range(0, len(tiles), TILES_PER_TASK)]
        tasks = {pool.submit(_batch, name, frame, group, coarser): group for group in groups}
        for task in as_completed(tasks):
            yield from zip(tasks[task], task.result(), strict=True)


@contextmanager
def _single_threaded_children() -> Iterator[None]:
    """Child processes start with one thread of linear algebra each; the settings of this process are put back."""
    before = {key: os.environ.get(key) for key in _THREADS}
    os.environ.update(dict.fromkeys(_THREADS, "1"))
    try:
        yield
    finally:
        for key, value in before.items():
            if value is None:
                os.environ.pop(key, None)
            else:
                os.environ[key] = value
