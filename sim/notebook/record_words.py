"""A record in a printer's words: what was done, and what was done differently from one sheet to the next."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

import numpy as np

from sim.enlarger.equipment import find_head, find_lens
from sim.negative.negative import Negative
from sim.notebook.control_words import filter_words
from sim.notebook.set_up_words import SET_UP_LINES, magnification
from sim.paper.safelight import Safelight
from sim.paper.stock import find_stock
from sim.printing.burn_past_card import burn_card_of
from sim.printing.cards import shaded_share_at
from sim.printing.controls import Difference, differences
from sim.printing.flash import only_flashed
from sim.printing.record import Card, Circling, Exposure, Path, PrintingRecord, Sheet, Still, Sweeping
from sim.printing.strips import stepped_light, strip_in
from sim.quantities import engraved_f_number, exact_f_number, factor_to_stops
from sim.scoring.burn_stops import Burn, burn_of
from sim.viewing.plain_names import plain_name
from sim.viewing.strip_reading import places_shown

LOOKED_S = 0.02  # how finely a hand's path is looked at (chosen: half of the tenth that is written, and less)
ALL_THE_TIME = 0.999  # share of a card's time: a hand's tremor apart


def aperture(f_number: float) -> str:
    """Return an f-number as it is engraved: f/8, f/8 + 1/3 stop."""
    mark = engraved_f_number(f_number)
    full_stop = abs(2.0 * math.log2(exact_f_number(mark)) % 1.0) < 1e-6
    if mark != f_number or abs(exact_f_number(f_number) - f_number) > 1e-9 or (mark == round(mark, 1) and full_stop):
        return f"f/{mark:g}"
    stops = 2.0 * math.log2(f_number)
    full = math.floor(stops + 1e-6)
    third = round(3.0 * (stops - full))
    base = engraved_f_number(2.0 ** (full / 2.0))
    return f"f/{base:g} + {third}/3" if abs(stops - full - third / 3.0) < 0.02 and third in (1, 2) else f"f/{f_number:g}"


def in_stops(stops: float) -> str:
    """Return a number of stops as a printer writes it: 1 stop, 1.8 stops."""
    number = f"{stops:.2g}"
    return f"{number} stop" if number == "1" else f"{number} stops"


def burn_words(burn: Burn) -> str:
    """Return what a burn adds, and over what where two filters could be meant: 1 stop, 2 stops over the light of filter 5."""
    stops = in_stops(burn.stops)
    if not burn.over_own_filter:
        return f"{stops} over all light before"
    return f"{stops} over the light of {filter_words(burn.filter)}" if burn.mixed else stops


def purpose(card: Card, exposure: Exposure, burn: Burn | None = None) -> str:
    """Return what a card is there for: what somebody noted on it, else hold back 0.8 stops, burn in 1 stop.

    The stops of a tool are those of a point that it covers all the time it is in the light; one that is waved about has
    no such point, and nothing is said. ``burn`` are the stops that its exposure adds, where that is a burn.
    """
    if card.note:
        return card.note
    if burn is not None:
        above = " above the horizon" if card.shape == "edge" and card.angle_deg == 90.0 else ""
        return f"burn in {burn_words(burn)}{above}"
    if card.shape == "edge" or card.lets_through == "inside":
        return ""
    stop_s = card.stop_s or exposure.time_s
    share = (stop_s - card.start_s) / exposure.time_s
    stays = shaded_share_at(card, *centre_of(card), card.start_s, stop_s) > ALL_THE_TIME
    return f"hold back {in_stops(-factor_to_stops(1.0 - share))}" if stays and share < 1.0 else ""


def card_words(card: Card, exposure: Exposure, burn: Burn | None, paper: Sheet) -> str:
    """Return what a card did, for how long and where, in one line; ``burn`` as for ``purpose``.

    The seconds of a card that a hand moved are those over the ``paper``, as held: beside it it shades nothing.
    """
    start_s, stop_s = over_paper_s(card, paper)
    stop_s = stop_s or exposure.time_s
    seconds = stop_s - start_s
    what = {"disc": "a disc", "oval": "an oval", "bar": "a bar", "edge": "the edge of a card", "outline": "a cut shape"}
    size = "" if card.shape == "edge" else f" of {_size(card)}"
    hole = card.lets_through == "inside" and card.shape != "edge"
    tool = f"a card with {what[card.shape].replace('a ', 'a hole, a ', 1) if hole else what[card.shape]}" if hole else (
        what[card.shape]
    )  # fmt: skip
    x, y = centre_of(card)
    what_for = purpose(card, exposure, burn)
    moved = {Still: "held still", Circling: "kept circling", Sweeping: "moved to and fro"}.get(
        type(card.motion), "moved by hand"
    )
    return (
        f"{what_for + ': ' if what_for else ''}{tool}{size}, {card.card_height_mm:.0f} mm above the paper at "
        f"({x:.0f}, {y:.0f}) mm, {moved}, {start_s:.1f} to {stop_s:.1f} s ({seconds:.1f} s)"
    )


def over_paper_s(card: Card, paper: Sheet) -> tuple[float, float]:
    """Return from when to when a card that a hand moved was over the paper; of any other card when it was in the light.

    A shape is over it while a circle of its own size round its middle touches the paper. A hole's board and an edge's reach
    farther than any paper.
    """
    whole = card.start_s, card.stop_s
    if not isinstance(card.motion, Path) or card.shape == "edge" or card.lets_through == "inside":
        return whole
    points = np.array(card.motion.points, dtype=np.float64)
    reach = 0.5 * max(card.width_mm, card.length_mm)
    if card.shape == "outline":
        reach = max(math.hypot(x, y) for x, y in card.outline)
    moments = np.arange(points[0, 0], points[-1, 0] + LOOKED_S / 2, LOOKED_S)
    x, y = (np.interp(moments, points[:, 0], points[:, k]) for k in (1, 2))
    beside = np.hypot(x - np.clip(x, 0.0, paper.width_mm), y - np.clip(y, 0.0, paper.height_mm))
    over = moments[beside <= reach]
    if not len(over):
        return whole
    ends = float(over[-1]) + LOOKED_S >= points[-1, 0]
    begins = float(over[0]) <= points[0, 0]
    return card.start_s if begins else float(over[0]), card.stop_s if ends else float(over[-1])


def _size(card: Card) -> str:
    if card.shape == "outline":
        return f"{2 * max(max(abs(x), abs(y)) for x, y in card.outline):.0f} mm across"
    round_ = card.shape == "disc" or (card.shape == "oval" and card.width_mm == card.length_mm)
    return f"{card.width_mm:.0f} mm" if round_ else f"{card.width_mm:.0f} × {card.length_mm:.0f} mm"


def centre_of(card: Card) -> tuple[float, float]:
    """Return the middle of where a card's shadow was held, mm on the sheet."""
    motion = card.motion
    if isinstance(motion, (Still, Circling, Sweeping)):
        return motion.x_mm, motion.y_mm
    return (
        sum(p[1] for p in motion.points) / len(motion.points), sum(p[2] for p in motion.points) / len(motion.points)
    )  # fmt: skip


def exposure_words(exposure: Exposure, burn: Burn | None = None) -> str:
    """Return one switching of the lamp in a line: seconds, aperture, filter; a burn with the stops it adds."""
    what = f"{exposure.time_s:.1f} s at {aperture(exposure.f_number)}, {filter_words(exposure.filter)}"
    if exposure.through == "open":
        return f"flash: {what}, no negative, {exposure.dimmed_stops:g} stops dimmed"
    return what if burn is None else f"burn in {burn_words(burn)}: {what}"


def describe(record: PrintingRecord) -> tuple[str, ...]:
    """Return a record line by line, in the order of the work."""
    sheet, settings = record.sheet, record.enlarger
    stock = find_stock(sheet.paper)
    enlarged = f"enlarged {magnification(record):.2f} times, head at {settings.height_mm:.0f} mm"
    size = "contact frame" if settings.contact else enlarged
    lines = [
        f"negative {plain_name(record.negative)}",
        f"{stock.title}, {sheet.kind} of {sheet.width_mm:.0f} × {sheet.height_mm:.0f} mm"
        + (f", border {sheet.border_mm:g} mm" if sheet.border_mm else ""),
        f"{find_head(settings.head).title}; {find_lens(settings.lens).title}; {size}",
    ]
    if settings.focus_offset_mm:
        lines.append(f"focus off by {settings.focus_offset_mm:+.2f} mm")
    lines += strip_lines(record) or _exposure_lines(record)
    bath = record.development
    lines.append(f"developer {bath.time_s:.0f} s at {bath.temperature_c:g} °C")
    if record.safelight is not None and record.safelight.time_s:
        lines.append(safelight_words(record.safelight))
    if record.note:
        lines.append(record.note)
    return tuple(lines)


def safelight_words(lamp: Safelight) -> str:
    """Return how long a sheet lay under which lamp, and whether a coin lay on it."""
    coin = "" if lamp.coin_mm is None else f", a coin of {lamp.coin_mm[2]:.0f} mm on it"
    return f"{lamp.time_s / 60.0:g} min under the {lamp.kind} safelight at {lamp.distance_m:g} m{coin}"


def strip_lines(record: PrintingRecord) -> list[str]:
    """Return a strip as it is pencilled on its back: its seconds, and its light; nothing when the record lays none.

    The pieces of light behind its steps are one decision, and no burns; what lies over it stands below it.
    """
    strip = strip_in(record)
    if strip is None:
        return []
    assert record.strip is not None
    light = stepped_light(record.strip, max(record.strip.times_s))
    seconds = ", ".join(f"{step.time_s:.1f}" for step in strip.steps)
    card = burn_card_of(record)
    way = record.strip.way
    what = {"burn": "steps of burn", "local-flash": "steps of flash at one place"}.get(way, "steps")
    lines = [f"{len(strip.steps)} {what}: {seconds} s at {aperture(light.f_number)}, {filter_words(light.filter)}"]
    if card is not None:
        lines.append(f"{'burnt in' if way == 'burn' else 'flashed'} {burnt_past(card)}")
    return [*lines, *(f"over it: {exposure_words(e)}" for e in record.strip.each)]


def burnt_past(card: Card) -> str:
    """Return the card that a strip's burns go past: through which hole, or over its edge; how high it is held, and how."""
    moved = "held still" if isinstance(card.motion, Still) else "kept moving"
    how = f"{card.card_height_mm:.0f} mm above the paper, {moved}"
    if card.shape == "edge":
        return f"past the edge of a card, {how}"
    a_hole = {"bar": "a square-cornered hole", "outline": "a cut hole"}.get(card.shape, "a round hole")
    a_hole = "an oval hole" if card.shape == "oval" and card.width_mm != card.length_mm else a_hole
    return f"through {a_hole} of {_size(card)}, {how}"


def shown_words(negative: Negative, record: PrintingRecord) -> str:
    """Return which places the steps of a strip show whole; empty when the record lays no strip."""
    shown = places_shown(negative, record)
    if not shown:
        return ""
    if only_flashed(record):
        return "Every step shows flashes alone, nothing of the picture."
    steps_of: dict[str, list[str]] = {}
    for number, step in enumerate(shown, start=1):
        for one in step:
            steps_of.setdefault(one.place.name, []).append(str(number))
    everywhere = [f"the {plain_name(name)}" for name, steps in steps_of.items() if len(steps) == len(shown)]
    if everywhere:
        return f"Every step shows {_listed(everywhere)}."
    lie = [
        f"the {plain_name(name)} in step{'s' if len(steps) > 1 else ''} {_listed(steps)}" for name, steps in steps_of.items()
    ]
    return f"The steps show {', '.join(lie)}." if lie else "No step shows one of the named places whole."


def _listed(names: Sequence[str]) -> str:
    """Return names or numbers as a list in a sentence: 1, 2 and 3."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _exposure_lines(record: PrintingRecord) -> list[str]:
    """Return every exposure, and below it what its cards did."""
    lines = []
    for index, exposure in enumerate(record.exposures):
        burn = burn_of(record.exposures, index)
        lines.append(f"exposure {index + 1}: {exposure_words(exposure, burn)}")
        lines += [f"    {card_words(card, exposure, burn, record.sheet)}" for card in exposure.cards]
    return lines


def changes(a: PrintingRecord, b: PrintingRecord) -> tuple[str, ...]:
    """Return what was done differently for ``b`` than for ``a``, in words; empty when nothing was."""
    found = differences(a, b)
    moved = {one.control for one in found if one.exposure is None}
    out = []
    for line in SET_UP_LINES:
        was, now = line.text(a), line.text(b)
        if moved & set(line.controls) and was != now:
            out.append(f"{line.name}: {was} → {now}")
    several = max(len(a.exposures), len(b.exposures)) > 1
    for one in found:
        if one.exposure is not None:
            out.append(_within_exposure(one, a, b, f"exposure {one.exposure + 1}: " if several else ""))
    return tuple(out)


_OF_EXPOSURE: dict[str, tuple[str, Callable[[Any], str]]] = {
    "time_s": ("time", lambda seconds: f"{seconds:.1f} s"),
    "f_number": ("aperture", aperture),
    "filter": ("filter", lambda filtration: str(filtration.name)),
    "through": ("light through", str),
    "dimmed_stops": ("light dimmed by", in_stops),
}


def _within_exposure(one: Difference, a: PrintingRecord, b: PrintingRecord, prefix: str) -> str:
    """Return one decision about an exposure in words."""
    was, now, index = one.before, one.after, one.exposure or 0
    if isinstance(now, Exposure):
        return f"exposure {index + 1} added: {_with_cards(now, burn_of(b.exposures, index), b.sheet)}"
    if isinstance(was, Exposure):
        return f"exposure {index + 1} left out: {_with_cards(was, burn_of(a.exposures, index), a.sheet)}"
    if one.control == "cards":
        return prefix + _card_changed(one, *(partial(_card_in, record, index) for record in (a, b)))
    if one.control == "paper_shift_mm":
        return f"{prefix}the paper lay elsewhere under the picture"
    stops = "" if one.stops is None else f" ({one.stops:+.2f} stop)".replace("-", "\N{MINUS SIGN}")
    name, show = _OF_EXPOSURE[one.control]
    return f"{prefix}{name} {show(was)} → {show(now)}{stops}"


def _with_cards(exposure: Exposure, burn: Burn | None, paper: Sheet) -> str:
    """Return one exposure with what its cards did."""
    cards = (card_words(card, exposure, burn, paper) for card in exposure.cards)
    return ", ".join((exposure_words(exposure, burn), *cards))


def _card_in(record: PrintingRecord, index: int, card: Card) -> str:
    """Return a card of one of a record's exposures in words."""
    return card_words(card, record.exposures[index], burn_of(record.exposures, index), record.sheet)


def _card_changed(one: Difference, was: Callable[[Card], str], now: Callable[[Card], str]) -> str:
    if isinstance(one.before, Card) and isinstance(one.after, Card):
        return f"card changed: {was(one.before)} → {now(one.after)}"
    if isinstance(one.after, Card):
        return f"card added: {now(one.after)}"
    assert isinstance(one.before, Card)
    return f"card left out: {was(one.before)}"
