"""The clock on the wall over the trays: a hand for the seconds, how long this bath asks for, and how fast it runs."""

from __future__ import annotations

import math

import pygame
from pygame import Rect

from sim.window.hands.drags import Drag
from sim.window.hands.thing import Gesture
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.standing.room import OneRoom
from sim.window.standing.standing import AFTER_DEVELOPMENT
from sim.window.things.in_room import InRoom
from sim.window.things.light_words import light_so_far
from sim.window.things.trays import bath_whole, clock


class TrayClock(InRoom):
    """Touch it and it runs eight times as fast, or in real seconds again: the sheet gets the seconds that it shows."""

    def __init__(self, room: OneRoom):
        super().__init__(room, "tray clock")
        self._side = 1
        self._whole: list[str] = []  # of how many seconds the bath is, as many lines as that takes
        self._pace: list[str] = []

    @property
    def _lies(self) -> bool:
        """Whether a sheet lies in a bath."""
        return self.room.darkroom.tray.stage not in ("", "dry")

    def now(self) -> str:
        """How fast it runs, or will once a sheet lies in a bath."""
        pace = self.room.line("clock fast" if self.room.fast_clock else "clock real")
        return pace if self._lies else self.room.line("clock rests", pace=pace)

    def about(self) -> str:
        """How it is worked, and what the seconds mean that it goes towards."""
        tray = self.room.darkroom.tray
        meant = self.room.line(f"meant {tray.stage}", full=clock(tray.full_s)) if self._lies else ""
        return " ".join(filter(None, (super().about(), meant)))

    @property
    def over(self) -> bool:
        """Whether the bath has done its work: in the developer that is what the paper has, not what was set."""
        tray = self.room.darkroom.tray
        if tray.stage == "developer":
            return tray.complete and tray.seconds >= min(tray.wanted_s, tray.full_s)
        return self._lies and tray.seconds >= tray.wanted_s

    def pressed(self) -> None:
        """Change its pace, in the developer or in all baths after it; where every time is over that is said."""
        if self._lies and self.room.bath_end_s is None:
            self.room.say("no time left")
            return
        stage, fast = self.room.darkroom.tray.stage, self.room.standing.fast
        group = AFTER_DEVELOPMENT if stage in AFTER_DEVELOPMENT else frozenset({"developer"})
        self.room.stand(fast=fast - group if group <= fast else fast | group)

    def lay_out(self, right: int, top: int, side: int) -> None:
        """Hang on the wall by its upper right corner, the face so wide; the words below it in as many lines as they need."""
        look, self._side = self.room.look, side
        self._whole = look.wrapped(bath_whole(self.room), side + look.px(8), "small") if self._lies else []
        self._pace = look.wrapped(self.now(), side + look.px(8), "small")
        lines = len(self._whole) + len(self._pace)
        high = side + look.line_height("title") + lines * look.line_height("small") + look.px(14)
        self.rect = Rect(right - side - look.px(16), top, side + look.px(16), high)

    def draw(self, canvas: Canvas) -> None:
        """Face, mark of the bath's end, hand; below it the seconds, of how many, and how fast it runs."""
        look, rect, tray = canvas.look, self.rect, self.room.darkroom.tray
        canvas.plate(rect, hot=self.hot)
        radius = self._side // 2 - look.px(2)
        middle = (rect.centerx, rect.y + look.px(6) + radius)
        pygame.draw.circle(canvas.surface, look.colour("soft" if self.hot else "edge"), middle, radius, max(1, look.px(2)))
        for k in range(60):
            long = radius * (0.86 if k % 5 == 0 else 0.93)
            canvas.line(_at(middle, k, long), _at(middle, k, radius * 0.98), "soft" if k % 5 == 0 else "faint")
        if tray.wanted_s:
            canvas.mark("dot", _at(middle, tray.wanted_s % 60, radius * 0.8), look.px(10), "lamp")
        if tray.set_otherwise:  # a ring where the paper's full time ends
            canvas.mark("ring", _at(middle, tray.full_s % 60, radius * 0.8), look.px(12), "lamp")
        if self._lies:
            hand = _at(middle, tray.seconds % 60, radius * 0.84)
            pygame.draw.line(canvas.surface, look.colour("lamp"), middle, hand, max(2, look.px(2)))
        pygame.draw.circle(canvas.surface, look.colour("lamp"), middle, look.px(4))
        y = middle[1] + radius + look.px(4)
        figures = clock(tray.seconds) if self._lies else "–:––"
        told = canvas.text(figures, (rect.centerx, y), "title", "ink", "midtop", rect.w)
        if self.over:
            canvas.mark("tick", (told.right + look.px(12), told.centery), look.px(14), "ink")
        y = told.bottom
        pace = "ink" if self.room.fast_clock else "soft"
        for line, colour in (*((one, "ink") for one in self._whole), *((one, pace) for one in self._pace)):
            y = canvas.text(line, (rect.centerx, y), "small", colour, "midtop", rect.w).bottom


def _at(middle: tuple[int, int], second: float, radius: float) -> tuple[int, int]:
    angle = 2 * math.pi * second / 60 - math.pi / 2
    return round(middle[0] + math.cos(angle) * radius), round(middle[1] + math.sin(angle) * radius)


class SheetInHand(InRoom):
    """The exposed paper that was carried over from the easel: touch it, or the tray, and it slides in."""

    cursor = "grab"

    def __init__(self, room: OneRoom, slide_in: object):
        super().__init__(room, "sheet in hand")
        self._slide_in = slide_in
        self.carried = (0, 0)  # px, while a hand carries it to the developer

    @property
    def shown(self) -> bool:
        """Whether there is exposed paper."""
        piece = self.room.darkroom.paper.piece
        return piece is not None and piece.exposures > 0 and not self.room.burning and self.rect.w > 0

    def now(self) -> str:
        """How much light it has had."""
        piece = self.room.darkroom.paper.piece
        return "" if piece is None else self.room.line("had light", light=light_so_far(self.room, piece))

    def press(self, at: Pointer) -> Gesture | None:
        """A touch slides it in, and so does a drag over to the trays."""

        def follow(dx: int, dy: int, _: Pointer) -> None:
            self.carried = dx, dy

        def let_go() -> None:
            far, self.carried = self.carried, (0, 0)
            if max(abs(far[0]), abs(far[1])) > min(self.rect.size) // 2:
                self.pressed()

        def back() -> None:
            self.carried = 0, 0

        return Drag(at, follow, let_go, self.pressed, back)

    def pressed(self) -> None:
        """Slide it in."""
        if callable(self._slide_in):
            self._slide_in()

    def draw(self, canvas: Canvas) -> None:
        """Blank paper, a corner folded: it looks like any other until it develops."""
        from sim.window.things.easel_drawing import draw_folded_corner, draw_paper

        piece, look = self.room.darkroom.paper.piece, canvas.look
        if piece is None:
            return
        scale = min((self.rect.w - look.px(8)) / piece.width_mm, (self.rect.h - look.px(8)) / piece.height_mm)
        rect = Rect(0, 0, max(8, round(piece.width_mm * scale)), max(8, round(piece.height_mm * scale)))
        rect.center = self.rect.centerx + self.carried[0], self.rect.centery + self.carried[1]
        draw_paper(canvas, rect)
        draw_folded_corner(canvas, rect)
        if self.hot:
            pygame.draw.rect(canvas.surface, look.colour("lamp"), rect, max(1, look.px(2)))
