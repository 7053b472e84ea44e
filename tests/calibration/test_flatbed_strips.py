"""Strips read on a flatbed beside a grey scale: whatever the scanner makes of light, the scale says what it is in density."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from sim.calibration.flatbed_strips import GreyScale, Patchwork, reader_of, readings_of_scan
from sim.refusals import Refused

WEDGE = tuple(0.05 + 0.15 * k for k in range(21))
SCALE = tuple(0.05 + 0.1 * k for k in range(23))
ROWS, COLS = 420, 640
GREY = Patchwork.boxed(0.05, 0.05, 0.95, 0.15, len(SCALE))
STRIP = Patchwork.boxed(0.05, 0.30, 0.95, 0.45, len(WEDGE))
WHITE = Patchwork.boxed(0.05, 0.60, 0.95, 0.70, 5)
Curve = Callable[[np.ndarray], np.ndarray]


def _strip_density() -> np.ndarray:
    return 0.06 + 2.1 / (1.0 + np.exp((np.array(WEDGE) - 1.2) / 0.22))


def _gamma(light: np.ndarray) -> np.ndarray:
    return np.asarray(0.02 + 0.9 * light**0.45)


def _scan(seen: Curve = _gamma, white: np.ndarray | None = None, backwards: bool = False) -> np.ndarray:
    """Return a 16-bit scan of scale, strip and unexposed paper, as a scanner with its own tone curve sees them."""
    density = np.full((ROWS, COLS), 0.06)
    across = np.arange(COLS) / COLS
    inside = (across >= 0.05) & (across < 0.95)
    share = (across - 0.05) / 0.9
    strip = _strip_density()[::-1] if backwards else _strip_density()
    for (top, bottom), steps in (((0.05, 0.15), np.array(SCALE)), ((0.30, 0.45), strip)):
        step = np.clip((share * len(steps)).astype(int), 0, len(steps) - 1)
        density[round(top * ROWS) : round(bottom * ROWS), inside] = steps[step[inside]]
    if white is not None:
        density[round(0.55 * ROWS) : round(0.75 * ROWS)] = np.interp(across, np.linspace(0, 1, len(white)), white)
    noise = 30.0 * np.random.Generator(np.random.PCG64(2)).standard_normal((ROWS, COLS))
    return np.clip(np.round(65535 * seen(10.0**-density) + noise), 0, 65535).astype(np.uint16)


def _read(picture: np.ndarray, white: Patchwork | None = WHITE) -> np.ndarray:
    found = readings_of_scan(picture, GreyScale(GREY, SCALE), white, {"2": (STRIP, 1.0)}, WEDGE, True)
    return np.array([one.density for one in found.strips[0].readings])


def test_a_scanner_with_any_tone_curve_reads_the_strip_within_a_hundredth() -> None:
    for seen in (_gamma, lambda light: 0.95 * light, lambda light: 0.05 + 0.8 * light**0.3):
        assert np.abs(_read(_scan(seen)) - _strip_density()).max() < 0.012


def test_either_way_round_is_understood() -> None:
    assert np.abs(_read(_scan(backwards=True)) - _strip_density()).max() < 0.012


def test_a_leaning_strip_is_read_by_its_four_corners() -> None:
    leaning = Patchwork(((0.05, 0.31), (0.95, 0.30), (0.95, 0.44), (0.05, 0.45)), len(WEDGE))
    found = readings_of_scan(_scan(), GreyScale(GREY, SCALE), None, {"2": (leaning, 1.0)}, WEDGE, True)
    assert np.abs(np.array([one.density for one in found.strips[0].readings]) - _strip_density()).max() < 0.012


def test_a_scan_that_has_run_full_is_refused_with_its_step() -> None:
    with pytest.raises(Refused, match="grey scale, step 1 must lie within the scanner's values"):
        _read(_scan(lambda light: 1.4 * light))


def test_a_sheet_that_did_not_lie_flat_is_refused() -> None:
    with pytest.raises(Refused, match="did not lie flat"):
        _read(_scan(white=np.array([0.06, 0.06, 0.14])))


def test_a_box_across_steps_is_refused() -> None:
    beside = Patchwork.boxed(0.05, 0.0, 0.95, 0.30, len(SCALE))
    with pytest.raises(Refused, match="grey scale"):
        reader_of(_scan(), GreyScale(beside, SCALE))


def test_a_strip_with_another_count_of_steps_is_refused() -> None:
    short = Patchwork.boxed(0.05, 0.30, 0.95, 0.45, 20)
    with pytest.raises(Refused, match="as many steps as the wedge, 21, got 20"):
        readings_of_scan(_scan(), GreyScale(GREY, SCALE), None, {"2": (short, 1.0)}, WEDGE, True)


def _with_dark_edges(share: float) -> np.ndarray:
    """Return the scan with every step of the strip darkened at both ends by a share of its length, as by a soft edge."""
    picture = _scan()
    col = np.arange(COLS) / COLS
    within = ((col - 0.05) / 0.9 * len(WEDGE)) % 1.0
    edge = (col >= 0.05) & (col < 0.95) & ((within < share) | (within > 1.0 - share))
    picture[round(0.30 * ROWS) : round(0.45 * ROWS), edge] //= 2
    return picture


def test_the_ends_of_a_step_may_be_soft_and_its_middle_counts() -> None:
    assert np.abs(_read(_with_dark_edges(0.12)) - _strip_density()).max() < 0.012


@pytest.mark.parametrize(("share", "even"), [(0.20, True), (0.32, False)])
def test_a_patch_that_varies_by_more_than_a_quarter_is_no_patch(share: float, even: bool) -> None:
    """Down the middle of the scale's fifth step the light changes by a share of its mean, as where steps meet."""
    picture = _scan(lambda light: 0.02 + 0.9 * light).astype(float)
    top, bottom, wide = round(0.05 * ROWS), round(0.15 * ROWS), 0.9 / len(SCALE)
    step = np.s_[top:bottom, round((0.05 + 4 * wide) * COLS) : round((0.05 + 5 * wide) * COLS)]
    picture[step] *= 1.0 + share / 0.54 * np.linspace(-0.5, 0.5, bottom - top)[:, None]  # 0.54 of it lies in what is read
    if even:
        reader_of(picture.astype(np.uint16), GreyScale(GREY, SCALE))
        return
    with pytest.raises(Refused, match="grey scale, step 5 must be even"):
        reader_of(picture.astype(np.uint16), GreyScale(GREY, SCALE))


def _dark_step(low: float, high: float, share: float) -> np.ndarray:
    """Return a scan whose last step, beside three even ones, has so large a share of its pixels at the lower value."""
    picture = np.zeros((100, 400), np.uint16)
    for k, value in enumerate((0.8, 0.4, 0.2)):
        picture[:, 100 * k : 100 * (k + 1)] = round(65535 * value)
    rows = np.random.Generator(np.random.PCG64(2)).uniform(size=(100, 100)) < share
    picture[:, 300:] = np.where(rows, round(65535 * low), round(65535 * high)).astype(np.uint16)
    return picture


@pytest.mark.parametrize(
    ("low", "high", "share", "even"),
    [(0.005, 0.0128, 0.5, True), (0.005, 0.0155, 0.5, False), (0.03, 0.1, 0.038, True), (0.03, 0.1, 0.065, False)],
)
def test_a_dark_step_may_be_noisy_and_have_a_speck_and_no_more(low: float, high: float, share: float, even: bool) -> None:
    """Noise of 0.8 hundredths of the scanner's values in the blacks, of which a quarter of their mean would be less; a speck
    over 4 % of a step, not over 6."""
    scale = GreyScale(Patchwork.boxed(0.0, 0.0, 1.0, 1.0, 4), (0.1, 0.4, 0.8, 1.3))
    if even:
        reader_of(_dark_step(low, high, share), scale)
        return
    with pytest.raises(Refused, match="grey scale, step 4 must be even"):
        reader_of(_dark_step(low, high, share), scale)


def test_a_grey_scale_has_four_to_sixty_four_steps() -> None:
    for steps in (4, 64):
        GreyScale(Patchwork.boxed(0.0, 0.0, 1.0, 1.0, steps), tuple(0.05 * k for k in range(steps)))
    with pytest.raises(Refused, match="4 to 64 steps"):
        GreyScale(Patchwork.boxed(0.0, 0.0, 1.0, 1.0, 3), (0.0, 0.1, 0.2))
    with pytest.raises(Refused, match="64"):
        Patchwork.boxed(0.0, 0.0, 1.0, 1.0, 65)
