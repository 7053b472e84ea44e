"""Printing a page again on another negative or at another size: what the reckoning says, and taking it to the enlarger."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pygame import Rect

from sim.refusals import Refusal
from sim.window.kit.canvas import Canvas

SIZES_MM = ((127.0, 178.0), (203.2, 254.0), (240.0, 304.8), (304.8, 406.4))


def sizes_for(sheet: Any) -> list[tuple[str, str]]:
    """Return the sizes offered (key, cm), the sheet's own first; the others lie as the sheet lies."""
    own = (sheet.width_mm, sheet.height_mm)
    upright = own[1] >= own[0]
    found = [own]
    for small, large in SIZES_MM:
        size = (small, large) if upright else (large, small)
        if abs(size[0] - own[0]) > 3.0 or abs(size[1] - own[1]) > 3.0:
            found.append(size)
    return [(f"{w:g}x{h:g}", f"{w / 10:.0f} x {h / 10:.0f}") for w, h in found]


class Again:
    """The new record, worked out when negative or size changes."""

    def __init__(self) -> None:
        self.on = False
        self.record: Any = None
        self.words = ""
        self.lines: tuple[str, ...] = ()

    @property
    def key(self) -> bool:
        """What the page depends on."""
        return self.on

    def work_out(self, record: Any, size_mm: str, chosen: str) -> None:
        """Ask for a record at the chosen size from the chosen negative; a refusal becomes the words shown."""
        from sim.notebook.record_words import describe
        from sim.notebook.reprint import reprinted

        wide, high = (float(side) for side in size_mm.split("x"))
        own = (record.sheet.width_mm, record.sheet.height_mm)
        size = None if max(abs(wide - own[0]), abs(high - own[1])) < 0.05 else (wide, high)
        negative = None if chosen == record.negative else chosen
        self.record, self.lines = None, ()
        try:
            self.record, notes = reprinted(record, negative, size)
        except (Refusal, OSError) as refusal:
            self.words = str(refusal)
            return
        self.words = ""
        told = describe(self.record)  # what changes stands first: the new seconds, then why
        times = [line for line in told if line.startswith(("exposure", "flash", "burn"))]
        self.lines = (*times, *notes, *(line for line in told if line not in times))

    def take(self, darkroom: Any) -> None:
        """Set the enlarger for the new record, and plan its exposures. Raises ValueError in words."""
        from sim.notebook.exposure_plan import planned

        darkroom.desk.like(self.record)
        darkroom.paper.set_plan([planned(e) for e in self.record.exposures])

    def draw(self, canvas: Canvas, rect: Rect, t: Callable[..., str]) -> None:
        """Draw what changes, line by line, as far as there is room."""
        look = canvas.look
        small, y = look.line_height("small"), rect.y
        for line in (self.words,) if self.record is None else self.lines:
            left = (rect.bottom - y) // small
            if left < 1:
                break
            room = Rect(rect.x, y, rect.w, left * small)
            y = canvas.lines(line.strip(), room, "small", "ink", shorten=True).bottom + look.px(2)
