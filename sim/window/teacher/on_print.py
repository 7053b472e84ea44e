"""What stands on a print once it has been looked at: areas outlined, readings beside what is wanted, what was said of it."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from itertools import pairwise

import pygame
from pygame import Rect

from sim.scoring.advice_facts import Advice, Evidence
from sim.scoring.criterion_kinds import KINDS
from sim.scoring.marks import Mark
from sim.scoring.place_areas import area_points
from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_step import Step
from sim.viewing.plain_names import plain_name
from sim.window.kit.canvas import Canvas
from sim.window.standing.room import OneRoom
from sim.window.teacher.spots import Point, bands, draw_plate, point_on
from sim.window.things.strip_meant import rows_needed, side_by_side
from sim.window.things.wall import OnTheWall
from sim.window.things.wall_drawing import step_plates

HOLDS = 0.999  # the whole of the points
OUTLINE_SHARE = 1.06  # the outline runs a little outside the points that stand for the area


def draw_on_print(
    canvas: Canvas, room: OneRoom, wall: OnTheWall, run: LessonRun, step: Step, words: str, told: Advice | None
) -> None:  # fmt: skip
    """Draw readings or marks on the print a lesson is about; nothing before it was looked at.

    While a line (``words``) names places, those are outlined and no others: with what ``told``, the advice it says, read there.
    """
    if step.marks is not None:
        for number in run.evening.state.nominated:
            negative = _index(run, number) + 1
            if told is not None and told.evidence:
                if told.negative == negative and number in (told.prints or (number,)):
                    _draw_evidence(canvas, room, wall, run, number, told.evidence)
            else:
                marks = [m for m in step.marks.marks if m.negative == negative]
                _draw_marks(canvas, room, wall, run, number, _named(marks, words), True)
    elif step.stage in ("explain", "predict", "make") and step.sheet:
        if step.strip:
            for plated in strip_readings(room, wall, step):
                draw_plate(canvas, *plated)
        elif told is not None and told.evidence:
            _draw_evidence(canvas, room, wall, run, step.sheet, told.evidence)
        else:
            _draw_marks(canvas, room, wall, run, step.sheet, _named(step.readings, words), False)


def _named(marks: Sequence[Mark], words: str) -> Sequence[Mark]:
    """Return the marks of the places that a line names; all of them where it names none."""
    left, named = words.lower(), set()
    for name in sorted({plain_name(mark.place) for mark in marks if mark.place}, key=len, reverse=True):
        left, often = re.subn(rf"\b{re.escape(name.lower())}\b", " ", left)  # the jar's shade is not the jar
        named |= {name} if often else set()
    return [mark for mark in marks if mark.place and plain_name(mark.place) in named] or marks


def _index(run: LessonRun, number: int) -> int:
    names = [one.name for one in run.negatives]
    return names.index(run.record_of(number).negative)


Plated = tuple[Point, list[str], str, str]  # where, the lines, by which corner, and the sign before them


def strip_readings(room: OneRoom, wall: OnTheWall, step: Step) -> list[Plated]:
    """Return every step's density, and which one was expected, seen and measured, beside the strip: no step is covered."""
    one, pin = wall.prints.get(step.sheet), wall.pins.of(step.sheet)
    if one is None or pin is None or not pin.up or not step.strip or len(one.strip_steps) != len(step.strip):
        return []
    rect, look = wall.rect(pin), room.look
    middles = [point_on(rect, one.width_mm, one.height_mm, s.x_mm, s.y_mm) for s in one.strip_steps]
    across = side_by_side(middles)
    seconds = step_plates(wall, step.sheet, rect, look)[0]
    side, anchor = (rect.x - look.px(6), "midright") if seconds.x > rect.centerx else (rect.right + look.px(6), "midleft")
    said = (("you expected", step.predicted), ("you saw", step.seen), ("measured here", step.measured.replace(" ", "-")))
    words = [
        [room.number(density, 2), *(room.line(name) for name, choice in said if choice == f"step-{s.number}")]
        for s, (_, density) in zip(one.strip_steps, step.strip)
    ]
    widest = max(look.width(line, "small") for lines in words for line in lines) + look.px(34)
    rows = rows_needed([x for x, _ in middles], widest) if across else 1
    high = look.line_height("small") * max(len(lines) for lines in words) + look.px(8)
    first, down = rect.bottom + look.px(30), high  # below the caption; where the wall ends too soon, on the strip's foot
    if across and first + rows * high > wall.area.bottom:
        first, down, anchor = rect.bottom - look.px(4), -high, "midbottom"
    elif across:
        anchor = "midtop"
    found: list[Plated] = []
    for n, (s, band, lines) in enumerate(zip(one.strip_steps, bands(rect, middles), words)):
        at = (band.centerx, first + n % rows * down) if across else (side, band.centery)
        found.append((at, lines, anchor, "tick" if said[2][1] == f"step-{s.number}" else ""))
    return found


Outline = Callable[[str], list[Point]]


def _outlines(room: OneRoom, wall: OnTheWall, run: LessonRun, number: int) -> Outline | None:
    """Return what gives a place and the outline of its area on a hung sheet, in pixels; None where no sheet hangs."""
    one, pin = wall.prints.get(number), wall.pins.of(number)
    if one is None or pin is None or not pin.up or one.kind != "sheet":
        return None
    rect, size, index = wall.rect(pin), wall.size_mm(number), _index(run, number)
    left, top, wide, high = room.darkroom.wall.frame_mm(number)
    return lambda place: [point_on(rect, *size, left + x * wide, top + y * high) for x, y in _around(run, index, place)]


def _draw_marks(
    canvas: Canvas, room: OneRoom, wall: OnTheWall, run: LessonRun, number: int, marks: Sequence[Mark], points: bool
) -> None:  # fmt: skip
    outline, taken = _outlines(room, wall, run, number), list[Rect]()
    for mark in marks:
        read = KINDS[mark.kind].tones == "one" and not mark.missing
        around = outline(mark.place) if outline is not None and read else []
        if not around:
            continue
        holds = mark.share >= HOLDS
        _outline(canvas, around[1:], holds)
        words = [room.line("reads wanted", read=room.number(mark.measured, 2), wanted=room.number(mark.wanted, 2))]
        if points:
            words.append(room.line("points of", points=room.number(mark.points, 1), full=f"{mark.full_points:g}"))
        taken.append(_free_plate(canvas, around[0], words, "tick" if holds else "dot", taken, _print_rect(wall, number)))


def _draw_evidence(
    canvas: Canvas, room: OneRoom, wall: OnTheWall, run: LessonRun, number: int, evidence: Sequence[Evidence]
) -> None:  # fmt: skip
    """Outline the places that advice speaks of, each with what it says of them."""
    outline, taken = _outlines(room, wall, run, number), list[Rect]()
    for reading in evidence if outline is not None else ():
        around = [found for place in reading.places if (found := outline(place))] if outline is not None else []
        for points in around:
            _outline(canvas, points[1:], False)
        if around:
            key = "reads apart" if len(reading.places) > 1 else "reads dark" if reading.off > 0 else "reads light"
            words = room.line(key, read=room.number(reading.read, 2), off=room.number(abs(reading.off), 2))
            words = room.line("would read", words=words) if reading.then else words
            taken.append(_free_plate(canvas, around[0][0], [words], "dot", taken, _print_rect(wall, number)))


def _print_rect(wall: OnTheWall, number: int) -> Rect:
    pin = wall.pins.of(number)
    return wall.rect(pin) if pin is not None else wall.area


def _free_plate(canvas: Canvas, at: Point, words: list[str], sign: str, taken: list[Rect], inside: Rect) -> Rect:
    """Draw a plate near a point where none lies yet, on the print itself where it is wide enough: a note keeps off prints."""
    look = canvas.look
    wide = max(look.width(one, "small") for one in words) + look.px(30)
    high = look.line_height("small") * len(words) + look.px(4)
    plate = Rect(0, 0, wide, high)
    for dy in (26, -26, 60, -60, 94, -94, 128):
        plate.center = (at[0], at[1] + look.px(dy))
        plate.clamp_ip(inside if inside.w >= wide else canvas.surface.get_clip())
        plate.clamp_ip(canvas.surface.get_clip())
        if plate.collidelist(taken) < 0:
            break
    return draw_plate(canvas, plate.center, words, "center", sign)


def _around(run: LessonRun, index: int, name: str) -> list[tuple[float, float]]:
    """Return a place and the outline of its area, fractions of the frame: the hull of the points that stand for it."""
    negative = run.negatives[index]
    place = next((one for one in negative.places if name in (one.name, one.part)), None)
    if place is None:
        return []
    hull = _hull([(float(x), float(y)) for x, y in area_points(negative, place)])
    mid_x, mid_y = sum(x for x, _ in hull) / len(hull), sum(y for _, y in hull) / len(hull)
    wider = [(mid_x + (x - mid_x) * OUTLINE_SHARE, mid_y + (y - mid_y) * OUTLINE_SHARE) for x, y in hull]
    return [(place.x, place.y), *wider]


def _hull(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return the corners of the smallest convex outline round points, in order."""

    def half(ordered: list[tuple[float, float]]) -> list[tuple[float, float]]:
        out: list[tuple[float, float]] = []
        for p in ordered:
            while len(out) > 1 and _turn(out[-2], out[-1], p) <= 0.0:
                out.pop()
            out.append(p)
        return out[:-1]

    ordered = sorted(set(points))
    return ordered if len(ordered) < 3 else [*half(ordered), *half(ordered[::-1])]


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _outline(canvas: Canvas, points: list[Point], holds: bool) -> None:
    """A line that shows on any tone; dashed where the tone does not hold, so that shape tells as well."""
    look = canvas.look
    if len(points) < 3:
        for at in points:
            pygame.draw.circle(canvas.surface, (255, 255, 255), at, look.px(6), look.px(2))
        return
    closed = [*points, points[0]]
    for one, other in pairwise(closed):
        pygame.draw.line(canvas.surface, (0, 0, 0), one, other, look.px(4))
    for one, other in pairwise(closed):
        steps = max(1, round(math.hypot(other[0] - one[0], other[1] - one[1]) / look.px(6)))
        for k in range(steps):
            if holds or k % 2 == 0:
                a, b = k / steps, (k + 1) / steps
                start = (round(one[0] + (other[0] - one[0]) * a), round(one[1] + (other[1] - one[1]) * a))
                end = (round(one[0] + (other[0] - one[0]) * b), round(one[1] + (other[1] - one[1]) * b))
                pygame.draw.line(canvas.surface, (255, 255, 255), start, end, look.px(2))
