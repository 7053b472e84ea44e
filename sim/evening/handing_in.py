"""Handing in an evening: one file, its log closed by a last line that counts what stands before it.

The closing line lets a file that was cut short be noticed; the chain of hashes shows later edits. Both show accidents and
tampering by hand; a whole file forged with a program on a machine of one's own cannot be told from a true one. A mark
comes from printing the records again, never from anything the file says about itself.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from sim.enlarger.light_given import expected_light_s
from sim.enlarger.settings import head_of
from sim.evening.evening_state import EveningState, Opening, after, state_of
from sim.evening.log import FIRST_HASH, Line, read_log, table_in_line
from sim.printing.record import PrintingRecord
from sim.reading import (
    MAX_LOG_LINES,
    MAX_RECORD_BYTES,
    OutsideError,
    Problem,
    SyntaxRefused,
    ValueRefused,
    read_bytes,
    validate,
)
from sim.refusals import Refused
from sim.shelf import Shelf
from sim.writing import WritingFailed, write_bytes

SHOWN_REASONS = 8  # one moved line makes many: the first few say it
LIGHT_SPREAD_S, LIGHT_SPREAD_SHARE = 0.5, 0.05  # wider than any lamp and timer in the house: a bound, not a check of the draw


class NotReady(Refused):
    """The evening cannot be handed in yet; the message says why."""


class NothingNominated(NotReady):
    """No sheet has been named as the one that counts."""


class TooFewNominated(NotReady):
    """Fewer sheets have been named than the exercise asks for."""


@dataclass(frozen=True)
class HandedIn:
    """What was handed in: the file, its lines and sheets, and the sheets that count."""

    file: Path
    lines: int
    sheets: int
    nominated: tuple[int, ...]
    size_bytes: int


@dataclass(frozen=True)
class Doubt:
    """What speaks against a file handed in: a code, the line or sheet it concerns (from 1), and the numbers of it.

    ``refused`` is what a line was refused with. ``sim/notebook/doubt_words.py`` says it.
    """

    what: Literal[
        "too-many-lines", "cut-short", "no-line", "line-changed", "line-out-of-order", "no-closing-line", "refused",
        "too-much-paper", "too-long", "nothing-nominated", "other-light", "other-version", "other-content",
    ]  # fmt: skip
    line: int = 0
    sheet: int = 0
    got: float = 0
    allowed: float = 0
    refused: str = ""


@dataclass(frozen=True)
class Submission:
    """A file as it was received.

    ``tampered`` holds what shows that it is not the log as it was written; ``impossible`` what no evening at the
    bench could have done (out of range, more paper than the box held); ``stale`` is None or says that the exercise has
    changed since. With reasons under ``tampered`` or ``impossible`` the state holds what comes before the first of them.
    """

    file: Path
    opening: Opening
    state: EveningState
    lines: tuple[Line, ...]
    tampered: tuple[Doubt, ...] = ()
    impossible: tuple[Doubt, ...] = ()
    stale: Doubt | None = None

    @property
    def problems(self) -> tuple[Doubt, ...]:
        """Everything that keeps the file from being marked as it stands."""
        return self.tampered + self.impossible


def hand_in(
    log_file: Path, out_file: Path, sheets_needed: int = 1, counting: Sequence[int] = (), in_part: bool = False
) -> HandedIn:
    """Write the evening's log, closed, to one file; read it back and check it. The log itself stays open.

    ``counting`` names the sheets that count where the evening has named none yet: they stand in the file, before its
    closing line. ``in_part`` hands in what is there when fewer than ``sheets_needed`` count; what is missing earns nothing.
    Raises NotReady for an evening without sheets or without enough nominated ones, OutsideError for a log
    that cannot be read, WritingFailed when the file cannot be written or does not read back as written.
    """
    if _same_file(log_file, out_file):
        raise NotReady(f"{out_file}: must be another file than the evening's own log")
    loaded = read_log(log_file)
    if loaded.damage is not None or not loaded.lines:
        raise NotReady(
            f"{log_file}: must be a whole log before it is handed in, got {loaded.damage or 'an empty one'}; "
            "open the evening once more, that sets a damaged end aside"
        )
    lines, state = loaded.lines, state_of(loaded.lines, log_file)
    if counting:
        lines, state = _with_named(log_file, lines, state, tuple(counting))
    _refuse_unready(log_file, state, 1 if in_part else sheets_needed)
    if not state.handed_in:
        closing = {"lines": len(lines), "sheets": len(state.sheets)}
        lines = (*lines, Line(len(lines), "handed-in", closing, lines[-1].hash))
    raw = "".join(line.text() for line in lines).encode("utf-8")
    if len(lines) > MAX_LOG_LINES or len(raw) > MAX_RECORD_BYTES:
        raise NotReady(f"{log_file}: must not be larger than {MAX_RECORD_BYTES} bytes and {MAX_LOG_LINES} lines to be "
                       f"handed in, got {len(raw)} bytes and {len(lines)} lines")  # fmt: skip
    write_bytes(out_file, raw)
    again = read_submission(out_file)
    if again.problems or again.lines != lines:
        reasons = ", ".join(doubt.what for doubt in again.problems) or "other-lines"
        raise WritingFailed(f"{out_file}: does not read back as it was written ({reasons})")
    return HandedIn(out_file, len(lines), len(state.sheets), state.nominated, len(raw))


def _with_named(
    file: Path, lines: tuple[Line, ...], state: EveningState, counting: tuple[int, ...]
) -> tuple[tuple[Line, ...], EveningState]:
    """Return the evening with a line that names the sheets that count. Raises NotReady where others were named before."""
    if state.nominated == counting:
        return lines, state
    if state.nominated or state.handed_in:
        named = ", ".join(map(str, state.nominated))
        raise NotReady(f"{file}: the sheets that count have been named already ({named}); go on in the evening to name others")
    for number in counting:
        if not 1 <= number <= len(state.sheets) or state.sheets[number - 1].record.sheet.kind == "strip":
            rule = f"a whole print among the {len(state.sheets)} pieces"
            raise NotReady(f"{file}: a sheet that counts must be {rule}, got {number}")
    line = Line(len(lines), "nominated", {"sheets": list(counting)}, lines[-1].hash)
    return (*lines, line), after(state, line, file)


def _same_file(one: Path, other: Path) -> bool:
    """Tell whether two names lead to one file: through a link, or on a disk that does not tell large letters from small."""
    try:
        return os.path.samefile(one, other)
    except OSError:
        return os.path.realpath(one) == os.path.realpath(other)


def _refuse_unready(file: Path, state: EveningState, sheets_needed: int) -> None:
    if not state.sheets:
        raise NotReady(f"{file}: nothing has been printed yet; an evening without a sheet cannot be handed in")
    if not state.nominated:
        raise NothingNominated(f"{file}: no sheet has been named as the one that counts; nominate one first")
    if len(state.nominated) < sheets_needed:
        raise TooFewNominated(
            f"{file}: the exercise asks for {sheets_needed} sheets that count, got {len(state.nominated)} nominated"
        )


def read_submission(
    file: Path, version: int | None = None, digests: Collection[str] = (), shelf: Shelf | None = None
) -> Submission:
    """Return what a file that was handed in holds, and what speaks against it.

    With a ``shelf``, a marker's, what is printed from and on must stand there; a name is never taken for a path.

    ``version`` and ``digests`` are those of today's exercise (with and without hidden criteria); they only decide
    ``stale``. Raises OutsideError for a file that is no log at all: not there, too large, no text, no opening line.
    """
    pieces = _pieces(file, read_bytes(file, MAX_RECORD_BYTES))
    tables = [_table(file, piece, number) for number, piece in enumerate(pieces[:MAX_LOG_LINES])]
    first = tables[0]
    if first is None:
        raise SyntaxRefused(file, [Problem("line 1", "must be the opening line of an evening's log", "something else")])
    if first["kind"] != "opened":
        raise ValueRefused(file, [Problem("line 1: kind", "must be opened", first["kind"][:40])])
    opening = validate(file, first["data"], Opening)
    state, lines, tampered, impossible = _walked(file, opening, pieces, tables, shelf)
    if not tampered and not impossible and not state.handed_in:
        tampered = [Doubt("no-closing-line")]
    elif not tampered and not impossible:
        impossible = _impossible(state)
    return Submission(
        file, opening, state, lines, tuple(tampered[:SHOWN_REASONS]), tuple(impossible[:SHOWN_REASONS]),
        _stale(opening, version, digests),
    )  # fmt: skip


def _pieces(file: Path, raw: bytes) -> list[str]:
    """Return the file's lines; the last is empty when the file ends as it should."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise SyntaxRefused(file, [Problem("", "must be UTF-8 text", f"a bad byte at {error.start}")]) from None
    return text.replace("\r\n", "\n").split("\n")  # a mail program may change line ends; the content is hashed, not they


def _table(file: Path, piece: str, number: int) -> dict[str, Any] | None:
    """Return a line as a table, or None for what is no line of a log."""
    try:
        return table_in_line(file, piece, number)
    except OutsideError:
        return None


def _walked(
    file: Path, opening: Opening, pieces: list[str], tables: list[dict[str, Any] | None], shelf: Shelf | None
) -> tuple[EveningState, tuple[Line, ...], list[Doubt], list[Doubt]]:
    """Return state and lines up to the first that is broken or cannot be; then what is broken, and why one cannot be.

    Broken are lines that were changed, moved, taken out, added or cut off.
    """
    state, lines, refused = EveningState(opening), [], list[Doubt]()
    broken = [Doubt("too-many-lines", allowed=MAX_LOG_LINES)] if len(pieces) > MAX_LOG_LINES + 1 else []
    broken += [Doubt("cut-short", len(pieces))] if pieces[-1] else []
    previous, whole = FIRST_HASH, True
    for number, table in enumerate(tables):
        if table is None:
            broken += [Doubt("no-line", number + 1)] if number < len(pieces) - 1 else []
            whole = False
            continue
        line = Line(table["number"], table["kind"], table["data"], table["previous"])
        in_order = (line.number, line.previous) == (number, previous)
        if table["hash"] != line.hash or not in_order:
            broken.append(Doubt("line-changed" if table["hash"] != line.hash else "line-out-of-order", number + 1))
            whole = False
        previous = table["hash"]
        try:
            if whole and number:
                state = after(state, line, file, shelf)
        except OutsideError as error:
            refused.append(Doubt("refused", number + 1, refused="; ".join(str(problem) for problem in error.problems)))
            whole = False
        if whole:
            lines.append(line)
    return state, tuple(lines), broken, refused


def _impossible(state: EveningState) -> list[Doubt]:
    """Return what no evening at the bench could have done."""
    reasons: list[Doubt] = []
    if state.sheets_left < 0:
        reasons.append(Doubt("too-much-paper", got=state.sheets_used, allowed=state.opening.sheets))
    if state.minutes_left < -1e-6:
        reasons.append(Doubt("too-long", got=state.used_s / 60.0, allowed=state.opening.minutes))
    if not state.nominated:
        reasons.append(Doubt("nothing-nominated"))
    others = (made.number for made in state.sheets if not _light_could_be(made.record))
    return reasons + [Doubt("other-light", sheet=number) for number in others]


def _light_could_be(record: PrintingRecord) -> bool:
    """Tell whether every exposure got about the light that its dialled seconds give."""
    try:
        head = head_of(record.enlarger)
    except OutsideError:
        return False
    for exposure in record.exposures:
        expected_s = expected_light_s(exposure.time_s, head)
        spread_s = LIGHT_SPREAD_S + LIGHT_SPREAD_SHARE * exposure.time_s
        if exposure.light_s is None or abs(exposure.light_s - expected_s) > spread_s:
            return False
    return True


def _stale(opening: Opening, version: int | None, digests: Collection[str]) -> Doubt | None:
    """Say that the exercise is another one today, or nothing."""
    if version is not None and opening.exercise_version != version:
        return Doubt("other-version", got=opening.exercise_version, allowed=version)
    if digests and opening.exercise_digest not in digests:
        return Doubt("other-content")
    return None
