"""Signs: what plus means on every control, one English sentence each, then the test that holds it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.easel import film_coordinates, sheet_grid
from sim.enlarger.lens_image import image_shift_mm
from sim.enlarger.settings import set_up
from sim.paper.response import Response
from sim.printing.card_work import burnt_in, held_back
from sim.scoring.target_tones import ToneTarget
from sim.viewing.lightness import lightness

from .test_orientation import CENTRE, HEIGHT_MM, SHOT, STOCK, WIDTH_MM, even, printed, quarters, record


def focus_error_mm(**enlarger: object) -> np.ndarray:
    """Return the focus error along the middle row of the sheet."""
    film, decisions = even(), record(**enlarger)
    bench = set_up(decisions.enlarger, film)
    grid = sheet_grid(film, bench, WIDTH_MM, HEIGHT_MM, 0.0, (0.0, 0.0), 1.0)
    error = image_shift_mm(film_coordinates(grid, bench), bench, 10.0, film.frame_mm)
    return np.broadcast_to(error, (grid.rows, grid.cols))[grid.rows // 2]


def scale_of(**enlarger: object) -> tuple[float, float]:
    """Return how large the image stands at the left and at the right edge of the sheet (mm of paper a mm of film)."""
    film, decisions = even(), record(**enlarger)
    bench = set_up(decisions.enlarger, film)
    grid = sheet_grid(film, bench, WIDTH_MM, HEIGHT_MM, 0.0, (0.0, 0.0), 1.0)
    at = film_coordinates(grid, bench)
    across = np.broadcast_to(at.y, (grid.rows, grid.cols))
    heights = np.ptp(across, axis=0)
    return float((HEIGHT_MM - 1.0) / heights[0]), float((HEIGHT_MM - 1.0) / heights[-1])


# A positive focus offset is a negative further from the lens: its sharp image lies above the paper (positive error).
def test_positive_focus_offset_lifts_the_image_above_the_paper() -> None:
    magnification = set_up(record().enlarger, even()).magnification
    assert focus_error_mm(focus_offset_mm=0.2) == pytest.approx(0.2 * magnification**2)
    assert focus_error_mm(focus_offset_mm=-0.2) == pytest.approx(-0.2 * magnification**2)


# A positive easel tilt raises the easel's right side: the image there is smaller, brighter, and lies below the paper.
def test_positive_easel_tilt_raises_the_right_side() -> None:
    left, right = scale_of(easel_tilt_deg=6.0)
    assert right < left
    error = focus_error_mm(easel_tilt_deg=6.0)
    assert error[-1] < 0.0 < error[0]
    density = quarters(printed(even(), record(easel_tilt_deg=10.0)))
    assert density["right"] > density["left"]


# A positive negative tilt brings the negative's right side (as the print reads) nearer to the lens: larger there.
def test_positive_negative_tilt_brings_the_right_side_nearer_to_the_lens() -> None:
    left, right = scale_of(negative_tilt_deg=3.0)
    assert right > left
    error = focus_error_mm(negative_tilt_deg=3.0)
    assert error[-1] < 0.0 < error[0]


# A negative moved away from the lens is sharp where the easel is raised towards its image.
def test_a_raised_side_meets_the_image_of_a_negative_further_away() -> None:
    error = np.abs(focus_error_mm(focus_offset_mm=0.4, easel_tilt_deg=3.0))
    assert error[-1] < error[len(error) // 2] < error[0]


# Negative and easel tilted so that their planes and the lens's meet in one line are sharp everywhere.
def test_tilts_that_meet_in_one_line_are_sharp_everywhere() -> None:
    magnification = set_up(record().enlarger, even()).magnification
    stage_deg = 1.0
    easel_deg = -float(np.degrees(np.arctan(magnification * np.tan(np.radians(stage_deg)))))
    alone = np.abs(focus_error_mm(negative_tilt_deg=stage_deg)).max()
    together = np.abs(focus_error_mm(negative_tilt_deg=stage_deg, easel_tilt_deg=easel_deg)).max()
    assert together < 0.05 * alone


# A cold negative in a glassless carrier focused warm has yet to rise: in its middle it is nearer to the lens (negative).
def test_a_cold_negative_focused_warm_is_too_near_in_the_middle() -> None:
    error = focus_error_mm(carrier="glassless", focused="warm")
    assert error[len(error) // 2] < 0.0
    assert error[len(error) // 2] < error[0]
    assert focus_error_mm(carrier="glassless", focused="cold")[75] > 0.0


# Holding back makes a place lighter, burning in makes it darker.
def test_holding_back_lightens_and_burning_in_darkens() -> None:
    base = record(replace(SHOT, time_s=12.0, light_s=None))
    plain = quarters(printed(even(), base))["left"]
    lighter = quarters(printed(even(), held_back(base, 0, 37.5, 60.0, 40.0, 0.7)))["left"]
    darker = quarters(printed(even(), burnt_in(base, 0, 37.5, 60.0, 40.0, 0.7)))["left"]
    assert lighter < plain < darker


# A miss is measured minus wanted: plus is too dark.
def test_a_miss_is_plus_when_too_dark() -> None:
    target = ToneTarget(CENTRE, 0.5, 0.05)
    assert target.miss(0.7) == pytest.approx(0.2)
    assert target.miss(0.3) == pytest.approx(-0.2)
    assert replace(target, kind="at-least").miss(0.7) == 0.0
    assert replace(target, kind="at-most").miss(0.3) == 0.0


# Lightness falls as density rises: 100 for a perfect diffuser, near 0 for black.
def test_lightness_falls_as_density_rises() -> None:
    assert float(lightness(0.0)) == pytest.approx(100.0)
    assert float(lightness(2.5)) < 5.0


# Densities are at least that of the base, and none of them is negative.
def test_a_clean_sheet_reads_its_base() -> None:
    response = Response(STOCK, record().development)
    unlit = printed(even(), record(replace(SHOT, light_s=0.0))).density
    assert unlit == pytest.approx(response.base_plus_fog, abs=1e-6)
    assert unlit.min() > 0.0


# Log shift of an early development is negative: the light tones lag.
def test_pulled_development_shifts_log_exposure_down() -> None:
    pulled = replace(record().development, time_s=20.0)
    assert Response(STOCK, pulled).log_shift < 0.0
    assert Response(STOCK, record().development).log_shift == pytest.approx(0.0, abs=1e-12)
