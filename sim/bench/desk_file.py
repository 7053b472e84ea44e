"""What lies about in the darkroom between two decisions of the log: set-up, paper in hand, plan, tray. One file, desk.json.

Kept durably after every change, so that after a power cut the darkroom is found as it was left. What is in the evening's
log counts more: a sheet that is already there is not developed twice.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field

from sim.bench.dry_side import SetUp
from sim.enlarger.equipment import find_head
from sim.evening.evening import Evening
from sim.evening.evening_state import EveningState
from sim.negative.sleeve import find_sleeve
from sim.paper.stock import find_stock
from sim.printing.record import MAX_EXPOSURES, Exposure, PrintingRecord, StripDecision
from sim.printing.record_file import record_data, record_from_data
from sim.reading import MAX_RECORD_BYTES, adapter_of, parse_json, read_text, validate
from sim.refusals import Refusal
from sim.writing import sweep, write_durably

Bath = Literal["developer", "stop", "fix", "wash", "dry"]
MOST_UNDONE = 60  # changes that can be taken back, also after the darkroom was closed: some 40 kB


@dataclass(frozen=True)
class InHand:
    """A piece of paper on the easel. ``at_mm``: its top left corner on the easel when it was first exposed (or now).

    ``moved_mm``: how far it has been moved since. ``number`` is the one it will have in the evening's log. ``strip`` is
    the decision behind its exposures, once they are a strip's.
    """

    kind: Literal["sheet", "strip"]
    number: int
    width_mm: float
    height_mm: float
    at_mm: tuple[float, float] = (0.0, 0.0)
    moved_mm: tuple[float, float] = (0.0, 0.0)
    exposures: Annotated[tuple[Exposure, ...], Field(max_length=MAX_EXPOSURES)] = ()
    cover: tuple[float, float] | None = None
    strip: StripDecision | None = None


@dataclass(frozen=True)
class InTray:
    """A sheet on the wet side: its record so far, the bath it is in and for how long."""

    number: int
    record: PrintingRecord
    bath: Bath = "developer"
    seconds: float = 0.0


@dataclass(frozen=True)
class Kept:
    """Everything that desk.json holds. ``burning`` is the light that an exposure under way has given so far.

    ``before`` are the set-ups that changes can be taken back to, the last one last; ``undone`` those taken back.
    """

    set_up: SetUp
    hand: InHand | None = None
    tray: InTray | None = None
    plan: Annotated[tuple[Exposure, ...], Field(max_length=MAX_EXPOSURES)] = ()
    plan_done: int = 0
    white_light: bool = False
    burning: Exposure | None = None
    before: Annotated[tuple[SetUp, ...], Field(max_length=MOST_UNDONE)] = ()
    undone: Annotated[tuple[SetUp, ...], Field(max_length=MOST_UNDONE)] = ()
    format: Literal[2] = 2


def sheets_left(state: EveningState, kept: Kept) -> float:
    """Return the sheets left in the box; what lies in hand or in the developer is already out, a strip as a quarter."""
    kinds = []
    if kept.hand is not None and kept.hand.number > len(state.sheets):
        kinds.append(kept.hand.kind)
    if kept.tray is not None and kept.tray.number > len(state.sheets):
        kinds.append(kept.tray.record.sheet.kind)
    return state.sheets_left - sum(0.25 if kind == "strip" else 1.0 for kind in kinds)


class DeskFile:
    """What lies about, and the file it is kept in: every change is on disk before it is seen."""

    def __init__(self, file: Path, evening: Evening, now: Kept):
        self._file, self._evening = file, evening
        self.now = now

    @classmethod
    def open(cls, file: Path, evening: Evening, fresh: Callable[[], SetUp]) -> tuple[DeskFile, str | None]:
        """Return what was left, brought to agree with the log, and what is wrong with the file (None: all is well).

        Where nothing was left, ``fresh`` says how everything stands; that is kept, unless the evening is in other hands and
        only looked at. Raises WritingFailed.
        """
        looking = bool(evening.hands_off)
        if evening.alone:
            sweep(file)
        kept, damage = read_kept(file, looking)
        if kept is not None:
            found = agreed(kept, evening.state)
            if kept.burning is not None and not looking:
                found, told = _light_kept(found, kept.burning)
                damage = "; ".join(filter(None, (damage, told)))
            return cls(file, evening, found), damage
        new = cls(file, evening, Kept(fresh()))
        if not looking:
            new.keep()
        return new, damage

    def keep(self, **changes: Any) -> None:
        """Change what lies about and put it on disk; the change is seen only once it is there.

        Raises NotInHand for an evening that is only looked at, WritingFailed; the old state is then intact.
        """
        self._evening.check_in_hand()
        after = replace(self.now, **changes)
        text = json.dumps(adapter_of(Kept).dump_python(after, mode="json"), ensure_ascii=False, allow_nan=False)
        write_durably(self._file, lambda handle: handle.write(text.encode("utf-8")), keep_previous=True)
        self.now = after

    def show(self, set_up: SetUp) -> None:
        """Let a set-up be seen that is not kept yet: a knob is being dragged."""
        self.now = replace(self.now, set_up=set_up)


def agreed(kept: Kept, state: EveningState) -> Kept:
    """Return what lies about once the log has been asked: a sheet that stands there is out of hand and developer."""
    made = len(state.sheets)
    hand, tray = kept.hand, kept.tray
    if hand is not None and hand.number <= made:
        hand = None
    if tray is not None and tray.number > made + 1:
        tray = None  # the log lost its tail: there is no such sheet
    if tray is not None and tray.number <= made and tray.bath == "developer":
        tray = replace(tray, record=state.sheets[tray.number - 1].record, bath="stop", seconds=0.0)
    if hand is not None and hand.number != made + 1:
        hand = replace(hand, number=made + 1)
    return replace(kept, hand=hand, tray=tray)


def _light_kept(kept: Kept, burning: Exposure) -> tuple[Kept, str]:
    """Return the desk with the light that the paper had when the program went down while the lamp burned, and that said.

    The sheet has had it, to the second; the exposure is not given again for nothing.
    """
    dark = replace(kept, burning=None)
    if kept.hand is None:
        return dark, ""
    strip = with_more(kept.hand.strip, (burning,))
    exposures = (*kept.hand.exposures, burning)
    given = exposures if strip else tuple(replace(e, step=0) for e in exposures)
    told = f"the lamp was burning when the program went down: the {kept.hand.kind} has had {burning.time_s:.1f} s of it"
    return replace(dark, hand=replace(kept.hand, exposures=given, strip=strip)), told


def with_more(strip: StripDecision | None, more: Sequence[Exposure]) -> StripDecision | None:
    """Return a strip's decision once every step has got more light; None where the steps did not all get the same."""
    if strip is None or any(e.cards or any(e.paper_shift_mm) for e in more):
        return None
    return replace(strip, each=(*strip.each, *(e.bare() for e in more)))


def read_kept(file: Path, looking: bool = False) -> tuple[Kept | None, str | None]:
    """Return what was left on the desk, and what is wrong with the file in words (None: all is well).

    A file that cannot be read is moved aside and the generation before it is taken; without one the desk is empty.
    ``looking``: somebody else has the evening in hand, so that nothing is moved.
    """
    damage = None
    for candidate in (file, file.with_name(file.name + ".previous")):
        if not candidate.exists():
            continue
        try:
            data = parse_json(candidate, read_text(candidate, MAX_RECORD_BYTES))
            kept = validate(candidate, _lifted(candidate, data), Kept)
            _known(kept)
            return kept, damage
        except Refusal as error:
            damage = str(error) if looking else f"{error}; {_set_aside(candidate)}"
    return None, damage


def _set_aside(file: Path) -> str:
    """Move a damaged file out of the way; say where it is now."""
    aside = file.with_name(file.name + ".damaged")
    try:
        file.replace(aside)
    except OSError as error:
        return f"the damaged file could not be moved aside ({error.strerror or error})"
    return f"the damaged file was moved to {aside.name}"


def _lifted(file: Path, data: Any) -> Any:
    """Return a desk of version 1 as one of version 2: a sheet's record is lifted, steps follow from records."""
    if not isinstance(data, dict) or data.get("format", 1) != 1:
        return data
    desk = {**data, "format": 2}
    for place in ("hand", "tray"):
        if isinstance(desk.get(place), dict):
            desk[place] = {key: value for key, value in desk[place].items() if key != "steps"}
    if isinstance(desk.get("tray"), dict):
        desk["tray"]["record"] = record_data(record_from_data(file, desk["tray"].get("record")))
    return desk


def _known(kept: Kept) -> None:
    """Refuse a set-up that names what is not in the darkroom. Raises OutsideError or Refused."""
    find_sleeve(kept.set_up.negative)
    find_stock(kept.set_up.paper)
    find_head(kept.set_up.head)
    kept.set_up.record()
