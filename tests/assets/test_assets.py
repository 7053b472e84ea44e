"""What is generated is what its recipes say, is used somewhere, and keeps to its size."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from sim.negative.scene_file import read_scene_codes, scene_names
from sim.reading import data_folder
from sim.workshop.generate import check, grain_values
from sim.workshop.manifest import decoded, digest_of_values, read_manifest
from sim.workshop.recipes import read_recipes

FOLDER = data_folder("assets_generated")
ROOT = FOLDER.parent
RECIPES = read_recipes(FOLDER)


def test_every_file_has_a_recipe_and_every_recipe_a_file() -> None:
    paths = {recipe.path for recipe in RECIPES}
    there = {path.relative_to(FOLDER).as_posix() for path in FOLDER.rglob("*.png")}
    assert paths == there
    assert set(read_manifest(FOLDER)) == paths


@pytest.mark.parametrize("recipe", RECIPES, ids=lambda recipe: recipe.path)
def test_stored_values_are_those_of_the_manifest(recipe) -> None:
    entry = read_manifest(FOLDER)[recipe.path]
    values = decoded(FOLDER / recipe.path)
    assert digest_of_values(values) == entry["sha256"]
    assert list(values.shape) == entry["shape"]
    assert entry["recipe"] == recipe.digest, "the recipe has changed: run `tonewright generate`"


def test_a_changed_pixel_is_found(tmp_path: Path) -> None:
    import shutil

    from PIL import Image

    for name in ("recipes.toml", "manifest.json", "grain.png"):
        shutil.copy(FOLDER / name, tmp_path / name)
    text = (tmp_path / "recipes.toml").read_text()
    (tmp_path / "recipes.toml").write_text(text.split("[[file]]")[0] + "[[file]]" + text.split("[[file]]")[1])
    assert check(tmp_path) == []
    values = decoded(tmp_path / "grain.png").copy()
    values[5, 5] ^= 1
    Image.fromarray(values).save(tmp_path / "grain.png")
    assert [finding.path for finding in check(tmp_path)] == ["grain.png"]


def test_the_grain_tile_is_fresh_noise_of_its_seed() -> None:
    recipe = next(recipe for recipe in RECIPES if recipe.maker == "grain")
    assert np.array_equal(decoded(FOLDER / "grain.png"), grain_values(recipe))


def test_no_two_scenes_look_alike() -> None:
    """Sets of objects, not camera angles: no two normalised log-luminance maps correlate above 0.7.

    The frames of the walk are views of the places of others.
    """
    small = {}
    for name in (one for one in scene_names() if not one.startswith("walk-")):
        codes, _, _ = read_scene_codes(name)
        rows, cols = 60, 60
        r = np.linspace(0, codes.shape[0] - 1, rows * 4).astype(int)
        c = np.linspace(0, codes.shape[1] - 1, cols * 4).astype(int)
        block = codes[np.ix_(r, c)].astype(float).reshape(rows, 4, cols, 4).mean(axis=(1, 3))
        small[name] = ((block - block.mean()) / block.std()).ravel()
    names = sorted(small)
    for i, a in enumerate(names):
        for b in names[i + 1 :]:
            assert float(np.mean(small[a] * small[b])) < 0.7, f"{a} and {b} look alike"


def test_every_figure_is_used_in_some_text() -> None:
    texts = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "lessons").rglob("*.md")]
    words = "\n".join(path.read_text(encoding="utf-8") for path in texts)
    unused = [recipe.path for recipe in RECIPES if recipe.path.startswith("figures/") and recipe.path not in words]
    assert unused == []


def test_every_picture_named_in_the_readme_exists() -> None:
    import re

    briefs = sorted((ROOT / "lessons").glob("*/*.md"))
    for text in (ROOT / "README.md", ROOT / "DEVELOPERS.md", ROOT / "lessons" / "README.md", *briefs):
        shown = re.sub(r"`[^`]*`", "", text.read_text(encoding="utf-8"))  # what stands as code is an example
        for link in re.findall(r"\]\(([^)#]+)\)", shown):
            if not link.startswith("http"):
                assert (text.parent / link).exists(), f"{text.name} names {link}"


def test_the_manifest_is_plain_json_with_a_version() -> None:
    data = json.loads((FOLDER / "manifest.json").read_text(encoding="utf-8"))
    assert data["format"] == 1
