"""The plate that takes exposed paper from the easel into the developer: one touch, and one stands at the trays with it."""

from __future__ import annotations

from collections.abc import Callable

import pygame
from pygame import Rect

from sim.refusals import Refused
from sim.window.kit.canvas import Canvas
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Plate


class WayOn(Plate):
    """It is there once all the light that was meant has fallen: the last thing in the row of box, film and tray."""

    def __init__(self, room: OneRoom, light_to_come: Callable[[], bool]):
        super().__init__(room, "way on", self._go)
        self._light_to_come = light_to_come

    @property
    def there(self) -> bool:
        """Whether paper with all its light lies on the easel: no step of a strip, no exposure of a plan is still to come."""
        paper = self.room.darkroom.paper
        return paper.piece is not None and paper.piece.exposures > 0 and not paper.exposing and not self._light_to_come()

    def _go(self) -> None:
        """Carry it over and slide it in; what has to be said first is refused here, before one walks."""
        wanted = self.room.darkroom.paper.prediction_wanted()
        if wanted is not None:
            raise Refused(wanted)
        self.room.wanted_place, self.room.slides_in = "trays", True

    def wanted(self) -> tuple[int, int]:
        """Room for its words and the little tray."""
        look = self.room.look
        return look.width(self.name(), "strong") + look.px(62), look.line_height("strong") + look.px(22)

    def bare(self) -> tuple[int, int]:
        """Room for its words alone."""
        return self.room.look.width(self.name()) + self.room.px(20), self.wanted()[1]

    def draw(self, canvas: Canvas) -> None:
        """Raised metal with an edge of light; a sheet that slides into a tray, and the words."""
        look, rect = canvas.look, self.rect
        canvas.plate(rect.move(0, look.px(2)), "", "shade")
        canvas.plate(rect, "lamp", "raised", hot=self.hot)
        if rect.w < self.wanted()[0]:
            canvas.text(self.name(), rect.center, "body", "ink", "center", rect.w)
            return
        tray = Rect(rect.x + look.px(12), rect.centery, look.px(26), look.px(10))
        sheet = [(tray.x + look.px(7), tray.y + look.px(4)), (tray.x + look.px(10), tray.y - look.px(12)),
                 (tray.x + look.px(24), tray.y - look.px(10)), (tray.x + look.px(20), tray.y + look.px(4))]  # fmt: skip
        pygame.draw.polygon(canvas.surface, look.colour("paper"), sheet)
        rim = [tray.topleft, (tray.x + look.px(4), tray.bottom), (tray.right - look.px(4), tray.bottom), tray.topright]
        pygame.draw.polygon(canvas.surface, look.colour("shade"), rim)
        pygame.draw.lines(canvas.surface, look.colour("ink"), False, rim, max(1, look.px(2)))
        canvas.text(self.name(), (tray.right + look.px(10), rect.centery), "strong", "ink", "midleft", rect.right - tray.right)
