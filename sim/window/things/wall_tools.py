"""Tools at the wall: the reference scale, the lamp to judge prints by, the loupe, "this time?", what counts, and the drawer."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import replace

import pygame
from pygame import Rect, Surface

from sim.bench.paper_in_hand import FLASHES
from sim.bench.ring import RingPrint
from sim.bounded_store import MEGABYTE, KeptWithin
from sim.refusals import Refused
from sim.viewing.lightness import CRITICAL_LUX, PRACTICAL_LUX
from sim.window.kit.boxes import hiding_least, stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.picture import grey_surface
from sim.window.kit.shading import cast, in_a_glass
from sim.window.standing.room import OneRoom
from sim.window.teacher.naming import Naming
from sim.window.things.filters import stamped
from sim.window.things.in_room import InRoom, Plate, Slide
from sim.window.things.meter import draw_lines, lines_size
from sim.window.things.pins import Pin
from sim.window.things.ring_around import SIDE_PX, RingSheet
from sim.window.things.step_scale_drawing import draw_scale
from sim.window.things.wall import OnTheWall
from sim.window.things.wall_drawing import point_px, step_plates

LUX = (100.0, 200.0, 350.0, PRACTICAL_LUX, 800.0, 1300.0, CRITICAL_LUX)
BRIGHT_LUX = 1300.0
LOUPE_SIDE_MM, GLASS = 14.0, 150
CROP_BYTES = 8 * MEGABYTE  # of fifty prints under the glass at the usual scale
AWAY = 12.0  # pixels of a print that the reading may hide to stand a pixel nearer to what is read
OTHERS, IN_THE_WAY = 4.0, 40.0  # what a pixel weighs of other prints, and of what is read and the slip with the curve


class StepScale(InRoom):
    """The grey scale on the ledge below the prints, with the tone under the densitometer laid against it."""

    reachable = False

    def __init__(self, room: OneRoom, wall: OnTheWall):
        super().__init__(room, "step scale")
        self._wall = wall

    def now(self) -> str:
        """What the densitometer reads."""
        reading = self._wall.reading
        if reading is None:
            return ""
        said = self.room.line("reads", density=self.room.number(reading.density, 2), lightness=f"{reading.lightness:.0f}",
                              step=reading.nearest_step)  # fmt: skip
        real = self._wall.real()
        if real is None:
            return said
        untested, after = self.room.number(real.untested, 2), self.room.number(real.after_a_strip, 2)
        known = "on any paper" if untested == after else "on real paper"  # bare paper is no surer after a strip
        return f"{said}, {self.room.line(known, untested=untested, after=after)}"

    def draw(self, canvas: Canvas) -> None:
        """The scale."""
        lux = self._wall.lux if self.room.light == "white" else 500.0
        scale = self.room.darkroom.wall.reference_scale()
        draw_scale(canvas, self.rect, scale, self._wall.reading, lux, self.room.number, self._wall.tint())


class ViewingLamp(Slide):
    """The lamp over the wall, from dim to bright: a print that is right in a bright light is dark in a room."""

    def __init__(self, room: OneRoom, wall: OnTheWall):
        super().__init__(room, "viewing lamp")
        self._wall = wall

    def now(self) -> str:
        """How bright."""
        return f"{self._wall.lux:.0f} lux"

    def _to(self, index: int) -> None:
        wall = self._wall
        wall.lux = LUX[max(0, min(len(LUX) - 1, index))]
        if wall.lux >= BRIGHT_LUX:
            self.room.say("bright lamp", holds=lambda: wall.lux >= BRIGHT_LUX and self.room.standing.place == "wall")

    def _here(self) -> int:
        return LUX.index(self._wall.lux)

    def to_share(self, share: float) -> None:
        """Stand at the nearest of its lights."""
        self._to(round(share * (len(LUX) - 1)))

    def by(self, steps: int, fine: bool) -> bool:
        """Brighter, or dimmer."""
        self._to(self._here() + steps)
        return True

    def draw(self, canvas: Canvas) -> None:
        """A slide with a lamp on it."""
        look, rect = canvas.look, self.rect
        y = rect.centery
        canvas.line((rect.x, y), (rect.right, y), "faint", 2)
        for n in range(len(LUX)):
            x = rect.x + rect.w * n // (len(LUX) - 1)
            canvas.line((x, y - look.px(3)), (x, y + look.px(3)), "faint")
        x = rect.x + rect.w * self._here() // (len(LUX) - 1)
        canvas.lamp((x, y), look.px(5 + self._here()), self.room.light == "white")
        if self.hot:
            canvas.focus_ring(rect.inflate(look.px(10), 0))


class ReadOut:
    """What the densitometer says, and below it what a strip's step can be used for: together, where they hide least."""

    def __init__(self, room: OneRoom, wall: OnTheWall, said: Callable[[], str]):
        self.room, self._wall, self._said = room, wall, said
        self.this_time, self.as_plan = Plate(room, "this time", self._set_timer), Plate(room, "as plan", self._plan)
        self.this_time.words, self.as_plan.words = self._time_asked, self._lights
        self.rect, self._lines = Rect(0, 0, 0, 0), [""]

    def _time_asked(self) -> str:
        """The seconds, asked; of a burn's or a flash's step what it was laid for."""
        step, way = self._wall.step_under(), self._wall.way_under()
        if step is None:
            return ""
        seconds = self.room.number(step[1])
        if way in ("burn", *FLASHES):
            kind = "flash" if way in FLASHES else "burn"
            return self.room.line(f"this step {kind}", n=step[0], seconds=seconds)
        return self.room.line("this time", seconds=seconds)

    def _lights(self) -> str:
        pair = self._wall.soft_and_hard() if self._wall.step_under() is not None else []
        lights = " + ".join(f"{stamped(one.filter)} · {self.room.number(one.time_s)} s" for one in pair)
        return self.room.line("as plan", lights=lights) if pair else ""

    def _set_timer(self) -> None:
        step, plan = self._wall.step_under(), self._wall.plan_under()
        if plan:
            self.room.darkroom.paper.set_plan(plan)
            self.room.say("planned step", n=len(plan))
        elif step is not None:
            self.room.darkroom.desk.set("time_s", round(step[1], 2))
            self.room.say("timer set", seconds=self.room.number(step[1]))

    def _plan(self) -> None:
        pair = self._wall.soft_and_hard()
        if pair:
            self.room.darkroom.paper.set_plan(pair)
            self.room.say("planned both")

    def lay_out(self, slip: Rect) -> None:
        """Stand over no print where there is room beside them, in lines or in one, else over the read one; never the slip."""
        at, wall, gap = point_px(self._wall), self._wall, self.room.px(6)
        self.rect = self.this_time.rect = self.as_plan.rect = Rect(0, 0, 0, 0)
        if at is None or wall.point is None or wall.reading is None:
            return
        for plate in (self.this_time, self.as_plan):
            plate.rect = Rect((0, 0), plate.wanted() if plate.name() else (0, 0))
        plates = [plate.rect for plate in (self.this_time, self.as_plan) if plate.shown]
        hides, away, said = self._hides(at, slip), AWAY * self.room.look.scale, self._said()
        ways: list[tuple[float, Rect, list[str], bool]] = []
        for lines, below in itertools.product((said.split(", "), [said]), (True, False) if plates else (True,)):
            size = _together([lines_size(self.room.look, lines), *(rect.size for rect in plates)], gap, below)
            ways.append((*hiding_least(size, self._spots(size, at), wall.area, hides, at, away), lines, below))
        _, whole, self._lines, below = min(ways, key=lambda way: way[0])
        self.rect, (x, y) = Rect((0, 0), lines_size(self.room.look, self._lines)), whole.topleft
        for rect in (self.rect, *plates):
            rect.topleft = (x, y)
            x, y = (x, y + rect.h + gap) if below else (x + rect.w + gap, y)

    def _spots(self, size: tuple[int, int], at: tuple[int, int]) -> list[tuple[int, int]]:
        """Beside the point, beside the print it lies on, above and below that, and at the wall's edges."""
        wall, gap, (wide, high) = self._wall, self.room.px(18), size
        own = next(wall.with_caption(pin) for pin in wall.hanging() if self._reads(pin))
        across = (at[0] + gap, at[0] - gap - wide, at[0] - wide // 2, own.right + gap // 2, own.x - gap // 2 - wide)
        beside = (at[1] - high // 2, own.y - gap // 2 - high, own.bottom + gap // 2)
        return [(x, y) for x in across for y in (*beside, wall.area.y + gap // 2, wall.area.bottom - high)]

    def _reads(self, pin: Pin) -> bool:
        return self._wall.point is not None and self._wall.point[0] == pin.number

    def _hides(self, at: tuple[int, int], slip: Rect) -> list[tuple[float, Rect]]:
        wall, side = self._wall, self.room.px(44)
        prints = [(1.0 if self._reads(pin) else OTHERS, wall.with_caption(pin)) for pin in wall.hanging()]
        strips = [(wall.rect(pin), pin.number) for pin in wall.hanging() if wall.prints[pin.number].strip_steps]
        for rect, number in strips:
            first, *more = step_plates(wall, number, rect, self.room.look)
            prints.append((OTHERS, first.unionall(more)))
        return [*prints, (IN_THE_WAY, stood((side, side), "center", at)), (IN_THE_WAY, slip), (IN_THE_WAY, wall.slide)]

    def draw(self, canvas: Canvas) -> None:
        """A line from what is read, where that lies farther off, and the words on their plate."""
        at, look = point_px(self._wall), canvas.look
        if at is None or not self.rect.w:
            return
        end = min(max(at[0], self.rect.x), self.rect.right - 1), min(max(at[1], self.rect.y), self.rect.bottom - 1)
        far = math.dist(at, end)
        if far > look.px(24):
            start = tuple(round(a + (b - a) * look.px(14) / far) for a, b in zip(at, end))
            for colour, wide in (((0, 0, 0), look.px(3)), ((255, 255, 255), look.px(1))):
                pygame.draw.line(canvas.surface, colour, start, end, wide)
        draw_lines(canvas, self.rect, self._lines)
        for plate in (self.this_time, self.as_plan):
            if plate.shown:
                plate.draw(canvas)


def _together(sizes: Sequence[tuple[int, int]], gap: int, below: bool) -> tuple[int, int]:
    """Return the size of things that stand below each other, or beside each other."""
    wides, highs, gaps = [wide for wide, _ in sizes], [high for _, high in sizes], gap * (len(sizes) - 1)
    return (max(wides), sum(highs) + gaps) if below else (sum(wides) + gaps, max(highs))


class WallLoupe(InRoom):
    """A loupe that follows the pointer over a print, and shows the same place on all other prints of that negative."""

    def __init__(self, room: OneRoom, wall: OnTheWall):
        super().__init__(room, "wall loupe")
        self._wall = wall
        self.on = False
        self.at: tuple[int, float, float] | None = None
        self._crops: KeptWithin[tuple[object, Surface]] = KeptWithin(CROP_BYTES)

    def pressed(self) -> None:
        """Take it up, or lay it down."""
        self.on = not self.on
        self.at = self._wall.point if self.on else None

    def draw(self, canvas: Canvas) -> None:
        """A magnifier on the ledge."""
        look, rect = canvas.look, self.rect
        middle, radius = (rect.centerx - look.px(2), rect.centery - look.px(3)), min(rect.size) // 4
        colour = look.colour("lamp" if self.on else "soft")
        pygame.draw.line(
            canvas.surface, colour, middle, (rect.right - look.px(6), rect.bottom - look.px(6)), max(2, look.px(3))
        )
        pygame.draw.circle(canvas.surface, look.colour("sunk"), middle, radius)
        pygame.draw.circle(canvas.surface, colour, middle, radius, max(2, look.px(2)))
        if self.hot:
            pygame.draw.rect(canvas.surface, look.colour("soft"), rect, 1, border_radius=look.px(4))

    def draw_glasses(self, canvas: Canvas) -> None:
        """The glass over the print that is looked at, and over its like on all others."""
        if not self.on or self.at is None:
            return
        number, x, y = self.at
        wall, bench = self._wall, self.room.darkroom.wall
        side = canvas.look.px(GLASS)
        for pin in wall.hanging():
            there = (x, y) if pin.number == number else bench.same_place(number, pin.number, x, y)
            if there is None:
                continue
            rect, (wide, high) = wall.rect(pin), wall.size_mm(pin.number)
            at = rect.x + round(there[0] / wide * rect.w), rect.y + round(there[1] / high * rect.h)
            if wall.area.collidepoint(at):
                self._draw_glass(canvas, at, side, self._crop(pin.number, there, side))

    def _crop(self, number: int, at: tuple[float, float], side: int) -> Surface | None:
        wall = self._wall
        key = (round(at[0], 1), round(at[1], 1), side, wall.lux, wall.tint())
        kept = self._crops.get(number)
        if kept is None or kept[0] != key:
            try:
                levels = self.room.darkroom.wall.loupe(number, at[0], at[1], LOUPE_SIDE_MM, side, wall.lux)
            except Refused:
                return None
            kept = self._crops.put(number, (key, grey_surface(levels, wall.tint())))
        return kept[1]

    def _draw_glass(self, canvas: Canvas, at: tuple[int, int], side: int, crop: Surface | None) -> None:
        look = canvas.look
        rect = stood((side, side), "center", at)
        cast(canvas.surface, look, rect, 12, 4)
        pygame.draw.circle(canvas.surface, look.colour("edge"), at, side // 2 + look.px(4))
        pygame.draw.circle(canvas.surface, look.colour("shade"), at, side // 2 + look.px(1))
        if crop is None:
            return
        canvas.surface.blit(in_a_glass(look, crop, side), rect)


def ledge(room: OneRoom, wall: OnTheWall, loupe: WallLoupe, turn_compare: Callable[[], None]) -> Sequence[Plate]:
    """Return the plates on the ledge: what counts, take down, all back up, compare, wet, ring-around."""

    def chosen() -> int:
        if wall.chosen is None or wall.chosen not in wall.prints:
            raise Refused(room.line("choose print"))
        return wall.chosen

    naming = Naming(room)

    def counts() -> None:
        naming.name(chosen())
        wall.prints = {one.number: one for one in room.darkroom.wall.prints()}

    def take_down() -> None:
        pin = wall.pins.of(chosen())
        if pin is not None:
            wall.pins = wall.pins.put(replace(pin, up=False))
            wall.chosen = wall.point = wall.reading = None
            wall.keep()

    def wet() -> None:
        wall.wet = not wall.wet

    def ring() -> None:
        if room.darkroom.evening.state.opening.exercise:
            raise Refused(room.line("no ring here"))
        number = chosen()
        job = room.darkroom.wall.ring(number, SIDE_PX)
        room.later(job, lambda made: show(number, made), room.line("printing ring"))

    def show(number: int, made: tuple[tuple[RingPrint, ...], ...]) -> None:
        own_filter = str(room.darkroom.wall.record(number).exposures[0].filter.graded)
        room.wanted_over = lambda: RingSheet(room, made, own_filter)

    return (
        Plate(room, "counts", counts), Plate(room, "take down", take_down), Plate(room, "all up", lambda: _hang_all(wall)),
        Plate(room, "compare", turn_compare), Plate(room, "wet", wet, lambda: wall.wet), Plate(room, "ring", ring),
    )  # fmt: skip


def _hang_all(wall: OnTheWall) -> None:
    """Hang everything up again, and step back to see it."""
    for pin in wall.pins.pins:
        wall.pins = wall.pins.put(replace(pin, up=True))
    wall.keep()
    wall.show_all()
