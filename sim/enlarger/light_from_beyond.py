"""Light that a lens throws into a piece of a sheet from further away than was projected around it.

Edges of a lens's opening scatter a little light without end: behind a faultless lens the share beyond a radius falls only
as one over it. In a dense patch that clear film surrounds it is what counts. It is reckoned from a picture of the whole
sheet so coarse that it costs next to nothing, blurred by the same lens.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sim.enlarger.easel import SheetGrid, along, film_coordinates
from sim.enlarger.film_light import FilmLight
from sim.enlarger.fine_detail import FineDetail
from sim.enlarger.lens_image import image_shift_mm, pupil_of_sheet
from sim.enlarger.settings import Bench
from sim.enlarger.sharpness import blurred
from sim.quantities import Float32Array

CELL_MM = 2.0  # at most: a third of the least that is projected around a piece
SEEN_OF_CELL = 2  # points of the film down and across for each cell: the light of many cells is added up
MOST_CELL_PX = 16  # on whose steps what is projected around a piece begins and ends


def light_from_beyond(
    film: FilmLight, bench: Bench, piece: SheetGrid, f_number_mark: float, exposure_time_s: float, fine: FineDetail
) -> Float32Array:
    """Return the light to be added to a piece's picture after the lens [row, col].

    What comes from the rest of the sheet, less what the piece's own mirror image beyond its edges stood for. Smooth where the
    piece's middle is. Focus is taken as in the middle of the piece: so far off a blurred point looks like a sharp one.
    """
    assert piece.whole is not None
    px = cell_px(piece.px_per_mm)
    sheet, here = coarse(piece.whole, px), coarse(piece, px)
    shift = image_shift_mm(film_coordinates(here, bench), bench, exposure_time_s, film.negative.frame_mm)
    pupil, lifted_mm = pupil_of_sheet(bench, piece, f_number_mark, fine), 0.5 * float(shift.min() + shift.max())

    def whole() -> tuple[Float32Array, Float32Array]:
        light = film.thinned(max(px // SEEN_OF_CELL, 1)).sampled(film_coordinates(sheet, bench), 0.0)
        return light, blurred(light, sheet.px_per_mm, pupil, lifted_mm)

    light, everywhere = film.coarse_sheets.keep((bench.settings, sheet, pupil, lifted_mm), whole)
    rows, cols = (slice(first // px, first // px + n) for first, n in zip(piece.first_px, (here.rows, here.cols), strict=True))
    mirrored = blurred(np.ascontiguousarray(light[rows, cols]), sheet.px_per_mm, pupil, lifted_mm)
    beyond = everywhere[rows, cols] - mirrored
    for axis, count in enumerate((piece.rows, piece.cols)):
        beyond = along(beyond, (np.arange(count) + 0.5) / px - 0.5, axis, beyond.shape[axis], 0)
    return beyond


def cell_px(px_per_mm: float) -> int:
    """Return how many pixels of a sheet are one of the coarse picture: a power of two, so that pieces end where cells do."""
    return int(2 ** min(max(np.floor(np.log2(CELL_MM * px_per_mm)), 0), np.log2(MOST_CELL_PX)))


def coarse(grid: SheetGrid, px: int) -> SheetGrid:
    """Return a grid whose pixels are squares of so many pixels of another; the last may reach over its edge."""
    rows, cols = -(-grid.rows // px), -(-grid.cols // px)
    over = grid.piece(slice(0, rows * px), slice(0, cols * px))
    return replace(over, rows=rows, cols=cols, px_per_mm=grid.px_per_mm / px)
