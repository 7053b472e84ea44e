"""One of few, side by side; one of many, in a list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pygame
from pygame import Rect

from sim.window.kit.boxes import columns
from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Change, Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look


class ChoiceRow(Control):
    """Keys side by side of which one is down: the one chosen is notched and stands in bold."""

    def __init__(
        self, id: str, label: str, options: Sequence[tuple[str, str]], value: str = "",
        change: Change | None = None, help_key: str = "",
    ):  # fmt: skip
        super().__init__(id, label, help_key)
        self.options = list(options)
        self.value = value
        self.change = change

    def wanted(self, look: Look) -> tuple[int, int]:
        """All keys with their words."""
        width = max((look.width(words, "strong") for _, words in self.options), default=0) + look.px(16)
        label = look.line_height("small") + look.px(4) if self.label else 0
        return width * max(1, len(self.options)), label + look.px(30)

    def spoken(self) -> str:
        """The words of what is chosen."""
        return next((words for key, words in self.options if key == self.value), "")

    def choose(self, value: str) -> Outcome:
        """Choose one."""
        if self.locked:
            return self.refused()
        if value == self.value:
            return HANDLED
        self.value = value
        return (self.change(value) if self.change else None) or HANDLED

    def _keys(self, look: Look) -> list[Rect]:
        used = look.line_height("small") + look.px(4) if self.label else 0
        body = Rect(self.rect.x, self.rect.y + used, self.rect.w, max(0, self.rect.h - used))
        shares = [look.width(words, "strong") + look.px(16) for _, words in self.options]
        return columns(body, shares or [1])

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """A press chooses; the wheel goes to the neighbour."""
        if event.kind == "down" and event.button == 1:
            for (key, _), rect in zip(self.options, self._keys(look)):
                if rect.collidepoint(event.pos):
                    return self.choose(key)
            return HANDLED
        if event.kind == "wheel":
            return self._step(-event.steps)
        return UNUSED

    def _step(self, steps: int) -> Outcome:
        if not self.options:
            return HANDLED
        keys = [key for key, _ in self.options]
        here = keys.index(self.value) if self.value in keys else -1
        return self.choose(keys[max(0, min(len(keys) - 1, here + steps))])

    def key(self, event: Key) -> Outcome:
        """Left and right choose the neighbour, home and end the outermost."""
        if not event.down or event.control or event.alt:
            return UNUSED
        steps = {"left": -1, "right": 1, "home": -999, "end": 999}.get(event.name)
        return UNUSED if steps is None else self._step(steps)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the keys in their frame."""
        look, surface = canvas.look, canvas.surface
        if self.label:
            self.draw_label(canvas, self.rect)
        keys = self._keys(look)
        whole = keys[0].unionall(keys[1:])
        pygame.draw.rect(surface, look.colour("sunk"), whole, border_radius=look.px(5))
        for (key, words), rect in zip(self.options, keys):
            chosen = key == self.value
            if chosen:
                inner = rect.inflate(-look.px(4), -look.px(4))
                pygame.draw.rect(surface, look.colour("raised"), inner, border_radius=look.px(4))
                notch = Rect(0, 0, min(look.px(18), inner.w // 2), look.px(3))
                notch.midbottom = (inner.centerx, inner.bottom - look.px(1))
                pygame.draw.rect(surface, look.colour("lamp"), notch, border_radius=look.px(1))
            size, colour = ("strong", "ink") if chosen else ("body", "soft")
            canvas.text(words, rect.center, size, colour, "center", rect.w - look.px(6), shorten=True)
            canvas.hit(f"{self.id}:{key}", rect)
        pygame.draw.rect(surface, look.colour("soft" if self.hot else "faint"), whole, 1, border_radius=look.px(5))
        if focused:
            canvas.focus_ring(whole)


@dataclass(frozen=True)
class Row:
    """One row of a list: its key, its words, a note at the right, and a sign (tick lock dot ring pin arrow) before it."""

    key: str
    text: str
    note: str = ""
    mark: str = ""


class ScrollList(Control):
    """One of many: arrows and wheel walk, Enter or a second press opens."""

    def __init__(
        self, id: str, label: str, rows: Sequence[Row] = (), value: str = "", change: Change | None = None,
        open: Change | None = None, help_key: str = "",
    ):  # fmt: skip
        super().__init__(id, label, help_key)
        self.rows = list(rows)
        self.value = value
        self.change = change
        self.open = open
        self.first = 0
        self.shown = 1

    def wanted(self, look: Look) -> tuple[int, int]:
        """Room for four rows."""
        return look.px(180), look.px(4 * 28 + 24)

    def spoken(self) -> str:
        """The words of the row chosen."""
        return next((row.text for row in self.rows if row.key == self.value), "")

    @property
    def index(self) -> int:
        """Which row is chosen; -1: none."""
        return next((n for n, row in enumerate(self.rows) if row.key == self.value), -1)

    def _body(self, look: Look) -> Rect:
        used = look.line_height("small") + look.px(4) if self.label else 0
        return Rect(self.rect.x, self.rect.y + used, self.rect.w, max(0, self.rect.h - used))

    def _top(self, rows_shown: int) -> int:
        return max(0, min(self.first, len(self.rows) - rows_shown))

    def _choose(self, index: int, look_rows: int) -> Outcome:
        if self.locked:
            return self.refused()
        if not self.rows:
            return HANDLED
        index = max(0, min(len(self.rows) - 1, index))
        if index < self.first:
            self.first = index
        elif index >= self.first + look_rows:
            self.first = index - look_rows + 1
        key = self.rows[index].key
        if key == self.value:
            return HANDLED
        self.value = key
        return (self.change(key) if self.change else None) or HANDLED

    def _opened(self) -> Outcome:
        if self.locked:
            return self.refused()
        if self.open is None or self.index < 0:
            return HANDLED
        return self.open(self.value) or HANDLED

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """A press chooses, a press on the chosen one opens; the wheel scrolls."""
        body = self._body(look)
        rows_shown = max(1, body.h // look.px(28))
        self.shown = rows_shown
        if event.kind == "wheel":
            self.first = max(0, min(len(self.rows) - rows_shown, self._top(rows_shown) - event.steps))
            return HANDLED
        if event.kind == "down" and event.button == 1 and body.collidepoint(event.pos):
            index = self._top(rows_shown) + (event.pos[1] - body.y) // look.px(28)
            if index >= len(self.rows):
                return HANDLED
            return self._opened() if index == self.index else self._choose(index, rows_shown)
        return HANDLED if event.kind == "up" else UNUSED

    def key(self, event: Key) -> Outcome:
        """Up, down, home and end walk; Enter opens."""
        if not event.down or event.control or event.alt:
            return UNUSED
        if event.name in ("return", "enter"):
            return self._opened()
        steps = {"up": -1, "down": 1, "home": -len(self.rows), "end": len(self.rows)}.get(event.name)
        if steps is None:
            return UNUSED
        return self._choose(max(0, self.index) + steps if self.index >= 0 else 0, self.shown)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the rows that fit and, when there are more, how far down one is."""
        look, surface = canvas.look, canvas.surface
        if self.label:
            self.draw_label(canvas, self.rect)
        body = self._body(look)
        pygame.draw.rect(surface, look.colour("sunk"), body, border_radius=look.px(5))
        height = look.px(28)
        shown = max(1, body.h // height)
        top = self._top(shown)
        more = len(self.rows) > shown
        for n, row in enumerate(self.rows[top : top + shown]):
            rect = Rect(body.x, body.y + n * height, body.w - (look.px(12) if more else 0), height)
            self._draw_row(canvas, row, rect)
            canvas.hit(f"{self.id}:{row.key}", rect)
        if more:
            track = Rect(body.right - look.px(9), body.y + look.px(4), look.px(4), body.h - look.px(8))
            pygame.draw.rect(surface, look.colour("lamp-off"), track, border_radius=look.px(2))
            thumb = Rect(
                track.x,
                track.y + track.h * top // len(self.rows),
                track.w,
                max(look.px(12), track.h * shown // len(self.rows)),
            )
            pygame.draw.rect(surface, look.colour("soft"), thumb.clip(track), border_radius=look.px(2))
        pygame.draw.rect(surface, look.colour("soft" if self.hot else "faint"), body, 1, border_radius=look.px(5))
        if focused:
            canvas.focus_ring(body)

    def _draw_row(self, canvas: Canvas, row: Row, rect: Rect) -> None:
        look = canvas.look
        chosen = row.key == self.value
        if chosen:
            inner = rect.inflate(-look.px(4), -look.px(3))
            pygame.draw.rect(canvas.surface, look.colour("raised"), inner, border_radius=look.px(4))
            bar = Rect(inner.x, inner.y + look.px(3), look.px(3), inner.h - look.px(6))
            pygame.draw.rect(canvas.surface, look.colour("lamp"), bar)
        left = rect.x + look.px(12)
        if any(r.mark for r in self.rows):
            if row.mark:
                canvas.mark(row.mark, (left + look.px(6), rect.centery), look.px(14), "ink" if chosen else "soft")
            left += look.px(20)
        right = rect.right - look.px(10)
        if row.note:
            most = (right - left) * 2 // 5
            note = canvas.text(row.note, (right, rect.centery), "small", "soft", "midright", most, shorten=True)
            right = note.left - look.px(8)
        size, colour = ("strong", "ink") if chosen else ("body", "ink")
        canvas.text(row.text, (left, rect.centery), size, colour, "midleft", right - left, shorten=True)
