"""The note: one line of the lesson on a slip of paper beside the thing it means, with its answers and signs."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import pygame
from pygame import Rect

from sim.window.hands.thing import Thing
from sim.window.kit.boxes import hiding_least
from sim.window.kit.canvas import Canvas
from sim.window.kit.shading import cast
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import InRoom, Plate
from sim.window.things.written import Written

WIDTHS = (*((wide, "body") for wide in (150, 185, 225, 320, 430, 560)), (640, "small"), (900, "small"))
HIGHEST = 0.62  # of the place's height, as long as a wider note is possible
EDGE, GAP = 12, 6
AWAY = 12.0  # pixels of what is hidden that a note may cost to stand a pixel nearer to what it means
STAYS = 80  # logical units that its target may move before a note looks for another place
STAYS_WORTH = 1e6  # more than any way on the screen costs: where it can stay it stays (chosen: a hand need not look for it)
HIDES = 40.0  # what a pixel of a thing that can be used weighs: none is hidden while there is any other place
NARROW = 225  # a narrower note has no room for writing


class AnswerPlate(InRoom):
    """One answer: touched, it is said. Arrows go to its neighbours."""

    key_of_words = "answer"

    def __init__(self, room: OneRoom, key: str, words: str, said: Callable[[str], None], beside: Callable[[Thing, int], None]):
        super().__init__(room, f"answer {key}")
        self.key_said, self.words = key, words[:1].upper() + words[1:]
        self._said, self._beside = said, beside

    def name(self) -> str:
        """The answer itself."""
        return self.words

    def pressed(self) -> None:
        """Say it."""
        self._said(self.key_said)

    def nudged(self, right: int, down: int, fine: bool) -> bool:
        """To the answer beside it."""
        self._beside(self, right + down)
        return True

    @property
    def short(self) -> str:
        """What stands on the plate: of a step its number."""
        return self.key_said.removeprefix("step-") if self.key_said.startswith("step-") else self.words

    def high_for(self, wide: int, size: str) -> int:
        """Return its height at a width."""
        look = self.room.look
        return len(look.wrapped(self.short, wide - look.px(16), size)) * look.line_height(size) + look.px(8)

    def draw(self, canvas: Canvas) -> None:
        """A raised slip."""
        look, rect = canvas.look, self.rect
        canvas.plate(rect, "lamp" if self.hot else "edge", "raised")
        if self.key_said.startswith("step-"):
            canvas.text(self.short, rect.center, "strong", "ink", "center", rect.w)
        else:
            inner = rect.inflate(-look.px(16), -look.px(8))
            size = "body" if self.high_for(rect.w, "body") <= rect.h else "small"
            canvas.lines(self.short, inner, size, "ink")


class Note(InRoom):
    """The slip: drawn with its words; a touch goes on."""

    key_of_words, cursor, reachable = "teacher", "hand", False

    def __init__(self, room: OneRoom, go_on: Callable[[], None]):
        super().__init__(room, "note")
        self._go_on = go_on
        self.words, self.count, self.title, self.banner = "", "", "", ""
        self.text = self.head = Rect(0, 0, 0, 0)
        self.count_at = self.banner_at = (0, 0)
        self.size = "body"
        self.hides = False  # whether it lies over something, because there was no other place
        self._key: object = None
        self._among: list[tuple[int, ...]] = []  # what it stood among: its target, and what it shall not hide
        self._stood_at = (0, 0)
        self._on_at: tuple[int, int] | None = None  # where Go on stood last

    def now(self) -> str:
        """What it says."""
        return self.words

    def pressed(self) -> None:
        """Go on."""
        self._go_on()

    def lay_out(
        self, area: Rect, target: Rect, avoid: Sequence[Rect], answers: Sequence[AnswerPlate], plates: Sequence[Plate],
        own: Written | None, away: Rect,
    ) -> None:  # fmt: skip
        """Stand beside a target, as small as the words allow, over as little of what is looked at as may be."""
        px = self.room.px
        inside = area.inflate(-px(12), -px(12))
        key = (self.words, self.title, self.count, self.banner, tuple(inside), [a.id for a in answers],
               [(p.id, p.name()) for p in plates], own is not None)  # fmt: skip
        among = [tuple(target), *(tuple(one) for one in avoid)]
        near = math.dist(self._stood_at, target.center) <= px(STAYS)
        still = among == self._among or (near and not self.hides and self.rect.collidelist(avoid) < 0)
        if key != self._key or not still:  # where it is free of everything it stays, though things beside it move
            self._key, self._stood_at = key, target.center
            found: list[tuple[bool, bool, float, Rect, str]] = []
            least = max((plate.wanted()[0] for plate in plates), default=0) + 2 * px(EDGE)
            for wide, size in WIDTHS:
                self.size = size
                width = min(px(wide), inside.w)
                too_narrow = wide < NARROW and (width < least or own is not None)
                if too_narrow or (size != "body" and found):
                    continue
                high = self._arrange(Rect(0, 0, width, 10), answers, plates, own, away)
                cost, rect = _best(Rect(0, 0, width, high), inside, target, avoid, px(14))
                stays = self._where_on_was((width, high), plates, inside, target, avoid)
                cost, rect = (cost - STAYS_WORTH, stays) if stays is not None else (cost, rect)
                hides = rect.collidelist(avoid) >= 0 or not inside.contains(rect)
                if high <= inside.h * (HIGHEST if size == "body" and hides else 1.0):
                    found.append((hides, wide < NARROW, cost, rect, size))
            nowhere = (True, True, 0.0, inside.copy(), "small")
            self.hides, _, _, self.rect, self.size = min(found, key=lambda one: one[:3]) if found else nowhere
        self._among = among
        self._arrange(self.rect, answers, plates, own, away)
        self._on_at = next((one.rect.topleft for one in plates if one.id == "note on"), self._on_at)

    def _where_on_was(
        self, size: tuple[int, int], plates: Sequence[Plate], inside: Rect, target: Rect, avoid: Sequence[Rect]
    ) -> Rect | None:
        """Return where the note, laid out at the origin, has Go on under the hand again; None where it would hide anything."""
        on = next((one.rect.topleft for one in plates if one.id == "note on"), None)
        if self._on_at is None or on is None:
            return None
        rect = Rect((self._on_at[0] - on[0], self._on_at[1] - on[1]), size)
        small = target.w * target.h < inside.w * inside.h // 4
        free = inside.contains(rect) and rect.collidelist(avoid) < 0 and not (small and rect.colliderect(target))
        return rect if free else None

    def _arrange(
        self, rect: Rect, answers: Sequence[AnswerPlate], plates: Sequence[Plate], own: Written | None, away: Rect
    ) -> int:
        """Lay everything out in a rectangle's width; returns the height it takes."""
        px, look = self.room.px, self.room.look
        x, y, wide = rect.x + px(EDGE), rect.y + px(8), rect.w - 2 * px(EDGE)
        side = look.line_height("small") + px(4)
        away.update(rect.right - px(EDGE) - side + px(4), y - px(2), side, side)
        y = self._arrange_head(Rect(x, y, wide - side, 0)) + px(4)
        self.banner_at, y = (x, y), y + (look.line_height("title") + px(4) if self.banner else 0)
        lines = len(look.wrapped(self.words, wide, self.size))
        self.text = Rect(x, y, wide, lines * look.line_height(self.size))
        y = self.text.bottom + px(GAP)
        y = _flow([(one, one.high_for) for one in answers], x, y, wide, px(GAP), self.size, self.room)
        if own is not None:
            own.rect = Rect(x, y, wide, own.high())
            y = own.rect.bottom + px(GAP)
        at, row = x, 0
        if plates and plates[0].id in ("hint", "task"):  # where Go on stood nothing else comes to lie under the hand
            at += min(look.width(self.room.name("note on")) + px(24 + GAP), max(0, wide - plates[0].wanted()[0]))
        for plate in plates:
            w, h = plate.wanted()
            if at > x and at + w > x + wide:
                at, y = x, y + row + px(GAP)
            plate.rect, row = Rect(at, y, min(w, wide), h), h
            at += w + px(GAP)
        return y + row + px(8) - rect.y

    def _arrange_head(self, rect: Rect) -> int:
        """Lay the lesson's name above, whole, and which line it is beside it or below; return where the next thing begins."""
        look, line = self.room.look, self.room.look.line_height("small")
        beside = look.width(self.title, "small") + look.px(10) + look.width(self.count, "small") <= rect.w
        lines = 1 if beside else len(look.wrapped(self.title, rect.w, "small"))
        self.head = Rect(rect.x, rect.y, rect.w, lines * line)
        self.count_at = (rect.right, rect.y) if beside else (rect.x, self.head.bottom)
        return self.head.bottom + (0 if beside or not self.count else line)

    def draw(self, canvas: Canvas) -> None:
        """Paper in the room's light, the lesson's name small above."""
        look, rect = canvas.look, self.rect
        cast(canvas.surface, look, rect, 10, 4)
        canvas.plate(rect, "lamp", radius=6)
        canvas.lines(self.title, self.head, "small", "soft")
        if self.count:
            anchor = "topright" if self.count_at[0] > self.head.x else "topleft"
            canvas.text(self.count, self.count_at, "small", "soft", anchor)
        if self.banner:  # that it is passed is the news: read from across the room
            mark = canvas.text(self.banner, (self.banner_at[0] + look.px(26), self.banner_at[1]), "title", "lamp", "topleft")
            canvas.mark("tick", (self.banner_at[0] + look.px(11), mark.centery), look.px(18), "lamp")
        canvas.lines(self.words, self.text, self.size, "ink")


def _flow(
    answers: Sequence[tuple[AnswerPlate, Callable[[int, str], int]]], x: int, y: int, wide: int, gap: int, size: str,
    room: OneRoom,
) -> int:  # fmt: skip
    """Lay answers beside each other while they fit, else below; returns where the next thing begins."""
    at, row, before = x, 0, False
    for plate, high_for in answers:
        short = plate.key_said.startswith("step-")
        if short and not before and at > x:  # steps stand in a row of their own
            at, y, row = x, y + row + gap, 0
        before = short
        w = room.px(34) if short else min(wide, room.look.width(plate.short, size) + room.px(20))
        h = high_for(w, size)
        if at > x and at + w > x + wide:
            at, y, row = x, y + row + gap, 0
        plate.rect = Rect(at, y, w, h)
        at, row = at + w + gap, max(row, h)
    return y + row + gap if answers else y


def _best(size: Rect, inside: Rect, target: Rect, avoid: Sequence[Rect], gap: int) -> tuple[float, Rect]:
    """Return where the note hides least: beside the target, else in a corner or at an edge; and what that costs."""
    w, h = size.size
    spots = [
        (target.right + gap, target.centery - h // 3), (target.x - gap - w, target.centery - h // 3),
        (target.right + gap, target.bottom - h), (target.right + gap, target.y - h), (target.right + gap, target.y),
        (target.x - gap - w, target.bottom - h), (target.x - gap - w, target.y), (target.x, target.bottom + gap),
        (target.centerx - w // 2, target.bottom + gap), (target.centerx - w // 2, target.y - gap - h),
        *((x, y) for x in (inside.x, inside.right - w) for y in (inside.y, inside.centery - h // 2, inside.bottom - h)),
    ]  # fmt: skip
    spots += [
        (x, y) for one in avoid for x in (one.x - gap // 2 - w, one.right + gap // 2)
        for y in (one.y, one.bottom - h, inside.y, target.centery - h // 3)
    ]  # fmt: skip
    small = target.w * target.h < inside.w * inside.h // 4  # what fills the place is meant as a whole
    hides = [(3.0 * HIDES * small, target), *((HIDES, one) for one in avoid)]
    return hiding_least((w, h), spots, inside, hides, target.center, AWAY)


def draw_thread(canvas: Canvas, note: Rect, target: Rect, area: Rect, avoid: Sequence[Rect] = ()) -> None:
    """A thread from the note to what it means, where it runs over nothing else; a small thing gets a ring of light."""
    look = canvas.look
    if target.w * target.h < area.w * area.h // 8:
        ring = target.inflate(look.px(8), look.px(8)).clip(canvas.surface.get_rect())
        pygame.draw.rect(canvas.surface, look.colour("lamp"), ring, max(1, look.px(2)), border_radius=look.px(6))
    if note.colliderect(target):
        return
    x = min(max(target.centerx, note.x + look.px(10)), note.right - look.px(10))
    y = min(max(target.centery, note.y + look.px(10)), note.bottom - look.px(10))
    start = (
        (note.right if target.x >= note.right else note.x if target.right <= note.x else x),
        (note.bottom if target.y >= note.bottom else note.y if target.bottom <= note.y else y),
    )
    end = min(max(start[0], target.x), target.right), min(max(start[1], target.y), target.bottom)
    if any(one.clipline(start, end) for one in avoid if not one.colliderect(target)):
        return
    pygame.draw.line(canvas.surface, look.colour("lamp"), start, end, max(1, look.px(1.5)))
    pygame.draw.circle(canvas.surface, look.colour("lamp"), end, look.px(3))
