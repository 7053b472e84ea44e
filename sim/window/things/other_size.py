"""A print made again at another size or from another negative: what the reckoning says, and the enlarger set for it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pygame import Rect

from sim.bench.darkroom import Darkroom
from sim.notebook.exposure_plan import planned
from sim.notebook.record_words import describe
from sim.notebook.reprint import reprinted
from sim.refusals import Refusal
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_top
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Plate
from sim.window.things.rows import choice, stacked
from sim.window.things.scrolled import Paragraph, ScrolledWords

SIZES_MM = ((127.0, 178.0), (203.2, 254.0), (240.0, 304.8), (304.8, 406.4))
SAME_MM = 3.0


class OtherSize(Overlay):
    """Two choices, and what they mean for height, filter and seconds."""

    share = (0.72, 0.86)

    def __init__(self, room: OneRoom, dark: Darkroom, number: int, back: Callable[[], object]):
        super().__init__(room, room.name("other size"))
        self._back = back
        self._record = dark.wall.record(number)
        sheet = self._record.sheet
        own, upright = (sheet.width_mm, sheet.height_mm), sheet.height_mm >= sheet.width_mm
        others = [(a, b) if upright else (b, a) for a, b in SIZES_MM]
        self._sizes = [own, *(s for s in others if max(abs(s[0] - own[0]), abs(s[1] - own[1])) > SAME_MM)]
        self._negatives = [(one.name, room.said(one.title)) for one in room.darkroom.desk.negatives()]
        names = [name for name, _ in self._negatives]
        self._size, self._negative = 0, names.index(self._record.negative) if self._record.negative in names else 0
        self._made = self._record
        self.rows = [
            choice(room, "again size", self._size_said, lambda steps: self._turn(steps, 0)),
            choice(room, "again negative", lambda: self._negatives[self._negative][1], lambda steps: self._turn(0, steps)),
        ]
        self.text = ScrolledWords(room, "again words")
        self.take = Plate(room, "set for it", self._take)
        self._trouble = ""
        self.take.why = lambda: self._trouble
        self._work_out()

    def close(self) -> None:
        """Back to the notebook."""
        super().close()
        self.room.wanted_over = self._back

    def _size_said(self) -> str:
        wide, high = self._sizes[self._size]
        return f"{wide / 10:.0f} × {high / 10:.0f} cm"

    def _turn(self, size: int, negative: int) -> None:
        self._size = (self._size + size) % len(self._sizes)
        self._negative = (self._negative + negative) % len(self._negatives)
        self._work_out()

    def _work_out(self) -> None:
        """Ask for the new record; a refusal stands where its lines would."""
        name = self._negatives[self._negative][0]
        negative = None if name == self._record.negative else name
        try:
            self._made, notes = reprinted(self._record, negative, self._sizes[self._size] if self._size else None)
        except (Refusal, OSError) as error:
            self._trouble = self.room.said(str(error))
            self.text.say([(self._trouble, "body", "warn")])
            return
        self._trouble = ""
        told = describe(self._made)  # what changes stands first: the new seconds, then why
        times = [line for line in told if line.startswith(("exposure", "flash", "burn"))]
        lines = [*((line, "body", "ink") for line in times), *((line, "small", "ink") for line in notes)]
        lines += [(line, "small", "soft") for line in told if line not in times]
        said: list[Paragraph] = [(self.room.said(line), size, colour) for line, size, colour in lines]
        self.text.say(said)

    def _take(self) -> None:
        darkroom = self.room.darkroom
        darkroom.desk.like(self._made)
        darkroom.paper.set_plan([planned(e) for e in self._made.exposures])
        self.room.wanted_place = "enlarger"
        super().close()

    def plates(self) -> Sequence[Plate]:
        """Set the enlarger for it, or leave it."""
        return self.take, self.done

    def things(self) -> Sequence[Thing]:
        """Return the choices, the words, the plates."""
        return [*self.rows, self.text, *self.plates()]

    def lay_out(self, area: Rect) -> None:
        """Choices above, words below."""
        super().lay_out(area)
        look = self.room.look
        body = self.above_the_foot(10, 10)
        rows, _ = cut_top(body, body.h * 40 // 100)
        y = stacked(self.rows, rows, look.line_height() + look.px(12)) + look.px(8)
        self.text.lay_out(Rect(body.x, y, body.w, body.bottom - y))
