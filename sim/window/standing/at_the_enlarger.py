"""The enlarger: column, lens, filters and timer at the left; the easel, which fills what is left of the window."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from pygame import Rect, Surface

from sim.notebook.exposure_plan import PlannedExposure
from sim.refusals import Refused
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_bottom, cut_left, cut_right, cut_top, inset
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer
from sim.window.standing.place import Acts, Place
from sim.window.standing.room import OneRoom
from sim.window.things import easel_drawing
from sim.window.things.blades import Blades
from sim.window.things.card_drawing import draw_seconds_round, seconds_rect
from sim.window.things.carrier import CarrierLabel
from sim.window.things.easel import Easel
from sim.window.things.filters import Dial, FilterBox, stamped
from sim.window.things.head import FocusKnob, Head, OnAnArm
from sim.window.things.head_drawing import opal_rect, red_rect
from sim.window.things.in_room import Tag, placed
from sim.window.things.lens_ring import LensRing
from sim.window.things.loupe import Loupe
from sim.window.things.meter import Meter
from sim.window.things.paper_box import Bin, PaperBox, StripEnvelope
from sim.window.things.plan_strip import PlanStrip
from sim.window.things.rack import Rack
from sim.window.things.strip_card import StripCard
from sim.window.things.timer import Coming, Foot, Timer
from sim.window.things.way_on import WayOn

LEFT, BOTTOM, RACK, GAP = 232, 84, 54, 8
NARROW_LEFT, LOW_BOTTOM = 186, 64
LEAST_FILM = 140  # logical units for a frame of the plan and its open end


class AtTheEnlarger(Place):
    """The dry side."""

    id = "enlarger"

    def __init__(self, room: OneRoom):
        super().__init__(room)
        self.easel = Easel(room)
        self.head = Head(room)
        self.focus = FocusKnob(room, self.head)
        self.red = OnAnArm(room, self.head, "red filter", "red_filter", red_rect)
        self.opal = OnAnArm(room, self.head, "opal sheet", "opal_sheet", opal_rect)
        self.ring, self.filters = LensRing(room), FilterBox(room)
        self.yellow = Dial(room, "yellow", (226, 190, 60))
        self.magenta = Dial(room, "magenta", (196, 40, 120))
        self.timer = Timer(room)
        self.foot_plate = Foot(room, lambda: self.step_on_foot(Key("space")), self.timer)
        self.box, self.strips, self.bin = PaperBox(room, self.easel), StripEnvelope(room, self.easel), Bin(room)
        self.blades, self.rack = Blades(room, self.easel), Rack(room, self.easel)
        self.loupe, self.meter = Loupe(room, self.easel, self.focus), Meter(room, self.easel)
        self.plan, self.strip = PlanStrip(room), StripCard(room, self.easel)
        self.timer.to_come, self.plan.waits = self._to_come, self._strip_first
        self.way_on = WayOn(room, lambda: self._to_come() is not None)
        self.height = Tag(room, "height", self._height_said, self._height_typed, "small", "height_mm", self.head)
        self.carrier = CarrierLabel(room)
        self.begun: float = 0.0  # what the lamp was last switched on for; who lets time pass asks
        self.started = False
        self.stopped = False
        self.board = Rect(0, 0, 1, 1)
        self._under_seconds: tuple[Rect, Surface] | None = None  # what lies under the seconds round the card

    def _height_said(self) -> str:
        return f"{self.room.darkroom.desk.now.height_mm:.0f} mm"

    def _height_typed(self, mm: float) -> None:
        self.room.darkroom.desk.set("height_mm", mm)

    def things(self) -> Sequence[Thing]:
        """Return everything, from below to above."""
        left: list[Thing] = [] if self.room.standing.whole else [
            self.head, self.height, self.focus, self.red, self.opal, self.ring, self.filters, self.yellow, self.magenta,
            self.timer, self.timer.seconds, self.foot_plate,
        ]  # fmt: skip
        return [
            self.easel, self.blades, *left, self.box, self.strips, self.bin, *self.plan.frames, self.plan.add,
            *self.strip.things, *self.rack.hooks, self.rack.scissors, self.carrier, self.way_on, self.meter, self.loupe,
        ]  # fmt: skip

    def kept_clear(self) -> list[Rect]:
        """Everything that can be touched, and the easel."""
        return [*super().kept_clear(), self.easel.rect.inflate(self.room.px(10), self.room.px(10))]

    def lay_out(self, area: Rect) -> None:
        """The enlarger at the left, the board as large as may be; ``whole`` gives it everything."""
        px = self.room.px
        self.area = area
        small = area.w < px(900) or area.h < px(560)
        left, self.board = (
            cut_left(area, px(NARROW_LEFT if small else LEFT)) if not self.room.standing.whole else (Rect(0, 0, 0, 0), area)
        )
        self.easel.board = self.board
        inner = inset(self.board, px(GAP), px(6))
        row, inner = cut_bottom(inner, px(LOW_BOTTOM if small else BOTTOM), px(6))
        rack, inner = cut_right(inner, px(RACK), px(6))
        self.easel.lay_out(inner)
        if self.room.lesson is not None:  # what room there is beside the easel lies at one side, for what the lesson says
            easel = self.easel.rect
            self.easel.lay_out(Rect(inner.right - easel.w - px(8), inner.y, easel.w, inner.h))
        self.carrier.lay_out(inner, self.easel.rect)
        if self.carrier.rect.colliderect(self.easel.rect):  # no room beside the easel: the slip stands above it
            self.easel.lay_out(cut_top(inner, self.carrier.rect.h, px(8))[1])
        self.blades.lay_out()
        self._lay_out_row(row, rack)
        if left.w:
            self._lay_out_left(inset(left, px(GAP), px(6)))
        self.strip.lay_out(inner, self.easel.rect)

    def _lay_out_row(self, row: Rect, rack: Rect) -> None:
        """Box, strips and bin beside the film of the plan; loupe and meter under the rack."""
        px = self.room.px
        x = row.x
        for thing, wide in ((self.box, 84), (self.strips, 54), (self.bin, 40)):
            thing.rect = Rect(x, row.y, px(wide), row.h)
            x += px(wide + 10)
        self.bin.rect = Rect(self.bin.rect.x, row.bottom - px(58), px(40), px(40))
        wide, tall = self.way_on.wanted() if self.way_on.there else (0, 0)
        end = row.right - px(2 * 50 + 12)
        tight = wide > 0 and end - wide - x < px(LEAST_FILM)  # it stands in place of loupe and meter, idle over paper
        if tight:
            (wide, tall), end = self.way_on.bare(), row.right
        self.way_on.rect = Rect(end - wide, row.y + (row.h - tall) // 2, wide, tall)
        self.plan.lay_out(Rect(x, row.y, max(px(80), end - wide - (px(10) if wide else 0) - x), row.h))
        shelf = [Rect(row.right - px(50) * n, row.y + (row.h - px(46)) // 2, px(46), px(46)) for n in (2, 1)]
        self.loupe.lay_out(Rect(0, 0, 0, 0) if tight else shelf[0])
        self.meter.lay_out(Rect(0, 0, 0, 0) if tight else shelf[1])
        self.rack.lay_out(rack)

    def _lay_out_left(self, left: Rect) -> None:
        px, look = self.room.px, self.room.look
        foot, left = cut_bottom(left, look.line_height() + px(14), px(8))
        self.foot_plate.rect = foot
        timer, left = cut_bottom(left, look.line_height("figure") + look.line_height("small") + px(24), px(10))
        self.timer.lay_out(timer)
        filters, left = cut_bottom(left, px(40), px(14))
        dials = self._dials()
        half = (filters.w - px(6)) // 2
        nothing = Rect(0, 0, 0, 0)
        self.filters.rect = nothing if dials else filters
        self.yellow.rect = Rect(filters.x, filters.y, half, filters.h) if dials else nothing
        self.magenta.rect = Rect(filters.right - half, filters.y, half, filters.h) if dials else nothing
        ring, left = cut_bottom(left, px(58), px(6))
        self.ring.rect = ring
        self.head.area = left
        self.head.lay_out()
        self.focus.lay_out()
        self.red.lay_out()
        self.opal.lay_out()
        plan, state = self.head.plan(), self.head.state()
        placed(self.height, "midleft", (plan.column_x + px(16), plan.y_of(state.height_mm)), left)

    def _dials(self) -> bool:
        """Whether the light is coloured by the head's dials: they are turned, or the head has nothing else."""
        now = self.room.darkroom.desk.now
        return now.yellow > 0.0 or now.magenta > 0.0

    def update(self, dt_s: float) -> bool:
        """Look at the easel, through the loupe, at the meter; let the filter swing in."""
        self.strip.update(dt_s)
        if self.easel.cut is not None:
            self.rack.keep_cut()
        self.rack.remember_turn()
        moved = self.filters.update(dt_s)
        moved = self.easel.update(dt_s) or moved
        moved = self.loupe.update() or moved
        return self.meter.update() or moved

    def draw(self, canvas: Canvas) -> None:
        """From the board up to the loupe."""
        easel_drawing.draw_baseboard(canvas, self.board)
        self.easel.draw(canvas)
        self.blades.draw(canvas)
        self.plan.draw_film(canvas)
        self.rack.draw_rail(canvas)
        for thing in self.things():
            if thing.shown and thing not in (self.easel, self.blades):
                thing.draw(canvas)
        self._under_seconds = None
        self._draw_seconds(canvas)
        for box in (self.box, self.strips):
            box.draw_dragged(canvas)

    def draw_in_the_light(self, canvas: Canvas) -> list[Rect]:
        """Draw only what moves while the lamp burns, over the frame before; returns where."""
        surface, view, before = canvas.surface, self.easel.rect, self._under_seconds
        dirty = [view.copy()]
        if before is not None:
            surface.blit(before[1], before[0])
            dirty.append(before[0])
        surface.set_clip(view)
        self.easel.draw_view(canvas)
        for thing in (self.carrier, self.meter, self.loupe):
            if thing.shown and thing.rect.colliderect(view):
                thing.draw(canvas)
        surface.set_clip(None)
        if not self.room.standing.whole:
            self.timer.draw(canvas)
            self.timer.seconds.draw(canvas)
            dirty.append(self.timer.rect.copy())
        self._draw_seconds(canvas)
        if self._under_seconds is not None:
            dirty.append(self._under_seconds[0])
        return dirty

    def _draw_seconds(self, canvas: Canvas) -> None:
        """The seconds left stand where the eye is: at the card in the hand, else in the easel's corner."""
        paper, card = self.room.darkroom.paper, self.easel.held()
        if not paper.exposing:
            return
        px = canvas.look.px
        at = (self.easel.rect.right - px(40), self.easel.rect.y + px(40))
        if card is not None and card.over:
            x, y = self.easel.plan.to_px(card.x_mm, card.y_mm)
            if self.easel.rect.collidepoint(x, y):
                at = (x + px(58), y - px(58))
        place = seconds_rect(canvas.look, at).clip(canvas.surface.get_rect())
        self._under_seconds = (place, canvas.surface.subsurface(place).copy())
        draw_seconds_round(canvas, at, paper.left_s, paper.left_s + paper.elapsed_s)

    def hand_moved(self, at: Pointer) -> None:
        """A card in the hand goes with it, and so does the loupe."""
        self.easel.follow(at)
        self.loupe.follow(at.pos)

    def foot(self, key: Key) -> None:
        """The foot: with Shift the lamp goes out before its time."""
        self.step_on_foot(key)

    def step_on_foot(self, key: Key) -> None:
        """Over paper the foot starts an exposure; without paper, or through the red filter, it switches the lamp."""
        darkroom = self.room.darkroom
        paper, desk = darkroom.paper, darkroom.desk
        if paper.exposing:
            self.stopped = key.shift
            if not key.shift:
                self.room.say("lamp burns on", holds=lambda: self.room.burning)
            return
        if paper.piece is None or desk.now.red_filter:
            desk.set("focus_light", not desk.now.focus_light)
            self.room.sounds.play("relay")
            if paper.piece is not None:
                self.room.say("red over paper", holds=self._red_over_paper)
            return
        self._expose()

    def _strip_first(self) -> bool:
        """Whether the foot gives the steps of a strip before anything of the plan."""
        return self.strip.fresh or self.room.darkroom.paper.strip_to_come is not None

    def _to_come(self) -> Coming | None:
        """Return what the foot gives next where that is not the timer's time: of a strip, else the plan's next exposure."""
        paper, line = self.room.darkroom.paper, self.room.line
        if paper.piece is None:
            return None
        steps = paper.strip_to_come
        if steps is not None and not self.strip.fresh:
            return Coming(steps.exposures[steps.given].time_s, line("comes step", n=steps.given + 1, all=len(steps.exposures)))
        if self.strip.fresh:
            seconds, lights = self.strip.first_light()
            return Coming(seconds, line("comes strip") if lights == 1 else line("comes step", n=1, all=lights))
        wanted = self.plan.next()
        if wanted is None:
            return None
        return Coming(wanted.time_s, line("comes plan", filter=stamped(wanted.filter)))

    def _red_over_paper(self) -> bool:
        paper, desk = self.room.darkroom.paper, self.room.darkroom.desk
        return paper.piece is not None and desk.now.red_filter

    def _expose(self) -> None:
        darkroom = self.room.darkroom
        paper, desk, wanted = darkroom.paper, darkroom.desk, self.plan.next()
        if self.plan.whole:
            raise Refused(self.room.line("plan given"))
        drawn_on = self.strip.fresh and self.strip.meant.way == "covered"
        if self.strip.fresh and not drawn_on:
            self.strip.lay()
        steps = paper.strip_to_come
        if drawn_on:
            self.opal.swing(False)
            self.begun = self.strip.begin()
        elif steps is not None:
            self.opal.swing(steps.exposures[steps.given].through == "open")
            self.begun = paper.begin_next_of_strip(self.easel.poses())
        elif wanted is not None:
            self._swing_in(wanted)
            paper.begin_next_of_plan()
            self.begun = wanted.time_s
        else:
            self.begun = desk.now.time_s
            paper.begin_exposure()
        self.started = True
        self.room.messages.done()
        if paper.hands_wait:
            self.room.say("base of burn", holds=lambda: self.room.burning)

    def _swing_in(self, wanted: PlannedExposure) -> None:
        """Bring filter, lens and opal sheet to what a planned exposure asks for, where one would see it done."""
        desk = self.room.darkroom.desk
        if desk.now.f_number != wanted.f_number:
            desk.set("f_number", wanted.f_number)
        if desk.now.filtration.name != wanted.filter and wanted.filter in desk.control("filter").choices:
            desk.set("filter", wanted.filter)
            self.room.sounds.play("tongs")
        self.opal.swing(wanted.through == "open")

    def acts(self) -> Acts:
        """Keys of the dry side."""
        return {
            **{str(n): partial(self._card, n - 1) for n in range(1, 10)}, "0": lambda: self.room.stand(card=None),
            "backspace": lambda: self.room.stand(card=None), "return": self._pull, "s": self.box.pressed,
            "t": self.strips.pressed, "r": self.room.darkroom.paper.turn, "g": self.loupe.pressed, "m": self.meter.pressed,
            "h": self.meter.keep_tone, "x": self.rack.scissors.pressed, "a": self.plan.append, "b": self.carrier.pressed,
            "d": self.red.pressed, "o": self.opal.pressed, "delete": self.bin.pressed,
        }  # fmt: skip

    def _card(self, number: int) -> None:
        card = self.rack.card(number)
        if card is not None:
            why = self.rack.hooks[number].locked()
            if why:
                raise Refused(why)
            self.rack.take(card)

    def _pull(self) -> None:
        """Enter under the lamp draws the covering card on; after the light it takes the paper into the developer."""
        if self.way_on.there:
            self.way_on.pressed()
        elif self.room.darkroom.paper.being_covered is not None and self.room.burning:
            self.room.darkroom.paper.cover_next_step()
            self.room.sounds.play("tongs")

    def left(self) -> None:
        """A card is hung up before one walks; paper stays where it lies, and a burning lamp burns on."""
        self.room.stand(card=None)
        self.easel.cutting, self.loupe.in_hand = None, False
