"""The trays: the sink fills the window, the clock hangs over it, the sheet in hand waits at its side."""

from __future__ import annotations

from collections.abc import Sequence

from pygame import Rect

from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_bottom, inset
from sim.window.kit.canvas import Canvas
from sim.window.standing.place import Acts, Place
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Plate
from sim.window.things.tray_clock import SheetInHand, TrayClock
from sim.window.things.trays import Trays, clock

CLOCK, HAND = 132, 150


class AtTheTrays(Place):
    """The wet side."""

    id = "trays"

    def __init__(self, room: OneRoom):
        super().__init__(room)
        self.trays = Trays(room)
        self.clock, self.hand = TrayClock(room), SheetInHand(room, self.trays.put_in)
        self.hang = Plate(room, "hang up", self.trays.hang_up)
        self.hang.words, self.hang.why = self._hang_words, self._hang_why
        self.to_wall = Plate(room, "to the wall", self.trays.to_the_wall)
        self.fresh = Plate(room, "pour fresh", self.trays.pour_fresh)
        self._cautions = Rect(0, 0, 1, 1)

    def _hang_words(self) -> str:
        """In the developer the set time is said where it is short of the paper's own, and one's own doing."""
        tray = self.room.darkroom.tray
        if not tray.set_short or self._hang_why():
            return self.room.name("hang up")
        waits = tray.seconds < tray.wanted_s
        return self.room.line("hang up after", whole=clock(tray.wanted_s)) if waits else self.room.line("hang up now")

    def _hang_why(self) -> str:
        """In a lesson that gives the developer too short a time, nothing takes the sheet out but a hand."""
        short = self.room.lesson is not None and self.room.darkroom.tray.set_short
        return self.room.line("lift it yourself") if short else ""

    def things(self) -> Sequence[Thing]:
        """Return everything, from below to above."""
        return [self.trays, self.hand, self.clock, self.hang, self.to_wall, self.fresh]

    def lay_out(self, area: Rect) -> None:
        """What one minds at any tray stands below the sink; clock and plates at its right, the hand at its lower left."""
        px, look = self.room.px, self.room.look
        self.area = area
        words = look.wrapped(self.room.line("cautions"), area.w - 2 * px(14), "small")
        self._cautions, sink = cut_bottom(area, len(words) * look.line_height("small") + px(8))
        self.trays.rect = sink
        self.clock.lay_out(sink.right - px(8), sink.y + px(8), px(CLOCK) if area.h > px(460) else px(96))
        side = min(px(HAND), sink.h // 3)
        self.hand.rect = Rect(sink.x + px(16), sink.bottom - side - px(34), side, side)
        tray = self.room.darkroom.tray
        stage, pour = tray.stage, tray.stage == "" and tray.tired
        for plate, there in ((self.hang, stage not in ("", "dry")), (self.to_wall, stage == "dry"), (self.fresh, pour)):
            wide, tall = plate.wanted()
            place = Rect(sink.right - wide - px(16), sink.bottom - tall - px(34), wide, tall)
            plate.rect = place if there else Rect(0, 0, 0, 0)

    def entered(self) -> None:
        """Paper that was carried over to go in slides in; else, with paper in the hand, it is said how it gets there."""
        carried, self.room.slides_in = self.room.slides_in, False
        if carried and self.room.guarded(self.trays.put_in):
            return
        if self.hand.shown:
            self.room.say("slide in", holds=lambda: self.hand.shown and self.room.standing.place == "trays")

    def kept_clear(self) -> list[Rect]:
        """Return what one looks at here: the sheet, what can be pressed, the trays' names, and what one minds."""
        sink, high = self.trays.rect, self.room.look.line_height("strong") + self.room.px(12)
        names = Rect(sink.x, sink.bottom - high, sink.w, high)
        return [*super().kept_clear(), *self.trays.sheet_rect(), names, self._cautions]

    def update(self, dt_s: float) -> bool:
        """Let the sheet come up."""
        return self.trays.update(dt_s)

    def draw(self, canvas: Canvas) -> None:
        """The sink, the things over it, and below it what one minds at any tray."""
        for thing in self.things():
            if thing.shown:
                thing.draw(canvas)
        canvas.plate(self._cautions, "", radius=0)
        canvas.lines(self.room.line("cautions"), inset(self._cautions, canvas.look.px(14), canvas.look.px(4)), "small", "soft")

    def acts(self) -> Acts:
        """Keys of the wet side."""
        return {
            "return": self.trays.pressed, "k": self.hang.pressed, "r": lambda: self.trays.turned(1, False),
            "x": self.clock.pressed, "d": self.fresh.pressed,
        }  # fmt: skip
