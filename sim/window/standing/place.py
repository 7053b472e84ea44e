"""A place along the bench: what can be touched there, and what the foot and the keys do there."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from pygame import Rect

from sim.window.hands.thing import Thing
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer
from sim.window.standing.room import OneRoom

Acts = Mapping[str, Callable[[], object]]  # a key as it stands in the key list -> what it does


class Place:
    """One stands here. What a place does not answer belongs to the room."""

    id = ""

    def __init__(self, room: OneRoom):
        self.room = room
        self.area = Rect(0, 0, 1, 1)

    def things(self) -> Sequence[Thing]:
        """Return what can be touched, from below to above; the Tab key follows this order."""
        return ()

    def kept_clear(self) -> list[Rect]:
        """Return what a note shall not hide: what can be touched here; a place adds what is looked at."""
        return [thing.rect for thing in self.things() if thing.shown and not thing.large]

    def lay_out(self, area: Rect) -> None:
        """Let everything stand where it belongs in an area."""
        self.area = area

    def update(self, dt_s: float) -> bool:
        """Let time pass where one stands; returns whether anything moved."""
        return False

    def draw(self, canvas: Canvas) -> None:
        """Draw it, from below to above."""

    def foot(self, key: Key) -> None:
        """The foot came down: only at the enlarger there is a switch under it."""
        self.room.say("no foot here")

    def acts(self) -> Acts:
        """Return what the keys of this place do."""
        return {}

    def key(self, key: Key) -> bool:
        """A key of this place went down; returns whether it was used."""
        return self.room.does(self.acts(), key)

    def hand_moved(self, at: Pointer) -> None:
        """The hand moves without touching."""

    def entered(self) -> None:
        """One came here."""

    def left(self) -> None:
        """One went elsewhere."""
