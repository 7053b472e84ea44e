"""The last piece of paper as it lies under white light beside the lesson: in neutral tones on a grey mat."""

from __future__ import annotations

from typing import Any

import pygame
from pygame import Rect

from sim.window.kit.boxes import fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Outcome
from sim.window.kit.picture import grey_surface, scaled
from sim.window.room import Room
from sim.window.theme import WHITE_LIGHT


class SheetPicture:
    """Asks the lesson for a print once, keeps its picture, and draws it at any size."""

    def __init__(self, room: Room):
        self.room = room
        self.number = 0
        self.surface: pygame.Surface | None = None

    def want(self, number: int) -> None:
        """Have the picture of a sheet ready; 0: of none."""
        if number == self.number:
            return
        self.number, self.surface = number, None
        if not number:
            return
        run = self.room.lesson
        there = run.sheets_at_hand.get(number)
        if there is not None:
            self.room.later(lambda: _levels(there), lambda levels: self._take(number, levels), bench=False)
            return
        make = run.sheet_maker(number)

        def made(found: Any) -> Outcome | None:
            run.sheets_at_hand[number] = found[0]  # so that it need not be made once more
            return self._take(number, found[1])

        def making() -> Any:
            sheet = make()
            return sheet, _levels(sheet)

        self.room.later(making, made, bench=False)

    def _take(self, number: int, levels: Any) -> Outcome | None:
        if number == self.number:
            self.surface = grey_surface(levels)
        return None

    def draw(self, canvas: Canvas, rect: Rect) -> None:
        """Draw it on a mat of neutral grey, which is what tones are judged against."""
        pygame.draw.rect(canvas.surface, WHITE_LIGHT.ground, rect, border_radius=canvas.look.px(4))
        if self.surface is None:
            return
        inner = fit(self.surface.get_size(), rect.inflate(-canvas.look.px(20), -canvas.look.px(20)))
        source, key = self.surface, ("lesson sheet", str(self.room.lesson.evening.file), self.number, inner.size)
        canvas.surface.blit(canvas.look.keep(key, lambda: scaled(source, inner.size)), inner)


def _levels(sheet: Any) -> Any:
    """Return a sheet as grey levels in white light."""
    from sim.viewing.lightness import screen_values

    return screen_values(sheet.density)
