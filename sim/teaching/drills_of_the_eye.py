"""Drills of the eye: two prints, which is lighter or harder; nine prints without labels; the trace a card left. Pictures only.

Every item says by how much lightness (L*) what it asks about differs; what a learner's screen cannot show is drawn anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.negative.negative import Place
from sim.printing.card_work import burnt_in, held_back
from sim.printing.make_print import Print, make_print, place_on_sheet
from sim.printing.record import Card, Exposure, PrintingRecord, Still
from sim.refusals import Refused
from sim.teaching.drill_boards import GAP_PX, LEFT_AND_RIGHT, PLATE_PX, mounted, plated, print_board, touched_on
from sim.teaching.drill_item import DrillItem
from sim.teaching.drill_negatives import DrillNegative, printable_negative
from sim.teaching.lesson_step import Choice
from sim.viewing.lightness import lightness, screen_values
from sim.viewing.plain_names import plain_name

EYE_PX_PER_MM, RING_PX_PER_MM = 1.5, 0.8
AMOUNTS = {"a quarter of a stop": 0.25, "half a stop": 0.5, "a whole stop": 1.0}
WRONG_SIDE = 6.0  # tolerances: the wrong one of two is far off
TRIES = 12
NEAR_AMOUNT = 0.6  # of a doubling
RIM_SEEN_L = 4.0  # L*: a rim on a toned surface must stand out more than two fields side by side
TRACE_HEIGHT_MM = 15.0  # a card held so low has a hard edge


def _print(drawn: DrillNegative, name: str, time_s: float, px_per_mm: float = EYE_PX_PER_MM) -> Print:
    return make_print(drawn.negative, _record(drawn, name, time_s), drawn.stock, px_per_mm, lights=drawn.lights)


def _record(drawn: DrillNegative, name: str, time_s: float) -> PrintingRecord:
    first = drawn.record.exposures[0]
    return drawn.record.with_exposures(Exposure(round(time_s, 3), first.f_number, FilterSetting(name)))


def seen_between(one: Print, other: Print) -> float:
    """Return the lightness (L*) by which two prints differ over a tenth of the sheet or more: what the eye goes by."""
    off = np.abs(lightness(one.density.astype(np.float64)) - lightness(other.density.astype(np.float64)))
    return float(np.percentile(off, 90))


def which_is_lighter(generator: np.random.Generator, hardness: float) -> DrillItem:
    """Two prints of one negative differ in light alone: say which is lighter, and by how much."""
    drawn, name, time_s = printable_negative(generator)
    words, stops = list(AMOUNTS.items())[int(generator.integers(1 if hardness < 0.4 else 0, len(AMOUNTS)))]
    lighter = ("left", "right")[int(generator.integers(2))]
    half = 0.5 * stops if lighter == "right" else -0.5 * stops
    left, right = _print(drawn, name, time_s * 2.0**half), _print(drawn, name, time_s * 2.0**-half)
    choices = tuple(
        Choice(f"{side}-{size:g}", f"the {side} one is lighter, by {said}")
        for side in ("left", "right")
        for said, size in AMOUNTS.items()
    )
    off = tuple(
        WRONG_SIDE if side != lighter else abs(float(np.log2(size / stops))) / NEAR_AMOUNT
        for side in ("left", "right")
        for size in AMOUNTS.values()
    )
    place = drawn.lightest
    return DrillItem(
        "which-is-lighter", "Which print got less light, and how much less?", (), "side and stops, such as left 0.5", 1.0,
        print_board([[left, right]]), choices=choices, answer_choice=f"{lighter}-{stops:g}", off=off,
        touched=LEFT_AND_RIGHT,
        reason="compare one middle tone in both; a stop turns a light grey into a middle one, a quarter is just seen",
        numbers=(_read_in(left, right, place), f"They lie {words} apart."), seen_l=seen_between(left, right),
    )  # fmt: skip


def _read_in(left: Print, right: Print, place: Place) -> str:
    reads = [one.spot(*one.place_mm(place), place.spot_mm).density(one.density) for one in (left, right)]
    return f"The {plain_name(place.name)} reads {reads[0]:.2f} on the left, {reads[1]:.2f} on the right."


def which_is_harder(generator: np.random.Generator, hardness: float) -> DrillItem:
    """Two prints hold the lightest tone alike and differ in filter: say which is harder."""
    for _ in range(TRIES):
        drawn, name, _ = printable_negative(generator)
        gap = 2 if hardness >= 0.6 else 4
        at = min(max(GRADED_NAMES.index(name) - gap // 2, 0), len(GRADED_NAMES) - 1 - gap)
        names = GRADED_NAMES[at], GRADED_NAMES[at + gap]
        try:
            soft, hard = (_print(drawn, one, drawn.time_s(drawn.aims[0], one)) for one in names)
        except Refused:
            continue
        break
    else:
        raise Refused(f"none of {TRIES} negatives drawn holds its lightest tone behind both filters")
    harder = ("left", "right")[int(generator.integers(2))]
    left, right = (hard, soft) if harder == "left" else (soft, hard)
    return DrillItem(
        "which-is-harder", f"Both hold the {plain_name(drawn.lightest.name)} alike. Which print is harder?", (),
        "left or right", 1.0, print_board([[left, right]]),
        choices=(Choice("left", "the left one"), Choice("right", "the right one")), answer_choice=harder,
        off=tuple(0.0 if side == harder else WRONG_SIDE for side in ("left", "right")), touched=LEFT_AND_RIGHT,
        reason="with the lights alike the darks tell: the harder print has the deeper ones",
        numbers=(_read_in(left, right, drawn.darkest), f"Filters {names[0]} and {names[1]}."),
        seen_l=seen_between(left, right),
    )  # fmt: skip


def prints_in_a_ring(generator: np.random.Generator, hardness: float) -> DrillItem:
    """Nine prints around the right one, in no order and without labels: find the one that is described."""
    drawn, name, time_s = printable_negative(generator)
    gap, stops = (2, 0.5) if hardness < 0.6 else (1, 0.33)
    at = min(max(GRADED_NAMES.index(name), gap), len(GRADED_NAMES) - 1 - gap)
    cells = [(row, column) for row in (-1, 0, 1) for column in (-1, 0, 1)]
    times = {}
    for row in (-1, 0, 1):
        try:
            times[row] = drawn.time_s(drawn.aims[0], GRADED_NAMES[at + gap * row])
        except Refused:
            times[row] = time_s
    order = [cells[int(k)] for k in generator.permutation(len(cells))]
    sheets = [
        _print(drawn, GRADED_NAMES[at + gap * row], times[row] * 2.0 ** (stops * column), RING_PX_PER_MM)
        for row, column in order
    ]
    asked = [cell for cell in cells if cell != (0, 0) and (hardness >= 0.5 or 0 in cell)]
    target = asked[int(generator.integers(len(asked)))]
    wanted = sheets[order.index(target)]
    nearest = min(seen_between(wanted, other) for other in sheets if other is not wanted)
    numbers = {cell: str(k) for k, cell in enumerate(order, start=1)}
    return DrillItem(
        "prints-in-a-ring", f"Number {numbers[(0, 0)]} is as wanted. Which number is {_cell_words(target)}?", (),
        "a number, 1 to 9", 1.0, print_board([sheets[k : k + 3] for k in (0, 3, 6)], labelled=True),
        choices=tuple(Choice(str(k), f"number {k}") for k in range(1, 10)), answer_choice=numbers[target],
        off=tuple(1.5 * (abs(row - target[0]) + abs(column - target[1])) for row, column in order),
        touched=tuple((str(k + 1), (k % 3 + 0.5) / 3, (k // 3 + 0.5) / 3) for k in range(len(order))),
        reason="look at the lights first: they tell the light; then at the darks: they tell the contrast",
        numbers=(f"Steps of {stops:g} stop; filters {', '.join(GRADED_NAMES[at + gap * k] for k in (-1, 0, 1))}.",),
        seen_l=nearest,
    )  # fmt: skip


def _cell_words(cell: tuple[int, int]) -> str:
    contrast = {-1: "softer", 0: "of the same contrast", 1: "harder"}[cell[0]]
    light = {-1: "lighter in the lights", 0: "its lights as on that one", 1: "darker in the lights"}[cell[1]]
    return f"{contrast}, {light}"


def find_the_trace(generator: np.random.Generator, hardness: float) -> DrillItem:
    """A card was held still over one of some places of a print and left its outline; say over which."""
    for _ in range(TRIES):
        drawn, name, time_s = printable_negative(generator)
        places = _apart(drawn.negative.places, generator)
        plain = _print(drawn, name, time_s)
        order = [places[int(k)] for k in generator.permutation(len(places))]
        found = next((one for place in order if (one := _traced(drawn, name, time_s, place, plain, hardness))), None)
        if found and len(places) > 1:
            break
    else:
        raise Refused(f"on none of {TRIES} negatives drawn does a card leave a trace that is seen")
    place, sheet, what, seen_l = found
    at = [(*_corner(sheet, one), str(k)) for k, one in enumerate(places, start=1)]
    right = str(places.index(place) + 1)
    count = len(places)
    board = plated(mounted([[screen_values(sheet.density)]]), at)
    return DrillItem(
        "find-the-trace", "A card was held still over one of the numbered places. Over which?", (), f"a number, 1 to {count}",
        1.0, board, touched=touched_on(board, [(key, x + PLATE_PX / 2, y + PLATE_PX / 2) for x, y, key in at]),
        choices=tuple(Choice(str(k), f"number {k}") for k in range(1, count + 1)), answer_choice=right,
        off=tuple(0.0 if str(k) == right else WRONG_SIDE for k in range(1, count + 1)),
        reason="a trace follows no edge of the picture: look for a round rim where nothing round is",
        numbers=(f"Number {right} was {what}.",), seen_l=seen_l,
    )  # fmt: skip


def _apart(places: Sequence[Place], generator: np.random.Generator, most: int = 4) -> list[Place]:
    """Return places that lie inside the picture and well apart, in a drawn order."""
    chosen: list[Place] = []
    for k in generator.permutation(len(places)):
        one = places[int(k)]
        inside = 0.1 <= one.x <= 0.9 and 0.1 <= one.y <= 0.9
        if inside and all(np.hypot(one.x - two.x, one.y - two.y) > 0.2 for two in chosen):
            chosen.append(one)
    return chosen[:most]


def _traced(
    drawn: DrillNegative, name: str, time_s: float, place: Place, plain: Print, hardness: float
) -> tuple[Place, Print, str, float] | None:
    """Return the print with a card held still over a place and what was done; None where no eye would see it."""
    record = _record(drawn, name, time_s)
    x_mm, y_mm = place_on_sheet(drawn.negative, record, place)
    stops = 1.0 - 0.5 * hardness
    light = plain.spot(x_mm, y_mm, place.spot_mm).density(plain.density) < 0.5
    work, what = (burnt_in, "burnt in") if light else (held_back, "held back")
    record = work(record, 0, x_mm, y_mm, 42.0, stops, card_height_mm=TRACE_HEIGHT_MM)
    still = tuple(
        replace(one, cards=tuple(_stilled(card, x_mm, y_mm) for card in one.cards)) for one in record.exposures
    )
    sheet = make_print(drawn.negative, record.with_exposures(*still), drawn.stock, EYE_PX_PER_MM, lights=drawn.lights)
    change = abs(float(lightness(sheet.spot(x_mm, y_mm, 6.0).density(sheet.density)))
                 - float(lightness(plain.spot(x_mm, y_mm, 6.0).density(plain.density))))  # fmt: skip
    return (place, sheet, f"{what} by {stops:.2g} of a stop", change) if change >= RIM_SEEN_L else None


def _stilled(card: Card, x_mm: float, y_mm: float) -> Card:
    return replace(card, motion=Still(x_mm, y_mm), wire_mm=0.0)


def _corner(sheet: Print, place: Place) -> tuple[int, int]:
    """Return the upper left corner of a place's plate on the board, column and row."""
    row, col = sheet.at(*sheet.place_mm(place))
    return GAP_PX + col - PLATE_PX // 2, GAP_PX + row - PLATE_PX // 2
