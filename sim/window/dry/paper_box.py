"""The paper box: a thing one sees getting emptier."""

from __future__ import annotations

import pygame
from pygame import Rect

from sim.window.dry.shading import cast, mixed, smooth
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look

MOST_DRAWN = 12  # sheets seen as single edges; a fuller box looks full


def sheets_in_words(sheets: float) -> str:
    """Return a number of sheets as a printer counts them: quarters are strips."""
    whole = int(sheets)
    part = {0: "", 1: "¼", 2: "½", 3: "¾"}[round((sheets - whole) * 4) % 4]
    return f"{whole if whole or not part else ''}{part}"


def draw_box(canvas: Canvas, rect: Rect, sheets: float, full: float) -> None:
    """Draw the box from the front: as many paper edges as sheets are left, black inner bag, the lid leaning behind."""
    look = canvas.look
    body = Rect(rect.x, rect.y, rect.w, rect.h)
    cast(canvas.surface, look, body, 8, 3)
    edges = min(MOST_DRAWN, round(MOST_DRAWN * sheets / full) if full > MOST_DRAWN else int(sheets + 0.999))
    picture = look.keep(("box", rect.size, edges), lambda: smooth(rect.size, lambda big, n: _box(big, look, n, edges)))
    canvas.surface.blit(picture, body)


def _box(big: pygame.Surface, look: Look, n: int, edges: int) -> None:
    wide, high = big.get_size()
    u = look.px(1) * n
    paper = mixed(look.colour("ground"), look.colour("paper"), 0.72)
    hinge = int(high * 0.36)
    lid = [(int(wide * 0.06), hinge), (int(wide * 0.14), 2 * u), (int(wide * 0.86), 2 * u), (int(wide * 0.94), hinge)]
    pygame.draw.polygon(big, look.colour("panel"), lid)
    pygame.draw.lines(big, look.colour("edge"), True, lid, max(1, u))
    tray = pygame.Rect(u, int(high * 0.36), wide - 2 * u, int(high * 0.64) - u)
    pygame.draw.rect(big, look.colour("raised"), tray, border_radius=3 * u)
    pygame.draw.rect(big, look.colour("edge"), tray, max(1, u), border_radius=3 * u)
    mouth = tray.inflate(-10 * u, -10 * u)
    pygame.draw.rect(big, look.colour("shade"), mouth, border_radius=2 * u)
    pitch = mouth.h / (MOST_DRAWN + 1)
    for k in range(edges):
        y = mouth.bottom - int(pitch * (k + 1))
        pygame.draw.line(big, paper, (mouth.x + 4 * u, y), (mouth.right - 4 * u, y), max(1, int(pitch * 0.5)))
