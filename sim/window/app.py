"""The window: takes events to where they belong, lets time pass, draws the frame. The only place that knows a clock."""

from __future__ import annotations

import logging
import math
from dataclasses import replace
from pathlib import Path

import pygame
from pygame import Rect

from sim.window.frame import Frame
from sim.window.help import HelpCard, KeyList
from sim.window.keys_of_every_place import ROOM_ACTIONS
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import HANDLED, UNUSED, Event, Key, Outcome, Pointer
from sim.window.kit.look import LEAST_ROOM, Look, held_scale
from sim.window.kit.question import Asking
from sim.window.kit.screen import Screen
from sim.window.preferences import Preferences, scale_by_desktop, write_preferences
from sim.window.room import Room
from sim.window.stations import PLACES, open_place
from sim.window.waiting import Waiting, wait_words

LARGEST_ROOM_PX = 4096  # of a small window of an odd shape
LONGEST_STEP_S = 0.25  # after a pause of the machine, time goes on by no more than this


def room_size(window: tuple[int, int]) -> tuple[int, int]:
    """Return the size the room is drawn at: the window's, or as much larger as the least room asks, its shape kept."""
    share = min(1.0, window[0] / LEAST_ROOM[0], window[1] / LEAST_ROOM[1])
    if share >= 1.0:
        return window
    wide, high = (min(LARGEST_ROOM_PX, math.ceil(side / share)) for side in window)
    return max(LEAST_ROOM[0], wide), max(LEAST_ROOM[1], high)


class App:
    """Everything between the events of the window system and the picture of one frame; driven from outside."""

    def __init__(
        self, folder: Path, preferences: Preferences, size: tuple[int, int], log: logging.Logger,
        desktop: tuple[int, int] | None = None,
    ):  # fmt: skip
        self.window = size
        self.size = room_size(size)
        self._room_surface: pygame.Surface | None = None
        self.desktop = desktop or size
        self.room = Room(folder, preferences, Look(), log)
        self.screens: dict[str, Screen] = {}
        self.place = "start"
        self.before = "start"
        self.asking: Asking | None = None
        self.over: HelpCard | KeyList | None = None
        self.leaving = False
        self.waiting = Waiting()
        self._undrawn: set[str] = set()
        self.pointer_at = (-1, -1)
        self.rebuild()

    @property
    def screen(self) -> Screen:
        """The place where one stands."""
        return self.screens[self.place]

    def rebuild(self) -> None:
        """Make frame and places anew: at the start, and when the language or the keys change."""
        from sim.words import Words

        preferences = self.room.preferences
        if self.room.words.language != preferences.language:
            self.room.words = Words(preferences.language)
        self.frame = Frame(self.room, self.act)
        self.screens.clear()
        self._stand()
        if self.room.words.trouble:
            self.room.messages.say(self.room.words.trouble, warn=True)

    def _stand(self) -> None:
        """Open the place if need be, set its light and lay it out."""
        if self.place not in self.screens:
            screen = open_place(self.place, self.room)
            screen.build()
            self.screens[self.place] = screen
        self.relight()
        self.frame.stand(self.place)
        self.screen.refresh()
        self.layout()

    def wanted_scale(self) -> float:
        """Return the scale that is shown: the chosen one, or by the desktop, held down by the window's size."""
        self.room.scale_wanted = self.room.preferences.scale or scale_by_desktop(self.desktop)
        self.room.too_small = self.size != self.window
        return held_scale(self.room.scale_wanted, self.size)

    def relight(self) -> bool:
        """Bring the look to the scale and the light of the place; returns whether anything changed."""
        if self.room.bench_taken:
            return False
        look, scale, light = self.room.look, self.wanted_scale(), self.screen.LIGHT
        if (look.scale, look.palette.name) == (scale, light):
            return False
        self.room.look = Look(scale, light)
        return True

    def layout(self) -> None:
        """Lay out the frame and the place."""
        area = self.frame.layout(Rect((0, 0), self.size))
        if self.room.bench_taken:
            self.waiting.lay_out = True
            return
        self.screen.layout(area)

    def resize(self, size: tuple[int, int]) -> None:
        """The window has another size."""
        self.window = (max(1, size[0]), max(1, size[1]))
        self.size = room_size(self.window)
        self._room_surface = None
        self.relight()
        self.layout()

    def go(self, place: str) -> None:
        """Walk to a place; it stays as it was left. What cannot be opened is said, and one stays."""
        here = self.place
        if place == "back":
            place = self.before
        if place == here:
            return
        if self.room.bench_taken:
            self.room.messages.say(wait_words(self.room))
            return
        self.screen.set_focus(None)
        self.screen.left()
        self.place = place
        try:
            self._stand()
        except Exception as error:
            self.place = here
            self._stand()
            self.follow(self.room.in_words(error))
            return
        if place not in ("preferences",):
            self.before = place
        else:
            self.before = here
        self.follow(self.room.guarded(lambda: self.screen.entered()))
        if any(place == name for name, _ in PLACES):
            self.prefer(replace(self.room.preferences, place=place))

    def prefer(self, preferences: Preferences) -> None:
        """Take other preferences, and keep them."""
        before, self.room.preferences = self.room.preferences, preferences
        if preferences == before:
            return
        problem = write_preferences(self.room.folder, preferences)
        if problem:
            self.room.messages.say(problem, warn=True)
        self.room.beat.beat_s = preferences.beat_s
        self.room.keys.chosen = dict(preferences.keys)
        if (preferences.language, preferences.keys) != (before.language, before.keys):
            self.rebuild()
        elif preferences.scale != before.scale:
            self.relight()
            self.layout()

    def follow(self, outcome: Outcome) -> None:
        """Do what an outcome says happens next."""
        if outcome.say:
            self.room.messages.say(outcome.say, outcome.warn)
        if outcome.ask is not None:
            self.asking = Asking(outcome.ask)
        if outcome.leave:
            self.leaving = True
        if outcome.rebuild:
            self.rebuild()
        if outcome.go_to:
            self.go(outcome.go_to)
        elif outcome.layout:
            self.relight()
            self.frame.stand(self.place)
            self.layout()
        if outcome.prefer is not None:
            self.prefer(outcome.prefer)

    def handle(self, event: Event) -> None:
        """Take one event to the question, the sheet laid over, the place, or the room; errors become words."""
        if isinstance(event, Pointer):
            event = self._in_room(event)
            self.pointer_at = event.pos
        self.follow(self.room.guarded(lambda: self._handle(event)))
        if self.relight():
            self.layout()

    def _in_room(self, event: Pointer) -> Pointer:
        """Return a pointer's event where it is in the room, which a window below the least room shows made smaller."""
        if self.size == self.window:
            return event
        x, y = (int((p + 0.5) * room / window) for p, room, window in zip(event.pos, self.size, self.window))
        return replace(event, pos=(x, y))

    def _handle(self, event: Event) -> Outcome:
        if self.asking is not None:
            if self.room.bench_busy:
                return self.waiting.answer(event, self.room, self.act)
            asking = self.asking
            answered, outcome = asking.handle(event, Rect((0, 0), self.size), self.room.look)
            if answered:
                self.asking = None
                self.screen.refresh()
            return outcome
        if self.over is not None:
            if isinstance(self.over, KeyList):
                self.over.pages = len(self.over.flow(self.room.look, Rect((0, 0), self.size)))
                if isinstance(event, Key) and event.down and self.over.turn(event):
                    return HANDLED
            if (isinstance(event, Key) and event.down) or (isinstance(event, Pointer) and event.kind == "down"):
                self.over = None
            return HANDLED
        if self.room.bench_busy:
            return self.waiting.answer(event, self.room, self.act)
        outcome = self.screen.handle(event)
        if outcome.handled or not isinstance(event, Key) or not event.down:
            return outcome
        action = self.room.keys.action_for(event.chord, ROOM_ACTIONS)
        if action:
            return self.act(action)
        return Outcome(go_to="back") if event.name == "escape" and self.place == "preferences" else UNUSED

    def act(self, action: str) -> Outcome:
        """Do what a key does anywhere in the room."""
        if action == "help":
            screen = self.screen
            self.over = HelpCard(self.room, screen, screen.control_at(self.pointer_at) or screen.focus)
        elif action == "key-list":
            self.over = KeyList(self.room, self.screen)
        elif action == "preferences":
            return Outcome(go_to="back" if self.place == "preferences" else "preferences")
        elif action == "beat":
            self.room.beat.start(not self.room.beat.on)
        elif action == "leave":
            return Outcome(leave=True)
        elif action.startswith("place-"):
            return self._walk_to(int(action.removeprefix("place-")) - 1)
        elif action in ("next-place", "previous-place"):
            names = [name for name, _ in PLACES]
            here = names.index(self.place) if self.place in names else len(names) - 1
            return self._walk_to((here + (1 if action == "next-place" else -1)) % len(names))
        return HANDLED

    def _walk_to(self, number: int) -> Outcome:
        tab = self.frame.tabs[number]
        return tab.refused() if tab.locked else Outcome(go_to=tab.place)

    def update(self, dt_s: float) -> bool:
        """Let time pass; returns whether anything moves."""
        dt_s = max(0.0, min(LONGEST_STEP_S, dt_s))
        self.waiting.let_begin(self.room)
        work = self.room.collect()
        for outcome in work:
            self.follow(outcome)
        self.room.beat.update(dt_s, self.room.preferences.sound)
        moved = bool(work)
        if not self.room.bench_taken:
            for event in self.waiting.over(self.room, self.layout):
                self.handle(event)
            outcome = self.room.guarded(lambda: self.screen.update(dt_s))
            self.follow(outcome)
            moved = moved or outcome.handled
        if moved and not self.room.bench_taken:
            self.follow(self.room.guarded(lambda: self.screen.refresh()))
            if self.relight():
                self.layout()
        return moved or self.room.beat.on or self.room.busy

    def draw(self, surface: pygame.Surface) -> Canvas:
        """Draw one frame; nothing but the surface changes (before long work at the bench the place's picture is kept).

        A window below the least room shows the room made smaller: hard to read, but whole, and every click arrives.
        """
        if self.size == self.window:
            return self._draw(surface)
        if self._room_surface is None:
            self._room_surface = pygame.Surface(self.size)
        canvas = self._draw(self._room_surface)
        surface.blit(pygame.transform.smoothscale(self._room_surface, surface.get_size()), (0, 0))
        return canvas

    def _draw(self, surface: pygame.Surface) -> Canvas:
        canvas = Canvas(surface, self.room.look)
        self.frame.draw_ground(canvas)
        try:
            if self.room.bench_taken:
                self.waiting.draw(canvas)
            else:
                self.screen.draw(canvas)
                if self.room.bench_busy:
                    self.waiting.keep(canvas)
        except Exception as error:  # a place that cannot be drawn says so in its middle, the rest stays usable
            fault = f"{self.place}: {type(error).__name__}: {error}"
            if fault not in self._undrawn:  # once is enough: this happens at every frame
                self._undrawn.add(fault)
                self.room.log.error("cannot draw %s", self.place, exc_info=error)
            rect = surface.get_rect()
            canvas.lines(f"{type(error).__name__}: {error}", rect.inflate(-rect.w // 3, -rect.h // 2))
        canvas.layer = "frame"
        self.frame.draw(canvas, self.screen)
        if self.over is not None:
            canvas.layer = "over"
            self.over.draw(canvas)
        if self.asking is not None:
            canvas.layer = "question"
            self.asking.draw(canvas)
        return canvas

    def close(self) -> None:
        """Leave the room: long work comes to its end, the place is remembered."""
        self.room.close()
        if self.room.work.idle:
            self.screen.left()
