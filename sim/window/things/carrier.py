"""What is in the carrier and in the box, where one looks for it; touched, drawer and cupboard open."""

from __future__ import annotations

from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import InRoom


def open_drawer(room: OneRoom) -> None:
    """Have the drawer of negatives and the cupboard laid over the room."""
    from sim.window.things.cupboard import Cupboard

    room.wanted_over = lambda: Cupboard(room)


class CarrierLabel(InRoom):
    """A slip of paper at the edge of the board."""

    def __init__(self, room: OneRoom):
        super().__init__(room, "carrier")
        self._lines: list[str] = []

    def now(self) -> str:
        """Negative, paper and size of the picture."""
        desk = self.room.darkroom.desk
        wide, high = desk.image_size_mm
        titles = [self.room.title(name) for name in ("negative", "paper")]
        size = self.room.line("picture size", wide=f"{wide:.0f}", high=f"{high:.0f}", times=f"{desk.magnification:.2g}")
        return " · ".join((*titles, size))

    def pressed(self) -> None:
        """Open the drawer of negatives and the cupboard."""
        open_drawer(self.room)

    def lay_out(self, area: Rect, easel: Rect) -> None:
        """Lie at the upper left of the board beside the easel, in as many lines as that takes; else over its corner."""
        look = self.room.look
        gap = easel.x - area.x - look.px(14)
        longest = max(look.width(word, "small") for word in self.now().replace("-", "- ").split()) + look.px(14)
        wide = gap if gap >= max(look.px(110), longest) else area.w
        parts = self.now().split(" · ") if wide == gap else [self.now()]
        self._lines = [line for part in parts for line in look.wrapped(part, wide - look.px(14), "small")]
        across = max(look.width(line, "small") for line in self._lines) + look.px(14)
        self.rect = Rect(area.x, area.y, across, look.line_height("small") * len(self._lines) + look.px(8))

    def draw(self, canvas: Canvas) -> None:
        """Pencilled words on what is raised like everything that can be pressed."""
        look = canvas.look
        canvas.plate(self.rect.move(0, look.px(2)), "", "shade", radius=4)
        canvas.plate(self.rect, "lamp" if self.hot else "edge", "raised", radius=4)
        for n, line in enumerate(self._lines):
            at = (self.rect.x + look.px(7), self.rect.y + look.px(4) + n * look.line_height("small"))
            canvas.text(line, at, "small", "ink" if n == 0 else "soft")
