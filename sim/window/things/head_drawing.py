"""The enlarger seen from the side: baseboard, column with centimetre marks, head, bellows, lens, and its cone of light.

Heights, the lens's distance and the width of the light on the baseboard are drawn to one scale; head and column are drawn
to fit the room they have.
"""

from __future__ import annotations

from dataclasses import dataclass

import pygame
from pygame import Rect

from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.kit.shading import mixed, round_metal, smooth
from sim.window.theme import Colour


@dataclass(frozen=True)
class EnlargerState:
    """What the drawing needs to know, all lengths in mm.

    ``height_mm`` negative to paper; ``low_mm``/``high_mm`` the column's ends; ``lens_drop_mm`` negative to lens; ``light_mm``
    width of the picture on the baseboard; ``lamp`` "off", "white" or "red"; ``card_height_mm`` of a card in the light.
    """

    height_mm: float
    low_mm: float
    high_mm: float
    lens_drop_mm: float
    light_mm: float
    lamp: str = "off"
    red_filter_in: bool = False
    opal_in: bool = False
    contact: bool = False
    card_height_mm: float | None = None
    hot: bool = False


@dataclass(frozen=True)
class EnlargerPlan:
    """Where things stand on the screen."""

    rect: Rect
    base_y: int
    axis_x: int
    column_x: int
    px_per_mm: float
    low_mm: float
    high_mm: float

    def y_of(self, height_mm: float) -> int:
        """Return the screen row of a height above the baseboard."""
        return self.base_y - round(height_mm * self.px_per_mm)


def plan_of(look: Look, rect: Rect, low_mm: float, high_mm: float) -> EnlargerPlan:
    """Return where the parts of an enlarger stand in a rectangle."""
    base_y = rect.bottom - look.px(26)
    tall = max(1, base_y - rect.y - head_size(look)[1] - look.px(8))
    return EnlargerPlan(
        rect, base_y, rect.x + round(rect.w * 0.56), rect.x + round(rect.w * 0.2), tall / high_mm, low_mm, high_mm
    )


def head_size(look: Look) -> tuple[int, int]:
    """Return the size of the lamp house, px."""
    return look.px(84), look.px(92)


def bellows_rect(look: Look, plan: EnlargerPlan, state: EnlargerState) -> Rect:
    """Return where the bellows are, between negative and lens."""
    top, low = plan.y_of(state.height_mm), _lens_y(look, plan, state)
    rect = stood((look.px(70), max(look.px(12), low - top)), "midtop", (plan.axis_x, top))
    return rect


def red_rect(look: Look, plan: EnlargerPlan, state: EnlargerState) -> Rect:
    """Return where the red filter's arm is, in the light or swung aside."""
    left = plan.axis_x - look.px(18) if state.red_filter_in else plan.axis_x + look.px(22)
    return Rect(left, _lens_y(look, plan, state) + look.px(8), look.px(40), look.px(18))


def opal_rect(look: Look, plan: EnlargerPlan, state: EnlargerState) -> Rect:
    """Return where the opal sheet's arm is, in the light below the red filter or swung aside to the left."""
    left = plan.axis_x - look.px(20) if state.opal_in else plan.axis_x - look.px(58)
    return Rect(left, _lens_y(look, plan, state) + look.px(27), look.px(40), look.px(16))


def head_rect(look: Look, plan: EnlargerPlan, state: EnlargerState) -> Rect:
    """Return what can be taken hold of to move the head: the lamp house and its carriage."""
    wide, high = head_size(look)
    y = plan.y_of(state.height_mm)
    house = Rect(plan.axis_x - wide // 2, y - high, wide, high)
    return house.union(Rect(plan.column_x - look.px(16), y - look.px(60), look.px(30), look.px(60)))


def draw_enlarger(canvas: Canvas, plan: EnlargerPlan, state: EnlargerState) -> None:
    """Draw the enlarger as it stands."""
    _column(canvas, plan, plan.y_of(state.height_mm) - canvas.look.px(35))
    _baseboard(canvas, plan, state)
    if state.lamp != "off":
        _cone(canvas, plan, state)
    if state.card_height_mm is not None:
        _card_in_light(canvas, plan, state)
    _head(canvas, plan, state)
    _height_words(canvas, plan, state)


def _column(canvas: Canvas, plan: EnlargerPlan, behind: int) -> None:
    look = canvas.look
    wide = look.px(18)
    rail = Rect(plan.column_x - wide // 2, plan.rect.y + look.px(4), wide, plan.base_y - plan.rect.y - look.px(4))
    metal = look.keep(("column", rail.size), lambda: round_metal(rail.size, look.colour("sunk"), look.colour("edge")))
    canvas.surface.blit(metal, rail)
    _column_marks(canvas, plan, rail, behind)


def _column_marks(canvas: Canvas, plan: EnlargerPlan, rail: Rect, behind: int) -> None:
    """A line each centimetre, a longer one each five, numbers where they have room and no carriage covers them."""
    look, line = canvas.look, canvas.look.line_height("small")
    each = 10 if plan.px_per_mm * 10 >= look.px(3) else 50
    numbered = next((mm for mm in (100, 200, 500) if plan.px_per_mm * mm >= line * 1.15), 10_000)
    canvas.text("cm", (rail.x - look.px(4), rail.y + line // 2), "small", "soft", "midright")
    for height in range(0, int(plan.high_mm) + 1, each):
        y = plan.y_of(height)
        if y < rail.y:
            break
        long = height % 50 == 0
        canvas.line((rail.right, y), (rail.right + look.px(7 if long else 4), y), "soft" if long else "faint")
        if height and height % numbered == 0 and y > rail.y + 3 * line // 2 and abs(y - behind) > line // 2 + look.px(25):
            canvas.text(f"{height // 10}", (rail.x - look.px(4), y), "small", "soft", "midright")


def _baseboard(canvas: Canvas, plan: EnlargerPlan, state: EnlargerState) -> None:
    look, surface = canvas.look, canvas.surface
    board = Rect(plan.rect.x + look.px(2), plan.base_y + look.px(4), plan.rect.w - look.px(4), look.px(12))
    pygame.draw.rect(surface, look.colour("raised"), board, border_radius=look.px(3))
    pygame.draw.line(surface, look.colour("edge"), (board.x + look.px(3), board.y), (board.right - look.px(3), board.y))
    foot = Rect(plan.column_x - look.px(20), plan.base_y - look.px(8), look.px(40), look.px(12))
    canvas.plate(foot, "edge", "raised", radius=3)
    wide = max(look.px(44), round(state.light_mm * plan.px_per_mm) + look.px(18))
    easel = stood((min(wide, plan.rect.w - look.px(30)), look.px(4)), "midbottom", (plan.axis_x, plan.base_y + look.px(4)))
    pygame.draw.rect(surface, look.colour("faint"), easel, border_radius=look.px(1))


def _lens_y(look: Look, plan: EnlargerPlan, state: EnlargerState) -> int:
    """The lens hangs where the optics put it, but never below half of the way to the board."""
    true = plan.y_of(state.height_mm - state.lens_drop_mm)
    stage = plan.y_of(state.height_mm)
    return min(max(true, stage + look.px(26)), stage + max(look.px(26), (plan.base_y - stage) * 2 // 3))


def _cone(canvas: Canvas, plan: EnlargerPlan, state: EnlargerState) -> None:
    look = canvas.look
    top, half = _lens_y(look, plan, state) + look.px(10), max(look.px(8), round(state.light_mm * plan.px_per_mm / 2))
    half = min(half, plan.rect.w // 2 - look.px(8))
    tall = max(1, plan.base_y - top)
    red = state.lamp == "red"
    key = ("cone", half, tall, red)
    picture = look.keep(key, lambda: _cone_picture(half, tall, (255, 70, 38) if red else (255, 226, 178), look.px(7)))
    canvas.surface.blit(picture, (plan.axis_x - half, top))


def _cone_picture(half: int, tall: int, colour: tuple[int, int, int], neck: int) -> pygame.Surface:
    """Brightest at the lens, thinning out as the same light spreads over more ground."""
    import numpy as np

    y, x = np.mgrid[0:tall, 0 : 2 * half].astype(np.float32)
    reach = neck + (half - neck) * (y + 1) / tall
    inside = np.clip((reach - np.abs(x - half + 0.5)) / 1.5, 0.0, 1.0)
    strength = 150.0 * (neck / reach) ** 0.55 + 16.0
    picture = pygame.Surface((2 * half, tall), pygame.SRCALPHA)
    picture.fill((*colour, 0))
    pixels = pygame.surfarray.pixels_alpha(picture)
    pixels[:] = np.clip(inside * strength, 0, 255).astype(np.uint8).swapaxes(0, 1)
    del pixels
    return picture


def _card_in_light(canvas: Canvas, plan: EnlargerPlan, state: EnlargerState) -> None:
    look = canvas.look
    y = plan.y_of(min(state.card_height_mm or 0.0, state.height_mm - state.lens_drop_mm))
    card = stood((look.px(22), max(2, look.px(3))), "center", (plan.axis_x, y))
    pygame.draw.rect(canvas.surface, look.colour("ink"), card)
    canvas.line((card.right, y), (plan.rect.right - look.px(6), y + look.px(10)), "soft")


def _head(canvas: Canvas, plan: EnlargerPlan, state: EnlargerState) -> None:
    look = canvas.look
    wide, high = head_size(look)
    stage_y = plan.y_of(state.height_mm)
    lens_y = _lens_y(look, plan, state)
    size = (wide + look.px(8), high + lens_y - stage_y + look.px(16))
    key = ("head", size, lens_y - stage_y, state.contact, state.lamp != "off")
    picture = look.keep(key, lambda: smooth(size, lambda big, n: _draw_head(big, look, n, lens_y - stage_y, state)))
    arm = Rect(plan.column_x, stage_y - look.px(42), plan.axis_x - plan.column_x, look.px(14))
    pygame.draw.rect(canvas.surface, look.colour("raised"), arm)
    pygame.draw.line(canvas.surface, look.colour("edge"), arm.topleft, arm.topright)
    carriage = Rect(plan.column_x - look.px(15), stage_y - look.px(60), look.px(30), look.px(50))
    canvas.plate(carriage, "soft" if state.hot else "edge", "raised")
    pygame.draw.circle(canvas.surface, look.colour("shade"), carriage.center, look.px(9))
    pygame.draw.circle(canvas.surface, look.colour("edge"), carriage.center, look.px(9), max(1, look.px(2)))
    pygame.draw.circle(canvas.surface, look.colour("soft"), carriage.center, look.px(3))
    canvas.surface.blit(picture, (plan.axis_x - size[0] // 2, stage_y - high))
    _red_filter(canvas, plan, lens_y, state)
    _opal(canvas, plan, lens_y, state)


def _draw_head(big: pygame.Surface, look: Look, n: int, drop: int, state: EnlargerState) -> None:
    """Lamp house, filter drawer, negative stage, bellows and lens, ``n`` times too large."""
    u, middle = look.px(1) * n, big.get_width() // 2
    wide, high = (side * n for side in head_size(look))
    dark, light = look.colour("sunk"), mixed(look.colour("raised"), look.colour("edge"), 0.45)
    top, low = int(wide * 0.30), int(wide * 0.45)
    house = [(middle - top, 4 * u), (middle + top, 4 * u), (middle + low, high - 26 * u), (middle - low, high - 26 * u)]
    _shaded(big, house, dark, light)
    for k in range(4):
        y = 14 * u + k * 7 * u
        half = int(top * 0.66)
        pygame.draw.line(big, look.colour("lamp") if state.lamp != "off" else look.colour("shade"),
                         (middle - half, y), (middle + half, y), max(1, 2 * u))  # fmt: skip
    drawer = pygame.Rect(middle - low, high - 27 * u, 2 * low, 11 * u)
    _plate(big, look, drawer, u)
    pygame.draw.rect(big, look.colour("shade"), (middle - 9 * u, drawer.y + 4 * u, 18 * u, 3 * u))
    stage = pygame.Rect(middle - low - 3 * u, high - 15 * u, 2 * low + 6 * u, 13 * u)
    _plate(big, look, stage, u)
    if not state.contact:
        pygame.draw.rect(big, look.colour("ink"), (stage.x + 8 * u, stage.centery - u, stage.w - 16 * u, 2 * u))
    _bellows(big, look, middle, high - 2 * u, high + drop * n - 8 * u, low - 6 * u, u)
    board = pygame.Rect(middle - 21 * u, high + drop * n - 10 * u, 42 * u, 6 * u)
    _plate(big, look, board, u)
    lens = pygame.Rect(middle - 13 * u, board.bottom, 26 * u, 14 * u)
    _shaded(big, [lens.topleft, lens.topright, (lens.right - 3 * u, lens.bottom), (lens.x + 3 * u, lens.bottom)], dark, light)


def _bellows(big: pygame.Surface, look: Look, middle: int, top: int, low: int, half: int, u: int) -> None:
    """Folds that open as the lens goes down."""
    folds = 6
    edge, narrow = half, 16 * u
    for k in range(folds):
        y0, y1 = top + (low - top) * k // folds, top + (low - top) * (k + 1) // folds
        w0 = edge + (narrow - edge) * k // folds
        w1 = edge + (narrow - edge) * (k + 1) // folds
        out = 3 * u
        points = [(middle - w0, y0), (middle - w1 - out, (y0 + y1) // 2), (middle - w1, y1),
                  (middle + w1, y1), (middle + w1 + out, (y0 + y1) // 2), (middle + w0, y0)]  # fmt: skip
        pygame.draw.polygon(big, look.colour("panel" if k % 2 else "raised"), points)
        pygame.draw.line(big, look.colour("sunk"), (middle - w0, y0), (middle + w0, y0), max(1, u))


def _plate(big: pygame.Surface, look: Look, rect: pygame.Rect, u: int) -> None:
    pygame.draw.rect(big, look.colour("raised"), rect, border_radius=2 * u)
    pygame.draw.rect(big, look.colour("edge"), rect, max(1, u), border_radius=2 * u)


def _shaded(big: pygame.Surface, points: list[tuple[int, int]], dark: Colour, light: Colour) -> None:
    """Fill a shape like bent sheet metal: bright a third from its left."""
    box = pygame.Rect(min(x for x, _ in points), min(y for _, y in points), 1, 1)
    box.w = max(x for x, _ in points) - box.x
    box.h = max(y for _, y in points) - box.y
    metal = pygame.Surface(box.size, pygame.SRCALPHA)
    metal.blit(round_metal(box.size, dark, light), (0, 0))
    mask = pygame.Surface(box.size, pygame.SRCALPHA)
    pygame.draw.polygon(mask, (255, 255, 255, 255), [(x - box.x, y - box.y) for x, y in points])
    metal.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    big.blit(metal, box)


def _red_filter(canvas: Canvas, plan: EnlargerPlan, lens_y: int, state: EnlargerState) -> None:
    """The red filter on its arm: under the lens, or swung aside."""
    look = canvas.look
    hinge = (plan.axis_x + look.px(25), lens_y + look.px(2))
    y = lens_y + look.px(16)
    left, right = (plan.axis_x - look.px(15), plan.axis_x + look.px(18))
    if not state.red_filter_in:
        left, right = plan.axis_x + look.px(26), plan.axis_x + look.px(56)
    canvas.line(hinge, ((left + right) // 2, y), "faint", 2)
    glass = Rect(left, y - look.px(2), right - left, look.px(4))
    pygame.draw.rect(canvas.surface, (200, 44, 24), glass, border_radius=look.px(2))
    pygame.draw.rect(canvas.surface, look.colour("edge"), glass, 1, border_radius=look.px(2))


def _opal(canvas: Canvas, plan: EnlargerPlan, lens_y: int, state: EnlargerState) -> None:
    """The opal sheet on its arm: under the lens it glows evenly and lets no picture through; aside it waits."""
    look, place = canvas.look, opal_rect(canvas.look, plan, state)
    hinge = (plan.axis_x - look.px(22), lens_y + look.px(4))
    canvas.line(hinge, place.center, "faint", 2)
    sheet = Rect(place.x + look.px(2), place.centery - look.px(3), place.w - look.px(4), look.px(6))
    lit = state.opal_in and state.lamp != "off"
    white = look.colour("lamp") if lit else mixed(look.colour("ground"), look.colour("paper"), 0.6)
    pygame.draw.rect(canvas.surface, white, sheet, border_radius=look.px(2))
    pygame.draw.rect(canvas.surface, look.colour("edge"), sheet, 1, border_radius=look.px(2))


def _height_words(canvas: Canvas, plan: EnlargerPlan, state: EnlargerState) -> None:
    """An arrow on the column at the negative's height, which is what the numbers mean."""
    look, y = canvas.look, plan.y_of(state.height_mm)
    x, wing = plan.column_x + look.px(9), look.px(5)
    arrow = [(x, y), (x + look.px(9), y - wing), (x + look.px(9), y + wing)]
    pygame.draw.polygon(canvas.surface, look.colour("lamp"), arrow)
