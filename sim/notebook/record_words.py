"""A record in a printer's words: what was done, and what was done differently from one sheet to the next."""

from __future__ import annotations

import math
from collections.abc import Callable

from sim.enlarger.equipment import find_head, find_lens
from sim.enlarger.geometry import magnification_at_height
from sim.paper.stock import find_stock
from sim.printing.record import Card, Circling, Exposure, PrintingRecord, Still, Sweeping
from sim.printing.strips import stepped_light, strip_in
from sim.quantities import engraved_f_number, exact_f_number
from sim.scoring.local_work import is_burn
from sim.viewing.plain_names import plain_name


def aperture(f_number: float) -> str:
    """Return an f-number as it is engraved: f/8, f/8 + 1/3 stop."""
    mark = engraved_f_number(f_number)
    if mark != f_number or abs(exact_f_number(f_number) - f_number) > 1e-9 or (mark == round(mark, 1) and _is_full(mark)):
        return f"f/{mark:g}"
    stops = 2.0 * math.log2(f_number)
    full = math.floor(stops + 1e-6)
    third = round(3.0 * (stops - full))
    base = engraved_f_number(2.0 ** (full / 2.0))
    return f"f/{base:g} + {third}/3" if abs(stops - full - third / 3.0) < 0.02 and third in (1, 2) else f"f/{f_number:g}"


def _is_full(mark: float) -> bool:
    return abs(2.0 * math.log2(exact_f_number(mark)) % 1.0) < 1e-6


def filter_words(exposure: Exposure) -> str:
    """Return the filter as a printer says it."""
    return exposure.filter.label()


def card_words(card: Card, exposure: Exposure) -> str:
    """Return what a card did, for how long and where, in one line."""
    stop_s = card.stop_s or exposure.time_s
    seconds = stop_s - card.start_s
    what = {"disc": "a disc", "oval": "an oval", "bar": "a bar", "edge": "the edge of a card", "outline": "a cut shape"}
    size = "" if card.shape == "edge" else f" of {_size(card)}"
    hole = card.lets_through == "inside" and card.shape != "edge"
    tool = f"a card with {what[card.shape].replace('a ', 'a hole, a ', 1) if hole else what[card.shape]}" if hole else (
        what[card.shape]
    )  # fmt: skip
    x, y = centre_of(card)
    moved = {Still: "held still", Circling: "kept circling", Sweeping: "moved to and fro"}.get(
        type(card.motion), "moved by hand"
    )
    return (
        f"{card.note + ': ' if card.note else ''}{tool}{size}, {card.card_height_mm:.0f} mm above the paper at "
        f"({x:.0f}, {y:.0f}) mm, {moved}, {card.start_s:.1f} to {stop_s:.1f} s ({seconds:.1f} s)"
    )


def _size(card: Card) -> str:
    if card.shape == "outline":
        return f"{2 * max(max(abs(x), abs(y)) for x, y in card.outline):.0f} mm across"
    return f"{card.width_mm:.0f} mm" if card.shape == "disc" else f"{card.width_mm:.0f} × {card.length_mm:.0f} mm"


def centre_of(card: Card) -> tuple[float, float]:
    """Return the middle of where a card's shadow was held, mm on the sheet."""
    motion = card.motion
    if isinstance(motion, (Still, Circling, Sweeping)):
        return motion.x_mm, motion.y_mm
    return (
        sum(p[1] for p in motion.points) / len(motion.points), sum(p[2] for p in motion.points) / len(motion.points)
    )  # fmt: skip


def exposure_words(exposure: Exposure, index: int, main: Exposure | None = None) -> str:
    """Return one switching of the lamp in a line: seconds, aperture, filter; a burn with its stops."""
    what = f"{exposure.time_s:.1f} s at {aperture(exposure.f_number)}, {filter_words(exposure)}"
    if exposure.through == "open":
        return f"flash: {what}, no negative, {exposure.dimmed_stops:g} stops dimmed"
    if main is not None and is_burn(exposure, index):
        stops = math.log2(1.0 + _light(exposure) / _light(main))
        return f"burn in {stops:.2g} stop{'' if f'{stops:.2g}' == '1' else 's'}: {what}"
    return what


def _light(exposure: Exposure) -> float:
    return exposure.time_s / exact_f_number(exposure.f_number) ** 2


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
    if record.note:
        lines.append(record.note)
    return tuple(lines)


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
    lines = [f"{len(strip.steps)} steps: {seconds} s at {aperture(light.f_number)}, {filter_words(light)}"]
    return [*lines, *(f"over it: {exposure_words(e, 0)}" for e in record.strip.each)]


def _exposure_lines(record: PrintingRecord) -> list[str]:
    """Return every exposure, and below it what its cards did."""
    lines = []
    mains = [e for k, e in enumerate(record.exposures) if not is_burn(e, k) and e.through == "negative"]
    for index, exposure in enumerate(record.exposures):
        same = [m for m in mains if m.filter == exposure.filter] or mains
        lines.append(f"exposure {index + 1}: {exposure_words(exposure, index, same[0] if same else None)}")
        lines += [f"    {card_words(card, exposure)}" for card in exposure.cards]
    return lines


def magnification(record: PrintingRecord) -> float:
    """Return print size over negative size (1 in the contact frame)."""
    if record.enlarger.contact:
        return 1.0
    return magnification_at_height(find_lens(record.enlarger.lens).focal_mm, record.enlarger.height_mm)


def _stops(ratio: float) -> str:
    return f"{math.log2(ratio):+.2f} stop".replace("-", "\N{MINUS SIGN}")


def changes(a: PrintingRecord, b: PrintingRecord) -> tuple[str, ...]:
    """Return what was done differently for ``b`` than for ``a``, in words; empty when nothing was."""
    plain: list[tuple[str, Callable[[PrintingRecord], str]]] = [
        ("negative", lambda r: plain_name(r.negative)),
        ("paper", lambda r: find_stock(r.sheet.paper).title),
        ("head", lambda r: r.enlarger.head),
        ("lens", lambda r: r.enlarger.lens),
        ("size", lambda r: f"{magnification(r):.2f} times"),
        ("focus", lambda r: f"{r.enlarger.focus_offset_mm:+.2f} mm"),
        ("carrier", lambda r: r.enlarger.carrier),
        ("carrier tilt", lambda r: f"{r.enlarger.negative_tilt_deg:g}°"),
        ("easel tilt", lambda r: f"{r.enlarger.easel_tilt_deg:g}°"),
        ("piece", lambda r: f"{r.sheet.kind} {r.sheet.width_mm:.0f} × {r.sheet.height_mm:.0f} mm"),
        ("image on the sheet", lambda r: "shifted {:g}, {:g} mm".format(*r.sheet.image_shift_mm)),
        ("border", lambda r: f"{r.sheet.border_mm:g} mm"),
        ("developer", lambda r: f"{r.development.time_s:.0f} s at {r.development.temperature_c:g} °C"),
        ("number of exposures", lambda r: str(len(r.exposures))),
    ]
    out = [f"{name}: {get(a)} → {get(b)}" for name, get in plain if get(a) != get(b)]
    for index, (one, two) in enumerate(zip(a.exposures, b.exposures)):
        prefix = f"exposure {index + 1}: " if max(len(a.exposures), len(b.exposures)) > 1 else ""
        out += [prefix + words for words in _exposure_changes(one, two)]
    for index in range(len(a.exposures), len(b.exposures)):
        out.append(f"exposure {index + 1} added: {exposure_words(b.exposures[index], index, b.exposures[0])}")
    for index in range(len(b.exposures), len(a.exposures)):
        out.append(f"exposure {index + 1} left out: {exposure_words(a.exposures[index], index, a.exposures[0])}")
    return tuple(out)


def _exposure_changes(a: Exposure, b: Exposure) -> list[str]:
    out = []
    if abs(a.time_s - b.time_s) > 1e-6:
        out.append(f"time {a.time_s:.1f} s → {b.time_s:.1f} s ({_stops(b.time_s / a.time_s)})")
    if a.f_number != b.f_number:
        light = (exact_f_number(a.f_number) / exact_f_number(b.f_number)) ** 2
        out.append(f"aperture {aperture(a.f_number)} → {aperture(b.f_number)} ({_stops(light)})")
    if a.filter != b.filter:
        out.append(f"filter {a.filter.name} → {b.filter.name}")
    if a.paper_shift_mm != b.paper_shift_mm:
        out.append("the paper lay elsewhere under the picture")
    for k in range(max(len(a.cards), len(b.cards))):
        if k >= len(a.cards):
            out.append(f"card added: {card_words(b.cards[k], b)}")
        elif k >= len(b.cards):
            out.append(f"card left out: {card_words(a.cards[k], a)}")
        elif a.cards[k] != b.cards[k]:
            out.append(f"card changed: {card_words(a.cards[k], a)} → {card_words(b.cards[k], b)}")
    return out
