"""How things look at the present scale: sizes in pixels, fonts, colours, and texts that were drawn before."""

from __future__ import annotations

from collections import OrderedDict
from pathlib import Path

import pygame

from sim.window.theme import PALETTES, SAFELIGHT_TINT, Colour, Palette

FONTS = Path(__file__).parents[2] / "fonts"
LEAST_ROOM = (1024, 700)  # logical units every place must be laid out for
SIZES: dict[str, tuple[int, bool]] = {
    "small": (13, False), "body": (14, False), "strong": (14, True), "title": (18, True), "figure": (26, True),
}  # fmt: skip
CACHED_TEXTS = 1500


def held_scale(wanted: float, window: tuple[int, int]) -> float:
    """Return the scale that can be shown: what is wanted, held down so that the least room still fits the window."""
    most = min(window[0] / LEAST_ROOM[0], window[1] / LEAST_ROOM[1])
    return max(1.0, min(wanted, most))


class Look:
    """Sizes, fonts and colours. One look per scale and light; screens ask it and keep nothing of it."""

    def __init__(self, scale: float = 1.0, palette: str = "safelight"):
        self.scale = scale
        self.palette: Palette = PALETTES[palette]
        self._fonts: dict[tuple[int, bool], pygame.font.Font] = {}
        self._texts: OrderedDict[tuple[str, str, Colour], pygame.Surface] = OrderedDict()
        self._widths: OrderedDict[tuple[str, str], int] = OrderedDict()
        self.kept: OrderedDict[object, pygame.Surface] = OrderedDict()

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
        key = (words, size)
        if key not in self._widths:
            self._widths[key] = self.font(size).size(words)[0]
            if len(self._widths) > CACHED_TEXTS:
                self._widths.popitem(last=False)
        return self._widths[key]

    def text(self, words: str, size: str, colour: Colour) -> pygame.Surface:
        """Return words as a picture; what was drawn lately is kept."""
        key = (words, size, colour)
        if key in self._texts:
            self._texts.move_to_end(key)
            return self._texts[key]
        picture = self.font(size).render(words, True, colour)
        self._texts[key] = picture
        if len(self._texts) > CACHED_TEXTS:
            self._texts.popitem(last=False)
        return picture

    def keep(self, key: object, make) -> pygame.Surface:  # type: ignore[no-untyped-def]
        """Return a drawn thing (a plate, a lamp) made once per look; at most 200 are kept."""
        if key not in self.kept:
            self.kept[key] = make()
            if len(self.kept) > 200:
                self.kept.popitem(last=False)
        return self.kept[key]

    def shortened(self, words: str, room: int, size: str = "body") -> str:
        """Return words cut with an ellipsis so that they fit ``room`` pixels."""
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
        """Return words as lines that fit ``room`` pixels; a single word that is wider is cut."""
        lines: list[str] = []
        for paragraph in words.split("\n"):
            line = ""
            for word in paragraph.split():
                longer = f"{line} {word}" if line else word
                if self.width(longer, size) <= room or not line:
                    line = longer
                else:
                    lines.append(line)
                    line = word
            lines.append(line)
        return [self.shortened(line, room, size) for line in lines]
