"""Your print fades into one that reaches what was asked: a slide under the print, once its marks are shown."""

from __future__ import annotations

import numpy as np
import pygame
from numpy.typing import NDArray
from pygame import Rect, Surface

from sim.teaching.lesson import LessonRun
from sim.teaching.reached import reached_maker
from sim.viewing.lightness import screen_values
from sim.window.kit.canvas import Canvas
from sim.window.kit.picture import grey_surface
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Slide
from sim.window.things.wall import OnTheWall

FINE_PX_PER_MM, STEP = 3.0, 0.1
WHOLE = 0.999  # of the points: all of them


class Fade(Slide):
    """Drag it: 0 is your print, 1 the one that can be reached. Made beside the window when the marks are first shown."""

    def __init__(self, room: OneRoom):
        super().__init__(room, "fade")
        self.share = 0.0
        self._of: object = None
        self._print: NDArray[np.float32] | None = None
        self._seen: tuple[object, Surface] | None = None
        self.over = Rect(0, 0, 0, 0)

    def want(self, run: LessonRun, number: int) -> None:
        """Have the reached print of a sheet made, once."""
        of = (run, number)
        if of == self._of:
            return
        self._of, self._print, self._seen, self.share = of, None, None, 0.0
        marks = run.step.marks
        if marks is not None and all(one.share >= WHOLE for one in marks.marks):
            return  # it has all that was asked for: there is nothing to fade to

        def came(made: NDArray[np.float32]) -> None:
            if of == self._of:
                self._print = made

        self.room.later(reached_maker(run, number, FINE_PX_PER_MM), came)

    def lay_out(self, wall: OnTheWall, number: int) -> None:
        """Under the print, or nowhere while there is nothing to fade to."""
        pin = wall.pins.of(number)
        self.rect = wall.slide = Rect(0, 0, 0, 0)
        if self._print is None or pin is None or not pin.up or number not in wall.prints:
            return
        self.over = wall.rect(pin)
        high = self.room.look.line_height("small") + self.room.px(20)
        self.rect = Rect(self.over.x, self.over.bottom + self.room.px(28), max(self.over.w, self.room.px(180)), high)
        self.rect.clamp_ip(wall.area)
        caption = Rect(self.over.x, self.over.bottom, self.over.w, self.room.px(28))
        if self.rect.colliderect(caption):  # no room below the words: above the print, else at the wall's upper edge
            self.rect.bottom = self.over.y - self.room.px(6)
            self.rect.clamp_ip(wall.area)
        wall.slide = self.rect.copy()

    def to_share(self, share: float) -> None:
        """Stand between your print and the one that can be reached."""
        self.share = min(1.0, max(0.0, share))

    def pressed(self) -> None:
        """From one to the other."""
        self.to_share(0.0 if self.share >= 0.5 else 1.0)

    def by(self, steps: int, fine: bool) -> bool:
        """It slides."""
        self.to_share(self.share + steps * STEP)
        return True

    def draw_over(self, canvas: Canvas, wall: OnTheWall) -> None:
        """Lay the reached print over the learner's, as far as the slide stands."""
        if self._print is None or self.share <= 0.0:
            return
        key = (self.over.size, wall.lux, wall.tint(), self._of)
        if self._seen is None or self._seen[0] != key:
            levels = screen_values(self._print, wall.lux if self.room.light == "white" else 500.0)
            picture = grey_surface(levels, wall.tint())
            self._seen = (key, pygame.transform.smoothscale(picture, self.over.size))
        self._seen[1].set_alpha(round(255 * self.share))
        canvas.surface.blit(self._seen[1], self.over)

    def draw(self, canvas: Canvas) -> None:
        """A slide with its name, the knob where it stands."""
        look, rect = canvas.look, self.rect
        canvas.plate(rect, "lamp" if self.hot else "edge")
        at = (rect.centerx, rect.y + look.px(2))
        canvas.text(self.name(), at, "small", "soft", "midtop", rect.w - look.px(12), shorten=True)
        y, left, wide = rect.bottom - look.px(9), rect.x + look.px(14), rect.w - look.px(28)
        canvas.line((left, y), (left + wide, y), "faint", 2)
        canvas.lamp((left + round(wide * self.share), y), look.px(6), True)
