"""While long work has the bench: the place is shown as it was last drawn, and hands are asked to wait."""

from __future__ import annotations

from collections.abc import Callable

import pygame

from sim.window.keys_of_every_place import ROOM_ACTIONS
from sim.window.kit.canvas import Canvas, Label
from sim.window.kit.events import HANDLED, Event, Key, Outcome, said
from sim.window.room import Room

MOST_PUT_OFF = 40
ROUNDS_UNDRAWN = 2  # rounds of time after which work begins without a picture: nobody is drawing
NEEDS_NO_BENCH = ("key-list", "beat", "leave")  # what may be done while long work has the bench


class Waiting:
    """The place's last picture, and what is done when the bench is free again: keys and buttons let go, a new layout."""

    def __init__(self) -> None:
        self.picture: pygame.Surface | None = None
        self.labels: list[Label] = []
        self.put_off: list[Event] = []
        self.lay_out = False
        self._rounds = 0

    def keep(self, canvas: Canvas) -> None:
        """Keep the place as it has just been drawn."""
        self.picture, self.labels = canvas.surface.copy(), [*canvas.labels]

    def let_begin(self, room: Room) -> None:
        """Let work at the bench begin once the place's picture is kept, or when nobody draws."""
        self._rounds = self._rounds + 1 if room.bench_asked else 0
        if self.picture is not None or self._rounds >= ROUNDS_UNDRAWN:
            room.work.begin()

    def draw(self, canvas: Canvas) -> None:
        """Show the place as it was; nothing in it can be clicked."""
        if self.picture is not None:
            canvas.surface.blit(self.picture, (0, 0))
            if self.picture.get_size() == canvas.surface.get_size():
                canvas.labels += self.labels

    def answer(self, event: Event, room: Room, act: Callable[[str], Outcome]) -> Outcome:
        """Ask for patience; what is let go is put off until somebody can take notice of it."""
        key = isinstance(event, Key)
        if (key and not event.down) or (not key and event.kind == "up"):
            self.put_off = [*self.put_off, event][-MOST_PUT_OFF:]
            return HANDLED
        if key and not event.repeat:
            action = room.keys.action_for(event.chord, ROOM_ACTIONS)
            return act(action) if action in NEEDS_NO_BENCH else said(wait_words(room))
        return said(wait_words(room)) if not key and event.kind == "down" else HANDLED

    def over(self, room: Room, layout: Callable[[], None]) -> list[Event]:
        """Nobody has the bench: forget the picture, lay out what waits for it, and return what was put off."""
        self.picture = None
        if room.bench_busy:
            return []
        events, self.put_off = self.put_off, []
        if self.lay_out:
            self.lay_out = False
            layout()
        return events


def wait_words(room: Room) -> str:
    """Return what is said to hands that come too early."""
    if room.busy_words:
        return room.words.text("One moment: {what}", what=room.busy_words)
    return room.words.text("One moment: something is still being worked out.")
