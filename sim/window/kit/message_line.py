"""The line at the foot of the window: what happened last, in words; warnings carry a sign. Everything is also logged."""

from __future__ import annotations

import logging
from collections import deque
from dataclasses import dataclass

import pygame
from pygame import Rect

from sim.plain_text import one_line
from sim.window.kit.canvas import Canvas

KEPT = 200
MOST_CHARACTERS = 400


@dataclass(frozen=True)
class Message:
    """One thing said."""

    words: str
    warn: bool


class MessageLine:
    """The last message, and the ones before it."""

    def __init__(self, log: logging.Logger):
        self.said: deque[Message] = deque(maxlen=KEPT)
        self.log = log

    def say(self, words: str, warn: bool = False) -> None:
        """Say something; line breaks and unprintable characters become spaces."""
        clean = one_line(words)
        if len(clean) > MOST_CHARACTERS:
            clean = clean[: MOST_CHARACTERS - 1] + "…"
        if clean:
            self.said.append(Message(clean, warn))
            self.log.log(logging.WARNING if warn else logging.INFO, "%s", clean)

    @property
    def last(self) -> Message | None:
        """What was said last."""
        return self.said[-1] if self.said else None

    def draw(self, canvas: Canvas, rect: Rect, until: int) -> None:
        """Draw the line; its words end before ``until``, where the buttons stand."""
        look = canvas.look
        pygame.draw.rect(canvas.surface, look.colour("sunk"), rect)
        canvas.line(rect.topleft, (rect.right, rect.y), "edge")
        x, right = rect.x + look.px(14), until - look.px(12)
        if self.last is None:
            return
        if self.last.warn:
            canvas.mark("warn", (x + look.px(8), rect.centery), look.px(16), "warn")
            x += look.px(24)
        colour = "warn" if self.last.warn else "ink"
        canvas.text(self.last.words, (x, rect.centery), "small", colour, "midleft", right - x, shorten=True)
