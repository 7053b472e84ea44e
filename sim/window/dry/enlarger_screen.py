"""The dry side: enlarger, easel and timer in the safelight; the paper in hand and the cards over it."""

from __future__ import annotations

from typing import Any, ClassVar

from pygame import Rect

from sim.window.dry.easel_part import EaselPart
from sim.window.dry.enlarger_part import EnlargerPart
from sim.window.dry.exposing import Lamp
from sim.window.dry.hand import Hands
from sim.window.dry.handling_cards import CardWork
from sim.window.dry.key_work import KeyWork
from sim.window.dry.lens_part import LensPart
from sim.window.dry.light_table import NegativesPart
from sim.window.dry.numbers_part import NumbersPart
from sim.window.dry.pages import CardsPage, Pages, PaperPage, PlanPage, StripPage
from sim.window.dry.paper_work import PaperWork
from sim.window.dry.part import Part
from sim.window.dry.planning import Planning
from sim.window.dry.rack_part import RackPart
from sim.window.dry.set_up_part import SetUpPart
from sim.window.dry.shading import pool_of_light
from sim.window.dry.still_layer import StillLayer
from sim.window.dry.timer_part import TimerPart
from sim.window.dry.wording import HELP
from sim.window.keys_of_every_place import ENLARGER_KEYS
from sim.window.kit.action import Action
from sim.window.kit.boxes import cut_bottom, cut_left, cut_right, cut_top, inset
from sim.window.kit.canvas import Canvas
from sim.window.kit.control import Control
from sim.window.kit.events import HANDLED, UNUSED, Event, Outcome, Pointer
from sim.window.kit.screen import Screen

BOARDS = ("negatives", "set-up")  # laid over enlarger and easel


class EnlargerScreen(PaperWork, CardWork, KeyWork, Screen):
    """The dry side of the darkroom."""

    NAME = "enlarger"
    LIGHT = "safelight"
    HELP: ClassVar[dict[str, str]] = HELP
    ACTIONS: ClassVar[tuple[Action, ...]] = ENLARGER_KEYS

    def __init__(self, room: Any):
        super().__init__(room)
        self.hands = Hands()
        self.lamp = Lamp(self)
        self.plan = Planning(self)
        self.opened = ""  # "", "numbers", "negatives" or "set-up"
        self.dials = False
        self.area = Rect(0, 0, 1, 1)
        self.arrows_held = {}
        self._still = StillLayer()
        self._copied = False  # everything was copied since the lamp went on

    @property
    def darkroom(self) -> Any:
        """The darkroom."""
        return self.room.darkroom

    def words(self, message: str, **values: object) -> str:
        """Return a text in the language of the window."""
        return self.room.words.text(message, **values)

    def build(self) -> None:
        """Make the parts, in the order of the Tab key: enlarger, easel, cards, timer, lens, pages, boards."""
        now = self.darkroom.desk.now
        self.dials = now.filter == "none" and bool(now.yellow or now.magenta)
        self.enlarger, self.easel, self.rack = EnlargerPart(self), EaselPart(self), RackPart(self)
        self.timer, self.lens, self.paper_page = TimerPart(self), LensPart(self), PaperPage(self)
        self.strip, self.cards, self.plan_page = StripPage(self), CardsPage(self), PlanPage(self)
        self.pages, self.numbers = Pages(self), NumbersPart(self)
        self.negatives, self.set_up = NegativesPart(self), SetUpPart(self)
        self.parts = (
            self.enlarger, self.easel, self.rack, self.timer, self.lens, self.pages, self.numbers, self.negatives, self.set_up,
        )  # fmt: skip
        for part in self.parts:
            part.build()
        self.easel.probe_mm = (now.sheet_width_mm / 2, now.sheet_height_mm / 2)

    def layout(self, area: Rect) -> None:
        """Enlarger at the left, easel in the middle as large as can be, timer and pages at the right."""
        self.area, px, self._copied = area, self.room.px, False
        wide = area.w > px(1250)
        inner = inset(area, px(10))
        right, rest = cut_right(inner, px(330 if wide else 312), px(12))
        self.boards = rest
        left, middle = cut_left(rest, px(244 if wide else 214), px(10))
        self.enlarger.layout(left)
        self.numbers.layout(left)
        rack, easel = cut_bottom(middle, px(94), px(8))
        self.rack.layout(rack)
        self.easel.layout(easel)
        self._layout_right(right)
        for board in (self.negatives, self.set_up):
            board.layout(rest)
        self.refresh()

    def _layout_right(self, right: Rect) -> None:
        px, look = self.room.px, self.room.look
        timer, rest = cut_top(right, self.timer.height(), px(10))
        self.timer.layout(timer)
        lens, rest = cut_top(rest, self.lens.aperture.wanted(look)[1], px(12))
        self.lens.layout(lens)
        self.pages.layout(rest)

    def open(self, name: str) -> Outcome:
        """Open a board or the numbers, or close what is open."""
        self.opened = "" if name == self.opened else name
        if self.opened == "negatives":
            self.negatives.opened()
        self.refresh()
        return HANDLED

    def refresh(self) -> None:
        """Copy the darkroom's state into everything that is shown."""
        if self.lamp.on and self._copied:  # nothing at the enlarger can be moved now; only seconds go on
            for part in (self.timer, self.cards, self.numbers):
                if part.shown:
                    part.refresh()
            return
        self._copied = self.lamp.on
        over = self.opened in BOARDS
        self.enlarger.show(not over and self.opened != "numbers")
        self.numbers.show(self.opened == "numbers")
        self.easel.show(not over)
        self.rack.show(not over)
        self.negatives.show(self.opened == "negatives")
        self.set_up.show(self.opened == "set-up")
        for part in self.parts:
            if part.shown:
                part.refresh()

    def handle(self, event: Event) -> Outcome:
        """As every place, but a hand that only moves over the easel changes nothing that would have to be copied anew."""
        board = self.easel.board
        moved = isinstance(event, Pointer) and event.kind == "move"
        over = moved and self.control_at(event.pos) is board
        if moved and not over:
            self.card_away()
        if not over or self._captured not in (None, board):
            self._copied = False
            return super().handle(event)
        outcome = self._pointer(event)
        for part in (self.numbers, self.paper_page):
            if part.shown:
                part.refresh()
        return outcome

    def update(self, dt_s: float) -> Outcome:
        """Let time pass: drags are carried out, the lamp burns, the easel is looked at."""
        outcome = self.lamp.update(dt_s, {"real": 1.0, "fast": 4.0}.get(self.timer.speed, 1.0)) if self.lamp.on else UNUSED
        held = bool(self.arrows_held)
        moved = self.room.guarded(lambda: self._apply_drags(dt_s))
        seen = self.room.guarded(lambda: self._look(dt_s))
        return next((one for one in (outcome, moved, seen) if one.say), HANDLED if outcome.handled or held else UNUSED)

    def _apply_drags(self, dt_s: float) -> Outcome:
        self.move_on(dt_s)
        self.enlarger.apply()
        return self.apply_place()

    def _look(self, dt_s: float) -> Outcome:
        if self.easel.shown:
            self.easel.update(dt_s)
        return HANDLED

    def entered(self) -> None:
        """Back from another place: the easel is looked at anew."""
        self.easel.forget()
        self.refresh()

    def left(self) -> None:
        """Whatever is in hand is hung back; a lamp that is on goes off."""
        super().left()
        self.hands = self.hands.put_back()
        if self.lamp.on:
            self.darkroom.paper.end()

    def draw(self, canvas: Canvas) -> None:
        """Wall, parts, controls. While the lamp is on, what stands still is taken from the frame before."""
        if not self.lamp.on or self._captured is not None:
            self._paint(canvas, self.controls)
            return
        moving = self._moving()
        still = [control for control in self.controls if control not in moving]
        self._still.draw(canvas, self.area, self._still_key(still), lambda c: self._paint(c, still, self.timer))
        self.timer.draw(canvas)
        for control in moving:
            if control.visible:
                self.draw_control(canvas, control)

    def _moving(self) -> list[Control]:
        """Return the controls that show the lamp's light, its seconds, or a card in hand."""
        return [self.easel.board, self.rack.rack, *self.timer.controls, *self.cards.controls, *self.numbers.controls]

    def _still_key(self, still: list[Control]) -> object:
        shown = tuple((c.id, c.value, c.label, c.why_not, c.hot, c.rect.topleft) for c in still if c.visible)
        held = self.hands.over_easel
        where = (self.opened, self.pages.open, self.focus and self.focus.id, self.focus_shown, held and held.card_height_mm)
        numbers = self.hands.edited.name if self.opened == "numbers" and self.hands.edited else ""
        return (self.area.size, self.room.look, self.darkroom.desk.now, self.darkroom.sheets_left, where, numbers, shown)

    def _paint(self, canvas: Canvas, controls: list[Control], without: Part | None = None) -> None:
        size = self.area.size
        wall = canvas.look.keep(("wall", size), lambda: pool_of_light(canvas.look, size, (0.47, 0.30)))
        canvas.surface.blit(wall, self.area)
        before = canvas.surface.get_clip()
        canvas.surface.set_clip(self.area.clip(before))  # stray light stays at this place
        for part in self.parts:
            if part.shown and part is not without:
                part.draw(canvas)
        canvas.surface.set_clip(before)
        for control in controls:
            if control.visible:
                self.draw_control(canvas, control)
