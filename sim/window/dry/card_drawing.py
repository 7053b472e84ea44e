"""Cards as things: seen from where the printer stands, over the easel and in their rack.

A card held above the paper hides more of the far side than lies under it: it is drawn raised by a share of its height, so
that its shadow on the paper stays in sight.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import pygame
from pygame import Rect

from sim.window.dry.easel_plan import EaselPlan
from sim.window.dry.shading import smooth
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look

VEIL = 150  # of 255: how much of what lies under a card is hidden from the printer
RAISED_SHARE = 0.22  # of its height: how far a card seems to stand behind its shadow


@dataclass(frozen=True)
class DrawnCard:
    """A card over the easel: its shape (mm, its own size), where its shadow's centre lies, height, turn, wire, hole."""

    shape: str
    width_mm: float
    length_mm: float
    x_mm: float
    y_mm: float
    card_height_mm: float
    angle_deg: float = 0.0
    hole: bool = False
    wire_towards_deg: float | None = 45.0
    outline: Sequence[tuple[float, float]] = ()


def outline_of(
    shape: str, width: float, length: float, angle_deg: float = 0.0, outline: Sequence[tuple[float, float]] = ()
) -> list[tuple[float, float]]:
    """Return a shape's edge around its centre, turned, in the unit of its size. An edge is a long board from its line on."""
    if shape == "edge":
        far = 2000.0
        corners = [(0.0, -far), (far, -far), (far, far), (0.0, far)]
    elif shape == "bar":
        corners = [(-width / 2, -length / 2), (width / 2, -length / 2), (width / 2, length / 2), (-width / 2, length / 2)]
    elif shape == "outline":
        corners = list(outline)
    else:
        tall = width if shape == "disc" else length
        turns = [2 * math.pi * k / 48 for k in range(48)]
        corners = [(math.cos(a) * width / 2, math.sin(a) * tall / 2) for a in turns]
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return [(x * c - y * s, x * s + y * c) for x, y in corners]


def draw_card(canvas: Canvas, plan: EaselPlan, card: DrawnCard, in_hand: bool) -> None:
    """Draw a card over the easel, clipped to the easel's board; the one in hand has a bright edge."""
    look, scale = canvas.look, plan.px_per_mm
    x, y = plan.to_px(card.x_mm, card.y_mm - RAISED_SHARE * card.card_height_mm)
    edge = [(x + dx * scale, y + dy * scale) for dx, dy in
            outline_of(card.shape, card.width_mm, card.length_mm, card.angle_deg, card.outline)]  # fmt: skip
    before = canvas.surface.get_clip()
    canvas.surface.set_clip(plan.view)
    if card.wire_towards_deg is not None and card.shape != "edge" and not card.hole:
        angle = math.radians(card.wire_towards_deg)
        far = (x + math.cos(angle) * plan.view.w * 2, y + math.sin(angle) * plan.view.w * 2)
        pygame.draw.line(canvas.surface, look.colour("shade"), (x, y), far, max(2, look.px(2)))
        pygame.draw.aaline(canvas.surface, look.colour("faint"), (x + 1, y), (far[0] + 1, far[1]))
    _veil(canvas, plan.view, edge, card.hole)
    pygame.draw.aalines(canvas.surface, look.colour("lamp" if in_hand else "soft"), True, edge)
    canvas.surface.set_clip(before)


def _veil(canvas: Canvas, view: Rect, edge: list[tuple[float, float]], hole: bool) -> None:
    """Fill the card thinly dark: one sees it is there and what lies under it."""
    low_x, high_x = max(view.x, min(p[0] for p in edge)), min(view.right, max(p[0] for p in edge))
    low_y, high_y = max(view.y, min(p[1] for p in edge)), min(view.bottom, max(p[1] for p in edge))
    box = view if hole else Rect(int(low_x), int(low_y), int(high_x - low_x) + 2, int(high_y - low_y) + 2).clip(view)
    if box.w <= 0 or box.h <= 0:
        return
    veil = pygame.Surface(box.size, pygame.SRCALPHA)
    shade = (*canvas.look.colour("panel"), VEIL)
    if hole:
        veil.fill(shade)
    pygame.draw.polygon(veil, (0, 0, 0, 0) if hole else shade, [(px - box.x, py - box.y) for px, py in edge])
    canvas.surface.blit(veil, box)


def card_icon(
    look: Look, size: tuple[int, int], shape: str, shares: tuple[float, float], hole: bool, held: bool
) -> pygame.Surface:
    """Return the picture of a tool in the rack: cardboard on a wire, or a board with a hole. An empty hook when it is held."""
    return smooth(size, lambda big, n: _draw_icon(big, look, n, shape, shares, hole, held))


def _draw_icon(
    big: pygame.Surface, look: Look, n: int, shape: str, shares: tuple[float, float], hole: bool, held: bool
) -> None:
    wide, high = big.get_size()
    u, middle = look.px(1) * n, (wide // 2, int(high * 0.46))
    card, edge = look.colour("edge"), look.colour("soft")
    if held:
        pygame.draw.circle(big, look.colour("faint"), middle, 4 * u, max(1, u))
        return
    if hole or shape == "edge":
        board = pygame.Rect(int(wide * 0.1), int(high * 0.08), int(wide * 0.8), int(high * 0.74))
        pygame.draw.rect(big, card, board, border_radius=2 * u)
        pygame.draw.rect(big, edge, board, max(1, u), border_radius=2 * u)
    if shape == "edge":
        pygame.draw.line(big, look.colour("ink"), (board.x, board.bottom), (board.right, board.bottom), 2 * u)
        return
    size = min(wide, high) * 0.8
    points = [(middle[0] + x, middle[1] + y) for x, y in outline_of(shape, shares[0] * size, shares[1] * size)]
    if not hole:
        pygame.draw.line(big, look.colour("faint"), middle, (int(wide * 0.82), high), 2 * u)
    pygame.draw.polygon(big, look.colour("shade") if hole else card, points)
    pygame.draw.lines(big, edge, True, points, max(1, u))
