"""A ring-around on the wall: the chosen print among its neighbours in light and contrast. A touch sets timer and filter."""

from __future__ import annotations

import pygame
from pygame import Rect, Surface

from sim.bench.ring import RingPrint
from sim.window.kit.boxes import fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.picture import grey_surface
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things.filters import stamped
from sim.window.things.in_room import InRoom
from sim.window.things.tray_drawing import seen_white
from sim.window.things.trays import sheet_tint

SIDE_PX = 220


class SmallPrint(InRoom):
    """One of the ring."""

    key_of_words = "ring print"

    def __init__(self, room: OneRoom, made: RingPrint, where: str, sheet: RingSheet, own: bool):
        super().__init__(room, f"ring {where}")
        self._made, self._sheet, self._own = made, sheet, own
        self.view: Surface = grey_surface(made.picture, sheet_tint(room.look.palette.name, seen_white(room.look)))

    def now(self) -> str:
        """Its filter and seconds."""
        light = f"{stamped(self._made.filter)} · {self.room.number(self._made.time_s)} s"
        return self.room.line("your own", light=light) if self._own else light

    def pressed(self) -> None:
        """Set timer and filter as this one had them."""
        desk = self.room.darkroom.desk
        desk.set("filter", self._made.filter)
        desk.set("time_s", round(self._made.time_s, 2))
        self.room.say("ring set", filter=stamped(self._made.filter), seconds=self.room.number(self._made.time_s))
        self._sheet.close()

    def draw(self, canvas: Canvas) -> None:
        """The print and what it had, below it."""
        look, line = canvas.look, canvas.look.line_height("small")
        place = Rect(self.rect.x, self.rect.y, self.rect.w, self.rect.h - line)
        rect = fit(self.view.get_size(), place)
        key = ("ring", id(self.view), rect.size)
        canvas.surface.blit(look.keep(key, lambda: pygame.transform.smoothscale(self.view, rect.size)), rect)
        if self.hot or self._own:
            pygame.draw.rect(canvas.surface, look.colour("focus" if self.hot else "soft"), rect.inflate(4, 4), look.px(1.5))
        canvas.text(self.now(), (self.rect.centerx, self.rect.bottom), "small", "ink", "midbottom", self.rect.w, shorten=True)


class RingSheet(Overlay):
    """Rows from soft to hard, columns from less to more light."""

    share = (0.9, 0.96)

    def __init__(self, room: OneRoom, ring: tuple[tuple[RingPrint, ...], ...], own_filter: str):
        super().__init__(room, room.name("ring"))
        self.prints = [
            [SmallPrint(room, p, f"{r} {c}", self, p.stops == 0.0 and p.filter == own_filter) for c, p in enumerate(row)]
            for r, row in enumerate(ring)
        ]
        self.listed = [one for row in self.prints for one in row]

    def lay_out(self, area: Rect) -> None:
        """An even grid."""
        super().lay_out(area)
        wide, high = self.done.wanted()
        self.done.rect = Rect(self.inner.right - wide, self.rect.y + self.room.px(6), wide, high)
        gap = self.room.px(8)
        for r, row in enumerate(self.prints):
            for c, one in enumerate(row):
                cell = (self.inner.w // len(row), self.inner.h // len(self.prints))
                at = (self.inner.x + c * cell[0], self.inner.y + r * cell[1])
                one.rect = Rect(at, cell).inflate(-gap, -gap)
