"""What stands on a page: the record in words, what was said before and after, and the densitometer's readings."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from sim.viewing.plain_names import plain_name

if TYPE_CHECKING:
    from sim.bench.darkroom import Darkroom
    from sim.bench.wall import Wall


def entries_of(dark: Darkroom, number: int, t: Callable[..., str]) -> tuple[tuple[str, ...], str]:
    """Return a page's lines, and its title."""
    from sim.notebook.notebook import pages

    page = next(page for page in pages(dark.evening.state) if page.number == number)
    said = [
        f"{label} {'; '.join(texts)}"
        for label, texts in (
            (t("Expected:"), page.predicted), (t("Seen:"), page.observed), (t("Why:"), page.explained),
        )
        if texts
    ]  # fmt: skip
    return (*page.lines, *said), page.title


def readings_of(wall: Wall, number: int) -> list[tuple[str, str]]:
    """Return (place, figures) of every named place that lies on the sheet."""
    rows = []
    for name, x_mm, y_mm, _part in wall.places(number):
        reading = wall.read(number, x_mm, y_mm)
        lightness = f"{reading.lightness:2.0f}".replace(" ", "\N{FIGURE SPACE}")  # the columns stand under one another
        rows.append((plain_name(name), f"D {reading.density:.2f}   L* {lightness}"))
    return rows


def notes_of(dark: Darkroom, number: int) -> list[str]:
    """Return the notes that were written beside a sheet, oldest first."""
    head = f"sheet {number}: "
    return [note.removeprefix(head) for note in dark.evening.state.notes if note.startswith(head)]
