"""What a drill shows beside its words: the items of a round in a row, and how far off each answer was. Pure drawing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import pygame
from pygame import Rect

from sim.window.kit.boxes import fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.picture import scaled
from sim.window.theme import WHITE_LIGHT

Translate = Callable[..., str]
MOST_SHOWN = 3.0  # tolerances at the top of the picture; what is farther off ends there


def draw_items(canvas: Canvas, rect: Rect, answers: Sequence[Any], count: int) -> None:
    """Draw a sign for each item: a tick, a cross, a ring where one stands, a dot for what is to come."""
    look = canvas.look
    step = min(look.px(30), rect.w // max(1, count))
    for n in range(count):
        centre = (rect.x + step * n + step // 2, rect.centery)
        if n < len(answers):
            canvas.mark("tick" if answers[n].right else "cross", centre, look.px(14), "ink")
        elif n == len(answers):
            canvas.mark("ring", centre, look.px(14), "ink")
        else:
            canvas.mark("dot", centre, look.px(8), "faint")


class ItemPicture:
    """The print of an item; only the size that is shown is kept beside it."""

    def __init__(self, surface: pygame.Surface):
        self.surface = surface
        self._shown = surface

    def draw(self, canvas: Canvas, rect: Rect) -> None:
        """Draw it on a mat of neutral grey, which is what tones are judged against."""
        pygame.draw.rect(canvas.surface, WHITE_LIGHT.ground, rect, border_radius=canvas.look.px(4))
        inner = fit(self.surface.get_size(), rect.inflate(-canvas.look.px(24), -canvas.look.px(24)))
        if self._shown.get_size() != inner.size:
            self._shown = scaled(self.surface, inner.size)
        canvas.surface.blit(self._shown, inner)


def draw_errors(canvas: Canvas, rect: Rect, answers: Sequence[Any], t: Translate) -> None:
    """Draw how far off each answer was, in tolerances: what stays under the line was near enough."""
    look = canvas.look
    title = canvas.text(t("How far off, item by item"), rect.topleft, "small", "soft", room=rect.w, shorten=True)
    body = Rect(rect.x, title.bottom + look.px(10), rect.w, rect.bottom - title.bottom - look.px(34))
    if body.h < look.px(30) or not answers:
        return
    near = body.bottom - int(body.h / MOST_SHOWN)
    words = canvas.text(
        t("near enough"), (body.right, near), "small", "soft", "midright", look.px(160), shorten=True
    )
    canvas.line((body.x, near), (words.left - look.px(8), near), "soft", 1)
    canvas.line((body.x, body.bottom), (body.right, body.bottom), "edge", 1)
    step = (words.left - look.px(8) - body.x) / len(answers)
    for n, answer in enumerate(answers):
        height = max(look.px(2), int(body.h * min(answer.error, MOST_SHOWN) / MOST_SHOWN))
        bar = Rect(int(body.x + step * (n + 0.25)), body.bottom - height, max(look.px(4), int(step * 0.5)), height)
        pygame.draw.rect(canvas.surface, look.colour("soft" if answer.right else "ink"), bar, border_radius=look.px(2))
        canvas.text(str(n + 1), (bar.centerx, body.bottom + look.px(4)), "small", "soft", "midtop")
