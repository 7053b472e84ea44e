"""How things look at the present scale: sizes in pixels, fonts, colours, and texts that were drawn before."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from pathlib import Path

import pygame

from sim.bounded_store import LEAST_BYTES, MEGABYTE, KeptWithin
from sim.plain_text import plain
from sim.window.theme import PALETTES, SAFELIGHT_TINT, Colour, Palette

FONTS = Path(__file__).parents[2] / "fonts"
SIZES: dict[str, tuple[int, bool]] = {
    "small": (13, False), "body": (14, False), "strong": (14, True), "title": (18, True), "figure": (26, True),
}  # fmt: skip
WIDTHS = 4000  # a word and a number each
TEXT_BYTES, DRAWN_BYTES = 12 * MEGABYTE, 40 * MEGABYTE  # words as pictures; plates, lamps, and a window's walls


class Look:
    """Sizes, fonts and colours. One look per scale and light; screens ask it and keep nothing of it."""

    def __init__(self, scale: float = 1.0, palette: str = "safelight"):
        self.scale = scale
        self.palette: Palette = PALETTES[palette]
        self._fonts: dict[tuple[int, bool], pygame.font.Font] = {}
        self._texts: KeptWithin[pygame.Surface] = KeptWithin(TEXT_BYTES)
        self._widths: KeptWithin[int] = KeptWithin(WIDTHS * LEAST_BYTES, size=lambda width: LEAST_BYTES)
        self._drawn: KeptWithin[pygame.Surface] = KeptWithin(DRAWN_BYTES)

    @property
    def safelight_tint(self) -> Colour:
        """What amber light leaves of paper white."""
        return SAFELIGHT_TINT

    def px(self, units: float) -> int:
        """Return whole pixels for logical units."""
        return max(1, round(units * self.scale)) if units > 0 else round(units * self.scale)

    def colour(self, name: str) -> Colour:
        """Return a colour of the present light, e.g. ``ink`` or ``lamp-off``."""
        colour: Colour = getattr(self.palette, name.replace("-", "_"))
        return colour

    def font(self, size: str = "body") -> pygame.font.Font:
        """Return the font of a text size; DejaVu by path, pygame's own if the file is gone."""
        units, bold = SIZES[size]
        key = (self.px(units), bold)
        if key not in self._fonts:
            file = FONTS / ("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf")
            self._fonts[key] = pygame.font.Font(str(file) if file.exists() else None, key[0])
        return self._fonts[key]

    def line_height(self, size: str = "body") -> int:
        """Return the height of one line in pixels."""
        return int(self.font(size).get_linesize())

    def width(self, words: str, size: str = "body") -> int:
        """Return the width of one line of words in pixels."""
        words = plain(words)
        return self._widths.keep((words, size), lambda: self.font(size).size(words)[0])

    def text(self, words: str, size: str, colour: Colour) -> pygame.Surface:
        """Return words as a picture; what was drawn lately is kept. What is no character to be read is not drawn."""
        words = plain(words)
        return self._texts.keep((words, size, colour), lambda: self.font(size).render(words, True, colour))

    def keep(self, key: Hashable, make: Callable[[], pygame.Surface]) -> pygame.Surface:
        """Return a drawn thing (a plate, a lamp) made once per look; those used last are kept."""
        return self._drawn.keep(key, make)

    def shortened(self, words: str, room: int, size: str = "body") -> str:
        """Return words cut with an ellipsis so that they fit ``room`` pixels."""
        words = plain(words)
        if self.width(words, size) <= room:
            return words
        low, high = 0, len(words)
        while low < high:
            middle = (low + high + 1) // 2
            if self.font(size).size(words[:middle].rstrip() + "…")[0] <= room:
                low = middle
            else:
                high = middle - 1
        return words[:low].rstrip() + "…"

    def wrapped(self, words: str, room: int, size: str = "body") -> list[str]:
        """Return words as lines that fit ``room`` pixels; a single word that is wider goes on in the next line."""
        lines: list[str] = []
        for paragraph in plain(words, breaks=True).split("\n"):
            line = ""
            for word in paragraph.split():
                longer = f"{line} {word}" if line else word
                if self.width(longer, size) <= room:
                    line = longer
                    continue
                if line:
                    lines.append(line)
                *broken, line = self._broken(word, room, size)
                lines += broken
            lines.append(line)
        return lines

    def _broken(self, word: str, room: int, size: str) -> list[str]:
        """Return a word in parts that fit, after a hyphen where it has one; a letter at least in each."""
        parts: list[str] = []
        while self.width(word, size) > room and len(word) > 1:
            fits = next((n for n in range(len(word) - 1, 1, -1) if self.font(size).size(word[:n])[0] <= room), 1)
            fits = word.rfind("-", 0, fits) + 1 or fits
            parts.append(word[:fits])
            word = word[fits:]
        return [*parts, word]
