"""Reading a test strip: which places of the picture every step shows, the density of every step, and the nearest to a tone.

What a step shows is worked out from the sleeve's places and the geometry of paper, slot and picture, never stored. A
reading asked for at a place is refused where a step does not show that place: its density would be another tone's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sim.negative.negative import Negative, Place
from sim.printing.burn_past_card import lit_in_step
from sim.printing.flash import only_flashed
from sim.printing.make_print import Print, place_on_sheet
from sim.printing.record import PrintingRecord
from sim.printing.strips import SAME_PLACE, Strip, bands_of, strip_in
from sim.refusals import Refused
from sim.viewing.densitometer import spot_density
from sim.viewing.lightness import lightness

SPOT_MM = 3.0
EDGE_MM = 0.5  # the soft edge of cardboard lying on the paper is narrower than this


@dataclass(frozen=True)
class StripReading:
    """What the densitometer reads in each step: in its middle, or at the place that was asked for."""

    times_s: tuple[float, ...]
    densities: tuple[float, ...]

    def nearest(self, density: float) -> int:
        """Return the index of the step whose lightness comes nearest to a density's."""
        wanted = float(lightness(density))
        return min(range(len(self.densities)), key=lambda k: abs(float(lightness(self.densities[k])) - wanted))


@dataclass(frozen=True)
class ShownPlace:
    """A place of the negative that lies wholly inside one step, and where it lies on the piece (mm)."""

    place: Place
    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class StepRead:
    """One step as the densitometer finds it: seconds, density of its middle, and what every place that it shows reads."""

    number: int
    time_s: float
    density: float
    shows: tuple[tuple[str, float], ...]


def places_shown(negative: Negative, record: PrintingRecord) -> tuple[tuple[ShownPlace, ...], ...]:
    """Return for every step of a strip the named places that lie inside it with the whole of their spot, and in the full light
    of every card that was held over it: of a burn's hole or edge. A step of flashes alone shows none: no light went through
    the negative.

    Empty when the record lays no strip.
    """
    decision = record.strip
    if decision is None:
        return ()
    if only_flashed(record):
        return tuple(() for _ in decision.times_s)
    sheet = record.sheet
    bands = bands_of(sheet, decision.angle_deg, len(decision.times_s))
    shown = []
    for k, (dx, dy) in enumerate(paper_shifts_mm(record)):
        inside = []
        for place in negative.places:
            x, y = place_on_sheet(negative, record, place)
            reach = 0.5 * place.spot_mm + EDGE_MM
            there, (x, y) = (x, y), (x - dx, y - dy)
            on_paper = reach <= x <= sheet.width_mm - reach and reach <= y <= sheet.height_mm - reach
            along = bands.along(x, y)
            if not on_paper or not bands.marks_mm[k] + reach <= along <= bands.marks_mm[k + 1] - reach:
                continue
            if lit_in_step(record, k + 1, there, reach):  # under a card a step has less than its seconds
                inside.append(ShownPlace(place, x, y))
        shown.append(tuple(inside))
    return tuple(shown)


def paper_shifts_mm(record: PrintingRecord) -> tuple[tuple[float, float], ...]:
    """Return for every step how far the paper had been moved when that step was exposed (0, 0 unless it was moved)."""
    decision = record.strip
    if decision is None:
        return ()
    steps = range(1, len(decision.times_s) + 1)
    if decision.way not in SAME_PLACE:
        return tuple((0.0, 0.0) for _ in steps)
    moved = {exposure.step: exposure.paper_shift_mm for exposure in record.exposures if exposure.step}
    return tuple(moved.get(step, (0.0, 0.0)) for step in steps)


def shown_in_every_step(negative: Negative, record: PrintingRecord) -> tuple[str, ...]:
    """Return the names of the places that every step of a strip shows: only of these can a step be called right."""
    shown = places_shown(negative, record)
    names = [{one.place.name for one in step} for step in shown]
    return tuple(one.place.name for one in (shown[0] if shown else ()) if all(one.place.name in step for step in names))


def read_strip(strip: Strip, sheet: Print, spot_mm: float = SPOT_MM) -> StripReading:
    """Return the readings in the middle of every step, whatever it shows there."""
    densities = tuple(spot_density(sheet, step.x_mm, step.y_mm, spot_mm) for step in strip.steps)
    return StripReading(tuple(step.time_s for step in strip.steps), densities)


def read_strip_at(place: str, negative: Negative, record: PrintingRecord, sheet: Print) -> StripReading:
    """Return the readings of one place in every step. Raises Refused naming the steps that do not show it."""
    spots = [
        next(((one.x_mm, one.y_mm, one.place.spot_mm) for one in step if one.place.name == place), None)
        for step in places_shown(negative, record)
    ]
    return read_spots(record, sheet, spots, place)


def read_spots(
    record: PrintingRecord, sheet: Print, spots: Sequence[tuple[float, float, float] | None], place: str, tone: bool = False
) -> StripReading:
    """Return the readings of a spot (x, y, width in mm) of every step: of a place, or of its ``tone`` wherever that lies.

    Raises Refused naming the steps that have none.
    """
    strip = strip_in(record)
    if strip is None:
        at = "tone" if tone else "place"
        raise Refused(f"a strip's steps can be read at a {at}, got a {record.sheet.kind} that lays none")
    missing = ", ".join(str(k + 1) for k, spot in enumerate(spots) if spot is None)
    if missing:
        raise Refused(f"every step must show {'the tone of ' if tone else ''}{place!r} for it to be read there, "
                      f"got none of it in step {missing}")  # fmt: skip
    densities = tuple(spot_density(sheet, *spot) for spot in spots if spot is not None)
    return StripReading(tuple(step.time_s for step in strip.steps), densities)


def steps_read(negative: Negative, record: PrintingRecord, sheet: Print) -> tuple[StepRead, ...]:
    """Return every step of a strip with what it shows and what that reads; nothing when the record lays no strip."""
    strip = strip_in(record)
    if strip is None:
        return ()
    found = zip(strip.steps, read_strip(strip, sheet).densities, places_shown(negative, record), strict=True)
    steps = []
    for step, density, inside in found:
        read = ((one.place.name, spot_density(sheet, one.x_mm, one.y_mm, one.place.spot_mm)) for one in inside)
        steps.append(StepRead(step.number, step.time_s, density, tuple(read)))
    return tuple(steps)
