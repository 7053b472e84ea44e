"""The easel from above: board with rulers, the projected picture, paper, blades, strip, probe."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect

from sim.window.dry.easel_plan import EaselPlan
from sim.window.dry.shading import cast, glow_round, mixed
from sim.window.kit.canvas import Canvas

UNLIT_PAPER = 0.50  # how much of the safelight's paper colour is left on a sheet an arm's length from the safelight


def draw_stray_light(canvas: Canvas, plan: EaselPlan, red: bool) -> None:
    """Draw what the lit easel throws on the bench around it."""
    spread = canvas.look.px(90)
    colour = (255, 40, 20) if red else (255, 190, 120)
    key = ("stray", plan.board.size, spread, red)
    picture = canvas.look.keep(key, lambda: glow_round(plan.board.size, spread, colour))
    at = (plan.board.x - spread, plan.board.y - spread)
    canvas.surface.blit(picture, at, special_flags=pygame.BLEND_RGB_ADD)


def draw_board(canvas: Canvas, plan: EaselPlan, sheet_mm: tuple[float, float]) -> None:
    """Draw the easel's board with its two rulers in centimetres."""
    look, board = canvas.look, plan.board
    cast(canvas.surface, look, board, 14, 5)
    pygame.draw.rect(canvas.surface, look.colour("panel"), board, border_radius=look.px(5))
    pygame.draw.rect(canvas.surface, look.colour("edge"), board, 1, border_radius=look.px(5))
    pygame.draw.rect(canvas.surface, look.colour("sunk"), plan.view)
    corner = (plan.view.x - look.px(8), plan.view.y - look.px(6))
    canvas.text("cm", corner, "small", "soft", "bottomright")
    _ruler(canvas, plan, sheet_mm[0], True)
    _ruler(canvas, plan, sheet_mm[1], False)


def _ruler(canvas: Canvas, plan: EaselPlan, length_mm: float, across: bool) -> None:
    look = canvas.look
    each = 50 if plan.px_per_mm * 50 >= look.px(44) else 100
    for mm in range(0, int(length_mm) + 1, 10):
        x, y = plan.to_px(mm if across else 0.0, 0.0 if across else mm)
        long = look.px(7 if mm % 50 == 0 else 4)
        if across:
            canvas.line((x, plan.view.y - 1), (x, plan.view.y - long), "soft" if mm % 50 == 0 else "faint")
        else:
            canvas.line((plan.view.x - 1, y), (plan.view.x - long, y), "soft" if mm % 50 == 0 else "faint")
        if mm and mm % each == 0:
            at = (x, plan.view.y - look.px(6)) if across else (plan.view.x - look.px(8), y)
            canvas.text(f"{mm // 10}", at, "small", "soft", "midbottom" if across else "midright")


def draw_unlit(canvas: Canvas, plan: EaselPlan, sheet_mm: tuple[float, float], border_mm: float) -> None:
    """Draw the empty easel in safelight: the white focusing board waits between the blades."""
    look = canvas.look
    whole = plan.rect_px(0.0, 0.0, *sheet_mm)
    pygame.draw.rect(canvas.surface, mixed(look.colour("ground"), look.colour("paper"), 0.10), whole)
    draw_blades(canvas, plan, sheet_mm, border_mm)


def draw_paper(canvas: Canvas, plan: EaselPlan, piece: tuple[float, float, float, float]) -> None:
    """Draw paper in safelight, a little lighter towards the lamp on the wall."""
    look = canvas.look
    rect = plan.rect_px(*piece)
    cast(canvas.surface, look, rect, 6, 2)
    picture = look.keep(("paper", rect.size), lambda: _paper(canvas, rect.size))
    canvas.surface.blit(picture, rect)
    pygame.draw.rect(canvas.surface, mixed(look.colour("ground"), look.colour("paper"), 0.75), rect, 1)


def _paper(canvas: Canvas, size: tuple[int, int]) -> pygame.Surface:
    picture = pygame.Surface(size)
    look = canvas.look
    for y in range(size[1]):
        share = UNLIT_PAPER + 0.12 * (0.5 - y / size[1])
        pygame.draw.line(picture, mixed(look.colour("ground"), look.colour("paper"), share), (0, y), (size[0], y))
    return picture


def draw_folded_corner(canvas: Canvas, plan: EaselPlan, seen: tuple[float, float, float, float]) -> None:
    """Fold a corner of paper that has had light: it looks like any other until it develops."""
    look, rect = canvas.look, plan.rect_px(*seen)
    colour = mixed(look.colour("ground"), look.colour("paper"), UNLIT_PAPER)
    if rect.w > 0:
        fold = look.px(16)
        corner = [(rect.right - fold, rect.y), (rect.right, rect.y + fold), (rect.right, rect.y)]
        pygame.draw.polygon(canvas.surface, look.colour("sunk"), corner)
        turned = [(rect.right - fold, rect.y), (rect.right, rect.y + fold), (rect.right - fold, rect.y + fold)]
        pygame.draw.polygon(canvas.surface, mixed(colour, look.colour("paper"), 0.5), turned)


def draw_piece_edge(canvas: Canvas, plan: EaselPlan, piece: tuple[float, float, float, float]) -> None:
    """Draw the edge of a piece of paper that lies in the light: what falls beside it is not printed."""
    rect = plan.rect_px(*piece)
    pygame.draw.rect(canvas.surface, canvas.look.colour("shade"), rect.inflate(2, 2), 1)
    pygame.draw.rect(canvas.surface, canvas.look.colour("lamp"), rect, 1)


def draw_blade_edges(canvas: Canvas, plan: EaselPlan, sheet_mm: tuple[float, float], border_mm: float) -> None:
    """Draw only where the blades end: in the light they are seen by themselves."""
    inner = plan.rect_px(border_mm, border_mm, sheet_mm[0] - 2 * border_mm, sheet_mm[1] - 2 * border_mm)
    pygame.draw.rect(canvas.surface, canvas.look.colour("shade"), inner.inflate(2, 2), 1)


def draw_blades(canvas: Canvas, plan: EaselPlan, sheet_mm: tuple[float, float], border_mm: float) -> None:
    """Draw the four blades over the borders; their inner edges make the white border of the print."""
    look = canvas.look
    outer, inner = plan.view, plan.rect_px(border_mm, border_mm, sheet_mm[0] - 2 * border_mm, sheet_mm[1] - 2 * border_mm)
    bars = (
        Rect(outer.x, outer.y, outer.w, inner.y - outer.y),
        Rect(outer.x, inner.bottom, outer.w, outer.bottom - inner.bottom),
        Rect(outer.x, inner.y, inner.x - outer.x, inner.h),
        Rect(inner.right, inner.y, outer.right - inner.right, inner.h),
    )
    for bar in bars:
        if bar.w > 0 and bar.h > 0:
            blade = look.keep(("blade", bar.size), lambda bar=bar: _blade(look.colour("panel"), bar.size))
            canvas.surface.blit(blade, bar)
    pygame.draw.rect(canvas.surface, look.colour("edge"), inner.inflate(2, 2), 1)


def _blade(colour: tuple[int, int, int], size: tuple[int, int]) -> pygame.Surface:
    picture = pygame.Surface(size, pygame.SRCALPHA)
    picture.fill((*colour, 222))
    return picture


def draw_steps(
    canvas: Canvas, plan: EaselPlan, piece: tuple[float, float, float, float], marks: Sequence[tuple[str, float, float]],
    planned: bool = False,
) -> None:  # fmt: skip
    """Write the seconds of every step beside it, with a notch on the strip's edge, as one pencils them on the back.

    Steps that are only planned are written softly and have no notch.
    """
    look = canvas.look
    rect = plan.rect_px(*piece)
    upright = rect.h >= rect.w
    for words, x_mm, y_mm in marks:
        x, y = plan.to_px(x_mm, y_mm)
        if upright:
            room = look.width(words, "small") + look.px(14)
            right = rect.right + room <= plan.view.right
            edge = rect.right if right else rect.x
            away = look.px(8) if right else -look.px(8)
            if not planned:
                canvas.line((edge, y), (edge + away * 3 // 4, y), "ink")
            _tag(canvas, words, (edge + away, y), "midleft" if right else "midright", planned)
        else:
            above = rect.y - look.line_height("small") - look.px(10) > plan.view.y
            edge, away = (rect.y, -look.px(7)) if above else (rect.bottom, look.px(7))
            if not planned:
                canvas.line((x, edge), (x, edge + away), "ink")
            _tag(canvas, words, (x, edge + away), "midbottom" if above else "midtop", planned)


def _tag(canvas: Canvas, words: str, at: tuple[int, int], anchor: str, planned: bool = False) -> None:
    look = canvas.look
    plate = Rect(0, 0, look.width(words, "small") + look.px(8), look.line_height("small") + look.px(2))
    setattr(plate, anchor, at)
    pygame.draw.rect(canvas.surface, look.colour("sunk"), plate, border_radius=look.px(3))
    canvas.text(words, plate.center, "small", "soft" if planned else "ink", "center")


def draw_cover(canvas: Canvas, plan: EaselPlan, piece: tuple[float, float, float, float], share: float, along_y: bool) -> None:
    """Draw the cardboard over the finished part of a strip."""
    look = canvas.look
    x, y, wide, high = piece
    part = (x, y, wide, high * share) if along_y else (x, y, wide * share, high)
    rect = plan.rect_px(*part).inflate(look.px(16), look.px(8))
    cast(canvas.surface, look, rect, 8, 3)
    pygame.draw.rect(canvas.surface, look.colour("raised"), rect, border_radius=look.px(2))
    pygame.draw.rect(canvas.surface, look.colour("edge"), rect, 1, border_radius=look.px(2))


def draw_probe(canvas: Canvas, plan: EaselPlan, at_mm: tuple[float, float], words: Sequence[str], held: bool = False) -> None:
    """Draw the meter's probe and what it reads beside it, on a plate that stays on the easel."""
    look, (x, y) = canvas.look, plan.to_px(*at_mm)
    radius = look.px(9)
    pygame.draw.circle(canvas.surface, look.colour("shade"), (x, y), radius + 1, max(2, look.px(3)))
    pygame.draw.circle(canvas.surface, look.colour("lamp"), (x, y), radius, max(1, look.px(1.5)))
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        reach = radius + look.px(4 if not held else 8)
        canvas.line((x + dx * radius, y + dy * radius), (x + dx * reach, y + dy * reach), "lamp")
    if not words:
        return
    line = look.line_height("small")
    wide = max(look.width(w, "small") for w in words) + look.px(12)
    plate = Rect(x + radius + look.px(8), y - line * len(words) // 2 - look.px(4), wide, line * len(words) + look.px(8))
    if plate.right > plan.view.right:
        plate.right = x - radius - look.px(8)
    plate.clamp_ip(plan.view)
    pygame.draw.rect(canvas.surface, look.colour("sunk"), plate, border_radius=look.px(4))
    pygame.draw.rect(canvas.surface, look.colour("edge"), plate, 1, border_radius=look.px(4))
    for n, each in enumerate(words):
        at = (plate.x + look.px(6), plate.y + look.px(4) + n * line)
        canvas.text(each, at, "small", "ink" if n == 0 else "soft")
