"""The wall: prints everywhere, the grey scale on the ledge below them, tools beside it."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect

from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_bottom, stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.standing.place import Acts, Place
from sim.window.standing.room import OneRoom
from sim.window.things.compare import Compare
from sim.window.things.in_room import Plate, flowed
from sim.window.things.tone_thread import ToneThread
from sim.window.things.wall import HungPrint, OnTheWall, WallGround
from sim.window.things.wall_drawing import draw_densitometer, draw_prints, point_px, step_plates
from sim.window.things.wall_tools import ReadOut, StepScale, ViewingLamp, WallLoupe, ledge

SPOT_MM = 3.0


class AtTheWall(Place):
    """Where finished prints are looked at."""

    id = "wall"

    def __init__(self, room: OneRoom):
        super().__init__(room)
        self.wall = OnTheWall(room)
        self.ground, self.scale = WallGround(room, self.wall), StepScale(room, self.wall)
        self.lamp, self.loupe = ViewingLamp(room, self.wall), WallLoupe(room, self.wall)
        self.read_out = ReadOut(room, self.wall, self.scale.now)
        self.this_time, self.as_plan = self.read_out.this_time, self.read_out.as_plan
        self.compare, self.thread = Compare(room, self.wall), ToneThread(room, self.wall)
        self.curve = Plate(room, "curve", self.thread.toggle, lambda: self.thread.open)
        self.curve.id, self.curve.key_of_words = "curve plate", "curve"
        self.plates = [*ledge(room, self.wall, self.loupe, self.compare.turn), self.curve]
        self.ground.step_at = self._step_at
        self.hung: dict[int, HungPrint] = {}
        self._waiting = True

    def things(self) -> Sequence[Thing]:
        """Return everything, from below to above."""
        if self.compare.way:
            return [self.compare, *self.plates, self.lamp]
        prints = [self.hung[pin.number] for pin in self.wall.hanging() if pin.number in self.hung]
        tools = [self.scale, self.lamp, self.loupe, *self.plates, self.thread, self.this_time, self.as_plan]
        return [self.ground, *prints, *tools]

    def _step_at(self, pos: tuple[int, int]) -> tuple[int, float, float] | None:
        """Return strip and point (mm on it) of the step whose seconds stand under a hand, or None."""
        for pin in self.wall.hanging():
            steps = self.wall.prints[pin.number].strip_steps if pin.number in self.wall.prints else ()
            if steps:
                plates = step_plates(self.wall, pin.number, self.wall.rect(pin), self.room.look)
                under = next((s for s, plate in zip(steps, plates) if plate.collidepoint(pos)), None)
                if under is not None:
                    return pin.number, under.x_mm, under.y_mm
        return None

    def kept_clear(self) -> list[Rect]:
        """What can be touched, and what is looked at: prints with captions and seconds, a reading, or what is compared."""
        found = [*super().kept_clear(), self.scale.rect]
        if self.compare.way:
            return [*found, *self.compare.looked_at()]
        prints = [self.wall.with_caption(pin).clip(self.wall.area) for pin in self.wall.hanging()]
        strips = [pin for pin in self.wall.hanging() if self.wall.prints[pin.number].strip_steps]
        look = self.room.look
        seconds = [one for pin in strips for one in step_plates(self.wall, pin.number, self.wall.rect(pin), look)]
        return [*found, *prints, *seconds, self.read_out.rect]

    def lay_out(self, area: Rect) -> None:
        """The ledge below takes two rows: the scale, and the tools."""
        px = self.room.px
        self.area = area
        whole = self.room.standing.whole
        _, rest = cut_bottom(area, 0 if whole else self._lay_out_tools(area) + px(10))
        scale, rest = cut_bottom(rest, 0 if whole else px(54), 0)
        self.wall.area = self.ground.rect = rest
        nothing = Rect(0, 0, 0, 0)
        self.scale.rect = nothing if whole else scale.inflate(-px(24), -px(6))
        for thing in (*self.plates, self.loupe, self.lamp) if whole else ():
            thing.rect = nothing
        self.wall.look()
        for pin in self.wall.hanging():
            hung = self.hung.setdefault(pin.number, HungPrint(self.room, self.wall, pin.number))
            hung.rect = self.wall.rect(pin)
        self.compare.lay_out(rest)
        self.thread.lay_out(rest)
        self.read_out.lay_out(self.thread.rect)

    def _lay_out_tools(self, area: Rect) -> int:
        """Let the tools stand on the ledge, in two rows where they need them; return how high that is."""
        px = self.room.px
        high = self.room.look.line_height() + px(12)
        sizes = [(plate, plate.wanted()) for plate in self.plates]
        others = [(self.loupe, (px(40), high)), (self.lamp, (px(150), high))]
        return flowed([*sizes, *others], area.inflate(-px(24), -px(10)), px(8))

    def update(self, dt_s: float) -> bool:
        """Let pictures be made one after the other, and compared prints take turns."""
        self.wall.moved_s += dt_s
        moved = self.compare.update(dt_s)
        moved = self.thread.update() or moved
        return moved or self._waiting or self.wall.moved_s < 0.5

    def draw(self, canvas: Canvas) -> None:
        """Prints, tools, and over them what is compared."""
        self.ground.draw(canvas)
        self._waiting = draw_prints(canvas, self.wall)
        before = canvas.surface.get_clip()
        canvas.surface.set_clip(self.wall.area)
        at = point_px(self.wall)
        if at is not None:
            draw_densitometer(canvas, at, round(SPOT_MM / 2 * self.wall.view.px_per_mm))
        if not self.compare.way:
            self.read_out.draw(canvas)
            if self.thread.shown:
                self.thread.draw(canvas)
        self.thread.draw_thread(canvas)
        self.loupe.draw_glasses(canvas)
        if not self.wall.hanging() and not self.compare.way:
            self._draw_empty(canvas)
        if self.compare.way:
            self.compare.draw(canvas)
        canvas.surface.set_clip(before)
        for tool in (self.scale, self.lamp, self.loupe, *self.plates):
            if tool.shown:
                tool.draw(canvas)

    def _draw_empty(self, canvas: Canvas) -> None:
        """An empty wall says why it is empty."""
        words = self.room.line("wall bare" if self.wall.prints else "wall empty")
        look, area = canvas.look, self.wall.area
        wide = min(look.px(420), area.w - look.px(40))
        high = len(look.wrapped(words, wide)) * look.line_height()
        rect = stood((wide, high), "center", area.center)
        plate = rect.inflate(look.px(24), look.px(16))
        pygame.draw.rect(canvas.surface, look.colour("sunk"), plate, border_radius=look.px(6))
        canvas.lines(words, rect, "body", "ink")

    def hand_moved(self, at: Pointer) -> None:
        """The loupe follows the hand over a print."""
        if not self.loupe.on:
            return
        for pin in reversed(self.wall.hanging()):
            hung = self.hung[pin.number]
            if hung.hit(at.pos):
                self.loupe.at = (pin.number, *hung.mm_at(at.pos))
                return
        self.loupe.at = None

    def acts(self) -> Acts:
        """Keys at the wall; Escape is the densitometer's while it stands on a print."""
        middle, stands = self.wall.area.center, self.wall.point is not None and not self.room.standing.whole
        return {
            "n": self.plates[0].pressed, "p": self.plates[1].pressed, "shift+p": self.plates[2].pressed,
            "c": self.plates[3].pressed, "e": self.plates[4].pressed, "k": self.curve.pressed, "g": self.loupe.pressed,
            "l": lambda: self.lamp.turned(1, False), "shift+l": lambda: self.lamp.turned(-1, False), "home": self.wall.show_all,
            "+": lambda: self._nearer(middle, 1), "=": lambda: self._nearer(middle, 1), "-": lambda: self._nearer(middle, -1),
            "t": self.this_time.pressed, "shift+t": self.as_plan.pressed, "r": self.plates[5].pressed,
            **({"escape": self.wall.put_away} if stands else {}),
            **({"escape": self.compare.leave} if self.compare.way else {}),
        }  # fmt: skip

    def _nearer(self, at: tuple[int, int], steps: int) -> None:
        self.wall.view = self.wall.view.zoomed(self.wall.area, at, 1.25**steps)

    def entered(self) -> None:
        """A new print is always shown."""
        if self.wall.look():
            self._waiting = True

    def left(self) -> None:
        """Nothing stays open that one does not see."""
        self.compare.way = ""
        self.loupe.on = False
