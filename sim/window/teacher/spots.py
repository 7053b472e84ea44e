"""Where a learner points: the steps of a strip and the places of a picture, on the easel and on the wall."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import pygame
from pygame import Rect

from sim.scoring.criterion_kinds import EXACT_TONE_KINDS
from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_looks import about_a_strip
from sim.teaching.strip_verdict import wanted_tones
from sim.window.hands.thing import Cursor
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.standing.room import OneRoom
from sim.window.things.easel import Easel
from sim.window.things.in_room import InRoom
from sim.window.things.wall import OnTheWall

Point = tuple[int, int]


class Spot(InRoom):
    """A step (``key`` like step-3) or a place: touched, it is said, or one is asked how it is."""

    def __init__(self, room: OneRoom, key: str, said: Callable[[str], None]):
        super().__init__(room, f"spot {key}")
        self.key_said, self._said = key, said
        self.step = about_a_strip(key)
        self.key_of_words = "step" if self.step else "place"
        self.at: Point = (0, 0)

    def stand(self, at: Rect | Point, area: Rect) -> bool:
        """Stand over a step, or at a place; returns whether enough of it is in sight to be touched."""
        side = self.room.px(34)
        if isinstance(at, Rect):
            self.rect = at.clip(area)
        else:
            self.at, self.rect = at, Rect(at[0] - side // 2, at[1] - side // 2, side, side)
        return min(self.rect.size) > side // 3

    def name(self) -> str:
        """Which step, or which place."""
        return self.room.said(self.key_said.replace("-", " ")) if self.step else self.room.place_name(self.key_said)

    def cursor_at(self, pos: tuple[int, int]) -> Cursor:
        """It can be touched."""
        return "hand"

    def pressed(self) -> None:
        """Say it."""
        self._said(self.key_said)

    def draw(self, canvas: Canvas) -> None:
        """Two rings that show on any tone; of a step its border and number."""
        look, light = canvas.look, (255, 255, 255)
        if self.step:
            if self.hot:
                pygame.draw.rect(canvas.surface, (0, 0, 0), self.rect, look.px(4))
                pygame.draw.rect(canvas.surface, light, self.rect, look.px(2))
            rect, off = self.rect, look.px(15)  # the number at the edge of its step, off the tone that is judged
            number = self.key_said.removeprefix("step-")
            up = int(number) % max(1, math.ceil(look.px(28) / max(1, rect.w))) * look.px(28)  # narrow steps: in rows
            at = (rect.centerx, rect.bottom - off - up) if rect.h >= rect.w else (rect.x + off, rect.centery)
            _disc(canvas, at, number, self.hot)
            return
        radius = look.px(13 if self.hot else 10)
        pygame.draw.circle(canvas.surface, (0, 0, 0), self.at, radius + look.px(1), look.px(4))
        pygame.draw.circle(canvas.surface, light, self.at, radius, look.px(2))
        if self.hot:
            draw_plate(canvas, (self.at[0], self.at[1] - radius - look.px(4)), [self.name()], "midbottom")


def _disc(canvas: Canvas, at: Point, words: str, hot: bool) -> None:
    look = canvas.look
    pygame.draw.circle(canvas.surface, look.colour("lamp" if hot else "edge"), at, look.px(13))
    pygame.draw.circle(canvas.surface, look.colour("sunk"), at, look.px(11))
    canvas.text(words, at, "strong", "ink", "center")


def plate_at(look: Look, at: Point, words: Sequence[str], anchor: str = "center", sign: str = "") -> Rect:
    """Return where a small plate with short lines lies."""
    wide = max(look.width(one, "small") for one in words) + look.px(30 if sign else 12)
    plate = Rect(0, 0, wide, look.line_height("small") * len(words) + look.px(4))
    setattr(plate, anchor, at)
    return plate


def draw_plate(canvas: Canvas, at: Point, words: Sequence[str], anchor: str = "center", sign: str = "") -> Rect:
    """Write short lines on a small plate at a point; returns where it lies."""
    look, line = canvas.look, canvas.look.line_height("small")
    shift = look.px(18) if sign else 0
    plate = plate_at(look, at, words, anchor, sign)
    plate.clamp_ip(canvas.surface.get_clip())
    canvas.plate(plate, "edge", radius=4)
    if sign:
        canvas.mark(sign, (plate.x + look.px(12), plate.y + look.px(2) + line // 2), look.px(12), "ink")
    for n, one in enumerate(words):
        canvas.text(one, (plate.x + look.px(6) + shift, plate.y + look.px(2) + n * line), "small", "ink" if not n else "soft")
    return plate


def bands(whole: Rect, middles: Sequence[Point]) -> list[Rect]:
    """Return what of a strip belongs to each step, from the steps' middles, in their own order."""
    xs, ys = [x for x, _ in middles], [y for _, y in middles]
    across = max(xs) - min(xs) >= max(ys) - min(ys)
    order = sorted(range(len(middles)), key=lambda k: middles[k][0 if across else 1])
    out = [Rect(0, 0, 0, 0)] * len(middles)
    low = whole.x if across else whole.y
    for n, k in enumerate(order):
        if n + 1 < len(order):
            axis = 0 if across else 1
            high = (middles[k][axis] + middles[order[n + 1]][axis]) // 2
        else:
            high = whole.right if across else whole.bottom
        out[k] = Rect(low, whole.y, max(1, high - low), whole.h) if across else Rect(whole.x, low, whole.w, max(1, high - low))
        low = high
    return out


def places_asked(run: LessonRun, negative: str) -> tuple[str, ...]:
    """Return the places whose tone is asked for exactly on a negative: those one can point at and say how they are."""
    index = next((n for n, one in enumerate(run.negatives) if one.name == negative), 0)
    return tuple(tone.place for tone in wanted_tones(run.exercise, run.negatives[index], index) if _exact(run, tone.place))


def _exact(run: LessonRun, place: str) -> bool:
    return any(
        one.kind in EXACT_TONE_KINDS and any(s.known_as(n.places) == place for s in one.spots for n in run.negatives)
        for one in run.exercise.criteria
    )


def on_easel(room: OneRoom, easel: Easel, run: LessonRun, keys: Sequence[str]) -> dict[str, Rect | Point]:
    """Return where on the easel one can point: the steps of the strip that lies there, else the places of the picture."""
    desk, piece = room.darkroom.desk, room.darkroom.paper.piece
    if piece is not None and piece.kind == "strip":
        marks = easel.marks
        if not marks or not any(about_a_strip(key) for key in keys):
            return {}
        whole = easel.plan.rect_px(piece.x_mm, piece.y_mm, piece.width_mm, piece.height_mm)
        found = bands(whole, [easel.plan.to_px(x, y) for _, x, y in marks])
        return {f"step-{n}": rect for n, rect in enumerate(found, start=1)}
    if not any(key in ("lighter", "right", "darker") for key in keys):
        return {}
    left, top, wide, high = desk.frame_mm
    names = places_asked(run, desk.now.negative)
    there = {place.name: place for place in desk.negative.places if place.name in names}
    points: dict[str, Rect | Point] = {}
    for name, place in there.items():
        x = 1.0 - place.x if desk.now.flipped else place.x
        at = easel.plan.to_px(left + x * wide, top + place.y * high)
        if easel.rect.collidepoint(at):
            points[name] = at
    return points


def on_wall(room: OneRoom, wall: OnTheWall, run: LessonRun, number: int, keys: Sequence[str]) -> dict[str, Rect | Point]:
    """Return where on a print one can point: its steps, else the places that lie on it."""
    pin, one = wall.pins.of(number), wall.prints.get(number)
    if pin is None or one is None or not pin.up:
        return {}
    rect = wall.rect(pin)
    if one.kind == "strip":
        if not any(key.startswith("step-") for key in keys) or not one.strip_steps:
            return {}
        middles = [point_on(rect, one.width_mm, one.height_mm, s.x_mm, s.y_mm) for s in one.strip_steps]
        return {f"step-{s.number}": band for s, band in zip(one.strip_steps, bands(rect, middles))}
    names = places_asked(run, one.negative)
    return {
        name: point_on(rect, one.width_mm, one.height_mm, x, y)
        for name, x, y, _ in room.darkroom.wall.places(number) if name in names
    }  # fmt: skip


def point_on(rect: Rect, wide_mm: float, high_mm: float, x_mm: float, y_mm: float) -> Point:
    """Return the screen point of a point of a print."""
    return rect.x + round(x_mm / wide_mm * rect.w), rect.y + round(y_mm / high_mm * rect.h)
