"""The wall: prints hang where a hand put them; it is dragged to pan, the wheel comes nearer, down to the grain."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pygame
from pygame import Rect

from sim.bench.light_of_print import light_of
from sim.bench.paper_in_hand import FLASHES
from sim.bench.real_sheet import worth_of_a_tone
from sim.bench.short_baths import short_baths
from sim.bench.step_as_plan import step_as_plan
from sim.bench.wall import PointReading, WallPrint
from sim.notebook.exposure_plan import PlannedExposure
from sim.refusals import Refused
from sim.viewing.lightness import screen_values
from sim.viewing.real_paper import RealTone
from sim.window.hands.drags import Drag
from sim.window.hands.thing import Gesture
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.standing.room import OneRoom
from sim.window.theme import Colour
from sim.window.things.in_room import InRoom
from sim.window.things.light_words import light_words, out_after
from sim.window.things.pins import GAP_MM, STRIP_GAP_MM, Pin, Pins, keep_pins, read_pins
from sim.window.things.plan_strip import dye_share
from sim.window.things.print_pictures import PrintPictures
from sim.window.things.tray_drawing import seen_white, shade
from sim.window.things.trays import sheet_tint
from sim.window.things.wall_view import WallView, view_of

WALL_DENSITY = 0.85  # a matt grey surround, about a seventh of the light: within what ISO 3664 asks of a surround
ZOOM = 1.25  # one notch of the wheel
PAN_PX = 60
USUAL_LUX = 500.0
SETTLED_S = 0.16
LESSON_BESIDE, LESSON_BELOW = 270, 44  # logical units beside and below the prints for what a lesson says and its slide
LEGIBLE = 84  # logical units across, from which a strip's steps are told apart at a glance (chosen)
CAPTION = 28  # logical units under a print: what is pencilled there


class OnTheWall:
    """What hangs, what is chosen, where one looks, in which light: what all things at the wall ask and change."""

    def __init__(self, room: OneRoom):
        self.room = room
        self.pictures = PrintPictures(room)
        self.pins, self._folder = Pins(), Path()
        self.prints: dict[int, WallPrint] = {}
        self.view = WallView()
        self.area = Rect(0, 0, 1, 1)
        self.lux, self.wet = USUAL_LUX, False
        self.chosen: int | None = None
        self.other: int | None = None
        self.point: tuple[int, float, float] | None = None  # print, mm on it
        self.reading: PointReading | None = None
        self.slide = Rect(0, 0, 0, 0)  # where a lesson's slide stands: a reading keeps off it
        self.moved_s = 1.0
        self.steps: dict[int, tuple[int, float]] = {}  # of every strip the step that was touched last, and its seconds

    def look(self) -> bool:
        """See what hangs there now; returns whether something new does."""
        darkroom = self.room.darkroom
        if darkroom.folder != self._folder:
            self._folder, self.pins, self.steps = darkroom.folder, read_pins(darkroom.folder), {}
            self.view, self.chosen, self.other, self.point, self.reading = WallView(), None, None, None, None
        prints = {one.number: one for one in darkroom.wall.prints()}
        if prints.keys() == self.prints.keys() and self.prints:
            self.prints = prints
            return False
        self.prints = prints
        before = len(self.pins.pins)
        self.pins = self.pins.with_new(tuple(prints.values()))
        if len(self.pins.pins) != before:
            self.keep()
            self.chosen = max(pin.number for pin in self.pins.pins)
        self.show_all()
        if len(self.pins.pins) != before and self.chosen is not None:
            self._come_near_strip(self.chosen)
        return True

    def _come_near_strip(self, number: int) -> None:
        """On a full wall a new strip would be a stamp: come as near as its steps need, the wall's edge beside it in view."""
        pin, one = self.pins.of(number), self.prints.get(number)
        if pin is None or one is None or not one.strip_steps:
            return
        most = min(self.area.h / (one.height_mm + 2 * GAP_MM), self.area.w / (one.width_mm + 2 * STRIP_GAP_MM))
        wanted = min(self.room.px(LEGIBLE) / min(one.width_mm, one.height_mm), most)
        if self.view.px_per_mm < wanted:
            self.view = self.view.zoomed(self.area, self.rect(pin).center, wanted / self.view.px_per_mm)
            self.keep_in_view(number)

    def keep_in_view(self, number: int) -> None:
        """Move the view so that a strip that fits into it, its seconds beside it, lies in it whole."""
        pin = self.pins.of(number)
        if pin is None or not self.prints[number].strip_steps:
            return
        rect = self.with_caption(pin)
        rect.w += round(self._beside_mm(number) * self.view.px_per_mm)
        if rect.w <= self.area.w and rect.h <= self.area.h:
            inside = rect.clamp(self.area)
            self.view = self.view.moved(inside.x - rect.x, inside.y - rect.y)

    def _beside_mm(self, number: int) -> float:
        """Return how much room the seconds of an upright strip want at its right, mm on the wall."""
        one = self.prints[number]
        return STRIP_GAP_MM - GAP_MM if one.strip_steps and one.height_mm > one.width_mm else 0.0

    def show_all(self) -> None:
        """Step back until everything that hangs is seen: a new print is always shown."""
        boxes = [self._box(pin) for pin in self.hanging()]
        px, area = self.room.px, self.area
        if self.room.lesson is None or area.w < px(LESSON_BESIDE * 3):
            self.view = view_of(area, boxes)
            return
        free = Rect(area.x + px(LESSON_BESIDE), area.y, area.w - px(LESSON_BESIDE), area.h - px(LESSON_BELOW))
        view = view_of(free, boxes)
        self.view = view.moved(free.centerx - area.centerx, free.centery - area.centery)

    def _box(self, pin: Pin) -> tuple[float, float, float, float]:
        """Return what a print and the seconds beside it take of the wall: middle and size, mm."""
        (wide, high), beside = self.size_mm(pin.number), self._beside_mm(pin.number)
        return pin.x_mm + beside / 2, pin.y_mm, wide + beside, high

    def hanging(self) -> list[Pin]:
        """Return the pins of prints that are there, from below to above."""
        return [pin for pin in self.pins.up if pin.number in self.prints]

    def size_mm(self, number: int) -> tuple[float, float]:
        """Return a print's size."""
        one = self.prints[number]
        return one.width_mm, one.height_mm

    def rect(self, pin: Pin) -> Rect:
        """Return where a print is seen."""
        return self.view.rect(self.area, pin.x_mm, pin.y_mm, *self.size_mm(pin.number))

    def with_caption(self, pin: Pin) -> Rect:
        """Return what a print and the words under it cover."""
        rect = self.rect(pin)
        return Rect(rect.x, rect.y, rect.w, rect.h + self.room.px(CAPTION))

    def keep(self) -> None:
        """Write down where everything hangs."""
        trouble = keep_pins(self._folder, self.pins)
        if trouble:
            self.room.say_words(trouble, warn=True)

    def tint(self) -> Colour:
        """What the room's light leaves of white."""
        look = self.room.look
        return sheet_tint(look.palette.name, seen_white(look))

    def ground(self) -> Colour:
        """The wall's grey in the light there is."""
        if self.room.light != "white":
            return shade(self.room.look, 0.16)
        level = int(screen_values(np.array([[WALL_DENSITY]], np.float32), self.lux)[0, 0])
        return level, level, level

    def read(self, number: int, x_mm: float, y_mm: float) -> None:
        """Set the densitometer down on a print; it reads dry prints."""
        run = self.room.lesson
        if run is not None and run.stage == "see" and number == run.made:
            raise Refused(self.room.line("look first"))
        self.chosen, self.point = number, (number, x_mm, y_mm)
        self.reading = self.room.darkroom.wall.read(number, x_mm, y_mm)
        step = self.step_under()
        if step is not None:
            self.steps[number] = step
        self._ask_worth(number)

    def put_away(self) -> bool:
        """Take the densitometer off the print, and a strip's step that it chose with it; returns whether it stood anywhere."""
        if self.point is None:
            return False
        self.steps.pop(self.point[0], None)
        self.point = self.reading = None
        return True

    def _ask_worth(self, number: int) -> None:
        """Have it worked out beside the window how far off a real sheet's tones may be; once for a print."""
        bench = self.room.darkroom.wall
        if number in bench.real_tones:
            return
        bench.real_tones[number] = ()  # while it is worked out
        self.room.later(bench.worth(number), lambda tones: bench.real_tones.update({number: tones}))

    def real(self) -> RealTone | None:
        """Return what the tone under the densitometer is worth on a real sheet, once that is known."""
        if self.point is None or self.reading is None:
            return None
        return worth_of_a_tone(self.room.darkroom.wall.real_tones.get(self.point[0], ()), self.reading.density)

    def choose(self, number: int | None) -> None:
        """Choose a print; the one chosen before is the other of a pair."""
        if number is not None and number != self.chosen:
            self.other = self.chosen if self.chosen in self.prints else None
        self.chosen = number

    def step_under(self) -> tuple[int, float] | None:
        """Return the step of a strip that the densitometer stands on, and its seconds; None on a sheet."""
        if self.point is None:
            return None
        one = self.prints.get(self.point[0])
        if one is None or not one.strip_steps:
            return None
        _, x, y = self.point
        near = min(one.strip_steps, key=lambda s: (s.x_mm - x) ** 2 + (s.y_mm - y) ** 2)
        return near.number, near.time_s

    def way_under(self) -> str:
        """Return how the strip under the densitometer was laid; nothing on a sheet."""
        return self._way(self.point[0]) if self.point is not None and self.point[0] in self.prints else ""

    def _way(self, number: int) -> str:
        strip = self.room.darkroom.wall.record(number).strip
        return strip.way if strip is not None else ""

    def plan_under(self) -> tuple[PlannedExposure, ...]:
        """Return what the step of burn or of flash under the densitometer comes to on a sheet; nothing for other steps."""
        step = self.step_under()
        if step is None or self.point is None:
            return ()
        dark = self.room.darkroom
        return step_as_plan(dark.wall.record(self.point[0]), step[0], dark.desk.now)

    def soft_and_hard(self) -> list[PlannedExposure]:
        """Return what the touched steps of two strips through different filters amount to, the softer first; else nothing."""
        bench, chosen = self.room.darkroom.wall, self.chosen
        if chosen not in self.steps or chosen not in self.prints or self._way(chosen) in ("burn", *FLASHES):
            return []
        negative = self.prints[chosen].negative
        hung = {pin.number for pin in self.hanging() if self._way(pin.number) not in ("burn", *FLASHES)} & self.steps.keys()
        alike = sorted((n for n in hung if self.prints[n].negative == negative), key=lambda n: n == chosen)
        found: dict[str, PlannedExposure] = {}
        for number in alike[-1:] + alike[-2::-1]:
            light = bench.record(number).exposures[-1]
            name = str(light.filter.name)
            found.setdefault(name, PlannedExposure(round(self.steps[number][1], 2), light.f_number, name))
        pair = list(found.values())[:2]
        return sorted(pair, key=lambda one: dye_share(one.filter)) if len(pair) == 2 else []

    def sets_apart(self, number: int) -> list[str]:
        """Return what a print's label keeps longest: cards, a development or a fixing that was far off."""
        light, line = light_of(self.room.darkroom.wall.record(number)), self.room.line
        cards = [line("held back")] * light.held_back + [line("burnt in")] * light.burnt_in
        return [*cards, *filter(None, (out_after(self.room, light),)), *self._fixed_short(number)]

    def _fixed_short(self, number: int) -> list[str]:
        short = short_baths(self.room.darkroom.evening.state.notes, number)
        return [self.room.line("caption short fix", had=one.had_s) for one in short if one.bath == "fix"]

    def labels(self, number: int) -> list[str]:
        """Return what may be pencilled under a print, the fullest first: what sets it apart outlasts what all prints share."""
        kind, *parts = self.caption(number).split(" · ")
        kept, found = self.sets_apart(number), [" · ".join((kind, *parts))]
        for part in [one for one in reversed(parts) if one not in kept] + kept[::-1]:
            parts.remove(part)
            found.append(" · ".join((kind, *parts)))
        marks = [f"{number} · {' · '.join(kept)}", *kept] if kept else []
        return [*found[:-1], *marks, found[-1], f"{number}"] if kept else [*found, f"{number}"]

    def caption(self, number: int) -> str:
        """Return what is pencilled under a print: which it is, its light, and that it is dry."""
        one, record = self.prints[number], self.room.darkroom.wall.record(number)
        kind = self.room.line("strip no" if one.kind == "strip" else "sheet no", n=number)
        if record.strip is not None and record.strip.way in ("burn", *FLASHES):
            kind = f"{kind} · {self.room.line('kind ' + record.strip.way)}"
        state = self.room.line("looks wet" if self.wet else "dry")
        light = " · ".join((light_words(self.room, light_of(record)), *self._fixed_short(number)))
        return f"{kind} · {light} · {state}"


class _ComeNear(InRoom):
    """What the wheel comes nearer to, round the place under the hand."""

    def __init__(self, room: OneRoom, wall: OnTheWall, id: str):
        super().__init__(room, id)
        self._wall, self.at = wall, (0, 0)

    def hit(self, pos: tuple[int, int]) -> bool:
        """Remember where the hand is; beside the wall nothing is touched."""
        touched = super().hit(pos) and bool(self._wall.area.collidepoint(pos))
        self.at = pos if touched else self.at
        return touched

    def turned(self, steps: int, fine: bool) -> bool:
        """Nearer, or farther."""
        wall = self._wall
        wall.view, wall.moved_s = wall.view.zoomed(wall.area, self.at, ZOOM**steps), 0.0
        return True


class WallGround(_ComeNear):
    """The wall itself: drag it to pan, turn the wheel to come nearer."""

    step_at: Callable[[tuple[int, int]], tuple[int, float, float] | None] = staticmethod(lambda pos: None)

    cursor, large = "any-way", True

    def __init__(self, room: OneRoom, wall: OnTheWall):
        super().__init__(room, wall, "wall")

    def press(self, at: Pointer) -> Gesture | None:
        """Pan."""
        stood = self._wall.view

        def move(dx: int, dy: int, _: Pointer) -> None:
            self._wall.view = stood.moved(dx, dy)

        return Drag(at, move, lambda: None, self.pressed)

    def pressed(self) -> None:
        """On a step's seconds beside its strip: that step. Beside every print: none is chosen, the densitometer is put away."""
        step = self.step_at(self.at)
        if step is not None:
            self._wall.choose(step[0])
            self._wall.read(*step)
            return
        self._wall.choose(None)
        self._wall.put_away()

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """Arrows pan."""
        self._wall.view = self._wall.view.moved(-right * PAN_PX, -down * PAN_PX)
        return True

    def draw(self, canvas: Canvas) -> None:
        """Grey paint in the light there is."""
        pygame.draw.rect(canvas.surface, self._wall.ground(), self.rect)


class HungPrint(_ComeNear):
    """A print: drag it elsewhere, touch it to read a tone."""

    key_of_words, cursor, large = "print", "cross", True

    def __init__(self, room: OneRoom, wall: OnTheWall, number: int):
        super().__init__(room, wall, f"print {number}")
        self.number = number

    def name(self) -> str:
        """Which print."""
        return self._wall.caption(self.number) if self.number in self._wall.prints else ""

    def mm_at(self, pos: tuple[int, int]) -> tuple[float, float]:
        """Return the point of the paper under a point of the window."""
        wide, high = self._wall.size_mm(self.number)
        x, y = (pos[0] - self.rect.x) / max(1, self.rect.w) * wide, (pos[1] - self.rect.y) / max(1, self.rect.h) * high
        return min(wide, max(0.0, x)), min(high, max(0.0, y))

    def press(self, at: Pointer) -> Gesture | None:
        """Drag it over the wall; a mere touch reads the tone there."""
        wall, pin = self._wall, self._wall.pins.of(self.number)
        if pin is None:
            return None
        scale = wall.view.px_per_mm

        def move(dx: int, dy: int, _: Pointer) -> None:
            wall.pins = wall.pins.put(replace(pin, x_mm=round(pin.x_mm + dx / scale, 1), y_mm=round(pin.y_mm + dy / scale, 1)))

        def touch() -> None:
            wall.choose(self.number)
            wall.read(self.number, *self.mm_at(at.pos))

        def back() -> None:
            wall.pins = wall.pins.put(pin)

        return Drag(at, move, wall.keep, touch, back)

    def pressed(self) -> None:
        """Choose it; by keys the densitometer stands in its middle."""
        wide, high = self._wall.size_mm(self.number)
        self._wall.choose(self.number)
        if self._wall.point is None or self._wall.point[0] != self.number:
            self._wall.read(self.number, wide / 2, high / 2)

    def turned(self, steps: int, fine: bool) -> bool:
        """Nearer, or farther; a strip stays in the window whole as long as it fits."""
        super().turned(steps, fine)
        self._wall.keep_in_view(self.number)
        return True

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """Arrows carry the densitometer over the print."""
        point = self._wall.point
        if point is None or point[0] != self.number:
            return False
        step = 1.0 if fine else 5.0
        wide, high = self._wall.size_mm(self.number)
        self._wall.read(self.number, min(wide, max(0.0, point[1] + right * step)), min(high, max(0.0, point[2] + down * step)))
        return True
