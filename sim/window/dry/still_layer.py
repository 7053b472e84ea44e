"""What does not move while the lamp is on is drawn once and laid down again, so that the frame belongs to the shadow."""

from __future__ import annotations

from collections.abc import Callable

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas, Label


class StillLayer:
    """A picture of the still part of a place, with the words and the places to click that belong to it."""

    def __init__(self) -> None:
        self._key: object = None
        self._picture: pygame.Surface | None = None
        self._labels: list[Label] = []
        self._hits: list[tuple[str, Rect]] = []

    def draw(self, canvas: Canvas, area: Rect, key: object, paint: Callable[[Canvas], None]) -> None:
        """Lay the layer down; ``paint`` draws it first when ``key`` says that something is different."""
        if key != self._key or self._picture is None or self._picture.get_size() != area.size:
            labels, hits = len(canvas.labels), len(canvas.hits)
            paint(canvas)
            self._picture = canvas.surface.subsurface(area.clip(canvas.surface.get_rect())).copy()
            self._labels, self._hits, self._key = canvas.labels[labels:], canvas.hits[hits:], key
            return
        canvas.surface.blit(self._picture, area)
        canvas.labels += self._labels
        canvas.hits += self._hits
