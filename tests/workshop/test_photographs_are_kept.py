"""What is stored of the photographs: as large as sharpness needs, in steps film cannot show, and small enough to carry."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from night import NIGHT, drawn

from sim.reading import data_folder
from sim.workshop.generate import TRACED_TOLERANCE_LOG
from sim.workshop.manifest import decoded, read_manifest
from sim.workshop.photographs.catalogue import PLATES, described
from sim.workshop.photographs.stored import STEP_LOG10
from sim.workshop.recipes import Recipe, read_recipes

FOLDER = data_folder("assets_generated")
KEPT = [recipe for recipe in read_recipes(FOLDER) if recipe.maker == "photograph"]
LONGEST_FOLDER_BYTES = 90_000_000
ROLL_LONG_PX = 900
SLOW = ("clay-pit", "wheel-window", "walk-01", "walk-02", "walk-05")  # with land before the lens or the window


@pytest.mark.parametrize("recipe", KEPT, ids=lambda recipe: recipe.subject)
def test_a_photograph_is_as_large_as_its_plate_says_and_within_the_scale(recipe: Recipe) -> None:
    entry, plate = read_manifest(FOLDER)[recipe.path], PLATES[recipe.subject or ""]
    assert max(entry["shape"]) == plate.long_px >= (ROLL_LONG_PX if plate.place == "walk" else 2500)
    assert entry["scale"]["step_log10"] == STEP_LOG10
    decades = (entry["max"] - entry["min"]) * STEP_LOG10
    assert 0.5 < decades < 7.0, "a picture has a range, and no speck of light outshines it by millions"


# By day two of those that are laid out quickly: land and its grass take a minute, and gigabytes.
LAID_OUT = KEPT if NIGHT else drawn([one for one in KEPT if one.subject not in SLOW], 2, "photograph")


@pytest.mark.parametrize("recipe", LAID_OUT, ids=lambda recipe: recipe.subject)
def test_every_named_place_lies_in_the_picture(recipe: Recipe) -> None:
    try:
        scene = described(recipe.subject or "")
    except ModuleNotFoundError as missing:
        pytest.skip(f"{recipe.subject} is modelled with {missing.name}, which only the extra `scenes` brings")
    at = {name: scene.camera.in_frame(point) for name, point in scene.places.items()}
    assert len(at) >= 8 or PLATES[recipe.subject or ""].place == "walk"
    assert all(0.0 < x < 1.0 and 0.0 < y < 1.0 for x, y in at.values()), at


def test_the_folder_can_be_carried() -> None:
    assert sum(path.stat().st_size for path in Path(FOLDER).rglob("*") if path.is_file()) <= LONGEST_FOLDER_BYTES


def test_a_window_traced_again_agrees_and_another_light_does_not() -> None:
    pytest.importorskip("bpy")
    from sim.workshop.photographs.traced_again import window_off_by

    recipe = min(KEPT, key=lambda one: (FOLDER / one.path).stat().st_size)
    steps = decoded(FOLDER / recipe.path)
    assert window_off_by(recipe.subject or "", steps) <= TRACED_TOLERANCE_LOG
    a_fifth_brighter = np.uint16(round(np.log10(1.2) / STEP_LOG10))
    assert window_off_by(recipe.subject or "", steps + a_fifth_brighter) > TRACED_TOLERANCE_LOG
