"""The table of controls: every decision that a printer sets, once, with its unit, range, usual value and lock.

Records, exercises, bench, command, notebook and map use it; the words for it stand in ``sim/notebook/control_words.py``.
Ranges come from ``sim/control_ranges.py``, where the rooms before this one check them. What two records differ in is told
in names and numbers here; a sentence is made where it is shown.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal, TypeGuard

from sim.control_ranges import CONTROLS, in_range
from sim.enlarger.filters import FILTER_NAMES, FilterSetting
from sim.printing.record import Card, Exposure, PrintingRecord
from sim.quantities import exact_f_number

Setting = str | float | bool | tuple[float, float] | FilterSetting
Kind = Literal["number", "choice", "switch"]
MOST_DIALLED = 2.0  # density on the dials of a head; records of other heads may hold more
LEAST_TIME_S = 1e-6


@dataclass(frozen=True)
class Control:
    """One control. ``lock`` is the name by which a lesson locks it ("": never), ``fields`` what else it is kept as.

    ``limits`` are the lowest and highest number, ``choices`` the names there always are. ``of`` reads it from a record,
    ``of_exposure`` from one exposure; ``dialled`` says that it stands at the enlarger, the easel or the tray. Numbers nearer
    than ``least`` are one decision; nearer than ``leeway`` they are taken for one where a lesson locks the control, for no
    hand sets it finer.
    """

    name: str
    kind: Kind
    unit: str = ""
    limits: tuple[float, float] | None = None
    usual: Setting | None = None
    lock: str = ""
    choices: tuple[str, ...] = ()
    fields: tuple[str, ...] = ()
    of: Callable[[PrintingRecord], Setting] | None = None
    of_exposure: Callable[[Exposure], Setting] | None = None
    least: float = 0.0
    leeway: float = 0.0
    dialled: bool = True

    def moved(self, before: Setting, after: Setting) -> bool:
        """Tell whether a locked control was moved. A sheet turned round is the same sheet, to the millimetre."""
        if _is_number(before) and _is_number(after):
            return abs(after - before) > self.leeway
        if isinstance(before, tuple) and isinstance(after, tuple):
            return sorted(map(round, before)) != sorted(map(round, after))
        return before != after

    def differs(self, before: Setting, after: Setting) -> bool:
        """Tell whether two settings are two decisions: numbers by more than ``least``, all else unless equal."""
        if _is_number(before) and _is_number(after):
            return abs(after - before) > self.least
        return before != after


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _ranged(name: str, unit: str, limits: str = "") -> tuple[str, Kind, str, tuple[float, float]]:
    """Return name, kind, unit and range of a number whose range stands in control_ranges."""
    found = CONTROLS[limits or name]
    return name, "number", unit, (found.low, found.high)


_ALL = (
    Control("negative", "choice", of=lambda r: r.negative),
    Control("paper", "choice", lock="paper", of=lambda r: r.sheet.paper),
    Control("head", "choice", lock="head", of=lambda r: r.enlarger.head),
    Control("lens", "choice", lock="lens", of=lambda r: r.enlarger.lens),
    Control(*_ranged("f_number", ""), usual=8.0, lock="f_number", of_exposure=lambda e: e.f_number),
    Control(*_ranged("time_s", "s"), usual=10.0, lock="time_s", of_exposure=lambda e: e.time_s, least=LEAST_TIME_S),
    Control("filter", "choice", usual="2", lock="filter", choices=FILTER_NAMES, of_exposure=lambda e: e.filter),
    Control("yellow", "number", "density", (0.0, MOST_DIALLED), 0.0, "filter"),
    Control("magenta", "number", "density", (0.0, MOST_DIALLED), 0.0, "filter"),
    Control(*_ranged("height_mm", "mm"), lock="height_mm", of=lambda r: r.enlarger.height_mm, leeway=0.15),
    Control(
        *_ranged("focus_offset_mm", "mm"), usual=0.0, lock="focus_offset_mm", fields=("ring_mm",),
        of=lambda r: r.enlarger.focus_offset_mm,
    ),
    Control(
        "carrier", "choice", usual="glass", lock="carrier", choices=("glass", "glassless"), of=lambda r: r.enlarger.carrier
    ),
    Control("focused", "choice", usual="warm", lock="carrier", choices=("warm", "cold"), of=lambda r: r.enlarger.focused),
    Control("contact", "switch", usual=False, lock="contact", of=lambda r: r.enlarger.contact),
    Control("flipped", "switch", usual=False, lock="carrier", of=lambda r: r.enlarger.flipped),
    Control(
        *_ranged("negative_tilt_deg", "degrees"), usual=0.0, lock="negative_tilt_deg",
        of=lambda r: r.enlarger.negative_tilt_deg,
    ),
    Control(*_ranged("easel_tilt_deg", "degrees"), usual=0.0, lock="easel_tilt_deg", of=lambda r: r.enlarger.easel_tilt_deg),
    Control(
        "sheet", "choice", "mm", (CONTROLS["paper_mm"].low, CONTROLS["paper_mm"].high), "203x254", "sheet",
        fields=("sheet_width_mm", "sheet_height_mm"), of=lambda r: (r.sheet.width_mm, r.sheet.height_mm),
    ),
    Control(
        "piece", "choice", usual="sheet", lock="sheet", choices=("sheet", "strip"), of=lambda r: r.sheet.kind, dialled=False
    ),
    Control(*_ranged("border_mm", "mm"), usual=6.0, lock="sheet", of=lambda r: r.sheet.border_mm, leeway=0.5),
    Control(
        *_ranged("image_shift_x_mm", "mm", "image_shift_mm"), usual=0.0, lock="image_shift",
        of=lambda r: r.sheet.image_shift_mm[0], leeway=0.5,
    ),
    Control(
        *_ranged("image_shift_y_mm", "mm", "image_shift_mm"), usual=0.0, lock="image_shift",
        of=lambda r: r.sheet.image_shift_mm[1], leeway=0.5,
    ),
    Control(
        *_ranged("development_time_s", "s"), lock="development_time_s", of=lambda r: r.development.time_s, leeway=0.5
    ),
    Control(
        *_ranged("temperature_c", "°C"), usual=20.0, lock="temperature_c", of=lambda r: r.development.temperature_c, leeway=0.05
    ),
    Control("reciprocity", "switch", usual=False, lock="reciprocity", of=lambda r: r.reciprocity),
    Control("red_filter", "switch", usual=False),
    Control("opal_sheet", "switch", usual=False, lock="flash"),
    Control("focus_light", "switch", usual=False),
    Control(
        *_ranged("lamp_voltage_share", ""), usual=1.0, lock="head", of=lambda r: r.enlarger.lamp_voltage_share, dialled=False
    ),
    Control(
        *_ranged("sheets_before", "sheets"), usual=0.0, lock="fresh_developer", of=lambda r: r.development.sheets_before,
        dialled=False,
    ),
    Control(*_ranged("strength", ""), usual=1.0, lock="temperature_c", of=lambda r: r.development.strength, dialled=False),
    Control(*_ranged("bath_l", "l"), usual=1.0, lock="temperature_c", of=lambda r: r.development.bath_l, dialled=False),
    Control(*_ranged("age_h", "h"), usual=0.0, lock="temperature_c", of=lambda r: r.development.age_h, dialled=False),
    Control(
        *_ranged("safelight_time_s", "s"), usual=0.0, of=lambda r: r.safelight.time_s if r.safelight else 0.0, dialled=False
    ),
    Control("exposures", "number", usual=1.0, lock="exposures", of=lambda r: float(len(r.exposures)), dialled=False),
    Control("through", "choice", usual="negative", lock="flash", of_exposure=lambda e: e.through, dialled=False),
    Control(
        "dimmed_stops", "number", "stops", (0.0, 20.0), 0.0, "flash", of_exposure=lambda e: e.dimmed_stops, dialled=False
    ),
    Control(
        *_ranged("paper_shift_mm", "mm", "image_shift_mm"), usual=0.0, lock="exposures",
        of_exposure=lambda e: e.paper_shift_mm, dialled=False,
    ),
    Control("cards", "choice", lock="cards", dialled=False),
)  # fmt: skip
TABLE: dict[str, Control] = {control.name: control for control in _ALL}
_OF_EXPOSURE = tuple(TABLE[name] for name in ("time_s", "f_number", "filter", "through", "dimmed_stops", "paper_shift_mm"))
DIALLED: tuple[str, ...] = tuple(name for name, control in TABLE.items() if control.dialled)
LOCKS: tuple[str, ...] = tuple(dict.fromkeys(control.lock for control in _ALL if control.lock))
_LOCK_OF = {field: control.lock for control in _ALL for field in (control.name, *control.fields)}


def lock_of(name: str) -> str:
    """Return the name by which a lesson locks a control or what it is kept as; "" for what is never locked."""
    return _LOCK_OF.get(name, name)


def range_of(name: str) -> tuple[float, float]:
    """Return the lowest and highest number of a control."""
    limits = TABLE[name].limits
    assert limits is not None, name
    return limits


def number_in_range(name: str, value: float, shown_as: str = "") -> float:
    """Return a control's number if inside its range. Raises Refused naming control, rule and value."""
    in_range(shown_as or name, value, *range_of(name), TABLE[name].unit)
    return value


def numbers_in(record: PrintingRecord) -> Iterator[tuple[str, float]]:
    """Yield every number of a record that has a range, by its control's name; of its exposures in turn."""
    for control in _ALL:
        values = [control.of(record)] if control.of is not None else []
        values += [control.of_exposure(e) for e in record.exposures] if control.of_exposure is not None else []
        for value in values:
            if control.kind == "number" and control.limits is not None and _is_number(value):
                yield control.name, value


@dataclass(frozen=True)
class Difference:
    """One decision taken differently: the control, before and after; in which exposure (0 the first), and of which card.

    An exposure or a card that only one record has is None in the other. ``stops`` is the change of light that time or
    aperture make, + more.
    """

    control: str
    before: Setting | Exposure | Card | None
    after: Setting | Exposure | Card | None
    exposure: int | None = None
    card: int | None = None
    stops: float | None = None


def differences(before: PrintingRecord, after: PrintingRecord) -> tuple[Difference, ...]:
    """Return what was decided differently: the set-up in the table's order, then exposure by exposure."""
    return *_of_set_up(before, after), *_of_exposures(before, after)


def _of_set_up(before: PrintingRecord, after: PrintingRecord) -> Iterator[Difference]:
    for control in _ALL:
        if control.of is not None:
            was, now = control.of(before), control.of(after)
            if control.differs(was, now):
                yield Difference(control.name, was, now)


def _of_exposures(before: PrintingRecord, after: PrintingRecord) -> Iterator[Difference]:
    both = min(len(before.exposures), len(after.exposures))
    for index in range(both):
        yield from _within(before.exposures[index], after.exposures[index], index)
    for index in range(both, len(after.exposures)):
        yield Difference("exposure", None, after.exposures[index], index)
    for index in range(both, len(before.exposures)):
        yield Difference("exposure", before.exposures[index], None, index)


def _within(before: Exposure, after: Exposure, index: int) -> Iterator[Difference]:
    for control in _OF_EXPOSURE:
        assert control.of_exposure is not None
        was, now = control.of_exposure(before), control.of_exposure(after)
        if control.differs(was, now):
            yield Difference(control.name, was, now, index, stops=_stops(control.name, was, now))
    for k in range(max(len(before.cards), len(after.cards))):
        one = before.cards[k] if k < len(before.cards) else None
        two = after.cards[k] if k < len(after.cards) else None
        if one != two:
            yield Difference("cards", one, two, index, k)


def _stops(name: str, before: Setting, after: Setting) -> float | None:
    """Return the stops of light between two times or apertures; None for what is no light."""
    if not (_is_number(before) and _is_number(after)):
        return None
    if name == "time_s":
        return math.log2(after / before)
    if name == "f_number":
        return 2.0 * math.log2(exact_f_number(before) / exact_f_number(after))
    return -(after - before) if name == "dimmed_stops" else None
