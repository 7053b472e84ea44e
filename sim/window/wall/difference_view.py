"""The difference between two prints as a picture: grey where they agree, signs as well as tones where they do not."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np
import pygame
from pygame import Rect

from sim.window.kit.boxes import cut_bottom, fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.picture import grey_surface
from sim.window.wall.axes import signed

if TYPE_CHECKING:
    from sim.bench.comparing import PrintDifference

SIGN_EVERY = 42  # logical units between the signs laid over the picture
SIGN_FROM = 8  # levels from 128: about 0.03 of density, what the eye just sees in the light tones
FULL = 0.5  # densities at the ends of the scale, as the wall's picture has them


def draw_difference(
    canvas: Canvas, rect: Rect, found: PrintDifference, names: tuple[str, str], t: Callable[..., str]
) -> None:
    """Draw the picture with + where the second print is darker and − where it is lighter, and the scale below."""
    look = canvas.look
    legend, body = cut_bottom(rect, look.px(46), look.px(8))
    rows, cols = found.picture.shape
    room = fit((cols, rows), body.inflate(-look.px(12), -look.px(12)))
    picture = grey_surface(found.picture)
    if picture.get_size() != room.size:
        picture = pygame.transform.smoothscale(picture, room.size)
    pygame.draw.rect(canvas.surface, (128, 128, 128), body)
    canvas.surface.blit(picture, room)
    pygame.draw.rect(canvas.surface, (96, 96, 96), room, 1)
    _signs(canvas, room, found.picture)
    _legend(canvas, legend, names, t)


def _signs(canvas: Canvas, room: Rect, levels: np.ndarray) -> None:
    """Lay a sign over every patch whose mean differs; its size grows with the difference."""
    look = canvas.look
    every = look.px(SIGN_EVERY)
    across, down = max(1, room.w // every), max(1, room.h // every)
    row = np.linspace(0, levels.shape[0], down + 1).astype(int)
    col = np.linspace(0, levels.shape[1], across + 1).astype(int)
    for i in range(down):
        for j in range(across):
            mean = float(levels[row[i] : max(row[i + 1], row[i] + 1), col[j] : max(col[j + 1], col[j] + 1)].mean()) - 128.0
            if abs(mean) >= SIGN_FROM:
                at = (room.x + (2 * j + 1) * room.w // (2 * across), room.y + (2 * i + 1) * room.h // (2 * down))
                draw_sign(canvas, at, mean < 0, min(1.0, abs(mean) / 64.0))


def draw_sign(canvas: Canvas, at: tuple[int, int], darker: bool, size: float) -> None:
    """Draw a white + where it is darker, a black − where it is lighter: each on the ground it shows on."""
    look, surface = canvas.look, canvas.surface
    arm, wide = look.px(3 + 4 * size), look.px(2)
    colour = (255, 255, 255) if darker else (0, 0, 0)
    pygame.draw.line(surface, colour, (at[0] - arm, at[1]), (at[0] + arm, at[1]), wide)
    if darker:
        pygame.draw.line(surface, colour, (at[0], at[1] - arm), (at[0], at[1] + arm), wide)


def _legend(canvas: Canvas, rect: Rect, names: tuple[str, str], t: Callable[..., str]) -> None:
    look, surface = canvas.look, canvas.surface
    bar = Rect(rect.x, rect.y, rect.w, look.px(16))
    for x in range(bar.w):
        level = round(255 - 255 * x / max(1, bar.w - 1))
        pygame.draw.line(surface, (level, level, level), (bar.x + x, bar.y), (bar.x + x, bar.bottom - 1))
    for share, anchor in ((-1.0, "topleft"), (-0.5, "midtop"), (0.0, "midtop"), (0.5, "midtop"), (1.0, "topright")):
        x = bar.x + round((share + 1) / 2 * (bar.w - 1))
        pygame.draw.line(surface, look.colour("ink"), (x, bar.bottom), (x, bar.bottom + look.px(4)))
        if abs(share) == 0.5:
            continue
        words = t("the same")
        if share:
            amount = f"{FULL:.2f}"
            sign, name = (("+", names[1]) if share > 0 else ("−", names[1]))
            words = t("{name} darker by {amount}", name=name, amount=amount) if share > 0 else t(
                "{name} lighter by {amount}", name=name, amount=amount
            )  # fmt: skip
            words = f"{sign}  {words}"
        canvas.text(words, (x, bar.bottom + look.px(6)), "small", "ink", anchor, rect.w * 2 // 7, shorten=True)


def difference_words(found: PrintDifference, names: tuple[str, str], t: Callable[..., str]) -> str:
    """Return the numbers and what was done differently, as paragraphs."""
    if abs(found.mean) < 0.005 and found.share_visible < 0.01:
        first = t("No difference that can be seen.")
    else:
        first = t(
            "{b} against {a}: {mean} on average, {largest} at most. {share} of the picture differs visibly.",
            a=names[0], b=names[1], mean=_plus(found.mean), largest=_plus(found.largest), share=f"{found.share_visible:.0%}",
        )  # fmt: skip
    return "\n".join([first, "", t("What was done differently:"), *(found.words or (t("nothing"),))])


def _plus(value: float) -> str:
    return f"+{value:.2f}" if value >= 0.005 else signed(value, 2)
