"""The plan of exposures as bars on one scale of seconds: what is done, what is to come, soft, hard, burns and cards."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import pygame
from pygame import Rect

from sim.window.dry.lens_part import filter_words
from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look

ROW, STEP_S = 26, 0.5
NOTHING_LEFT_STOPS = -6.0


class PlanBars(Control):
    """Rows of bars. Left and right change the seconds of the chosen one that is still to come, Delete strikes it out."""

    def __init__(
        self, id: str, label: str, change: Callable[[int, float], Outcome | None],
        strike: Callable[[int], Outcome | None],
    ):  # fmt: skip
        super().__init__(id, label)
        self.bars: Sequence[Any] = ()
        self.chosen = 0
        self.change, self.strike = change, strike
        self._from: tuple[int, float] | None = None

    def wanted(self, look: Look) -> tuple[int, int]:
        """Four rows."""
        return look.px(200), look.px(ROW) * 4

    def spoken(self) -> str:
        """The chosen bar in words."""
        bar = self._bar
        return f"{bar.label}, {bar.seconds:.1f} s" if bar else ""

    @property
    def _bar(self) -> Any:
        return self.bars[self.chosen] if 0 <= self.chosen < len(self.bars) else None

    def _row_height(self, look: Look) -> int:
        return look.px(ROW)

    def _rows(self, look: Look) -> tuple[int, int]:
        """Return the first bar that is seen and how many are."""
        shown = max(1, self.rect.h // self._row_height(look))
        return max(0, min(self.chosen - shown + 1, len(self.bars) - shown)), shown

    def _track(self, look: Look, row: Rect) -> Rect:
        left, right = round(row.w * 0.42), look.px(56)
        return Rect(row.x + left, row.y + look.px(6), max(1, row.w - left - right), row.h - look.px(12))

    @property
    def scale_s(self) -> float:
        """Seconds that fill the track."""
        return max([5.0, *(bar.start_s + bar.seconds for bar in self.bars)])

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """A press chooses a bar; dragging its end changes its seconds."""
        if event.kind == "wheel":
            return self._longer(event.steps * STEP_S)
        if event.kind == "down" and event.button == 1:
            n = self._rows(look)[0] + (event.pos[1] - self.rect.y) // self._row_height(look)
            if 0 <= n < len(self.bars):
                self.chosen = n
                self._from = (event.pos[0], self.bars[n].seconds)
            return HANDLED
        if event.kind == "move" and self._from and 1 in event.buttons and self._bar:
            per_px = self.scale_s / max(1, self._track(look, self.rect).w)
            wanted = round((self._from[1] + (event.pos[0] - self._from[0]) * per_px) * 2) / 2
            return self._to(wanted) if abs(event.pos[0] - self._from[0]) >= look.px(4) else HANDLED
        if event.kind == "up":
            self._from = None
            return HANDLED
        return UNUSED

    def _longer(self, by_s: float) -> Outcome:
        return self._to(self._bar.seconds + by_s) if self._bar else HANDLED

    def _to(self, seconds: float) -> Outcome:
        bar = self._bar
        if bar is None or bar.done or self.locked:
            return self.refused() if self.locked else HANDLED
        return self.change(bar.exposure, round(min(600.0, max(0.1, seconds)), 2)) or HANDLED

    def key(self, event: Key) -> Outcome:
        """Up and down choose, left and right change by half a second (Shift: five), Delete strikes out."""
        if not event.down or event.control or event.alt:
            return UNUSED
        if event.name in ("up", "down"):
            self.chosen = max(0, min(len(self.bars) - 1, self.chosen + (1 if event.name == "down" else -1)))
            return HANDLED
        if event.name in ("left", "right"):
            return self._longer((STEP_S if event.name == "right" else -STEP_S) * (10 if event.shift else 1))
        if event.name == "delete" and self._bar is not None and not self._bar.done:
            return self.strike(self._bar.exposure) or HANDLED
        return UNUSED

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw as many rows as fit."""
        look = canvas.look
        pygame.draw.rect(canvas.surface, look.colour("sunk"), self.rect, border_radius=look.px(5))
        high = self._row_height(look)
        top, shown = self._rows(look)
        for n, bar in enumerate(self.bars[top : top + shown]):
            row = Rect(self.rect.x, self.rect.y + n * high, self.rect.w, high)
            self._draw_row(canvas, row, bar, top + n == self.chosen)
        if not self.bars:
            canvas.lines(self.label, self.rect.inflate(-look.px(16), -look.px(12)), "small", "soft", shorten=True)
        pygame.draw.rect(canvas.surface, look.colour("faint"), self.rect, 1, border_radius=look.px(5))
        if focused:
            canvas.focus_ring(self.rect)

    def _draw_row(self, canvas: Canvas, row: Rect, bar: Any, chosen: bool) -> None:
        look, px = canvas.look, canvas.look.px
        if chosen:
            pygame.draw.rect(canvas.surface, look.colour("raised"), row.inflate(-px(4), -px(2)), border_radius=px(4))
        track = self._track(look, row)
        sign = px(16)
        if bar.done:
            canvas.mark("tick", (row.x + px(11), row.centery), px(11), "soft")
        left = row.x + px(4) + sign
        canvas.text(bar_words(bar), (left, row.centery), "small", "ink", "midleft", track.x - px(6) - left, shorten=True)
        per_s = track.w / self.scale_s
        piece = Rect(track.x + round(bar.start_s * per_s), track.y, max(px(3), round(bar.seconds * per_s)), track.h)
        draw_bar(canvas, piece.clip(row), bar.kind, bar.done)
        canvas.text(f"{bar.seconds:.1f} s", (row.right - px(8), row.centery), "small", "ink", "midright")


def bar_words(bar: Any) -> str:
    """Return what is written before a bar: what it is, and its filter, or its stops where it adds or holds back."""
    if bar.stops is not None and bar.stops < NOTHING_LEFT_STOPS:
        return str(bar.label)  # held back all the time: no number of stops says it
    if bar.stops is not None:
        return f"{bar.label} {bar.stops:+.1f}".replace("-", "−")
    return f"{bar.label} · {filter_words(bar.filter)}" if bar.kind in ("base", "soft", "hard") else str(bar.label)


def draw_bar(canvas: Canvas, rect: Rect, kind: str, done: bool) -> None:
    """Draw a bar by its kind: plain, soft (rounded), hard (square, framed twice), burn (hatched), hold-back (hollow)."""
    look, px = canvas.look, canvas.look.px
    fill, edge = look.colour("lamp" if done else "edge"), look.colour("lamp")
    radius = rect.h // 2 if kind == "soft" else 0
    if kind == "dodge":
        pygame.draw.rect(canvas.surface, edge, rect, max(1, px(1)), border_radius=px(2))
        canvas.line((rect.x, rect.centery), (rect.right - 1, rect.centery), "soft")
        return
    pygame.draw.rect(canvas.surface, fill, rect, border_radius=radius)
    if kind == "burn":
        before = canvas.surface.get_clip()
        canvas.surface.set_clip(rect.clip(before))
        for x in range(rect.x - rect.h, rect.right, px(6)):
            canvas.line((x, rect.bottom), (x + rect.h, rect.y), "sunk", 2)
        canvas.surface.set_clip(before)
    pygame.draw.rect(canvas.surface, edge, rect, 1, border_radius=radius)
    if kind == "hard" and rect.w > px(8):
        pygame.draw.rect(canvas.surface, look.colour("sunk"), rect.inflate(-px(6), -px(6)), 1)
