"""The steps of the lesson under way, as a strip above every place: one does not have to remember the task while working."""

from __future__ import annotations

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look

ONE_LINE, THREE_LINES = 30, 62
ROOMY = 790  # logical units of window height from which three lines are shown


class LessonBand(Control):
    """Shows one step of the brief; left and right turn it, Enter goes to the lesson."""

    def __init__(self, label: str, steps: tuple[str, ...] = ()):
        super().__init__("lesson-band", label)
        self.steps = steps
        self.value = 0

    def wanted(self, look: Look) -> tuple[int, int]:
        """The full width; one line, or three where there is room."""
        return look.px(400), look.px(ONE_LINE)

    def spoken(self) -> str:
        """The whole step."""
        return self.steps[self.value] if self.steps else ""

    def _turn(self, steps: int) -> Outcome:
        self.value = max(0, min(len(self.steps) - 1, self.value + steps))
        return HANDLED

    def _signs(self, look: Look) -> tuple[Rect, Rect]:
        side = look.px(26)
        return Rect(self.rect.x, self.rect.y, side, self.rect.h), Rect(
            self.rect.right - side, self.rect.y, side, self.rect.h
        )

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """The ends turn the step, the middle goes to the lesson."""
        if event.kind == "wheel":
            return self._turn(-event.steps)
        if event.kind == "down" and event.button == 1:
            before, after = self._signs(look)
            if before.collidepoint(event.pos) or after.collidepoint(event.pos):
                return self._turn(-1 if before.collidepoint(event.pos) else 1)
            return Outcome(go_to="lessons")
        return HANDLED if event.kind == "up" else UNUSED

    def key(self, event: Key) -> Outcome:
        """Left and right turn the step, Enter goes to the lesson."""
        if not event.down or event.control or event.alt:
            return UNUSED
        if event.name in ("left", "right"):
            return self._turn(-1 if event.name == "left" else 1)
        return Outcome(go_to="lessons") if event.name in ("return", "enter") else UNUSED

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the step between its two signs."""
        look, rect = canvas.look, self.rect
        pygame.draw.rect(canvas.surface, look.colour("panel"), rect, border_radius=look.px(5))
        pygame.draw.rect(canvas.surface, look.colour("soft" if self.hot else "edge"), rect, 1, border_radius=look.px(5))
        before, after = self._signs(look)
        for sign, words, there in ((before, "‹", self.value > 0), (after, "›", self.value < len(self.steps) - 1)):
            canvas.text(words, sign.center, "title", "ink" if there else "soft", "center")
        left, right = before.right + look.px(4), after.left - look.px(6)
        count = f"{self.value + 1} / {len(self.steps)}" if self.steps else ""
        label = canvas.text(count, (left, rect.y + look.px(7)), "strong", "soft")
        room = Rect(
            label.right + look.px(10), rect.y + look.px(6), right - label.right - look.px(10), rect.h - look.px(8)
        )
        words = self.steps[self.value] if self.steps else self.label
        if rect.h < look.px(THREE_LINES):
            canvas.text(words, (room.x, rect.centery), "body", "ink", "midleft", room.w, shorten=True)
        else:
            canvas.lines(words, room, "body", "ink", shorten=True)
        if focused:
            canvas.focus_ring(rect)
