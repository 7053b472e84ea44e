"""The oracle: a print by brute force. Every pixel x 49 wavelengths x every exposure x every grain class, in float64.

One thing is left out: the lens's blur, which mixes neighbours and is checked by itself elsewhere. Prints compared through
the lens are coarse (about 3 mm of paper a pixel, where diffraction takes less than half a per cent from the finest
detail) and compared where neighbours do not differ by much.
"""

from __future__ import annotations

import numpy as np

from .light import (
    Column,
    film_transmittance,
    filter_density,
    lamp_irradiance_per_lux,
    seconds_of_light,
    share_beside_edge,
    share_come,
)
from .paper import exposure, safelight_exposure, sheet_density, stock_data


def sheet_points_mm(negative, record, scale: float) -> tuple[np.ndarray, np.ndarray]:
    """Return x [col] and y [row] of the sheet's pixel centres, mm from its top left corner, at the negative's own pixels."""
    film_px_per_mm = negative.silver_density.shape[1] / negative.frame_mm[0]
    per_mm = film_px_per_mm / scale
    out = []
    for side, film_px in ((record.sheet.width_mm, negative.silver_density.shape[1]),
                          (record.sheet.height_mm, negative.silver_density.shape[0])):  # fmt: skip
        count = max(8, round(side * per_mm))
        count += (count - film_px) % 2
        out.append(side / 2 + (np.arange(count) - (count - 1) / 2) / per_mm)
    return out[0], out[1]


def film_light(negative, column: Column, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Return what film (and flare) pass to every point of the sheet [row, col, 49]; x, y in mm from the image's centre."""
    silver = negative.silver_density.astype(float)
    if column.settings.flipped:
        silver = silver[:, ::-1]
    rows, cols = silver.shape
    per_mm = cols / negative.frame_mm[0] / column.scale
    row, col = np.round(y * per_mm + (rows - 1) / 2).astype(int), np.round(x * per_mm + (cols - 1) / 2).astype(int)
    inside = ((row >= 0) & (row < rows))[:, None] & ((col >= 0) & (col < cols))[None, :]
    film = film_transmittance(silver, negative, column.caught)
    light = film[np.clip(row, 0, rows - 1)[:, None], np.clip(col, 0, cols - 1)[None, :]]
    light[~inside] = 0.0
    if column.settings.contact:
        half_w, half_h = (side / 2 + negative.rebate_mm for side in negative.frame_mm)
        beyond = (np.abs(x)[None, :] > half_w) | (np.abs(y)[:, None] > half_h)
        light[~inside] = 10.0**-negative.base_density
        light[beyond] = 1.0
    return light + column.flare * film.mean(axis=(0, 1))


def lit_share(cards, x: np.ndarray, y: np.ndarray, column: Column, time_s: float) -> np.ndarray:
    """Return the share of the exposure that still edge cards leave to each point; one card at a time."""
    lit = np.ones((y.size, x.size))
    for card in cards:
        assert card.shape == "edge"
        assert card.motion.kind == "still"
        angle = np.radians(card.angle_deg)
        inside = (x - card.motion.x_mm)[None, :] * np.cos(angle) + (y - card.motion.y_mm)[:, None] * np.sin(angle)
        h = card.card_height_mm
        covered = share_beside_edge(inside, column.pupil_mm * h / (column.v_mm - h))
        comes, goes = (share_come(column.head, moment_s, time_s) for moment_s in (card.start_s, card.stop_s or time_s))
        lit = lit - covered * (goes - comes)
    return lit


def oracle_density(negative, record, wet: bool = False) -> np.ndarray:
    """Return reflection density [row, col] of a record's print, integrated by brute force."""
    stock = stock_data(record.sheet.paper)
    p = stock["reciprocity"]["schwarzschild_p"] if record.reciprocity else 1.0
    reference_s = stock["reciprocity"]["reference_time_s"]
    total: np.ndarray | float = 0.0
    for shot in record.exposures:
        column = Column(record.enlarger, shot.f_number)
        x, y = sheet_points_mm(negative, record, column.scale)
        border = record.sheet.border_mm
        window = ((y > border) & (y < record.sheet.height_mm - border))[:, None] & (
            (x > border) & (x < record.sheet.width_mm - border)
        )[None, :]
        centre_x, centre_y = record.sheet.width_mm / 2, record.sheet.height_mm / 2
        spectrum = column.level_lux() * lamp_irradiance_per_lux(column.head) * 10 ** -filter_density(shot.filter)
        spectrum = spectrum * 2.0**-shot.dimmed_stops
        if shot.through == "open":
            watts = np.ones((y.size, x.size, 1)) * spectrum
        else:
            radius = np.hypot((x - centre_x)[None, :], (y - centre_y)[:, None])
            watts = film_light(negative, column, x - centre_x, y - centre_y) * spectrum
            watts = watts * column.fall_off(radius)[..., None]
        rate = exposure(watts * window[..., None], stock)
        seconds = exposure(watts * window[..., None] * seconds_of_light(column.head, shot.time_s, shot.light_s), stock)
        light_s = seconds / np.where(rate > 0.0, rate, 1.0)  # of blue and of green: a lamp's blue comes late
        lit = lit_share(shot.cards, x, y, column, shot.time_s)[..., None]
        total = total + rate ** (1 / p) * light_s * lit
    dose = total**p * reference_s ** (1 - p)
    if record.safelight:
        dose = dose + safelight_exposure(record.safelight, stock)
    return sheet_density(dose[..., 0], dose[..., 1], stock, record.development, wet)


def even_places(negative, record) -> np.ndarray:
    """Return where the lens's blur cannot matter [row, col]: no light within two pixels differs by 0.05 density.

    In contact there is no lens between negative and paper, and every place counts.
    """
    column = Column(record.enlarger, record.exposures[-1].f_number)
    x, y = sheet_points_mm(negative, record, column.scale)
    if record.enlarger.contact:
        return np.ones((y.size, x.size), dtype=bool)
    light = film_light(negative, column, x - record.sheet.width_mm / 2, y - record.sheet.height_mm / 2)[..., 30]
    padded = np.pad(light, 2, mode="edge")
    around = np.lib.stride_tricks.sliding_window_view(padded, (5, 5))
    return around.max(axis=(2, 3)) < 1.12 * around.min(axis=(2, 3))
