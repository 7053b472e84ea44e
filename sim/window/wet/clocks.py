"""The clock above the trays: a dial with one hand for the bath, its mark for the time wanted, and figures beside it."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas

if TYPE_CHECKING:
    from sim.bench.tray import Tray

FINE = 3


def minutes_words(seconds: float) -> str:
    """Return seconds as a clock shows them: ``1:05``."""
    whole = int(seconds + 1e-6)
    return f"{whole // 60}:{whole % 60:02d}"


def draw_dial(canvas: Canvas, rect: Rect, seconds: float, wanted_s: float) -> None:
    """Draw a minute dial: the hand goes round once a minute, the wedge outside is what the bath still wants."""
    look = canvas.look
    side = min(rect.w, rect.h)
    middle = rect.center
    canvas.surface.blit(
        look.keep(("dial", side), lambda: _face(canvas, side)), (middle[0] - side // 2, middle[1] - side // 2)
    )
    r = side / 2
    if wanted_s > 0:  # a bead on the rim for the second at which the bath is done
        a = _angle(wanted_s)
        x, y = middle[0] + math.cos(a) * r * 0.92, middle[1] + math.sin(a) * r * 0.92
        tip = (middle[0] + math.cos(a) * r * 0.78, middle[1] + math.sin(a) * r * 0.78)
        across = (math.cos(a + math.pi / 2) * r * 0.07, math.sin(a + math.pi / 2) * r * 0.07)
        wedge = [(x + across[0], y + across[1]), (x - across[0], y - across[1]), tip]
        pygame.draw.polygon(canvas.surface, look.colour("lamp"), wedge)
        pygame.draw.aalines(canvas.surface, look.colour("lamp"), True, wedge)
    a = _angle(seconds)
    tip = (middle[0] + math.cos(a) * r * 0.76, middle[1] + math.sin(a) * r * 0.76)
    tail = (middle[0] - math.cos(a) * r * 0.16, middle[1] - math.sin(a) * r * 0.16)
    pygame.draw.line(canvas.surface, look.colour("ink"), tail, tip, look.px(3))
    pygame.draw.circle(canvas.surface, look.colour("ink"), middle, look.px(5))
    pygame.draw.circle(canvas.surface, look.colour("sunk"), middle, look.px(2))


def _angle(seconds: float) -> float:
    return (seconds % 60.0) / 60.0 * 2 * math.pi - math.pi / 2


def _face(canvas: Canvas, side: int) -> pygame.Surface:
    look = canvas.look
    big = pygame.Surface((side * FINE, side * FINE), pygame.SRCALPHA)
    c = side * FINE // 2
    pygame.draw.circle(big, look.colour("shade"), (c, c), c)
    pygame.draw.circle(big, look.colour("edge"), (c, c), c - FINE)
    pygame.draw.circle(big, look.colour("sunk"), (c, c), c - 3 * FINE)
    for k in range(60):
        a = k / 60 * 2 * math.pi - math.pi / 2
        five = k % 5 == 0
        inner, outer = (0.80 if five else 0.87) * c, 0.93 * c
        ends = [(c + math.cos(a) * n, c + math.sin(a) * n) for n in (inner, outer)]
        pygame.draw.line(big, look.colour("soft" if five else "faint"), *ends, FINE * (2 if five else 1))
    face = pygame.transform.smoothscale(big, (side, side))
    for k in (0, 15, 30, 45):
        a = k / 60 * 2 * math.pi - math.pi / 2
        words = look.text(str(k or 60), "small", look.colour("soft"))
        at = (side / 2 + math.cos(a) * side * 0.325, side / 2 + math.sin(a) * side * 0.325)
        face.blit(words, words.get_rect(center=at))
    return face


def draw_baths(canvas: Canvas, rect: Rect, names: list[str], present: int) -> None:
    """Draw the way of the sheet as a row of stations: ticked when left, ringed where it lies, hollow ahead."""
    look = canvas.look
    wide = rect.w // len(names)
    y = rect.y + look.px(12)
    for n, name in enumerate(names):
        x = rect.x + wide * n + wide // 2
        if n:
            pygame.draw.line(
                canvas.surface, look.colour("soft" if n <= present else "faint"),
                (x - wide + look.px(13), y), (x - look.px(13), y), look.px(2 if n <= present else 1),
            )  # fmt: skip
        if n < present:
            canvas.mark("tick", (x, y), look.px(16), "ink")
        elif n == present:
            canvas.mark("ring", (x, y), look.px(26), "ink")
            canvas.mark("dot", (x, y), look.px(14), "ink")
        else:
            canvas.mark("ring", (x, y), look.px(15), "soft")
        here = n == present
        canvas.text(
            name, (x, y + look.px(15)), "strong" if here else "small", "ink" if here else "soft", "midtop", wide, shorten=True
        )


def draw_clock(canvas: Canvas, rect: Rect, tray: Tray, name: str, minutes_left: float, t: Callable[..., str]) -> None:
    """Draw the plate with the dial, the bath's seconds, and the minutes of sheet and evening."""
    look = canvas.look
    inner = canvas.panel(rect)
    running = bool(tray.stage) and tray.stage != "dry"
    draw_dial(canvas, Rect(inner.x, inner.y, inner.h, inner.h), tray.seconds if running else 0.0, tray.wanted_s)
    left = inner.x + inner.h + look.px(14)
    room = inner.right - left
    y = canvas.text(name if running else t("Clock stands"), (left, inner.y), "strong", "ink", room=room, shorten=True).bottom
    lines = [t("{n} min left tonight", n=f"{max(0.0, minutes_left):.0f}")]
    if running:
        y = canvas.text(minutes_words(tray.seconds), (left, y + look.px(2)), "figure", "ink").bottom
        words = t("of {time}", time=minutes_words(tray.wanted_s))
        canvas.text(words, (left, y), "small", "soft", room=room, shorten=True)
        lines.insert(0, t("this sheet {n} min", n=f"{tray.darkroom_minutes:.1f}"))
    y = inner.bottom - look.line_height("small") * len(lines)
    for words in lines:
        canvas.text(words, (left, y), "small", "soft", room=room, shorten=True)
        y += look.line_height("small")
