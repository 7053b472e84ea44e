"""The trays: the sheet comes up in the one in front, is rocked there, and is lifted by hand from one to the next."""

from __future__ import annotations

import math

import pygame
from pygame import Rect, Surface

from sim.evening.evening_state import POURING_S
from sim.window.hands.drags import Drag
from sim.window.hands.thing import Gesture
from sim.window.kit.boxes import fit, inset
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.kit.picture import grey_surface
from sim.window.standing.room import OneRoom
from sim.window.standing.standing import AFTER_DEVELOPMENT
from sim.window.theme import Colour
from sim.window.things.in_room import InRoom
from sim.window.things.perspective import LaidPicture
from sim.window.things.tray_drawing import Sink, draw_sink, seen_white, shade, sink_for

BATHS = ("developer", "stop", "fix", "wash", "dry")
SLIDE_S, WALK_S, ROCK_S, ROCKS_ON_S = 0.6, 0.4, 2.4, 5.0
AMBER_SEEN = 0.82  # how bright white paper looks by the safelight beside white light (assumption, for looking)
LOOKED_AT_S = 1 / 12  # how often a sheet that comes up is drawn anew


class Trays(InRoom):
    """The sink. Drag the sheet to the next tray, or press Enter; the wheel rocks the tray it lies in."""

    cursor, large = "grab", True

    def __init__(self, room: OneRoom):
        super().__init__(room, "trays")
        self.position, self.slide = 0.0, 0.0
        self._rock_s, self._phase = 0.0, 0.0
        self.sink: Sink | None = None
        self._laid: LaidPicture | None = None
        self._picture: Surface | None = None
        self._key: object = None
        self._made_s = 1.0
        self.carried = 0  # px, while a hand carries the sheet to the next tray

    def now(self) -> str:
        """Where the sheet lies, and how long."""
        tray = self.room.darkroom.tray
        if not tray.stage:
            return self.room.line("trays empty")
        if tray.stage == "dry":
            return self.room.name("bath dry")
        return bath_words(self.room)

    def pressed(self) -> None:
        """Do the next thing with the sheet: into the developer, on to the next bath, to the wall."""
        darkroom = self.room.darkroom
        stage = darkroom.tray.stage
        if stage in ("", "dry") and darkroom.paper.piece is not None:
            self.put_in()
        elif stage == "dry":
            self.to_the_wall()
        elif stage:
            self.lift()
        else:
            darkroom.tray.put_in()  # says what is missing

    def put_in(self) -> None:
        """Slide the sheet in hand into the developer; what hung on the line goes to the wall first."""
        if self.room.darkroom.tray.stage == "dry":
            self.room.darkroom.tray.clear()
        self.room.darkroom.tray.put_in()
        self.position, self._phase = 0.0, 0.0
        self.slide = 0.0 if self.room.preferences.reduced_motion else 1.0
        self._rock_s = ROCKS_ON_S
        self.room.sounds.play("water")
        self.room.messages.done()
        tray = self.room.darkroom.tray
        full = clock(tray.full_s)
        key = "comes up here" if self.room.lesson is not None and tray.set_short else "comes up"
        self.room.say(key, holds=lambda: tray.stage == "developer" and tray.seconds < tray.wanted_s, full=full)

    def sheet_rect(self) -> list[Rect]:
        """Return where the sheet lies or hangs, if one does."""
        if self._picture is None:
            return []
        if self.room.darkroom.tray.stage == "dry" or self._laid is None:
            return [self._picture.get_rect(center=self._line_room().center)]
        return [self._picture.get_rect(topleft=(self._laid.left, self._laid.top))]

    def lift(self) -> None:
        """Lift the sheet into the next bath; out of the developer it is in the evening's log."""
        tray = self.room.darkroom.tray
        early = tray.stage == "developer" and not tray.complete and tray.seconds < tray.full_s
        had, full, whole = clock(tray.seconds), clock(tray.full_s), clock(tray.wanted_s)
        short = f"short {tray.stage}" if tray.too_short else ""
        stage = tray.next()
        self.room.sounds.play("tongs")
        self._rock_s = ROCKS_ON_S
        self.room.messages.done()
        there = lambda: tray.stage == stage and self.room.standing.place == "trays"  # noqa: E731  no bath keeps another's words
        if early:
            key = "out early" if self.room.lesson is not None else "pulled early"  # in a lesson one looks for oneself
            self.room.say(key, holds=there, had=had, full=full)
        elif short:
            self.room.say(short, warn=True, holds=there, had=had, whole=whole)
        elif stage in AFTER_DEVELOPMENT:
            self.room.say(f"meant {stage}", holds=there)

    def hang_up(self) -> None:
        """Leave it its time in every bath, and hang it on the line."""
        self.room.darkroom.tray.finish()
        self.room.sounds.play("water")

    def pour_fresh(self) -> None:
        """Pour the tired developer away and a fresh litre in."""
        self.room.darkroom.tray.pour_fresh()
        self.room.sounds.play("water")
        self.room.say("poured", minutes=f"{POURING_S / 60:g}")

    def to_the_wall(self) -> None:
        """Take the dry sheet to the wall, and go there with it."""
        self.room.darkroom.tray.clear()
        self.room.wanted_place = "wall"

    def press(self, at: Pointer) -> Gesture | None:
        """Drag the sheet to the right: over the rim it is in the next tray. Up and down rocks the tray."""
        if not self.room.darkroom.tray.stage:
            return super().press(at)

        def move(dx: int, dy: int, _: Pointer) -> None:
            self.carried = max(0, dx)
            if abs(dy) > abs(dx):
                self._rock_s, self._phase = ROCKS_ON_S, dy / max(1, self.rect.h)

        def done() -> None:
            far, self.carried = self.carried, 0
            if far > self.rect.w // 5 and self.room.darkroom.tray.stage != "dry":
                self.lift()

        def back() -> None:
            self.carried = 0

        def touched() -> None:
            if any(rect.collidepoint(at.pos) for rect in self.sheet_rect()):
                self.pressed()

        return Drag(at, move, done, touched, back)

    def turned(self, steps: int, fine: bool) -> bool:
        """The wheel rocks the tray."""
        self._rock_s = ROCKS_ON_S
        return True

    def update(self, dt_s: float) -> bool:
        """Let the sheet slide, the tray rock and the picture come up; returns whether anything is to be drawn anew."""
        tray, still = self.room.darkroom.tray, self.room.preferences.reduced_motion
        self._made_s += dt_s
        moved = self._walk(BATHS.index(tray.stage) if tray.stage else 0, dt_s, still)
        if self.slide > 0.0:
            self.slide, moved = max(0.0, self.slide - dt_s / SLIDE_S), True
        if self._rock_s > 0.0 and not still:
            self._rock_s, self._phase, moved = self._rock_s - dt_s, self._phase + dt_s / ROCK_S, True
        return self._look() or moved

    def _walk(self, to: int, dt_s: float, still: bool) -> bool:
        off = to - self.position
        if abs(off) < 1e-3:
            return False
        step = dt_s / WALK_S
        self.position = float(to) if still or abs(off) <= step or abs(off) > 1.5 else self.position + math.copysign(step, off)
        return True

    def _look(self) -> bool:
        """Make the picture of the sheet as it lies, where it has changed."""
        darkroom, look = self.room.darkroom, self.room.look
        tray = darkroom.tray
        key = (tray.stage, tray.number, tuple(self.rect), look.scale, look.palette.name, darkroom.folder)
        developing = tray.stage == "developer" and self._made_s >= LOOKED_AT_S
        if (key == self._key and not developing) or self.rect.w < 2:
            return False
        if key != self._key:
            self._laid = None
        self._key, self._made_s = key, 0.0
        if not tray.stage:
            now = darkroom.desk.now
            self._picture, self.sink = None, sink_for(self.rect, (now.sheet_width_mm, now.sheet_height_mm), look)
        elif tray.stage == "dry":
            room = self._line_room()
            self._picture = grey_surface(
                tray.picture((max(8, room.w), max(8, room.h))), sheet_tint(look.palette.name, seen_white(look))
            )
        else:
            self._lay()
        return True

    def _line_room(self) -> Rect:
        return inset(self.rect, self.room.px(30), self.room.px(34))

    def _lay(self) -> None:
        tray, look = self.room.darkroom.tray, self.room.look
        size = (max(8, self.rect.w), max(8, int(self.rect.h * 0.95)))
        levels = tray.picture(size)
        if self._laid is None or self._laid.shape != levels.shape:
            per_mm = tray.px_per_mm(size)
            shape_mm = (levels.shape[1] / per_mm, levels.shape[0] / per_mm)
            self.sink = sink_for(self.rect, shape_mm, look)
            self._laid = LaidPicture(self.sink.sheet_plane(*shape_mm), *levels.shape)
        self._picture = self._laid.surface(levels, sheet_tint(look.palette.name, seen_white(look)))

    def draw(self, canvas: Canvas) -> None:
        """The sink with the sheet, or the line."""
        if self.room.darkroom.tray.stage == "dry" and self._picture is not None:
            self._draw_line(canvas, self._picture)
        elif self.sink is not None:
            sheet = None
            if self._picture is not None and self._laid is not None:
                slid = round(self.slide**2 * self.rect.h)
                sheet = (self._picture, (self._laid.left + self.carried, self._laid.top + slid))
            rocking = self._rock_s > 0.0 and not self.room.preferences.reduced_motion
            tilt = math.sin(2 * math.pi * self._phase) * min(1.0, self._rock_s) if rocking and sheet else 0.0
            names = [self.room.name("bath " + bath) for bath in BATHS]
            draw_sink(canvas, self.rect, self.sink, names, self.position, tilt, sheet, self.slide < 0.2)

    def _draw_line(self, canvas: Canvas, picture: Surface) -> None:
        """The dry sheet before the wall, on two pegs."""
        look = canvas.look
        pygame.draw.rect(canvas.surface, shade(look, 0.2), self.rect)
        rect = fit(picture.get_size(), self._line_room())
        rect = picture.get_rect(center=rect.center)
        y = self.rect.y + look.px(16)
        pygame.draw.line(canvas.surface, look.colour("shade"), (self.rect.x, y), (self.rect.right - 1, y), look.px(2))
        canvas.surface.blit(picture, rect)
        for x in (rect.x + rect.w // 5, rect.right - rect.w // 5):
            body = Rect(x - look.px(4), y - look.px(8), look.px(9), rect.y - y + look.px(18))
            pygame.draw.rect(canvas.surface, shade(look, 0.42), body, border_radius=look.px(2))
            pygame.draw.rect(canvas.surface, look.colour("shade"), body, 1, border_radius=look.px(2))


def sheet_tint(palette: str, white: Colour) -> Colour:
    """Return what a white sheet looks like in the room's light: by safelight everything looks darker than it is."""
    if palette == "white-light":
        return white
    red, green, blue = (round(c * AMBER_SEEN) for c in white)
    return red, green, blue


def clock(seconds: float) -> str:
    """Return seconds as a clock shows them."""
    whole = int(seconds + 0.5)
    return f"{whole // 60}:{whole % 60:02d}"


def bath_whole(room: OneRoom) -> str:
    """Return of how many seconds a bath is, and what these are: set by hand and in full, what an acid needs, a first rinse."""
    tray = room.darkroom.tray
    stood = {one.development_time_s for one in (room.darkroom.kept.set_up, *room.darkroom.kept.before)}
    by_lesson = room.lesson is not None and len(stood) == 1  # nobody has turned it since the lesson laid it out
    key = ("of lesson" if by_lesson else "of otherwise") if tray.set_otherwise else f"of {tray.stage}"
    return room.line(key, whole=clock(tray.wanted_s), full=clock(tray.full_s))


def bath_words(room: OneRoom) -> str:
    """Return in which bath the sheet lies, for how long, and of how many seconds; a clock that was set going faster is said."""
    tray = room.darkroom.tray
    bath, had = room.name(f"bath {tray.stage}"), clock(tray.seconds)
    words = room.line("bath so far", bath=bath, had=had, of=bath_whole(room))
    return f"{words} · {room.line('clock fast')}" if room.fast_clock else words
