"""The pictures of drills: prints beside each other on a neutral grey, strips with their step numbers, all as screen values."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from sim.printing.make_print import Print
from sim.printing.strips import Step
from sim.viewing.lightness import lightness, screen_values
from sim.viewing.strip_numbers import FIGURE, FONT_FILE, PLATE, numbered

Board = NDArray[np.uint8]
SURROUND_DENSITY = 0.75  # a neutral grey of about 18 %: an even surround, the same for all
GAP_PX = 16
PLATE_PX = 22
STRIP_SCALE = 2  # a strip is small; shown twice as large its steps are seen


def strip_board(sheet: Print, steps: Sequence[Step]) -> Board:
    """Return a strip with its step numbers."""
    values = np.repeat(np.repeat(screen_values(sheet.density), STRIP_SCALE, axis=0), STRIP_SCALE, axis=1)
    return mounted([[numbered(values, sheet, steps)]])


def print_board(sheets: Sequence[Sequence[Print]], labelled: bool = False) -> Board:
    """Return prints in rows, all to one scale in one surround; with a number each, from 1, where they are to be told apart."""
    rows = [[screen_values(sheet.density) for sheet in row] for row in sheets]
    board = mounted(rows)
    if not labelled:
        return board
    at, number = [], 0
    for r, row in enumerate(rows):
        for c, one in enumerate(row):
            number += 1
            at.append((GAP_PX + c * (one.shape[1] + GAP_PX), GAP_PX + r * (one.shape[0] + GAP_PX), str(number)))
    return plated(board, at)


SCALE_STEPS_L = (8.0, 4.0, 2.0, 1.0)
SCALE_BASES = (0.08, 0.75, 1.70)  # densities of a light, a middle and a dark field
FIELD_PX = 90


def step_scale_board() -> Board:
    """Return the step scale by which a screen is tried: rows of fields, their halves 8, 4, 2 and 1 L* apart, numbered 1 to 4.

    A light, a middle and a dark field in each row; the right half is the darker one.
    """
    levels = np.linspace(0.0, 4.0, 4001)
    rows = []
    for step in SCALE_STEPS_L:
        fields = []
        for base in SCALE_BASES:
            darker = float(np.interp(-(float(lightness(base)) - step), -lightness(levels), levels))
            halves = np.repeat(np.array([base, darker]), FIELD_PX // 2)
            fields.append(screen_values(np.tile(halves, (FIELD_PX, 1))))
        rows.append(fields)
    return plated(mounted(rows), [(0, GAP_PX + k * (FIELD_PX + GAP_PX), str(k + 1)) for k in range(len(rows))])


def touched_on(board: Board, points_px: Sequence[tuple[str, float, float]]) -> tuple[tuple[str, float, float], ...]:
    """Return points of a board (key, column, row) as shares of its width and height."""
    rows, cols = board.shape
    return tuple((key, x / cols, y / rows) for key, x, y in points_px)


LEFT_AND_RIGHT = (("left", 0.25, 0.5), ("right", 0.75, 0.5))  # two prints beside each other


def steps_on_board(sheet: Print, steps: Sequence[Step]) -> tuple[tuple[str, float, float], ...]:
    """Return where a strip's steps lie on its board: their numbers, and points in shares of it."""
    rows, cols = (side * STRIP_SCALE + 2 * GAP_PX for side in sheet.density.shape)
    points = []
    for step in steps:
        row, col = sheet.at(step.x_mm, step.y_mm)
        points.append((str(step.number), (GAP_PX + STRIP_SCALE * col) / cols, (GAP_PX + STRIP_SCALE * row) / rows))
    return tuple(points)


def mounted(rows: Sequence[Sequence[Board]]) -> Board:
    """Return pictures of one size, row by row, on the neutral surround."""
    height, width = rows[0][0].shape
    columns = max(len(row) for row in rows)
    grey = int(screen_values(np.array([SURROUND_DENSITY]))[0])
    shape = GAP_PX + len(rows) * (height + GAP_PX), GAP_PX + columns * (width + GAP_PX)
    board = np.full(shape, grey, np.uint8)
    for r, row in enumerate(rows):
        for c, one in enumerate(row):
            top, left = GAP_PX + r * (height + GAP_PX), GAP_PX + c * (width + GAP_PX)
            board[top : top + height, left : left + width] = one
    return board


def plated(board: Board, at: Sequence[tuple[int, int, str]]) -> Board:
    """Return a board with a small numbered plate at every point (column, row of its upper left corner)."""
    from PIL import Image, ImageDraw, ImageFont

    image = Image.fromarray(board)
    draw, font = ImageDraw.Draw(image), ImageFont.truetype(str(FONT_FILE), round(0.68 * PLATE_PX))
    for x, y, words in at:
        draw.rectangle((x, y, x + PLATE_PX, y + PLATE_PX), fill=PLATE)
        draw.text((x + PLATE_PX // 2, y + PLATE_PX // 2), words, fill=FIGURE, font=font, anchor="mm")
    return np.asarray(image)
