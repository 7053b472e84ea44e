"""Where a row of steps in a scan is found and where it is refused: just inside, just outside, on pictures made for each bound.

Tones are on the scale that rows are looked for on, 0 black to 1 white (the cube root of light).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from sim.calibration.flatbed_strips import GreyScale, Patchwork, reader_of
from sim.calibration.found_steps import found_rows
from sim.refusals import Refused

HIGH, STEP_PX = 40, 24.0
SOFT = tuple(np.linspace(0.40, 0.95, 21))


def scan(
    tones: Sequence[float], lengths: Sequence[float] | None = None, behind: float = 0.15, high: int = HIGH,
    step_px: float = STEP_PX, rim: int = 0,
) -> np.ndarray:  # fmt: skip
    """Return a scan of one row on what lies behind it, its steps so long (in parts of one), paper's black round it or none."""
    ends = np.concatenate([[0.0], np.cumsum(lengths if lengths is not None else np.ones(len(tones)))]) * step_px
    tone = np.full((high + 80, int(ends[-1]) + 120), behind)
    if rim:
        tone[40 - rim : 40 + high + rim, 60 - rim : 60 + int(ends[-1]) + rim] = SOFT[0]
    x = np.arange(tone.shape[1]) + 0.5 - 60.0
    inside = (x >= 0.0) & (x < ends[-1])
    tone[40 : 40 + high, inside] = np.array(tones)[np.clip(np.searchsorted(ends, x[inside], "right") - 1, 0, len(tones) - 1)]
    return np.round(65535 * tone**3).astype(np.uint16)


def found(picture: np.ndarray, steps: int = 21) -> Patchwork:
    return found_rows(picture, ["strip 2"], [steps])[0]


def refused(picture: np.ndarray, said: str, steps: int = 21) -> None:
    with pytest.raises(Refused, match=said):
        found(picture, steps)


def test_a_row_must_hold_tones_a_third_of_the_scale_apart() -> None:
    found(scan(np.linspace(0.40, 0.63, 9), behind=0.22), 9)
    refused(scan(np.linspace(0.40, 0.52, 9), behind=0.22), "must number 1", 9)


def test_a_row_may_be_sixteen_pixels_wide_and_not_six() -> None:
    found(scan(SOFT, high=16))
    refused(scan(SOFT, high=6), "must number 1")


def test_the_white_end_must_stand_out_from_what_lies_behind() -> None:
    found(scan(SOFT, behind=0.72))
    refused(scan(SOFT, behind=0.86), "black paper behind")


def test_steps_a_hundredth_of_the_scale_apart_are_too_faint_and_two_hundredths_are_seen() -> None:
    found(scan(np.linspace(0.42, 0.90, 25)), 25)
    refused(scan(np.linspace(0.42, 0.90, 60), step_px=11.0), "strip 2 must", 60)


def test_five_edges_say_how_long_steps_are_and_four_do_not() -> None:
    def falling(edges: int) -> list[float]:
        return [0.40] * (21 - edges) + list(np.linspace(0.5, 0.95, edges))

    found(scan(falling(6)))
    refused(scan(falling(3)), "must show 5 edges")


def jittered(by: float, every: int = 1, of: int = 21) -> list[float]:
    """Return lengths of steps whose edges lie off by so much of a step to either side, one edge in so many."""
    edges = np.arange(of + 1.0)
    for k in range(2, of - 1, every):
        edges[k] += by if (k // every) % 2 else -by
    return list(np.diff(edges))


def test_edges_may_lie_a_twentieth_of_a_step_off_and_not_a_sixth() -> None:
    found(scan(SOFT, jittered(0.05)))
    refused(scan(SOFT, jittered(0.16, 2)), "must have steps of one length")


def test_an_edge_in_ten_may_belong_to_something_else_and_not_one_in_three() -> None:
    found(scan(SOFT, jittered(0.34, 9)))
    refused(scan(SOFT, jittered(0.34, 3)), "must have steps of one length")


def test_a_tenth_of_a_step_is_no_other_thing() -> None:
    found(scan(SOFT, jittered(0.10, 3)))


def test_the_white_end_may_be_a_sixth_of_a_step_off_and_not_a_third() -> None:
    found(scan(SOFT, [1.0] * 20 + [1.16]))
    refused(scan(SOFT, [1.0] * 20 + [1.36]), "must have steps of one length")  # no edge lies on the comb of that end


def test_a_step_may_be_seven_pixels_long_and_not_four() -> None:
    found(scan(SOFT, step_px=8.0))
    refused(scan(np.linspace(0.1, 0.95, 21), step_px=4.0), "strip 2 must")


def test_the_box_leaves_out_rim_and_shadow_and_keeps_a_row_that_is_lit_unevenly() -> None:
    """Black paper round the row, along its upper edge a shadow a sixteenth of the scale deep; light uneven by a thirtieth."""
    tone = np.cbrt(scan(SOFT, rim=14) / 65535)
    tone[40:80] += np.linspace(-0.016, 0.016, 40)[:, None]
    tone[40:48, 60:-60] -= 0.06
    picture = np.round(65535 * np.clip(tone, 0.0, 1.0) ** 3).astype(np.uint16)
    upper, lower = (np.array(found(picture).corners)[[0, 3], 1] * (picture.shape[0] - 1.0)).tolist()
    assert sorted((upper, lower)) == pytest.approx([48.0, 79.0], abs=2.5)


def test_a_patch_may_vary_by_an_eighth_of_its_value_and_not_by_a_third() -> None:
    """Half a patch lighter than the other half: a box across two steps, or a stain."""
    def read(by: float) -> None:
        picture = np.zeros((40, 400), np.uint16)
        for k, value in enumerate((50000, 30000, 15000, 5000)):
            picture[:, 100 * k : 100 * (k + 1)] = value
        picture[:20, :100] = round(50000 * (1.0 - by))
        reader_of(picture, GreyScale(Patchwork.boxed(0.0, 0.0, 1.0, 1.0, 4), (0.1, 0.4, 0.8, 1.3)))

    read(0.15)
    with pytest.raises(Refused, match="the box lies across steps"):
        read(0.32)
