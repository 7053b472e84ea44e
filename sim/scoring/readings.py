"""What is read on a judged sheet: tones at places, and what cards left. From a whole print, or at the places only.

Where no card was in the light a place reads what the densitometer's spot reads. Where one was, the whole area counts that
the place stands for (``traces.py``): a card over the spot alone moves nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from sim.negative.negative import Negative, Place
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, frame_on_sheet, place_on_sheet
from sim.printing.place_print import PlacePrint
from sim.printing.record import PrintingRecord
from sim.scoring.burn_stops import without_cards
from sim.scoring.traces import CardTraces, has_cards
from sim.viewing.densitometer import read_place

Frame = tuple[float, float, float, float]


class Readings(Protocol):
    """A sheet that can be read."""

    @property
    def frame_mm(self) -> Frame:
        """Where the negative's frame lies on the sheet: left, top, width, height."""

    @property
    def traces(self) -> CardTraces | None:
        """What cards did to the sheet; None where none was in the light."""

    def spot(self, place: Place) -> float:
        """Return the density at a place. Raises Refused when it lies off the sheet."""


@dataclass(frozen=True, eq=False)
class PrintReadings:
    """A whole print; ``at_places`` reads it where a card was in the light."""

    sheet: Print
    at_places: PlaceReadings | None = None

    @property
    def frame_mm(self) -> Frame:
        """Where the negative's frame lies on the sheet."""
        return self.sheet.frame_mm

    def spot(self, place: Place) -> float:
        """Return the density at a place."""
        return self.at_places.spot(place) if self.at_places and self.traces else read_place(self.sheet, place)

    @property
    def traces(self) -> CardTraces | None:
        """What cards did to the sheet; None where none was in the light."""
        return self.at_places.traces if self.at_places else None


@dataclass(frozen=True, eq=False)
class PlaceReadings:
    """A record, printed only where it is read: for searches and the coach. Cards' work is added to what stands without it."""

    negative: Negative
    record: PrintingRecord
    stock: Stock
    lights: LightCache
    places: tuple[Place, ...] = ()

    @property
    def frame_mm(self) -> Frame:
        """Where the negative's frame lies on the sheet."""
        return frame_on_sheet(self.negative, self.record)

    def spot(self, place: Place) -> float:
        """Return the density at a place."""
        read = self._spots[place] if place in self._spots else self._read((place,))[0]
        return read + (self.traces.change(place) if self.traces else 0.0)

    @cached_property
    def traces(self) -> CardTraces | None:
        """What cards did to the sheet; None where none was in the light."""
        if not has_cards(self.record):
            return None
        return CardTraces(self.negative, self.record, self.stock, self.lights)

    @cached_property
    def _spots(self) -> dict[Place, float]:
        """The places named beforehand, read all at once; those off the sheet left out."""
        on = [place for place in self.places if on_sheet(self.negative, self.record, place)]
        return dict(zip(on, self._read(tuple(on)), strict=True)) if on else {}

    @cached_property
    def _print(self) -> PlacePrint:
        record = without_cards(self.record) if has_cards(self.record) else self.record
        return PlacePrint(self.negative, record, self.stock, self.lights)

    def _read(self, places: tuple[Place, ...]) -> list[float]:
        return [float(reading) for reading in self._print.readings(*places)]


def on_sheet(negative: Negative, record: PrintingRecord, place: Place) -> bool:
    """Tell whether a place's middle lies on the sheet of a record."""
    x_mm, y_mm = place_on_sheet(negative, record, place)
    return 0.0 <= x_mm <= record.sheet.width_mm and 0.0 <= y_mm <= record.sheet.height_mm
