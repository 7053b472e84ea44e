"""The window of the desktop: opens it, turns its events into ours, asks the clock, and closes it."""

from __future__ import annotations

import datetime
import logging
import logging.handlers
import os
import sys
from pathlib import Path
from typing import Any

import pygame

from sim.refusals import Refused
from sim.window.app import App
from sim.window.kit.events import Event, Key, Pointer
from sim.window.kit.look import LEAST_ROOM
from sim.window.preferences import read_preferences

SHARE_OF_DESKTOP = 0.85
MOST_EVENTS = 120  # in one frame; moves beyond the newest are dropped, so a flood cannot stop the picture
FRAMES_PER_S, IDLE_FRAMES_PER_S = 60, 20
STILL_S = 0.5
MODIFIERS = frozenset(
    f"{side} {name}" for side in ("left", "right") for name in ("shift", "ctrl", "alt", "meta", "gui")
)
NO_DISPLAY = (
    "the window needs a display, and there is none here; without one use `tonewright print`, `strip`, `ring`, "
    "`meter`, `reach`, `sleeves`, `lesson` or `demo` (`tonewright --help` lists all)"
)


class NoDisplay(Refused):
    """There is no screen to open a window on; the message names what works without one."""


def translated(event: Any) -> Event | None:
    """Return an event of the window system as ours, or None when it is none of ours."""
    if event.type in (pygame.KEYDOWN, pygame.KEYUP):
        held = event.mod
        control, alt, shift = (
            bool(held & m) for m in (pygame.KMOD_CTRL | pygame.KMOD_META, pygame.KMOD_ALT, pygame.KMOD_SHIFT)
        )
        name = pygame.key.name(event.key).lower()
        if not name or name in MODIFIERS:
            return None
        text = getattr(event, "unicode", "") if event.type == pygame.KEYDOWN and not (control or alt) else ""
        text = text if text.isprintable() else ""
        return Key(named(name), event.type == pygame.KEYDOWN, shift, control, alt, text)
    if event.type == pygame.MOUSEMOTION:
        return Pointer("move", event.pos, 0, 0, frozenset(n + 1 for n, on in enumerate(event.buttons) if on), _shift())
    if event.type == pygame.MOUSEWHEEL:
        return Pointer("wheel", pygame.mouse.get_pos(), 0, event.y, shift=_shift()) if event.y else None
    if event.type in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP) and event.button <= 3:
        kind = "down" if event.type == pygame.MOUSEBUTTONDOWN else "up"
        return Pointer(kind, event.pos, event.button, shift=_shift())  # type: ignore[arg-type]
    return None


def named(name: str) -> str:
    """Return one name for keys that stand twice on a keyboard: the number block counts as the digits."""
    if len(name) == 3 and name[0] == "[" and name[2] == "]":
        return name[1]
    return {"enter": "return"}.get(name, name)


def _shift() -> bool:
    return bool(pygame.key.get_mods() & pygame.KMOD_SHIFT)


def bounded(events: list[Any]) -> list[Any]:
    """Return at most MOST_EVENTS events: of moves in a row only the last, then the oldest first."""
    kept: list[Any] = []
    for event in events:
        if (
            event.type == pygame.MOUSEMOTION
            and kept
            and kept[-1].type == pygame.MOUSEMOTION
            and kept[-1].buttons == event.buttons
        ):
            kept[-1] = event
        else:
            kept.append(event)
    return kept[:MOST_EVENTS]


def start_log(folder: Path) -> logging.Logger:
    """Return the window's log: a file of at most a megabyte in the folder, one older one beside it."""
    log = logging.Logger("tonewright.window", logging.INFO)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handler: logging.Handler = logging.handlers.RotatingFileHandler(
            folder / "window.log", maxBytes=1_000_000, backupCount=1, encoding="utf-8", delay=True
        )
    except OSError:
        handler = logging.NullHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    log.addHandler(handler)
    return log


def open_display() -> tuple[int, int]:
    """Start the display and the fonts, nothing else; return the size of the desktop. Raises NoDisplay."""
    wanted = os.environ.get("SDL_VIDEODRIVER", "")
    if (
        sys.platform.startswith("linux")
        and not wanted
        and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    ):
        raise NoDisplay(NO_DISPLAY)
    try:
        pygame.display.init()
        pygame.font.init()
        sizes = pygame.display.get_desktop_sizes()
    except pygame.error as error:
        raise NoDisplay(f"{NO_DISPLAY} ({error})") from error
    if pygame.display.get_driver() in ("dummy", "offscreen") and not wanted:
        pygame.display.quit()
        raise NoDisplay(NO_DISPLAY)
    return (int(sizes[0][0]), int(sizes[0][1])) if sizes else (1280, 800)


def window_size(desktop: tuple[int, int]) -> tuple[int, int]:
    """Return 85 % of the desktop, never less than the least room."""
    return max(LEAST_ROOM[0], int(desktop[0] * SHARE_OF_DESKTOP)), max(
        LEAST_ROOM[1], int(desktop[1] * SHARE_OF_DESKTOP)
    )


def run_window(folder: Path, scale: float | None = None, exercise: str = "", frames: int = 0) -> int:
    """Open the window and keep it going until somebody leaves; ``frames`` > 0 leaves after so many (for measuring)."""
    desktop = open_display()
    log = start_log(folder)
    preferences, problem = read_preferences(folder)
    if scale is not None:
        from dataclasses import replace

        preferences = replace(preferences, scale=scale)
    size = window_size(desktop)
    pygame.display.set_caption("Tonewright")
    surface = pygame.display.set_mode(size, pygame.RESIZABLE)
    app = App(folder, preferences, size, log, desktop)
    app.room.today = (datetime.date.today() - datetime.date(1970, 1, 1)).days  # counted as the command counts them
    if problem:
        app.room.messages.say(
            app.room.words.text("The preferences could not be read, the usual ones are in force. {why}", why=problem),
            warn=True,
        )
    app.draw(surface)
    pygame.display.flip()
    if exercise:
        app.room.wanted_exercise = exercise
        app.go("lessons")
    try:
        _loop(app, frames)
    finally:
        app.close()
        pygame.display.quit()
        for handler in log.handlers:
            handler.close()
    return 0


def _loop(app: App, frames: int) -> None:
    clock = pygame.time.Clock()
    pygame.key.set_repeat(350, 45)
    still_s = 0.0
    down: set[str] = set()
    while not app.leaving:
        dt_s = clock.tick(FRAMES_PER_S if still_s < STILL_S else IDLE_FRAMES_PER_S) / 1000.0
        events = bounded(pygame.event.get())
        for event in events:
            _take(app, event, down)
        moved = app.update(dt_s)
        still_s = 0.0 if events or moved else still_s + dt_s
        surface = pygame.display.get_surface()
        if still_s < STILL_S and surface is not None:
            app.draw(surface)
            pygame.display.flip()
        if frames:
            frames -= 1
            app.leaving = app.leaving or frames == 0


def _take(app: App, event: Any, down: set[str]) -> None:
    if event.type == pygame.QUIT:
        app.leaving = True
    elif event.type == pygame.VIDEORESIZE:
        app.resize(event.size)
    else:
        ours = translated(event)
        if isinstance(ours, Key):
            from dataclasses import replace

            ours = replace(ours, repeat=ours.down and ours.name in down)
            (down.add if ours.down else down.discard)(ours.name)
        if ours is not None:
            app.handle(ours)
