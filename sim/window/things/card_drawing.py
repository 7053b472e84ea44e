"""Cards as one sees them: over the easel, their edge where their shadow has it, and hanging in the rack."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pygame
from pygame import Rect, Surface

from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.kit.shading import smooth
from sim.window.things.cards import CardInHand, CutCard, edge_of
from sim.window.things.easel_plan import EaselPlan

VEIL = 150  # of 255: how much of what lies under a card is hidden from the printer
WIRE_DEG = 45.0


def shadow_edge(plan: EaselPlan, held: CardInHand, scale: float) -> list[tuple[float, float]]:
    """Return the edge of a card's shadow on the screen, where half of the light is held back; ``scale``: shadow over card."""
    (x, y), per_mm = plan.to_px(held.x_mm, held.y_mm), plan.px_per_mm * scale
    return [(x + dx * per_mm, y + dy * per_mm) for dx, dy in edge_of(held.card, held.angle_deg)]


def draw_card(canvas: Canvas, plan: EaselPlan, board: Rect, held: CardInHand, scale: float, lit: bool) -> None:
    """Draw the card in the hand over the easel, as large as its shadow and where that falls: its edge is where it works.

    In the light (``lit``) card and wire are seen by what they shade; without light they are drawn thinly, as far as the
    ``board`` goes; a board with a hole over the easel.
    """
    look, card = canvas.look, held.card
    edge = shadow_edge(plan, held, scale)
    if not lit and card.shape != "edge" and not card.hole:
        angle, (x, y) = math.radians(WIRE_DEG), plan.to_px(held.x_mm, held.y_mm)
        far = (x + math.cos(angle) * plan.view.w * 2, y + math.sin(angle) * plan.view.w * 2)
        pygame.draw.line(canvas.surface, look.colour("shade"), (x, y), far, max(2, look.px(2)))
        pygame.draw.aaline(canvas.surface, look.colour("faint"), (x + 1, y), (far[0] + 1, far[1]))
    if not lit:
        _veil(canvas, plan.view if card.hole else board, edge, card.hole)
    pygame.draw.aalines(canvas.surface, look.colour("lamp"), True, edge)


def seconds_rect(look: Look, centre: tuple[int, int]) -> Rect:
    """Return what the seconds round a card cover."""
    box = stood((2 * look.px(36), 2 * look.px(36)), "center", centre)
    return box


def draw_seconds_round(canvas: Canvas, centre: tuple[int, int], left_s: float, whole_s: float) -> None:
    """Let the seconds left run round the card: an arc that closes as the light comes to its end, and their number."""
    look = canvas.look
    radius = look.px(26)
    box = stood((2 * radius, 2 * radius), "center", centre)
    share = max(0.0, min(1.0, left_s / max(0.1, whole_s)))
    pygame.draw.circle(canvas.surface, look.colour("shade"), centre, radius + look.px(3), look.px(6))
    start = math.pi / 2
    pygame.draw.arc(canvas.surface, look.colour("lamp"), box, start, start + 2 * math.pi * share, look.px(4))
    plate = stood((look.width(f"{left_s:.1f}", "strong") + look.px(8), look.line_height("strong")), "center", centre)
    pygame.draw.rect(canvas.surface, look.colour("sunk"), plate, border_radius=look.px(4))
    canvas.text(f"{left_s:.1f}", centre, "strong", "ink", "center")


def _veil(canvas: Canvas, view: Rect, edge: list[tuple[float, float]], hole: bool) -> None:
    """Fill the card thinly dark: one sees it is there and what lies under it."""
    low_x, high_x = max(view.x, min(p[0] for p in edge)), min(view.right, max(p[0] for p in edge))
    low_y, high_y = max(view.y, min(p[1] for p in edge)), min(view.bottom, max(p[1] for p in edge))
    box = Rect(int(low_x), int(low_y), int(high_x - low_x) + 2, int(high_y - low_y) + 2)
    box = view if hole else box.clip(view)  # a board with a hole covers all beside it, as it does in the light
    if box.w <= 0 or box.h <= 0:
        return
    veil = Surface(box.size, pygame.SRCALPHA)
    shade = (*canvas.look.colour("panel"), VEIL)
    if hole:
        veil.fill(shade)
    pygame.draw.polygon(veil, (0, 0, 0, 0) if hole else shade, [(px - box.x, py - box.y) for px, py in edge])
    canvas.surface.blit(veil, box)


def draw_line_of_scissors(canvas: Canvas, points: Sequence[tuple[int, int]]) -> None:
    """Draw the line along which a card is cut."""
    if len(points) > 1:
        pygame.draw.lines(canvas.surface, canvas.look.colour("shade"), True, points, max(2, canvas.look.px(3)))
        pygame.draw.aalines(canvas.surface, canvas.look.colour("lamp"), True, points)


def card_icon(look: Look, size: tuple[int, int], card: CutCard, held: bool) -> Surface:
    """Return a card as it hangs in the rack: on a wire, or a board with a hole. An empty hook when it is held."""
    return look.keep(("card", size, card, held), lambda: smooth(size, lambda big, n: _draw_icon(big, look, n, card, held)))


def _draw_icon(big: Surface, look: Look, n: int, card: CutCard, held: bool) -> None:
    wide, high = big.get_size()
    u, middle = look.px(1) * n, (wide // 2, int(high * 0.48))
    if held:
        pygame.draw.circle(big, look.colour("faint"), middle, 4 * u, max(1, u))
        return
    fill, edge = look.colour("edge"), look.colour("soft")
    if card.hole or card.shape == "edge":
        board = Rect(int(wide * 0.1), int(high * 0.1), int(wide * 0.8), int(high * 0.76))
        pygame.draw.rect(big, fill, board, border_radius=2 * u)
        pygame.draw.rect(big, edge, board, max(1, u), border_radius=2 * u)
    if card.shape == "edge":
        pygame.draw.line(big, look.colour("ink"), (board.x, board.bottom), (board.right, board.bottom), 2 * u)
        return
    scale = min(wide, high) * 0.72 / max(card.width_mm, card.length_mm, 60.0)
    points = [(middle[0] + x * scale, middle[1] + y * scale) for x, y in edge_of(card, 0.0)]
    if not card.hole:
        pygame.draw.line(big, look.colour("faint"), middle, (int(wide * 0.9), int(high * 0.98)), 2 * u)
    pygame.draw.polygon(big, look.colour("shade") if card.hole else fill, points)
    pygame.draw.lines(big, edge, True, points, max(1, u))
