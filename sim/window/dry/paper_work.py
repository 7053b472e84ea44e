"""What the hands do with paper: out of the box, placed, exposed, thrown away, taken to the wet bench."""

from __future__ import annotations

from typing import Any

from sim.refusals import Refused
from sim.window.dry.predicting import before_developing
from sim.window.kit.events import HANDLED, Answer, Outcome, Question, asked, said


class PaperWork:
    """Part of the enlarger's screen: everything about the piece of paper in hand."""

    darkroom: Any
    _wish_place: tuple[float, float] | None = None

    def foot_switch(self) -> Outcome:
        """Lamp on, or off before its time."""
        return self.lamp.switch({"real": 1.0, "fast": 4.0, "at-once": float("inf")}[self.timer.speed])

    def take(self, kind: str) -> Outcome:
        """Take a sheet or strip out of the box; the focusing light goes off first, as a hand would see to."""
        desk = self.darkroom.desk
        if desk.now.focus_light and not desk.now.red_filter:
            desk.set("focus_light", False)
        self.darkroom.paper.take(kind)
        self.easel.forget()
        if kind == "strip":
            self.pages.turn_to("strip")
            return said(self.words("A strip is on the easel: drag it across the tone that matters"))
        self.pages.turn_to("paper")
        return said(self.words("A sheet is on the easel"))

    def middle_of_piece(self) -> tuple[float, float]:
        """Return the middle of the paper on the easel, mm; of the sheet's place when none is out."""
        piece, now = self.darkroom.paper.piece, self.darkroom.desk.now
        if piece is None:
            return now.sheet_width_mm / 2, now.sheet_height_mm / 2
        return round(piece.x_mm + piece.width_mm / 2, 1), round(piece.y_mm + piece.height_mm / 2, 1)

    def _strip_free(self) -> bool:
        piece = self.darkroom.paper.piece
        return piece is not None and piece.kind == "strip" and not self.lamp.on

    def grip_of_strip(self, at: tuple[float, float]) -> tuple[float, float] | None:
        """Return what to add to the pointer's place for the strip's middle, or None when the strip is not taken hold of."""
        if not self._strip_free():
            return None
        piece, (x, y) = self.darkroom.paper.piece, self.middle_of_piece()
        inside = abs(at[0] - x) <= piece.width_mm / 2 and abs(at[1] - y) <= piece.height_mm / 2
        return (x - at[0], y - at[1]) if inside else None

    def wish_place(self, x_mm: float, y_mm: float) -> None:
        """Remember where a drag wants the strip's middle."""
        self._wish_place = (float(round(x_mm)), float(round(y_mm)))

    def apply_place(self) -> Outcome:
        """Lay the strip where the hand wants it."""
        wish, self._wish_place = self._wish_place, None
        if wish is not None and wish != self.middle_of_piece():
            self.place_strip(*wish)
        return HANDLED

    def place_strip(self, x_mm: float, y_mm: float) -> None:
        """Lay the strip's middle at a point, mm on the easel."""
        self.darkroom.paper.place(float(x_mm), float(y_mm))

    def ask_throw_away(self) -> Outcome:
        """Ask before paper that has had light is thrown away; bare paper only goes back."""
        piece = self.darkroom.paper.piece
        if piece is not None and not piece.exposures:
            self.darkroom.paper.put_back()
            return said(self.words("Put back into the box: it has had no light"))
        words = self.words("The paper is used all the same, and the evening's log says so.")
        answers = (Answer("yes", self.words("Throw it away")), Answer("no", self.words("Keep it")))
        return asked(Question(self.words("Throw the paper away?"), words, answers, self._thrown))

    def _thrown(self, answer: str) -> Outcome:
        if answer == "yes":
            self.darkroom.paper.throw_away()
            self.easel.forget()
            self.refresh()
        return HANDLED

    def develop(self) -> Outcome:
        """Take the paper to the wet bench; in a lesson the learner first commits to what will be seen."""
        piece = self.darkroom.paper.piece
        if piece is None or not piece.exposures:
            raise Refused(self.words("expose the paper first: undeveloped white paper comes out white"))
        return before_developing(self)
