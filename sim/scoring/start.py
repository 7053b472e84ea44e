"""How an exercise begins: the start record, random starts over the declared spread, and what was moved that is locked."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil
from typing import Any

import numpy as np

from sim.control_ranges import CONTROLS
from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import height_for_magnification_mm, magnification_at_height
from sim.negative.negative import Negative, Place
from sim.paper.development import Development
from sim.paper.stock import Stock
from sim.printing.card_work import burnt_in, held_back
from sim.printing.controls import TABLE
from sim.printing.flash import with_flash
from sim.printing.make_print import frame_on_sheet, place_on_sheet
from sim.printing.record import PrintingRecord
from sim.printing.setup import usual_setup
from sim.scoring.burn_stops import is_burn
from sim.scoring.exercise import Exercise, Start

CARD_AREA = (0.25, 0.25)
CARD_SHARE_OF_AREA = 0.8  # a tool's shadow is larger than the tool
LEAST_CARD_STOPS = 0.05


def start_record(exercise: Exercise, negative: Negative, stock: Stock) -> PrintingRecord:
    """Return the record of the first print if nothing is touched."""
    return record_of_start(exercise.start, negative, stock)


def record_of_start(start: Start, negative: Negative, stock: Stock) -> PrintingRecord:
    """Return a record from a start: what is usual for the negative, changed by what the start says."""
    record = usual_setup(
        negative, stock, start.width_mm, start.height_mm, start.border_mm, start.time_s, start.f_number,
        FilterSetting.named(start.filter), start.contact,
    )  # fmt: skip
    settings = record.enlarger
    head, lens = start.head or settings.head, start.lens or settings.lens
    column_mm = settings.height_mm if start.column_mm is None else start.column_mm
    if start.column_mm is None and lens != settings.lens and not settings.contact:
        column_mm = _same_size_mm(settings.height_mm, settings.lens, lens)
    enlarger = replace(
        settings, head=head, lens=lens, height_mm=column_mm, carrier=start.carrier,
        focus_offset_mm=start.focus_offset_mm, negative_tilt_deg=start.negative_tilt_deg,
        easel_tilt_deg=start.easel_tilt_deg,
    )  # fmt: skip
    time_s = stock.development.completion_time_s if start.development_time_s is None else start.development_time_s
    development = replace(
        record.development, time_s=time_s, temperature_c=start.temperature_c, sheets_before=start.sheets_before
    )
    return replace(
        record, enlarger=enlarger, development=development, reciprocity=start.reciprocity, safelight=start.safelight
    )


def _same_size_mm(column_mm: float, lens: str, other: str) -> float:
    """Return the height at which another lens gives the same size."""
    size = magnification_at_height(find_lens(lens).focal_mm, column_mm)
    return round(height_for_magnification_mm(find_lens(other).focal_mm, size), 1)


def ready(exercise: Exercise, negative: Negative, start: Start) -> Start:
    """Return a start with size, focus, level and development as they should be, as far as they are unlocked."""
    unlocked, sizes = exercise.unlocked, [c for c in exercise.criteria if c.of_kind.cause == "size"]
    if sizes and "height_mm" in unlocked:
        lens = record_of_start(start, negative, exercise.stock).enlarger.lens
        wide = sizes[0].magnification or sizes[0].wanted / negative.frame_mm[0]
        column_mm = height_for_magnification_mm(find_lens(lens).focal_mm, max(wide, 1.0))
        start = replace(start, column_mm=round(column_mm, 1))
    done: dict[str, float | None] = {
        "focus_offset_mm": 0.0, "easel_tilt_deg": 0.0, "development_time_s": _full_time_s(exercise.stock, start),
    }  # fmt: skip
    return replace(start, **{name: value for name, value in done.items() if name in unlocked})  # type: ignore[arg-type]


def _full_time_s(stock: Stock, start: Start) -> float | None:
    """Return the seconds in which a start's bath does all its work, to five; None: the paper's own, in a fresh one."""
    bath = Development(stock.development.completion_time_s, start.temperature_c, start.sheets_before)
    if bath == Development(bath.time_s):
        return None
    most = CONTROLS["development_time_s"].high
    return float(min(5.0 * ceil(stock.development.time_to_completion_s(bath) / 5.0), most))


@dataclass(frozen=True)
class Half:
    """A second exposure of the whole sheet, at the first one's aperture: its filter, its seconds, its own card work."""

    filter: str
    time_s: float
    cards: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class Dials:
    """A print as a beginner sets it: all that a start holds, card work at places in stops (+ burnt in), perhaps a second half.

    ``cards`` work in the first exposure; those of ``second`` in the second. ``flash_s`` is a flash besides (0: none).
    """

    start: Start
    cards: tuple[tuple[str, float], ...] = ()
    tool: float = CARD_SHARE_OF_AREA
    second: Half | None = None
    flash_s: float = 0.0

    def record(self, negative: Negative, stock: Stock) -> PrintingRecord:
        """Return the record of these settings. Raises Refused for what is out of range."""
        record = record_of_start(self.start, negative, stock)
        if self.second is not None:
            first, filtration = record.exposures[0], FilterSetting.named(self.second.filter)
            record = record.with_exposures(first, replace(first, time_s=self.second.time_s, filter=filtration))
        for exposure, cards in enumerate((self.cards, self.second.cards if self.second else ())):
            for name, stops in cards:
                record = with_card(negative, record, negative.place(name), stops, exposure, self.tool)
        return with_flash(record, self.flash_s) if self.flash_s else record


def random_dials(exercise: Exercise, negative: Negative, rng: np.random.Generator) -> Dials:
    """Return the settings of a random start."""
    spread, start = exercise.spread, exercise.start
    changes: dict[str, float | str] = {}
    if spread.time_stops:
        changes["time_s"] = CONTROLS["time_s"].nearest(round(start.time_s * 2.0 ** rng.uniform(*spread.time_stops), 1))
    if spread.filter:
        changes["filter"] = spread.filter[int(rng.integers(len(spread.filter)))]
    if spread.f_number:
        changes["f_number"] = spread.f_number[int(rng.integers(len(spread.f_number)))]
    for key in ("column_mm", "focus_offset_mm", "development_time_s", "easel_tilt_deg"):
        if getattr(spread, key):
            changes[key] = round(float(rng.uniform(*getattr(spread, key))), 2 if key == "focus_offset_mm" else 1)
    cards = tuple(
        (place.name, round(float(rng.uniform(*spread.card_stops)), 2))
        for place in (card_places(exercise, negative) if spread.card_stops else ())
        if spread.card_stops is not None
    )
    dials = Dials(replace(start, **changes), cards)  # type: ignore[arg-type]
    dials = _with_random_half(exercise, dials, rng) if spread.second_filter else dials
    return replace(dials, flash_s=round(float(rng.uniform(*spread.flash_s)), 1)) if spread.flash_s else dials


def _with_random_half(exercise: Exercise, dials: Dials, rng: np.random.Generator) -> Dials:
    """Return dials with a random second exposure, the cards in either of the two."""
    spread = exercise.spread
    name = spread.second_filter[int(rng.integers(len(spread.second_filter)))]
    stops = float(rng.uniform(*spread.second_stops)) if spread.second_stops else 0.0
    time_s = CONTROLS["time_s"].nearest(round(exercise.start.time_s * 2.0**stops, 1))
    if rng.uniform() < 0.5:
        return replace(dials, second=Half(name, time_s, dials.cards), cards=())
    return replace(dials, second=Half(name, time_s))


def card_places(exercise: Exercise, negative: Negative) -> tuple[Place, ...]:
    """Return the places that cards are meant for: those of evenness, else those that know their extent."""
    spots = [(c, spot) for c in exercise.criteria for spot in c.spots]
    even = [spot.on(negative) for c, spot in spots if c.of_kind.cause == "evenness"]
    known = [spot.on(negative) for c, spot in spots if c.of_kind.cause != "evenness" and spot.known_as(negative.places)]
    chosen = even or [place for place in known if place.area is not None]
    return tuple({place.name: place for place in chosen}.values())


def with_card(
    negative: Negative, record: PrintingRecord, place: Place, stops: float, exposure: int = 0,
    tool: float = CARD_SHARE_OF_AREA,
) -> PrintingRecord:  # fmt: skip
    """Return the record with a tool of a place's own extent that burns it in (+) or holds it back (-); none for a trace."""
    return record if abs(stops) < LEAST_CARD_STOPS else carded(negative, record, place, stops, exposure, tool)


def carded(
    negative: Negative, record: PrintingRecord, place: Place, stops: float, exposure: int = 0,
    tool: float = CARD_SHARE_OF_AREA,
) -> PrintingRecord:  # fmt: skip
    """Return the record with a tool of a place's own extent, kept moving, that burns it in (+) or holds it back (-)."""
    width, height = frame_on_sheet(negative, record)[2:]
    x_mm, y_mm = place_on_sheet(negative, record, place)
    area = place.area or CARD_AREA
    across, down = (max(10.0, tool * share * side) for share, side in zip(area, (width, height), strict=True))
    work = held_back if stops < 0 else burnt_in
    return work(record, exposure, x_mm, y_mm, min(across, 1400.0), abs(stops), min(down, 1400.0))


@dataclass(frozen=True)
class Moved:
    """A control that stands differently from the start: which, what about it, how it stands now and how it stood.

    Numbers are in the unit of ``what``; where nothing can be compared both are None. ``sim/notebook/lock_words.py`` says it.
    """

    control: str
    what: str
    now: Any = None
    before: Any = None


def locked_changes(exercise: Exercise, negative: Negative, record: PrintingRecord) -> tuple[Moved, ...]:
    """Return what differs from the start although it is locked. Empty: all is as it should be.

    Where fresh developer may be poured it is fresh: no other count of sheets is anybody's to choose.
    """
    start = start_record(exercise, negative, exercise.stock)
    moved = [*_set_up(start, record), *_exposures(start, record)]
    return tuple(one for one in moved if one.control not in exercise.unlocked or (one.what == "sheets_before" and one.now))


# controls of the table that are told together, by what is told of them
_TOLD_AS = {
    "sheet": "sheet", "piece": "sheet", "border_mm": "sheet", "image_shift_x_mm": "image_shift_mm",
    "image_shift_y_mm": "image_shift_mm", "development_time_s": "time_s",
}  # fmt: skip


def _set_up(start: PrintingRecord, record: PrintingRecord) -> list[Moved]:
    """Return what stands differently on enlarger, easel and tray, of all that a lesson can lock."""
    moved: dict[str, Moved] = {}
    for control in TABLE.values():
        if control.of is None or not control.lock or control.name == "exposures":
            continue
        before, now = control.of(start), control.of(record)
        if not control.moved(before, now):
            continue
        what = _TOLD_AS.get(control.name, control.name)
        if what == "sheet":
            moved[what] = Moved(control.lock, what, record.sheet, start.sheet)
        elif what == "image_shift_mm":
            moved[what] = Moved(control.lock, what, record.sheet.image_shift_mm, start.sheet.image_shift_mm)
        else:
            moved[control.name] = Moved(control.lock, what, now, before)
    return list(moved.values())


def _exposures(start: PrintingRecord, record: PrintingRecord) -> list[Moved]:
    """Return what differs in the exposures. Burns are card work: only time through a card's hole is theirs to choose."""
    first = start.exposures[0]
    main = [e for k, e in enumerate(record.exposures) if not is_burn(e, k) and e.through == "negative"]
    moved = []
    if main and len(main) != len(start.exposures):  # a sheet that is only flashed has none
        moved.append(Moved("exposures", "exposures", len(main), len(start.exposures)))
    if any(exposure.cards for exposure in record.exposures):
        moved.append(Moved("cards", "cards"))
    for control, exposures in (("time_s", main), ("f_number", [*record.exposures]), ("filter", [*record.exposures])):
        usual = getattr(first, control)
        other = next((value for e in exposures if _told(value := getattr(e, control)) != _told(usual)), None)
        if other is not None:
            moved.append(Moved(control, control, other, usual))
    if any(e.through != "negative" or e.dimmed_stops for e in record.exposures):
        moved.append(Moved("flash", "flash"))
    if any(e.paper_shift_mm != (0.0, 0.0) for e in record.exposures):
        moved.append(Moved("exposures", "other-light"))
    return moved


def _told(value: FilterSetting | float) -> str:
    """Return a setting as it can be told apart: a filter's name, a number to six digits."""
    return value.name if isinstance(value, FilterSetting) else f"{value:g}"
