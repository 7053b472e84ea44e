"""Two prints of one negative laid over each other at registered position: a wipe that is dragged, or a flicker."""

from __future__ import annotations

from typing import Literal

import numpy as np
import pygame
from pygame import Rect, Surface

from sim.bench.comparing import PrintDifference
from sim.refusals import Refused
from sim.viewing.lightness import screen_values
from sim.window.hands.drags import Drag
from sim.window.hands.thing import Gesture
from sim.window.kit.boxes import fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.kit.picture import grey_surface
from sim.window.standing.room import OneRoom
from sim.window.things.difference import draw_difference
from sim.window.things.in_room import InRoom
from sim.window.things.wall import OnTheWall

Way = Literal["", "wipe", "flicker", "difference"]
TURN_S = 0.7  # each print so long: well below three changes a second (WCAG 2.1, 2.3.1)
STEP = 0.02


class Compare(InRoom):
    """Drag the line between two prints; in the flicker they take turns, or are turned by Enter where nothing shall move."""

    cursor, large = "across", True

    def __init__(self, room: OneRoom, wall: OnTheWall):
        super().__init__(room, "comparing")
        self._wall = wall
        self.way: Way = ""
        self.line, self.second = 0.5, False
        self._turned_s = 0.0
        self._key: object = None
        self._pair: tuple[Surface, Surface] | None = None
        self._off: PrintDifference | None = None
        self._numbers = (0, 0)

    def turn(self) -> None:
        """Go on: side by side, wipe, flicker, difference. Raises Refused without two prints of one negative."""
        if not self.way:
            self._numbers = self._found()
        after: dict[Way, Way] = {"": "wipe", "wipe": "flicker", "flicker": "difference", "difference": ""}
        self.way = after[self.way]
        self._turned_s = 0.0
        if self.way:
            way, (one, other) = self.way, self._numbers
            self.room.say(f"comparing {way}", holds=lambda: self.way == way, one=one, other=other)

    def leave(self) -> None:
        """Side by side again."""
        self.way = ""

    def _found(self) -> tuple[int, int]:
        """Return the pair: the chosen print and the one chosen before, else its neighbour in time of the same negative."""
        wall, prints = self._wall, self._wall.prints
        hung = [pin.number for pin in wall.hanging()]
        chosen = wall.chosen if wall.chosen in hung else (max(hung) if hung else None)
        if chosen is None:
            raise Refused(self.room.line("two prints"))
        alike = [n for n in hung if n != chosen and prints[n].negative == prints[chosen].negative]
        if not alike:
            raise Refused(self.room.line("two prints"))
        other = wall.other if wall.other in alike else min(alike, key=lambda n: abs(n - chosen))
        return min(chosen, other), max(chosen, other)

    def now(self) -> str:
        """Which two, and how."""
        one, other = self._numbers
        return self.room.line("compared " + self.way, one=one, other=other) if self.way else ""

    def looked_at(self) -> list[Rect]:
        """Return what a note shall not hide: the picture and the words below it."""
        return [self._picture_rect().inflate(0, 2 * self.room.px(28))] if self.way else []

    def lay_out(self, area: Rect) -> None:
        """Fill the wall while two prints are compared."""
        self.rect = area if self.way else Rect(0, 0, 0, 0)

    def press(self, at: Pointer) -> Gesture | None:
        """Drag the line; in the flicker a touch turns the prints."""
        picture, stood = self._picture_rect(), self.line

        def to(share: float) -> None:
            self.line = min(1.0, max(0.0, share))

        def touched() -> None:
            if self.way == "wipe":  # a mere touch brings the line there; a drag moves it from where it is
                to((at.pos[0] - picture.x) / max(1, picture.w))
            self.pressed()

        return Drag(at, lambda dx, dy, now: to(stood + dx / max(1, picture.w)), lambda: None, touched, lambda: to(stood))

    def pressed(self) -> None:
        """Turn the prints."""
        if self.way == "flicker":
            self.second, self._turned_s = not self.second, 0.0

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """Arrows move the line."""
        self.line = min(1.0, max(0.0, self.line + right * STEP))
        return True

    def update(self, dt_s: float) -> bool:
        """Let them take turns; returns whether something is to be drawn anew."""
        if not self.way:
            return False
        if self.way == "flicker" and not self.room.preferences.reduced_motion:
            self._turned_s += dt_s
            if self._turned_s >= TURN_S:
                self.second, self._turned_s = not self.second, 0.0
                return True
        return self._make()

    def _picture_rect(self) -> Rect:
        if self._pair is None:
            return self.rect
        return fit(self._pair[0].get_size(), self.rect.inflate(-self.room.px(40), -self.room.px(56)))

    def _make(self) -> bool:
        """Make both pictures, cut to what both show of the frame, at one size."""
        wall = self._wall
        key = (self._numbers, self.rect.size, wall.lux, wall.wet, wall.tint(), self.way == "difference")
        if key == self._key or self.rect.w < 8:
            return False
        self._key = key
        if self.way == "difference":
            size = (max(8, self.rect.w * 64 // 100), max(8, self.rect.h - self.room.px(40)))
            self._off = self.room.darkroom.wall.difference(*self._numbers, size)
            return True
        one, other = (self._framed(number) for number in self._numbers)
        shape = fit((one.shape[1], one.shape[0]), self.rect.inflate(-self.room.px(40), -self.room.px(56))).size
        first, second = (pygame.transform.smoothscale(grey_surface(levels, wall.tint()), shape) for levels in (one, other))
        self._pair = (first, second)
        return True

    def _framed(self, number: int) -> np.ndarray[tuple[int, int], np.dtype[np.uint8]]:
        """Return a print's picture alone, the part that both papers hold, as screen levels [row, col]."""
        bench = self.room.darkroom.wall
        sheet = bench.sheet(number, self._wall.wet)
        left, top, wide, high = bench.frame_mm(number)
        x0, y0, x1, y1 = self._common()
        rows, cols = sheet.density.shape
        size = self._wall.size_mm(number)
        across, down = cols / size[0], rows / size[1]
        a, b = round((left + x0 * wide) * across), round((left + x1 * wide) * across)
        c, d = round((top + y0 * high) * down), round((top + y1 * high) * down)
        cut = sheet.density[max(0, c) : min(rows, d), max(0, a) : min(cols, b)]
        return np.asarray(screen_values(cut, self._wall.lux))

    def _common(self) -> tuple[float, float, float, float]:
        """Return the part of the frame that lies on both papers, as fractions."""
        bench = self.room.darkroom.wall
        ends = []
        for number in self._numbers:
            left, top, wide, high = bench.frame_mm(number)
            paper = self._wall.size_mm(number)
            ends.append((max(0.0, -left / wide), max(0.0, -top / high),
                         min(1.0, (paper[0] - left) / wide), min(1.0, (paper[1] - top) / high)))  # fmt: skip
        x0, y0 = max(e[0] for e in ends), max(e[1] for e in ends)
        x1, y1 = min(e[2] for e in ends), min(e[3] for e in ends)
        if x1 - x0 < 0.02 or y1 - y0 < 0.02:
            raise Refused(self.room.line("nothing in common"))
        return x0, y0, x1, y1

    def draw(self, canvas: Canvas) -> None:
        """One print, the other from the line on; or whichever has its turn."""
        look = canvas.look
        pygame.draw.rect(canvas.surface, self._wall.ground(), self.rect)
        if self.way == "difference":
            if self._off is not None:
                first, second = (self._wall.caption(n).split(" · ")[0] for n in self._numbers)
                draw_difference(canvas, self.rect, self._off, (first, second), self.room)
            return
        if self._pair is None:
            return
        rect = self._picture_rect()
        one, other = self._pair
        canvas.surface.blit(other if self.way == "flicker" and self.second else one, rect)
        if self.way == "wipe":
            x = round(rect.w * self.line)
            canvas.surface.blit(other, (rect.x + x, rect.y), Rect(x, 0, rect.w - x, rect.h))
            pygame.draw.line(canvas.surface, (0, 0, 0), (rect.x + x, rect.y), (rect.x + x, rect.bottom), look.px(3))
            pygame.draw.line(canvas.surface, (255, 255, 255), (rect.x + x, rect.y), (rect.x + x, rect.bottom), 1)
        self._draw_names(canvas, rect)

    def _draw_names(self, canvas: Canvas, rect: Rect) -> None:
        """Below the picture what each side is, with a sign that points to it; as short as both need to be."""
        look, full = canvas.look, [self._wall.caption(n).rsplit(" · ", 1)[0] for n in self._numbers]
        if self.way == "flicker":
            ends = [(full[int(self.second)], "midtop", rect.centerx)]
            room = self.rect.w - look.px(20)
        else:
            left, right = (self.room.line(f"side {side}", what=words) for side, words in zip(("left", "right"), full))
            room = rect.w // 2 - look.px(4)
            if max(look.width(words, "small") for words in (left, right)) + look.px(12) > room:
                short = [words.split(" · ")[0] for words in full]
                left, right = (self.room.line(f"side {side}", what=one) for side, one in zip(("left", "right"), short))
            ends = [(left, "topleft", rect.x), (right, "topright", rect.right)]
        for words, anchor, x in ends:
            plate = Rect(0, 0, min(room, look.width(words, "small") + look.px(12)), look.line_height("small") + look.px(4))
            setattr(plate, anchor, (x, rect.bottom + look.px(4)))
            pygame.draw.rect(canvas.surface, look.colour("sunk"), plate, border_radius=look.px(3))
            canvas.text(words, plate.center, "small", "ink", "center", plate.w)
