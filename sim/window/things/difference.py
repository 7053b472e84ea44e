"""The difference between two prints as a picture: grey where they agree, signs as well as tones where they do not."""

from __future__ import annotations

import numpy as np
import pygame
from numpy.typing import NDArray
from pygame import Rect

from sim.bench.comparing import FULL_DIFFERENCE, PrintDifference
from sim.window.kit.boxes import cut_bottom, cut_right, fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.picture import grey_surface
from sim.window.standing.room import OneRoom

SIGN_EVERY = 42  # logical units between the signs laid over the picture
SIGN_FROM = 8  # levels from 128: about 0.03 of density, what the eye just sees in the light tones
SEEN_DENSITY, SEEN_SHARE = 0.005, 0.01  # below both no difference is told


def draw_difference(canvas: Canvas, rect: Rect, found: PrintDifference, names: tuple[str, str], room: OneRoom) -> None:
    """Draw the picture with + where the second print is darker and − where it is lighter; scale and words beside it."""
    look = canvas.look
    said, inner = _said(found, names, room), rect.inflate(-look.px(24), -look.px(24))
    for share in (30, 40, 52):  # as wide as all the words need
        words, body = cut_right(inner, max(look.px(170), rect.w * share // 100), look.px(14))
        lines = sum(len(look.wrapped(part, words.w - look.px(20), "small")) or 1 for part in said.split("\n"))
        if lines * look.line_height("small") <= words.h - look.px(16):
            break
    legend, body = cut_bottom(body, look.px(22) + look.line_height("small"), look.px(8))
    rows, cols = found.picture.shape
    place = fit((cols, rows), body)
    canvas.surface.blit(pygame.transform.smoothscale(grey_surface(found.picture), place.size), place)
    pygame.draw.rect(canvas.surface, (96, 96, 96), place, 1)
    _signs(canvas, place, found.picture)
    _legend(canvas, legend, room)
    pygame.draw.rect(canvas.surface, look.colour("sunk"), words, border_radius=look.px(6))
    canvas.lines(said, words.inflate(-look.px(20), -look.px(16)), "small", "ink", shorten=True)


def _signs(canvas: Canvas, room: Rect, levels: NDArray[np.uint8]) -> None:
    """Lay a sign over every patch whose mean differs; its size grows with the difference."""
    every = canvas.look.px(SIGN_EVERY)
    across, down = max(1, room.w // every), max(1, room.h // every)
    row = np.linspace(0, levels.shape[0], down + 1).astype(int)
    col = np.linspace(0, levels.shape[1], across + 1).astype(int)
    for i in range(down):
        for j in range(across):
            patch = levels[row[i] : max(row[i + 1], row[i] + 1), col[j] : max(col[j + 1], col[j] + 1)]
            mean = float(patch.mean()) - 128.0
            if abs(mean) >= SIGN_FROM:
                at = (room.x + (2 * j + 1) * room.w // (2 * across), room.y + (2 * i + 1) * room.h // (2 * down))
                _sign(canvas, at, mean < 0, min(1.0, abs(mean) / 64.0))


def _sign(canvas: Canvas, at: tuple[int, int], darker: bool, size: float) -> None:
    """Draw a white + where it is darker, a black − where it is lighter: each on the ground it shows on."""
    arm, wide = canvas.look.px(3 + 4 * size), canvas.look.px(2)
    colour = (255, 255, 255) if darker else (0, 0, 0)
    pygame.draw.line(canvas.surface, colour, (at[0] - arm, at[1]), (at[0] + arm, at[1]), wide)
    if darker:
        pygame.draw.line(canvas.surface, colour, (at[0], at[1] - arm), (at[0], at[1] + arm), wide)


def _legend(canvas: Canvas, rect: Rect, room: OneRoom) -> None:
    look, surface = canvas.look, canvas.surface
    bar = Rect(rect.x, rect.y, rect.w, look.px(14))
    for x in range(bar.w):
        level = round(255 - 255 * x / max(1, bar.w - 1))
        pygame.draw.line(surface, (level, level, level), (bar.x + x, bar.y), (bar.x + x, bar.bottom - 1))
    full = room.number(FULL_DIFFERENCE, 1)
    ends = ((f"−{full} D", bar.x, "topleft"), ("0", bar.centerx, "midtop"), (f"+{full} D", bar.right, "topright"))
    for words, x, anchor in ends:
        plate = Rect(0, 0, look.width(words, "small") + look.px(8), look.line_height("small"))
        setattr(plate, anchor, (x, bar.bottom + look.px(4)))
        pygame.draw.rect(surface, look.colour("sunk"), plate)
        canvas.text(words, plate.center, "small", "ink", "center")


def _said(found: PrintDifference, names: tuple[str, str], room: OneRoom) -> str:
    """Return the numbers and what was done differently, as paragraphs."""
    if abs(found.mean) < SEEN_DENSITY and found.share_visible < SEEN_SHARE:
        first = room.line("no difference")
    else:
        sign = {True: "+", False: ""}
        mean, largest = (sign[v >= SEEN_DENSITY] + room.number(v, 2) for v in (found.mean, found.largest))
        first = room.line("difference", a=names[0], b=names[1], mean=mean, largest=largest, share=f"{found.share_visible:.0%}")
    done = "; ".join(room.said(one) for one in found.words) or room.line("done nothing")
    return "\n".join((first, "", room.line("done differently", what=done)))
