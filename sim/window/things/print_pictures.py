"""Pictures of prints as they look on the wall: kept at the sizes they are seen at, cut out finely when one comes near."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pygame
from numpy.typing import NDArray
from pygame import Rect, Surface

from sim.bench.wall import Wall
from sim.bounded_store import MEGABYTE, KeptWithin
from sim.viewing.lightness import screen_values
from sim.window.kit.picture import grey_surface
from sim.window.standing.room import OneRoom
from sim.window.theme import Colour

KEPT_BYTES, LAST_BYTES = 48 * MEGABYTE, 24 * MEGABYTE
NEAR = 1.6  # px of the screen for one of the sheet's own, from which only what is seen is cut out
MOST_SIDE = 1400


class PrintPictures:
    """Asks the wall beside the window for one picture after the other, and keeps what was made."""

    def __init__(self, room: OneRoom) -> None:
        self._room = room
        self._kept: KeptWithin[Surface] = KeptWithin(KEPT_BYTES)
        self._last: KeptWithin[Surface] = KeptWithin(LAST_BYTES)  # of every print what was shown last, at whatever size
        self._making: object = None
        self._failed: set[object] = set()

    def whole(
        self, wall: Wall, number: int, size: tuple[int, int], lux: float, wet: bool, tint: Colour, now: bool
    ) -> tuple[Surface | None, bool]:
        """Return a print at a size, and whether it is as it should be; until it is made, from what is there, scaled.

        It is asked for where ``now`` says so and nothing else is being made. None: nothing was made of this print yet.
        """
        share = min(1.0, MOST_SIDE / max(size))
        made = max(8, round(size[0] * share)), max(8, round(size[1] * share))
        of = (self._room.darkroom.folder, number)
        key = (*of, made, lux, wet, tint)
        kept = self._kept.get(key)
        if kept is not None:
            self._last.put(of, kept)
            return (kept if kept.get_size() == size else pygame.transform.smoothscale(kept, size)), True
        if now and self._making is None and key not in self._failed:
            self._ask(key, wall.picture_maker(number, made, wet, lux), tint)
        last = self._last.get(of)
        return (pygame.transform.scale(last, size) if last is not None else None), key in self._failed

    def _ask(self, key: object, job: Callable[[], NDArray[np.uint8]], tint: Colour) -> None:
        def came(levels: NDArray[np.uint8]) -> None:
            self._making = None
            self._kept.put(key, grey_surface(levels, tint))

        def failed() -> None:
            self._making = None
            self._failed.add(key)

        self._making = key
        self._room.soon(job, came, failed)

    def cut(
        self, wall: Wall, number: int, rect: Rect, area: Rect, lux: float, wet: bool, tint: Colour
    ) -> tuple[Surface, Rect] | None:
        """Return what of a print lies in the view, from the sheet's own pixels, and where it goes."""
        seen = rect.clip(area)
        if seen.w < 1 or seen.h < 1:
            return None
        density = wall.sheet(number, wet).density
        rows, cols = density.shape
        scale_x, scale_y = cols / rect.w, rows / rect.h
        left, top = int((seen.x - rect.x) * scale_x), int((seen.y - rect.y) * scale_y)
        right = min(cols, int(np.ceil((seen.right - rect.x) * scale_x)) + 1)
        bottom = min(rows, int(np.ceil((seen.bottom - rect.y) * scale_y)) + 1)
        key = (self._room.darkroom.folder, number, left, top, right, bottom, lux, wet, tint)
        piece = self._kept.keep(key, lambda: grey_surface(screen_values(density[top:bottom, left:right], lux), tint))
        at = Rect(rect.x + round(left / scale_x), rect.y + round(top / scale_y),
                  round((right - left) / scale_x), round((bottom - top) / scale_y))  # fmt: skip
        return pygame.transform.smoothscale(piece, at.size), at
