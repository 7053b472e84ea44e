"""Push buttons and rockers, with a lamp where something can be on or off."""

from __future__ import annotations

from collections.abc import Callable

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Change, Control, plate
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look

PRESSING_KEYS = ("return", "space", "enter")


class PushButton(Control):
    """A plate to press. ``lamp`` None: without a lamp; otherwise the lamp shows on or off."""

    def __init__(
        self, id: str, label: str, press: Callable[[], Outcome | None], lamp: bool | None = None,
        big: bool = False, help_key: str = "",
    ):  # fmt: skip
        super().__init__(id, label, help_key)
        self.press = press
        self.lamp = lamp
        self.big = big
        self.held = False

    def wanted(self, look: Look) -> tuple[int, int]:
        """As wide as its words."""
        lamp = look.px(24) if self.lamp is not None else 0
        width = look.width(self.label, "strong" if self.big else "body") + look.px(28) + lamp
        return width, look.px(46 if self.big else 34)

    def spoken(self) -> str:
        """On or off, for buttons with a lamp."""
        return "" if self.lamp is None else ("on" if self.lamp else "off")

    def _pressed(self) -> Outcome:
        if self.locked:
            return self.refused()
        return self.press() or HANDLED

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """Pressed when let go over it."""
        if event.kind == "down" and event.button == 1:
            self.held = True
            return HANDLED
        if event.kind == "up" and self.held:
            self.held = False
            return self._pressed() if self.rect.collidepoint(event.pos) else HANDLED
        return UNUSED

    def key(self, event: Key) -> Outcome:
        """Enter and the space bar press it."""
        if event.name in PRESSING_KEYS and event.down and not (event.control or event.alt):
            return self._pressed() if not event.repeat else HANDLED
        return UNUSED

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """A plate with words and, where it has one, its lamp."""
        look, rect = canvas.look, self.rect
        plate(canvas, rect, self.held and self.hot, self.hot, self.locked)
        size = "strong" if self.big else "body"
        signs = look.px(24) if self.lamp is not None or self.why_not else 0
        room = rect.w - look.px(12) - signs
        words = look.shortened(self.label, room, size)
        left = rect.centerx - (look.width(words, size) + signs) // 2
        if self.why_not:
            canvas.mark("lock", (left + look.px(8), rect.centery), look.px(14), "soft")
        elif self.lamp is not None:
            canvas.lamp((left + look.px(8), rect.centery), look.px(6), self.lamp)
        canvas.text(self.label, (left + signs, rect.centery), size, self.ink(), "midleft", room, shorten=True)
        if focused:
            canvas.focus_ring(rect)


class Toggle(Control):
    """A rocker with a lamp: on or off."""

    def __init__(self, id: str, label: str, value: bool = False, change: Change | None = None, help_key: str = ""):
        super().__init__(id, label, help_key)
        self.value = value
        self.change = change

    def wanted(self, look: Look) -> tuple[int, int]:
        """Rocker and words side by side."""
        return look.width(self.label) + look.px(62), look.px(30)

    def spoken(self) -> str:
        """On or off."""
        return "on" if self.value else "off"

    def _turn(self) -> Outcome:
        if self.locked:
            return self.refused()
        self.value = not self.value
        return (self.change(self.value) if self.change else None) or HANDLED

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """A press turns it over."""
        if event.kind == "down" and event.button == 1:
            return self._turn()
        return HANDLED if event.kind == "up" else UNUSED

    def key(self, event: Key) -> Outcome:
        """Enter and the space bar turn it over; arrows set it."""
        if not event.down:
            return UNUSED
        if event.name in PRESSING_KEYS and not (event.control or event.alt):
            return HANDLED if event.repeat else self._turn()
        if event.name in ("left", "right"):
            return self._turn() if bool(self.value) != (event.name == "right") else HANDLED
        return UNUSED

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """The rocker's raised half and the lamp both show the state."""
        look, rect = canvas.look, self.rect
        rocker = Rect(rect.x, 0, look.px(44), look.px(22))
        rocker.centery = rect.centery
        pygame.draw.rect(canvas.surface, look.colour("sunk"), rocker, border_radius=rocker.h // 2)
        pygame.draw.rect(
            canvas.surface, look.colour("soft" if self.hot else "faint"), rocker, 1, border_radius=rocker.h // 2
        )
        x = rocker.right - rocker.h // 2 if self.value else rocker.x + rocker.h // 2
        canvas.lamp((x, rocker.centery), look.px(7), bool(self.value))
        left = rocker.right + look.px(10)
        if self.why_not:
            canvas.mark("lock", (left + look.px(7), rect.centery), look.px(14), "soft")
            left += look.px(18)
        canvas.text(self.label, (left, rect.centery), "body", self.ink(), "midleft", rect.right - left, shorten=True)
        if focused:
            canvas.focus_ring(rect)
