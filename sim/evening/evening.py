"""An evening in the darkroom without a window: a box of paper, a clock, sheets, and the sheets that count.

Every decision goes through the log; the state of the evening is what its lines add up to, so that an evening can be
replayed, continued after a power cut, and marked by somebody else. Darkroom time passes by what is done, not by a clock.
"""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np

from sim.enlarger.light_given import given_light_s
from sim.enlarger.settings import head_of
from sim.evening.evening_state import (
    FRESH_DEVELOPER_L,
    MAX_SAID_CHARACTERS,
    POURING_S,
    STRIPS_PER_SHEET,
    EveningState,
    Opening,
    after,
    state_of,
)
from sim.evening.log import Line, append_line, read_log, repair_log
from sim.locking import Hold, take_hold
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, make_print
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data
from sim.reading import FileRefused, Problem, validate
from sim.refusals import Refused
from sim.shelf import SHIPPED
from sim.writing import sweep

LEAST_PX_PER_MM = 0.5  # of a piece that is only put on record: who looks at it prints it then


class EveningEnded(Refused):
    """The box is empty, the evening is over, or it has been handed in; the message says which."""


def printable(text: str) -> str:
    """Return words as they may stand in a log: at most 2000 characters, what is no printable text a question mark."""
    return "".join(c if c.isprintable() or c in "\n\t" else "?" for c in text[:MAX_SAID_CHARACTERS])


class NotInHand(Refused):
    """The evening was opened to be looked at, or has been put away: no decision can be taken in it here."""


@dataclass
class Evening:
    """An evening under way, with its log on disk. One at a time has it in hand; others may look."""

    file: Path
    state: EveningState
    last: Line
    damage: str | None = None
    lights: LightCache = field(default_factory=LightCache)
    hold: Hold | None = None
    hands_off: str = ""  # why no decision can be taken here; empty: it can

    @classmethod
    def open(
        cls, file: Path, paper: str = "glossy-rc-vc", sheets: int = 20, minutes: float = 180.0, seed: int = 1, *,
        exercise: str = "", exercise_version: int = 0, exercise_digest: str = "", learner: str = "", attempt: int = 0,
        negatives: Sequence[str] = (), copies: int = 1, maker_version: str = "", mode: str = "",
    ) -> Evening:  # fmt: skip
        """Return a new evening, or the one that the log holds, and keep others from it until it is closed.

        The fields from ``exercise`` on say which exercise this is an attempt at, for whom, on which negatives, and how many
        alike prints of each it asks for (where they are more than one: for whoever hands the log in elsewhere). Raises
        OpenElsewhere when somebody has it in hand, OutsideError or WritingFailed.
        """
        find_stock(paper, SHIPPED if exercise else None)  # work at an exercise is done on what everybody has
        opening: dict[str, Any] = {"paper": paper, "sheets": sheets, "minutes": minutes, "seed": seed}
        about = {
            "exercise": exercise, "exercise_version": exercise_version, "exercise_digest": exercise_digest,
            "learner": learner, "attempt": attempt, "negatives": list(negatives), "copies": copies if copies > 1 else 0,
            "maker_version": maker_version, "mode": mode,
        }  # fmt: skip
        opening |= {key: value for key, value in about.items() if value}
        if not os.path.exists(file):
            validate(file, opening, Opening)  # what cannot be begun leaves nothing behind
        hold = take_hold(file)
        try:
            return cls._in_hand(file, opening, hold)
        except BaseException:
            hold.let_go()
            raise

    @classmethod
    def _in_hand(cls, file: Path, opening: dict[str, Any], hold: Hold) -> Evening:
        """Return the evening of a log that is held: what the log says, or begun with ``opening``."""
        if hold.locked:
            sweep(file)
        loaded = repair_log(file)
        damage = loaded.damage
        if hold.why_not:
            unlocked = f"{file}: cannot be locked ({hold.why_not}); open this evening in one program at a time"
            damage = "; ".join(filter(None, (damage, unlocked)))
        if loaded.lines:
            return cls(file, state_of(loaded.lines, file), loaded.lines[-1], damage, hold=hold)
        state = EveningState(validate(file, opening, Opening))
        return cls(file, state, append_line(file, "opened", opening, None), damage, hold=hold)

    @classmethod
    def look(cls, file: Path, why: str = "it was opened to be looked at") -> Evening:
        """Return the evening of a log as it stands now, to be looked at: nothing is written, repaired or kept from others.

        ``why`` is told whoever then wants to change something. Raises OutsideError.
        """
        loaded = read_log(file)
        if not loaded.lines:
            rule = "must hold an evening to be looked at"
            raise FileRefused(file, [Problem("", rule, loaded.damage or "an empty file")])
        state = state_of(loaded.lines, file)
        return cls(file, state, loaded.lines[-1], loaded.damage, hands_off=f"{file}: nothing can be changed here: {why}")

    def close(self) -> None:
        """Put the evening away, so that somebody else can take it up. Here it can still be looked at."""
        self.hands_off = self.hands_off or f"{self.file}: nothing can be changed here: the evening has been put away"
        if self.hold is not None:
            self.hold.let_go()

    def __enter__(self) -> Evening:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def alone(self) -> bool:
        """Tell whether nobody else can be writing here: the evening is in hand, and locked."""
        return not self.hands_off and self.hold is not None and self.hold.locked

    def check_in_hand(self) -> None:
        """Raise NotInHand where no decision can be taken: somebody else's evening, or one that was put away."""
        if self.hands_off:
            raise NotInHand(self.hands_off)

    def _decide(self, kind: str, data: dict[str, Any]) -> None:
        self.check_in_hand()
        if self.state.handed_in:
            raise EveningEnded("the evening must still be open, got one that has been handed in")
        # what cannot be read back as a state must not reach the log
        state = after(self.state, Line(self.last.number + 1, kind, data, self.last.hash), self.file)
        self.last = append_line(self.file, kind, data, self.last)
        self.state = state

    def make(self, negative: Negative, record: PrintingRecord, px_per_mm: float | None = None) -> Print:
        """Expose and develop a sheet; return the print. The light really given is drawn, recorded and acknowledged first.

        Raises EveningEnded when paper or time do not suffice, before anything is used up.
        """
        self.check_in_hand()
        self.check_room(record)
        given = self.with_light_given(record)
        sheet = make_print(negative, given, find_stock(record.sheet.paper), px_per_mm, lights=self.lights)
        self._decide("sheet", {"record": record_data(given)})
        return sheet

    def check_room(self, record: PrintingRecord) -> None:
        """Raise EveningEnded when box or evening do not hold what a record takes."""
        if self.state.strips_for(record) > self.state.sheets_left * STRIPS_PER_SHEET:
            raise EveningEnded(f"the box must hold the paper asked for, got {self.state.sheets_left:g} sheets left")
        if self.state.seconds_for(record) > self.state.minutes_left * 60.0:
            raise EveningEnded(f"the evening must last long enough, got {self.state.minutes_left:.1f} minutes left")

    def with_light_given(self, record: PrintingRecord) -> PrintingRecord:
        """Return the record with the seconds of light that lamp and timer give this time."""
        head = head_of(record.enlarger)
        number = len(self.state.sheets)
        generator = np.random.Generator(np.random.PCG64([self.state.opening.seed, number]))
        exposures = (replace(e, light_s=round(given_light_s(e.time_s, head, generator), 4)) for e in record.exposures)
        return record.with_exposures(*exposures)

    def nominate(self, *numbers: int) -> None:
        """Name the sheets that count, one for each negative and copy asked for. Raises Refused for what was not made."""
        if not numbers or len(set(numbers)) < len(numbers):
            raise Refused(f"the sheets that count must be named, each once, got {list(numbers)}")
        for number in numbers:
            if not 1 <= number <= len(self.state.sheets):
                raise Refused(f"sheet must be between 1 and {len(self.state.sheets)}, got {number}")
            if self.state.sheets[number - 1].record.sheet.kind == "strip":
                raise Refused(f"a sheet that counts must be a whole print, got the strip {number}")
        self._decide("nominated", {"sheets": list(numbers)})

    def note(self, text: str) -> None:
        """Write a note into the log; what is no printable text becomes a question mark."""
        self._decide("note", {"text": printable(text)})

    def pour(self) -> None:
        """Pour fresh developer: the tired bath is gone, a litre is used and some minutes. Raises EveningEnded without those."""
        if self.state.minutes_left * 60.0 < POURING_S:
            raise EveningEnded(f"fresh developer must have {POURING_S / 60:g} minutes, got {self.state.minutes_left:.1f} left")
        self._decide("poured", {"litres": FRESH_DEVELOPER_L})

    def predict(self, choice: str, text: str = "") -> None:
        """Commit to what the next sheet will show, before it is developed."""
        self._decide("predicted", {"choice": printable(choice)[:200], "text": printable(text)})

    def observe(self, text: str) -> None:
        """Say what is to be seen on the last sheet, before its readings are shown."""
        self._decide("observed", {"text": printable(text)})

    def explain(self, text: str) -> None:
        """Say why the last sheet came out as it did."""
        self._decide("explained", {"text": printable(text)})

    def hint(self, level: int) -> None:
        """Note that a hint was read: 1 where to look, 2 the principle, 3 a neighbouring case."""
        self._decide("hint", {"level": level})

    def pull(self, time_s: float | None = None, text: str = "") -> None:
        """Note that a sheet was taken out of the developer before its time."""
        self._decide("pulled", {"time_s": time_s, "text": printable(text)})
