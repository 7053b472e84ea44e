"""Where prints hang on the wall: any number of them, each where a hand put it, kept beside the evening."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter

from sim.bench.wall import WallPrint
from sim.reading import OUTSIDE_RULES, parse_json, read_text, validate
from sim.refusals import Refusal
from sim.writing import WritingFailed, write_text

FILE_NAME, MOST_BYTES, MOST = "wall.json", 256 * 1024, 2000
GAP_MM, STRIP_GAP_MM, PER_ROW = 22.0, 72.0, 6  # beside a strip its seconds have room, on a full wall too
ROW_GAP_MM = 48.0  # between two rows: the words under the upper one have room (chosen: 28 px at 0.6 px/mm)


@dataclass(frozen=True)
class Pin:
    """A print and where its middle hangs, mm on the wall; ``up`` False: it was taken down and lies in the drawer."""

    __pydantic_config__ = OUTSIDE_RULES
    number: Annotated[int, Field(ge=1)]
    x_mm: float
    y_mm: float
    up: bool = True


@dataclass(frozen=True)
class Pins:
    """All prints of an evening on its wall, in the order in which they lie over each other."""

    __pydantic_config__ = OUTSIDE_RULES
    pins: Annotated[tuple[Pin, ...], Field(max_length=MOST)] = ()
    format: Literal[1] = 1

    def of(self, number: int) -> Pin | None:
        """Return a print's pin."""
        return next((pin for pin in self.pins if pin.number == number), None)

    def put(self, pin: Pin) -> Pins:
        """Return the wall with a print where it is now, over all others."""
        return replace(self, pins=(*(p for p in self.pins if p.number != pin.number), pin))

    @property
    def up(self) -> tuple[Pin, ...]:
        """Those that hang."""
        return tuple(pin for pin in self.pins if pin.up)

    def with_new(self, prints: Sequence[WallPrint]) -> Pins:
        """Return the wall with every print that has no place yet hung beside the last one; none is taken down for it."""
        out = self
        sizes = {one.number: (one.width_mm, one.height_mm) for one in prints}
        for one in prints:
            if out.of(one.number) is None and one.developed:
                out = out.put(_beside(out, sizes, one))
        return out


def _beside(pins: Pins, sizes: dict[int, tuple[float, float]], new: WallPrint) -> Pin:
    """Return the next free place of the row, or of a new row below."""
    hung = [pin for pin in pins.up if pin.number in sizes]
    if not hung:
        return Pin(new.number, 0.0, 0.0)
    last = max(hung, key=lambda pin: pin.number)
    if len(hung) % PER_ROW == 0:
        low = max(pin.y_mm + sizes[pin.number][1] / 2 for pin in hung)
        left = min(pin.x_mm - sizes[pin.number][0] / 2 for pin in hung)
        return Pin(new.number, left + new.width_mm / 2, low + ROW_GAP_MM + new.height_mm / 2)
    gap = STRIP_GAP_MM if sizes[last.number][1] > 2 * sizes[last.number][0] else GAP_MM
    return Pin(new.number, round(last.x_mm + sizes[last.number][0] / 2 + gap + new.width_mm / 2, 1), last.y_mm)


def read_pins(folder: Path) -> Pins:
    """Return the wall of an evening as it was left; a file that cannot be read leaves it to be hung anew."""
    file = folder / FILE_NAME
    if not file.exists():
        return Pins()
    try:
        return validate(file, parse_json(file, read_text(file, MOST_BYTES)), Pins)
    except (Refusal, OSError):
        return Pins()


def keep_pins(folder: Path, pins: Pins) -> str:
    """Write the wall down; returns in words what went wrong, or nothing."""
    data = TypeAdapter(Pins).dump_python(pins, mode="json")
    try:
        write_text(folder / FILE_NAME, json.dumps(data) + "\n")
    except WritingFailed as error:
        return str(error)
    return ""
