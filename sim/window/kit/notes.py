"""Words on a card, and a card to write on."""

from __future__ import annotations

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Change, Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look


class TextNote(Control):
    """Words to read, wrapped; it takes no focus."""

    focusable = False

    def __init__(
        self, id: str, text: str = "", size: str = "body", soft: bool = False, help_key: str = "", shorten: bool = False
    ):
        super().__init__(id, "", help_key)
        self.text = text
        self.size = size
        self.soft = soft
        self.shorten = shorten

    def height_for(self, look: Look, width: int) -> int:
        """Return the pixels the words need at a width."""
        return len(look.wrapped(self.text, width, self.size)) * look.line_height(self.size)

    def wanted(self, look: Look) -> tuple[int, int]:
        """One line at least."""
        return look.px(120), look.line_height(self.size)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the words; with ``shorten`` an ellipsis ends what does not fit."""
        canvas.lines(self.text, self.rect, self.size, "soft" if self.soft else "ink", self.shorten)


class LongNote(Control):
    """Paragraphs to read; what does not fit is scrolled with the wheel or the arrows."""

    def __init__(self, id: str, label: str = "", paragraphs: tuple[str, ...] = (), help_key: str = ""):
        super().__init__(id, label, help_key)
        self.paragraphs = paragraphs
        self.first = 0
        self._shown = 1
        self._lines = 1

    def show(self, paragraphs: tuple[str, ...]) -> None:
        """Show other paragraphs, from their beginning."""
        if paragraphs != self.paragraphs:
            self.paragraphs, self.first = paragraphs, 0

    def height_for(self, look: Look, width: int) -> int:
        """Return the pixels all paragraphs need at a width."""
        inner = width - look.px(28)
        lines = sum(len(look.wrapped(paragraph, inner)) + 1 for paragraph in self.paragraphs) - 1
        label = look.line_height("small") + look.px(4) if self.label else 0
        return label + max(1, lines) * look.line_height("body") + look.px(12)

    def _body(self, look: Look) -> Rect:
        used = look.line_height("small") + look.px(4) if self.label else 0
        return Rect(self.rect.x, self.rect.y + used, self.rect.w, max(0, self.rect.h - used))

    def _wrapped(self, look: Look) -> tuple[list[str], int]:
        """Return all lines (an empty one between paragraphs) and how many can be shown."""
        inner = self._body(look).inflate(-look.px(20), -look.px(10))
        lines: list[str] = []
        for paragraph in self.paragraphs:
            lines += [*look.wrapped(paragraph, inner.w - look.px(8)), ""]
        return lines[:-1], max(1, inner.h // look.line_height("body"))

    def _scroll(self, steps: int, look: Look) -> Outcome:
        lines, shown = self._wrapped(look)
        self.first = max(0, min(len(lines) - shown, self.first + steps))
        return HANDLED

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """The wheel scrolls."""
        lines, shown = self._wrapped(look)
        self._lines, self._shown = len(lines), shown
        if event.kind == "wheel":
            return self._scroll(-2 * event.steps, look)
        return HANDLED if event.kind in ("down", "up") else UNUSED

    def key(self, event: Key) -> Outcome:
        """Up and down scroll, home and end go to the ends."""
        steps = {"up": -2, "down": 2, "home": -9999, "end": 9999}.get(event.name)
        if not event.down or steps is None or event.control or event.alt:
            return UNUSED
        most = max(0, self._lines - self._shown) if self._lines > 1 else 9999
        self.first = max(0, min(most, self.first + steps))
        return HANDLED

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the lines that fit, and how far down one is."""
        look = canvas.look
        if self.label:
            canvas.text(self.label, self.rect.topleft, "small", "soft", room=self.rect.w, shorten=True)
        body = self._body(look)
        inner = body.inflate(-look.px(20), -look.px(10))
        lines, shown = self._wrapped(look)
        first = max(0, min(len(lines) - shown, self.first))
        height = look.line_height("body")
        for n, line in enumerate(lines[first : first + shown]):
            if line:
                canvas.text(line, (inner.x, inner.y + n * height))
        if len(lines) > shown:
            track = Rect(body.right - look.px(8), body.y + look.px(4), look.px(4), body.h - look.px(8))
            pygame.draw.rect(canvas.surface, look.colour("lamp-off"), track, border_radius=look.px(2))
            thumb = Rect(
                track.x,
                track.y + track.h * first // len(lines),
                track.w,
                max(look.px(12), track.h * shown // len(lines)),
            )
            pygame.draw.rect(canvas.surface, look.colour("soft"), thumb.clip(track), border_radius=look.px(2))
        if focused:
            canvas.focus_ring(body)


class NoteField(Control):
    """A card to write on: one or more wrapped lines, the pencil always at the end."""

    writes = True

    def __init__(
        self, id: str, label: str, value: str = "", change: Change | None = None, most: int = 400, help_key: str = ""
    ):  # fmt: skip
        super().__init__(id, label, help_key)
        self.value: str = value
        self.change = change
        self.most = most
        self._given = value

    def wanted(self, look: Look) -> tuple[int, int]:
        """Label and two lines."""
        return look.px(200), look.line_height("small") + 2 * look.line_height("body") + look.px(20)

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """A press takes up the pencil."""
        return HANDLED if event.kind in ("down", "up") else UNUSED

    def key(self, event: Key) -> Outcome:
        """Letters write, Backspace takes back, Enter hands the note over."""
        if not event.down or event.control or event.alt:
            return UNUSED
        if event.name in ("return", "enter"):
            return self._hand_over()
        if self.locked:
            return UNUSED if event.name == "tab" else self.refused()
        if event.name == "backspace":
            self.value = self.value[:-1]
            return HANDLED
        if event.text and event.text.isprintable():
            self.value = (self.value + event.text)[: self.most]
            return HANDLED
        return UNUSED

    def _hand_over(self) -> Outcome:
        if self.value == self._given or self.locked:
            return HANDLED
        self._given = self.value
        return (self.change(self.value) if self.change else None) or HANDLED

    def lost_focus(self) -> Outcome | None:
        """What was written is handed over."""
        return self._hand_over()

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the card; the last lines are shown when there are more than fit."""
        look = canvas.look
        body = self.draw_label(canvas, self.rect) if self.label else self.rect
        pygame.draw.rect(canvas.surface, look.colour("sunk"), body, border_radius=look.px(5))
        pygame.draw.rect(
            canvas.surface, look.colour("soft" if self.hot else "faint"), body, 1, border_radius=look.px(5)
        )
        inner = body.inflate(-look.px(16), -look.px(12))
        height = look.line_height("body")
        lines = look.wrapped(self.value + ("▏" if focused and not self.locked else ""), inner.w)
        for n, line in enumerate(lines[-max(1, inner.h // height) :]):
            if line:
                canvas.lines(
                    line, Rect(inner.x, inner.y + n * height, inner.w, height), "body", self.ink(), shorten=True
                )
        if focused:
            canvas.focus_ring(body)
