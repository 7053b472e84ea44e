"""The shadow of a card where it is held at this moment, for a picture that follows the hand.

The same geometry as the exposure's (outline, shadow scale, penumbra, wire), without motion: each shape is drawn once for
its tool, height and angle, on a raster in screen pixels around its centre, and only laid down where the hand is (to the
nearest pixel). The penumbra is taken across the outline, which is exact for edges and for shapes larger than it. For
looking only: prints average the recorded path.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.bounded_store import MEGABYTE, KeptWithin
from sim.enlarger.easel import SheetGrid
from sim.printing.cards import CardOptics, _half_size_mm, _signed_distance, edge_profile
from sim.printing.record import Card, Still
from sim.quantities import Float32Array

RASTER_BYTES = 48 * MEGABYTE  # a dozen cards in a usual window, two that reach over all of a large one
BAND_ROWS = 32  # a shadow is laid band by band, each as wide as the shadow is there


@dataclass(frozen=True, eq=False)
class _Raster:
    """What a card lets through around its shadow's centre [row, col].

    ``bands``: top row, left column and right end of every band of rows in which it is otherwise than beyond the raster, and
    whether all of the band is dark.
    """

    lit: Float32Array
    bands: tuple[tuple[int, int, int, bool], ...]


Shaded = tuple[slice, slice, Float32Array | None]  # rows and columns of a picture, the share of light there; None: dark


class ShadowNow:
    """Draws shadows on one grid after another; keeps each card's raster."""

    def __init__(self) -> None:
        self._rasters: KeptWithin[_Raster] = KeptWithin(RASTER_BYTES)

    def patches(self, card: Card, grid: SheetGrid, optics: CardOptics) -> Iterator[Shaded]:
        """Yield where it is otherwise than beyond one card held still, and the light there. Beside a hole it is dark.

        Raises Refused for a card held above the lens.
        """
        raster, motion = self._raster(card, grid, optics), card.motion
        assert isinstance(motion, Still)
        row, col = grid.pixel_of(motion.x_mm, motion.y_mm)
        tall, wide = raster.lit.shape
        return _shaded(raster, round(row) - tall // 2, round(col) - wide // 2, (grid.rows, grid.cols))

    def _raster(self, card: Card, grid: SheetGrid, optics: CardOptics) -> _Raster:
        looks = (card.shape, card.width_mm, card.length_mm, card.outline, card.lets_through, card.wire_mm)
        key = (looks, card.card_height_mm, card.angle_deg, card.wire_towards_deg, optics, grid.px_per_mm, grid.rows, grid.cols)
        return self._rasters.keep(key, lambda: _drawn(card, grid, optics))


def _drawn(card: Card, grid: SheetGrid, optics: CardOptics) -> _Raster:
    scale = optics.shadow_scale(card.card_height_mm)
    soft = max(optics.penumbra_mm(card.card_height_mm), 0.5 / grid.px_per_mm)
    wired = card.wire_mm > 0.0 and card.lets_through == "outside" and card.shape != "edge"
    if card.shape == "edge" or wired:  # reaches over the whole sheet wherever its centre is
        reach_x, reach_y = grid.cols, grid.rows
    else:
        reach_x = reach_y = int(np.ceil((_half_size_mm(card, scale) + soft / 2) * grid.px_per_mm)) + 1
        reach_x, reach_y = min(reach_x, 2 * grid.cols), min(reach_y, 2 * grid.rows)
    x = (np.arange(-reach_x, reach_x + 1) / grid.px_per_mm).astype(np.float32)[None, :]
    y = (np.arange(-reach_y, reach_y + 1) / grid.px_per_mm).astype(np.float32)[:, None]
    if card.shape == "edge":
        angle = np.radians(card.angle_deg)
        shade = edge_profile(x * np.cos(angle) + y * np.sin(angle), soft)
    else:
        shade = edge_profile(-_signed_distance(card, x.astype(np.float64), y.astype(np.float64), scale), soft)
        if card.shape == "oval":
            shade[reach_y, reach_x] = 1.0  # the distance of an oval's very middle is told as nil
    if wired:
        shade = np.maximum(shade, _wire(card, x, y, scale, soft))
    lit = shade if card.lets_through == "inside" else 1.0 - shade
    dark = 0.0 if card.lets_through == "inside" else 1.0
    whole = np.ascontiguousarray(lit, dtype=np.float32)
    return _Raster(whole, tuple(_bands(whole, dark)))


def _bands(lit: Float32Array, beyond: float) -> Iterator[tuple[int, int, int, bool]]:
    for top in range(0, lit.shape[0], BAND_ROWS):
        band = lit[top : top + BAND_ROWS]
        other = np.flatnonzero((band != beyond).any(axis=0))
        if other.size:
            first, last = int(other[0]), int(other[-1]) + 1
            yield top, first, last, not band[:, first:last].any()


def _shaded(raster: _Raster, top: int, left: int, shape: tuple[int, int]) -> Iterator[Shaded]:
    """Yield the bands of a raster that fall on a picture, its upper left corner at a pixel."""
    for first, start, end, dark in raster.bands:
        r0, r1 = max(top + first, 0), min(top + min(first + BAND_ROWS, raster.lit.shape[0]), shape[0])
        c0, c1 = max(left + start, 0), min(left + end, shape[1])
        if r0 < r1 and c0 < c1:
            yield slice(r0, r1), slice(c0, c1), None if dark else raster.lit[r0 - top : r1 - top, c0 - left : c1 - left]


def _wire(card: Card, x: Float32Array, y: Float32Array, scale: float, soft: float) -> NDArray[np.float64]:
    angle = np.radians(card.wire_towards_deg)
    along = x * np.cos(angle) + y * np.sin(angle)
    across = -x * np.sin(angle) + y * np.cos(angle)
    half = 0.5 * card.wire_mm * scale
    return np.where(along > 0.0, edge_profile(across + half, soft) - edge_profile(across - half, soft), 0.0)
