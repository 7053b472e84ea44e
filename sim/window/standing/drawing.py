"""What a frame has besides the place where one stands: walking past, the line at the foot, what hands point at."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect, Surface

from sim.window.hands.dispatch import Dispatcher
from sim.window.hands.thing import Thing
from sim.window.kit.canvas import Canvas
from sim.window.standing.glow import draw_told
from sim.window.standing.place import Place
from sim.window.standing.room import OneRoom

WALK_S = 0.28


class Walking:
    """The place one left goes by while one walks."""

    def __init__(self) -> None:
        self._walked_s, self._way = WALK_S, 1
        self._from: Surface | None = None

    def begin(self, seen: Surface | None, way: int) -> None:
        """Set out, from what was seen; with reduced motion one is simply there."""
        self._from, self._way = seen, way
        self._walked_s = WALK_S if seen is None else 0.0

    @property
    def under_way(self) -> bool:
        """Whether the place one left is still seen."""
        return self._walked_s < WALK_S

    def update(self, dt_s: float) -> bool:
        """Go on; returns whether anything moves."""
        if not self.under_way:
            return False
        self._walked_s += dt_s
        return True

    def draw(self, surface: Surface) -> None:
        """Both places, one going and one coming."""
        if not self.under_way or self._from is None or self._from.get_size() != surface.get_size():
            return
        share = 1.0 - (1.0 - self._walked_s / WALK_S) ** 3
        shift = round(share * surface.get_width()) * self._way
        new = surface.copy()
        surface.blit(self._from, (-shift, 0))
        surface.blit(new, (surface.get_width() * self._way - shift, 0))


def draw_line(canvas: Canvas, room: OneRoom, hands: Dispatcher, rect: Rect) -> None:
    """The line at the foot: what is said, as long as it is true; else what is being worked out, or what the hand points at."""
    look, message = canvas.look, room.messages.now
    pygame.draw.rect(canvas.surface, look.colour("sunk"), rect)
    if message is None:
        told = hands.told()
        what = next(filter(None, room.work.words), "")
        words = room.line("one moment", what=what) if what else ""
        if not words and told is not None and told.large:
            words = f"{told.name()}. {told.about()}"
        at = (rect.x + look.px(14), rect.centery)
        if words:
            canvas.text(words, at, "small", "soft", "midleft", rect.w - look.px(24), shorten=True)
        return
    x = rect.x + look.px(14)
    if message.warn:
        canvas.mark("warn", (x + look.px(7), rect.centery), look.px(15), "warn")
        x += look.px(22)
    wide = rect.right - x - look.px(10)
    colour = "warn" if message.warn else "ink"
    if look.width(message.words, "small") <= wide:
        canvas.text(message.words, (x, rect.centery), "small", colour, "midleft", wide)
        return
    high, lines = look.line_height("small"), look.wrapped(message.words, wide, "small")
    plate = Rect(rect.x, rect.bottom - high * len(lines) - look.px(6), rect.w, high * len(lines) + look.px(6))
    pygame.draw.rect(canvas.surface, look.colour("sunk"), plate)
    canvas.lines(message.words, Rect(x, plate.y + look.px(3), wide, plate.h), "small", colour)


def draw_hands(canvas: Canvas, room: OneRoom, hands: Dispatcher, things: Sequence[Thing]) -> None:
    """The keyboard's focus where its thing is seen, and what the pointer rests on told in words."""
    if hands.focus in things and hands.focus is not None and hands.focus_shown and hands.focus.shown:
        hands.focus.draw_focus(canvas)
    told = None if room.standing.card is not None or room.burning else hands.told()
    if told is not None and not told.large:
        others = [one.rect for one in things if one.shown and not one.large and one is not told]
        draw_told(canvas, room, told, hands.pointer, others)


class Undrawn:
    """A place that cannot be drawn says so in its middle, once in the log; the rest stays usable."""

    def __init__(self) -> None:
        self._known: set[str] = set()

    def draw(self, canvas: Canvas, room: OneRoom, place: Place) -> None:
        """Draw a place, or what is wrong with it."""
        try:
            place.draw(canvas)
        except Exception as error:
            fault = f"{type(error).__name__}: {error}"
            if fault not in self._known:
                self._known.add(fault)
                room.log.error("cannot draw %s", place.id, exc_info=error)
            canvas.surface.set_clip(None)
            canvas.lines(fault, place.area.inflate(-place.area.w // 3, -place.area.h // 2))
