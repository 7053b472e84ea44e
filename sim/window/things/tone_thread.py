"""The thread from a place of a print to its point on the paper's curve, and the whole way of the tones from scene to print."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pygame
from pygame import Rect

from sim.bench.wall import CurveData, CurvePoint
from sim.refusals import Refused
from sim.viewing.tone_reproduction import ToneReproduction
from sim.window.kit.axes import Axes, draw_curve, draw_grid, draw_point
from sim.window.kit.boxes import hiding_least, stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.shading import cast
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import InRoom
from sim.window.things.tone_views import draw_tone_chain
from sim.window.things.wall import OnTheWall
from sim.window.things.wall_drawing import point_px

OVER_POINT = 1000.0  # what a pixel of the place that is read weighs against one of a print (chosen: never hidden)


class ToneThread(InRoom):
    """A slip pinned at the wall's right: the curve with the touched tone on it. Touch it for the four quadrants."""

    key_of_words = "curve"

    def __init__(self, room: OneRoom, wall: OnTheWall):
        super().__init__(room, "curve")
        self._wall = wall
        self.open = False
        self.quadrants = False
        self._key: object = None
        self._curve: CurveData | None = None
        self._chain: ToneReproduction | None = None
        self._point: CurvePoint | None = None
        self._trouble = ""

    def toggle(self) -> None:
        """Pin the slip up, or take it down."""
        self.open = not self.open
        if self.open and self._wall.point is None:
            self.room.say("curve waits", holds=lambda: self.open and self._wall.point is None)

    def pressed(self) -> None:
        """The curve, or all four quadrants."""
        self.quadrants = not self.quadrants

    def lay_out(self, area: Rect) -> None:
        """Over no print where there is room, else over as little of them as may be, never over what is read."""
        if not self.open or self._wall.point is None:
            self.rect = Rect(0, 0, 0, 0)
            return
        share, px = (0.62, 0.86) if self.quadrants else (0.36, 0.5), self.room.px
        wide, high = max(px(300), round(area.w * share[0])), max(px(230), round(area.h * share[1]))
        small = (px(300), px(190)) if not self.quadrants else (wide, high)
        prints, at = [self._wall.with_caption(pin) for pin in self._wall.hanging()], point_px(self._wall)
        hides = [*((1.0, one) for one in prints), *([(OVER_POINT, stood((px(24), px(24)), "center", at))] if at else [])]
        for size in ((wide, high), small):  # smaller, where it then hides no print
            size = min(area.w - px(16), size[0]), min(area.h - px(16), size[1])
            hidden, self.rect = hiding_least(size, self._spots(area, size, prints), area, hides, area.topright, 0.0)
            if not hidden:
                return
        self.rect = hiding_least((wide, high), self._spots(area, (wide, high), prints), area, hides, area.topright, 0.0)[1]

    def _spots(self, area: Rect, size: tuple[int, int], prints: Sequence[Rect]) -> list[tuple[int, int]]:
        """The wall's corners, the upper right first, and beside, above and below every print."""
        gap = self.room.px(8)
        xs = [area.right - gap - size[0], area.x + gap]
        xs += [x for one in prints for x in (one.right + gap, one.x - gap - size[0])]
        ys = [area.y + gap, area.bottom - gap - size[1]]
        ys += [y for one in prints for y in (one.bottom + gap, one.y - gap - size[1])]
        return [(x, y) for x in xs for y in ys]

    def update(self) -> bool:
        """Ask for what the touched print's curve is; returns whether it changed."""
        point = self._wall.point if self.open else None
        key = (point, self.quadrants)
        if key == self._key:
            return False
        self._key, self._trouble = key, ""
        if point is None:
            return True
        bench = self.room.darkroom.wall
        try:
            self._curve = bench.curve(point[0])
            self._point = bench.on_curve(*point)
            self._chain = bench.tone_chain(point[0]) if self.quadrants else None
        except Refused as error:
            self._trouble = self.room.said(str(error))
        return True

    def _near(self) -> str:
        """Return the named place nearest in tone to the touched point."""
        if self._chain is None or self._point is None or not self._chain.points:
            return ""
        density = self._point.density
        return min(self._chain.points, key=lambda p: abs(p.print_density - density)).place

    def draw(self, canvas: Canvas) -> None:
        """The slip, the curve, the point on it."""
        look, rect = canvas.look, self.rect
        cast(canvas.surface, look, rect, 12, 4)
        canvas.plate(rect, "soft" if self.hot else "edge", "panel", radius=6)
        inner = rect.inflate(-look.px(20), -look.px(16))
        if self._trouble:
            canvas.lines(self._trouble, inner, "small", "soft")
        elif self.quadrants and self._chain is not None:
            words: Callable[..., str] = self.room.words.text
            draw_tone_chain(canvas, inner, self._chain, self._near(), words)
        elif self._curve is not None and self._point is not None:
            self._draw_curve(canvas, inner, self._curve, self._point)

    def _axes(self, look_px: Callable[[float], int], inner: Rect, curve: CurveData, point: CurvePoint) -> Axes:
        line = self.room.look.line_height("small")
        plot = Rect(inner.x + look_px(34), inner.y + line + look_px(8), inner.w - look_px(44), inner.h - 3 * line - look_px(18))
        rising = [float(x) for x, d in zip(curve.log_exposure, curve.density) if d - curve.density[0] > 0.01]
        falling = [float(x) for x, d in zip(curve.log_exposure, curve.density) if d < 0.99 * curve.density[-1]]
        ends = [*rising[:1], *(falling[-1:] if rising else ()), point.log_exposure]
        return Axes(plot, min(ends) - 0.25, max(ends) + 0.25, 0.0, max(2.2, float(curve.density.max()) + 0.1))

    def _draw_curve(self, canvas: Canvas, inner: Rect, curve: CurveData, point: CurvePoint) -> None:
        look = canvas.look
        axes = self._axes(look.px, inner, curve, point)
        draw_grid(canvas, axes, most_x=5, most_y=6)
        draw_curve(canvas, axes, [float(x) for x in curve.log_exposure], [float(d) for d in curve.density])
        at = axes.at(point.log_exposure, point.density)
        draw_point(canvas, at, True)
        canvas.text(self.room.line("print density"), inner.topleft, "small", "soft", room=inner.w)
        below = (axes.rect.right, axes.rect.bottom + look.line_height("small") + look.px(4))
        canvas.text(self.room.line("log exposure"), below, "small", "soft", "topright", inner.w)

    def draw_thread(self, canvas: Canvas) -> None:
        """The thread itself, from the print to the slip."""
        at = point_px(self._wall)
        if not self.shown or at is None or self._curve is None or self._point is None or self.quadrants or self._trouble:
            return
        inner = self.rect.inflate(-canvas.look.px(20), -canvas.look.px(16))
        axes = self._axes(canvas.look.px, inner, self._curve, self._point)
        there = axes.at(self._point.log_exposure, self._point.density)
        sag = max(canvas.look.px(20), round(abs(there[0] - at[0]) * 0.12))
        points = []
        for n in range(25):
            s = n / 24
            points.append((at[0] + (there[0] - at[0]) * s, at[1] + (there[1] - at[1]) * s + sag * 4 * s * (1 - s)))
        pygame.draw.lines(canvas.surface, (20, 20, 20), False, points, max(3, canvas.look.px(3)))
        pygame.draw.lines(canvas.surface, (226, 60, 48), False, points, max(1, canvas.look.px(1.4)))
