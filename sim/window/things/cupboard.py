"""The drawer of negatives and the cupboard: sleeves over the light table, and all of the set-up that is not on the bench."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pygame
from pygame import Rect, Surface

from sim.bench.light_table import on_light_table
from sim.bench.turning_a_control import Control
from sim.shelf import OWN
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_bottom, cut_right, fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key
from sim.window.kit.picture import grey_surface
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things import pages_out
from sim.window.things.calibrate import Calibrate
from sim.window.things.in_room import InRoom, Plate, flowed
from sim.window.things.own_scan import OwnScan
from sim.window.things.rows import Row, stacked

IN_THE_CUPBOARD = (
    "paper", "sheet", "head", "lens", "carrier", "focused", "contact", "flipped", "negative_tilt_deg", "easel_tilt_deg",
    "yellow", "magenta", "development_time_s", "temperature_c", "reciprocity",
)  # fmt: skip
STEP_SHARE = 0.02
SLEEVE = 118


class SleeveOnTable(InRoom):
    """A negative on the light table: touch it and it is in the carrier."""

    key_of_words = "sleeve"

    def __init__(self, room: OneRoom, negative: str, title: str, close: Callable[[], None]):
        super().__init__(room, f"sleeve {negative}")
        self.negative, self._title, self._close = negative, title, close
        self.marked = False  # on a proof sheet, as worth printing
        self.view: Surface | None = None
        self.words_high = 0  # of the longest name on the table, px

    def name(self) -> str:
        """What stands on the sleeve."""
        return self._title

    def about(self) -> str:
        """What it looks like, in its sleeve's words."""
        return self.room.about("sleeve")

    def now(self) -> str:
        """Whether it was marked on a proof sheet."""
        return self.room.line("worth printing") if self.marked else ""

    def locked(self) -> str:
        """A lesson has its own."""
        return self.room.darkroom.locked("negative") or ""

    def look(self, side: int) -> None:
        """Lay it on the light table, small."""
        self.view = grey_surface(on_light_table(self.negative, side))

    def pressed(self) -> None:
        """Put it into the carrier."""
        self.room.darkroom.desk.place_negative(self.negative)
        self._close()

    def lines(self, wide: int) -> int:
        """Return how many lines its name takes at a width: it is never cut."""
        return len(self.room.look.wrapped(self._title, wide, "small"))

    def draw(self, canvas: Canvas) -> None:
        """The film on its lit ground, its title below in as many lines as it takes."""
        look, rect = canvas.look, self.rect
        high = self.lines(rect.w) * look.line_height("small")
        table = Rect(rect.x, rect.y, rect.w, max(look.px(20), rect.h - self.words_high - look.px(3)))
        lit = look.colour("paper") if look.palette.name != "white-light" else (236, 236, 236)
        pygame.draw.rect(canvas.surface, lit, table)
        if self.view is not None:
            inner = fit(self.view.get_size(), table.inflate(-look.px(8), -look.px(8)))
            canvas.surface.blit(pygame.transform.smoothscale(self.view, inner.size), inner)
        here = self.room.darkroom.desk.now.negative == self.negative
        edge = look.colour("focus" if here else ("lamp" if self.hot else "edge"))
        pygame.draw.rect(canvas.surface, edge, table.inflate(4, 4), look.px(2) if here else 1, border_radius=2)
        if self.marked:
            pygame.draw.rect(canvas.surface, (16, 16, 16), table.inflate(-look.px(2), -look.px(2)), look.px(3))
            canvas.mark("tick", (table.right - look.px(9), table.y + look.px(9)), look.px(14), "shade")
        below = Rect(rect.x, table.bottom + look.px(3), rect.w, high)
        canvas.block(self._title, below, "small", "ink" if here or self.hot else "soft")


class Cupboard(Overlay):
    """Negatives at the left, everything else that can be set at the right."""

    share = (0.94, 0.95)

    def __init__(self, room: OneRoom):
        super().__init__(room, room.name("cupboard"))
        self.sleeves = [SleeveOnTable(room, s.name, room.said(s.title), self.close) for s in room.darkroom.desk.negatives()]
        self.rows = [self._row(name) for name in IN_THE_CUPBOARD]
        self.usual = Plate(room, "usual set-up", room.darkroom.desk.usual)
        self.proof = Plate(room, "proof own", self._proof)
        self.proof.why = lambda: "" if self._own() else room.line("no own negatives")
        self.scan = Plate(room, "own scan", self._scan)
        self.scan.why = lambda: room.darkroom.locked("negative") or ""
        self.calibrate = Plate(room, "calibrate", self._calibrate)
        self.earlier = Plate(room, "sleeves on", self._page)
        self._first, self._per_page = 0, 1
        self._mark()

    @property
    def foot(self) -> tuple[Plate, ...]:
        """The plates along its foot."""
        return self.proof, self.scan, self.calibrate, self.usual, self.done

    def _page(self) -> None:
        self._first += self._per_page
        if self._first >= len(self.sleeves):
            self._first = 0

    def _scan(self) -> None:
        self.room.wanted_over = lambda: OwnScan(self.room)

    def _calibrate(self) -> None:
        self.room.wanted_over = lambda: Calibrate(self.room, lambda: Cupboard(self.room))

    def _own(self) -> list[str]:
        return [one.negative for one in self.sleeves if one.negative.startswith(OWN)]

    def _proof(self) -> None:
        pages_out.proof(self.room, self._own(), lambda: Cupboard(self.room))

    def _mark(self) -> None:
        """Show on every sleeve whether its frame was marked on a proof sheet."""
        marked = self.room.marked_frames()
        for sleeve in self.sleeves:
            sleeve.marked = sleeve.negative in marked

    def _row(self, name: str) -> Row:
        room = self.room
        desk = room.darkroom.desk

        def turn(steps: int, fine: bool) -> None:
            desk.set(name, turned(desk.control(name), steps, fine))

        def write(value: float) -> None:
            desk.set(name, value)

        found = desk.control(name)
        writes = write if found.kind == "number" else None
        title = room.words.text(found.title)
        return Row(room, f"set {name}", title, lambda: said(room, desk.control(name)), turn, writes,
                   lambda: room.darkroom.locked(name) or "")  # fmt: skip

    def things(self) -> Sequence[Thing]:
        """Return sleeves, rows, plates."""
        return [*self.sleeves, *self.rows, *self.foot, self.earlier]

    def lay_out(self, area: Rect) -> None:
        """Sleeves take what the rows leave."""
        super().lay_out(area)
        px, look = self.room.px, self.room.look
        high = flowed([(plate, plate.wanted()) for plate in self.foot], self.inner, px(10))
        body = cut_bottom(self.inner, high, px(10))[1]
        rows, left = cut_right(body, max(px(250), body.w * 48 // 100), px(16))
        stacked(self.rows, rows, look.line_height("small") + px(9))
        self._stand(left)
        if len(self.sleeves) > self._per_page:  # the plate that turns to the others takes a row of its own
            size = self.earlier.wanted()
            foot, left = cut_bottom(left, size[1], px(6))
            self._stand(left)
            self.earlier.rect = Rect(foot.topleft, size)
        else:
            self.earlier.rect = Rect(0, 0, 0, 0)

    def _stand(self, left: Rect) -> None:
        """Lay the sleeves of a page beside and below each other."""
        px, look = self.room.px, self.room.look
        across = max(1, left.w // px(SLEEVE))
        wide = left.w // across
        words = max(sleeve.lines(wide - px(12)) for sleeve in self.sleeves) * look.line_height("small")
        rows_of_them = max(1, round(left.h / (wide + words + px(3))))
        tall = min(left.h // rows_of_them, wide + words + px(3))
        self._per_page = across * rows_of_them
        for n, sleeve in enumerate(self.sleeves):
            k, sleeve.words_high = n - self._first, words
            place = Rect(left.x + (k % across) * wide, left.y + (k // across) * tall, wide, tall)
            sleeve.rect = place.inflate(-px(12), -px(12)) if 0 <= k < self._per_page else Rect(0, 0, 0, 0)

    def update(self, dt_s: float) -> bool:
        """Lay one sleeve more on the table in every frame, until all in view lie there."""
        for sleeve in self.sleeves:
            if sleeve.shown and sleeve.view is None:
                sleeve.look(max(32, sleeve.rect.w))
                return True
        return False

    def key(self, key: Key) -> bool:
        """U sets the usual."""
        return self.room.does({"u": self.usual.pressed}, key)


def turned(control: Control, steps: int, fine: bool) -> str | float | bool:
    """Return what a control stands at after so many steps."""
    if control.kind == "switch":
        return not control.value
    if control.choices:
        here = control.choices.index(control.value) if control.value in control.choices else 0
        return control.choices[(here + steps) % len(control.choices)]
    low, high = control.low or 0.0, control.high if control.high is not None else 100.0
    step = (high - low) * STEP_SHARE * (0.2 if fine else 1.0)
    step = max(0.01, float(f"{step:.1g}"))
    return min(high, max(low, round(float(control.value) + steps * step, 3)))


def said(room: OneRoom, control: Control) -> str:
    """Return what a control stands at, in words."""
    if control.kind == "switch":
        return room.line("on" if control.value else "off")
    if control.choices:
        return (
            room.words.text(control.choice_titles[control.choices.index(control.value)])
            if control.value in control.choices
            else str(control.value)
        )
    number = room.number(float(control.value), 2).rstrip("0").rstrip(".,")
    return f"{number} {room.said(control.unit)}".strip()
