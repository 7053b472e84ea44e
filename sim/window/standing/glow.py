"""What is drawn over every place: a lamp that burns glows at the edge wherever one looks; help where the pointer rests."""

from __future__ import annotations

from collections.abc import Sequence

import pygame
from pygame import Rect, Surface

from sim.window.hands.thing import Thing
from sim.window.kit.boxes import hiding_least, stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.shading import cast
from sim.window.standing.room import OneRoom
from sim.window.standing.standing import ALONG_THE_BENCH
from sim.window.things.trays import bath_words

GLOW, STRENGTH = 70, 110
BESIDE = 54  # px: the cards on their rail at the enlarger stay clear
NOTE = 180  # px: the width that a note at the side may take


def draw_edge_glow(canvas: Canvas, room: OneRoom, area: Rect) -> None:
    """Let the burning lamp, and a sheet in a bath, be seen at the side where they are."""
    if not room.open:
        return
    look, here = canvas.look, ALONG_THE_BENCH.index(room.standing.place)
    if room.burning and room.standing.place != "enlarger":
        right = ALONG_THE_BENCH.index("enlarger") > here
        _glow(canvas, area, right)
        _side_note(canvas, area, right, f"{room.number(room.darkroom.paper.left_s)} s")
    tray = room.darkroom.tray
    if tray.stage not in ("", "dry") and room.standing.place != "trays":
        right = ALONG_THE_BENCH.index("trays") > here
        beside = area.inflate(-2 * look.px(BESIDE), 0) if room.standing.place == "enlarger" else area
        _side_note(canvas, beside, right, bath_words(room), "small")


def _glow(canvas: Canvas, area: Rect, right: bool) -> None:
    look = canvas.look
    wide = look.px(GLOW)

    def make() -> Surface:
        picture = Surface((wide, area.h), pygame.SRCALPHA)
        for x in range(wide):
            share = (x + 1) / wide if right else 1.0 - x / wide
            pygame.draw.line(picture, (255, 222, 170, round(STRENGTH * share**2)), (x, 0), (x, area.h))
        return picture

    picture = look.keep(("edge glow", wide, area.h, right), make)
    canvas.surface.blit(picture, (area.right - wide if right else area.x, area.y))


def _side_note(canvas: Canvas, area: Rect, right: bool, words: str, size: str = "strong") -> None:
    look = canvas.look
    lines, one = look.wrapped(words, look.px(NOTE), size), look.line_height(size)
    across = max(look.width(line, size) for line in lines)
    plate = Rect(area.x + look.px(6), area.y + look.px(12), across + look.px(16), one * len(lines) + look.px(8))
    if right:
        plate.right = area.right - look.px(6)
    canvas.plate(plate, "lamp")
    for n, line in enumerate(lines):
        canvas.text(line, (plate.centerx, plate.y + look.px(4) + n * one), size, "ink", "midtop")


def draw_told(canvas: Canvas, room: OneRoom, thing: Thing, at: tuple[int, int], others: Sequence[Rect]) -> None:
    """Tell what the pointer rests on: its name, what it stands at, how it is worked, why it is locked; over no other thing."""
    look = canvas.look
    name, now, about, why = thing.name(), thing.now(), thing.about(), thing.locked()
    if not name:
        return
    head = f"{name}: {now}" if now and now != name else name
    wide = min(look.px(330), canvas.surface.get_width() // 2)
    lines = [(line, "strong", "ink") for line in look.wrapped(head, wide, "strong")]
    lines += [(line, "small", "soft") for line in look.wrapped(about, wide, "small")] if about else []
    locked = look.wrapped(room.line("locked", why=room.said(why)), wide, "small") if why else []
    lines += [(line, "small", "warn") for line in locked]
    high = sum(look.line_height(size) for _, size, _ in lines)
    across = max(look.width(words, size) for words, size, _ in lines)
    plate_size, inside = (across + look.px(18), high + look.px(12)), canvas.surface.get_rect().inflate(-look.px(8), -look.px(8))
    (x, y), gap, own = at, look.px(14), thing.rect
    lefts = (x + gap, x - gap - plate_size[0], x - plate_size[0] // 2)
    tops = [y + look.px(20), y - look.px(8) - plate_size[1]]
    tops += [top for one in (own, *others) for top in (one.bottom + gap, one.y - gap - plate_size[1])]
    spots = [(left, top) for left in lefts for top in tops]
    hides = [(1.0, other) for other in others] + [(1.0, own), (20.0, stood((gap, gap), "center", at))]
    _, plate = hiding_least(plate_size, spots, inside, hides, at, look.px(20))
    cast(canvas.surface, look, plate, 8, 3)
    canvas.plate(plate, "edge")
    y = plate.y + look.px(6)
    for words, size, colour in lines:
        canvas.text(words, (plate.x + look.px(9), y), size, colour)
        y += look.line_height(size)
