"""Makes everything in assets_generated from its recipes, and checks that what is stored is what the recipes say.

Checking does two different things: stored values against the manifest, exactly; and a fresh computation against the
stored values within a stated tolerance (random streams are promised only for one build of numpy on one machine).
"""

from __future__ import annotations

import fnmatch
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from sim.negative.grain import GRAIN_LEVELS_PER_SD, GRAIN_MIDDLE
from sim.reading import FileRefused
from sim.workshop.demo_figures import demo_prints_png, demo_strip_png
from sim.workshop.manifest import decoded, digest_of_values, entry_for, read_manifest, write_manifest
from sim.workshop.paper_plot import stock_plot_png
from sim.workshop.recipes import Recipe, read_recipes
from sim.workshop.ring_figure import ring_png
from sim.workshop.sleeve_sheet import sleeve_sheet_png
from sim.writing import write_bytes, write_png

Item = TypeVar("Item")
Progress = Callable[[str, int, int], None]
Makers = Mapping[str, Callable[[Recipe], bytes]]  # pictures of other doors, which this one may not open itself

TRACED_TOLERANCE_LOG = 0.035  # of a window traced again undenoised; the kiln mouth's dark joints differ by 0.027


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


def make_file(recipe: Recipe, folder: Path, processes: int, progress: Progress, others: Makers) -> None:
    """Make one file from its recipe."""
    target = folder / recipe.path
    if recipe.maker == "grain":
        write_png(target, grain_values(recipe), optimize=True)
    elif recipe.maker == "photograph":
        from sim.workshop.photographs.catalogue import photograph

        write_png(target, photograph(recipe.subject or "", processes), optimize=True)
    elif recipe.maker in others:
        write_bytes(target, others[recipe.maker](recipe))
    else:
        write_bytes(target, _figure(recipe.maker, recipe.subject or ""))
    progress(recipe.path, 1, 1)


def _figure(maker: str, subject: str) -> bytes:
    """Return a figure for README, documents and lessons as PNG."""
    if maker == "paper-family":
        return stock_plot_png(subject)
    if maker == "sleeve-sheet":
        return sleeve_sheet_png(subject)
    if maker == "ring":
        return ring_png(subject)
    return demo_strip_png() if subject == "strip" else demo_prints_png()


def generate(
    folder: Path, patterns: Sequence[str], processes: int, progress: Progress, others: Makers | None = None
) -> list[str]:
    """Make all files whose path fits one of the patterns (all when none is given); return their paths.

    Photographs and grain come first, since figures are printed from them; the manifest is written after every file, so that
    an interrupted run loses only the file it was at.
    """
    recipes = read_recipes(folder)
    order = {"grain": 0, "photograph": 1}
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
    photographs = [recipe for recipe in there if recipe.maker == "photograph"]
    return findings + _check_windows(folder, photographs, whole)


def _check_windows(folder: Path, photographs: Sequence[Recipe], whole: bool) -> list[Finding]:
    """Trace small windows of photographs again and compare them; nothing where the path tracer is not installed."""
    from sim.workshop.photographs.catalogue import AWAITING
    from sim.workshop.photographs.traced_again import WINDOWS_CHECKED, tracer_is_there, window_off_by

    if not tracer_is_there():
        return []
    photographs = [recipe for recipe in photographs if recipe.subject not in AWAITING]
    findings = []
    for recipe in photographs if whole else _some(photographs, WINDOWS_CHECKED):
        off = window_off_by(recipe.subject or "", decoded(folder / recipe.path))
        if off > TRACED_TOLERANCE_LOG:
            findings.append(Finding(recipe.path, f"a window traced again differs by {off:.3f} log"))
    return findings


def _some(items: Sequence[Item], most: int) -> list[Item]:
    """Return at most so many, always the same ones."""
    chosen = np.random.Generator(np.random.PCG64(0)).choice(len(items), min(most, len(items)), replace=False)
    return [items[k] for k in chosen] if len(items) > most else [*items]


def _strays(folder: Path, recipes: Sequence[Recipe]) -> list[Finding]:
    known = {recipe.path for recipe in recipes}
    there = {str(path.relative_to(folder).as_posix()) for path in folder.rglob("*.png")}
    missing = [Finding(path, "has a recipe but no file") for path in sorted(known - there)]
    return missing + [Finding(path, "has a file but no recipe") for path in sorted(there - known)]
