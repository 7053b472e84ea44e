"""What is seen at the sink: the sheet in the tray in front, coming up and rocked; or dry on the line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import pygame
from pygame import Rect

from sim.window.kit.boxes import fit, inset
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.kit.picture import grey_surface
from sim.window.wall.hanging import Hung, draw_hung, wall_grey
from sim.window.wet.perspective import LaidPicture
from sim.window.wet.trays import Sink, draw_sink, shade, sink_for

if TYPE_CHECKING:
    from sim.bench.darkroom import Darkroom

SLIDE_S, WALK_S, ROCK_S = 0.7, 0.45, 2.4  # real seconds: sliding in, going to the next tray, one rocking to and fro
WHITE = (255, 255, 255)


class TrayView:
    """The picture and its motion; it asks the tray and draws the answer."""

    def __init__(self) -> None:
        self.rect = Rect(0, 0, 0, 0)
        self.position, self.slide, self.phase = 0.0, 0.0, 0.0
        self.still = False
        self.sink: Sink | None = None
        self.laid: LaidPicture | None = None
        self.surface: pygame.Surface | None = None
        self.key: object = None

    # --- motion ----------------------------------------------------------------------------------------------------

    def put_in(self, still: bool) -> None:
        """A sheet starts to slide into the first tray."""
        self.still, self.position, self.slide, self.phase = still, 0.0, (0.0 if still else 1.0), 0.0

    def walk(self, place: int, dt_s: float) -> bool:
        """Bring the tray in front nearer to where the sheet lies; returns whether that moved anything."""
        off = place - self.position
        if abs(off) < 1e-3:
            return False
        step = dt_s / WALK_S
        there = self.still or abs(off) <= step
        self.position = float(place) if there else self.position + math.copysign(step, off)
        return True

    def rocked(self, dt_s: float) -> None:
        """Rock the tray on, and let a sheet that slides in come to rest."""
        self.slide = max(0.0, self.slide - dt_s / SLIDE_S)
        self.phase = (self.phase + dt_s / ROCK_S) % 1.0

    @property
    def rock(self) -> float:
        """How the tray is tilted now, -1 to 1; level when nothing shall move."""
        return 0.0 if self.still else math.sin(2 * math.pi * self.phase)

    # --- the picture -----------------------------------------------------------------------------------------------

    def make(self, dark: Darkroom, look: Look, anew: bool = False) -> None:
        """Make the picture of the sheet as it lies: in perspective in a tray, flat on the line."""
        stage = dark.tray.stage
        key = (
            stage, dark.tray.number, tuple(self.rect), look.scale, look.palette.name, dark.paper.piece is None, dark.folder
        )  # fmt: skip
        if (key == self.key and not anew) or not self.rect.w:
            return
        if key != self.key:
            self.laid = None
        self.key = key
        tint = WHITE if dark.white_light else look.safelight_tint
        if not stage:
            now = dark.desk.now
            self.surface, self.sink = None, sink_for(self.rect, (now.sheet_width_mm, now.sheet_height_mm), look)
        elif stage == "dry":
            room = inset(self.rect, look.px(30), look.px(34))
            self.surface = grey_surface(dark.tray.picture((max(8, room.w), max(8, room.h))), tint)
        else:
            self._lay(dark, look, tint)

    def _lay(self, dark: Darkroom, look: Look, tint: tuple[int, int, int]) -> None:
        size = (max(8, self.rect.w), max(8, int(self.rect.h * 0.95)))
        levels = dark.tray.picture(size)
        if self.laid is None or self.laid.shape != levels.shape:
            per_mm = dark.tray.px_per_mm(size)
            shape_mm = (levels.shape[1] / per_mm, levels.shape[0] / per_mm)
            self.sink = sink_for(self.rect, shape_mm, look)
            self.laid = LaidPicture(self.sink.sheet_plane(*shape_mm), *levels.shape)
        self.surface = self.laid.surface(levels, tint)

    # --- drawing ---------------------------------------------------------------------------------------------------

    def draw(self, canvas: Canvas, dark: Darkroom, names: Sequence[str]) -> None:
        """Draw the sink with the sheet, or the line."""
        if dark.tray.stage == "dry" and self.surface is not None:
            self._draw_line(canvas, self.surface, dark.white_light)
        elif self.sink is not None:
            sheet = None
            if self.surface is not None and self.laid is not None:
                slid = round(self.slide**2 * self.rect.h)
                sheet = (self.surface, (self.laid.left, self.laid.top + slid))
            tilt = self.rock if sheet else 0.0
            draw_sink(canvas, self.rect, self.sink, names, self.position, tilt, sheet, self.slide < 0.2)

    def _draw_line(self, canvas: Canvas, picture: pygame.Surface, white: bool) -> None:
        """The dry sheet flat before the wall's grey, on two pegs."""
        look = canvas.look
        pygame.draw.rect(canvas.surface, wall_grey(500.0) if white else shade(look, 0.16), self.rect)
        rect = fit(picture.get_size(), inset(self.rect, look.px(30), look.px(34)))
        rect = picture.get_rect(center=rect.center)
        y = self.rect.y + look.px(16)
        pygame.draw.line(canvas.surface, look.colour("shade"), (self.rect.x, y), (self.rect.right - 1, y), look.px(2))
        draw_hung(canvas, Hung(0, rect, (1.0, 1.0)), picture, pinned=False)
        for x in (rect.x + rect.w // 5, rect.right - rect.w // 5):
            draw_peg(canvas, (x, y), rect.y)


def draw_peg(canvas: Canvas, at: tuple[int, int], sheet_top: int) -> None:
    """A wooden peg from the line down over the sheet's edge."""
    look = canvas.look
    body = Rect(at[0] - look.px(4), at[1] - look.px(8), look.px(9), sheet_top - at[1] + look.px(18))
    pygame.draw.rect(canvas.surface, shade(look, 0.42), body, border_radius=look.px(2))
    pygame.draw.rect(canvas.surface, look.colour("shade"), body, 1, border_radius=look.px(2))
    pygame.draw.line(canvas.surface, look.colour("shade"), (body.x, body.centery), (body.right - 1, body.centery))
