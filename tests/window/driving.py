"""A hand that works the window in tests: presses keys, clicks only what the last frame drew, lets time pass."""

from __future__ import annotations

import logging
import os
from dataclasses import dataclass, field
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")
os.environ.setdefault("SDL_AUDIODRIVER", "dummy")

import pygame
from pygame import Rect

from sim.window.app import App
from sim.window.help import listed_chords
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer
from sim.window.preferences import Preferences

SIZES = ((1024, 700), (1280, 800), (1600, 1000), (2560, 1440))
SCALES = (1.0, 1.5, 2.0)


class NotListed(AssertionError):
    """A key was pressed that the key list does not show."""


@dataclass
class Driver:
    """The app with a surface, driven without a clock."""

    app: App
    surface: pygame.Surface
    canvas: Canvas | None = None
    pressed: list[str] = field(default_factory=list)

    def frame(self, dt_s: float = 1 / 60, times: int = 1) -> Canvas:
        """Let time pass and draw."""
        for _ in range(times):
            self.app.update(dt_s)
        self.canvas = self.app.draw(self.surface)
        return self.canvas

    def press(self, chord: str, text: str | None = None, only_listed: bool = False) -> None:
        """Press and let go a key; ``only_listed`` refuses keys that the key list does not show."""
        if only_listed and text is None and chord not in listed_chords(self.app.room, self.app.screen):
            raise NotListed(f"{chord} is not listed at {self.app.place}")
        *held, name = chord.split("+") if not chord.endswith("+") else [*chord[:-2].split("+"), "+"]
        modifiers = {"shift": "shift" in held, "control": "ctrl" in held, "alt": "alt" in held}
        written = (
            text
            if text is not None
            else (name if len(name) == 1 and not (modifiers["control"] or modifiers["alt"]) else "")
        )
        if name == "space" and text is None:
            written = " "
        self.app.handle(Key(name, True, text=written, **modifiers))
        self.app.handle(Key(name, False, **modifiers))
        self.pressed.append(chord)

    def type(self, words: str) -> None:
        """Write letters."""
        for letter in words:
            self.app.handle(Key("space" if letter == " " else letter.lower(), True, text=letter))
            self.app.handle(Key("space" if letter == " " else letter.lower(), False))

    def where(self, name: str) -> Rect:
        """Return where the last frame drew something to click."""
        assert self.canvas is not None, "draw a frame first"
        found = [rect for hit, rect in self.canvas.hits if hit == name]
        assert found, f"{name} was not drawn; there are {sorted({hit for hit, _ in self.canvas.hits})}"
        return found[-1]

    def click(self, name: str, share: tuple[float, float] = (0.5, 0.5), button: int = 1) -> None:
        """Click something that the last frame drew."""
        rect = self.where(name)
        at = (rect.x + int(rect.w * share[0]), rect.y + int(rect.h * share[1]))
        self.app.handle(Pointer("move", at))
        self.app.handle(Pointer("down", at, button, buttons=frozenset({button})))
        self.app.handle(Pointer("up", at, button))
        self.frame()

    def go(self, place: str) -> None:
        """Walk to a place."""
        self.app.go(place)
        self.frame()

    def said(self) -> str:
        """What the message line says."""
        last = self.app.room.messages.last
        return last.words if last else ""

    def save(self, file: Path | str) -> None:
        """Save the last frame."""
        self.frame(0.0)
        pygame.image.save(self.surface, str(file))


def open_room(
    folder: Path, size: tuple[int, int] = (1280, 800), scale: float = 1.0, language: str = "en", evening: bool = False,
    **more: object,
) -> Driver:  # fmt: skip
    """Return a driver at the door; ``evening`` opens a free evening, and one stands at the enlarger."""
    pygame.display.init()
    pygame.font.init()
    log = logging.Logger("tests.window")
    log.addHandler(logging.NullHandler())
    preferences = Preferences(scale=scale, language=language, **more)  # type: ignore[arg-type]
    app = App(folder, preferences, size, log)
    app.room.at_once = True
    driver = Driver(app, pygame.Surface(size))
    driver.frame()
    if evening:
        driver.click("free-evening")
        driver.frame()
    return driver
