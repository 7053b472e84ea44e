"""The prints as a thing to work: hung at one scale, the densitometer moved over them by hand or by arrow keys, zoom."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look
from sim.window.kit.picture import grey_surface
from sim.window.wall.hanging import Hung, draw_head, draw_hung, hang, ink_on, wall_grey

if TYPE_CHECKING:
    from sim.bench.wall import PointReading, Wall, WallPrint

STEP_MM, FAST_MM = 1.0, 10.0
SPOT_MM = 3.0
ZOOMS = (1, 2, 4)
LARGEST_PX = 4096


class PrintsOnWall(Control):
    """Up to four pinned prints; ``probe`` is (number, x mm, y mm) under the densitometer."""

    def __init__(self, id: str, label: str, chosen: Callable[[int], Outcome | None]):
        super().__init__(id, label)
        self.chosen = chosen
        self.prints: tuple[WallPrint, ...] = ()
        self.captions: dict[int, str] = {}
        self.marked = -1
        self.zoom = 1
        self.centre = (0.5, 0.5)
        self.lux, self.wet = 500.0, False
        self.hung: list[Hung] = []
        self.pictures: dict[int, pygame.Surface] = {}
        self.probe: tuple[int, float, float] | None = None
        self.reading: PointReading | None = None
        self._made: object = None

    def spoken(self) -> str:
        """What the densitometer reads."""
        return f"D {self.reading.density:.2f}" if self.reading else ""

    # --- pictures --------------------------------------------------------------------------------------------------

    def hang_up(self, wall: Wall, look: Look, prints: Sequence[WallPrint]) -> None:
        """Take the pinned prints and make their pictures, where anything has changed."""
        self.wall, self.prints = wall, tuple(prints)
        key = (tuple(p.number for p in prints), tuple(self.rect), look.scale, self.zoom, self.centre, self.lux, self.wet)
        if self.probe and self.probe[0] not in {p.number for p in prints}:
            self.probe = self.reading = None
        if key == self._made or not self.rect.w:
            return
        self._made = key
        self.pictures = {}
        room = self.rect.inflate(-2 * look.px(22), -2 * look.px(14))
        foot = look.line_height("small") + look.px(8)
        sizes = [(p.number, p.width_mm, p.height_mm) for p in prints]
        self.hung, self.px_per_mm = hang(room, sizes, look.px(26), foot) if prints else ([], 1.0)
        for hung in self.hung:
            self.pictures[hung.number] = self._picture(hung)

    def _picture(self, hung: Hung) -> pygame.Surface:
        size = (max(8, hung.rect.w), max(8, hung.rect.h))
        whole = tuple(min(LARGEST_PX, side * self.zoom) for side in size)
        levels = self.wall.picture(hung.number, whole, wet=self.wet, viewing_lux=self.lux)
        x0, y0 = self._corner()
        rows, cols = levels.shape
        top, left = round(y0 * rows), round(x0 * cols)
        part = levels[top : top + size[1], left : left + size[0]]
        picture = grey_surface(part)
        return picture if picture.get_size() == size else pygame.transform.smoothscale(picture, size)

    def _corner(self) -> tuple[float, float]:
        """Return the fraction of a print at the upper left of what is shown."""
        return tuple(min(max(c - 0.5 / self.zoom, 0.0), 1.0 - 1.0 / self.zoom) for c in self.centre)  # type: ignore[return-value]

    def to_mm(self, hung: Hung, pos: tuple[int, int]) -> tuple[float, float]:
        """Return the mm on a print of a pixel of the window."""
        x0, y0 = self._corner()
        x = x0 + (pos[0] + 0.5 - hung.rect.x) / hung.rect.w / self.zoom
        y = y0 + (pos[1] + 0.5 - hung.rect.y) / hung.rect.h / self.zoom
        return x * hung.size_mm[0], y * hung.size_mm[1]

    def to_px(self, hung: Hung, x_mm: float, y_mm: float) -> tuple[int, int]:
        """Return the pixel of the window of a point on a print: the inverse of ``to_mm``."""
        x0, y0 = self._corner()
        x = hung.rect.x + (x_mm / hung.size_mm[0] - x0) * hung.rect.w * self.zoom
        y = hung.rect.y + (y_mm / hung.size_mm[1] - y0) * hung.rect.h * self.zoom
        return int(x), int(y)

    # --- densitometer ----------------------------------------------------------------------------------------------

    def put_head(self, number: int, x_mm: float, y_mm: float) -> None:
        """Lay the densitometer's head on a print; it stays on the paper."""
        size = next(h.size_mm for h in self.hung if h.number == number)
        x, y = min(max(x_mm, 0.1), size[0] - 0.1), min(max(y_mm, 0.1), size[1] - 0.1)
        self.probe = (number, x, y)
        self.reading = self.wall.read(number, x, y, SPOT_MM)

    def _over(self, pos: tuple[int, int]) -> Hung | None:
        return next((h for h in self.hung if h.rect.collidepoint(pos)), None)

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """Moving reads; a press chooses the print; the wheel zooms about the point."""
        hung = self._over(event.pos)
        if hung is None:
            return HANDLED if event.kind == "up" else UNUSED
        if event.kind in ("move", "down"):
            self.put_head(hung.number, *self.to_mm(hung, event.pos))
        if event.kind == "down":
            return self.chosen(hung.number) or HANDLED
        if event.kind == "wheel":
            self.put_head(hung.number, *self.to_mm(hung, event.pos))
            self.zoom_by(event.steps)
        return HANDLED

    def zoom_by(self, steps: int) -> Outcome:
        """Go nearer (+) or back (-), about the densitometer's head."""
        here = ZOOMS.index(self.zoom)
        self.zoom = ZOOMS[max(0, min(len(ZOOMS) - 1, here + (1 if steps > 0 else -1)))]
        self.centre_on_head()
        return HANDLED

    def centre_on_head(self) -> None:
        """Bring what the head lies on into the middle."""
        hung = next((h for h in self.hung if self.probe and h.number == self.probe[0]), None)
        if hung is not None and self.probe is not None:
            self.centre = (self.probe[1] / hung.size_mm[0], self.probe[2] / hung.size_mm[1])

    def key(self, event: Key) -> Outcome:
        """Arrows move the head (with Shift in large steps), Home and End take it to the next print, Enter chooses."""
        if not event.down or event.control or event.alt or not self.hung:
            return UNUSED
        moves = {"left": (-1, 0), "right": (1, 0), "up": (0, -1), "down": (0, 1)}
        numbers = [h.number for h in self.hung]
        if event.name in moves:
            return self._moved(*moves[event.name], FAST_MM if event.shift else STEP_MM)
        if event.name in ("home", "end"):
            here = numbers.index(self.probe[0]) if self.probe else -1
            self._to_print(self.hung[(here + (1 if event.name == "end" else -1)) % len(numbers)])
            return HANDLED
        if event.name in ("return", "enter") and self.probe:
            return self.chosen(self.probe[0]) or HANDLED
        return UNUSED

    def _to_print(self, hung: Hung) -> None:
        """The same place on another print, as a share of its sides."""
        share = (0.5, 0.5)
        if self.probe:
            size = next(h.size_mm for h in self.hung if h.number == self.probe[0])
            share = (self.probe[1] / size[0], self.probe[2] / size[1])
        self.put_head(hung.number, share[0] * hung.size_mm[0], share[1] * hung.size_mm[1])

    def _moved(self, dx: int, dy: int, step: float) -> Outcome:
        if self.probe is None:
            self._to_print(self.hung[0])
            return HANDLED
        number, x, y = self.probe
        self.put_head(number, x + dx * step, y + dy * step)
        hung = next(h for h in self.hung if h.number == number)
        if not hung.rect.collidepoint(self.to_px(hung, *self.probe[1:])):
            self.centre_on_head()
        return HANDLED

    # --- drawing ---------------------------------------------------------------------------------------------------

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Grey wall, prints, captions, numbers of a strip's steps, the head."""
        ground = wall_grey(self.lux)
        pygame.draw.rect(canvas.surface, ground, self.rect)
        for hung in self.hung:
            draw_hung(canvas, hung, self.pictures[hung.number])
            canvas.hit(f"print:{hung.number}", hung.rect)
            self._draw_caption(canvas, hung, ground)
            self._draw_steps(canvas, hung)
        if self.probe:
            hung = next(h for h in self.hung if h.number == self.probe[0])
            at = self.to_px(hung, *self.probe[1:])
            if hung.rect.inflate(2, 2).collidepoint(at):
                draw_head(canvas, at, round(SPOT_MM / 2 * self.px_per_mm * self.zoom))
        if focused:
            canvas.focus_ring(self.rect.inflate(-canvas.look.px(10), -canvas.look.px(10)))

    def _draw_caption(self, canvas: Canvas, hung: Hung, ground: tuple[int, int, int]) -> None:
        """On a plate of its own, so that the words read on any wall and the wall stays grey."""
        look = canvas.look
        words = look.shortened(self.captions.get(hung.number, str(hung.number)), max(hung.rect.w, look.px(60)), "small")
        chosen = hung.number == self.marked
        plate = Rect(0, 0, look.width(words, "small") + look.px(14), look.line_height("small") + look.px(4))
        plate.midtop = (hung.rect.centerx, hung.rect.bottom + look.px(5))
        pygame.draw.rect(canvas.surface, look.colour("sunk"), plate, border_radius=look.px(3))
        if chosen:
            pygame.draw.rect(canvas.surface, ink_on(ground), plate, look.px(2), border_radius=look.px(3))
        canvas.text(words, plate.center, "small", "ink" if chosen else "soft", "center")

    def _draw_steps(self, canvas: Canvas, hung: Hung) -> None:
        """The number of each step of a strip in a small disc at the strip's edge."""
        look = canvas.look
        steps = next(p.strip_steps for p in self.prints if p.number == hung.number)
        if len(steps) < 2 or self.zoom > 1:
            return
        for n, step in enumerate(steps):
            at = self.to_px(hung, *step.edge_mm)
            pygame.draw.circle(canvas.surface, look.colour("sunk"), at, look.px(9))
            pygame.draw.circle(canvas.surface, look.colour("soft"), at, look.px(9), 1)
            canvas.text(str(n + 1), at, "small", "ink", "center")
