"""The focusing loupe laid over the easel: a round, magnified piece of the picture at the probe, and its sharpness."""

from __future__ import annotations

import pygame
from pygame import Rect

from sim.window.dry.easel_plan import EaselPlan
from sim.window.dry.shading import cast, smooth
from sim.window.kit.canvas import Canvas


def draw_loupe(canvas: Canvas, plan: EaselPlan, at_mm: tuple[float, float], crop: pygame.Surface, words: str) -> None:
    """Draw the loupe in the corner that lies furthest from the probe."""
    look, px = canvas.look, canvas.look.px
    x, y = plan.to_px(*at_mm)
    side = crop.get_width()
    ring, words_high = px(7), look.line_height("small") + px(6)
    frame = Rect(0, 0, side + 2 * ring, side + 2 * ring + words_high)
    corners = {"topleft": (1, 1), "topright": (-1, 1), "bottomleft": (1, -1), "bottomright": (-1, -1)}
    inner = plan.view.inflate(-px(20), -px(20))

    def away(corner: str) -> float:
        cx, cy = getattr(inner, corner)
        return float(abs(cx - x) + abs(cy - y))

    best = max(corners, key=away)
    setattr(frame, best, getattr(inner, best))
    cast(canvas.surface, look, frame, 12, 4)
    glass = Rect(frame.x, frame.y, side + 2 * ring, side + 2 * ring)
    key = ("loupe ring", side)
    mask = look.keep(key, lambda: smooth((side, side), lambda big, n: _disc(big)))
    seen = pygame.Surface((side, side), pygame.SRCALPHA)
    seen.blit(crop, (0, 0))
    seen.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    rim = look.keep(("loupe rim", glass.w), lambda: smooth(glass.size, lambda big, n: _rim(big, look, n, ring)))
    canvas.surface.blit(rim, glass)
    canvas.surface.blit(seen, (glass.x + ring, glass.y + ring))
    plate = Rect(0, 0, look.width(words, "small") + px(16), words_high)
    plate.midtop = (glass.centerx, glass.bottom - px(2))
    pygame.draw.rect(canvas.surface, look.colour("sunk"), plate, border_radius=px(4))
    canvas.text(words, plate.center, "small", "ink", "center")


def _disc(big: pygame.Surface) -> None:
    middle = big.get_width() // 2
    pygame.draw.circle(big, (255, 255, 255, 255), (middle, middle), middle)


def _rim(big: pygame.Surface, look: object, n: int, ring: int) -> None:
    middle = big.get_width() // 2
    colour = look.colour  # type: ignore[attr-defined]
    pygame.draw.circle(big, colour("edge"), (middle, middle), middle)
    pygame.draw.circle(big, colour("raised"), (middle, middle), middle - n)
    pygame.draw.circle(big, colour("shade"), (middle, middle), middle - (ring - 2) * n)
