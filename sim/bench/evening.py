"""An evening in the darkroom without a window: a box of paper, a clock, sheets, and the sheet that counts.

Every decision goes through the log; the state of the evening is what its lines add up to, so that an evening can be
replayed, continued after a power cut, and marked by somebody else. Darkroom time passes by what is done, not by a clock.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, Literal

import numpy as np
from pydantic import BaseModel, ConfigDict, Field

from sim.bench.log import Line, append_line, repair_log
from sim.enlarger.equipment import find_head
from sim.enlarger.timer import given_light_s
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, make_print
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data, record_from_data
from sim.reading import Problem, ValueRefused, validate

STRIPS_PER_SHEET = 4  # a strip is a quarter of a sheet
HANDLING_S = 40.0  # taking paper out, placing it, putting the box away: assumption
AFTER_DEVELOPER_S = {"rc": 75.0, "fb": 210.0}  # stop, fix and rinse before the white light goes on (common practice)


class EveningEnded(ValueError):
    """The box is empty or the evening is over; the message says which."""


class Opening(BaseModel):
    """What an evening starts with."""

    model_config = ConfigDict(strict=True, extra="forbid")
    paper: str
    sheets: int = Field(ge=1, le=500)
    minutes: float = Field(gt=0.0, le=1440.0)
    seed: int = Field(ge=0, lt=2**32)


@dataclass(frozen=True)
class SheetMade:
    """One piece of paper used: its number, its record with the light really given, and the minute it was dry enough."""

    number: int
    record: PrintingRecord
    minute: float


@dataclass(frozen=True)
class EveningState:
    """What the lines of the log add up to."""

    opening: Opening
    sheets: tuple[SheetMade, ...] = ()
    strips_used: int = 0
    used_s: float = 0.0
    nominated: int | None = None
    notes: tuple[str, ...] = ()

    @property
    def sheets_left(self) -> float:
        """Sheets left in the box; a strip is a quarter."""
        return self.opening.sheets - self.strips_used / STRIPS_PER_SHEET

    @property
    def minutes_left(self) -> float:
        """Minutes of the evening left."""
        return self.opening.minutes - self.used_s / 60.0

    def strips_for(self, record: PrintingRecord) -> int:
        """Return how many quarter sheets a record takes."""
        return 1 if record.sheet.kind == "strip" else STRIPS_PER_SHEET

    def seconds_for(self, record: PrintingRecord) -> float:
        """Return darkroom seconds a record takes: handling, exposures, developer, and the baths before white light."""
        stock = find_stock(record.sheet.paper)
        return HANDLING_S + record.total_time_s + record.development.time_s + AFTER_DEVELOPER_S[stock.support]


def after(state: EveningState, line: Line, file: Path) -> EveningState:
    """Return the state after one more line of the log. Raises OutsideError for a line that cannot be."""
    if line.kind == "sheet":
        record = record_from_data(file, line.data.get("record"))
        used_s = state.used_s + state.seconds_for(record)
        made = SheetMade(len(state.sheets) + 1, record, used_s / 60.0)
        strips = state.strips_used + state.strips_for(record)
        return replace(state, sheets=(*state.sheets, made), strips_used=strips, used_s=used_s)
    if line.kind == "nominated":
        number = line.data.get("sheet")
        if not isinstance(number, int) or isinstance(number, bool) or not 1 <= number <= len(state.sheets):
            rule = f"must be a sheet made so far (1 to {len(state.sheets)})"
            raise ValueRefused(file, [Problem(f"line {line.number + 1}: sheet", rule, repr(number)[:40])])
        return replace(state, nominated=number)
    if line.kind == "note":
        return replace(state, notes=(*state.notes, str(line.data.get("text", ""))[:2000]))
    raise ValueRefused(file, [Problem(f"line {line.number + 1}: kind", "must be sheet, nominated or note", line.kind)])


def state_of(lines: Iterable[Line], file: Path) -> EveningState:
    """Return the state that the lines of a log add up to. Raises OutsideError."""
    first, *rest = lines
    if first.kind != "opened":
        raise ValueRefused(file, [Problem("line 1: kind", "must be opened", first.kind)])
    state = EveningState(validate(file, first.data, Opening))
    for line in rest:
        state = after(state, line, file)
    return state


@dataclass
class Evening:
    """An evening under way, with its log on disk."""

    file: Path
    state: EveningState
    last: Line
    damage: str | None = None
    lights: LightCache = field(default_factory=LightCache)

    @classmethod
    def open(
        cls, file: Path, paper: str = "glossy-rc-vc", sheets: int = 25, minutes: float = 180.0, seed: int = 1
    ) -> Evening:
        """Return a new evening, or the one that the log holds. Raises OutsideError or WritingFailed."""
        find_stock(paper)
        loaded = repair_log(file)
        if loaded.lines:
            return cls(file, state_of(loaded.lines, file), loaded.lines[-1], loaded.damage)
        opening = {"paper": paper, "sheets": sheets, "minutes": minutes, "seed": seed}
        state = EveningState(validate(file, opening, Opening))
        return cls(file, state, append_line(file, "opened", opening, None), loaded.damage)

    def _decide(self, kind: str, data: dict[str, Any]) -> None:
        line = append_line(self.file, kind, data, self.last)
        self.state = after(self.state, line, self.file)
        self.last = line

    def make(self, negative: Negative, record: PrintingRecord, px_per_mm: float | None = None) -> Print:
        """Expose and develop a sheet; return the print. The light really given is drawn, recorded and acknowledged first.

        Raises EveningEnded when paper or time do not suffice, before anything is used up.
        """
        if self.state.strips_for(record) > self.state.sheets_left * STRIPS_PER_SHEET:
            raise EveningEnded(f"the box must hold the paper asked for, got {self.state.sheets_left:g} sheets left")
        if self.state.seconds_for(record) > self.state.minutes_left * 60.0:
            raise EveningEnded(f"the evening must last long enough, got {self.state.minutes_left:.1f} minutes left")
        given = self.with_light_given(record)
        sheet = make_print(negative, given, find_stock(record.sheet.paper), px_per_mm, lights=self.lights)
        self._decide("sheet", {"record": record_data(given)})
        return sheet

    def with_light_given(self, record: PrintingRecord) -> PrintingRecord:
        """Return the record with the seconds of light that lamp and timer give this time."""
        head = find_head(record.enlarger.head)
        number = len(self.state.sheets)
        generator = np.random.Generator(np.random.PCG64([self.state.opening.seed, number]))
        exposures = (replace(e, light_s=round(given_light_s(e.time_s, head, generator), 4)) for e in record.exposures)
        return record.with_exposures(*exposures)

    def nominate(self, number: int) -> None:
        """Name the sheet that counts. Raises ValueError for a sheet that was not made."""
        if not 1 <= number <= len(self.state.sheets):
            raise ValueError(f"sheet must be between 1 and {len(self.state.sheets)}, got {number}")
        self._decide("nominated", {"sheet": number})

    def note(self, text: str) -> None:
        """Write a note into the log; what is no printable text becomes a question mark."""
        clean = "".join(c if c.isprintable() or c in "\n\t" else "?" for c in text[:2000])
        self._decide("note", {"text": clean})


def replay(
    state: EveningState, negatives: dict[str, Negative], which: Literal["all", "nominated"] = "all",
    lights: LightCache | None = None,
) -> dict[int, Print]:  # fmt: skip
    """Return the prints of an evening by sheet number, made again from their records alone."""
    cache = lights or LightCache()
    wanted = [s for s in state.sheets if which == "all" or s.number == state.nominated]
    return {
        made.number: make_print(
            negatives[made.record.negative], made.record, find_stock(made.record.sheet.paper), lights=cache
        )
        for made in wanted
    }
