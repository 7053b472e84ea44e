"""What every control has: a name, a label, a help text, a place, a state, and a way to be worked by key and pointer."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.events import UNUSED, Key, Outcome, Pointer, warned
from sim.window.kit.look import Look

Change = Callable[[Any], "Outcome | None"]


class Control:
    """A thing to work. Drawing changes nothing; ``pointer`` and ``key`` return what happens next."""

    focusable = True
    writes = False  # while this has the focus, letters belong to it

    def __init__(self, id: str, label: str, help_key: str = ""):
        self.id = id
        self.label = label
        self.help_key = help_key or id
        self.rect = Rect(0, 0, 0, 0)
        self.enabled = True
        self.visible = True
        self.why_not = ""
        self.hot = False  # the pointer is over it
        self.value: Any = None

    def wanted(self, look: Look) -> tuple[int, int]:
        """Return the least width and height in pixels."""
        return look.px(80), look.px(34)

    @property
    def locked(self) -> bool:
        """Not to be worked now; ``why_not`` says why."""
        return not self.enabled or bool(self.why_not)

    def refused(self) -> Outcome:
        """Say why a locked control stays where it is."""
        return warned(f"{self.label}: {self.why_not}" if self.label else self.why_not) if self.why_not else Outcome()

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """Answer the pointer; the screen sends events over the control, and all while a button is held."""
        return UNUSED

    def key(self, event: Key) -> Outcome:
        """Answer a key while focused."""
        return UNUSED

    def lost_focus(self) -> Outcome | None:
        """The keyboard went elsewhere."""
        return None

    def spoken(self) -> str:
        """What the control is set to, in words (for help)."""
        return "" if self.value is None else str(self.value)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw it."""

    def ink(self) -> str:
        """The colour of its words."""
        return "soft" if self.locked else "ink"

    def draw_label(self, canvas: Canvas, rect: Rect, value: str = "") -> Rect:
        """Draw label (left) and value (right) above the thing itself; returns the rest of the rectangle."""
        look, x = canvas.look, rect.x
        height = look.line_height("small")
        if self.why_not:
            size = look.px(13)
            canvas.mark("lock", (x + size // 2, rect.y + height // 2), size, "soft")
            x += size + look.px(3)
        right = rect.right
        if value:
            right = canvas.text(value, (rect.right, rect.y), "small", "ink", "topright").left - look.px(8)
        canvas.text(self.label, (x, rect.y), "small", "soft", room=max(0, right - x), shorten=True)
        used = height + look.px(4)
        return Rect(rect.x, rect.y + used, rect.w, max(0, rect.h - used))


def plate(canvas: Canvas, rect: Rect, pressed: bool = False, hot: bool = False, locked: bool = False) -> None:
    """Draw the metal plate of a button: raised with a light upper edge, or sunk when pressed."""
    look, surface = canvas.look, canvas.surface
    radius = look.px(5)
    if not locked and not pressed:
        pygame.draw.rect(surface, look.colour("shade"), rect.move(0, look.px(2)), border_radius=radius)
    fill = "sunk" if pressed else ("panel" if locked else "raised")
    pygame.draw.rect(surface, look.colour(fill), rect, border_radius=radius)
    edge = "soft" if hot and not locked else ("faint" if not locked else "lamp-off")
    pygame.draw.rect(surface, look.colour(edge), rect, 1, border_radius=radius)
    if not pressed and not locked:
        y = rect.y + 1
        pygame.draw.line(surface, look.colour("edge"), (rect.x + radius, y), (rect.right - radius, y))
