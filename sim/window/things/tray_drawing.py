"""The sink seen by whoever stands at it: the tray in front, its neighbours left and right, the sheet under the liquid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pygame
from pygame import Rect

from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.theme import Colour
from sim.window.things.perspective import Plane

FAR_SHARE = 0.88  # width of a tray's far edge to its near edge
FORESHORTENED = 0.86
RIM_MM, WALL_MM = 7.0, 15.0
AROUND_SHEET_MM = 14.0
LEAST_FLOOR_MM = 180.0
FINE = 3  # trays are drawn three times too large and brought down


@dataclass(frozen=True)
class Sink:
    """Where things stand: the tray in front, the distance to the next, and the pixels of a mm at the near edge."""

    floor: Plane
    pitch_px: int
    px_per_mm: float
    floor_mm: tuple[float, float]

    def sheet_plane(self, width_mm: float, height_mm: float) -> Plane:
        """Return where a sheet lies in the middle of the front tray."""
        u, v = width_mm / self.floor_mm[0] / 2, height_mm / self.floor_mm[1] / 2
        return self.floor.part(0.5 - u, 0.5 - v, 0.5 + u, 0.5 + v)


def sink_for(rect: Rect, sheet_mm: tuple[float, float], look: Look) -> Sink:
    """Return the sink that shows a tray for sheets of this size as large as the room allows."""
    floor_mm = (max(LEAST_FLOOR_MM, sheet_mm[0] + 2 * AROUND_SHEET_MM), max(LEAST_FLOOR_MM, sheet_mm[1] + 2 * AROUND_SHEET_MM))
    edge = 2 * (RIM_MM + WALL_MM)
    label = look.line_height("strong") + look.px(16)
    high = (rect.h - label - look.px(14)) / ((floor_mm[1] + edge) * FORESHORTENED)
    wide = rect.w * 0.70 / (floor_mm[0] + edge)
    scale = min(high, wide)
    half_near, half_far = floor_mm[0] * scale / 2, floor_mm[0] * scale * FAR_SHARE / 2
    far_y = rect.y + look.px(10) + (RIM_MM + WALL_MM) * scale * FORESHORTENED
    near_y = far_y + floor_mm[1] * scale * FORESHORTENED
    cx = rect.centerx
    floor = Plane((cx - half_far, cx + half_far, far_y), (cx - half_near, cx + half_near, near_y))
    return Sink(floor, round((floor_mm[0] + edge + 26.0) * scale), scale, floor_mm)


def shade(look: Look, level: float) -> Colour:
    """Return a matt grey thing of a level 0-1 in the present light."""
    if look.palette.name == "white-light":
        grey = min(255, round(255 * (0.13 + 0.87 * level)))
        return grey, grey, grey
    red, green, blue = (min(255, round(c * level)) for c in seen_white(look))
    return red, green, blue


def seen_white(look: Look) -> Colour:
    """Return what the present light leaves of paper white."""
    if look.palette.name == "white-light":
        return 255, 255, 255
    return look.palette.paper if look.palette.name == "red-light" else look.safelight_tint


def draw_sink(
    canvas: Canvas, rect: Rect, sink: Sink, names: Sequence[str], position: float, rock: float = 0.0,
    sheet: tuple[pygame.Surface, tuple[int, int]] | None = None, in_bath: bool = True,
) -> None:  # fmt: skip
    """Draw the trays with number ``position`` in front, and the sheet (picture, place) in it.

    ``rock`` -1 to 1 is how the tray is tilted: the light on the liquid runs from side to side and the sheet with it.
    """
    look, surface = canvas.look, canvas.surface
    clip = surface.get_clip()
    surface.set_clip(rect.clip(clip))
    laid = sheet is not None
    if position == round(position):  # standing still: one picture, made once
        key = ("sink", tuple(rect), sink.floor, round(position), len(names), laid)

        def make() -> pygame.Surface:
            whole = pygame.Surface(surface.get_size())
            _trays(whole, rect, look, sink, len(names), position, laid)
            return whole.subsurface(rect.clip(whole.get_rect())).copy()

        surface.blit(look.keep(key, make), rect)
    else:
        _trays(surface, rect, look, sink, len(names), position, laid)
    if sheet:
        picture, place = sheet
        lag = round(rock * 2.2 * sink.px_per_mm)
        surface.blit(picture, (place[0] + lag, place[1]))
        if in_bath:
            _liquid(surface, look, sink, round((round(position) - position) * sink.pitch_px), rock)
    surface.set_clip(clip)
    _names(canvas, rect, sink, names, position)


def _trays(
    surface: pygame.Surface, rect: Rect, look: Look, sink: Sink, count: int, position: float, laid: bool
) -> None:  # fmt: skip
    """Bench and trays; the liquid in all but the one a sheet lies in, where it comes over the sheet."""
    _bench(surface, rect, look)
    tray, at = _tray(look, sink)
    for n in range(count):
        shift = round((n - position) * sink.pitch_px)
        if abs(shift) < rect.w:
            surface.blit(tray, (at[0] + shift, at[1]))
            if not (laid and abs(shift) < sink.pitch_px // 2):
                _liquid(surface, look, sink, shift, 0.0)


def _names(canvas: Canvas, rect: Rect, sink: Sink, names: Sequence[str], position: float) -> None:
    look = canvas.look
    y = rect.bottom - look.px(8)
    for n, name in enumerate(names):
        front = n == round(position)
        wide = look.width(name, "strong" if front else "small")
        x = rect.centerx + round((n - position) * sink.pitch_px)
        if not front:  # a neighbour is named where it can still be seen
            x = max(rect.x + look.px(10) + wide // 2, min(rect.right - look.px(10) - wide // 2, x))
            if abs(n - position) > 1.2:
                continue
        canvas.text(name, (x, y), "strong" if front else "small", "ink" if front else "soft", "midbottom")


def _bench(surface: pygame.Surface, rect: Rect, look: Look) -> None:
    def make() -> pygame.Surface:
        strip = pygame.Surface((1, 64))
        for y in range(64):
            strip.set_at((0, y), shade(look, 0.045 + 0.075 * (y / 63) ** 1.5))
        return pygame.transform.smoothscale(strip, rect.size)

    surface.blit(look.keep(("bench", rect.size), make), rect)


def _grown(plane: Plane, mm: float, scale: float) -> Plane:
    """Return a plane with an edge of ``mm`` all round, drawn as if it lay at the same height."""
    side, up = mm * scale, mm * scale * FORESHORTENED
    far_side = side * FAR_SHARE
    return Plane(
        (plane.far[0] - far_side, plane.far[1] + far_side, plane.far[2] - up * FAR_SHARE),
        (plane.near[0] - side, plane.near[1] + side, plane.near[2] + up),
    )


def _tray(look: Look, sink: Sink) -> tuple[pygame.Surface, tuple[int, int]]:
    """Return an empty tray and where its picture goes for the tray in front."""
    floor = sink.floor
    brim = _grown(floor, WALL_MM, sink.px_per_mm)
    rim = _grown(floor, WALL_MM + RIM_MM, sink.px_per_mm)
    pad = look.px(12)
    left, top = int(rim.near[0]) - pad, int(rim.far[2]) - pad
    size = (int(rim.near[1] - rim.near[0]) + 2 * pad, int(rim.near[2] - rim.far[2]) + 2 * pad)

    def make() -> pygame.Surface:
        big = pygame.Surface((size[0] * FINE, size[1] * FINE), pygame.SRCALPHA)

        def points(plane: Plane, down: float = 0.0) -> list[tuple[float, float]]:
            return [((x - left) * FINE, (y + down - top) * FINE) for x, y in plane.corners()]

        for n in range(8):
            pygame.draw.polygon(big, (0, 0, 0, 16), points(_grown(rim, 6 - 0.8 * n, sink.px_per_mm), 0.5 * pad))
        _rounded(big, points(rim), shade(look, 0.30), 0.05)
        _rounded(big, points(rim, -1.2), shade(look, 0.40), 0.05)
        outer, inner = points(brim), points(floor)
        for side, level in ((0, 0.12), (1, 0.20), (2, 0.27), (3, 0.17)):
            quad = [outer[side], outer[(side + 1) % 4], inner[(side + 1) % 4], inner[side]]
            pygame.draw.polygon(big, shade(look, level), quad)
        pygame.draw.polygon(big, shade(look, 0.205), inner)
        for k in range(1, 8):  # the ribs that keep a sheet from sticking to the floor
            far, near = floor.at(k / 8, 0.03), floor.at(k / 8, 0.97)
            for dx, level in ((0, 0.165), (FINE, 0.245)):
                ends = [((x - left) * FINE + dx, (y - top) * FINE) for x, y in (far, near)]
                pygame.draw.line(big, shade(look, level), ends[0], ends[1], FINE)
        return pygame.transform.smoothscale(big, size)

    return look.keep(("tray", sink.floor, size), make), (left, top)


def _rounded(surface: pygame.Surface, quad: list[tuple[float, float]], colour: Colour, share: float) -> None:
    """A four-cornered plate with its corners cut round."""
    outline: list[tuple[float, float]] = []
    for n, corner in enumerate(quad):
        before, behind = quad[n - 1], quad[(n + 1) % 4]
        one = _between(corner, before, share)
        other = _between(corner, behind, share)
        for k in range(7):
            s = k / 6
            outline.append(_between(_between(one, corner, s), _between(corner, other, s), s))
    pygame.draw.polygon(surface, colour, outline)


def _between(a: tuple[float, float], b: tuple[float, float], share: float) -> tuple[float, float]:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def _liquid(surface: pygame.Surface, look: Look, sink: Sink, shift: int, rock: float) -> None:
    """The liquid: a thin veil, a bright line where it meets the wall, and the lamp's reflection that runs with the rocking."""
    level = _grown(sink.floor, WALL_MM * 0.55, sink.px_per_mm)
    left, top = int(level.near[0]) - 2, int(level.far[2]) - 2
    size = (int(level.near[1] - level.near[0]) + 5, int(level.near[2] - level.far[2]) + 5)

    def make() -> pygame.Surface:
        big = pygame.Surface((size[0] * 2, size[1] * 2), pygame.SRCALPHA)
        corners = [((x - left) * 2, (y - top) * 2) for x, y in level.corners()]
        pygame.draw.polygon(big, (*shade(look, 0.35), 12), corners)
        pygame.draw.aalines(big, (*shade(look, 0.75), 90), True, corners)
        return pygame.transform.smoothscale(big, size)

    surface.blit(look.keep(("liquid", sink.floor), make), (left + shift, top))
    glint_w, glint_h = size[0] // 2, max(6, size[1] // 9)

    def make_glint() -> pygame.Surface:
        glint = pygame.Surface((160, 48), pygame.SRCALPHA)
        for n in range(12):
            inner = stood((160 - 12 * n, 48 - 4 * n), "center", (80, 24))
            layer = pygame.Surface((160, 48), pygame.SRCALPHA)
            pygame.draw.ellipse(layer, (*shade(look, 1.0), 5), inner)
            glint.blit(layer, (0, 0))
        return pygame.transform.smoothscale(glint, (glint_w, glint_h))

    y = int(sink.floor.far[2] - glint_h * 0.55)
    x = int((sink.floor.far[0] + sink.floor.far[1]) / 2 - glint_w / 2 + rock * 0.2 * size[0])
    clip = surface.get_clip()
    surface.set_clip(Rect(left + shift, top, size[0], size[1]).clip(clip))
    surface.blit(look.keep(("glint", glint_w, glint_h), make_glint), (x + shift, y))
    surface.set_clip(clip)
