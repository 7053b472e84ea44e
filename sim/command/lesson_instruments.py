"""Looking without a screen in a terminal lesson: prints and strips told in words, the film on the light table, meter, loupe."""

from __future__ import annotations

from pathlib import Path

from sim.command.lesson_lines import Act, whole_in
from sim.command.lesson_show import write_through_loupe
from sim.command.loupe_pictures import point_of
from sim.command.pictures import show_table
from sim.command.setting_options import named_place
from sim.enlarger.settings import set_up
from sim.negative.negative import Negative
from sim.notebook.tone_words import told_print, told_strip
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record import PrintingRecord
from sim.refusals import Refused
from sim.teaching.lesson import LessonRun
from sim.teaching.lesson_marks import index_of
from sim.viewing.densitometer import negative_density, places_read
from sim.viewing.easel_meter import read_meter
from sim.viewing.loupe import sharpness_at
from sim.viewing.plain_names import plain_name

WET_PX_PER_MM = 2.5  # even spots read the same at any fineness


def tell(run: LessonRun, act: Act) -> None:
    """Say in words what is seen on a sheet (the last one by default); no number is told, so it may be asked before looking."""
    number = whole_in("tell", act.words[0]) if act.words else run.made
    record = run.record_of(number)
    negative = next(one for one in run.negatives if one.name == record.negative)
    strip = record.sheet.kind == "strip"
    told = told_strip(negative, record, run.sheet(number)) if strip else told_print(negative, run.sheet(number))
    for words in told:
        print(f"  {words}")


def light_table(run: LessonRun) -> None:
    """Print what the densitometer reads on the film at every named place, thinnest first."""
    for negative in run.negatives:
        found = sorted((negative_density(negative, place), place.name, place.what) for place in negative.places)
        rows = [[plain_name(name), f"{density:.2f}", what] for density, name, what in found]
        show_table(f"On the light table: {plain_name(negative.name)}", ["place", "density on film", "what it is"], rows)


def meter(run: LessonRun, act: Act) -> None:
    """Print the easel meter's reading at places, in lux and in stops from the first of them, as the enlarger stands."""
    negative = next((one for one in run.negatives if one.name == run.last_negative), run.negatives[0])
    record = _standing(run, negative)
    places = [named_place(negative, "meter", word) for word in act.words] or list(negative.places)
    first = read_meter(negative, record, places[0], run.lights)
    print(f"  {plain_name(places[0].name)}: {first.illuminance_lux:.3g} lux")
    for place in places[1:]:
        read = read_meter(negative, record, place, run.lights, first)
        print(f"  {plain_name(place.name)}: {read.illuminance_lux:.3g} lux, {_stops(read.stops_from_reference)}")


def ruler(run: LessonRun, record: PrintingRecord) -> None:
    """Print how wide the whole picture is on the easel of a set-up, and how many times the negative. Raises Refusal."""
    run.refuse_locked(record)
    negative = run.negatives[index_of(run.negatives, record)]
    scale, height_mm = set_up(record.enlarger, negative).print_scale, record.enlarger.height_mm
    wide = f"{scale * negative.frame_mm[0]:.0f} mm wide on the easel, {scale:.2f} times the negative"
    print(f"  With the head at {height_mm:.0f} mm the whole picture is {wide}.")


def _stops(stops: float | None) -> str:
    if stops is None:
        return "no light"
    return f"{abs(stops):.1f} stops {'brighter' if stops >= 0 else 'darker'}"


def under_the_loupe(run: LessonRun, act: Act, folder: Path) -> None:
    """Write a piece of a sheet as a loupe shows it, at a place or a point, and say how fine the lens draws there."""
    number, at = whole_in("loupe", act.words[0]), act.words[1]
    path = write_through_loupe(run, number, at, folder)
    record = run.record_of(number)
    negative = run.negatives[index_of(run.negatives, record)]
    kept = sharpness_at(negative, record, *point_of(at, "loupe", negative, record))
    how = next(words for least, words in _SHARP if kept >= least)
    print(f"  Sheet {number} through the loupe: the lens draws {how} there. {path}")


_SHARP = ((0.75, "crisply"), (0.55, "cleanly, not crisply"), (0.3, "softly"), (-1.0, "nothing fine: it is out of focus"))


def _standing(run: LessonRun, negative: Negative) -> PrintingRecord:
    """Return the enlarger as the last whole print of a negative left it, or as the lesson begins."""
    own = [made.record for made in run.evening.state.sheets if made.record.negative == negative.name]
    whole = [record for record in own if record.sheet.kind == "sheet"]
    return whole[-1] if whole else run.start(negative.name)


def show_wet(run: LessonRun, number: int) -> None:
    """Print what the places of a sheet read while it hung wet, and dry. Raises Refused for a strip."""
    record = run.record_of(number)
    if record.sheet.kind != "sheet":
        raise Refused(f"a whole sheet is looked at wet, got strip {number}")
    negative, stock = run.negatives[index_of(run.negatives, record)], find_stock(record.sheet.paper)
    wet, dry = (make_print(negative, record, stock, WET_PX_PER_MM, wet, run.lights) for wet in (True, False))
    rows = [
        [plain_name(place.name), f"{before:.2f}", f"{after:.2f}", f"{after - before:+.2f}"]
        for (place, before), (_, after) in zip(places_read(wet, negative), places_read(dry, negative), strict=True)
    ]
    show_table(f"Sheet {number}, wet and dry", ["place", "wet", "dry", "drying"], rows)
