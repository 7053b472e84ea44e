"""The timer: seconds to be given, seconds left while it runs, and how many stops they are from the exposure before."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pygame
from pygame import Rect

from sim.control_ranges import CONTROLS
from sim.notebook.exposure_plan import PlannedExposure
from sim.quantities import exact_f_number, factor_to_stops
from sim.window.hands.thing import Gesture
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Key, Pointer
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import InRoom, Knob, Tag

if TYPE_CHECKING:
    from sim.bench.dry_side import SetUp

STEP_STOPS, FINE_STOPS = 1 / 6, 1 / 24  # one notch of its wheel: a printer thinks of time in stops
TIMER = CONTROLS["time_s"]
TURN_STOPS = 3.0


@dataclass(frozen=True)
class Coming:
    """What the foot gives next, where that is not the dialled time: its seconds, and what it is in words."""

    seconds: float
    words: str


def light_of(now: SetUp) -> tuple[object, ...]:
    """Return all that a meter's seconds hang on: another negative, paper, size or light, and they are not its any more."""
    return (
        now.negative, now.paper, now.head, now.lens, now.height_mm, now.contact, now.f_number, now.filtration, now.opal_sheet,
        now.development_time_s, now.temperature_c, now.time_s,
    )  # fmt: skip


class Seconds(Tag):
    """The number on the face: while the keyboard works it, the ring stands round the whole face."""

    def draw_focus(self, canvas: Canvas) -> None:
        """So that it cuts no words."""
        canvas.focus_ring((self.of or self).rect)


class Timer(Knob):
    """Turn its face by stops, or type the seconds. It shows what is left while the lamp burns."""

    control, cursor = "time_s", "grab"

    def __init__(self, room: OneRoom):
        super().__init__(room, "timer")
        self.last: PlannedExposure | None = None  # the last light a sheet had through the negative, a burn's too
        self.to_come: Callable[[], Coming | None] = lambda: None  # what the foot gives next, where that is not the dial's time
        self._own: tuple[object, str] = (None, "")
        self.seconds = Seconds(room, "seconds", self._said, self.type_seconds, "figure", "time_s", self)

    def _said(self) -> str:
        paper, coming = self.room.darkroom.paper, self.to_come()
        dialled = coming.seconds if coming is not None else self.room.darkroom.desk.now.time_s
        return f"{self.room.number(paper.left_s if paper.exposing else dialled, 1)} s"

    def type_seconds(self, seconds: float) -> None:
        """Set the seconds that were typed, as one step."""
        self.set(seconds, settle=True)

    def now(self) -> str:
        """Seconds, and stops from the last exposure."""
        return "  ".join(filter(None, (self._said(), self.below(), self.own(), self.stops())))

    def below(self) -> str:
        """Say what the number is where it is not the dial's: the plan's next exposure, a strip, a step; and what is dialled."""
        coming = self.to_come()
        if coming is None or self.room.darkroom.paper.exposing:
            return ""
        return self.room.line("dialled", what=coming.words, seconds=self.room.number(self.room.darkroom.desk.now.time_s))

    def stops(self) -> str:
        """Say how many stops of light, seconds and aperture, are dialled from the exposure before; across filters nothing."""
        now, last = self.room.darkroom.desk.now, self.last
        if last is None and light_of(now) == self.room.metered and self.room.lesson is None:
            return self.room.line("by the meter")
        if last is None or last.filter != now.filtration.name:
            return ""
        aperture = exact_f_number(last.f_number) / exact_f_number(now.f_number)
        stops = factor_to_stops(now.time_s / last.time_s * aperture**2)
        if abs(stops) < 0.02:
            return self.room.line("as last")
        return self.room.line("stops from last", stops=("+" if stops > 0 else "") + self.room.number(stops, 2))

    def own(self) -> str:
        """Say between which seconds nine of ten prints would be right, on an enlarger that one has measured oneself."""
        desk = self.room.darkroom.desk
        if self._own[0] is not desk.now:
            found = desk.own_seconds(PlannedExposure(desk.now.time_s, desk.now.f_number, desk.now.filtration.name).exposure())
            low, high = (self.room.number(s) for s in ((found.low_s, found.high_s) if found else (0.0, 0.0)))
            self._own = (desk.now, self.room.line("own seconds", low=low, high=high) if found else "")
        return self._own[1]

    def lay_out(self, rect: Rect) -> None:
        """The face, and the seconds in its middle."""
        self.rect = rect
        look = self.room.look
        self.seconds.rect = Rect(0, 0, min(rect.w - look.px(8), look.px(150)), look.line_height("figure") + look.px(2))
        self.seconds.rect.midtop = (rect.centerx, rect.y + look.px(3))

    def _to(self, seconds: float) -> None:
        seconds = TIMER.nearest(seconds)
        self.set(round(seconds, 1 if seconds >= 2 else 2))

    def press(self, at: Pointer) -> Gesture | None:
        """Turn the face: to the right is more."""
        stood = self.room.darkroom.desk.now.time_s
        turn = max(1, self.rect.w)
        return self.dragged(at, lambda dx, dy: self._to(stood * 2.0 ** ((dx - dy) / turn * TURN_STOPS)))

    def by(self, steps: int, fine: bool) -> bool:
        """It goes by sixths of a stop."""
        self._to(self.room.darkroom.desk.now.time_s * 2.0 ** (steps * (FINE_STOPS if fine else STEP_STOPS)))
        return True

    def key(self, key: Key) -> bool:
        """A digit while the timer has the focus begins to write."""
        if key.text and key.text in "0123456789." and self.seconds.typed is None:
            self.seconds.pressed()
        return self.seconds.key(key) if self.seconds.typed is not None else False

    @property
    def writing(self) -> bool:
        """Whether its seconds are being typed."""
        return self.seconds.writing

    def left(self) -> None:
        """What was typed is kept."""
        self.seconds.left()

    def draw(self, canvas: Canvas) -> None:
        """A round-cornered face; an arc of sixty seconds runs round it while the lamp burns."""
        look, rect, paper = canvas.look, self.rect, self.room.darkroom.paper
        canvas.plate(rect, "soft" if self.hot else "edge", radius=8)
        coming = self.to_come()
        dialled = coming.seconds if coming is not None else self.room.darkroom.desk.now.time_s
        whole = paper.left_s + paper.elapsed_s if paper.exposing else dialled
        share = paper.left_s / max(0.1, paper.left_s + paper.elapsed_s) if paper.exposing else 1.0
        track = Rect(rect.x + look.px(10), rect.bottom - look.px(9), rect.w - look.px(20), look.px(4))
        pygame.draw.rect(canvas.surface, look.colour("panel"), track, border_radius=look.px(2))
        full = Rect(track.x, track.y, round(track.w * share), track.h)
        pygame.draw.rect(canvas.surface, look.colour("lamp" if paper.exposing else "edge"), full, border_radius=look.px(2))
        for k in range(1, max(1, min(60, math.ceil(whole)))):
            x = track.x + round(track.w * k / whole)
            canvas.line((x, track.y - look.px(3)), (x, track.y), "faint")
        burns = self.room.line("of seconds", whole=self.room.number(paper.left_s + paper.elapsed_s))
        stood = self.room.line("stood at", seconds=self.room.number(self.room.darkroom.desk.now.time_s))
        rests = stood if self.seconds.typed else self.below() or self.own() or self.stops()
        words = burns if paper.exposing else rests
        if rect.h >= look.line_height("figure") + look.line_height("small") + look.px(20):
            at = (rect.centerx, self.seconds.rect.bottom + look.px(1))
            canvas.text(words, at, "small", "soft", "midtop", rect.w - look.px(8), shorten=True)


class Foot(InRoom):
    """The foot switch: Space, or a touch. Over paper it starts the timer, else it switches the lamp."""

    def __init__(self, room: OneRoom, press: object, timer: Timer):
        super().__init__(room, "foot")
        self._press, self._timer = press, timer

    def pressed(self) -> None:
        """Step on it."""
        if callable(self._press):
            self._press()

    def now(self) -> str:
        """What stepping on it does: an order, never a state."""
        darkroom, coming = self.room.darkroom, self._timer.to_come()
        if darkroom.paper.exposing:
            return self.room.line("lamp burns")
        if darkroom.paper.piece is not None and not darkroom.desk.now.red_filter:
            seconds = self.room.number(coming.seconds if coming is not None else darkroom.desk.now.time_s)
            key = "foot flashes" if darkroom.desk.now.opal_sheet else "foot exposes"
            return self.room.line(key, seconds=seconds)
        return self.room.line("foot light off" if darkroom.desk.now.focus_light else "foot light on")

    def about(self) -> str:
        """How it is worked, after what the lamp does now."""
        state = self.room.line("said on" if self.room.darkroom.easel.lit else "said off")
        return f"{state} {super().about()}"

    def _state(self) -> str:
        return self.room.line("lamp is on" if self.room.darkroom.easel.lit else "lamp is off")

    def draw(self, canvas: Canvas) -> None:
        """A ribbed plate, and the lamp that shows whether the enlarger burns."""
        look, rect = canvas.look, self.rect
        lit = self.room.darkroom.easel.lit
        pygame.draw.rect(canvas.surface, look.colour("shade"), rect.move(0, look.px(2)), border_radius=look.px(6))
        pygame.draw.rect(canvas.surface, look.colour("raised"), rect, border_radius=look.px(6))
        for x in range(rect.x + look.px(8), rect.x + look.px(34), look.px(5)):
            canvas.line((x, rect.y + look.px(6)), (x, rect.bottom - look.px(6)), "sunk", 2)
        canvas.lamp((rect.right - look.px(14), rect.centery), look.px(7), lit)
        room = rect.w - look.px(64)
        words, size = self.now(), "body" if look.width(self.now()) <= room else "small"
        canvas.text(words, (rect.x + look.px(40), rect.centery), size, "ink", "midleft", room, shorten=True)
        state, left = self._state(), room - look.width(words, size)  # the lamp's state beside the lamp, small
        if not self.room.burning and look.width(state, "small") + look.px(10) <= left:
            canvas.text(state, (rect.right - look.px(26), rect.centery), "small", "soft", "midright", left)
        edge = "soft" if self.hot else "edge"
        pygame.draw.rect(canvas.surface, look.colour(edge), rect, 1, border_radius=look.px(6))
