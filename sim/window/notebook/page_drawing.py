"""A page of the notebook: the picture at the left, what was done and what it reads at the right."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pygame
from pygame import Rect

from sim.window.kit.boxes import cut_left, cut_top, inset
from sim.window.kit.canvas import Canvas
from sim.window.wall.hanging import wall_grey

Words = Callable[..., str]


def picture_room(rect: Rect, shape_mm: tuple[float, float], pad: int) -> tuple[Rect, Rect]:
    """Return the grey mount for the picture at the left, and the rest of the page."""
    upright = shape_mm[1] >= shape_mm[0]
    wide = int(rect.w * (0.44 if upright else 0.5))
    mount, rest = cut_left(rect, wide, pad)
    high = min(mount.h, int((wide - 2 * pad) * shape_mm[1] / shape_mm[0]) + 2 * pad)
    return cut_top(mount, high)[0], rest


def draw_mounted(canvas: Canvas, mount: Rect, picture: pygame.Surface | None) -> None:
    """Draw the print on its neutral mount."""
    pygame.draw.rect(canvas.surface, wall_grey(500.0), mount)
    if picture is not None:
        canvas.surface.blit(picture, picture.get_rect(center=mount.center))


def draw_entries(
    canvas: Canvas, rect: Rect, title: str, lines: Sequence[str], rows: Sequence[tuple[str, str]], t: Words,
    more: Sequence[str] = (),
) -> None:  # fmt: skip
    """Draw the title, the record line by line, then the readings as a small table; what does not fit is said."""
    look = canvas.look
    small, y = look.line_height("small"), rect.y
    y = canvas.lines(title, Rect(rect.x, y, rect.w, 2 * look.line_height("strong")), "strong", "ink", shorten=True).bottom
    y += look.px(6)
    keep = (len(rows) + 1) * small + look.px(10) if rows else 0
    y = _paragraphs(canvas, Rect(rect.x, y, rect.w, max(small, rect.bottom - keep - y)), [*lines, *more])
    if not rows:
        return
    y += look.px(8)
    pygame.draw.line(canvas.surface, look.colour("faint"), (rect.x, y), (rect.right, y))
    y += look.px(5)
    fit = max(0, (rect.bottom - y) // small)
    for name, figures in rows[:fit]:
        right = canvas.text(figures, (rect.right, y), "small", "ink", "topright").left
        canvas.text(name, (rect.x, y), "small", "soft", room=max(8, right - rect.x - look.px(8)), shorten=True)
        y += small


def _paragraphs(canvas: Canvas, rect: Rect, lines: Sequence[str]) -> int:
    look = canvas.look
    small, y = look.line_height("small"), rect.y
    for line in lines:
        indent = look.px(14) if line.startswith(" ") else 0
        left = (rect.bottom - y) // small
        if left < 1:
            break
        room = Rect(rect.x + indent, y, rect.w - indent, left * small)
        y = canvas.lines(line.strip(), room, "small", "soft" if indent else "ink", shorten=True).bottom + look.px(2)
    return y


def page_frame(canvas: Canvas, rect: Rect) -> Rect:
    """Draw the page itself; returns the room on it."""
    look = canvas.look
    pygame.draw.rect(canvas.surface, look.colour("panel"), rect, border_radius=look.px(4))
    spine = rect.x + look.px(16)
    for y in range(rect.y + look.px(24), rect.bottom - look.px(12), look.px(48)):
        pygame.draw.circle(canvas.surface, look.colour("ground"), (spine, y), look.px(5))
        pygame.draw.circle(canvas.surface, look.colour("edge"), (spine, y), look.px(5), 1)
    inner = inset(rect, look.px(16), look.px(14))
    return Rect(inner.x + look.px(20), inner.y, inner.w - look.px(20), inner.h)
