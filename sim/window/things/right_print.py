"""A straight print was right at so many seconds: one act, and the seconds of one's own enlarger are known."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pygame import Rect

from sim.bench.own_enlargers import FoundEnlarger, PrintingRecord, RightPrintSaid, earlier_state, told_by, without_print
from sim.bench.own_papers import SETTINGS as FILTERS
from sim.bench.own_papers import title_of
from sim.bench.turning_a_control import clicked, marks_of_lens
from sim.calibration.right_prints import CountedAlready, StandsAlone
from sim.control_ranges import CONTROLS
from sim.notebook.record_words import describe
from sim.refusals import Refusal
from sim.window.hands.thing import Thing
from sim.window.kit.boxes import cut_top
from sim.window.standing.overlay import Overlay
from sim.window.standing.room import OneRoom
from sim.window.things.in_room import Plate
from sim.window.things.rows import choice, stacked
from sim.window.things.scrolled import Paragraph, ScrolledWords
from sim.window.things.written import Written

STEP_S = 0.5


class RightPrint(Overlay):
    """Seconds, aperture and filter of the real print; negative, paper and size are those of a sheet in the notebook."""

    share = (0.8, 0.92)

    def __init__(self, room: OneRoom, record: PrintingRecord, back: Callable[[], object]):
        super().__init__(room, room.name("was right"))
        self._record, self._back, self._leave = record, back, 0
        straight = next((one for one in record.exposures if one.through == "negative"), record.exposures[0])
        self.time_s, self.f_number = round(straight.time_s, 1), straight.f_number
        self._filter = FILTERS.index(straight.filter.name) if straight.filter.name in FILTERS else FILTERS.index("none")
        self._anyway = False
        self.rows = [
            choice(room, "right seconds", lambda: f"{room.number(self.time_s)} s",
                   lambda n: self._write(time_s=self.time_s + n * STEP_S), lambda value: self._write(time_s=value)),
            choice(room, "right aperture", self._aperture_said,
                   lambda n: self._write(f_number=clicked(record.enlarger.lens, self.f_number, n)),
                   lambda value: self._write(f_number=value)),
            choice(room, "right filter", lambda: FILTERS[self._filter], self._turn_filter),
            choice(room, "right anyway", lambda: room.line("on" if self._anyway else "off"), self._turn_anyway),
        ]  # fmt: skip
        self.called = Written(room, "own name", "my-enlarger", lambda words: self._say_before(), 64)
        self.text = ScrolledWords(room, "cal words")
        self.keep, self.forget = Plate(room, "it was right", self._keep), Plate(room, "leave out print", self._forget)
        self.forget.words = self._leave_said
        self.forget.why = lambda: "" if self._which() else room.line("no print yet")
        self._counted: tuple[str, int] = ("", 0)
        self._say_before()

    def close(self) -> None:
        """Back to the notebook."""
        super().close()
        self.room.wanted_over = self._back

    def _write(self, time_s: float | None = None, f_number: float | None = None) -> None:
        if time_s is not None:
            self.time_s = max(0.0, round(time_s, 2))
        if f_number is not None:
            self.f_number = CONTROLS["f_number"].nearest(round(f_number, 2))

    def _aperture_said(self) -> str:
        return marks_of_lens(self._record.enlarger.lens).get(self.f_number, f"f/{self.f_number:g}")

    def _turn_filter(self, steps: int) -> None:
        self._filter = (self._filter + steps) % len(FILTERS)

    def _turn_anyway(self, steps: int) -> None:
        self._anyway = not self._anyway

    def _name(self) -> str:
        return self.called.now().strip()

    def _which(self) -> int:
        """Return which print would be left out: the one that stands alone, else the last; 0 where there is none."""
        if self._leave:
            return self._leave
        if self._counted[0] != self._name():
            self._counted = self._name(), self._count()
        return self._counted[1]

    def _leave_said(self) -> str:
        number = self._which()
        return self.room.line("leave out print", n=number) if number else self.room.name("leave out print")

    def _count(self) -> int:
        try:
            earlier = earlier_state(self._name())
        except Refusal:
            return 0
        return len(earlier.own.prints) if earlier is not None and earlier.own is not None else 0

    def _say_before(self) -> None:
        said: list[Paragraph] = [(self.room.line("right how"), "small", "soft")]
        self.text.say([*said, *((self.room.said(line), "small", "soft") for line in describe(self._record))])

    def _keep(self) -> None:
        name = self._name()
        said = RightPrintSaid(self.time_s, self.f_number, FILTERS[self._filter], self._anyway)
        self._work(lambda: told_by(name, self._record, said))

    def _forget(self) -> None:
        name, number = self._name(), self._which()
        self._work(lambda: without_print(name, number))

    def _work(self, asked: Callable[[], FoundEnlarger]) -> None:
        """Work it out beside the window and keep it; a refusal stands where its words would, and nothing is written."""
        def job() -> tuple[FoundEnlarger | None, Refusal | None]:
            try:
                found = asked()
                found.keep(title_of(found.name))
            except Refusal as error:
                return None, error
            return found, None

        self.room.later(job, self._came, self.room.line("cal working"))

    def _came(self, made: tuple[FoundEnlarger | None, Refusal | None]) -> None:
        found, error = made
        self._counted, self._leave = ("", 0), 0
        if found is None:
            told = self.room.said(str(error))
            words = f"{told[:1].upper()}{told[1:]}"
            said: list[Paragraph] = [(self.room.line("cal refused"), "strong", "warn"), (words, "body", "ink")]
            if isinstance(error, StandsAlone):
                self._leave = 0 if error.newest else error.number
                said.append((self.room.line("right alone"), "small", "soft"))
            if isinstance(error, CountedAlready):
                said.append((self.room.line("right again"), "small", "soft"))
            self.text.say(said)
            return
        self.room.say("enlarger in drawer", name=title_of(found.name))
        self.text.say([(self.room.said(line), "small", "ink") for line in found.lines()])

    def plates(self) -> Sequence[Plate]:
        """Leave a print out, it was right, leave it."""
        return self.forget, self.keep, self.done

    def things(self) -> Sequence[Thing]:
        """Return rows, name, words, plates."""
        return [*self.rows, self.called, self.text, *self.plates()]

    def lay_out(self, area: Rect) -> None:
        """Rows above, the name, words below."""
        super().lay_out(area)
        px, look = self.room.px, self.room.look
        body = self.above_the_foot(10, 8)
        rows, _ = cut_top(body, body.h * 42 // 100)
        y = stacked(self.rows, rows, look.line_height("small") + px(12)) + px(4)
        self.called.rect = Rect(body.x, y, body.w, self.called.high())
        y = self.called.rect.bottom + px(8)
        self.text.lay_out(Rect(body.x, y, body.w, body.bottom - y))
