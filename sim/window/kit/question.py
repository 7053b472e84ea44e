"""A question laid over the place: it waits for an answer, the room goes on behind it."""

from __future__ import annotations

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.control import plate
from sim.window.kit.events import HANDLED, Event, Key, Outcome, Pointer, Question
from sim.window.kit.look import Look


class Asking:
    """A question under way: which answer the keyboard stands on."""

    def __init__(self, question: Question):
        self.question = question
        self.focus = len(question.answers) - 1

    def _frame(self, window: Rect, look: Look) -> tuple[Rect, list[Rect], int]:
        """Return the frame, the rectangles of the answers, and the height of the words."""
        answers = self.question.answers
        wide = sum(look.width(a.label) + look.px(32) for a in answers) + look.px(12) * (len(answers) - 1)
        width = min(window.w - look.px(60), max(look.px(460), wide + look.px(48)))
        words = len(look.wrapped(self.question.words, width - look.px(48))) * look.line_height("body")
        height = look.px(24 + 34 + 24 + 34) + words
        frame = Rect(0, 0, width, min(window.h - look.px(20), height))
        frame.center = window.center
        keys, x = [], frame.right - look.px(24)
        for answer in reversed(answers):
            w = look.width(answer.label) + look.px(32)
            keys.insert(0, Rect(x - w, frame.bottom - look.px(24 + 34), w, look.px(34)))
            x -= w + look.px(12)
        return frame, keys, words

    def handle(self, event: Event, window: Rect, look: Look) -> tuple[bool, Outcome]:
        """Return whether the question is answered, and what happens next."""
        if isinstance(event, Pointer):
            if event.kind == "down" and event.button == 1:
                for n, rect in enumerate(self._frame(window, look)[1]):
                    if rect.collidepoint(event.pos):
                        return self._answered(n)
            return False, HANDLED
        return self._key(event)

    def _key(self, event: Key) -> tuple[bool, Outcome]:
        count = len(self.question.answers)
        if not event.down or event.repeat:
            return False, HANDLED
        if event.name == "escape":
            return self._answered(count - 1)
        if event.name in ("return", "enter", "space"):
            return self._answered(self.focus)
        if event.name in ("left", "right", "tab"):
            back = event.name == "left" or (event.name == "tab" and event.shift)
            self.focus = (self.focus + (-1 if back else 1)) % count
        return False, HANDLED

    def _answered(self, n: int) -> tuple[bool, Outcome]:
        return True, self.question.then(self.question.answers[n].id) or HANDLED

    def draw(self, canvas: Canvas) -> None:
        """Dim the place and draw the question over it."""
        look, window = canvas.look, canvas.surface.get_rect()
        dim(canvas)
        frame, keys, words = self._frame(window, look)
        pygame.draw.rect(canvas.surface, look.colour("panel"), frame, border_radius=look.px(8))
        pygame.draw.rect(canvas.surface, look.colour("soft"), frame, 1, border_radius=look.px(8))
        left, room = frame.x + look.px(24), frame.w - look.px(48)
        canvas.text(self.question.title, (left, frame.y + look.px(20)), "title", "ink", room=room, shorten=True)
        canvas.lines(self.question.words, Rect(left, frame.y + look.px(54), room, words + 2))
        for n, (answer, rect) in enumerate(zip(self.question.answers, keys)):
            plate(canvas, rect, hot=n == self.focus)
            canvas.text(answer.label, rect.center, "body", "ink", "center")
            canvas.hit(f"answer:{answer.id}", rect)
            if n == self.focus:
                canvas.focus_ring(rect)


def dim(canvas: Canvas) -> None:
    """Lay a veil over what is drawn so far; what lies under it can no longer be clicked."""
    size = canvas.surface.get_size()

    def veil() -> pygame.Surface:
        made = pygame.Surface(size, pygame.SRCALPHA)
        made.fill((*canvas.look.colour("shade"), 205))
        return made

    canvas.surface.blit(canvas.look.keep(("veil", size), veil), (0, 0))
    canvas.hits.clear()
