"""The easel meter: a probe set down in the picture; it reads the light there, and how many stops it is from a held place."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect

from sim.refusals import Refused
from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key
from sim.window.kit.look import Look
from sim.window.standing.room import OneRoom
from sim.window.things.easel import Easel, OnTheEasel

NEAR_MM = 7.0  # it names a place of the picture when it stands so near


class Meter(OnTheEasel):
    """Drag it to a tone. Touch it there to hold that light: later readings say stops from it; H sets the time that keeps it."""

    def __init__(self, room: OneRoom, easel: Easel):
        super().__init__(room, easel, "meter")
        self.reading: tuple[str, ...] = ()

    def lay_out(self, shelf: Rect) -> None:
        """On its shelf, or where it was set down."""
        at = self.at_mm
        self.rect = shelf
        if at is not None:
            self.rect = stood((self.room.px(30), self.room.px(30)), "center", self._easel.plan.to_px(*at))

    def now(self) -> str:
        """What it reads."""
        return ", ".join(self.reading)

    def pressed(self) -> None:
        """Set it down; standing there, hold its light, or let the held light go."""
        at, easel = self.at_mm, self.room.darkroom.easel
        if at is None:
            self.stand(self.in_the_middle())
        elif easel.reference is not None:
            easel.drop_reference()
        else:
            easel.hold_reference(*at)
        self._key = None

    def keep_tone(self) -> None:
        """Set the timer to what keeps the held place's tone as everything stands now."""
        seconds, _ = self.room.darkroom.easel.time_that_keeps_tone()
        self.room.darkroom.desk.set("time_s", round(seconds, 1))
        self.room.say("tone kept", seconds=self.room.number(seconds, 1))

    def key(self, key: Key) -> bool:
        """Delete puts it away."""
        if key.name in ("delete", "backspace") and self.down:
            self.stand(None)
            return True
        return False

    def update(self) -> bool:
        """Read again where something was moved; the bare light counts, without cards and without an exposure."""
        room, at = self.room.darkroom, self.at_mm
        lit = room.easel.lit and not room.paper.exposing
        key = (at, room.desk.now, lit, room.easel.reference)
        if key == self._key:
            return False
        self._key = key
        if at is None or not lit or self._easel.picture.coarse:
            self.reading = ()
            self._key = None if self._easel.picture.coarse else key
            return True
        if room.desk.now.red_filter or room.desk.now.opal_sheet:
            self.reading = (self.room.line("red is in" if room.desk.now.red_filter else "opal is in"),)
            return True
        try:
            self.reading = self._words(at)
        except Refused:
            self.reading = ()
        return True

    def _words(self, at: tuple[float, float]) -> tuple[str, ...]:
        read = self.room.darkroom.easel.meter(*at)
        lux, name = f"{read.lux:.3g} lux", self._place(at)
        if read.stops is None or read.paper_stops is None:
            return (lux, *name)
        stops = [("+" if s >= 0 else "") + self.room.number(s, 2) for s in (read.stops, read.paper_stops)]
        return lux, self.room.line("stops", stops=stops[0]), self.room.line("stops for paper", stops=stops[1]), *name

    def _place(self, at: tuple[float, float]) -> tuple[str, ...]:
        desk = self.room.darkroom.desk
        left, top, wide, high = desk.frame_mm
        for place in desk.negative.places:
            if max(abs(left + place.x * wide - at[0]), abs(top + place.y * high - at[1])) <= NEAR_MM:
                return (self.room.place_name(place.name),)
        return ()

    def draw(self, canvas: Canvas) -> None:
        """On its shelf a small cell; on the easel a probe with what it reads beside it."""
        look, middle = canvas.look, self.rect.center
        radius = look.px(9)
        held = self.room.darkroom.easel.reference is not None
        if not self.down:
            body = self.rect.inflate(-self.rect.w // 3, -self.rect.h // 3)
            canvas.plate(body, "soft" if self.hot else "edge", "raised", radius=4)
            radius = max(3, body.h // 4)
        pygame.draw.circle(canvas.surface, look.colour("shade"), middle, radius + 1, max(2, look.px(3)))
        pygame.draw.circle(canvas.surface, look.colour("lamp"), middle, radius, max(1, look.px(1.5)))
        if held and self.down:
            pygame.draw.circle(canvas.surface, look.colour("lamp"), middle, look.px(4))
        if self.down and self.reading:
            inside, away = self._easel.rect, look.px(18)
            plate = stood(lines_size(look, self.reading), "midleft", (middle[0] + away, middle[1]))
            if plate.right > inside.right:
                plate.right = middle[0] - away
            draw_lines(canvas, plate.clamp(inside), self.reading)


def lines_size(look: Look, words: Sequence[str]) -> tuple[int, int]:
    """Return the size of a plate with so many short lines on it."""
    return max(look.width(w, "small") for w in words) + look.px(12), look.line_height("small") * len(words) + look.px(8)


def draw_lines(canvas: Canvas, plate: Rect, words: Sequence[str]) -> None:
    """Write short lines on a plate, the first one brightest."""
    look, line = canvas.look, canvas.look.line_height("small")
    canvas.plate(plate, "edge", radius=4)
    for n, each in enumerate(words):
        canvas.text(each, (plate.x + look.px(6), plate.y + look.px(4) + n * line), "small", "ink" if n == 0 else "soft")
