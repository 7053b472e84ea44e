"""What colours the light: graded filters in their box, one of them in the drawer; or the head's two dials."""

from __future__ import annotations

import pygame
from pygame import Rect

from sim.bench.turning_a_control import NO_FILTER
from sim.window.hands.thing import Gesture
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.kit.shading import mixed
from sim.window.standing.room import OneRoom
from sim.window.theme import Colour
from sim.window.things.in_room import Knob

SWING_S = 0.35
SOFTEST: Colour = (226, 190, 60)
HARDEST: Colour = (196, 40, 120)
DIAL_STEP, DIAL_FINE, DIAL_TURN = 0.05, 0.01, 0.5


def stamped(name: str) -> str:
    """Return a filter's number as it is stamped on its holder."""
    return {NO_FILTER: "–"}.get(name, name.replace("0.5", "½").replace(".5", "½"))


class FilterBox(Knob):
    """Filters in a row, soft to hard. Touch one, or drag along: it slides into the drawer and the one before comes out."""

    control, cursor = "filter", "hand"

    def __init__(self, room: OneRoom):
        super().__init__(room, "filter")
        self._shown = ""
        self.swung_s = SWING_S

    def _names(self) -> list[str]:
        return [str(name) for name in self.room.control("filter").choices]

    def _here(self) -> int:
        return self._names().index(self.room.darkroom.desk.now.filter)

    def now(self) -> str:
        """Which filter is in."""
        return self.room.title("filter")

    def update(self, dt_s: float) -> bool:
        """A filter that was changed swings in; with reduced motion it is simply there."""
        now = self.room.darkroom.desk.now.filter
        if now != self._shown:
            self._shown = now
            self.swung_s = SWING_S if self.room.preferences.reduced_motion else 0.0
            return True
        before, self.swung_s = self.swung_s, min(SWING_S, self.swung_s + dt_s)
        return before < SWING_S

    def slot(self, n: int) -> Rect:
        """Return where a filter stands in the box."""
        count = len(self._names())
        left = self.rect.x + self.rect.w * n // count
        return Rect(left, self.rect.y, self.rect.x + self.rect.w * (n + 1) // count - left, self.rect.h)

    def _to(self, n: int) -> None:
        names = self._names()
        wanted = names[max(0, min(len(names) - 1, n))]
        if wanted != self.room.darkroom.desk.now.filter:
            self.set(wanted)
            self.room.sounds.play("tongs")

    def press(self, at: Pointer) -> Gesture | None:
        """Slide the touched one in; dragging on changes it again, all as one step."""
        count = len(self._names())
        start = at.pos[0]

        def under(dx: int) -> int:
            return (start + dx - self.rect.x) * count // max(1, self.rect.w)

        self._to(under(0))
        return self.dragged(at, lambda dx, dy: self._to(under(dx)))

    def pressed(self) -> None:
        """The touched one is in."""
        self.room.settle()

    def by(self, steps: int, fine: bool) -> bool:
        """The next harder, or softer."""
        self._to(self._here() + steps)
        return True

    def draw(self, canvas: Canvas) -> None:
        """Draw the holders as tabs; the one in the drawer stands up out of the row."""
        look, rect = canvas.look, self.rect
        pygame.draw.rect(canvas.surface, look.colour("sunk"), rect, border_radius=look.px(4))
        names, here = self._names(), self._here()
        rise = look.px(7) * self.swung_s / SWING_S
        for n, name in enumerate(names):
            slot = self.slot(n).inflate(-look.px(2), -look.px(4))
            if n == here:
                slot.y -= round(rise)
            self._draw_holder(canvas, slot, name, n, len(names), n == here)
        edge = "soft" if self.hot else "lamp-off"
        pygame.draw.rect(canvas.surface, look.colour(edge), rect, 1, border_radius=look.px(4))

    def _draw_holder(self, canvas: Canvas, slot: Rect, name: str, n: int, count: int, here: bool) -> None:
        look = canvas.look
        dye = mixed(SOFTEST, HARDEST, (n - 1) / max(1, count - 2)) if name != NO_FILTER else look.colour("panel")
        pygame.draw.rect(canvas.surface, look.colour("raised" if here else "panel"), slot, border_radius=look.px(3))
        glass = Rect(slot.x + 2, slot.y + 2, slot.w - 4, max(2, slot.h // 4))
        pygame.draw.rect(canvas.surface, mixed(look.colour("ground"), dye, 0.75 if here else 0.4), glass, border_radius=2)
        if here:
            pygame.draw.rect(canvas.surface, look.colour("lamp"), slot, max(1, look.px(1.5)), border_radius=look.px(3))
        words = stamped(name)
        size = "strong" if here and look.width(words, "strong") <= slot.w + look.px(4) else "small"
        whole = not words.endswith("½") or here
        if here and look.width(words, size) > slot.w - look.px(4):  # the raised one always shows its number: on a wider tab
            tab = Rect(0, 0, look.width(words, size) + look.px(6), look.line_height(size))
            tab.center = slot.centerx, slot.y + slot.h * 62 // 100
            canvas.plate(tab, "lamp", "raised", radius=3)
            canvas.text(words, tab.center, size, "ink", "center")
        elif whole and look.width(words, size) <= slot.w + look.px(4):
            at = (slot.centerx, slot.y + slot.h * 62 // 100)
            canvas.text(words, at, size, "ink" if here else "soft", "center")
        elif not whole:
            canvas.mark("dot", (slot.centerx, slot.y + slot.h * 62 // 100), look.px(6), "faint")


class Dial(Knob):
    """One of the head's two dials: a wheel whose graduation goes by under an index."""

    cursor = "across"

    def __init__(self, room: OneRoom, control: str, colour: Colour):
        super().__init__(room, control)
        self.control, self._colour = control, colour

    def value(self) -> float:
        """What it stands at."""
        return float(self.room.control(self.control).value)

    def now(self) -> str:
        """What it stands at, in words."""
        return self.room.number(self.value(), 2)

    def _to(self, value: float) -> None:
        self.set(round(min(2.0, max(0.0, value)), 2))

    def press(self, at: Pointer) -> Gesture | None:
        """Turn the wheel."""
        stood, turn = self.value(), max(1, self.rect.w)
        return self.dragged(at, lambda dx, dy: self._to(stood - dx / turn * DIAL_TURN))

    def by(self, steps: int, fine: bool) -> bool:
        """More of its colour, or less."""
        self._to(self.value() + steps * (DIAL_FINE if fine else DIAL_STEP))
        return True

    def draw(self, canvas: Canvas) -> None:
        """The wheel's rim with its graduation, its colour, and the number under the index."""
        look, rect = canvas.look, self.rect
        pygame.draw.rect(canvas.surface, look.colour("raised"), rect, border_radius=look.px(4))
        pygame.draw.rect(canvas.surface, mixed(look.colour("panel"), self._colour, 0.55),
                         Rect(rect.x, rect.bottom - look.px(5), rect.w, look.px(5)), border_radius=look.px(2))  # fmt: skip
        before, value = canvas.surface.get_clip(), self.value()
        canvas.surface.set_clip(rect)
        for k in range(-1, 42):
            x = rect.centerx + round((k * 0.05 - value) / DIAL_TURN * rect.w)
            long = look.px(9 if k % 2 == 0 else 5)
            canvas.line((x, rect.y), (x, rect.y + long), "soft" if k % 2 == 0 else "faint")
        canvas.surface.set_clip(before)
        canvas.text(self.now(), (rect.centerx, rect.y + rect.h * 60 // 100), "small", "ink", "center")
        wing = look.px(4)
        pygame.draw.polygon(canvas.surface, look.colour("lamp"), [
            (rect.centerx - wing, rect.y), (rect.centerx + wing, rect.y), (rect.centerx, rect.y + wing + 1)])  # fmt: skip
        pygame.draw.rect(canvas.surface, look.colour("soft" if self.hot else "faint"), rect, 1, border_radius=look.px(4))
