"""Prints as they hang: shadow, picture, pin, caption, a strip's steps; and the densitometer where it stands."""

from __future__ import annotations

import pygame
from pygame import Rect, Surface

from sim.window.kit.boxes import stood
from sim.window.kit.canvas import Canvas
from sim.window.kit.look import Look
from sim.window.kit.shading import disc, smooth
from sim.window.things.pins import Pin
from sim.window.things.print_pictures import NEAR
from sim.window.things.strip_meant import rows_needed, side_by_side
from sim.window.things.wall import SETTLED_S, OnTheWall


def draw_prints(canvas: Canvas, wall: OnTheWall) -> bool:
    """Draw everything that hangs; returns whether some picture is still to be made."""
    before, waiting = canvas.surface.get_clip(), False
    canvas.surface.set_clip(wall.area)
    for pin in wall.hanging():
        rect = wall.rect(pin)
        if rect.colliderect(wall.area.inflate(200, 200)):
            waiting = _draw_print(canvas, wall, pin, rect) or waiting
    for pin in wall.hanging():  # no print that hangs below lies over the words of the one above
        rect = wall.rect(pin)
        if rect.colliderect(wall.area):
            _draw_caption(canvas, wall, pin.number, rect)
            _draw_steps(canvas, wall, pin.number, rect)
    canvas.surface.set_clip(before)
    return waiting


def _draw_print(canvas: Canvas, wall: OnTheWall, pin: Pin, rect: Rect) -> bool:
    """Draw one print; returns whether its picture is still to be made. Until then it says so."""
    look, bench, number = canvas.look, wall.room.darkroom.wall, pin.number
    args = (wall.lux if wall.room.light == "white" else 500.0, wall.wet, wall.tint())
    grid = bench.record(number).sheet
    near = rect.w / grid.width_mm > NEAR * 4.0 or max(rect.size) > 1400
    shadow = _shadow(look, rect)
    if shadow is not None:
        canvas.surface.blit(shadow, (rect.x - look.px(8), rect.y - look.px(5)))
    there = True
    if near and wall.moved_s >= SETTLED_S:
        cut = wall.pictures.cut(bench, number, rect, wall.area, *args)
        if cut is not None:
            canvas.surface.blit(cut[0], cut[1])
    else:
        size, now = (max(8, rect.w), max(8, rect.h)), wall.moved_s >= SETTLED_S and not near
        picture, there = wall.pictures.whole(bench, number, size, *args, now=now)
        if picture is not None:
            canvas.surface.blit(picture, rect)
        else:
            pygame.draw.rect(canvas.surface, look.colour("faint"), rect)
            words, inner = wall.room.line("print failed" if there else "print coming"), rect.inflate(-look.px(12), -look.px(12))
            if all(look.width(word, "small") <= inner.w for word in words.split()):
                canvas.block(words, inner, "small", "ink")
    _draw_pin(canvas, rect, bool(wall.prints[number].nominated))
    if number == wall.chosen:
        pygame.draw.rect(canvas.surface, look.colour("focus"), rect.inflate(look.px(6), look.px(6)), max(1, look.px(1.5)))
    return not there


def _shadow(look: Look, rect: Rect) -> Surface | None:
    if max(rect.size) > 1600:
        return None

    def make() -> Surface:
        wide, high = rect.w + look.px(16), rect.h + look.px(16)
        shadow = Surface((wide, high), pygame.SRCALPHA)
        for n in range(6):
            inner = stood((wide - 2 * n * look.px(1.4), high - 2 * n * look.px(1.4)), "center", (wide // 2, high // 2))
            layer = Surface((wide, high), pygame.SRCALPHA)
            pygame.draw.rect(layer, (0, 0, 0, 11), inner, border_radius=look.px(6))
            shadow.blit(layer, (0, 0))
        return shadow

    return look.keep(("print shadow", rect.size), make)


def _draw_pin(canvas: Canvas, rect: Rect, counts: bool) -> None:
    """The pin's head with its shade; a print that counts has a lit one, and a tick on a disc that shows on white paper."""
    look, side = canvas.look, canvas.look.px(16)
    colour = look.colour("lamp" if counts else "soft")

    def draw(big: Surface, n: int) -> None:
        middle, u = big.get_width() // 2, look.px(1) * n
        pygame.draw.circle(big, look.colour("shade"), (middle + u, middle + 2 * u), 4 * u)
        pygame.draw.circle(big, colour, (middle, middle), (5 if counts else 4) * u)

    pin = look.keep(("pin", side, counts), lambda: smooth((side, side), draw))
    canvas.surface.blit(pin, pin.get_rect(center=(rect.centerx, rect.y + look.px(3))))
    if counts:
        at = (rect.right - look.px(14), rect.y + look.px(14))
        plate = disc(look, side, look.colour("sunk"))
        canvas.surface.blit(plate, plate.get_rect(center=at))
        canvas.mark("tick", at, look.px(11), "lamp")


def _draw_caption(canvas: Canvas, wall: OnTheWall, number: int, rect: Rect) -> None:
    """On a plate of its own, so that the words read on any wall and the wall stays grey."""
    look, strip = canvas.look, bool(wall.prints[number].strip_steps)
    room = rect.w + look.px(40) if strip else max(rect.w, look.px(30))  # a strip's seconds keep others off it
    labels = wall.labels(number)
    words = next((one for one in labels if look.width(one, "small") + look.px(12) <= room), labels[-1])
    plate = Rect(0, 0, look.width(words, "small") + look.px(12), look.line_height("small") + look.px(3))
    under = stood(plate.size, "midtop", (rect.centerx, min(rect.bottom + look.px(5), wall.area.bottom - plate.h)))
    inside = stood(plate.size, "midbottom", (rect.centerx, rect.bottom - look.px(4)))
    hung = wall.hanging()
    above = [wall.rect(pin) for pin in hung[[pin.number for pin in hung].index(number) + 1 :]]  # prints that may lie over it
    free = [one for one in (under, inside) if wall.area.contains(one) and one.collidelist(above) < 0]
    if not free:
        return
    canvas.plate(free[0], "", radius=3)
    canvas.text(words, free[0].center, "small", "ink" if number == wall.chosen else "soft", "center")


def _draw_steps(canvas: Canvas, wall: OnTheWall, number: int, rect: Rect) -> None:
    """The seconds of every step beside the strip, as one pencils them."""
    one, look = wall.prints[number], canvas.look
    if not one.strip_steps or rect.h < look.px(60):
        return
    under = wall.step_under() if wall.point is not None and wall.point[0] == number else None
    for step, plate in zip(one.strip_steps, step_plates(wall, number, rect, look)):
        here = under is not None and under[0] == step.number
        canvas.plate(plate, "lamp" if here else "", radius=3)
        words = f"{wall.room.number(step.time_s)} s"
        words = words if look.width(words, "small") <= plate.w else words.removesuffix(" s")
        canvas.text(words, plate.center, "small", "ink" if here else "soft", "center")


def step_plates(wall: OnTheWall, number: int, rect: Rect, look: Look) -> list[Rect]:
    """Return where the seconds of a strip's steps stand: at its side where no other print hangs, else on the strip itself.

    Steps that are narrower than their words have them in rows.
    """
    one, gap = wall.prints[number], look.px(3)
    points = [(rect.x + round(s.x_mm / one.width_mm * rect.w), rect.y + round(s.y_mm / one.height_mm * rect.h))
              for s in one.strip_steps]  # fmt: skip
    said, high = [wall.room.number(s.time_s) for s in one.strip_steps], look.line_height("small") + look.px(2)
    wide = max(look.width(f"{words} s", "small") for words in said) + look.px(8)
    bare = max(look.width(words, "small") for words in said) + look.px(4)  # room for the number alone
    beside = side_by_side(points)
    rows = rows_needed([x for x, _ in points], wide + gap) if beside else 1
    below_each_other = (
        ("midleft", rect.right + gap, wide), ("midright", rect.x - gap, wide), ("midleft", rect.right + gap, bare),
        ("midright", rect.x - gap, bare), ("midright", rect.right - gap, wide),
    )  # fmt: skip
    ways = (("midbottom", rect.y - gap, wide), ("midtop", rect.y + gap, wide)) if beside else below_each_other
    others = [wall.rect(pin) for pin in wall.hanging() if pin.number != number]
    found: list[Rect] = []
    for anchor, at, across in ways:
        shift = (high + gap) * (-1 if anchor == "midbottom" else 1)
        found = [
            stood((across, high), anchor, (x, at + n % rows * shift) if beside else (at, y)) for n, (x, y) in enumerate(points)
        ]  # fmt: skip
        if all(wall.area.contains(plate) and plate.collidelist(others) < 0 for plate in found):
            break
    return found


def point_px(wall: OnTheWall) -> tuple[int, int] | None:
    """Return where the densitometer stands on the screen, or None."""
    if wall.point is None:
        return None
    number, x, y = wall.point
    pin = wall.pins.of(number)
    if pin is None or not pin.up or number not in wall.prints:
        return None
    rect, (wide, high) = wall.rect(pin), wall.size_mm(number)
    return rect.x + round(x / wide * rect.w), rect.y + round(y / high * rect.h)


def draw_densitometer(canvas: Canvas, at: tuple[int, int], radius: int) -> None:
    """Two rings, dark and light, so that they show on any tone, and four sight lines."""
    look, surface = canvas.look, canvas.surface
    radius = max(radius, look.px(4))
    pygame.draw.circle(surface, (0, 0, 0), at, radius + look.px(3), look.px(2))
    pygame.draw.circle(surface, (255, 255, 255), at, radius + look.px(1), look.px(1))
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        one = (at[0] + dx * (radius + look.px(3)), at[1] + dy * (radius + look.px(3)))
        other = (at[0] + dx * (radius + look.px(11)), at[1] + dy * (radius + look.px(11)))
        pygame.draw.line(surface, (0, 0, 0), one, other, look.px(3))
        pygame.draw.line(surface, (255, 255, 255), one, other, look.px(1))
