"""A page that was written: shown, with the place where it lies."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pygame
from pygame import Rect, Surface

from sim.window.kit.boxes import cut_bottom, cut_right, fit
from sim.window.kit.canvas import Canvas
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things.rows import along_the_foot
from sim.window.things.scrolled import ScrolledWords


class ShownPage(Overlay):
    """The page as large as there is room for; where it lies stands below. ``back`` makes what comes after it."""

    share = (0.94, 0.96)

    def __init__(self, room: OneRoom, picture: Path | bytes, written: Path, back: Callable[[], object]):
        super().__init__(room, room.name("page written"))
        self._page: Surface | None = None
        try:
            self._page = pygame.image.load(io.BytesIO(picture) if isinstance(picture, bytes) else picture)
        except (pygame.error, OSError) as error:
            room.log.warning("cannot show %s: %s", written, error)
        self.where = ScrolledWords(room, "where it lies")
        self.where.say([(room.line("written to", file=written), "small", "ink")])
        self._back, self.listed = back, [self.where]

    def close(self) -> None:
        """Back to where one was."""
        super().close()
        self.room.wanted_over = self._back

    def lay_out(self, area: Rect) -> None:
        """The page, its place below."""
        super().lay_out(area)
        look = self.room.look
        high = along_the_foot((self.done,), self.inner, look.px(10))
        low, self._room = cut_bottom(self.inner, max(high, 2 * look.line_height("small")), look.px(10))
        self.where.lay_out(cut_right(low, self.done.rect.w, look.px(14))[1])

    def draw(self, canvas: Canvas) -> None:
        """The sheet."""
        super().draw(canvas)
        if self._page is not None:
            rect = fit(self._page.get_size(), self._room)
            key = ("page out", id(self._page), rect.size)
            page = self._page
            canvas.surface.blit(canvas.look.keep(key, lambda: pygame.transform.smoothscale(page.convert(24), rect.size)), rect)
