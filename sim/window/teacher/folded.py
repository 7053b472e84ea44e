"""The note folded to a line at the foot of the window, where it would lie over what is needed: touched, it opens."""

from __future__ import annotations

from collections.abc import Callable

from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import InRoom

HIGH, SHARE = 26, 0.5  # logical units, as high as the line at the foot; share of its width at most


class FoldedNote(InRoom):
    """A tab in the line at the foot, which hides nothing: the lesson and the first words of what it says."""

    key_of_words = "note folded"

    def __init__(self, room: OneRoom, unfold: Callable[[], None]):
        super().__init__(room, "note folded")
        self._unfold, self.words = unfold, ""

    def now(self) -> str:
        """What it says in full."""
        return self.words

    def pressed(self) -> None:
        """Open it."""
        self._unfold()

    def lay_out(self, area: Rect, words: str) -> None:
        """Stand at the right end of the line below a place."""
        look, self.words = self.room.look, words
        wide = min(round(area.w * SHARE), look.width(words, "small") + look.px(34))
        self.rect = Rect(area.right - wide, area.bottom, wide, look.px(HIGH))

    def draw(self, canvas: Canvas) -> None:
        """A lit tab with its words, and a sign that there is more."""
        look, rect = canvas.look, self.rect
        canvas.plate(rect, "lamp", "raised" if self.hot else "panel", radius=4)
        canvas.mark("arrow", (rect.x + look.px(12), rect.centery), look.px(11), "lamp")
        at = (rect.x + look.px(24), rect.centery)
        canvas.text(self.words, at, "small", "ink", "midleft", rect.w - look.px(30), shorten=True)
