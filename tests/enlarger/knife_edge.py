"""A knife edge in the negative plane, as the lens puts it on the paper, and the contrast measured from it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sim.enlarger.easel import sheet_grid
from sim.enlarger.filters import FilterSetting
from sim.enlarger.fine_detail import FineDetail
from sim.enlarger.geometry import height_for_magnification_mm
from sim.enlarger.lens_image import through_lens
from sim.enlarger.settings import Bench, EnlargerSettings, set_up
from sim.negative.negative import Negative

PX_PER_MM = 40.0
SIDE_MM = 12.0
FOCAL_MM = {"50-mm": 50.0, "80-mm": 80.0, "105-mm": 105.0, "150-mm": 150.0}
HEADS = {"50-mm": "diffusion-small", "80-mm": "diffusion-small", "105-mm": "diffusion-sheet", "150-mm": "diffusion-sheet"}
FILM = Negative("edge", np.zeros((24, 30), dtype=np.float32), 0.1, (30.0, 24.0))


def bench_of(lens: str, magnification: float, **settings: object) -> Bench:
    """Return a bench with a small even negative in glass."""
    height_mm = height_for_magnification_mm(FOCAL_MM[lens], magnification)
    return set_up(replace(EnlargerSettings(HEADS[lens], lens, height_mm), **settings), FILM)  # type: ignore[arg-type]


def edge_contrast(
    bench: Bench, f_number: float, frequency_lp_mm: float, filter_name: str | None = None, right_mm: float = 0.0,
    down_mm: float = 0.0,
) -> float:  # fmt: skip
    """Return the contrast of detail from left to right at a point of the easel, mm from the axis."""
    grid = sheet_grid(FILM, bench, SIDE_MM, SIDE_MM, 0.0, (-right_mm, -down_mm), PX_PER_MM)
    edge = np.zeros((grid.rows, grid.cols), dtype=np.float32)
    edge[:, grid.cols // 2 :] = 1.0
    seen = through_lens(edge, FILM, bench, grid, f_number, 10.0, FineDetail(FilterSetting(filter_name)))
    return line_contrast(seen[grid.rows // 3 : 2 * grid.rows // 3].mean(axis=0), frequency_lp_mm)


def line_contrast(across_edge: np.ndarray, frequency_lp_mm: float) -> float:
    """Return the contrast at a frequency from light across an edge: edge to line, then its Fourier transform."""
    quarter = len(across_edge) // 4
    line = np.diff(across_edge.astype(float))[quarter:-quarter]  # far ends hold only the mirror image of the edge
    wave = np.exp(-2j * np.pi * frequency_lp_mm * np.arange(len(line)) / PX_PER_MM)
    return float(abs((line * wave).sum()) / line.sum())
