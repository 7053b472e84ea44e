"""Pictures of the window for the texts: the real places, brought to a state by the real darkroom, drawn off the screen."""

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
from sim.window.app import App
from sim.window.kit.events import Key, Pointer
from sim.window.preferences import Preferences

FRAME_S = 1.0 / 30.0
STRIP_S = (3.0, 4.2, 6.0, 8.5, 12.0)


class Sitter:
    """The window, held still for its picture."""

    def __init__(self, folder: Path, size: tuple[int, int]):
        pygame.display.init()
        pygame.font.init()
        log = logging.Logger("portraits")
        log.addHandler(logging.NullHandler())
        self.app = App(folder, Preferences(scale=1.0, language="en", reduced_motion=True), size, log)
        self.app.room.at_once = True
        self.surface = pygame.Surface(size)

    def press(self, *chords: str) -> None:
        """Press keys, one after the other, as they stand in the list of keys."""
        for name in chords:
            self.app.handle(Key(name, True, text=name if len(name) == 1 else ""))
            self.app.handle(Key(name, False))
            self.wait(FRAME_S)

    def wait(self, seconds: float) -> None:
        """Let time pass, frame by frame."""
        for _ in range(max(1, round(seconds / FRAME_S))):
            self.app.update(FRAME_S)
            self.canvas = self.app.draw(self.surface)

    def point(self, hit: str, across: float, down: float) -> None:
        """Hold the pointer over a part of something that the last frame drew."""
        rect = next(rect for name, rect in reversed(self.canvas.hits) if name == hit)
        at = (rect.x + int(across * rect.w), rect.y + int(down * rect.h))
        self.app.handle(Pointer("move", at))
        self.wait(FRAME_S)

    def go(self, place: str) -> None:
        """Walk to a place."""
        self.app.go(place)
        self.wait(2 * FRAME_S)

    def png(self) -> bytes:
        """Return the last frame."""
        self.wait(FRAME_S)
        out = io.BytesIO()
        pygame.image.save(self.surface, out, "frame.png")
        return out.getvalue()


def _evening(sitter: Sitter, negative: str = "morning-shelf") -> None:
    sitter.wait(FRAME_S)
    sitter.press("n")
    sitter.app.room.darkroom.desk.place_negative(negative)
    sitter.go("enlarger")


def _sheet(sitter: Sitter, chosen: str, time_s: float, steps: tuple[float, ...] = ()) -> None:
    dark = sitter.app.room.darkroom
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
    dark = sitter.app.room.darkroom
    dark.paper.take("sheet")
    sitter.go("enlarger")
    sitter.press("1")
    sitter.point("easel", 0.60, 0.475)
    sitter.press("space")
    sitter.wait(2.0)


def _coming_up(sitter: Sitter) -> None:
    """A print half developed."""
    _evening(sitter)
    dark = sitter.app.room.darkroom
    dark.paper.take("sheet")
    dark.paper.expose(8.5)
    sitter.go("wet-bench")
    sitter.press("space")
    sitter.wait(24.0)


def _hung_up(sitter: Sitter) -> None:
    """Two strips and two prints side by side."""
    _evening(sitter)
    for chosen, time_s, steps in (("00", 0.0, STRIP_S), ("5", 0.0, STRIP_S), ("2", 8.5, ()), ("3", 8.5, ())):
        _sheet(sitter, chosen, time_s, steps)
    sitter.go("wall")


STATES: dict[str, Callable[[Sitter], None]] = {
    "holding-back": _holding_back,
    "coming-up": _coming_up,
    "wall": _hung_up,
}


def portrait_png(state: str, width_px: int, height_px: int) -> bytes:
    """Return the window in one of the states as PNG bytes. Raises ValueError for an unknown state."""
    if state not in STATES:
        raise Refused(f"state must be one of {', '.join(STATES)}, got {state!r}")
    with TemporaryDirectory() as folder:
        sitter = Sitter(Path(folder), (width_px, height_px))
        STATES[state](sitter)
        return sitter.png()


