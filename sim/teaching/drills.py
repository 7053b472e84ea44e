"""Short drills on one decision: read a strip, choose a filter, say a burn, print beside a finished print, new seconds.

Items are drawn from a generator that is passed in and made by the real engine. They grow finer when the last answers were
near and coarser when they were far; an answer is marked with its cause and direction.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import GRADE_OF_FILTER, GRADED_NAMES, FilterSetting
from sim.enlarger.geometry import magnification_at_height
from sim.printing.make_print import Print, make_print
from sim.printing.record import Exposure, PrintingRecord
from sim.printing.setup import strip_on
from sim.printing.strips import Step, lay_strip, stop_times_s
from sim.quantities import factor_to_stops
from sim.refusals import Refused
from sim.teaching.drill_negatives import DrillNegative, drawn_negative, printable_negative
from sim.viewing.easel_meter import time_that_keeps_tone
from sim.viewing.strip_reading import read_strip_at

FIRST_DIFFICULTY = 0.3
PICTURE_PX_PER_MM = 1.5  # a small picture is enough to look at; spots of 3 mm are still read well
MOST_ERROR = 20.0  # an answer in the wrong world counts as this many tolerances off
_NUMBER = re.compile(r"[0-9]{1,4}(?:\.[0-9]{1,3})?")


@dataclass(frozen=True, eq=False)
class DrillItem:
    """One question. ``answer_s`` / ``answer_stops`` / ``answer_filter`` hold what is right; None where it is not asked.

    ``tolerance`` is in stops for times and burns; ``filter_tolerance`` in filter steps. ``picture`` is a print to look at,
    ``steps`` its steps when it is a strip.
    """

    drill: str
    question: str
    facts: tuple[str, ...]
    form: str
    tolerance: float
    answer_s: float | None = None
    answer_stops: float | None = None
    answer_filter: str | None = None
    filter_tolerance: float = 0.5
    reason: str = ""
    picture: Print | None = None
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True)
class DrillAnswer:
    """How an answer was: right or not, how far off in tolerances, and cause, direction and size in words."""

    right: bool
    error: float
    words: str


def difficulty(errors: Sequence[float]) -> float:
    """Return how fine the next item is, 0 to 1, from how far off (in tolerances) the last answers were."""
    if not errors:
        return FIRST_DIFFICULTY
    mean = float(np.mean(np.minimum(errors, 3.0)))
    return float(np.clip(1.0 - 0.5 * mean, 0.0, 1.0))


def _between(easy: float, fine: float, hardness: float) -> float:
    return easy + (fine - easy) * hardness


def read_the_strip(generator: np.random.Generator, hardness: float) -> DrillItem:
    """A strip lies there; the right time may lie between two of its steps."""
    drawn = drawn_negative(generator)
    wanted, _ = drawn.aims
    right_s = drawn.time_s(wanted, "2")
    step = _between(0.5, 0.3, hardness)
    count = 5
    place = 1.0 + float(generator.uniform(0.0, count - 3.0))
    place = place if hardness > 0.4 else float(round(place))  # an easy strip has the right step on it
    times = stop_times_s(max(0.3, right_s * 2.0 ** (-step * place)), step, count)
    spot = drawn.lightest
    piece = strip_on(drawn.negative, drawn.record, spot.x, spot.y)
    laid = lay_strip(piece.record, times, 8.0, drawn.record.exposures[0].filter, "same-place", home_mm=piece.at_mm)
    sheet = make_print(drawn.negative, laid.record, drawn.stock, PICTURE_PX_PER_MM, lights=drawn.lights)
    reading = read_strip_at(spot.name, drawn.negative, laid.record, sheet)
    facts = tuple(f"{t:.1f} s reads {d:.2f}" for t, d in zip(times, reading.densities, strict=True))
    return DrillItem(
        "read-the-strip", f"Every step shows {spot.name}; it should print to {wanted:.2f}. How many seconds?", facts,
        "seconds, such as 8.5", _between(0.3, 0.12, hardness), answer_s=right_s, picture=sheet, steps=laid.steps,
        reason="the tone lies where the readings pass it, and between two steps by its share of the way",
    )  # fmt: skip


def filter_from_the_range(generator: np.random.Generator, hardness: float) -> DrillItem:
    """The easel meter gives the range of light between two places; the paper's scale has to match it."""
    drawn, name, _ = printable_negative(generator)
    light, dark = drawn.aims
    stops = drawn.range_stops
    facts = [
        f"{drawn.lightest.name} should print to {light:.2f}, {drawn.darkest.name} to {dark:.2f}.",
        f"On the easel {drawn.darkest.name} is {stops:.1f} stops brighter than {drawn.lightest.name}.",
    ]
    for known in ("1", "4") if hardness < 0.7 else ("2",):
        facts.append(f"Filter {known} prints a range of {_range_of(drawn, known):.1f} stops between these two densities.")
    return DrillItem(
        "filter-from-the-range", "Which filter?", tuple(facts), "a filter, such as 2.5", 0.3, answer_filter=name,
        filter_tolerance=_between(1.0, 0.5, hardness),
        reason="a longer range of light needs a softer filter, a shorter one a harder; overall density says nothing about it",
    )  # fmt: skip


def _range_of(drawn: DrillNegative, name: str) -> float:
    """Return the stops of light between the two aims behind a filter, at one place."""
    light, dark = drawn.aims
    return factor_to_stops(drawn.time_s(dark, name) / drawn.time_s(light, name))


def say_the_burn(generator: np.random.Generator, hardness: float) -> DrillItem:
    """A light place has to come down; how many stops of burn?"""
    drawn = drawn_negative(generator)
    light, _ = drawn.aims
    base_s = drawn.time_s(light + float(generator.uniform(-0.02, 0.03)), "2")
    stops = float(generator.uniform(0.4, 2.2))
    stops = round(4.0 * stops) / 4.0 if hardness < 0.5 else round(stops, 2)
    place = drawn.lightest
    now, wanted = (drawn.density(t, "2", place) for t in (base_s, base_s * 2.0**stops))
    facts = [f"{place.name} reads {now:.2f} after {base_s:.1f} s and should read {wanted:.2f}."]
    known = (0.5, 1.0, 1.5, 2.0, 2.5) if hardness < 0.5 else (1.0, 2.0)
    for more in known:
        facts.append(f"With {more:g} stop{'s' if more != 1 else ''} more it reads "
                     f"{drawn.density(base_s * 2.0**more, '2', place):.2f}.")  # fmt: skip
    return DrillItem(
        "say-the-burn", f"How many stops does {place.name} need on top?", tuple(facts), "stops, such as 1.25",
        _between(0.3, 0.15, hardness), answer_stops=stops,
        reason="light tones stand on the paper's toe: the first half stop does little there",
    )  # fmt: skip


def beside_the_finished_print(generator: np.random.Generator, hardness: float) -> DrillItem:
    """A finished print and its negative lie beside a new negative: guess filter and time from how the two differ."""
    old, old_filter, old_s = printable_negative(generator)
    new, new_filter, new_s = printable_negative(generator)
    facts = tuple(
        f"{title}: {one.lightest.name} has density {one.densities[0]:.2f}, {one.darkest.name} {one.densities[1]:.2f} "
        f"on the film{ending}"
        for title, one, ending in (
            ("The finished print's negative", old, f"; it printed well at {old_s:.1f} s with filter {old_filter}."),
            ("The new negative", new, ", on the same paper, at the same aperture."),
        )
    )
    times = new.record.enlarger.height_mm, old.record.enlarger.height_mm
    size = (f"The heads stand at {times[1]:.0f} and {times[0]:.0f} mm.",) if abs(times[0] - times[1]) > 1 else ()
    finished = old.record.with_exposures(_exposure(old, old_s, old_filter))
    sheet = make_print(old.negative, finished, old.stock, PICTURE_PX_PER_MM, lights=old.lights)
    return DrillItem(
        "beside-the-finished-print", "Which time and which filter for the new negative?", (*facts, *size),
        "seconds and filter, such as 12 2.5", _between(1.0, 0.5, hardness), answer_s=new_s, answer_filter=new_filter,
        filter_tolerance=_between(1.5, 0.75, hardness), picture=sheet,
        reason="overall density decides the time, the range between light and dark places decides the filter",
    )  # fmt: skip


def _exposure(drawn: DrillNegative, time_s: float, name: str) -> Exposure:
    return replace(drawn.record.exposures[0], time_s=round(time_s, 2), filter=FilterSetting(name))


def new_aperture_new_seconds(generator: np.random.Generator, hardness: float) -> DrillItem:
    """Aperture or height changes; the same tone needs other seconds."""
    drawn = drawn_negative(generator)
    wanted, _ = drawn.aims
    before_s = round(drawn.time_s(wanted, "2"), 1)
    before = drawn.record.with_exposures(_exposure(drawn, before_s, "2"))
    marks = (5.6, 8.0, 11.0, 16.0, 22.0)
    f_number = marks[int(generator.integers(len(marks)))]
    taller = 1.0 + (float(generator.uniform(-0.1, 0.3)) if hardness > 0.5 or f_number == 8.0 else 0.0)
    height = before.enlarger.height_mm if taller == 1.0 else round(before.enlarger.height_mm * taller, 0)
    after = replace(before, enlarger=replace(before.enlarger, height_mm=height))
    after = after.with_exposures(replace(before.exposures[0], f_number=f_number))
    right_s, _ = time_that_keeps_tone(drawn.negative, before, after, drawn.lightest, drawn.stock, drawn.lights)
    facts = [f"{before_s:g} s at f/8 print {drawn.lightest.name} to the tone that is wanted."]
    if f_number != 8.0:
        facts.append(f"The lens goes to f/{f_number:g}.")
    if height != before.enlarger.height_mm:
        facts.append(f"The head goes from {before.enlarger.height_mm:.0f} to {height:.0f} mm, refocused; magnification was "
                     f"{_magnification(before):.2f} and is {_magnification(after):.2f}.")  # fmt: skip
    return DrillItem(
        "new-aperture-new-seconds", "How many seconds keep the tone?", tuple(facts), "seconds, such as 8.5",
        _between(0.3, 0.12, hardness), answer_s=right_s,
        reason="one stop of aperture is a factor of two; for height the light goes with (magnification + 1) squared",
    )  # fmt: skip


def _magnification(record: PrintingRecord) -> float:
    return magnification_at_height(find_lens(record.enlarger.lens).focal_mm, record.enlarger.height_mm)


Maker = Callable[[np.random.Generator, float], DrillItem]
DRILLS: dict[str, tuple[str, Maker]] = {
    "read-the-strip": ("Which step is right?", read_the_strip),
    "filter-from-the-range": ("Filter from the range", filter_from_the_range),
    "say-the-burn": ("Say the burn in stops", say_the_burn),
    "beside-the-finished-print": ("Time and filter beside a finished print", beside_the_finished_print),
    "new-aperture-new-seconds": ("New aperture or height, new seconds", new_aperture_new_seconds),
}
DRILL_OF_SKILL = {
    "time-from-strip": "read-the-strip", "strip-on-the-tone": "read-the-strip", "filter-from-range": "filter-from-the-range",
    "expose-lights-set-darks": "beside-the-finished-print", "keep-the-highlight": "beside-the-finished-print",
    "aperture-and-time": "new-aperture-new-seconds", "size-and-time": "new-aperture-new-seconds",
    "height-aperture-trade": "new-aperture-new-seconds", "burn-in": "say-the-burn", "hold-back": "say-the-burn",
}  # fmt: skip


def draw_item(drill: str, generator: np.random.Generator, errors: Sequence[float] = ()) -> DrillItem:
    """Return the next item of a drill, as fine as the last errors (in tolerances) allow. Raises ValueError for its name."""
    if drill not in DRILLS:
        raise Refused(f"drill must be one of {', '.join(DRILLS)}, got {drill[:60]!r}")
    return DRILLS[drill][1](generator, difficulty(errors))


def drill_for(skill: str) -> str:
    """Return the drill that recalls a skill; the strip is the root of them all."""
    return DRILL_OF_SKILL.get(skill, "read-the-strip")


def answer_item(item: DrillItem, text: str) -> DrillAnswer:
    """Return how an answer was. Raises ValueError for text that answers something else."""
    words = text.lower().replace(",", " ").replace("filter", " ").split()
    seconds, stops, name = _parsed(item, words, text)
    parts, errors = [], []
    if item.answer_s is not None:
        off = factor_to_stops(seconds / item.answer_s)
        errors.append(abs(off) / item.tolerance)
        parts.append(_off_words(off, item.tolerance, ("too short: it needs more light", "too long: it needs less light"),
                                f"{item.answer_s:.1f} s"))  # fmt: skip
    if item.answer_stops is not None:
        off = stops - item.answer_stops
        errors.append(abs(off) / item.tolerance)
        parts.append(_off_words(off, item.tolerance, ("too little burn", "too much burn"), f"{item.answer_stops:g} stops"))
    if item.answer_filter is not None:
        off = GRADE_OF_FILTER[name] - GRADE_OF_FILTER[item.answer_filter]
        errors.append(abs(off) / item.filter_tolerance)
        parts.append(_filter_words(off, item))
    error = min(max(errors), MOST_ERROR)
    right = error <= 1.0 + 1e-9
    reason = "" if right else f" {item.reason[0].upper()}{item.reason[1:]}."
    return DrillAnswer(right, round(error, 3), " ".join(parts) + reason)


def _parsed(item: DrillItem, words: list[str], text: str) -> tuple[float, float, str]:
    """Return seconds, stops and filter of an answer, as far as they are asked for."""
    refused = Refused(f"the answer must be {item.form}, got {text[:40]!r}")
    words = [word.rstrip("s") if word not in ("s", "stops", "stop") else "" for word in words]
    words = [word for word in words if word]
    name = ""
    if item.answer_filter is not None:
        if not words or words[-1] not in GRADED_NAMES:
            raise refused
        name = words.pop()
    if item.answer_s is None and item.answer_stops is None:
        if words:
            raise refused
        return 1.0, 0.0, name
    if len(words) != 1 or not _NUMBER.fullmatch(words[0]) or not math.isfinite(float(words[0])):
        raise refused
    value = float(words[0])
    if item.answer_s is not None and value <= 0.0:
        raise refused
    return max(value, 1e-3), value, name


def _off_words(off: float, tolerance: float, sides: tuple[str, str], right: str) -> str:
    if abs(off) <= tolerance + 1e-9:
        return f"Right: {right} ({off:+.2f} stop)."
    return f"{abs(off):.1f} stops {sides[0] if off < 0 else sides[1]}; right is {right}."


def _filter_words(off: float, item: DrillItem) -> str:
    if abs(off) <= item.filter_tolerance + 1e-9:
        return f"Right: filter {item.answer_filter}."
    return f"{abs(off):g} filter steps too {'soft' if off < 0 else 'hard'}; right is filter {item.answer_filter}."
