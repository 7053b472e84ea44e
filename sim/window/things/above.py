"""What hangs over the bench: words that lead along it, the cord of the light, what can be taken back, paper and time."""

from __future__ import annotations

from collections.abc import Callable

import pygame
from pygame import Rect

from sim.notebook.control_words import CONTROL_TITLES
from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.standing.room import OneRoom
from sim.window.standing.standing import ALONG_THE_BENCH, Place
from sim.window.things.in_room import InRoom
from sim.window.things.paper_box import sheets_in_words

HIGH, GAP = 36, 10


class WordAbove(InRoom):
    """A word over the bench: touch it and walk there."""

    def __init__(self, room: OneRoom, place: Place):
        super().__init__(room, f"to {place}")
        self.place: Place = place

    def locked(self) -> str:
        """Without an evening only the shelf is there."""
        return "" if self.room.open or self.place == "shelf" else self.room.line("no evening")

    def pressed(self) -> None:
        """Walk there."""
        if self.locked():
            self.room.say("no evening", warn=True)
        else:
            self.room.wanted_place = self.place

    def draw(self, canvas: Canvas) -> None:
        """The word; where one stands a bar of light is under it. A lamp that burns is seen beside it from everywhere."""
        look, rect = canvas.look, self.rect
        here = self.room.standing.place == self.place
        size = "strong" if here else "body"
        colour = "ink" if here or (self.hot and not self.locked()) else "soft"
        drawn = canvas.text(self.name(), rect.center, size, colour, "center", rect.w)
        if here:
            bar = Rect(drawn.x, rect.bottom - look.px(5), drawn.w, look.px(3))
            pygame.draw.rect(canvas.surface, look.colour("lamp"), bar, border_radius=look.px(1))
        if self.place == "enlarger" and self.room.open and self.room.darkroom.easel.lit:
            canvas.lamp((rect.x + look.px(7), rect.centery), look.px(4), True)


class Cord(InRoom):
    """The cord of the room's light: a pull and it is white, another and it is the safelight. It hangs everywhere."""

    def __init__(self, room: OneRoom):
        super().__init__(room, "cord")

        self.full = True  # whether there is room to say what it is

    def now(self) -> str:
        """Which light is on."""
        return self.room.line("light " + self.room.light)

    def wide(self) -> int:
        """Return how wide it is with what it says in any light, so that nothing moves when it is pulled."""
        look, key = self.room.look, "cord" if self.full else "light"
        return max(look.width(self.room.line(f"{key} {light}")) for light in ("amber", "red", "white")) + look.px(32)

    def pressed(self) -> None:
        """Pull it."""
        darkroom = self.room.darkroom
        darkroom.switch_white_light(not darkroom.white_light)
        self.room.sounds.play("relay")
        self.room.messages.done()

    def draw(self, canvas: Canvas) -> None:
        """A lamp, the cord under it, and the light's name."""
        look, rect = canvas.look, self.rect
        x = rect.x + look.px(12)
        colour = {"amber": (255, 158, 70), "red": (235, 60, 40), "white": (255, 255, 255)}[self.room.light]
        pygame.draw.circle(canvas.surface, look.colour("shade"), (x, rect.centery - look.px(3)), look.px(7))
        pygame.draw.circle(canvas.surface, colour, (x, rect.centery - look.px(3)), look.px(5))
        canvas.line((x, rect.centery + look.px(3)), (x, rect.bottom - look.px(6)), "soft")
        canvas.mark("dot", (x, rect.bottom - look.px(5)), look.px(7), "soft")
        words = self.room.line(f"{'cord' if self.full else 'light'} {self.room.light}")
        canvas.text(
            words, (x + look.px(14), rect.centery), "body", "ink" if self.hot else "soft", "midleft", rect.right - x
        )


class TakeBack(InRoom):
    """An arrow back, or forward: takes the last change back, or does it again; its name says which."""

    def __init__(self, room: OneRoom, back: bool):
        super().__init__(room, "undo" if back else "redo")
        self._back = back

    def _what(self) -> tuple[str, ...]:
        desk = self.room.darkroom.desk
        return desk.would_undo if self._back else desk.would_redo

    def now(self) -> str:
        """What would be taken back."""
        return ", ".join(self.room.words.text(CONTROL_TITLES[name]) for name in self._what())

    def locked(self) -> str:
        """There may be nothing."""
        if not self.room.open or not self._what():
            return self.room.line("nothing to undo" if self._back else "nothing to redo")
        return ""

    def pressed(self) -> None:
        """Take it back, and say what."""
        why = self.locked()
        if why:
            self.room.say_words(why)
            return
        what = self.now()
        desk = self.room.darkroom.desk
        desk.undo() if self._back else desk.redo()
        self.room.say("undone" if self._back else "redone", what=what)

    def draw(self, canvas: Canvas) -> None:
        """A bent arrow."""
        look, rect = canvas.look, self.rect
        colour = look.colour("lamp-off" if self.locked() else ("ink" if self.hot else "soft"))
        side = -1 if self._back else 1
        box = stood((look.px(16), look.px(14)), "center", (rect.centerx, rect.centery + look.px(2)))
        pygame.draw.arc(canvas.surface, colour, box, 0.0 if self._back else 0.2, 3.0 if self._back else 3.2, max(2, look.px(2)))
        x, y, wing = box.centerx + side * box.w // 2, box.centery, look.px(4)
        pygame.draw.polygon(canvas.surface, colour, [(x - wing, y - 1), (x + wing, y - 1), (x, y + wing)])


class Corner(InRoom):
    """A small sign at the right: help, keys, preferences."""

    def __init__(self, room: OneRoom, id: str, sign: str, press: Callable[[], None]):
        super().__init__(room, id)
        self._sign, self._press = sign, press

    def pressed(self) -> None:
        """Open it."""
        self._press()

    def draw(self, canvas: Canvas) -> None:
        """The sign."""
        canvas.text(self._sign, self.rect.center, "strong", "ink" if self.hot else "soft", "center", self.rect.w)


class Above:
    """The row over the bench."""

    def __init__(self, room: OneRoom, corners: tuple[Corner, ...]):
        self.room = room
        self.words = [WordAbove(room, place) for place in ALONG_THE_BENCH]
        self.cord, self.undo, self.redo = Cord(room), TakeBack(room, True), TakeBack(room, False)
        self.corners = corners
        self.rect = Rect(0, 0, 0, 0)
        self._left = Rect(0, 0, 0, 0)

    def things(self) -> list[InRoom]:
        """Return all of them, from left to right."""
        evening: list[InRoom] = [self.cord, self.undo, self.redo] if self.room.open else []
        return [*self.words, *evening, *self.corners]

    def lay_out(self, rect: Rect) -> None:
        """Words at the left, the light after them, signs at the right; what is left says paper and time."""
        self.rect, look = rect, self.room.look
        x = rect.x + look.px(GAP)
        for word in self.words:
            wide = look.width(word.name(), "strong") + look.px(22)
            word.rect = Rect(x, rect.y, wide, rect.h)
            x += wide
        x += look.px(GAP)
        after = look.px(2 * 30 + 28 * len(self.corners) + 3 * GAP) + self._shortest()
        self.cord.full = True
        self.cord.full = x + self.cord.wide() + after <= rect.right
        wide = self.cord.wide()
        self.cord.rect = Rect(x, rect.y, wide, rect.h)
        x += wide
        for arrow in (self.undo, self.redo):
            arrow.rect = Rect(x, rect.y, look.px(30), rect.h)
            x += look.px(30)
        right = rect.right - look.px(GAP)
        for corner in reversed(self.corners):
            corner.rect = Rect(right - look.px(28), rect.y, look.px(28), rect.h)
            right -= look.px(28)
        self._left = Rect(x, rect.y, max(0, right - x - look.px(GAP)), rect.h)

    def _shortest(self) -> int:
        """Return the width of what is left of paper and evening, said in the fewest words."""
        return self.room.look.width(self._left_said()[-1])

    def left_words(self) -> str:
        """Return what is left of paper and evening, as fully as there is room for."""
        return next((said for said in self._left_said() if self.room.look.width(said) <= self._left.w), "")

    def _left_said(self) -> tuple[str, ...]:
        if not self.room.open:
            return ("",)
        darkroom, words = self.room.darkroom, self.room.words
        left, minutes = darkroom.sheets_left, int(max(0.0, darkroom.minutes_left))
        sheets = words.count("{count} sheet left", "{count} sheets left", left, count=sheets_in_words(left))
        whole = f"{sheets} · {self.room.line('minutes left', n=minutes)}"
        short = f"{sheets_in_words(left)} · {self.room.line('minutes', n=minutes)}"
        return whole, short

    def draw(self, canvas: Canvas) -> None:
        """A dark board with everything on it."""
        look = canvas.look
        pygame.draw.rect(canvas.surface, look.colour("sunk"), self.rect)
        canvas.line((self.rect.x, self.rect.bottom - 1), (self.rect.right, self.rect.bottom - 1), "edge")
        for thing in self.things():
            thing.draw(canvas)
        if self.room.standing.beating:
            at = (self._left.x + look.px(14), self._left.centery)
            canvas.lamp(at, look.px(6), self.room.standing.beat_lit)
        said = self.left_words()
        if said:
            canvas.text(said, (self._left.right, self._left.centery), "body", "soft", "midright", self._left.w)
