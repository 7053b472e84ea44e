"""The window of the desktop: opens it, turns its events into ours, asks the clock, and closes it."""

from __future__ import annotations

import contextlib
import datetime
import logging
import logging.handlers
import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pygame

from sim.refusals import Refused
from sim.window.icon import icon
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Event, Key, Pointer
from sim.window.kit.look import Look
from sim.window.preferences import Preferences, read_preferences, scale_by_desktop

if TYPE_CHECKING:
    from sim.window.standing.window import OneWindow

LEAST_WINDOW = (1024, 700)
SHARE_OF_DESKTOP = 0.85
MOST_EVENTS = 120  # in one frame; the rest waits for the next, so a flood cannot stop the picture
FRAMES_PER_S, IDLE_MS, LOOK_MS = 60, 250, 25  # while nothing moves the loop waits for an event so long
STILL_S = 0.5
CURSORS = {
    "arrow": pygame.SYSTEM_CURSOR_ARROW, "hand": pygame.SYSTEM_CURSOR_HAND, "grab": pygame.SYSTEM_CURSOR_SIZEALL,
    "across": pygame.SYSTEM_CURSOR_SIZEWE, "updown": pygame.SYSTEM_CURSOR_SIZENS, "any-way": pygame.SYSTEM_CURSOR_SIZEALL,
    "cross": pygame.SYSTEM_CURSOR_CROSSHAIR, "no": pygame.SYSTEM_CURSOR_NO, "write": pygame.SYSTEM_CURSOR_IBEAM,
}  # fmt: skip
MODIFIERS = frozenset(f"{side} {name}" for side in ("left", "right") for name in ("shift", "ctrl", "alt", "meta", "gui"))
FOCUS_LOST = getattr(pygame, "WINDOWFOCUSLOST", -1)  # a key that is let go elsewhere is never told
LONGEST_STEP_S = 0.25  # after a pause of the machine, time goes on by no more than this
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
    return {"enter": "return", "page up": "pageup", "page down": "pagedown"}.get(name, name)


def _shift() -> bool:
    return bool(pygame.key.get_mods() & pygame.KMOD_SHIFT)


def bounded(events: list[Any], later: list[Any] | None = None) -> list[Any]:
    """Return at most MOST_EVENTS events: of moves in a row only the last, then the oldest first; the rest goes into ``later``.

    Nothing that a hand or a keyboard did is lost: a note that is written faster than frames are drawn keeps its end.
    """
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
    if later is not None:
        later[:] = kept[MOST_EVENTS:]
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
    if sys.platform.startswith("linux") and not wanted and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
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


def window_size(desktop: tuple[int, int], kept: tuple[int, ...] = ()) -> tuple[int, int]:
    """Return the size it had, where that still fits the desktop; else 85 % of it, never less than the least window."""
    if len(kept) >= 2 and kept[0] <= desktop[0] and kept[1] <= desktop[1]:
        return max(LEAST_WINDOW[0], kept[0]), max(LEAST_WINDOW[1], kept[1])
    wide, high = (int(side * SHARE_OF_DESKTOP) for side in desktop)
    return max(LEAST_WINDOW[0], wide), max(LEAST_WINDOW[1], high)


def run_window(
    folder: Path, scale: float | None = None, exercise: str = "", frames: int = 0, language: str = ""
) -> int:  # fmt: skip
    """Open the window and keep it going until somebody leaves; ``frames`` > 0 leaves after so many (for measuring).

    ``language`` takes the place of the preferences'.
    """
    desktop = open_display()
    log = start_log(folder)
    preferences, problem = read_preferences(folder)
    if scale is not None:
        preferences = replace(preferences, scale=scale)
    if language:
        preferences = replace(preferences, language=language)
    size = window_size(desktop, preferences.window)
    pygame.display.set_caption("Tonewright")
    pygame.display.set_icon(icon())
    shown = _show(size, preferences.full, preferences.window[2:4])
    _first_frame(shown, preferences, desktop)
    from sim.window.standing.window import OneWindow

    window = OneWindow(folder, preferences, shown.get_size(), log, desktop)
    window.room.today = (datetime.date.today() - datetime.date(1970, 1, 1)).days  # counted as the command counts them
    if problem:
        window.room.say("bad preferences", warn=True, why=problem)
    try:
        if exercise:
            window.open_exercise(exercise)
        _loop(window, size, frames)
    finally:
        window.close()
        pygame.display.quit()
        for handler in log.handlers:
            handler.close()
    return 0


def _show(size: tuple[int, int], full: bool, at: tuple[int, ...] = ()) -> pygame.Surface:
    """Return the surface of the window, or of the whole screen."""
    if full:
        return pygame.display.set_mode((0, 0), pygame.FULLSCREEN)
    surface = pygame.display.set_mode(size, pygame.RESIZABLE)
    if len(at) == 2 and hasattr(pygame.display, "set_window_position"):
        pygame.display.set_window_position(at)
    return surface


def _first_frame(surface: pygame.Surface, preferences: Preferences, desktop: tuple[int, int]) -> None:
    """Show the name over the door at once; the darkroom behind it takes a moment to be fetched."""
    look = Look(preferences.scale or scale_by_desktop(desktop))
    surface.fill(look.colour("ground"))
    Canvas(surface, look).text("Tonewright", surface.get_rect().center, "figure", "soft", "center")
    pygame.display.flip()


def _loop(window: OneWindow, size: tuple[int, int], frames: int) -> None:
    clock, still_s, down, full, later = pygame.time.Clock(), 0.0, set[str](), window.full, list[Any]()
    pygame.key.set_repeat(350, 45)
    cursor = ""
    while not window.leaving:
        dt_s = clock.tick(FRAMES_PER_S) / 1000.0
        events = bounded([*later, *pygame.event.get()], later)
        for event in events:
            size = _take(window, event, down, size)
        if window.full is not full:
            full = window.full
            window.resize(_show(size, full).get_size())
        moved = window.update(min(dt_s, LONGEST_STEP_S))
        still_s = 0.0 if events or moved else still_s + dt_s
        surface = pygame.display.get_surface()
        if still_s < STILL_S and surface is not None:
            window.draw(surface)
            pygame.display.update(window.dirty) if window.dirty else pygame.display.flip()
            cursor = _point(window.hands.cursor(), cursor)
        elif not frames:
            _rest()
        if frames:
            frames -= 1
            window.leaving = window.leaving or frames == 0
    _remember(window, size)


def _rest() -> None:
    """Wait for an event, a while at most; asked for every few hundredths of a second, which costs next to nothing."""
    for _ in range(IDLE_MS // LOOK_MS):
        if pygame.event.peek():
            return
        pygame.time.wait(LOOK_MS)


def _point(wanted: str, shown: str) -> str:
    """Let the pointer show what a thing does; returns what it shows."""
    if wanted != shown:
        with contextlib.suppress(pygame.error):  # a display may have no pointer
            pygame.mouse.set_cursor(CURSORS[wanted])
    return wanted


def _remember(window: OneWindow, size: tuple[int, int]) -> None:
    """Keep the window's size, and where it stands where that can be known."""
    at = () if window.full or not hasattr(pygame.display, "get_window_position") else pygame.display.get_window_position()
    window.room.prefer(replace(window.room.preferences, window=(*size, *(int(side) for side in at))))


def _take(window: OneWindow, event: Any, down: set[str], size: tuple[int, int]) -> tuple[int, int]:
    """Hand an event on; returns the size that the window has when it does not fill the screen."""
    if event.type == pygame.QUIT:
        window.leaving = True
    elif event.type == pygame.VIDEORESIZE:
        window.resize(event.size)
        return size if window.full else (int(event.size[0]), int(event.size[1]))
    elif event.type == FOCUS_LOST:
        down.clear()
        window.let_go()
    elif event.type == pygame.DROPFILE:
        window.dropped(Path(event.file))
    else:
        ours = translated(event)
        if isinstance(ours, Key):
            ours = replace(ours, repeat=ours.down and ours.name in down)
            (down.add if ours.down else down.discard)(ours.name)
        if ours is not None:
            window.handle(ours)
    return size
