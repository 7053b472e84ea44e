"""Numbers: a field to type into, and a column with a carriage."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect

from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Change, Control, plate
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer, warned
from sim.window.kit.look import Look

MOST_DIGITS = 8


class Numeric(Control):
    """A number with a unit, its range and its step."""

    def __init__(
        self, id: str, label: str, value: float, unit: str = "", least: float = 0.0, most: float = 1.0,
        step: float = 1.0, digits: int = 1, change: Change | None = None, help_key: str = "",
    ):  # fmt: skip
        super().__init__(id, label, help_key)
        self.value: float = value
        self.unit, self.least, self.most, self.step, self.digits = unit, least, most, step, digits
        self.change = change

    def shown_value(self) -> str:
        """The number as it is shown, without its unit."""
        return f"{self.value:.{self.digits}f}"

    def spoken(self) -> str:
        """Number, unit and range."""
        unit = f" {self.unit}" if self.unit else ""
        return f"{self.shown_value()}{unit} ({self.least:g} … {self.most:g}{unit})"

    def set_to(self, value: float) -> Outcome:
        """Set the number, held within its range and rounded to what is shown."""
        if self.locked:
            return self.refused()
        value = round(max(self.least, min(self.most, value)), max(self.digits, 3))
        if value == self.value:
            return HANDLED
        self.value = value
        return (self.change(value) if self.change else None) or HANDLED

    def stepped(self, steps: float) -> Outcome:
        """Go some steps; from between two steps to the next whole one."""
        return self.set_to(round(self.value + steps * self.step, 6))


class NumberField(Numeric):
    """Type digits and Enter, or step with the arrows (Shift: ten steps) and the wheel."""

    typed = ""

    @property
    def writes(self) -> bool:  # type: ignore[override]
        """Digits belong to the field while it has the focus."""
        return bool(self.typed)

    def wanted(self, look: Look) -> tuple[int, int]:
        """Label above the field."""
        return look.px(104), look.line_height("small") + look.px(4 + 30)

    def _buttons(self, look: Look) -> tuple[Rect, Rect, Rect]:
        """Return the field, and the two plates that step it."""
        used = look.line_height("small") + look.px(4) if self.label else 0
        body = Rect(self.rect.x, self.rect.y + used, self.rect.w, max(0, self.rect.h - used))
        side = min(look.px(28), body.w // 4)
        less = Rect(body.x, body.y, side, body.h)
        more = Rect(body.right - side, body.y, side, body.h)
        return Rect(less.right, body.y, body.w - 2 * side, body.h), less, more

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """The plates at its sides step, the wheel too."""
        if event.kind == "wheel":
            return self.stepped(event.steps * (10 if event.shift else 1))
        if event.kind != "down" or event.button != 1:
            return HANDLED if event.kind == "up" else UNUSED
        _, less, more = self._buttons(look)
        self.typed = ""
        for rect, step in ((less, -1), (more, 1)):
            if rect.collidepoint(event.pos):
                return self.stepped(step * (10 if event.shift else 1))
        return HANDLED

    def key(self, event: Key) -> Outcome:
        """Digits write, Enter sets, Backspace takes back, arrows step."""
        if not event.down or event.control or event.alt:
            return UNUSED
        if event.text and event.text in "0123456789.,-" and not self.locked:
            self.typed = (self.typed + event.text.replace(",", "."))[:MOST_DIGITS]
            return HANDLED
        if self.typed and event.name in ("return", "enter"):
            return self._take()
        if self.typed and event.name in ("backspace", "escape"):
            self.typed = self.typed[:-1] if event.name == "backspace" else ""
            return HANDLED
        steps = {"up": 1, "down": -1, "right": 1, "left": -1}.get(event.name)
        if steps is None:
            return UNUSED
        self.typed = ""
        return self.stepped(steps * (10 if event.shift else 1))

    def _take(self) -> Outcome:
        words, self.typed = self.typed, ""
        try:
            value = float(words)
        except ValueError:
            return warned(f"{self.label}: {words!r} is not a number")
        if not self.least <= value <= self.most:
            return warned(f"{self.label}: {words} {self.unit} is outside {self.least:g} to {self.most:g} {self.unit}")
        return self.set_to(value)

    def lost_focus(self) -> Outcome | None:
        """What was typed counts."""
        return self._take() if self.typed else None

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the sunk field between its two plates."""
        look = canvas.look
        if self.label:
            self.draw_label(canvas, self.rect)
        field, less, more = self._buttons(look)
        whole = field.unionall([less, more])
        pygame.draw.rect(canvas.surface, look.colour("sunk"), whole, border_radius=look.px(5))
        for rect, sign in ((less, "−"), (more, "+")):
            inner = rect.inflate(-look.px(4), -look.px(4))
            plate(canvas, inner, hot=False, locked=self.locked)
            canvas.text(sign, rect.center, "strong", self.ink(), "center")
        pygame.draw.rect(
            canvas.surface, look.colour("soft" if self.hot else "faint"), whole, 1, border_radius=look.px(5)
        )
        words = f"{self.typed}▏" if self.typed else self.shown_value()
        words += f" {self.unit}" if self.unit else ""
        canvas.text(words, field.center, "strong", self.ink(), "center", field.w - look.px(4), shorten=True)
        canvas.hit(f"{self.id}:less", less)
        canvas.hit(f"{self.id}:more", more)
        if focused:
            canvas.focus_ring(whole)


class Column(Numeric):
    """A column with a carriage: dragged, stepped with the arrows, moved with the wheel."""

    def __init__(
        self, id: str, label: str, value: float, unit: str = "", *, marks: Sequence[float] = (), **more: object
    ):
        super().__init__(id, label, value, unit, **more)  # type: ignore[arg-type]
        self.marks = tuple(marks)
        self._held = False

    def wanted(self, look: Look) -> tuple[int, int]:
        """Narrow and tall."""
        return look.px(84), look.px(180)

    def _rail(self, look: Look) -> Rect:
        top = 2 * look.line_height("small") + look.px(16)
        return Rect(self.rect.x + look.px(20), self.rect.y + top, look.px(10), max(1, self.rect.h - top - look.px(14)))

    def _at(self, y: int, look: Look) -> float:
        rail = self._rail(look)
        share = (rail.bottom - y) / max(1, rail.h)
        return self.least + round(share * (self.most - self.least) / self.step) * self.step

    def _y(self, value: float, look: Look) -> int:
        rail = self._rail(look)
        return rail.bottom - round(rail.h * (value - self.least) / max(1e-9, self.most - self.least))

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """Dragged while the button is held."""
        if event.kind == "wheel":
            return self.stepped(event.steps * (10 if event.shift else 1))
        if event.kind == "up":
            self._held = False
            return HANDLED
        if event.kind == "down" and event.button == 1:
            self._held = True
        if self._held and event.kind in ("down", "move"):
            return self.set_to(self._at(event.pos[1], look))
        return UNUSED

    def key(self, event: Key) -> Outcome:
        """Arrows step, Shift ten steps, home and end go to the stops."""
        if not event.down or event.control or event.alt:
            return UNUSED
        if event.name in ("home", "end"):
            return self.set_to(self.least if event.name == "home" else self.most)
        steps = {"up": 1, "right": 1, "down": -1, "left": -1}.get(event.name)
        return UNUSED if steps is None else self.stepped(steps * (10 if event.shift else 1))

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Rail, engraved marks, carriage, and the number above."""
        look, surface = canvas.look, canvas.surface
        line = look.line_height("small")
        canvas.text(self.label, self.rect.topleft, "small", "soft", room=self.rect.w, shorten=True)
        value = f"{self.shown_value()} {self.unit}".strip()
        canvas.text(
            value, (self.rect.x, self.rect.y + line + look.px(2)), "strong", self.ink(), room=self.rect.w, shorten=True
        )
        rail = self._rail(look)
        pygame.draw.rect(surface, look.colour("sunk"), rail, border_radius=look.px(3))
        pygame.draw.rect(surface, look.colour("faint"), rail, 1, border_radius=look.px(3))
        last = None
        for mark in self.marks:
            y = self._y(mark, look)
            canvas.line((rail.right + look.px(3), y), (rail.right + look.px(9), y), "soft")
            if last is None or abs(last - y) >= line:
                canvas.text(f"{mark:g}", (rail.right + look.px(13), y), "small", "soft", "midleft")
                last = y
        carriage = Rect(0, 0, look.px(34), look.px(16))
        carriage.center = (rail.centerx, self._y(self.value, look))
        plate(canvas, carriage, hot=self.hot, locked=self.locked)
        canvas.line(
            (carriage.x + look.px(4), carriage.centery), (carriage.right - look.px(4), carriage.centery), "lamp", 2
        )
        if focused:
            canvas.focus_ring(carriage.union(rail))
