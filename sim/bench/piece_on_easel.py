"""A piece of paper out of the box: taken, laid on the easel, moved, put back or thrown away; and its record so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from sim.bench.keeping import InHand
from sim.bench.live_exposure import LiveExposure
from sim.evening.evening import EveningEnded
from sim.printing.record import Exposure, PrintingRecord, Sheet, StripDecision
from sim.printing.record_file import record_json
from sim.printing.setup import picture_on_sheet, strip_size_mm
from sim.printing.strips import as_covered_by_hand
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.bench.darkroom import Darkroom


@dataclass(frozen=True)
class Piece:
    """A sheet or strip on the easel: its top left corner and size in mm, how often and how long it was exposed."""

    kind: Literal["sheet", "strip"]
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    exposures: int
    seconds: float


class PieceOnEasel:
    """The one piece of paper that is out of the box and not yet in the developer."""

    def __init__(self, room: Darkroom):
        self._room = room
        self._live: LiveExposure | None = None

    @property
    def exposing(self) -> bool:
        """Tell whether the lamp is on over paper."""
        return self._live is not None

    @property
    def _hand(self) -> InHand | None:
        return self._room.kept.hand

    def _out(self) -> InHand:
        if self._hand is None:
            raise Refused("there is no paper on the easel: take a sheet or a strip out of the box first")
        return self._hand

    @property
    def piece(self) -> Piece | None:
        """What lies on the easel, or None."""
        hand = self._hand
        if hand is None:
            return None
        x, y = (a + m for a, m in zip(hand.at_mm, hand.moved_mm))
        seconds = sum(e.time_s for e in hand.exposures)
        return Piece(hand.kind, x, y, hand.width_mm, hand.height_mm, len(hand.exposures), seconds)

    def take(
        self, kind: Literal["sheet", "strip"], upright: bool = True, at_mm: tuple[float, float] | None = None
    ) -> None:
        """Take a sheet, or a strip of a quarter sheet, out of the box and lay it on the easel.

        ``at_mm`` is the point of the easel under a strip's middle (default: the sheet's middle). Raises EveningEnded
        when the box is empty, Refused where light would fog it.
        """
        room, now = self._room, self._room.desk.now
        if kind not in ("sheet", "strip"):
            raise Refused(f"take a sheet or a strip, got {kind!r}")
        if self._hand is not None:
            raise Refused("there is paper on the easel already: develop it, or put it back")
        if room.white_light:
            raise Refused("the white light is on: it would fog the whole box")
        if now.focus_light and not now.red_filter:
            raise Refused("the focusing light is on: switch it off, or swing the red filter in, before paper comes out")
        tray = room.kept.tray
        if tray is not None and tray.bath == "developer":
            raise Refused("a sheet is in the developer: see it through before the box is opened again")
        if room.sheets_left < (0.25 if kind == "strip" else 1.0):
            raise EveningEnded(f"the box must hold the paper asked for, got {room.sheets_left:g} sheets left")
        width, height = now.sheet_width_mm, now.sheet_height_mm
        middle = at_mm if at_mm and kind == "strip" else (width / 2, height / 2)
        if kind == "strip":
            width, height = self._strip_size_mm(upright)
        corner = (round(middle[0] - width / 2, 2), round(middle[1] - height / 2, 2))
        number = len(room.evening.state.sheets) + 1
        self._keep(InHand(kind, number, width, height, corner if kind == "strip" else (0.0, 0.0)))

    def _strip_size_mm(self, upright: bool) -> tuple[float, float]:
        """Return the sides of a strip cut to lie inside the picture as it is projected now."""
        desk = self._room.desk
        record = desk.now.record()
        return strip_size_mm(record.sheet, picture_on_sheet(desk.negative, record)[2:], upright)

    def _keep(self, hand: InHand | None) -> None:
        self._room.keep(hand=hand)

    def place(self, x_mm: float, y_mm: float) -> None:
        """Lay the piece with its middle at a point of the easel; once exposed, it is moved under the same picture."""
        hand = self._not_exposing()
        corner = (round(x_mm - hand.width_mm / 2, 2), round(y_mm - hand.height_mm / 2, 2))
        if hand.exposures:
            moved = (round(corner[0] - hand.at_mm[0], 2), round(corner[1] - hand.at_mm[1], 2))
            if max(map(abs, moved)) > 500.0:
                raise Refused("the paper must stay within 500 mm of where it was first exposed")
            self._keep(replace(hand, moved_mm=moved))
            return
        if hand.kind == "sheet":
            raise Refused("a whole sheet lies in the easel's stops: shift the image instead")
        self._room.desk.now.record()
        self._keep(replace(hand, at_mm=corner))

    def turn(self) -> None:
        """Turn a strip from lying along to lying across, about its middle, before its first exposure."""
        hand = self._not_exposing()
        if hand.kind == "sheet" or hand.exposures:
            raise Refused("only a strip that has had no light yet can be turned")
        middle = (hand.at_mm[0] + hand.width_mm / 2, hand.at_mm[1] + hand.height_mm / 2)
        upright = hand.width_mm < hand.height_mm
        width, height = self._strip_size_mm(not upright)
        corner = (round(middle[0] - width / 2, 2), round(middle[1] - height / 2, 2))
        self._keep(replace(hand, width_mm=width, height_mm=height, at_mm=corner, cover=None))

    def _not_exposing(self) -> InHand:
        hand = self._out()
        if self.exposing:
            raise Refused("the lamp is on: wait until it is off")
        return hand

    def put_back(self) -> None:
        """Put an unexposed piece back into the box."""
        if self._not_exposing().exposures:
            raise Refused("it has had light and must not go back into the box: develop it, or throw it away")
        self._keep(None)

    def throw_away(self) -> None:
        """Throw the piece away: paper is used all the same, and the log says so."""
        hand = self._not_exposing()
        if not hand.exposures:
            self.put_back()
            return
        record = self.record()
        binned = replace(
            record, development=replace(record.development, time_s=0.0), note="thrown away, not developed"
        )  # fmt: skip
        self._room.evening.make(self._room.desk.negative, binned, px_per_mm=0.5)
        self._keep(None)

    def _record_with(self, exposures: Sequence[Exposure], strip: StripDecision | None = None) -> PrintingRecord:
        """Return the record of this piece with exposures: a strip is a small sheet with the image shifted on it."""
        hand, now = self._out(), self._room.desk.now
        base = now.record(self._room.desk.negative.digest)
        shift = (
            now.sheet_width_mm / 2 + now.image_shift_x_mm - hand.at_mm[0] - hand.width_mm / 2,
            now.sheet_height_mm / 2 + now.image_shift_y_mm - hand.at_mm[1] - hand.height_mm / 2,
        )
        border = now.border_mm if hand.kind == "sheet" else 0.0
        sheet = Sheet(now.paper, hand.width_mm, hand.height_mm, border, shift, hand.kind)
        return replace(base, sheet=sheet, exposures=tuple(exposures), strip=strip)

    def record(self) -> PrintingRecord:
        """Return the record of the piece as exposed so far. Raises Refused before the first exposure."""
        hand = self._out()
        if not hand.exposures:
            raise Refused("the paper has had no light yet")
        if hand.strip is not None:
            return self._record_with(hand.exposures, hand.strip)
        return as_covered_by_hand(self._record_with(hand.exposures))

    def record_json(self) -> str:
        """Return that record as JSON text."""
        return record_json(self.record())
