"""Drills of the wet side's reckoning, each with its picture: strip, filter, burn, aperture, a new negative beside an old print.

Items are drawn from a generator that is passed in and made by the real engine. What the densitometer says is told with the
mark, never before: the eye answers. The trade's rule is a right answer.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import magnification_at_height
from sim.printing.make_print import Print, make_print
from sim.printing.record import Exposure, PrintingRecord, StripWay
from sim.printing.setup import strip_on
from sim.printing.strips import Strip, lay_strip, stop_times_s
from sim.quantities import exact_f_number, factor_to_stops
from sim.refusals import Refused
from sim.teaching.drill_boards import print_board, steps_on_board, strip_board
from sim.teaching.drill_item import DrillItem
from sim.teaching.drill_negatives import DrillNegative, drawn_negative, printable_negative
from sim.teaching.lesson_step import Choice
from sim.viewing.easel_meter import time_that_keeps_tone
from sim.viewing.plain_names import plain_name
from sim.viewing.strip_reading import read_strip_at

PICTURE_PX_PER_MM = 1.5  # a small picture is enough to look at; spots of 3 mm are still read well
STEPS = 7
TRIES = 20
WORKABLE_S = (1.0, 120.0)  # times that a hand can work with
RULE_STOPS = 0.12  # where lamp and lens put the trade's rule off by more, the item is drawn anew


def between(easy: float, fine: float, hardness: float) -> float:
    """Return a value between an easy and a fine one, by how fine (0 to 1) the item is to be."""
    return easy + (fine - easy) * hardness


def read_the_strip(generator: np.random.Generator, hardness: float) -> DrillItem:
    """A strip lies there, every step showing the lightest place; which step holds it?"""
    drawn = drawn_negative(generator)
    wanted, _ = drawn.aims
    step = between(0.6, 0.35, hardness)
    right = int(generator.integers(1, STEPS - 1))
    first_s = drawn.time_s(wanted, "2") * 2.0 ** (-step * (right + float(generator.uniform(-0.2, 0.2))))
    laid, sheet = _strip(drawn, stop_times_s(max(0.1, first_s), step, STEPS))
    reading = read_strip_at(drawn.lightest.name, drawn.negative, laid.record, sheet)
    answer = reading.nearest(wanted) + 1
    place = plain_name(drawn.lightest.name)
    read = ", ".join(f"{k} {density:.2f}" for k, density in enumerate(reading.densities, start=1))
    return DrillItem(
        "read-the-strip", f"Every step shows the {place}. Which step just holds it: a breath darker than paper white?", (),
        f"a step, 1 to {STEPS}", between(0.3, 0.2, hardness), strip_board(sheet, laid.steps),
        choices=tuple(Choice(str(k), f"step {k}") for k in range(1, STEPS + 1)), answer_choice=str(answer),
        off=tuple(abs(k - answer) * step / between(0.3, 0.2, hardness) for k in range(1, STEPS + 1)),
        touched=steps_on_board(sheet, laid.steps),
        reason="look for the first step whose lights still have a surface, beside the white border of the neighbour before it",
        numbers=(f"The densitometer reads {read}; wanted {wanted:.2f}.",),
    )  # fmt: skip


def _strip(
    drawn: DrillNegative, times_s: tuple[float, ...], way: StripWay = "same-place", each: tuple[Exposure, ...] = ()
) -> tuple[Strip, Print]:
    """Return a strip on the lightest place, laid and printed."""
    piece = strip_on(drawn.negative, drawn.record, drawn.lightest.x, drawn.lightest.y)
    first = drawn.record.exposures[0]
    filtration = FilterSetting("2") if not each else each[0].filter
    laid = lay_strip(piece.record, times_s, first.f_number, filtration, way, each=each, home_mm=piece.at_mm)
    return laid, make_print(drawn.negative, laid.record, drawn.stock, PICTURE_PX_PER_MM, lights=drawn.lights)


def _printed(drawn: DrillNegative, record: PrintingRecord) -> Print:
    return make_print(drawn.negative, record, drawn.stock, PICTURE_PX_PER_MM, lights=drawn.lights)


def filter_from_the_range(generator: np.random.Generator, hardness: float) -> DrillItem:
    """The easel meter gives the range of light between two places; the paper's scale has to match it."""
    drawn, name, _ = printable_negative(generator)
    light, dark = drawn.aims
    lightest, darkest = plain_name(drawn.lightest.name), plain_name(drawn.darkest.name)
    facts = [f"On the easel the {darkest} is {drawn.range_stops:.1f} stops brighter than the {lightest}."]
    known = ("1", "4") if hardness < 0.7 else ("2",)
    facts += [f"Filter {one} prints {_range_of(drawn, one):.1f} stops between a light that holds and a deep dark."
              for one in known]  # fmt: skip
    soft_s = drawn.time_s(light, "2")
    facts.append(f"The picture is a print with filter 2: the {lightest} holds; look at the {darkest}.")
    sheet = _printed(drawn, drawn.record.with_exposures(_exposure(drawn, soft_s, "2")))
    return DrillItem(
        "filter-from-the-range", f"Which filter holds the {lightest} and makes the {darkest} a dark with drawing in it?",
        tuple(facts), "a filter, such as 2.5", 0.3, print_board([[sheet]]), answer_filter=name,
        filter_tolerance=between(1.0, 0.5, hardness),
        reason="a longer range of light needs a softer filter, a shorter one a harder; overall density says nothing about it",
        numbers=(f"With filter 2 the {darkest} reads {drawn.density(soft_s, '2', drawn.darkest):.2f}, wanted {dark:.2f}.",),
    )  # fmt: skip


def _range_of(drawn: DrillNegative, name: str) -> float:
    """Return the stops of light between the two aims behind a filter, at one place."""
    light, dark = drawn.aims
    return factor_to_stops(drawn.time_s(dark, name) / drawn.time_s(light, name))


def say_the_burn(generator: np.random.Generator, hardness: float) -> DrillItem:
    """A light place is too light by a burn's worth; a strip of that place with growing burns lies there."""
    drawn = drawn_negative(generator)
    wanted, _ = drawn.aims
    stops = float(generator.integers(2, 9)) * 0.25  # half a stop to two
    right_s = drawn.time_s(wanted, "2")
    base_s = right_s * 2.0**-stops
    step = 0.5 if hardness < 0.5 else 0.75
    extras = tuple(base_s * (2.0 ** (step * k) - 1.0) for k in range(6))
    laid, sheet = _strip(drawn, extras, "burn", (_exposure(drawn, base_s, "2"),))
    reading = read_strip_at(drawn.lightest.name, drawn.negative, laid.record, sheet)
    place = plain_name(drawn.lightest.name)
    return DrillItem(
        "say-the-burn", f"How many stops on top bring the {place} down to where it just holds?",
        ("Step 1 is the print without a burn, too light there.", f"Every further step got {step:g} of a stop more."),
        "stops, such as 1.25", between(0.3, 0.25, hardness), strip_board(sheet, laid.steps), answer_stops=stops,
        reason="light tones stand on the paper's toe: the first half stop does little there",
        numbers=(f"The {place} reads {', '.join(f'{d:.2f}' for d in reading.densities)}; wanted {wanted:.2f}.",),
    )  # fmt: skip


def beside_the_finished_print(generator: np.random.Generator, hardness: float) -> DrillItem:
    """A finished print lies beside a new negative printed the same way: say filter and time for the new one."""
    old, old_filter, old_s = printable_negative(generator)
    new, new_filter, new_s = printable_negative(generator)
    facts = tuple(
        f"{title}: the {plain_name(one.lightest.name)} has density {one.densities[0]:.2f}, "
        f"the {plain_name(one.darkest.name)} {one.densities[1]:.2f} on the film{ending}"
        for title, one, ending in (
            ("The finished print's negative", old, f"; it printed well at {old_s:.1f} s with filter {old_filter}."),
            ("The new negative", new, ", on the same paper, at the same aperture."),
        )
    )
    times = new.record.enlarger.height_mm, old.record.enlarger.height_mm
    size = (f"The heads stand at {times[1]:.0f} and {times[0]:.0f} mm.",) if abs(times[0] - times[1]) > 1 else ()
    sheet = _printed(old, old.record.with_exposures(_exposure(old, old_s, old_filter)))
    return DrillItem(
        "beside-the-finished-print", "Which time and which filter for the new negative?", (*facts, *size),
        "seconds and filter, such as 12 2.5", between(1.0, 0.5, hardness), print_board([[sheet]]), answer_s=new_s,
        answer_filter=new_filter, filter_tolerance=between(1.5, 0.75, hardness),
        reason="the density of the lightest place decides the time, the range from light to dark decides the filter",
    )  # fmt: skip


def _exposure(drawn: DrillNegative, time_s: float, name: str) -> Exposure:
    return replace(drawn.record.exposures[0], time_s=round(time_s, 2), filter=FilterSetting(name), light_s=None)


MARKS = (5.6, 8.0, 11.0, 16.0, 22.0)


def new_aperture_new_seconds(generator: np.random.Generator, hardness: float) -> DrillItem:
    """Aperture or height changes; the same tone needs other seconds. What the trade's rule gives is right."""
    for _ in range(TRIES):
        drawn = drawn_negative(generator)
        before_s = round(drawn.time_s(drawn.aims[0], "2"), 1)
        marks = tuple(one for one in MARKS if one != 8.0)
        f_number = marks[int(generator.integers(len(marks)))]
        taller = 1.0 + (float(generator.uniform(0.1, 0.3)) if hardness > 0.5 else 0.0)
        if not WORKABLE_S[0] <= before_s <= WORKABLE_S[1]:
            continue
        before = drawn.record.with_exposures(_exposure(drawn, before_s, "2"))
        after = _moved(before, f_number, taller)
        rule_s = before_s * _rule_factor(before, after)
        try:
            right_s, _ = time_that_keeps_tone(drawn.negative, before, after, drawn.lightest, drawn.stock, drawn.lights)
        except Refused:
            continue
        if WORKABLE_S[0] <= right_s <= WORKABLE_S[1] and abs(factor_to_stops(rule_s / right_s)) <= RULE_STOPS:
            return _aperture_item(drawn, before, after, right_s, rule_s, hardness)
    raise Refused(f"none of {TRIES} negatives drawn can be printed in {WORKABLE_S[0]:g} to {WORKABLE_S[1]:g} s")


def _moved(before: PrintingRecord, f_number: float, taller: float) -> PrintingRecord:
    height = before.enlarger.height_mm if taller == 1.0 else round(before.enlarger.height_mm * taller, 0)
    after = replace(before, enlarger=replace(before.enlarger, height_mm=height))
    return after.with_exposures(replace(before.exposures[0], f_number=f_number))


def _rule_factor(before: PrintingRecord, after: PrintingRecord) -> float:
    """Return the factor by the trade's rules: a stop of aperture doubles, height goes with (magnification + 1) squared."""
    stops = exact_f_number(after.exposures[0].f_number) / exact_f_number(before.exposures[0].f_number)
    return stops**2 * ((_magnification(after) + 1.0) / (_magnification(before) + 1.0)) ** 2


def _aperture_item(
    drawn: DrillNegative, before: PrintingRecord, after: PrintingRecord, right_s: float, rule_s: float, hardness: float
) -> DrillItem:
    place, before_s = plain_name(drawn.lightest.name), before.exposures[0].time_s
    facts = [f"The left print got {before_s:g} s at f/8, and its {place} is as wanted.",
             f"For the right print the lens went to f/{after.exposures[0].f_number:g}, the seconds stayed."]  # fmt: skip
    if after.enlarger.height_mm != before.enlarger.height_mm:
        facts.append(f"The head goes from {before.enlarger.height_mm:.0f} to {after.enlarger.height_mm:.0f} mm, refocused; "
                     f"magnification was {_magnification(before):.2f} and is {_magnification(after):.2f}.")  # fmt: skip
    same_size = after.exposures[0]
    board = print_board([[_printed(drawn, before), _printed(drawn, before.with_exposures(same_size))]], labelled=True)
    return DrillItem(
        "new-aperture-new-seconds", "How many seconds keep the tone?", tuple(facts), "seconds, such as 8.5",
        between(0.3, 0.15, hardness), board, answer_s=right_s, rule_s=rule_s,
        reason="one stop of aperture is a factor of two; for height the light goes with (magnification + 1) squared",
    )  # fmt: skip


def _magnification(record: PrintingRecord) -> float:
    return magnification_at_height(find_lens(record.enlarger.lens).focal_mm, record.enlarger.height_mm)
