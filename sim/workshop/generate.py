"""Makes everything in assets_generated from its recipes, and checks that what is stored is what the recipes say.

Checking does two different things: stored values against the manifest, exactly; and a fresh computation against the
stored values within a stated tolerance (random streams are promised only for one build of numpy on one machine).
"""

from __future__ import annotations

import fnmatch
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sim.negative.grain import GRAIN_LEVELS_PER_SD, GRAIN_MIDDLE
from sim.negative.scene_file import LOG10_HIGH, LOG10_LOW, encode_log_luminance
from sim.reading import FileRefused
from sim.workshop.manifest import decoded, digest_of_values, entry_for, read_manifest, write_manifest
from sim.workshop.recipes import Recipe, read_recipes
from sim.writing import write_bytes, write_png

Progress = Callable[[str, int, int], None]
Makers = Mapping[str, Callable[[Recipe], bytes]]  # pictures of other doors, which this one may not open itself

LOG_LUMINANCE_TOLERANCE = 0.02  # fresh against stored scene tile, log10, at the 99th percentile
TRACED_TOLERANCE_LOG = 0.035  # of a window traced again undenoised: eight paths a pixel leave up to 0.02
TILES_CHECKED = 3


@dataclass(frozen=True)
class Finding:
    """Something wrong with a generated file."""

    path: str
    what: str


def grain_values(recipe: Recipe) -> NDArray[np.uint8]:
    """Return the grain tile as 8-bit values: normal noise, PCG64."""
    size = recipe.size_px or 1024
    noise = np.random.Generator(np.random.PCG64(recipe.seed)).standard_normal((size, size))
    return np.clip(np.round(GRAIN_MIDDLE + GRAIN_LEVELS_PER_SD * noise), 0, 255).astype(np.uint8)


def _make_scene(recipe: Recipe, target: Path, processes: int, progress: Progress) -> None:
    from sim.workshop.scenes.render import render_scene

    subject, width, height, passes = recipe.subject or "", recipe.width_px or 1, recipe.height_px or 1, recipe.passes or 1
    image = render_scene(
        subject, width, height, passes, recipe.seed, processes,
        lambda done, total: progress(recipe.path, done, total),
    )  # fmt: skip
    write_png(target, encode_log_luminance(image.luminance_cd_m2), optimize=True)


def make_file(recipe: Recipe, folder: Path, processes: int, progress: Progress, others: Makers) -> None:
    """Make one file from its recipe."""
    target = folder / recipe.path
    if recipe.maker == "grain":
        write_png(target, grain_values(recipe), optimize=True)
    elif recipe.maker == "scene":
        _make_scene(recipe, target, processes, progress)
    elif recipe.maker == "photograph":
        from sim.workshop.photographs.catalogue import photograph

        write_png(target, photograph(recipe.subject or "", processes), optimize=True)
    elif recipe.maker in others:
        write_bytes(target, others[recipe.maker](recipe))
    else:
        from sim.workshop.figure_makers import make_figure

        write_bytes(target, make_figure(recipe))
    progress(recipe.path, 1, 1)


def generate(
    folder: Path, patterns: Sequence[str], processes: int, progress: Progress, others: Makers | None = None
) -> list[str]:
    """Make all files whose path fits one of the patterns (all when none is given); return their paths.

    Scenes and grain come first, since figures are printed from them; the manifest is written after every file, so that
    an interrupted run loses only the file it was at.
    """
    recipes = read_recipes(folder)
    order = {"grain": 0, "scene": 1, "photograph": 1}
    chosen = [r for r in recipes if not patterns or any(fnmatch.fnmatch(r.path, pattern) for pattern in patterns)]
    manifest = {name: entry for name, entry in read_manifest(folder).items() if name in {r.path for r in recipes}}
    for recipe in sorted(chosen, key=lambda r: order.get(r.maker, 2)):
        make_file(recipe, folder, processes, progress, others or {})
        manifest[recipe.path] = entry_for(folder / recipe.path, recipe)
        write_manifest(folder, manifest)
    return [recipe.path for recipe in chosen]


def check(folder: Path, whole: bool = False) -> list[Finding]:
    """Return what is wrong: strays, values that differ from the manifest, and fresh computations that disagree."""
    recipes = read_recipes(folder)
    findings = _strays(folder, recipes)
    manifest = read_manifest(folder)
    unreadable: set[str] = set()
    for recipe in recipes:
        path = folder / recipe.path
        if not path.exists():
            continue
        try:
            values, entry = decoded(path), manifest.get(recipe.path)
        except FileRefused as refused:
            findings.append(Finding(recipe.path, "; ".join(str(problem) for problem in refused.problems)))
            unreadable.add(recipe.path)
            continue
        if entry is None or entry.get("sha256") != digest_of_values(values):
            findings.append(Finding(recipe.path, "its values are not those of the manifest"))
        elif entry.get("recipe") != recipe.digest:
            findings.append(Finding(recipe.path, "its recipe has changed since it was made"))
        elif recipe.maker == "grain" and not np.array_equal(values, grain_values(recipe)):
            findings.append(Finding(recipe.path, "a fresh computation gives other values"))
    there = [recipe for recipe in recipes if (folder / recipe.path).exists() and recipe.path not in unreadable]
    scenes = [recipe for recipe in there if recipe.maker == "scene"]
    photographs = [recipe for recipe in there if recipe.maker == "photograph"]
    return findings + _check_tiles(folder, scenes, whole) + _check_windows(folder, photographs, whole)


def _check_windows(folder: Path, photographs: Sequence[Recipe], whole: bool) -> list[Finding]:
    """Trace small windows of photographs again and compare them; nothing where the path tracer is not installed."""
    from sim.workshop.photographs.traced_again import WINDOWS_CHECKED, tracer_is_there, window_off_by

    if not tracer_is_there():
        return []
    if not whole and len(photographs) > WINDOWS_CHECKED:
        generator = np.random.Generator(np.random.PCG64(0))
        photographs = [photographs[k] for k in generator.choice(len(photographs), WINDOWS_CHECKED, replace=False)]
    findings = []
    for recipe in photographs:
        off = window_off_by(recipe.subject or "", decoded(folder / recipe.path))
        if off > TRACED_TOLERANCE_LOG:
            findings.append(Finding(recipe.path, f"a window traced again differs by {off:.3f} log"))
    return findings


def _strays(folder: Path, recipes: Sequence[Recipe]) -> list[Finding]:
    known = {recipe.path for recipe in recipes}
    there = {str(path.relative_to(folder).as_posix()) for path in folder.rglob("*.png")}
    missing = [Finding(path, "has a recipe but no file") for path in sorted(known - there)]
    return missing + [Finding(path, "has a file but no recipe") for path in sorted(there - known)]


def _check_tiles(folder: Path, scenes: Sequence[Recipe], whole: bool) -> list[Finding]:
    """Render tiles of the scenes again and compare them in log luminance."""
    from sim.workshop.scenes.render import render_tile
    from sim.workshop.scenes.tracer import Frame

    tiles: list[tuple[Recipe, Frame, int, int]] = []
    for recipe in scenes:
        frame = Frame(recipe.width_px or 1, recipe.height_px or 1, recipe.passes or 1, recipe.seed)
        rows, cols = frame.tiles()
        tiles += [(recipe, frame, r, c) for r in range(rows) for c in range(cols)]
    if not whole and len(tiles) > TILES_CHECKED:
        generator = np.random.Generator(np.random.PCG64(0))
        tiles = [tiles[k] for k in generator.choice(len(tiles), TILES_CHECKED, replace=False)]
    findings = []
    for recipe, frame, row, col in tiles:
        fresh = render_tile(
            recipe.subject or "", frame.width_px, frame.height_px, frame.passes, frame.seed, row, col
        )
        top, bottom, left, right = frame.span(row, col)
        stored = decoded(folder / recipe.path)[top:bottom, left:right].astype(np.float64)
        stored_log = stored / 65535.0 * (LOG10_HIGH - LOG10_LOW) + LOG10_LOW
        fresh_log = np.log10(np.clip(fresh, 10.0**LOG10_LOW, 10.0**LOG10_HIGH))
        off = float(np.percentile(np.abs(stored_log - fresh_log), 99))
        if off > LOG_LUMINANCE_TOLERANCE:
            findings.append(Finding(recipe.path, f"tile {row},{col} rendered again differs by {off:.3f} log"))
    return findings
