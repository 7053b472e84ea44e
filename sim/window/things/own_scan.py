"""Scans of one's own negatives on the light table: turned, cut, places pointed at, put into sleeves. A folder is a roll."""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

import pygame
from pygame import Rect, Surface

from sim.bench.own_scans import FRAMES_MM, ScanAsked, ScannedFile, measured, put_into_sleeves, scans_at, spot
from sim.plain_text import as_sentence
from sim.refusals import Refused
from sim.window.hands.thing import Cursor, Gesture, Tap
from sim.window.hands.thing import Thing as AnyThing
from sim.window.kit.boxes import cut_bottom, cut_right, cut_top, fit
from sim.window.kit.canvas import Canvas
from sim.window.kit.events import Pointer
from sim.window.kit.picture import grey_surface
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import REFUSALS, OneRoom
from sim.window.things.in_room import InRoom, Plate
from sim.window.things.rows import Row, choice, stacked
from sim.window.things.written import Written

SHEETS: tuple[tuple[int, int] | None, ...] = (None, (2, 1), (1, 2), (2, 2), (3, 2), (2, 3), (4, 3), (6, 1), (6, 2), (6, 6))
SEEN_PX = 900
AGAIN = 12  # logical units: so near a place is touched again
Spots = dict[tuple[int, int], tuple[tuple[str, float, float], ...]]


class FrameSeen(InRoom):
    """The frame over the light table: a touch names a place there, or says where the film is clear."""

    cursor: Cursor = "cross"

    def __init__(self, room: OneRoom, touched: Callable[[float, float], None]):
        super().__init__(room, "frame seen")
        self._touched = touched
        self.view: Surface | None = None
        self.spots: tuple[tuple[str, float, float], ...] = ()

    def press(self, at: Pointer) -> Gesture | None:
        """Point at something."""
        x, y = (at.pos[0] - self.rect.x) / max(1, self.rect.w), (at.pos[1] - self.rect.y) / max(1, self.rect.h)
        self._touched(min(1.0, max(0.0, x)), min(1.0, max(0.0, y)))
        return Tap(self)

    def draw(self, canvas: Canvas) -> None:
        """The frame, and a ring with its name at every place."""
        if self.view is None:
            return
        view, look = self.view, canvas.look
        key = ("frame seen", id(view), self.rect.size)
        canvas.surface.blit(look.keep(key, lambda: pygame.transform.smoothscale(view, self.rect.size)), self.rect)
        for name, x, y in self.spots:
            at = (self.rect.x + round(x * self.rect.w), self.rect.y + round(y * self.rect.h))
            pygame.draw.circle(canvas.surface, (0, 0, 0), at, look.px(8), look.px(3))
            pygame.draw.circle(canvas.surface, (255, 255, 255), at, look.px(7), look.px(1))
            plate = Rect(0, 0, look.width(name, "small") + look.px(8), look.line_height("small"))
            plate.midtop = (at[0], at[1] + look.px(10))
            plate.clamp_ip(self.rect)
            pygame.draw.rect(canvas.surface, look.colour("sunk"), plate)
            canvas.text(name, plate.center, "small", "ink", "center")


class OwnScan(Overlay):
    """The light table at the left, how the scan is taken at the right."""

    share = (0.94, 0.95)

    def __init__(self, room: OneRoom, path: Path | None = None):
        super().__init__(room, room.name("own scan"))
        self.asked, self._film, self._clear = ScanAsked(frame_mm=next(iter(FRAMES_MM.values()))), 0, False
        self._files: tuple[Path, ...] = ()
        self._scans: tuple[ScannedFile, ...] = ()
        self._at = (0, 0)  # scan and frame
        self._spots: Spots = {}
        self._before: tuple[ScanAsked, Spots] = (self.asked, {})  # before the last change of what is asked
        self._waits = "no scan yet"  # why what the rows ask for is not cut; nothing once it is
        self._refusal = ""
        self.path = Written(room, "scan path", str(path or ""), self._look, 1000)
        self.place = Written(room, "place name", "place-1", lambda words: None, 40)
        self.frame = FrameSeen(room, self._pointed)
        self.rows = self._rows()
        self.next, self.keep = Plate(room, "next frame", self._next), Plate(room, "into sleeves", self._keep)
        self.keep.why = self._why_not
        self.next.why = lambda: self._why_not() or ("" if len(self._every()) > 1 else room.line("one frame"))
        if path is not None:
            self._look(str(path))

    def _rows(self) -> list[Row]:
        def row(name: str, read: Callable[[], str], turn: Callable[[int], None]) -> Row:
            return choice(self.room, f"scan {name}", read, turn)

        def on(value: bool) -> str:
            return self.room.line("on" if value else "off")

        return [
            row("turn", lambda: f"{self.asked.turn}°", lambda n: self._ask(turn=(self.asked.turn + 90 * n) % 360)),
            row("over", lambda: on(self.asked.flipped), lambda n: self._ask(flipped=not self.asked.flipped)),
            row("positive", lambda: on(self.asked.inverted), lambda n: self._ask(inverted=not self.asked.inverted)),
            row("rebate", lambda: on(self.asked.find_frame), lambda n: self._ask(find_frame=not self.asked.find_frame)),
            row("sheet", self._sheet_said, self._turn_sheet),
            row("film", lambda: list(FRAMES_MM)[self._film], self._turn_film),
            row("touch", lambda: self.room.line("scan clear" if self._clear else "scan place"), self._turn_touch),
        ]  # fmt: skip

    def _why_not(self) -> str:
        return self.room.line(self._waits) if self._waits else ""

    def _sheet_said(self) -> str:
        return "1" if self.asked.sheet is None else f"{self.asked.sheet[0]} × {self.asked.sheet[1]}"

    def _turn_sheet(self, steps: int) -> None:
        self._ask(sheet=SHEETS[(SHEETS.index(self.asked.sheet) + steps) % len(SHEETS)])

    def _turn_film(self, steps: int) -> None:
        self._film = (self._film + steps) % len(FRAMES_MM)
        self.asked = replace(self.asked, frame_mm=list(FRAMES_MM.values())[self._film])
        if self.asked.find_frame:  # a frame that is looked for must have the film's proportion
            self._ask()

    def _turn_touch(self, steps: int) -> None:
        self._clear = not self._clear

    def _ask(self, **changes: object) -> None:
        """Take the scan in another way: places that were pointed at lie elsewhere then, and are forgotten."""
        self._before = self.asked, self._spots
        self.asked, self._spots = replace(self.asked, **changes), {}  # type: ignore[arg-type]
        self._measure()

    def _look(self, path: str) -> None:
        self._files = scans_at(Path(os.path.expanduser(path))) if path else ()
        if path != self.path.words:  # what was pointed at lies in another scan
            self.asked, self._spots, self._scans = replace(self.asked, clear=None), {}, ()
        self.path.words = path
        self._measure()

    def _measure(self) -> None:
        """Measure the scans beside the window; what was asked last counts, and until it is cut no other cut is kept."""
        files, asked, words = self._files, self.asked, self.room.line("measuring scan")
        if not files:
            return
        self._waits = "measuring scan"

        def job() -> tuple[ScannedFile, ...] | Exception:
            try:
                return measured(files, asked)
            except REFUSALS as error:
                return error

        def then(made: tuple[ScannedFile, ...] | Exception) -> None:
            if (files, asked.choices()) != (self._files, self.asked.choices()):
                return
            if isinstance(made, Exception):
                self._not_cut(made)
                raise made
            self._scans, self._at, self._waits, self._refusal = made, (0, 0), "", ""
            self._show()

        self.room.later(job, then, words)

    def _not_cut(self, error: Exception) -> None:
        """Clear the table: the frames of an earlier cut are not what the rows ask for.

        Where only another spot of clear film was shown, all stays as it was, and the next touch shows it again.
        """
        before, spots = self._before
        if self._scans and before != self.asked and replace(self.asked, clear=before.clear) == before:
            self.asked, self._spots, self._waits, self._clear = before, spots, "", True
            return
        told = self.room.said(str(error))
        self._refusal = as_sentence(f"{told[:1].upper()}{told[1:]}")
        self._scans, self._waits, self.frame.view, self.frame.spots = (), "cut refused", None, ()

    def _every(self) -> list[tuple[int, int]]:
        return [(n, k) for n, one in enumerate(self._scans) for k in range(len(one.scan.frames))]

    def _show(self) -> None:
        scan, frame = self._at
        self.frame.view = grey_surface(self._scans[scan].seen(frame, SEEN_PX))
        self.frame.spots = self._spots.get(self._at, ())
        facts = self._scans[scan].scan.facts
        if facts.grid_unseen:
            self.room.say("scan uneven grid", warn=True)
        elif facts.coarse:
            self.room.say("scan coarse", bits=facts.bits)
        elif facts.clear_guessed:
            self.room.say("scan guessed")
        else:
            self.room.say("scan shown" if facts.clear_by == "said" else "scan rebate seen")

    def _next(self) -> None:
        every = self._every()
        self._at = every[(every.index(self._at) + 1) % len(every)]
        self._show()

    def _pointed(self, x: float, y: float) -> None:
        if self._waits:
            raise Refused(self._why_not())
        if self._clear:
            box = self._scans[self._at[0]].scan.frames[self._at[1]].box
            self._clear = False
            self._ask(clear=self.asked.in_scan(box, x, y))
            return
        there, (wide, high) = self._spots.get(self._at, ()), self.frame.rect.size
        left = tuple(one for one in there if math.hypot((one[1] - x) * wide, (one[2] - y) * high) > self.room.px(AGAIN))
        if left != there:  # touched again, a place is none any more
            self._spots[self._at] = left
            self._show()
            return
        name = self.place.typed or self.place.words
        spot(name, x, y)
        self._spots[self._at] = (*there, (name, round(x, 4), round(y, 4)))
        self.place.words, self.place.typed = f"place-{len(self._spots[self._at]) + 1}", None
        self._show()

    def _keep(self) -> None:
        """Put every frame into a sleeve; the first one is in the carrier."""
        spots = {at: tuple(spot(*one) for one in there) for at, there in self._spots.items()}
        names = put_into_sleeves(self._scans, list(FRAMES_MM.values())[self._film], spots)
        count = self.room.words.count("{n} sleeve lies on your shelf.", "{n} sleeves lie on your shelf.", len(names))
        self.room.say_words(count)
        if self.room.open and not self.room.darkroom.locked("negative"):
            self.room.darkroom.desk.place_negative(names[0], usual=True)
            self.room.wanted_place = "enlarger"
        self.close()

    def plates(self) -> Sequence[Plate]:
        """The next frame, keep them all, leave it."""
        return self.next, self.keep, self.done

    def things(self) -> Sequence[AnyThing]:
        """Return path, frame, rows, plates."""
        return [self.path, self.frame, *self.rows, self.place, *self.plates()]

    def lay_out(self, area: Rect) -> None:
        """The frame takes what the rows leave."""
        super().lay_out(area)
        px, look = self.room.px, self.room.look
        self.path.rect, rest = cut_top(self.above_the_foot(8, 8), self.path.high(), px(8))
        rows, left = cut_right(rest, max(px(230), rest.w * 36 // 100), px(14))
        self.place.rect, rows = cut_bottom(rows, self.place.high(), px(8))
        stacked(self.rows, rows, look.line_height("small") + px(12))
        view = self.frame.view
        self.frame.rect = fit(view.get_size(), left) if view is not None else Rect(0, 0, 0, 0)
        self._table = left

    def draw(self, canvas: Canvas) -> None:
        """The light table, and what to do while nothing lies on it."""
        super().draw(canvas)
        if self.frame.view is None:
            look = canvas.look
            pygame.draw.rect(canvas.surface, look.colour("sunk"), self._table, border_radius=look.px(4))
            words, colour = (self._refusal, "ink") if self._refusal else (self.room.line("drop scan"), "soft")
            canvas.lines(words, self._table.inflate(-look.px(30), -look.px(30)), "body", colour)
