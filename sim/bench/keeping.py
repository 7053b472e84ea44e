"""What lies about in the darkroom between two decisions of the log: set-up, paper in hand, plan, tray. One file.

Kept durably after every change, so that after a power cut the darkroom is found as it was left. What is in the evening's
log counts more: a sheet that is already there is not developed twice.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, TypeAdapter

from sim.bench.set_up import SetUp
from sim.enlarger.equipment import find_head
from sim.negative.sleeve import find_sleeve
from sim.paper.stock import find_stock
from sim.printing.record import MAX_EXPOSURES, Exposure, PrintingRecord, StripDecision
from sim.printing.record_file import record_data, record_from_data
from sim.reading import MAX_RECORD_BYTES, OUTSIDE_RULES, parse_json, read_text, validate_with
from sim.refusals import Refusal
from sim.writing import write_durably

Bath = Literal["developer", "stop", "fix", "wash", "dry"]


@dataclass(frozen=True)
class InHand:
    """A piece of paper on the easel. ``at_mm``: its top left corner on the easel when it was first exposed (or now).

    ``moved_mm``: how far it has been moved since. ``number`` is the one it will have in the evening's log. ``strip`` is
    the decision behind its exposures, once they are a strip's.
    """

    __pydantic_config__ = OUTSIDE_RULES
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

    __pydantic_config__ = OUTSIDE_RULES
    number: int
    record: PrintingRecord
    bath: Bath = "developer"
    seconds: float = 0.0


@dataclass(frozen=True)
class Kept:
    """Everything that desk.json holds."""

    __pydantic_config__ = OUTSIDE_RULES
    set_up: SetUp
    hand: InHand | None = None
    tray: InTray | None = None
    plan: Annotated[tuple[Exposure, ...], Field(max_length=MAX_EXPOSURES)] = ()
    plan_done: int = 0
    white_light: bool = False
    format: Literal[2] = 2


@lru_cache(maxsize=1)
def _adapter() -> TypeAdapter[Kept]:
    return TypeAdapter(Kept)


def write_kept(file: Path, kept: Kept) -> None:
    """Put the state of the desk on disk. Raises WritingFailed; the old state is then intact."""
    text = json.dumps(_adapter().dump_python(kept, mode="json"), ensure_ascii=False, allow_nan=False)
    write_durably(file, lambda handle: handle.write(text.encode("utf-8")), keep_previous=True)


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
            kept = validate_with(candidate, _lifted(candidate, data), _adapter())
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
    """Refuse a set-up that names what is not in the darkroom. Raises OutsideError or ValueError."""
    find_sleeve(kept.set_up.negative)
    find_stock(kept.set_up.paper)
    find_head(kept.set_up.head)
    kept.set_up.record()
