"""What "sharp at this place" is marked by, against an edge in the loupe's own crop: every lens, three marks, two places."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import height_for_magnification_mm
from sim.enlarger.settings import EnlargerSettings, set_up
from sim.negative.negative import Negative
from sim.paper.development import Development
from sim.paper.stock import find_stock
from sim.printing.record import Exposure, PrintingRecord, Sheet
from sim.viewing.loupe import SHARPNESS_LP_MM, loupe, on_easel, sharpness_at

# lens: head, size of enlargement, from the axis (mm on the paper), marks: widest, best, smallest
LENSES = {
    "50-mm": ("diffusion-small", 8.0, 90.0, (2.8, 4.0, 16.0)),
    "80-mm": ("diffusion-small", 4.0, 90.0, (4.0, 5.6, 22.0)),
    "105-mm": ("diffusion-sheet", 3.6, 110.0, (5.6, 8.0, 32.0)),
    "150-mm": ("diffusion-sheet", 2.1, 110.0, (5.6, 8.0, 45.0)),
    "150-mm-hazed": ("diffusion-sheet", 2.1, 110.0, (5.6, 8.0, 45.0)),
}
CASES = [(lens, mark, place) for lens, (*_, marks) in LENSES.items() for mark in marks for place in ("middle", "off the axis")]
FILM_PX_A_PRINT_MM = 36.0
SIDE_MM, PX = 14.0, 560


def edge(across: bool, scale: float, at_mm: float) -> Negative:
    """Return film as long as the place lies from the axis, with a faint edge that runs there across or along the radius."""
    pitch = FILM_PX_A_PRINT_MM * scale
    rows, cols = 2 * round(9.0 * FILM_PX_A_PRINT_MM), 2 * round((at_mm + 9.0) * FILM_PX_A_PRINT_MM)
    film = np.full((rows, cols), 0.60, dtype=np.float32)
    if across:
        film[:, cols // 2 + round(at_mm * FILM_PX_A_PRINT_MM) :] = 0.62
    else:
        film[rows // 2 :] = 0.62
    return Negative("edge", film, 0.1, (cols / pitch, rows / pitch))


def record_of(lens: str, f_number: float, time_s: float = 10.0) -> PrintingRecord:
    """Return a print of 254 x 203 mm through a lens, focused, in glass."""
    head, scale, *_ = LENSES[lens]
    bench = set_up(EnlargerSettings(head, lens, 600.0), Negative("none", np.zeros((8, 8), np.float32), 0.1, (24.0, 24.0)))
    height_mm = height_for_magnification_mm(bench.lens.focal_mm, scale)
    exposure = Exposure(time_s, f_number, FilterSetting("2"), light_s=time_s)
    sheet, settings = Sheet("glossy-rc-vc", 254.0, 203.0, 0.0), EnlargerSettings(head, lens, height_mm)
    return PrintingRecord("edge", sheet, settings, (exposure,), Development(90.0))


def contrast_across(light: np.ndarray, px_per_mm: float) -> float:
    """Return the contrast at 5 lp/mm that an edge from left to right keeps, film's and crop's pixels counted out.

    A smooth curve through a step of the film's pixels is steeper than an edge, differences of the crop's are less steep.
    """
    line = np.diff(light.astype(float).mean(axis=0))
    middle = len(line) // 2
    line = line[middle - 220 : middle + 220]
    wave = np.exp(-2j * np.pi * SHARPNESS_LP_MM * np.arange(len(line)) / px_per_mm)
    kept = float(abs((line * wave).sum() / line.sum()))
    return kept * float(np.sinc(SHARPNESS_LP_MM / FILM_PX_A_PRINT_MM) / np.sinc(SHARPNESS_LP_MM / px_per_mm))


@pytest.mark.parametrize(("lens", "f_number", "place"), CASES)
def test_the_mark_of_sharpness_is_what_an_edge_under_the_loupe_shows(lens: str, f_number: float, place: str) -> None:
    _, scale, off_mm, _ = LENSES[lens]
    at_mm = off_mm if place == "off the axis" else 0.0
    record = record_of(lens, f_number)
    x_mm, y_mm = 127.0 + at_mm, 101.5
    seen = []
    for across in (True, False):
        crop = on_easel(edge(across, scale, at_mm), record, x_mm, y_mm, SIDE_MM, PX)
        crop = crop if across else crop.T
        seen.append(contrast_across(crop[PX // 3 : 2 * PX // 3], PX / SIDE_MM))
    told = sharpness_at(edge(True, scale, at_mm), record, x_mm, y_mm)
    assert np.mean(seen) == pytest.approx(told, rel=0.006)


@pytest.mark.parametrize("f_number", [2.8, 4.0, 16.0])
def test_on_the_print_the_papers_own_spread_is_all_that_comes_besides(f_number: float) -> None:
    stock, film = find_stock("glossy-rc-vc"), edge(True, 8.0, 0.0)
    light_s = 4.5 * (f_number / 4.0) ** 2
    record = record_of("50-mm", f_number, light_s)
    crop = loupe(film, record, stock, 127.0, 101.5, SIDE_MM, PX / SIDE_MM).density
    paper = 1.0 / (1.0 + (SHARPNESS_LP_MM / stock.half_contrast_lp_mm) ** 2)
    assert 0.4 < crop.mean() < 1.6
    seen = contrast_across(crop[PX // 3 : 2 * PX // 3], PX / SIDE_MM)
    assert seen == pytest.approx(paper * sharpness_at(film, record, 127.0, 101.5), rel=0.02)


def test_a_lens_out_of_focus_is_marked_as_it_looks() -> None:
    record = record_of("50-mm", 4.0)
    record = replace(record, enlarger=replace(record.enlarger, focus_offset_mm=0.05))
    crop = on_easel(edge(True, 8.0, 0.0), record, 127.0, 101.5, SIDE_MM, PX)
    told = sharpness_at(edge(True, 8.0, 0.0), record, 127.0, 101.5)
    assert told < 0.8
    assert contrast_across(crop[PX // 3 : 2 * PX // 3], PX / SIDE_MM) == pytest.approx(told, rel=0.02)
