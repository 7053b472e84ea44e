"""The head on its column: drawn from the side, taken by lamp house or carriage, its height typed at the arrow."""

from __future__ import annotations

import math
from collections.abc import Callable

import pygame
from pygame import Rect

from sim.window.hands.thing import Gesture
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.kit.look import Look
from sim.window.standing.room import OneRoom
from sim.window.things.carrier import open_drawer
from sim.window.things.head_drawing import EnlargerPlan, EnlargerState, bellows_rect, draw_enlarger, head_rect, plan_of
from sim.window.things.in_room import InRoom, Knob

Where = Callable[[Look, EnlargerPlan, EnlargerState], Rect]

STEP_MM, FINE_MM = 5.0, 1.0
RING_STEP_MM, RING_FINE_MM = 0.2, 0.05  # a notch that is seen under the loupe, and with Shift one that is just seen (by eye)
TURN_MM = 1.2  # of the negative for one whole turn of the knob
SEEN_TURN_MM = 1.2


class Head(Knob):
    """Drag the head by its carriage: the picture grows and goes out of focus until the knob is turned."""

    control, cursor = "height_mm", "updown"

    def __init__(self, room: OneRoom):
        super().__init__(room, "head")
        self.area = Rect(0, 0, 1, 1)

    def plan(self) -> EnlargerPlan:
        """Return where the parts stand now."""
        found = self.room.control("height_mm")
        return plan_of(self.room.look, self.area, found.low or 0.0, found.high or 1000.0)

    def state(self) -> EnlargerState:
        """Return what the drawing needs to know."""
        room = self.room.darkroom
        now, found = room.desk.now, self.room.control("height_mm")
        card = self.room.standing.card
        lamp = "off" if not room.easel.lit else ("red" if now.red_filter else "white")
        return EnlargerState(
            now.height_mm, found.low or 0.0, found.high or 1000.0, now.ring_mm, room.desk.image_size_mm[0], lamp,
            now.red_filter, now.opal_sheet, now.contact, card.card_height_mm if card and card.over else None, self.hot,
        )  # fmt: skip

    def lay_out(self) -> None:
        """Follow the carriage."""
        self.rect = head_rect(self.room.look, self.plan(), self.state()).clip(self.area)

    def now(self) -> str:
        """How high it stands."""
        return f"{self.room.darkroom.desk.now.height_mm:.0f} mm"

    def press(self, at: Pointer) -> Gesture | None:
        """Take it by the carriage."""
        plan, stood = self.plan(), self.room.darkroom.desk.now.height_mm

        def move(dx: int, dy: int) -> None:
            height = stood - dy / max(1e-6, plan.px_per_mm)
            self.set(round(min(plan.high_mm, max(plan.low_mm, height)), 1))

        return self.dragged(at, move)

    def pressed(self) -> None:
        """A mere touch opens the drawer: the negative lies in the head."""
        open_drawer(self.room)

    def _by(self, mm: float) -> None:
        plan = self.plan()
        now = self.room.darkroom.desk.now.height_mm
        self.set(round(min(plan.high_mm, max(plan.low_mm, now + mm)), 1))

    def turned(self, steps: int, fine: bool) -> bool:
        """The wheel cranks it."""
        self._by(steps * (FINE_MM if fine else STEP_MM))
        return True

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """Up and down crank it."""
        if down:
            self._by(-down * (FINE_MM if fine else STEP_MM))
        return bool(down)

    def draw(self, canvas: Canvas) -> None:
        """Draw the whole enlarger; knob and red filter hang on it."""
        draw_enlarger(canvas, self.plan(), self.state())


class FocusKnob(Knob):
    """The knob beside the bellows. It has no scale: one looks at the grain under the loupe."""

    control, cursor = "focus_offset_mm", "grab"

    def __init__(self, room: OneRoom, head: Head):
        super().__init__(room, "focus")
        self._head = head

    def lay_out(self) -> None:
        """Hang beside the bellows."""
        look = self.room.look
        bellows = bellows_rect(look, self._head.plan(), self._head.state())
        self.rect = Rect(0, 0, look.px(40), look.px(40))
        self.rect.midleft = (bellows.right - look.px(6), bellows.centery)
        self.rect.clamp_ip(self._head.area)

    def _to(self, offset_mm: float) -> None:
        self.set(round(min(5.0, max(-5.0, offset_mm)), 3))

    def press(self, at: Pointer) -> Gesture | None:
        """Turned like a knob: round its middle, or simply along."""
        stood = self.room.darkroom.desk.focus_offset_mm
        turn_px = self.room.px(120)

        def move(dx: int, dy: int) -> None:
            self._to(stood + (dx - dy) / turn_px * TURN_MM)

        return self.dragged(at, move)

    def by(self, steps: int, fine: bool) -> bool:
        """It turns."""
        self._to(self.room.darkroom.desk.focus_offset_mm + steps * (RING_FINE_MM if fine else RING_STEP_MM))
        return True

    def draw(self, canvas: Canvas) -> None:
        """A milled knob with a white line that goes round as it is turned; no number stands at it."""
        look, surface, middle = canvas.look, canvas.surface, self.rect.center
        radius = self.rect.w // 2 - look.px(3)
        pygame.draw.circle(surface, look.colour("shade"), (middle[0], middle[1] + look.px(2)), radius + look.px(1))
        pygame.draw.circle(surface, look.colour("raised"), middle, radius)
        for k in range(24):
            angle = 2 * math.pi * k / 24 + self.room.darkroom.desk.now.ring_mm / SEEN_TURN_MM * 2 * math.pi
            x, y = math.cos(angle), math.sin(angle)
            inner = radius - look.px(4)
            ends = [(middle[0] + x * r, middle[1] + y * r) for r in (inner, radius)]
            pygame.draw.aaline(surface, look.colour("soft" if k == 0 else "edge"), ends[0], ends[1])
        angle = self.room.darkroom.desk.now.ring_mm / SEEN_TURN_MM * 2 * math.pi
        at = (middle[0] + math.cos(angle) * radius * 0.6, middle[1] + math.sin(angle) * radius * 0.6)
        pygame.draw.line(surface, look.colour("lamp"), middle, at, max(2, look.px(2)))
        pygame.draw.circle(surface, look.colour("soft" if self.hot else "edge"), middle, radius, max(1, look.px(1)))


class OnAnArm(InRoom):
    """What hangs on an arm under the lens: touched, it swings into the light, or aside."""

    def __init__(self, room: OneRoom, head: Head, id: str, control: str, where: Where):
        super().__init__(room, id)
        self._head, self._where, self.control = head, where, control

    def lay_out(self) -> None:
        """Hang under the lens."""
        self.rect = self._where(self.room.look, self._head.plan(), self._head.state()).clip(self._head.area)

    @property
    def inside(self) -> bool:
        """Whether it is in the light."""
        return bool(getattr(self.room.darkroom.desk.now, self.control))

    def now(self) -> str:
        """In the light, or beside it."""
        return self.room.line("in the light" if self.inside else "swung aside")

    def pressed(self) -> None:
        """Swing it."""
        self.swing(not self.inside)

    def swing(self, inside: bool) -> None:
        """Swing it in, or aside; where it is already, nothing happens."""
        if inside is not self.inside:
            self.room.darkroom.desk.set(self.control, inside)
            self.room.sounds.play("tongs")

    def draw(self, canvas: Canvas) -> None:
        """It is drawn with the head; a hand over it brightens the edge."""
        if self.hot:
            pygame.draw.rect(canvas.surface, canvas.look.colour("soft"), self.rect, 1, border_radius=canvas.look.px(4))
