"""The file of negatives on the light table: film seen against light, and what each of them teaches."""

from __future__ import annotations

from typing import Any

import numpy as np
import pygame
from numpy.typing import NDArray
from pygame import Rect

from sim.bench.light_table import on_light_table
from sim.viewing.plain_names import plain_name
from sim.window.dry.part import Part
from sim.window.dry.shading import mixed
from sim.window.kit.boxes import cut_bottom, cut_right, cut_top, fit
from sim.window.kit.buttons import PushButton
from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, UNUSED, Key, Outcome, Pointer
from sim.window.kit.look import Look
from sim.window.kit.picture import grey_surface

THUMB_PX = 200  # developed at this size, drawn smaller
CELL = (106, 118)


class LightTable(Control):
    """Sleeves side by side; arrows walk, Enter puts the chosen one into the carrier, so does a second press."""

    def __init__(self, part: NegativesPart, label: str):
        super().__init__("light-table", label)
        self._part = part
        self.chosen = 0

    @property
    def across(self) -> int:
        """How many sleeves lie side by side: as few as let all of them lie there, or as many as can still be seen."""
        px, count = self._part.look.px, max(1, len(self._part.cards))
        most = max(1, self.rect.w // px(CELL[0]))
        for across in range(3, most):
            if px(CELL[1]) * -(-count // across) <= self.rect.h:
                return across
        return most

    def _high(self, across: int) -> int:
        """Return a sleeve's height: in proportion to its width, or less, so that all rows fit on the glass."""
        rows = -(-max(1, len(self._part.cards)) // across)
        return min(self.rect.w // across * CELL[1] // CELL[0], max(self._part.look.px(CELL[1]), self.rect.h // rows))

    def shown_rows(self) -> tuple[int, int]:
        """Return the first row shown and how many fit."""
        fits = max(1, self.rect.h // max(1, self._high(self.across)))
        return max(0, self.chosen // self.across - fits + 1), fits

    def cells(self) -> list[tuple[int, Rect]]:
        """Return number and rectangle of every sleeve that is seen."""
        high, wide, (top, fits) = self._high(self.across), self.rect.w // self.across, self.shown_rows()
        first = top * self.across
        numbers = range(first, min(len(self._part.cards), first + fits * self.across))
        if len(self._part.cards) > fits * self.across:  # not all can be seen: those that are fill the table
            high = self.rect.h // fits
        at = {n: divmod(n - first, self.across) for n in numbers}
        return [(n, Rect(self.rect.x + col * wide, self.rect.y + row * high, wide, high)) for n, (row, col) in at.items()]

    def spoken(self) -> str:
        """The chosen sleeve."""
        return self._part.cards[self.chosen].title if self._part.cards else ""

    def choose(self, n: int) -> Outcome:
        """Look at a sleeve."""
        self.chosen = max(0, min(len(self._part.cards) - 1, n))
        return HANDLED

    def pointer(self, event: Pointer, look: Look) -> Outcome:
        """A press looks at a sleeve, a second one takes it."""
        if event.kind == "wheel":
            return self.choose(self.chosen - event.steps * self.across)
        if event.kind == "down" and event.button == 1:
            for n, rect in self.cells():
                if rect.collidepoint(event.pos):
                    return self._part.take() if n == self.chosen else self.choose(n)
        return HANDLED if event.kind in ("down", "up") else UNUSED

    def key(self, event: Key) -> Outcome:
        """Arrows walk, Enter takes."""
        if not event.down or event.control or event.alt:
            return UNUSED
        if event.name in ("return", "enter", "space"):
            return self._part.take()
        steps = {"left": -1, "right": 1, "up": -self.across, "down": self.across, "home": -999, "end": 999}.get(event.name)
        return UNUSED if steps is None else self.choose(self.chosen + steps)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the lit glass and the film on it."""
        look, px = canvas.look, canvas.look.px
        glass = mixed(look.colour("ground"), look.colour("paper"), 0.5)
        pygame.draw.rect(canvas.surface, glass, self.rect, border_radius=px(4))
        now = self._part.darkroom.desk.now.negative
        line = look.line_height("small")
        for n, cell in self.cells():
            card = self._part.cards[n]
            inner = cell.inflate(-px(10), -px(8))
            place = Rect(inner.x, inner.y, inner.w, inner.h - line - px(2))
            film = fit(card.frame_mm, place.inflate(-px(4), -px(4)))
            thumb = self._part.thumb(look, card.name, film.size)
            pygame.draw.rect(canvas.surface, look.colour("sunk"), film.inflate(px(4), px(4)))
            if thumb is not None:
                canvas.surface.blit(thumb, film)
            strip = Rect(cell.x + px(3), inner.bottom - line - px(1), cell.w - px(6), line + px(3))
            pygame.draw.rect(canvas.surface, look.colour("sunk"), strip, border_radius=px(3))
            left = strip.x + px(4)
            if card.name == now:
                canvas.mark("tick", (left + px(5), strip.centery), px(10), "ink")
                left += px(13)
            name, room = plain_name(card.name), strip.right - left
            canvas.text(name, (left, strip.centery), "small", "ink", "midleft", room, shorten=True)
            if n == self.chosen:
                pygame.draw.rect(canvas.surface, look.colour("shade"), cell.inflate(-px(2), -px(2)), px(2), border_radius=px(4))
                pygame.draw.rect(canvas.surface, look.colour("lamp"), cell.inflate(-px(6), -px(6)), px(1), border_radius=px(3))
            canvas.hit(f"sleeve:{card.name}", cell)
        self._draw_track(canvas)
        if focused:
            canvas.focus_ring(self.rect)

    def _draw_track(self, canvas: Canvas) -> None:
        """Where there are more sleeves than can be seen, say how far down one is."""
        look, px = canvas.look, canvas.look.px
        top, fits = self.shown_rows()
        rows = -(-len(self._part.cards) // self.across)
        if rows <= fits:
            return
        track = Rect(self.rect.right + px(3), self.rect.y, px(4), self.rect.h)
        pygame.draw.rect(canvas.surface, look.colour("lamp-off"), track, border_radius=px(2))
        thumb = Rect(track.x, track.y + track.h * top // rows, track.w, max(px(14), track.h * fits // rows))
        pygame.draw.rect(canvas.surface, look.colour("soft"), thumb.clip(track), border_radius=px(2))


class NegativesPart(Part):
    """Light table, the chosen sleeve's words, and the way into the carrier."""

    def build(self) -> None:
        """Make table and buttons; the film is looked at piece by piece, beside the window."""
        t = self.words
        self.cards: tuple[Any, ...] = ()
        self._levels: dict[str, NDArray[np.uint8] | None] = {}
        self.table = self.add(LightTable(self, t("Light table")))
        self.put_in = self.add(PushButton("put-in-carrier", t("Into the carrier"), self.take, big=True))
        self.close = self.add(PushButton("negatives-close", t("Back to the easel"), lambda: self.screen.open("")))

    def opened(self) -> None:
        """Lay the sleeves out and ask for their pictures."""
        self.cards = tuple(self.darkroom.desk.negatives())
        names = [card.name for card in self.cards]
        now = self.darkroom.desk.now.negative
        self.table.chosen = names.index(now) if now in names else 0
        for name in names:
            if name not in self._levels:
                self._levels[name] = None
                self.room.later(lambda name=name: on_light_table(name, THUMB_PX), self._came(name), bench=False)

    def _came(self, name: str):  # type: ignore[no-untyped-def]
        def came(levels: NDArray[np.uint8]) -> Outcome:
            self._levels[name] = levels
            return HANDLED

        return came

    def thumb(self, look: Look, name: str, size: tuple[int, int]) -> pygame.Surface | None:
        """Return the film's picture at a size, or None while it is still being taken out of its sleeve."""
        levels = self._levels.get(name)
        if levels is None:
            return None
        tint = look.safelight_tint
        return look.keep(
            ("film", name, size), lambda: pygame.transform.smoothscale(grey_surface(levels, tint), size)
        )

    def take(self) -> Outcome:
        """Put the chosen negative into the carrier.

        Film of another size wants another lens and height: then everything is set as is usual for it. Film of the same
        size that lies across turns the sheet.
        """
        desk, card = self.darkroom.desk, self.cards[self.table.chosen]
        before = desk.negative.frame_mm
        desk.place_negative(card.name, usual=sorted(before) != sorted(card.frame_mm))
        now = desk.now
        across = (card.frame_mm[0] > card.frame_mm[1]) != (now.sheet_width_mm > now.sheet_height_mm)
        if across and not self.darkroom.locked("sheet"):
            desk.set("sheet", f"{now.sheet_height_mm:g}x{now.sheet_width_mm:g}")
        self.screen.easel.forget()
        return self.screen.open("")

    def layout(self, rect: Rect) -> None:
        """The table at the left, what is written on the sleeve at the right."""
        self.rect, px = rect, self.look.px
        inner = rect.inflate(-2 * px(14), -2 * px(12))
        self.title, inner = cut_top(inner, self.look.line_height("title"), px(8))
        side, self.table.rect = cut_right(inner, px(206), px(14))
        buttons, self.side = cut_bottom(side, px(42 + 34 + 8), px(8))
        self.put_in.rect, self.close.rect = cut_top(buttons, px(42), px(8))

    def refresh(self) -> None:
        """Nothing to copy: the table asks the darkroom while it is drawn."""

    def draw(self, canvas: Canvas) -> None:
        """Draw the board and the words on the chosen sleeve."""
        canvas.panel(self.rect)
        canvas.text(self.words("Negatives"), self.title.topleft, "title", "ink")
        if not self.cards:
            return
        card, px, look = self.cards[self.table.chosen], canvas.look.px, canvas.look
        rest, (wide, high) = self.side, card.frame_mm
        for words, size, colour in (
            (card.title, "strong", "ink"),
            (self.words("{wide} × {high} mm film", wide=f"{wide:.0f}", high=f"{high:.0f}"), "small", "soft"),
            (card.teaches, "body", "ink"),
        ):
            used = canvas.lines(words, rest, size, colour, shorten=True)
            rest = Rect(rest.x, used.bottom + px(8), rest.w, max(0, rest.bottom - used.bottom - px(8)))
            if rest.h < look.line_height("body"):
                return
        for place in card.places:
            if rest.h < 2 * look.line_height("small"):
                return
            words = f"{plain_name(place.name)}: {place.what or place.part}"
            used = canvas.lines(words, rest, "small", "soft", shorten=True)
            rest = Rect(rest.x, used.bottom + px(3), rest.w, max(0, rest.bottom - used.bottom - px(3)))

