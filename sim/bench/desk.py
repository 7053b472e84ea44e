"""The desk: choosing and setting everything before the lamp is switched on; checked in words, kept at once, undoable."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sim.bench.controls import Control as Control
from sim.bench.controls import Value, control, turned, value_of
from sim.bench.set_up import SetUp as SetUp
from sim.bench.set_up import set_up_of, usual
from sim.enlarger.settings import Bench, checked_aperture, set_up
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve, sleeve_names
from sim.notebook.control_words import CONTROL_TITLES
from sim.printing.controls import DIALLED, lock_of
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_json
from sim.refusals import Refusal, Refused

if TYPE_CHECKING:
    from sim.bench.darkroom import Darkroom

MOST_UNDONE = 200
# What may still be changed between two exposures of one sheet; the rest would be another picture on the same paper.
FREE_BETWEEN_EXPOSURES = (
    "time_s", "f_number", "filter", "yellow", "magenta", "development_time_s", "temperature_c", "red_filter",
    "focus_light", "reciprocity",
)  # fmt: skip


@dataclass(frozen=True)
class PlaceMark:
    """A named place of a negative, in fractions of the frame."""

    name: str
    x: float
    y: float
    part: str
    what: str


@dataclass(frozen=True)
class NegativeCard:
    """What stands on a sleeve."""

    name: str
    title: str
    teaches: str
    places: tuple[PlaceMark, ...]
    frame_mm: tuple[float, float]


def negative_card(name: str) -> NegativeCard:
    """Return what stands on a sleeve, without developing the film. Raises OutsideError."""
    sleeve = find_sleeve(name)
    marks = tuple(PlaceMark(p.name, p.x, p.y, p.part, p.what) for p in sleeve.places)
    return NegativeCard(sleeve.name, sleeve.title, sleeve.teaches, marks, sleeve.frame_mm)


class Desk:
    """The set-up and its controls. Every change is on disk before the call returns."""

    def __init__(self, room: Darkroom):
        self._room = room
        self._before: list[SetUp] = []
        self._undone: list[SetUp] = []
        self._dragged_from: SetUp | None = None

    @property
    def now(self) -> SetUp:
        """How everything stands."""
        return self._room.kept.set_up

    @property
    def negative(self) -> Negative:
        """The negative in the carrier, developed."""
        return self._room.negative(self.now.negative)

    @property
    def bench(self) -> Bench:
        """The enlarger as it stands with this negative."""
        return set_up(self.now.settings(), self.negative)

    def set(self, name: str, value: Value, settle: bool = True) -> None:
        """Set one control. Raises Refused, in words; nothing is then changed.

        While a knob is being dragged, ``settle=False`` shows the change without putting it on disk; the next settled
        change, or ``settle()``, keeps it, and undo goes back to before the drag.
        """
        locked = self._room.locked(name)
        if locked is not None and value != value_of(self.now, name):
            raise Refused(locked)
        self._refuse_while_paper_is_out(name, value)
        if value == value_of(self.now, name):
            if settle:
                self.settle()
            return
        try:
            after = turned(self.now, name, value, self.negative)
            if name == "negative":
                after = self._with_negative(str(value))
            self._check(after)
        except Refusal as error:
            raise Refused(str(error)) from error
        if settle:
            self._become(after)
        else:
            self._dragged_from = self._dragged_from or self.now
            self._room.show(after)

    def settle(self) -> None:
        """Keep what has been dragged so far."""
        if self._dragged_from is not None:
            self._become(self.now)

    def _refuse_while_paper_is_out(self, name: str, value: Value) -> None:
        room = self._room
        if room.paper.exposing and name not in ("time_s",):
            raise Refused("the lamp is on: nothing at the enlarger may be moved until it is off")
        if room.paper.exposing:
            raise Refused("the timer is running: its time can be set again when it has run out")
        piece = room.paper.piece
        if piece is None:
            return
        if name == "paper" or (piece.exposures and name not in FREE_BETWEEN_EXPOSURES and value != value_of(self.now, name)):
            raise Refused(
                f"{CONTROL_TITLES[name].lower()} cannot be changed while the {piece.kind} lies on the easel"
                f"{' with light on it' if piece.exposures else ''}: develop it, or throw it away"
            )
        light = {"focus_light": self.now.focus_light, "red_filter": self.now.red_filter, name: value}
        if light["focus_light"] and not light["red_filter"]:
            raise Refused("the focusing light would fog the paper on the easel: swing the red filter in first")

    def _check(self, after: SetUp) -> None:
        """Refuse what enlarger, film and paper cannot do together. Raises ValueError in words."""
        negative = self._room.negative(after.negative)
        checked_aperture(set_up(after.settings(), negative).lens, after.f_number)
        frame_on_sheet(negative, after.record())

    def _become(self, after: SetUp) -> None:
        before, self._dragged_from = self._dragged_from or self.now, None
        if after == before == self.now:
            return
        self._before = [*self._before[-MOST_UNDONE + 1 :], before]
        self._undone = []
        self._room.keep(set_up=after)

    def _with_negative(self, name: str) -> SetUp:
        """Put another negative in: what fits stays as it stands, else the usual set-up for its film."""
        negative = self._room.negative(name)
        same = replace(self.now, negative=name)
        try:
            self._check(same)
        except Refused:
            return replace(usual(negative, self._room.stock(self.now.paper)), time_s=self.now.time_s)
        return same

    def place_negative(self, name: str, usual: bool = False) -> None:
        """Put a negative into the carrier; with ``usual`` everything is set as is usual for its film."""
        self.set("negative", name)
        if usual:
            self.usual()

    def usual(self) -> None:
        """Set everything as is usual for this negative and paper; locked controls stay. Raises Refused."""
        self._take_over(usual(self.negative, self._room.stock(self.now.paper)))

    def like(self, record: PrintingRecord) -> None:
        """Set everything as it stood for a record, locked controls excepted. Raises Refused."""
        self._take_over(set_up_of(record))

    def like_sheet(self, number: int) -> None:
        """Set everything as it stood for a sheet of this evening."""
        self.like(self._room.wall.record(number))

    def _take_over(self, wanted: SetUp) -> None:
        if self._room.paper.piece is not None:
            raise Refused("the set-up cannot be taken over while paper lies on the easel: develop it, or put it back")
        rules = self._room.rules
        fields = [name for name in vars(wanted) if rules.locked(lock_of(name)) is None]
        after = replace(self.now, **{name: getattr(wanted, name) for name in fields})
        try:
            self._check(after)
        except Refused as error:
            raise Refused(str(error)) from error
        self._become(after)

    def focus(self) -> None:
        """Turn the ring to the sharp picture, as a focusing aid on the easel would show it."""
        if self.now.contact:
            raise Refused("in the contact frame there is nothing to focus: the negative lies on the paper")
        self.set("focus_offset_mm", 0.0)

    def undo(self) -> bool:
        """Take the last change back; False when there is none."""
        self.settle()
        return self._step(self._before, self._undone)

    def redo(self) -> bool:
        """Do the change last taken back again; False when there is none."""
        return self._step(self._undone, self._before)

    def _step(self, source: list[SetUp], other: list[SetUp]) -> bool:
        if not source:
            return False
        if self._room.paper.piece is not None or self._room.paper.exposing:
            raise Refused("changes cannot be taken back while paper lies on the easel")
        other.append(self.now)
        self._room.keep(set_up=source.pop())
        return True

    @property
    def can_undo(self) -> bool:
        """Tell whether there is a change to take back."""
        return bool(self._before)

    @property
    def can_redo(self) -> bool:
        """Tell whether a change was taken back."""
        return bool(self._undone)

    def control(self, name: str) -> Control:
        """Return a control with its range or choices as they are now, and why it is locked, if it is."""
        return control(self.now, name, self.negative, self._room.locked(name))

    def controls(self) -> tuple[Control, ...]:
        """Return all controls, in the order of the light."""
        return tuple(self.control(name) for name in DIALLED)

    def negatives(self) -> tuple[NegativeCard, ...]:
        """Return the negatives in the file."""
        return tuple(negative_card(name) for name in self._room.rules.negatives() or sleeve_names())

    @property
    def frame_mm(self) -> tuple[float, float, float, float]:
        """Where the image lies on the sheet: left, top, width, height in mm."""
        return frame_on_sheet(self.negative, self.now.record())

    @property
    def magnification(self) -> float:
        """Print size over negative size."""
        return self.bench.print_scale

    @property
    def image_size_mm(self) -> tuple[float, float]:
        """Width and height of the projected image."""
        return self.frame_mm[2:]

    @property
    def focus_offset_mm(self) -> float:
        """How far the ring stands from sharp, + negative away from the lens."""
        return 0.0 if self.now.contact else self.now.focus_offset_mm

    @property
    def filter_label(self) -> str:
        """The filter in a printer's words."""
        return self.now.filtration.label()

    def base_record(self) -> PrintingRecord:
        """Return the record of a straight print from this set-up."""
        return self.now.record(self.negative.digest)

    def base_record_json(self) -> str:
        """Return that record as JSON text."""
        return record_json(self.base_record())
