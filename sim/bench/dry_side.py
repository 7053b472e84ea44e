"""How everything stands on the dry side: what a printer would find on enlarger, easel and dials on coming back.

One frozen value, so that undo is keeping the one before. The focus ring is kept as a position of its own: raising the
head leaves the ring where it was, and the picture goes out of focus until it is turned again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import NO_FILTER, FilterSetting
from sim.enlarger.geometry import magnification_at_height, negative_to_lens_mm
from sim.enlarger.settings import EnlargerSettings
from sim.negative.negative import Negative
from sim.notebook.reprint import reference_place
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.safelight import Safelight
from sim.paper.stock import Stock
from sim.printing.controls import range_of
from sim.printing.record import Exposure, PrintingRecord, Sheet
from sim.printing.setup import usual_setup
from sim.refusals import Refused
from sim.scoring.target_tones import LIGHTEST_NET_DENSITY, aim_densities
from sim.shelf import OWN
from sim.viewing.easel_meter import time_for_density
from sim.viewing.hands_seconds import mark_for_hands

MIDDLE_NET_DENSITY = 0.67  # of a tone that is neither light nor dark: L* 50 on paper of base and fog 0.06 (CIE 1976)


@dataclass(frozen=True)
class SetUp:
    """Every control of the dry side and the developer, in plain values and the units of their names.

    ``filter`` is a graded filter's name or "none"; ``yellow`` and ``magenta`` are the dials, 0 with a graded filter in.
    ``ring_mm`` is the focus ring: the distance from negative to lens it stands at. ``opal_sheet``: it
    scatters the light under the lens, so that paper is flashed and has nothing of the picture. ``safelight`` is the lamp that a
    lesson tries: every sheet lies under it.
    """

    negative: str
    paper: str
    head: str
    lens: str
    height_mm: float
    ring_mm: float
    sheet_width_mm: float
    sheet_height_mm: float
    f_number: float = 8.0
    time_s: float = 10.0
    filter: str = "2"
    yellow: float = 0.0
    magenta: float = 0.0
    carrier: Literal["glass", "glassless"] = "glass"
    focused: Literal["warm", "cold"] = "warm"
    contact: bool = False
    flipped: bool = False
    negative_tilt_deg: float = 0.0
    easel_tilt_deg: float = 0.0
    border_mm: float = 6.0
    image_shift_x_mm: float = 0.0
    image_shift_y_mm: float = 0.0
    development_time_s: float = 90.0
    temperature_c: float = 20.0
    sheets_before: float = 0.0
    reciprocity: bool = False
    red_filter: bool = False
    focus_light: bool = False
    opal_sheet: bool = False
    safelight: Safelight | None = None

    @property
    def filtration(self) -> FilterSetting:
        """What is in the filter drawer or on the dials."""
        if self.filter != NO_FILTER:
            return FilterSetting(self.filter)
        return FilterSetting(None, self.yellow, self.magenta)

    @property
    def sharp_ring_mm(self) -> float:
        """Where the ring would have to stand for a sharp picture. Raises Refused when nothing can be focused."""
        focal_mm = find_lens(self.lens).focal_mm
        return negative_to_lens_mm(focal_mm, magnification_at_height(focal_mm, self.height_mm))

    @property
    def focus_offset_mm(self) -> float:
        """How far the negative stands from sharp focus, + away from the lens; the engine follows up to 5 mm."""
        low, high = range_of("focus_offset_mm")
        offset = round(self.ring_mm - self.sharp_ring_mm, 4)
        return min(max(offset, low), high) + 0.0

    def focused_sharp(self) -> SetUp:
        """Return the set-up with the ring turned to the sharp picture."""
        return replace(self, ring_mm=self.sharp_ring_mm)

    def settings(self) -> EnlargerSettings:
        """Return how the enlarger stands."""
        return EnlargerSettings(
            self.head, self.lens, self.height_mm, 0.0 if self.contact else self.focus_offset_mm, self.carrier,
            self.focused, self.negative_tilt_deg, self.easel_tilt_deg, self.flipped, self.contact,
        )  # fmt: skip

    def record(self, digest: str = "") -> PrintingRecord:
        """Return the record of a straight print from this set-up."""
        shift = (self.image_shift_x_mm, self.image_shift_y_mm)
        return PrintingRecord(
            self.negative,
            Sheet(self.paper, self.sheet_width_mm, self.sheet_height_mm, self.border_mm, shift),
            self.settings(),
            (Exposure(self.time_s, self.f_number, self.filtration),),
            Development(self.development_time_s, self.temperature_c, self.sheets_before),
            safelight=self.safelight,
            reciprocity=self.reciprocity,
            negative_digest=digest,
        )


def set_up_of(record: PrintingRecord) -> SetUp:
    """Return the set-up behind a record: its first exposure through the negative gives aperture, filter and time."""
    first = next((one for one in record.exposures if one.through == "negative"), record.exposures[0])
    settings, sheet = record.enlarger, record.sheet
    chosen = first.filter
    there = SetUp(
        record.negative, sheet.paper, settings.head, settings.lens, settings.height_mm, 0.0, sheet.width_mm,
        sheet.height_mm, first.f_number, first.time_s, chosen.graded or NO_FILTER, chosen.yellow, chosen.magenta,
        settings.carrier, settings.focused, settings.contact, settings.flipped, settings.negative_tilt_deg,
        settings.easel_tilt_deg, sheet.border_mm, *sheet.image_shift_mm, record.development.time_s,
        record.development.temperature_c, record.development.sheets_before, record.reciprocity, safelight=record.safelight,
    )  # fmt: skip
    return replace(there, ring_mm=there.sharp_ring_mm + settings.focus_offset_mm)


def usual(negative: Negative, stock: Stock) -> SetUp:
    """Return a sensible start: the whole frame on 203 x 254 mm, filter 2 (none for a graded paper), f/8, 10 s.

    A negative of one's own begins at the aperture at which its straight print will last as long as hands want.
    """
    filtration = FilterSetting("2") if stock.is_variable_contrast else FilterSetting()
    record = usual_setup(negative, stock, filtration=filtration)
    return set_up_of(record if not negative.name.startswith(OWN) else _in_hands_time(negative, record, stock))


def metered(negative: Negative, stock: Stock) -> SetUp:
    """Return the usual start with the seconds that a meter on the lightest textured place gives for this paper.

    It prints that place to where the lightest tone belongs, net 0.07 (``aim_densities``); blacks come as filter 2 makes them.
    Without such a place, or where no time does it, the usual seconds stay: a strip tells.
    """
    start = usual(negative, stock)
    lightest = next((place for place in negative.places if place.part == "lightest"), None)
    if lightest is None:
        return start
    record = start.record(negative.digest)
    density, _ = aim_densities(Response(stock, record.development))
    try:
        time_s = time_for_density(negative, record, lightest, stock, record.exposures[0], density)
    except Refused:
        return start
    low, high = range_of("time_s")
    return replace(start, time_s=round(min(high, max(low, time_s)), 1))


def _in_hands_time(negative: Negative, record: PrintingRecord, stock: Stock) -> PrintingRecord:
    """Return a start with the aperture at which a straight print of one's own negative lasts as long as hands want."""
    place, first = reference_place(negative, record), record.exposures[0]
    response = Response(stock, record.development)
    net = LIGHTEST_NET_DENSITY if place.part == "lightest" else MIDDLE_NET_DENSITY
    try:
        time_s = time_for_density(negative, record, place, stock, first, response.base_plus_fog + net)
    except Refused:  # a tone that no time prints: nothing is known then
        return record
    mark = mark_for_hands(find_lens(record.enlarger.lens), first.f_number, (time_s,))
    return record.with_exposures(replace(first, f_number=mark))
