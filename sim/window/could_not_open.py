"""A window that says in words why the darkroom cannot be opened, for a program that was opened by a double click."""

from __future__ import annotations

from pathlib import Path

import pygame

from sim.window.icon import icon
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.main_loop import open_display
from sim.window.preferences import scale_by_desktop

TITLE = "The darkroom could not be opened"
LEAVE = "Press any key, or click, to close this window."
WRITTEN = "Written down in {file}"
SIZE = (760, 420)  # logical units
MARGIN, GAP = 28, 12
MOST_CHARACTERS = 3000
LONGEST_WAIT_MS = 250  # between two looks at the events
LEAVING = frozenset({pygame.QUIT, pygame.KEYDOWN, pygame.MOUSEBUTTONDOWN})


def show_trouble(text: str, file: Path | None = None, frames: int = 0) -> None:
    """Show what went wrong until somebody leaves; ``frames`` > 0 leaves after so many looks. Raises NoDisplay."""
    desktop = open_display()
    look = Look(scale_by_desktop(desktop))
    size = (min(look.px(SIZE[0]), desktop[0]), min(look.px(SIZE[1]), desktop[1]))
    try:
        pygame.display.set_caption("Tonewright")
        pygame.display.set_icon(icon())
        surface = pygame.display.set_mode(size)
        while True:
            draw_trouble(surface, look, text, file)
            pygame.display.flip()
            frames -= 1
            if frames == 0 or pygame.event.wait(LONGEST_WAIT_MS).type in LEAVING:
                return
    finally:
        pygame.display.quit()


def draw_trouble(surface: pygame.Surface, look: Look, text: str, file: Path | None) -> list[str]:
    """Draw title, what went wrong (where there is more than fits: its end, which says most), the file, and how to leave.

    Returns the lines as they were drawn.
    """
    margin, gap = look.px(MARGIN), look.px(GAP)
    wide, high = surface.get_width() - 2 * margin, surface.get_height()
    surface.fill(look.colour("ground"))
    canvas = Canvas(surface, look)
    canvas.text(TITLE, (margin, margin), "title", "ink")
    foot = [LEAVE] if file is None else [*_broken(look, WRITTEN.format(file=file), wide), LEAVE]
    line = look.line_height("body")
    top = margin + look.line_height("title") + gap
    room = max(1, (high - margin - gap - line * len(foot) - top) // line)
    told = [piece for one in text[-MOST_CHARACTERS:].splitlines() for piece in _broken(look, one, wide)][-room:]
    for number, words in enumerate(told):
        canvas.text(words, (margin, top + number * line), "body", "ink")
    for number, words in enumerate(foot):
        canvas.text(words, (margin, high - margin - line * (len(foot) - number)), "body", "soft")
    return [TITLE, *told, *foot]


def _broken(look: Look, words: str, wide: int) -> list[str]:
    """Return words as lines that fit: broken between words, and inside one that is longer than a line, such as a path."""
    lines, now = [], ""
    for word in words.split(" "):
        tried = f"{now} {word}" if now else word
        if look.width(tried) <= wide:
            now = tried
            continue
        lines += [now] if now else []
        now = word
        while len(now) > 1 and look.width(now) > wide:
            cut = next(n for n in range(len(now) - 1, 0, -1) if look.width(now[:n]) <= wide or n == 1)
            lines.append(now[:cut])
            now = now[cut:]
    return [*lines, now]
