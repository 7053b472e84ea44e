"""A short evening with two negatives of the pottery workshop, run by the trade's own rules: strip, straight print, split.

What the demo command shows and the figures draw. Every sheet goes through the bench: box of paper, log, light really
given by the lamp, and the sheet that counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from sim.enlarger.filters import FilterSetting
from sim.evening.evening import Evening
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.notebook.limit_words import limit_words
from sim.paper.response import Response
from sim.paper.stock import Stock, find_stock
from sim.printing.make_print import Print
from sim.printing.record import PrintingRecord
from sim.printing.setup import strip_on, usual_setup
from sim.printing.strips import Strip, lay_strip, stop_times_s
from sim.scoring.best_print_of_a_negative import best_print, with_real_cards
from sim.scoring.marks import Marks, score
from sim.scoring.target_tones import ToneTarget, aim_tones
from sim.viewing.easel_meter import time_for_density
from sim.viewing.strip_reading import StripReading, read_strip_at
from sim.words import Words

BOX_SHEETS = 20
NORMAL, DIFFICULT, PAPER = "morning-shelf", "against-the-window", "glossy-fb-vc"


@dataclass(frozen=True, eq=False)
class Made:
    """A sheet and the record behind it, with the light really given."""

    negative: Negative
    record: PrintingRecord
    sheet: Print


@dataclass(frozen=True, eq=False)
class Demonstration:
    """The sheets of the demonstration evening."""

    laid: Strip
    strip: Made
    reading: StripReading
    first: Made
    straight: Made
    split: Made
    targets: tuple[ToneTarget, ...]
    straight_marks: Marks
    marks: Marks
    evening_notes: tuple[str, ...]


def demonstrate(log_file: Path | None = None) -> Demonstration:
    """Run the evening; with ``log_file`` its log is kept there, else it is thrown away."""
    if log_file is not None:
        return _run(log_file)
    with TemporaryDirectory() as folder:
        return _run(Path(folder) / "evening.jsonl")


def _make(evening: Evening, negative: Negative, record: PrintingRecord) -> Made:
    sheet = evening.make(negative, record)
    return Made(negative, evening.state.sheets[-1].record, sheet)


def _strip(evening: Evening, negative: Negative, stock: Stock) -> tuple[Strip, Made, StripReading]:
    """Lay a half-stop strip on the lightest place that must keep texture, the paper moved under a slot, and read it."""
    base = usual_setup(negative, stock)
    place = next(p for p in negative.places if p.part == "lightest")
    on_strip = strip_on(negative, base, place.x, place.y)
    times = stop_times_s(3.0, 0.5, 7)
    laid = lay_strip(on_strip.record, times, 8.0, FilterSetting("2"), "same-place", home_mm=on_strip.at_mm)
    made = _make(evening, negative, laid.record)
    return laid, made, read_strip_at(place.name, negative, laid.record, made.sheet)


def _run(log_file: Path) -> Demonstration:
    with Evening.open(log_file, PAPER, sheets=BOX_SHEETS, minutes=120.0, seed=7) as evening:
        return _shown(evening)


def _shown(evening: Evening) -> Demonstration:
    stock = find_stock(PAPER)
    normal, difficult = find_negative(NORMAL), find_negative(DIFFICULT)
    laid, strip, reading = _strip(evening, normal, stock)

    first_base = usual_setup(normal, stock)
    aims = aim_tones(normal, Response(stock, first_base.development))
    lightest = next(target for target in aims if target.place.part == "lightest")
    time_s = time_for_density(
        normal, first_base, lightest.place, stock, first_base.exposures[0], lightest.density, evening.lights
    )
    first = _make(evening, normal, usual_setup(normal, stock, time_s=round(time_s, 1)))

    base = usual_setup(difficult, stock)
    targets = aim_tones(difficult, Response(stock, base.development))
    room = [target for target in targets if target.place.area is None]
    one = best_print(difficult, base, stock, room, evening.lights)
    straight = _make(evening, difficult, one.record)
    found = best_print(difficult, base, stock, targets, evening.lights)
    split = _make(evening, difficult, with_real_cards(difficult, found))
    evening.nominate(evening.state.sheets[-1].number)
    notes = (
        f"{evening.state.sheets_left:g} of {BOX_SHEETS} sheets and {evening.state.minutes_left:.0f} of 120 minutes left",
        *(limit_words(limit, Words()) for limit in found.limits),
    )
    return Demonstration(
        laid, strip, reading, first, straight, split, targets, score(straight.sheet, targets),
        score(split.sheet, targets), notes,
    )  # fmt: skip
