"""A hand and a foot in the one room: events go in as they would from a real window, time passes as it is told to."""

from __future__ import annotations

import logging
import os
from dataclasses import dataclass
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")
os.environ.setdefault("SDL_AUDIODRIVER", "dummy")

import numpy as np
import pygame
from PIL import Image
from pygame import Rect

from sim.teaching.lesson import LessonRun
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer
from sim.window.preferences import Preferences
from sim.window.standing.at_the_enlarger import AtTheEnlarger
from sim.window.standing.window import OneWindow

FRAME_S = 1 / 30


@dataclass
class Hands:
    """The window with a surface, driven without a clock."""

    window: OneWindow
    surface: pygame.Surface
    canvas: Canvas | None = None

    @property
    def enlarger(self) -> AtTheEnlarger:
        """The enlarger of the evening under way."""
        found = self.window.enlarger
        assert found is not None
        return found

    @property
    def said(self) -> str:
        """What stands in the line at the foot."""
        now = self.window.room.messages.now
        return now.words if now is not None else ""

    @property
    def place(self) -> str:
        """Where one stands."""
        return self.window.room.standing.place

    def frame(self, seconds: float = FRAME_S, times: int = 1) -> Canvas:
        """Let time pass, and draw once."""
        for _ in range(times):
            self.window.update(seconds)
        self.canvas = self.window.draw(self.surface)
        return self.canvas

    def wait(self, seconds: float) -> None:
        """Let so many seconds pass in steps that the window takes whole."""
        for _ in range(round(seconds / 0.2)):
            self.window.update(0.2)
        self.frame(0.0)

    def press(self, chord: str, text: str | None = None) -> None:
        """Press a key and let it go."""
        *held, name = chord.split("+") if chord != "+" else ["+"]
        on = {"shift": "shift" in held, "control": "ctrl" in held, "alt": "alt" in held}
        written = text if text is not None else (name if len(name) == 1 and not held else "")
        self.window.handle(Key(name, True, text=written, **on))
        self.window.handle(Key(name, False, **on))

    def write(self, words: str) -> None:
        """Write letters."""
        for letter in words:
            self.press("space" if letter == " " else letter.lower(), letter)

    def point(self, at: tuple[int, int]) -> None:
        """Move the pointer."""
        self.window.handle(Pointer("move", at))

    def where(self, name: str) -> Rect:
        """Return where the last frame drew something that can be touched."""
        canvas = self.canvas or self.frame(0.0)
        found = [rect for hit, rect in canvas.hits if hit == name]
        assert found, f"{name} is not there; there are {sorted({hit for hit, _ in canvas.hits})}"
        return found[-1]

    def touch(self, name: str, share: tuple[float, float] = (0.5, 0.5)) -> None:
        """Touch something that the last frame drew."""
        rect = self.where(name)
        at = (rect.x + int(rect.w * share[0]), rect.y + int(rect.h * share[1]))
        self.window.handle(Pointer("move", at))
        self.window.handle(Pointer("down", at, 1, buttons=frozenset({1})))
        self.window.handle(Pointer("up", at, 1))
        self.frame(0.0)

    def drag(self, one: tuple[int, int], other: tuple[int, int], steps: int = 6, let_go: bool = True) -> None:
        """Drag from one point to another."""
        self.window.handle(Pointer("move", one))
        self.window.handle(Pointer("down", one, 1, buttons=frozenset({1})))
        for k in range(1, steps + 1):
            at = tuple(a + (b - a) * k // steps for a, b in zip(one, other))
            self.window.handle(Pointer("move", (at[0], at[1]), buttons=frozenset({1})))
        if let_go:
            self.window.handle(Pointer("up", other, 1))
        self.frame(0.0)

    def wheel(self, name: str, steps: int) -> None:
        """Turn the wheel over something."""
        self.window.handle(Pointer("move", self.where(name).center))
        self.window.handle(Pointer("wheel", self.where(name).center, steps=steps))

    @property
    def words(self) -> str:
        """All words of the last frame."""
        return " ".join(label.words for label in (self.canvas or self.frame(0.0)).labels)

    def cut(self) -> list[str]:
        """Return the words of the last frame that were cut though they may not be, or stand outside the window."""
        canvas, inside = self.canvas or self.frame(0.0), self.surface.get_rect()
        bad = [label.words for label in canvas.labels if label.shortened and not label.may_shorten]
        return bad + [label.words for label in canvas.labels if not inside.contains(label.rect)]

    def out_of_place(self) -> list[str]:
        """Return what of the sheet over the room is cut, stands outside it or the window, or lies over something else."""
        canvas, inside = self.frame(0.05, times=2), self.surface.get_rect()
        over = self.window.over
        assert over is not None
        bad = [label.words for label in canvas.labels if label.layer == "over" and label.shortened and not label.may_shorten]
        bad += [label.words for label in canvas.labels if not inside.contains(label.rect)]
        bad += [thing.id for thing in over.things() if thing.shown and not over.rect.contains(thing.rect)]
        for n, one in enumerate(over.things()):
            others = [two for two in over.things()[:n] if one.shown and two.shown]
            bad += [f"{one.id} over {two.id}" for two in others if one.rect.colliderect(two.rect)]
        return bad

    def begin_lesson(self, name: str = "first-session") -> LessonRun:
        """Open a lesson and read its brief."""
        self.window.open_exercise(name)
        self.frame(times=3)
        run = self.window.room.lesson
        assert run is not None
        run.begin()
        return run

    def expose_sheet(self) -> None:
        """Take a sheet and give it the ten seconds that a lesson's timer stands at."""
        self.press("s")
        self.press("space")
        self.wait(11.0)
        self.frame(times=2)

    def cut_out(self, wide: int, high: int) -> None:
        """Cut a rectangle out with the scissors, so many pixels each way from the middle of the easel."""
        middle = self.enlarger.easel.rect.center
        self.press("x")
        corners = [(-wide, -high), (wide, -high), (wide, high), (-wide, high), (-wide, 2 - high)]
        path = [(middle[0] + dx, middle[1] + dy) for dx, dy in corners]
        self.window.handle(Pointer("move", path[0]))
        self.window.handle(Pointer("down", path[0], 1, buttons=frozenset({1})))
        for at in path:
            self.window.handle(Pointer("move", at, buttons=frozenset({1})))
        self.window.handle(Pointer("up", path[-1], 1))
        self.frame()

    def develop(self) -> None:
        """Carry the exposed piece through every bath, and to the wall."""
        self.press("alt+3")
        self.press("return")
        self.press("k")
        self.press("return")
        self.frame()


def in_room(folder: Path, size: tuple[int, int] = (1280, 800), evening: bool = True, **preferences: object) -> Hands:
    """Return hands in a room; with an evening they stand at the enlarger."""
    pygame.display.init()
    pygame.font.init()
    log = logging.Logger("tests.one room")
    log.addHandler(logging.NullHandler())
    prefer = Preferences(**{"scale": 1.0, "reduced_motion": True, **preferences})  # type: ignore[arg-type]
    hands = Hands(OneWindow(folder, prefer, size, log), pygame.Surface(size))
    hands.window.room.work.at_once = True
    hands.frame()
    if evening:
        hands.press("n")
        hands.frame()
    return hands


def own_in_the_carrier(hands: Hands, file: Path) -> None:
    """Put a scan of one's own with thin, usual and dense film into a sleeve and into the carrier."""
    x = np.linspace(0.0, 1.0, 300)
    light = np.tile(60000.0 * 10.0 ** -(0.1 + 1.1 * x), (200, 1))
    Image.fromarray(light.astype(np.uint16)).save(file)
    hands.window.dropped(file)
    hands.frame(times=2)
    hands.touch("into sleeves")
    hands.frame(times=2)
    assert hands.window.room.darkroom.desk.now.negative == f"own:{file.stem}"


def by_keys(hands: Hands, name: str, chord: str) -> object:
    """Go to a thing by the Tab key and press another there; return the sheet that then lies over the room."""
    for _ in range(60):
        focus = hands.window.hands.focus
        if focus is not None and focus.id == name:
            hands.press(chord)
            hands.frame(times=2)
            return hands.window.over
        hands.press("tab")
    raise AssertionError(f"{name} is not reached by the Tab key")


def typed_in(hands: Hands, name: str, digits: str) -> None:
    by_keys(hands, name, "return")
    for digit in digits:
        hands.press(digit, digit)
    hands.press("return")
    hands.frame()
