"""A thing in the room: it draws itself, knows where it can be touched, and what a hand, a wheel or a key does to it.

Drawing changes nothing. What cannot be done is refused by raising ``Refused``; whoever passed the event on says so.
"""

from __future__ import annotations

from typing import Literal, Protocol

from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer

Cursor = Literal["arrow", "hand", "grab", "across", "updown", "any-way", "cross", "no", "write"]


class Gesture(Protocol):
    """What a hand does between touching and letting go: one gesture is one step that can be undone."""

    def move(self, at: Pointer) -> None:
        """The hand moved."""
        ...

    def drop(self, at: Pointer) -> None:
        """The hand let go."""
        ...

    def cancel(self) -> None:
        """The hand was called away: all stands as before."""
        ...


class Thing:
    """Something to work by hand. ``name`` and ``about`` are said when the pointer rests on it."""

    cursor: Cursor = "hand"
    reachable = True  # by the Tab key
    large = False  # it fills the view: it is told in the line at the foot, where it hides nothing

    def __init__(self, id: str):
        self.id = id
        self.rect = Rect(0, 0, 0, 0)
        self.hot = False  # the pointer is over it
        self.typed: str | None = None  # what is being written on it; None: nothing is

    @property
    def shown(self) -> bool:
        """Whether it is there at all."""
        return self.rect.w > 0

    @property
    def writing(self) -> bool:
        """Whether letters are being written on it."""
        return self.typed is not None

    def name(self) -> str:
        """What it is called."""
        return ""

    def about(self) -> str:
        """What it does and how it is worked, in a sentence or two."""
        return ""

    def now(self) -> str:
        """What it stands at, in words."""
        return ""

    def locked(self) -> str:
        """Why it cannot be worked now, or nothing."""
        return ""

    def hit(self, pos: tuple[int, int]) -> bool:
        """Whether a point of the window touches it."""
        return self.shown and bool(self.rect.collidepoint(pos))

    def cursor_at(self, pos: tuple[int, int]) -> Cursor:
        """What the pointer shows over it."""
        return "no" if self.locked() else self.cursor

    def press(self, at: Pointer) -> Gesture | None:
        """A hand touches it; without a gesture of its own, letting go over it presses it."""
        return Tap(self)

    def pressed(self) -> None:
        """It was pressed: by Enter, or by a touch without a gesture."""

    def by(self, steps: int, fine: bool) -> bool:
        """The wheel or arrows ask for so many steps more, or fewer; returns whether that means something here."""
        return False

    def turned(self, steps: int, fine: bool) -> bool:
        """The wheel turned over it; returns whether that means something here."""
        return self.by(steps, fine)

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """An arrow key was pressed while it has the focus: right and up are more. Returns whether that means something."""
        return self.by(right - down, fine)

    def key(self, key: Key) -> bool:
        """A key went down while it has the focus; returns whether it was used."""
        return False

    def left(self) -> None:
        """The focus went elsewhere."""

    def draw(self, canvas: Canvas) -> None:
        """Draw it."""

    def draw_focus(self, canvas: Canvas) -> None:
        """Show that the keyboard works it."""
        canvas.focus_ring(self.rect)


class Tap:
    """A touch that presses when let go over the same thing."""

    def __init__(self, thing: Thing):
        self._thing = thing

    def move(self, at: Pointer) -> None:
        """Nothing is dragged."""

    def drop(self, at: Pointer) -> None:
        """Let go over it: pressed."""
        if self._thing.hit(at.pos):
            self._thing.pressed()

    def cancel(self) -> None:
        """Nothing was done."""
