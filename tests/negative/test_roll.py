"""A roll's strips side by side: each frame as its own sleeve was taken, all on one film, and nothing between them."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from sim.negative.camera import Camera
from sim.negative.develop import develop, find_negative
from sim.negative.negative import Negative
from sim.negative.roll import PX_PER_MM, Roll, as_fine_as_a_contact, side_by_side, upright_as
from sim.negative.sleeve import SLEEVE_FOLDER, find_sleeve, read_sleeve
from sim.reading import OutsideError

NAME = "roll-of-a-week"
ROLL = Roll(("a", "b", "c"), 2, (20.0, 30.0), 2.0, 34.0)


def test_frames_lie_in_rows_with_a_gap_between_and_a_margin_on_the_strip() -> None:
    assert ROLL.strips == 2
    assert ROLL.size_mm == (46.0, 68.0)
    assert [ROLL.corner_mm(k) for k in range(3)] == [(2.0, 2.0), (24.0, 2.0), (2.0, 36.0)]


def test_between_the_frames_the_film_is_clear() -> None:
    frames = [np.full((round(30 * PX_PER_MM), round(20 * PX_PER_MM)), 0.5 + k, np.float32) for k in range(3)]
    silver = side_by_side(ROLL, frames)
    assert silver.shape == (round(68 * PX_PER_MM), round(46 * PX_PER_MM))
    at = lambda x_mm, y_mm: float(silver[round(y_mm * PX_PER_MM), round(x_mm * PX_PER_MM)])  # noqa: E731
    assert [at(12.0, 17.0), at(34.0, 17.0), at(12.0, 51.0)] == [0.5, 1.5, 2.5]
    assert [at(23.0, 17.0), at(1.0, 17.0), at(12.0, 34.0), at(34.0, 51.0)] == [0.0, 0.0, 0.0, 0.0]


def test_a_picture_that_lies_is_turned_to_stand_and_its_mean_light_stays() -> None:
    lying = np.arange(24, dtype=np.float32).reshape(4, 6)
    assert upright_as((20.0, 30.0), lying).shape == (6, 4)
    assert upright_as((30.0, 20.0), lying) is lying
    fine = np.random.default_rng(1).uniform(1.0, 2.0, (480, 320)).astype(np.float32)
    small = as_fine_as_a_contact(fine, (20.0, 30.0))
    assert small.shape == (240, 160)
    assert float(small.mean()) == pytest.approx(float(fine.mean()), rel=1e-4)


def _frame(negative: Negative, roll: Roll, index: int) -> np.ndarray:
    left, top = (round(at * PX_PER_MM) for at in roll.corner_mm(index))
    wide, high = (round(side * PX_PER_MM) for side in roll.frame_mm)
    return negative.silver_density[top : top + high, left : left + wide]


def test_a_frame_is_what_its_own_sleeve_gives_on_the_rolls_film() -> None:
    sleeve = find_sleeve(NAME)
    roll = Roll(("sitting-1", "racks-thin"), 2, (24.0, 30.0), 2.0, 35.0)
    negative = develop(replace(sleeve, roll=roll, frame_mm=roll.size_mm))
    for index, name in enumerate(roll.frames):
        alone = develop(replace(find_sleeve(name), film=sleeve.film, development=sleeve.development, frame_mm=roll.frame_mm))
        frame = _frame(negative, roll, index)
        assert float(np.median(frame)) == pytest.approx(float(np.median(alone.silver_density)), abs=0.01)


def test_a_frame_of_the_rolls_own_is_its_scene_as_it_was_metered() -> None:
    sleeve, negative = find_sleeve(NAME), find_negative(NAME)
    assert sleeve.roll is not None
    for index in (0, 6):
        how = sleeve.roll.taken[index]
        camera = Camera(how.metered_cd_m2, error_stops=how.error_stops)
        scene = sleeve.roll.frames[index]
        alone = develop(replace(sleeve, roll=None, scene=scene, camera=camera, frame_mm=sleeve.roll.frame_mm, places=()))
        frame = _frame(negative, sleeve.roll, index)
        assert float(np.median(frame)) == pytest.approx(float(np.median(alone.silver_density)), abs=0.01)
    clear = negative.place("clear-film")
    rows, cols = negative.silver_density.shape
    assert negative.silver_density[int(clear.y * rows), int(clear.x * cols)] == 0.0


def test_a_variant_of_a_roll_is_another_roll() -> None:
    one, other = find_negative(NAME), find_negative(f"{NAME}~second")
    assert one.silver_density.shape == other.silver_density.shape
    assert one.digest != other.digest
    assert float(np.abs(one.silver_density - other.silver_density).mean()) > 0.05


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("frame_mm = [154.0, 105.0]", "frame_mm = [150.0, 105.0]", "154 x 105, got 150 x 105"),
        ("format = 1", 'format = 1\nscene = "glaze-shelf"', "exactly one of scene, scan and roll .* got scene, roll"),
        ("across = 4", "across = 0", "roll.across"),
        ("    { metered_cd_m2 = 20.0 }, ", "    ", "roll.*must stand once for each of 12 frames, got 11"),
    ],
)
def test_a_roll_that_cannot_be_is_refused(old: str, new: str, words: str, tmp_path: Path) -> None:
    text = (SLEEVE_FOLDER / f"{NAME}.toml").read_text(encoding="utf-8")
    assert old in text
    file = tmp_path / f"{NAME}.toml"
    file.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(OutsideError, match=words):
        read_sleeve(file)
