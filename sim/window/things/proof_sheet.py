"""The proof sheet of a roll on the table: frames worth printing are ringed, and the last one touched goes into the carrier."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pygame
from pygame import Rect

from sim.bench.proof_of_roll import RollProof
from sim.notebook.proof_page import Box
from sim.notebook.worth_printing import mark_frames, marked_frames
from sim.refusals import Refused
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_bottom, fit
from sim.window.kit.canvas import Canvas
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import InRoom, Plate
from sim.window.things.rows import along_the_foot
from sim.window.things.shown_page import ShownPage


class ProofSheet(ShownPage):
    """The page as it was written, its frames to be touched; marks are kept at once, and the page is written anew with them."""

    def __init__(self, room: OneRoom, made: RollProof, boxes: tuple[Box, ...], picture: bytes, back: Callable[[], object]):
        super().__init__(room, picture, made.files[0], back)
        self.title = room.name("proof")
        self._made, self._boxes = made, boxes
        self._written = self.marked = marked_frames(room.folder)
        self.chosen: int | None = None
        self.frames = [FrameOnProof(room, self, n) for n in range(len(boxes))]
        self.carrier = Plate(room, "into carrier", self._into_carrier)
        self.carrier.why = lambda: room.darkroom.locked("negative") or ""

    def negative(self, number: int) -> str:
        """Return the name of a frame's negative."""
        return self._made.proof.frames[number].negative.name

    def touch(self, number: int) -> None:
        """Choose a frame, and mark it; marked already, its mark is taken away."""
        name, self.chosen = self.negative(number), number
        there = name in self.marked
        self.marked = mark_frames(self.room.folder, () if there else (name,), (name,) if there else ())
        self.room.say("frame unmarked" if there else "frame marked", n=number + 1, negative=self.room.place_name(name))

    def _into_carrier(self) -> None:
        if self.chosen is None:
            raise Refused(self.room.line("choose frame"))
        self.room.darkroom.desk.place_negative(self.negative(self.chosen))
        self.room.wanted_place = "enlarger"
        self._write()
        super(ShownPage, self).close()

    def close(self) -> None:
        """Back to where one was; the page is written anew where marks are others."""
        self._write()
        super().close()

    def _write(self) -> None:
        made, marked = self._made, self.marked
        if marked != self._written:
            self._written = marked
            self.room.later(lambda: made.write(marked), lambda _: None, self.room.line("printing proof"))

    def things(self) -> Sequence[Thing]:
        """Return frames, words and plates."""
        return [*self.frames, self.where, self.carrier, self.done]

    def draw(self, canvas: Canvas) -> None:
        """The page, and over it what is marked."""
        super().draw(canvas)
        for frame in self.frames:
            frame.draw(canvas)

    def lay_out(self, area: Rect) -> None:
        """Frames lie where the page has them."""
        super().lay_out(area)
        px, left = self.room.px, self.inner.x
        tall = along_the_foot((self.done, self.carrier), self.inner, px(10))
        low, self._room = cut_bottom(self.inner, max(tall, 2 * self.room.look.line_height("small")), px(10))
        self.where.lay_out(Rect(left, low.y, self.carrier.rect.x - left - px(14), low.h))
        page = fit(self._page.get_size(), self._room) if self._page is not None else Rect(0, 0, 0, 0)
        for frame, (across, down, wide, high) in zip(self.frames, self._boxes, strict=True):
            corner = page.x + round(across * page.w), page.y + round(down * page.h)
            frame.rect = Rect(corner, (round(wide * page.w), round(high * page.h)))


class FrameOnProof(InRoom):
    """A frame of the proof: touched, it is marked as worth printing."""

    key_of_words = "proof frame"

    def __init__(self, room: OneRoom, sheet: ProofSheet, number: int):
        super().__init__(room, f"proof frame {number + 1}")
        self._sheet, self._number = sheet, number

    def name(self) -> str:
        """Its number and negative."""
        return f"{self._number + 1} · {self.room.place_name(self._sheet.negative(self._number))}"

    def now(self) -> str:
        """Whether it is marked."""
        return self.room.line("worth printing") if self._marked else ""

    @property
    def _marked(self) -> bool:
        return self._sheet.negative(self._number) in self._sheet.marked

    def pressed(self) -> None:
        """Mark it, or take the mark away."""
        self._sheet.touch(self._number)

    def draw(self, canvas: Canvas) -> None:
        """A ring round it where it is marked; a thin one where the hand is, or was last."""
        look, around = canvas.look, self.rect.inflate(canvas.look.px(4), canvas.look.px(4))
        chosen = self._sheet.chosen == self._number
        if self.hot or chosen:
            pygame.draw.rect(canvas.surface, look.colour("focus"), around.inflate(look.px(6), look.px(6)), max(1, look.px(1)))
        if self._marked:
            pygame.draw.rect(canvas.surface, (16, 16, 16), around, look.px(3))
            canvas.mark("tick", (self.rect.right - look.px(9), self.rect.y + look.px(9)), look.px(14), "lamp")
