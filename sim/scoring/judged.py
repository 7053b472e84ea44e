"""The nominated prints, made once more from their records and laid out to be judged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sim.negative.negative import Negative, Place
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import Stock, find_stock
from sim.printing.exposure import LightCache
from sim.printing.make_print import Print, make_print
from sim.printing.record import PrintingRecord
from sim.refusals import Refused
from sim.scoring.exercise import Criterion, Exercise
from sim.scoring.readings import PlaceReadings, PrintReadings, Readings
from sim.scoring.start import start_record


@dataclass(frozen=True)
class JudgedPrint:
    """One nominated sheet of a negative (0-based)."""

    negative: int
    copy: int
    record: PrintingRecord
    readings: Readings
    sheet: Print | None = None


@dataclass(frozen=True)
class Judged:
    """All that marks are given for: prints with their records, and what was used up.

    ``matched`` holds, per criterion's name and negative, the densities that a print to be matched reads.
    ``rims_cost`` says that a card's rim costs the tones it made: so where no criterion of its own asks for evenness.
    """

    negatives: tuple[Negative, ...]
    stock: Stock
    judged_prints: tuple[JudgedPrint, ...]
    sheets_used: float = 0.0
    minutes_used: float = 0.0
    matched: tuple[tuple[str, int, tuple[float, ...]], ...] = ()
    lights: LightCache | None = None
    rims_cost: bool = False

    @property
    def records(self) -> tuple[PrintingRecord, ...]:
        """The nominated records."""
        return tuple(one.record for one in self.judged_prints)

    @property
    def prints(self) -> tuple[Print, ...]:
        """The nominated sheets (none where only the places were printed)."""
        return tuple(one.sheet for one in self.judged_prints if one.sheet is not None)

    def of_negative(self, index: int) -> tuple[JudgedPrint, ...]:
        """Return the nominated sheets of a negative (0-based)."""
        return tuple(one for one in self.judged_prints if one.negative == index)

    def matched_densities(self, criterion: Criterion, negative: int) -> tuple[float, ...]:
        """Return what the print to be matched reads at the criterion's places."""
        if criterion.densities:
            return criterion.densities
        return next(d for name, index, d in self.matched if (name, index) == (criterion.name, negative))


def completed(stock: Stock) -> Response:
    """Return a paper developed to completion in a fresh bath: what its black and white are measured against."""
    return Response(stock, Development(stock.development.completion_time_s))


def judge(
    exercise: Exercise, negatives: Sequence[Negative], records: Sequence[PrintingRecord], sheets_used: float,
    px_per_mm: float | None = None, lights: LightCache | None = None, minutes_used: float = 0.0,
    first: Sequence[PrintingRecord] = (), only_places: bool = False,
) -> Judged:  # fmt: skip
    """Return the nominated records as prints, ready for ``score``.

    ``records`` belong to the negative they name; of each negative the first ``copies`` count. ``first`` holds the first
    whole sheets of the evening, for criteria that match them (default: the start's print). ``only_places`` prints only
    where something is read (some ten times quicker, within 0.0015 in density). Raises Refused for
    what cannot be printed.
    """
    cache = lights or LightCache()
    names = [negative.name for negative in negatives]
    rims_cost = all(criterion.of_kind.cause != "evenness" for criterion in exercise.criteria)
    judged: list[JudgedPrint] = []
    for record in records:
        if record.negative not in names:
            raise Refused(f"negative must be one of {', '.join(names)}, got {record.negative!r}")
        index = names.index(record.negative)
        copy = sum(one.negative == index for one in judged)
        if copy >= exercise.copies:
            continue
        stock, places = find_stock(record.sheet.paper), read_places(exercise, negatives[index], index)
        read, sheet = PlaceReadings(negatives[index], record, stock, cache, places), None
        if not only_places:
            sheet = make_print(negatives[index], record, stock, px_per_mm, lights=cache)
        judged.append(JudgedPrint(index, copy, record, PrintReadings(sheet, read) if sheet else read, sheet))
    out = Judged(tuple(negatives), exercise.stock, tuple(judged), sheets_used, minutes_used, (), cache, rims_cost)
    return replace(out, matched=tuple(_matched(exercise, out, first, cache)))


def read_places(exercise: Exercise, negative: Negative, index: int) -> tuple[Place, ...]:
    """Return every place that a criterion reads on a negative (0-based index), each once."""
    spots = [spot for criterion in exercise.criteria if criterion.belongs_to(index) for spot in criterion.spots]
    return tuple(dict.fromkeys(spot.on(negative) for spot in spots))


def _matched(
    exercise: Exercise, judged: Judged, first: Sequence[PrintingRecord], lights: LightCache
) -> list[tuple[str, int, tuple[float, ...]]]:
    """Return what the prints to be matched read, for every negative they belong to."""
    found = []
    for criterion in exercise.criteria:
        if criterion.of_kind.matched == "no" or criterion.densities:
            continue
        for index, negative in enumerate(judged.negatives):
            if not criterion.belongs_to(index):
                continue
            record = _to_match(exercise, criterion, negative, first, judged.stock)
            read = PlaceReadings(negative, record, find_stock(record.sheet.paper), lights)
            found.append((criterion.name, index, tuple(read.spot(spot.on(negative)) for spot in criterion.spots)))
    return found


def _to_match(
    exercise: Exercise, criterion: Criterion, negative: Negative, first: Sequence[PrintingRecord], stock: Stock
) -> PrintingRecord:
    """Return the record of the print to be matched; a goal's record is printed from the negative at hand."""
    if criterion.of_kind.matched == "record":
        return replace(exercise.goal(criterion), negative=negative.name)
    own = [record for record in first if record.negative == negative.name]
    return own[0] if own and criterion.sheet == "first" else start_record(exercise, negative, stock)
