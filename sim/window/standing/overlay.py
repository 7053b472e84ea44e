"""A sheet laid over the room: help, preferences, the cupboard, a question. It has things of its own; Escape takes it away."""

from __future__ import annotations

from collections.abc import Sequence

from pygame import Rect

from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_bottom, stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key
from sim.window.kit.shading import cast
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Plate
from sim.window.things.rows import along_the_foot


class Overlay:
    """Something over the room."""

    title = ""
    share = (0.8, 0.9)
    outside = False  # it is looked at in white light, beyond the door

    listed: Sequence[Thing] = ()  # what lies on it above its plates

    def __init__(self, room: OneRoom, title: str = "", done: str = "done"):
        self.room, self.title = room, title
        self.rect = self.inner = Rect(0, 0, 1, 1)
        self.closed = False
        self.done = Plate(room, done, self.close)

    def plates(self) -> Sequence[Plate]:
        """Return the plates along its foot, the last one at the right."""
        return (self.done,)

    def things(self) -> Sequence[Thing]:
        """Return what can be touched on it."""
        return [*self.listed, *self.plates()]

    def above_the_foot(self, gap: float, above: float) -> Rect:
        """Let the plates stand along the foot, ``gap`` logical units apart; return the room ``above`` them."""
        high = along_the_foot(tuple(reversed(self.plates())), self.inner, self.room.px(gap))
        return cut_bottom(self.inner, high, self.room.px(above))[1]

    def lay_out(self, area: Rect) -> None:
        """Lie in the middle."""
        look = self.room.look
        self.rect = stood((round(area.w * self.share[0]), round(area.h * self.share[1])), "center", area.center)
        top = look.line_height("title") + look.px(20)
        self.inner = Rect(
            self.rect.x + look.px(18), self.rect.y + top, self.rect.w - look.px(36), self.rect.h - top - look.px(14)
        )

    def key(self, key: Key) -> bool:
        """A key went down."""
        return False

    def close(self) -> None:
        """Take it away."""
        self.closed = True

    def update(self, dt_s: float) -> bool:
        """Let time pass; returns whether anything moved."""
        return False

    def draw_below(self, canvas: Canvas) -> None:
        """What lies on the sheet under its things."""

    def draw(self, canvas: Canvas) -> None:
        """The sheet with its title; what stands on it follows."""
        look = canvas.look
        cast(canvas.surface, look, self.rect, 16, 6)
        canvas.plate(self.rect, "edge", "panel", radius=8)
        canvas.text(self.title, (self.inner.x, self.rect.y + look.px(12)), "title", "ink", room=self.inner.w)
        self.draw_below(canvas)
        for thing in self.things():
            if thing.shown:
                thing.draw(canvas)
