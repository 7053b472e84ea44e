"""A stored scene may spread its codes between two ends or number steps that film cannot show."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from sim.negative.scene_file import decoded_luminance, read_scene_codes
from sim.refusals import OutsideError

STEPS = {"low_log10": -3.0, "step_log10": 0.004}


def stored(folder: Path, codes: np.ndarray, scale: Any) -> Path:
    (folder / "scenes").mkdir()
    Image.fromarray(codes.astype(np.uint16)).save(folder / "scenes" / "ramp.png")
    (folder / "manifest.json").write_text(json.dumps({"files": {"scenes/ramp.png": {"scale": scale}}}))
    return folder


def test_numbered_steps_are_read_as_luminance(tmp_path: Path) -> None:
    codes = np.arange(0, 2000, dtype=np.uint16).reshape(40, 50)
    luminance = decoded_luminance(*read_scene_codes("ramp", stored(tmp_path, codes, STEPS)))
    assert luminance == pytest.approx(10.0 ** (-3.0 + 0.004 * codes.astype(float)), rel=1e-5)


def test_the_two_scales_agree_within_a_step(tmp_path: Path) -> None:
    log = np.linspace(-2.9, 4.9, 2000).reshape(40, 50)
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    by_step = stored(tmp_path / "a", np.round((log + 3.0) / 0.004), STEPS)
    between = stored(tmp_path / "b", np.round((log + 3.0) / 8.0 * 65535.0), {"low_log10": -3.0, "high_log10": 5.0})
    one, other = (decoded_luminance(*read_scene_codes("ramp", folder)) for folder in (by_step, between))
    assert np.abs(np.log10(one / other)).max() < 0.0022


@pytest.mark.parametrize(
    "scale",
    [
        {"low_log10": -3.0}, {"step_log10": 0.004}, {"low_log10": -3.0, "step_log10": 0.0}, [],
        {"low_log10": -3.0, "step_log10": 0.5}, {**STEPS, "high_log10": 5.0}, {"low_log10": True, "step_log10": 0.004},
        {"low_log10": 5.0, "high_log10": -3.0},
    ],
)  # fmt: skip
def test_a_scale_that_says_neither_or_both_is_refused(tmp_path: Path, scale: Any) -> None:
    with pytest.raises(OutsideError, match=r"step_log10 from 0\.0001 to 0\.01"):
        read_scene_codes("ramp", stored(tmp_path, np.zeros((40, 50)), scale))


def test_steps_brighter_than_any_scene_are_refused(tmp_path: Path) -> None:
    with pytest.raises(OutsideError, match="must end below 12"):
        read_scene_codes("ramp", stored(tmp_path, np.full((40, 50), 9000), STEPS))
