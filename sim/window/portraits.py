"""Pictures of the window for the texts: the room itself, brought to a state by the real darkroom, drawn off the screen."""

from __future__ import annotations

import io
import logging
import os
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import pygame

from sim.refusals import Refused
from sim.window.kit.events import Key, Pointer
from sim.window.preferences import Preferences
from sim.window.standing.window import OneWindow

FRAME_S = 1.0 / 30.0
STRIP_S = (3.0, 4.2, 6.0, 8.5, 12.0)


class Sitter:
    """The window, held still for its picture."""

    def __init__(self, folder: Path, size: tuple[int, int]):
        pygame.display.init()
        pygame.font.init()
        log = logging.Logger("portraits")
        log.addHandler(logging.NullHandler())
        self.window = OneWindow(folder, Preferences(scale=1.0, language="en", reduced_motion=True), size, log)
        self.window.room.work.at_once = True
        self.surface = pygame.Surface(size)
        self.wait(FRAME_S)

    def press(self, *chords: str) -> None:
        """Press keys, one after the other."""
        for chord in chords:
            *held, name = chord.split("+")
            text = name if len(name) == 1 and not held else ""
            self.window.handle(Key(name, True, alt="alt" in held, text=text))
            self.window.handle(Key(name, False, alt="alt" in held))
            self.wait(FRAME_S)

    def wait(self, seconds: float) -> None:
        """Let time pass, frame by frame."""
        for _ in range(max(1, round(seconds / FRAME_S))):
            self.window.update(FRAME_S)
        self.canvas = self.window.draw(self.surface)

    def point(self, hit: str, across: float, down: float, touch: bool = False) -> None:
        """Hold the pointer over a part of something that the last frame drew, or touch it there."""
        rect = next(rect for name, rect in reversed(self.canvas.hits) if name == hit)
        at = (rect.x + int(across * rect.w), rect.y + int(down * rect.h))
        self.window.handle(Pointer("move", at))
        if touch:
            self.window.handle(Pointer("down", at, 1, buttons=frozenset({1})))
            self.window.handle(Pointer("up", at, 1))
        self.wait(FRAME_S)

    def png(self) -> bytes:
        """Return the last frame."""
        self.wait(FRAME_S)
        out = io.BytesIO()
        pygame.image.save(self.surface, out, "frame.png")
        return out.getvalue()


def _evening(sitter: Sitter, negative: str = "morning-shelf") -> None:
    sitter.press("n")
    sitter.window.room.darkroom.desk.place_negative(negative)
    sitter.wait(FRAME_S)


def _sheet(sitter: Sitter, chosen: str, time_s: float, steps: tuple[float, ...] = ()) -> None:
    dark = sitter.window.room.darkroom
    dark.desk.set("focus_light", False)
    dark.desk.set("filter", chosen)
    dark.paper.take("strip" if steps else "sheet")
    if steps:
        dark.paper.lay_strip(steps, angle_deg=90.0)
    else:
        dark.paper.expose(time_s)
    dark.tray.put_in()
    dark.tray.finish()
    dark.tray.clear()


def _holding_back(sitter: Sitter) -> None:
    """A card over the half-lit head while the lamp is on."""
    _evening(sitter, "head-half-lit")
    sitter.press("s", "1")
    sitter.point("easel", 0.61, 0.44)
    sitter.press("space")
    sitter.wait(2.0)


def _coming_up(sitter: Sitter) -> None:
    """A print half developed."""
    _evening(sitter)
    dark = sitter.window.room.darkroom
    dark.desk.set("focus_light", False)
    dark.paper.take("sheet")
    dark.paper.expose(8.5)
    sitter.press("alt+3", "return")
    sitter.wait(24.0)


def _hung_up(sitter: Sitter) -> None:
    """Two strips and two prints side by side in white light, a step of each strip touched."""
    _evening(sitter)
    for chosen, time_s, steps in (("00", 0.0, STRIP_S), ("5", 0.0, STRIP_S), ("2", 8.5, ()), ("3", 8.5, ())):
        _sheet(sitter, chosen, time_s, steps)
    sitter.press("alt+4", "w")
    sitter.wait(1.0)
    sitter.point("print 1", 0.5, 0.5, touch=True)
    sitter.point("print 2", 0.5, 0.3, touch=True)
    sitter.wait(0.5)


STATES: dict[str, Callable[[Sitter], None]] = {"holding-back": _holding_back, "coming-up": _coming_up, "wall": _hung_up}


def portrait_png(state: str, width_px: int, height_px: int) -> bytes:
    """Return the window in one of the states as PNG bytes. Raises Refused for an unknown state."""
    if state not in STATES:
        raise Refused(f"state must be one of {', '.join(STATES)}, got {state!r}")
    with TemporaryDirectory() as folder:
        sitter = Sitter(Path(folder), (width_px, height_px))
        STATES[state](sitter)
        made = sitter.png()
        sitter.window.close()
        return made
