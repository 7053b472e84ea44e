"""What the lines of an evening's log add up to: opening, sheets, words said, and the sheets that count.

Words said (predictions, observations, reasons, hints) stand in the order of the log and know how many sheets had been
made before them, so that whoever replays the evening can see that a prediction came before its sheet. Fresh developer
poured into the tray is a decision of its own: it takes minutes and a litre, and the tired bath is gone for good.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field

from sim.control_ranges import CONTROLS
from sim.evening.log import Line
from sim.paper.stock import find_stock
from sim.printing.possible import refuse_off_the_shelf, refuse_ones_own
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_from_data
from sim.reading import OutsideTable, Problem, ValueRefused, validate
from sim.shelf import Shelf

STRIPS_PER_SHEET = 4  # a strip is a quarter of a sheet
HANDLING_S = 40.0  # taking paper out, placing it, putting the box away: assumption
FRESH_DEVELOPER_L = 1.0
POURING_S = 240.0  # measuring out, tempering, pouring the tired bath into its waste bottle, rinsing the tray: assumption
AFTER_DEVELOPER_S = {"rc": 75.0, "fb": 210.0}  # stop, fix and rinse before the white light goes on (common practice)
MAX_SAID_CHARACTERS = 2000
HINT_LEVELS = 3

_Short = Annotated[str, Field(max_length=200)]
_Text = Annotated[str, Field(max_length=MAX_SAID_CHARACTERS)]


class Opening(OutsideTable):
    """What an evening starts with. The fields from ``exercise`` on are empty for an evening of one's own."""

    paper: str
    sheets: int = Field(ge=1, le=500)
    minutes: float = Field(gt=0.0, le=1440.0)
    seed: int = Field(ge=0, lt=2**32)
    exercise: _Short = ""
    exercise_version: Annotated[int, Field(ge=0, le=1_000_000)] = 0
    exercise_digest: _Short = ""
    learner: _Short = ""
    attempt: Annotated[int, Field(ge=0, le=1_000_000)] = 0
    negatives: list[_Short] = Field(default_factory=list, max_length=64)
    copies: Annotated[int, Field(ge=1, le=100)] = 1
    maker_version: _Short = ""
    mode: _Short = ""


class _Predicted(OutsideTable):
    choice: _Short = ""
    text: _Text = ""


class _Words(OutsideTable):
    text: _Text = ""


class _Hint(OutsideTable):
    level: Annotated[int, Field(ge=1, le=HINT_LEVELS)]


class _Pulled(OutsideTable):
    text: _Text = ""
    time_s: Annotated[float, Field(ge=0.0, le=CONTROLS["development_time_s"].high)] | None = None


class _Poured(OutsideTable):
    litres: Annotated[float, Field(gt=0.0, le=20.0)]


class _HandedIn(OutsideTable):
    lines: Annotated[int, Field(ge=1, le=20_000)]
    sheets: Annotated[int, Field(ge=0, le=20_000)]


# Each kind of line holds keys of its own; read, they are all words said.
_SAID: dict[str, type[OutsideTable]] = {
    "predicted": _Predicted, "observed": _Words, "explained": _Words, "hint": _Hint, "pulled": _Pulled,
}  # fmt: skip
KINDS = ("sheet", "nominated", "note", *_SAID, "poured", "handed-in")


@dataclass(frozen=True)
class SheetMade:
    """One piece of paper used: its number, its record with the light really given, and the minute it was dry enough."""

    number: int
    record: PrintingRecord
    minute: float


@dataclass(frozen=True)
class Said:
    """Words kept in the log: a prediction (``choice``, ``text``), an observation, a reason, a hint taken (``level``).

    ``sheets_before`` is how many pieces of paper had been used when it was said; ``line`` is its line, from 0.
    ``pulled`` is a sheet taken out of the developer before its time (``time_s``), thrown away or looked at.
    """

    kind: Literal["predicted", "observed", "explained", "hint", "pulled"]
    sheets_before: int
    line: int
    text: str = ""
    choice: str = ""
    level: int = 0
    time_s: float | None = None


@dataclass(frozen=True)
class EveningState:
    """What the lines of the log add up to. ``poured_l`` are the litres of fresh developer poured in the course of it."""

    opening: Opening
    sheets: tuple[SheetMade, ...] = ()
    strips_used: int = 0
    used_s: float = 0.0
    nominated: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()
    said: tuple[Said, ...] = ()
    handed_in: bool = False
    nominated_line: int = 0
    poured_l: float = 0.0

    @property
    def sheets_left(self) -> float:
        """Sheets left in the box; a strip is a quarter."""
        return self.opening.sheets - self.strips_used / STRIPS_PER_SHEET

    @property
    def sheets_used(self) -> float:
        """Sheets used so far; a strip is a quarter."""
        return self.strips_used / STRIPS_PER_SHEET

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

    @property
    def predicted(self) -> Said | None:
        """What was said the sheet that comes next will show, None where nothing was yet."""
        said = self.said_of("predicted", len(self.sheets))
        return said[-1] if said else None

    def seen_by_developer(self, at_first: float) -> float:
        """Return how many sheets the developer in the tray had seen before this evening: none, once fresh one was poured."""
        return 0.0 if self.poured_l else at_first

    def said_of(self, kind: str, sheets_before: int | None = None) -> tuple[Said, ...]:
        """Return the words of one kind, all or those said when so many sheets had been made."""
        return tuple(
            s for s in self.said if s.kind == kind and sheets_before in (None, s.sheets_before)
        )  # fmt: skip


def after(state: EveningState, line: Line, file: Path, shelf: Shelf | None = None) -> EveningState:
    """Return the state after one more line of the log. Raises OutsideError for a line that cannot be.

    What a sheet names must stand on ``shelf``, where one is given: a marker's. Work at an exercise is never printed with
    things of one's own, whoever looks at it; an evening of one's own may be.
    """
    if state.handed_in:
        raise _refused(file, line, "kind", "must not follow the line that hands the evening in", line.kind)
    if line.kind == "sheet":
        record = record_from_data(file, line.data.get("record"))
        if shelf is not None:
            refuse_off_the_shelf(file, record, shelf)
        elif state.opening.exercise:
            refuse_ones_own(file, record)
        _refuse_another_bath(state, line, file, record)
        used_s = state.used_s + state.seconds_for(record)
        made = SheetMade(len(state.sheets) + 1, record, used_s / 60.0)
        strips = state.strips_used + state.strips_for(record)
        return replace(state, sheets=(*state.sheets, made), strips_used=strips, used_s=used_s)
    if line.kind == "nominated":
        return replace(state, nominated=_nominated(state, line, file), nominated_line=line.number)
    if line.kind == "poured":
        litres = validate(file, line.data, _Poured).litres
        return replace(state, poured_l=state.poured_l + litres, used_s=state.used_s + POURING_S)
    if line.kind == "note":
        return replace(state, notes=(*state.notes, str(line.data.get("text", ""))[:2000]))
    if line.kind in _SAID:
        data = validate(file, line.data, _SAID[line.kind]).model_dump()
        words = Said(line.kind, len(state.sheets), line.number, **data)  # type: ignore[arg-type]
        return replace(state, said=(*state.said, words))
    if line.kind == "handed-in":
        return _closed(state, line, file)
    raise _refused(file, line, "kind", f"must be one of {', '.join(KINDS)}", line.kind)


def _refuse_another_bath(state: EveningState, line: Line, file: Path, record: PrintingRecord) -> None:
    """Refuse a sheet of an exercise from another developer than the tray holds: a fresh one is poured, and then stays."""
    if not state.opening.exercise or not (state.poured_l or state.sheets):
        return
    used = record.development.sheets_before
    there = 0.0 if state.poured_l else state.sheets[-1].record.development.sheets_before
    if used != there:
        rule = f"must be {there:g}, as many as the developer in the tray has seen"
        raise _refused(file, line, "development.sheets_before", rule, f"{used:g}")


def _refused(file: Path, line: Line, key: str, rule: str, received: str) -> ValueRefused:
    return ValueRefused(file, [Problem(f"line {line.number + 1}: {key}", rule, received)])


def _nominated(state: EveningState, line: Line, file: Path) -> tuple[int, ...]:
    """Return the sheets that count; logs of earlier versions name one under ``sheet``."""
    old = set(line.data) == {"sheet"}
    numbers: Any = [line.data["sheet"]] if old else line.data.get("sheets")
    rule = f"must be sheets made so far (1 to {len(state.sheets)}), each named once"
    if not isinstance(numbers, list) or not numbers:
        raise _refused(file, line, "sheets", rule, repr(numbers)[:40])
    for number in numbers:
        whole = isinstance(number, int) and not isinstance(number, bool)
        if not whole or not 1 <= number <= len(state.sheets) or numbers.count(number) > 1:
            raise _refused(file, line, "sheet" if old else "sheets", rule, repr(number)[:40])
    return tuple(numbers)


def _closed(state: EveningState, line: Line, file: Path) -> EveningState:
    """Return the state handed in, once the closing line agrees with what stands before it."""
    closing = validate(file, line.data, _HandedIn)
    if (closing.lines, closing.sheets) != (line.number, len(state.sheets)):
        rule = f"must count the {line.number} lines and {len(state.sheets)} sheets before it"
        raise _refused(file, line, "handed-in", rule, f"{closing.lines} and {closing.sheets}")
    return replace(state, handed_in=True)


def state_of(lines: Iterable[Line], file: Path) -> EveningState:
    """Return the state that the lines of a log add up to. Raises OutsideError."""
    first, *rest = lines
    if first.kind != "opened":
        raise ValueRefused(file, [Problem("line 1: kind", "must be opened", first.kind)])
    state = EveningState(validate(file, first.data, Opening))
    for line in rest:
        state = after(state, line, file)
    return state
