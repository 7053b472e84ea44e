"""The numbers that a lesson's texts may name in braces: each as it is printed, with the digits a printer would say."""

from __future__ import annotations

from math import log2

from sim.enlarger.settings import set_up
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.quantities import exact_f_number, factor_to_stops
from sim.scoring.burn_stops import main_exposures
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.start import start_record
from sim.viewing.densitometer import negative_density

IN_DENSITY = ("tone", "at-least", "at-most", "separation")


def derived_numbers(bench: LadderBench, reference: tuple[PrintingRecord, ...]) -> dict[str, str]:
    """Return every number of a lesson that its texts may name."""
    exercise, negative, record = bench.exercise, bench.negatives[0], reference[0]
    start = start_record(exercise, negative, find_stock(exercise.paper))
    numbers = {
        "sheets": f"{exercise.box.sheets}",
        "minutes": f"{exercise.box.minutes:g}",
        "expected_sheets": f"{exercise.box.expected_sheets:g}",
    }
    for criterion in exercise.criteria:
        name = criterion.name.replace("-", "_").replace("~", "_").replace(" ", "_").lower()
        if criterion.kind in IN_DENSITY:
            numbers[name] = f"{criterion.wanted:.2f}"
        if criterion.kind == "size" and criterion.magnification is None:
            numbers[name] = f"{criterion.wanted:g}"
        if criterion.kind == "time-window":
            numbers[f"{name}_least_s"], numbers[f"{name}_most_s"] = f"{criterion.wanted:g}", f"{criterion.most or 0.0:g}"
    for name, one in (("enlargement", record), ("start_enlargement", start)):
        numbers[name] = _times(set_up(one.enlarger, negative).print_scale)
    parts = [[negative_density(negative, p) for p in negative.places if p.part == part] for part in ("lightest", "darkest")]
    if all(parts):
        numbers["range_stops"] = f"{factor_to_stops(10.0 ** (max(parts[0]) - min(parts[1]))):.1f}"
    return numbers


def light_stops(record: PrintingRecord) -> float:
    """Return the light of a record's main exposures in stops: seconds over the square of the f-number, log to 2."""
    mains = [record.exposures[k] for k in main_exposures(record)] or list(record.exposures)
    return log2(sum(e.time_s / exact_f_number(e.f_number) ** 2 for e in mains))


def habit_numbers(reference: tuple[PrintingRecord, ...], habit: tuple[PrintingRecord, ...]) -> dict[str, str]:
    """Return how far the earlier lesson's print is from this one's, in stops of light, in times its seconds, in size."""
    here, there = reference[0], habit[0]
    return {
        "habit_light_stops": f"{abs(light_stops(there) - light_stops(here)):.1f}",
        "habit_time_factor": f"{max(_time_s(here) / _time_s(there), _time_s(there) / _time_s(here)):.1f}",
        "habit_enlargement": _times(set_up(there.enlarger, find_negative(there.negative)).print_scale),
    }


def _times(scale: float) -> str:
    """Return an enlargement as it is said: 2, 2.8, 8."""
    return f"{round(scale, 1):g}"


def _time_s(record: PrintingRecord) -> float:
    return record.exposures[0].time_s
