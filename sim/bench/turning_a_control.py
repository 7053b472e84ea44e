"""The controls of the darkroom: their names, units, choices, and what turning one of them changes."""

from __future__ import annotations

import contextlib
import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal

from sim.bench.dry_side import SetUp, set_up_of
from sim.control_ranges import checked
from sim.enlarger.equipment import Head, Lens, find_head, find_lens, read_equipment
from sim.enlarger.filters import FILTER_NAMES, GRADED_NAMES, FilterSetting
from sim.enlarger.filters import NO_FILTER as NO_FILTER
from sim.negative.negative import Negative
from sim.negative.sleeve import find_sleeve, sleeve_names
from sim.negative.sleeve_contents import Sleeve
from sim.notebook.control_words import CONTROL_TITLES, filter_words
from sim.paper.stock import Stock, find_stock, stock_names
from sim.printing.controls import DIALLED, MOST_DIALLED, TABLE, number_in_range
from sim.printing.setup import upright, usual_setup
from sim.quantities import ENGRAVED_F_NUMBERS
from sim.refusals import Refusal, Refused
from sim.shelf import HEAD, LENS, NEGATIVE, OWN, PAPER, Kind, own_shelf

Value = str | float | bool
SHEET_SIZES_MM = ((127.0, 178.0), (203.0, 254.0), (240.0, 305.0), (279.0, 356.0), (305.0, 406.0), (406.0, 508.0))


@dataclass(frozen=True)
class Control:
    """One control: what it is called, what it stands at, and what it may be set to."""

    name: str
    title: str
    unit: str
    kind: Literal["number", "choice", "switch"]
    value: Value
    low: float | None = None
    high: float | None = None
    choices: tuple[Value, ...] = ()
    choice_titles: tuple[str, ...] = ()
    locked: str | None = None


def f_number_choices(widest: float, smallest: float) -> tuple[tuple[float, ...], tuple[str, ...]]:
    """Return the lens ring in thirds of a stop, engraved marks by their engraved names, and a title for each."""
    values, titles = [], []
    for mark, exact in ENGRAVED_F_NUMBERS:
        for third in range(3):
            value = mark if third == 0 else round(exact * 2.0 ** (third / 6.0), 2)
            if widest - 1e-6 <= value <= smallest + 1e-6:
                values.append(value)
                titles.append(f"f/{mark:g}" if third == 0 else f"f/{mark:g} + {third}/3")
    return tuple(values), tuple(titles)


def marks_of_lens(lens: str) -> dict[float, str]:
    """Return the ring of a lens on the shelf, shipped or one's own: each click's f-number and its title."""
    found = find_lens(lens)
    values, titles = f_number_choices(found.widest_f_number, found.smallest_f_number)
    return dict(zip(values, titles, strict=True))


def clicked(lens: str, f_number: float, clicks: int) -> float:
    """Return the f-number some clicks of a lens's ring on from another, which may stand between two; its ends hold."""
    marks = tuple(marks_of_lens(lens))
    at = (bisect_right(marks, f_number + 1e-6) - 1 if clicks > 0 else bisect_left(marks, f_number - 1e-6)) + clicks
    return marks[min(max(at, 0), len(marks) - 1)]


def own_titles(kind: Kind) -> dict[str, str]:
    """Return what lies on one's own shelf, name and title; a file that cannot be read is passed over."""
    found = {}
    for name in (one for one in own_shelf().names(kind) if one.startswith(OWN)):
        with contextlib.suppress(Refusal, OSError):
            found[name] = FINDS[kind](name).title
    return found


def papers() -> dict[str, str]:
    """Return every paper that a fresh box may hold, name and title: what is shipped, then one's own."""
    return {name: find_stock(name).title for name in stock_names()} | own_titles(PAPER)


def heads() -> dict[str, str]:
    """Return every head, name and title: what is shipped, then one's own."""
    return {name: head.title for name, head in read_equipment()[0].items()} | own_titles(HEAD)


def lenses() -> dict[str, str]:
    """Return every lens, name and title: what is shipped, then one's own."""
    return {name: lens.title for name, lens in read_equipment()[1].items()} | own_titles(LENS)


FINDS: dict[Kind, Callable[[str], Sleeve | Stock | Head | Lens]] = {
    NEGATIVE: find_sleeve, PAPER: find_stock, HEAD: find_head, LENS: find_lens,
}  # fmt: skip
ON_THE_SHELF = {"negative": NEGATIVE, "paper": PAPER, "head": HEAD, "lens": LENS}


def _on_the_shelf(name: str, now: SetUp, own: bool) -> tuple[tuple[Value, ...], tuple[str, ...]]:
    """Return names and titles of what stands on the shelf: what is shipped, what is in use, and with ``own`` one's own."""
    kind = ON_THE_SHELF[name]
    shipped = {"negative": sleeve_names, "paper": stock_names}.get(name)
    heads, lenses = read_equipment()
    names = shipped() if shipped is not None else tuple(heads if name == "head" else lenses)
    titles = {one: FINDS[kind](one).title for one in names} | (own_titles(kind) if own else {})
    here = getattr(now, name)
    titles = titles if here in titles else {here: FINDS[kind](here).title, **titles}
    return tuple(titles), tuple(titles.values())


def _choices(
    name: str, now: SetUp, negative: Negative, own: bool = False
) -> tuple[tuple[Value, ...], tuple[str, ...]]:
    if name in ON_THE_SHELF:
        return _on_the_shelf(name, now, own)
    if name == "f_number":
        lens = find_lens(now.lens)
        return f_number_choices(lens.widest_f_number, lens.smallest_f_number)
    if name == "filter":
        return FILTER_NAMES, tuple(filter_words(FilterSetting.named(n)) for n in FILTER_NAMES)
    if name == "sheet":
        sizes = tuple("{:g}x{:g}".format(*upright(negative, *size)) for size in SHEET_SIZES_MM)  # turned as the frame stands
        return sizes, tuple(s.replace("x", " × ") + " mm" for s in sizes)
    return TABLE[name].choices, TABLE[name].choices


def _range(name: str, now: SetUp) -> tuple[float, float]:
    if name == "height_mm":
        low, high = find_head(now.head).column_mm
        return max(low, 4.0 * find_lens(now.lens).focal_mm), high
    limits = TABLE[name].limits
    assert limits is not None
    return limits


def value_of(now: SetUp, name: str) -> Value:
    """Return what a control stands at. Raises Refused for a control that is not there."""
    if name not in DIALLED:
        raise Refused(f"control must be one of {', '.join(DIALLED)}, got {name!r}")
    if name == "sheet":
        return f"{now.sheet_width_mm:g}x{now.sheet_height_mm:g}"
    value: Value = getattr(now, name)
    return value


# Where a field of the set-up is a control's under another name, or one of a pair that is turned together.
CONTROL_OF = {"ring_mm": "focus_offset_mm", "sheet_width_mm": "sheet", "sheet_height_mm": "sheet"}


def changed(one: SetUp, other: SetUp) -> tuple[str, ...]:
    """Return the controls that stand differently in two set-ups, each once, the more telling first."""
    names = [CONTROL_OF.get(name, name) for name, value in vars(one).items() if getattr(other, name) != value]
    return tuple(dict.fromkeys(name for name in names if name in DIALLED))


def control(now: SetUp, name: str, negative: Negative, locked: str | None, own: bool = False) -> Control:
    """Return a control as it stands; with ``own`` what lies on one's own shelf is among its choices."""
    value = value_of(now, name)
    title, unit = CONTROL_TITLES[name], TABLE[name].unit
    if TABLE[name].kind == "switch":
        return Control(name, title, unit, "switch", value, locked=locked)
    choices, titles = _choices(name, now, negative, own)
    if choices:
        return Control(name, title, unit, "choice", value, choices=choices, choice_titles=titles, locked=locked)
    low, high = _range(name, now)
    return Control(name, title, unit, "number", value, low, high, locked=locked)


def number(name: str, value: Value) -> float:
    """Return a control's new value as a number. Raises Refused for anything else."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise Refused(f"{name} must be a number, got {value!r}")
    return float(value)


def turned(now: SetUp, name: str, value: Value, negative: Negative) -> SetUp:
    """Return the set-up with one control set. What it means for the others is decided here, and only here.

    Raises Refused, in words, for a value the control does not have; whether enlarger and film agree is checked by
    whoever asks.
    """
    value_of(now, name)
    special: dict[str, Callable[[SetUp, Value, Negative], SetUp]] = {
        "filter": _filter, "yellow": partial(_dialled, "yellow"), "magenta": partial(_dialled, "magenta"), "sheet": _sheet,
        "paper": _paper, "lens": _lens, "head": _head, "focus_offset_mm": _focus, "contact": _contact,
    }  # fmt: skip
    if name in special:
        return special[name](now, value, negative)
    if TABLE[name].kind == "switch":
        return replace(now, **{name: _switch(name, value)})  # type: ignore[arg-type]
    choices, _ = _choices(name, now, negative)
    if choices and isinstance(choices[0], str):
        if value not in choices and name != "negative":
            raise Refused(f"{name} must be one of {', '.join(map(str, choices))}, got {value!r}")
        return replace(now, **{name: value})  # type: ignore[arg-type]
    if name == "height_mm":
        low, high = _range(name, now)
        if not low <= number(name, value) <= high:
            raise Refused(f"height_mm must be between {low:g} and {high:g} on this column with this lens, got {value!r}")
        return replace(now, height_mm=round(float(value), 1))
    return replace(now, **{name: number_in_range(name, number(name, value))})  # type: ignore[arg-type]


def _switch(name: str, value: Value) -> bool:
    if not isinstance(value, bool):
        raise Refused(f"{name} must be on or off (true or false), got {value!r}")
    return value


def _filter(now: SetUp, value: Value, negative: Negative) -> SetUp:
    if value not in FILTER_NAMES:
        raise Refused(f"filter must be {NO_FILTER} or one of {', '.join(GRADED_NAMES)}, got {value!r}")
    return replace(now, filter=str(value), yellow=0.0, magenta=0.0)


def _dialled(name: str, now: SetUp, value: Value, negative: Negative) -> SetUp:
    dial = number(name, value)
    if not 0.0 <= dial <= MOST_DIALLED:
        raise Refused(f"{name} must be between 0 and {MOST_DIALLED:g}, got {value!r}")
    return replace(now, filter=NO_FILTER, **{name: round(dial, 3)})  # type: ignore[arg-type]


def _sheet(now: SetUp, value: Value, negative: Negative) -> SetUp:
    sides = re.fullmatch(r"(\d{2,3}(?:\.\d{1,2})?)x(\d{2,3}(?:\.\d{1,2})?)", str(value))
    if sides is None:
        raise Refused(f"sheet must be width x height in mm such as 203x254, got {value!r}")
    width, height = (checked("sheet", float(side), "paper_mm") for side in sides.groups())
    return replace(now, sheet_width_mm=width, sheet_height_mm=height)


def _paper(now: SetUp, value: Value, negative: Negative) -> SetUp:
    """Another paper: its own developing time, and a filter only where filters mean something."""
    stock = find_stock(str(value))
    bare = {} if stock.is_variable_contrast else {"filter": NO_FILTER, "yellow": 0.0, "magenta": 0.0}
    developed = replace(now, paper=stock.name, development_time_s=stock.development.completion_time_s)
    return replace(developed, **bare)  # type: ignore[arg-type]


def _lens(now: SetUp, value: Value, negative: Negative) -> SetUp:
    """Another lens is screwed in and focused; the head goes up where the lens could not focus so low."""
    lens = find_lens(str(value))
    low, high = find_head(now.head).column_mm
    height_mm = min(max(now.height_mm, 4.0 * lens.focal_mm, low), high)
    f_number = min(max(now.f_number, lens.widest_f_number), lens.smallest_f_number)
    return replace(now, lens=lens.name, height_mm=height_mm, f_number=f_number).focused_sharp()


def _head(now: SetUp, value: Value, negative: Negative) -> SetUp:
    head = find_head(str(value))
    low, high = head.column_mm
    moved = replace(now, head=head.name, height_mm=min(max(now.height_mm, low), high))
    return moved if moved.height_mm == now.height_mm else moved.focused_sharp()


def _focus(now: SetUp, value: Value, negative: Negative) -> SetUp:
    return replace(now, ring_mm=now.sharp_ring_mm + checked("focus_offset_mm", number("focus_offset_mm", value)))


def _contact(now: SetUp, value: Value, negative: Negative) -> SetUp:
    """Into the contact frame, or out of it: head, lens, height and border become those usual for it."""
    there = _switch("contact", value)
    if there == now.contact:
        return now
    usually = set_up_of(usual_setup(negative, find_stock(now.paper), contact=there))
    kept = {key: getattr(usually, key) for key in ("head", "lens", "height_mm", "ring_mm", "border_mm", "contact")}
    lens = find_lens(usually.lens)
    return replace(now, **kept, f_number=min(max(now.f_number, lens.widest_f_number), lens.smallest_f_number))
