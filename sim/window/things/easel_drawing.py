"""The easel from above: baseboard with rulers, blades, paper in the room's light, a strip's steps, the covering card."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect, Surface

from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.kit.shading import cast, glow_round, mixed
from sim.window.theme import Colour
from sim.window.things.easel_plan import EaselPlan, Piece
from sim.window.things.strip_meant import rows_needed, side_by_side

UNLIT_PAPER = 0.50  # how much of the room light's paper colour is left on a sheet an arm's length from the lamp
BLADE_ALPHA = 222


def draw_baseboard(canvas: Canvas, rect: Rect) -> None:
    """Draw the board that the easel lies on: wood in the room's light, its front edge catching it."""
    look = canvas.look
    canvas.surface.blit(look.keep(("baseboard", rect.size), lambda: _board(look, rect.size)), rect)


def _board(look: Look, size: tuple[int, int]) -> Surface:
    """Long grain, a little lighter towards the lamp on the wall."""
    import numpy as np

    wide, high = size
    noise = np.random.Generator(np.random.PCG64(3)).random((high, 1), dtype=np.float32)
    x = np.arange(wide, dtype=np.float32)[None, :]
    lines = np.sin(x / 190.0 + 9.0 * noise) * (0.3 + 0.7 * noise)
    y = np.linspace(0.0, 1.0, high, dtype=np.float32)[:, None]
    share = 0.55 + 0.30 * (1.0 - y) + 0.05 * lines
    ground, raised = np.array(look.colour("ground"), np.float32), np.array(look.colour("panel"), np.float32)
    levels = ground + share[..., None] * (raised - ground)
    picture = Surface(size)
    pygame.surfarray.blit_array(picture, np.clip(levels, 0, 255).astype(np.uint8).swapaxes(0, 1))
    return picture


def draw_stray_light(canvas: Canvas, plan: EaselPlan, red: bool) -> None:
    """Draw what the lit easel throws on the board around it."""
    spread = canvas.look.px(90)
    colour = (255, 40, 20) if red else (255, 190, 120)
    key = ("stray", plan.view.size, spread, red)
    picture = canvas.look.keep(key, lambda: glow_round(plan.view.size, spread, colour, 46))
    canvas.surface.blit(picture, (plan.view.x - spread, plan.view.y - spread), special_flags=pygame.BLEND_RGB_ADD)


def draw_frame(canvas: Canvas, plan: EaselPlan) -> None:
    """Draw the easel itself: a plate with rulers in centimetres along its upper and left sides."""
    look = canvas.look
    rim = plan.view.inflate(2 * look.px(5), 2 * look.px(5))
    cast(canvas.surface, look, rim, 12, 4)
    canvas.plate(rim, "edge", "panel", radius=4)
    pygame.draw.rect(canvas.surface, look.colour("sunk"), plan.view)


def draw_rulers(canvas: Canvas, plan: EaselPlan) -> None:
    """Engrave centimetres into the blades."""
    look = canvas.look
    each = 50 if plan.px_per_mm * 50 >= look.px(40) else 100
    for across, length_mm in ((True, plan.sheet_mm[0]), (False, plan.sheet_mm[1])):
        for mm in range(0, int(length_mm) + 1, 10):
            x, y = plan.to_px(mm if across else 0.0, 0.0 if across else mm)
            long = look.px(7 if mm % 50 == 0 else 4)
            colour = "soft" if mm % 50 == 0 else "faint"
            if across:
                canvas.line((x, plan.view.y), (x, plan.view.y + long), colour)
            else:
                canvas.line((plan.view.x, y), (plan.view.x + long, y), colour)
            if mm and mm % each == 0 and _room_for_words(canvas, plan):
                at = (x + look.px(3), plan.view.y) if across else (plan.view.x + look.px(2), y)
                canvas.text(f"{mm // 10}", at, "small", "soft", "topleft" if across else "bottomleft")


def _room_for_words(canvas: Canvas, plan: EaselPlan) -> bool:
    return bool(plan.region_mm[0] * -plan.px_per_mm >= canvas.look.line_height("small"))


def draw_unlit(canvas: Canvas, plan: EaselPlan, border_mm: float) -> None:
    """Draw the empty easel in the room's light: the focusing board with its crossed lines waits between the blades."""
    look = canvas.look
    share = 0.10 if look.palette.name != "white-light" else 0.25
    whole = plan.rect_px(0.0, 0.0, *plan.sheet_mm)
    board, line = (mixed(look.colour("ground"), look.colour("paper"), share + more) for more in (0.0, 0.10))
    pygame.draw.rect(canvas.surface, board, whole)
    pygame.draw.aaline(canvas.surface, line, whole.topleft, whole.bottomright)
    pygame.draw.aaline(canvas.surface, line, whole.topright, whole.bottomleft)
    draw_blades(canvas, plan, border_mm)


def draw_paper(canvas: Canvas, rect: Rect) -> None:
    """Draw paper in the room's light, a little lighter towards the lamp on the wall."""
    look = canvas.look
    cast(canvas.surface, look, rect, 6, 2)
    canvas.surface.blit(look.keep(("paper", rect.size), lambda: _paper(look, rect.size)), rect)
    pygame.draw.rect(canvas.surface, mixed(look.colour("ground"), look.colour("paper"), 0.75), rect, 1)


def _paper(look: Look, size: tuple[int, int]) -> Surface:
    picture = Surface(size)
    for y in range(size[1]):
        share = UNLIT_PAPER + 0.12 * (0.5 - y / size[1])
        pygame.draw.line(picture, mixed(look.colour("ground"), look.colour("paper"), share), (0, y), (size[0], y))
    return picture


def draw_folded_corner(canvas: Canvas, rect: Rect) -> None:
    """Fold a corner of paper that has had light: it looks like any other until it develops."""
    look = canvas.look
    fold = look.px(16)
    gone = [(rect.right - fold, rect.y), (rect.right, rect.y + fold), (rect.right, rect.y)]
    pygame.draw.polygon(canvas.surface, look.colour("sunk"), gone)
    colour = mixed(look.colour("ground"), look.colour("paper"), UNLIT_PAPER)
    turned = [(rect.right - fold, rect.y), (rect.right, rect.y + fold), (rect.right - fold, rect.y + fold)]
    pygame.draw.polygon(canvas.surface, mixed(colour, look.colour("paper"), 0.5), turned)


def draw_blades(canvas: Canvas, plan: EaselPlan, border_mm: float, lit: bool = False) -> None:
    """Draw the four blades over the borders; in the light they are seen by themselves and only their ends are drawn."""
    look, outer = canvas.look, plan.view
    wide, high = plan.sheet_mm
    inner = plan.rect_px(border_mm, border_mm, wide - 2 * border_mm, high - 2 * border_mm)
    if lit:
        pygame.draw.rect(canvas.surface, look.colour("shade"), inner.inflate(2, 2), 1)
        return
    for bar in (
        Rect(outer.x, outer.y, outer.w, inner.y - outer.y),
        Rect(outer.x, inner.bottom, outer.w, outer.bottom - inner.bottom),
        Rect(outer.x, inner.y, inner.x - outer.x, inner.h),
        Rect(inner.right, inner.y, outer.right - inner.right, inner.h),
    ):
        if bar.w > 0 and bar.h > 0:
            canvas.surface.blit(_blade(look, look.colour("panel"), bar.size), bar)
    pygame.draw.rect(canvas.surface, look.colour("edge"), inner.inflate(2, 2), 1)


def _blade(look: Look, colour: Colour, size: tuple[int, int]) -> Surface:
    def make() -> Surface:
        picture = Surface(size, pygame.SRCALPHA)
        picture.fill((*colour, BLADE_ALPHA))
        return picture

    return look.keep(("blade", colour, size), make)


def draw_piece_edge(canvas: Canvas, rect: Rect) -> None:
    """Draw the edge of a piece of paper that lies in the light: what falls beside it is not printed."""
    pygame.draw.rect(canvas.surface, canvas.look.colour("shade"), rect.inflate(2, 2), 1)
    pygame.draw.rect(canvas.surface, canvas.look.colour("lamp"), rect, 1)


def draw_steps(canvas: Canvas, plan: EaselPlan, piece: Piece, marks: Sequence[tuple[str, float, float]], soft: bool) -> None:
    """Write the seconds of every step beside it, as one pencils them on the back; what is only meant is written softly."""
    look, rect, colour = canvas.look, plan.rect_px(*piece), "faint" if soft else "ink"
    points = [plan.to_px(x_mm, y_mm) for _, x_mm, y_mm in marks]
    if points and side_by_side(points):
        _draw_beside_each_other(canvas, plan.view, rect, [(words, x) for (words, *_), (x, _) in zip(marks, points)], soft)
        return
    for (words, *_), (_, y) in zip(marks, points):
        right = rect.right + look.width(words, "small") + look.px(14) <= plan.view.right
        edge, away = (rect.right, look.px(8)) if right else (rect.x, -look.px(8))
        canvas.line((edge, y), (edge + away * 3 // 4, y), colour)
        draw_note(canvas, words, (edge + away, y), "midleft" if right else "midright", soft)


def _draw_beside_each_other(canvas: Canvas, view: Rect, rect: Rect, marks: Sequence[tuple[str, int]], soft: bool) -> None:
    """Above the strip, else below it, else on it; in rows where the steps are narrower than their words."""
    look, each = canvas.look, canvas.look.line_height("small") + canvas.look.px(3)
    wide = max(look.width(words, "small") for words, _ in marks) + look.px(10)
    rows = rows_needed([x for _, x in marks], wide)
    high = rows * each + look.px(7)
    way = -1 if rect.y - high > view.y else 1
    edge = rect.bottom if way > 0 and rect.bottom + high < view.bottom else rect.y
    ends = [edge + way * (look.px(7) + n % rows * each) for n in range(len(marks))]
    for (_, x), y in zip(marks, ends):
        canvas.line((x, edge), (x, y), "faint" if soft else "ink")
    for (words, x), y in zip(marks, ends):
        draw_note(canvas, words, (x, y), "midbottom" if way < 0 else "midtop", soft)


def draw_note(canvas: Canvas, words: str, at: tuple[int, int], anchor: str, soft: bool = False) -> None:
    """Write words on a small plate."""
    look = canvas.look
    plate = stood((look.width(words, "small") + look.px(8), look.line_height("small") + look.px(2)), anchor, at)
    canvas.plate(plate, "", radius=3)
    canvas.text(words, plate.center, "small", "soft" if soft else "ink", "center")


def draw_slot(canvas: Canvas, corners: Sequence[tuple[int, int]]) -> None:
    """Draw the edges of the slot under which every step shows the same place."""
    if len(corners) >= 3:
        pygame.draw.aalines(canvas.surface, canvas.look.colour("lamp"), True, corners)


def draw_cover(canvas: Canvas, corners: Sequence[tuple[int, int]]) -> None:
    """Draw the cardboard over the finished part of a strip."""
    if len(corners) < 3:
        return
    look = canvas.look
    pygame.draw.polygon(canvas.surface, look.colour("raised"), corners)
    pygame.draw.polygon(canvas.surface, look.colour("edge"), corners, max(1, look.px(1.5)))
