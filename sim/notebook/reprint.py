"""A print made again at another size, on another paper, or from another negative: times by the engine, cards in proportion.

Head and height are set for the new size, every exposure's time so that the chosen place gets the tone it had, and the
cards with their paths are scaled by the ratio of print sizes. What could not be carried over is said.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from sim.enlarger.equipment import find_head, find_lens, head_digest
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import height_for_magnification_mm
from sim.enlarger.light_given import dialled_time_s, expected_light_s
from sim.enlarger.settings import EnlargerSettings, SettingsRefused, head_of, set_up
from sim.negative.develop import find_negative
from sim.negative.negative import Negative, Place
from sim.paper.stock import Stock, find_stock
from sim.printing.controls import range_of
from sim.printing.exposure import LightCache
from sim.printing.make_print import frame_on_sheet
from sim.printing.place_model import PlaceModel
from sim.printing.record import Card, Exposure, PrintingRecord, Sheet
from sim.printing.setup import usual_head_and_lens
from sim.quantities import factor_to_stops
from sim.refusals import Refused
from sim.shelf import OWN

LEAST_NET, SHARE_OF_BLACK = 0.02, 0.97  # a tone kept on another paper must lie well on its curve


def reprinted(
    record: PrintingRecord, negative: str | None = None, size_mm: tuple[float, float] | None = None,
    paper: str | None = None, head: str | None = None,
) -> tuple[PrintingRecord, tuple[str, ...]]:  # fmt: skip
    """Return a record for another size of sheet, paper, negative or enlarger, and what was changed on the way, in words.

    Raises OutsideError, or Refused for what cannot be carried over.
    """
    if record.sheet.kind == "strip":
        raise Refused("a whole print can be made again at another size, got a strip")
    old, new = find_negative(record.negative), find_negative(negative or record.negative)
    old_stock, stock = find_stock(record.sheet.paper), find_stock(paper or record.sheet.paper)
    notes: list[str] = []
    ratio, sheet = _sheet(record, old, new, size_mm, stock)
    settings = _settings(record, old, new, ratio, notes)
    if head is not None and head != settings.head:
        settings = replace(settings, head=head, head_digest=head_digest(head) if head.startswith(OWN) else "")
        notes.append(f"seconds are those of {find_head(head).title}")
    base = replace(record, negative=new.name, negative_digest=new.digest, sheet=sheet, enlarger=settings, note="")
    if stock.name != old_stock.name:
        base = replace(
            base, development=replace(base.development, time_s=stock.development.completion_time_s)
        )  # fmt: skip
        notes.append(f"developed for {stock.development.completion_time_s:g} s, the time of {stock.title.lower()}")
    exposures = [_on_lens(_filtered(e, stock, notes), settings.lens, notes) for e in record.exposures]
    base = base.with_exposures(*(replace(e, light_s=None) for e in exposures))
    cards_ratio = max(frame_on_sheet(new, base)[2:]) / max(frame_on_sheet(old, record)[2:])
    times = _times(record, old, old_stock, base, new, stock, notes)
    moved = [_carried(e, t, cards_ratio, record, old, base, new) for e, t in zip(base.exposures, times)]
    if any(e.cards for e in moved) and abs(cards_ratio - 1.0) > 1e-6:
        notes.append(
            f"cards and their paths are {cards_ratio:.2f} times as large, as the picture is; cut the tools to that size"
        )
    if any(e.cards for e in moved) and old.name != new.name:
        notes.append("cards stand as far from the middle of the picture as before: see where they belong on this negative")
    return base.with_exposures(*moved), tuple(dict.fromkeys(notes))


def _sheet(
    record: PrintingRecord, old: Negative, new: Negative, size_mm: tuple[float, float] | None, stock: Stock
) -> tuple[float, Sheet]:
    """Return by how much the picture grows, and the new sheet, turned as the old one lay (or as the new frame stands)."""
    sheet = record.sheet
    width, height = size_mm or (sheet.width_mm, sheet.height_mm)
    if (width > height) != (sheet.width_mm > sheet.height_mm):
        width, height = height, width
    ratio = min(width / sheet.width_mm, height / sheet.height_mm)
    if record.enlarger.contact and abs(ratio - 1.0) > 1e-3:
        raise Refused("a contact print is as large as its negative; its sheet may change, its picture cannot")
    if (old.frame_mm[0] > old.frame_mm[1]) != (new.frame_mm[0] > new.frame_mm[1]):
        width, height = height, width
    shift_x, shift_y = (round(shift * ratio, 2) for shift in sheet.image_shift_mm)
    border = sheet.border_mm if size_mm is None else round(sheet.border_mm * ratio, 1)
    return ratio, replace(
        sheet, paper=stock.name, width_mm=width, height_mm=height, border_mm=border, image_shift_mm=(shift_x, shift_y)
    )


def _settings(
    record: PrintingRecord, old: Negative, new: Negative, ratio: float, notes: list[str]
) -> EnlargerSettings:
    """Return the enlarger set for the new size; head and lens stay when they can hold it."""
    settings = record.enlarger
    if settings.contact:
        return settings
    scale = set_up(settings, old).print_scale * ratio
    long_sides, short_sides = max(old.frame_mm) / max(new.frame_mm), min(old.frame_mm) / min(new.frame_mm)
    size = scale * min(long_sides, short_sides)
    tries = [(settings.head, settings.lens), usual_head_and_lens(new)]
    reason, (lowest_mm, highest_mm) = "", range_of("height_mm")
    for head, lens in dict.fromkeys(tries):
        if size < 1.0:
            break
        height_mm = round(height_for_magnification_mm(find_lens(lens).focal_mm, size), 1)
        try:
            if not lowest_mm <= height_mm <= highest_mm:
                raise SettingsRefused(f"height_mm must be within the column's reach, got {height_mm:g}")
            there = replace(settings, head=head, lens=lens, height_mm=height_mm)
            set_up(there, new)
        except SettingsRefused as error:
            reason = reason or str(error)
            continue
        if (head, lens) != (settings.head, settings.lens):
            notes.append(f"{find_head(head).title.lower()} with the {find_lens(lens).title}: {reason}")
        if abs(height_mm - settings.height_mm) > 0.05:
            notes.append(f"column from {settings.height_mm:.0f} to {height_mm:.0f} mm; focus again")
        return there
    raise Refused(reason or f"an enlarger enlarges 1 time or more, got {size:.2f} times")


def _filtered(exposure: Exposure, stock: Stock, notes: list[str]) -> Exposure:
    plain = FilterSetting()
    if not stock.is_variable_contrast and exposure.filter != plain:
        notes.append("no filter: this paper has one grade only, and contrast will differ")
        return replace(exposure, filter=plain)
    return exposure


def _on_lens(exposure: Exposure, lens_name: str, notes: list[str]) -> Exposure:
    lens = find_lens(lens_name)
    f_number = min(max(exposure.f_number, lens.widest_f_number), lens.smallest_f_number)
    if f_number != exposure.f_number:
        notes.append(f"f/{exposure.f_number:g} is not on the {lens.title}: f/{f_number:g}, time changed to suit")
    return replace(exposure, f_number=f_number)


def reference_place(negative: Negative, record: PrintingRecord) -> Place:
    """Return the place whose tone is kept: the lightest that must keep texture, else a middle tone, else the middle."""
    left, top, width, height = frame_on_sheet(negative, record)
    sheet = record.sheet
    for part in ("lightest", "tone", "darkest"):
        for place in negative.places:
            x, y, border = left + place.x * width, top + place.y * height, sheet.border_mm + place.spot_mm
            inside = border < x < sheet.width_mm - border and border < y < sheet.height_mm - border
            if place.part == part and inside:
                return place
    return Place("middle", 0.5, 0.5)


@dataclass(frozen=True, eq=False)
class _Seen:
    """A record at the place whose tone is kept, cards left out: every exposure's light there, and the tone.

    A flash has light of its own but is no part of the tone: ``tone`` holds the exposures through the negative.
    """

    place: Place
    all: PlaceModel
    tone: PlaceModel
    stock: Stock

    @classmethod
    def at(cls, negative: Negative, record: PrintingRecord, stock: Stock, lights: LightCache) -> _Seen:
        place, plain = reference_place(negative, record), [replace(e, cards=(), step=0) for e in record.exposures]
        printed = [e for e in plain if e.through == "negative"] or plain
        whole, through = (
            PlaceModel(negative, record.with_exposures(*exposures), stock, (place,), lights) for exposures in (plain, printed)
        )
        return cls(place, whole, through, stock)

    def light(self) -> list[float]:
        """Return the light per second of every exposure as the paper weighs it."""
        return [float(self.all.light(k)[0]) for k in range(len(self.all.rays))]

    def density(self, factor: float = 1.0) -> float:
        """Return the tone with all exposures longer by a factor."""
        return float(self.tone.with_light(factor_to_stops(factor))[0])


def _times(
    before: PrintingRecord, old: Negative, old_stock: Stock, after: PrintingRecord, new: Negative, stock: Stock,
    notes: list[str],
) -> list[float]:  # fmt: skip
    """Return the dialled times that give the reference place its old tone."""
    lights, old_head, head = LightCache(), head_of(before.enlarger), head_of(after.enlarger)
    dialled = before.with_exposures(*(replace(e, light_s=None) for e in before.exposures))
    seen, then = _Seen.at(old, dialled, old_stock, lights), _Seen.at(new, after, stock, lights)
    light_s = [expected_light_s(e.time_s, old_head) for e in before.exposures]
    same = [s * had / has for s, had, has in zip(light_s, seen.light(), then.light(), strict=True)]
    kept, response, old_response = seen.density(), then.tone.response, seen.tone.response
    wanted = response.base_plus_fog + kept - old_response.base_plus_fog
    low = response.base_plus_fog + LEAST_NET
    high = response.base_plus_fog + SHARE_OF_BLACK * (response.black - response.base_plus_fog)
    factor, other_paper = 1.0, stock.name != old_stock.name
    if other_paper and not low <= wanted <= high:
        notes.append(f"{then.place.name} was at {kept:.2f}, which this paper cannot show as a tone: the nearest it can")
    if old.name != new.name or other_paper or before.reciprocity:
        timed = [_lasting(e, s) for e, s in zip(after.exposures, same, strict=True)]
        factor = _factor(_Seen.at(new, after.with_exposures(*timed), stock, lights), min(max(wanted, low), high))
    times = [round(dialled_time_s(s * factor, head), 2) for s in same]
    shortest_s, longest_s = range_of("time_s")
    for t in times:
        if not shortest_s <= t <= longest_s:
            raise Refused(f"time_s must be between {shortest_s:g} and {longest_s:g} s, got {t:g}; change the aperture")
    whole = sum(times) / before.total_time_s
    notes.append(f"times keep the tone of {then.place.name.replace('-', ' ')}: {whole:.2f} times the old ones in all")
    return times


def _lasting(exposure: Exposure, light_s: float) -> Exposure:
    """Return an exposure of so many seconds of light, its cards in it for the same share of the time."""
    time_s = max(light_s, 0.1)
    cards = tuple(_in_time(card, time_s / exposure.time_s, time_s) for card in exposure.cards)
    return replace(exposure, time_s=time_s, light_s=light_s, cards=cards)


def _factor(seen: _Seen, wanted: float) -> float:
    """Return by how much all exposures together must grow for a density."""
    from scipy.optimize import brentq

    def miss(log_factor: float) -> float:
        return seen.density(10.0**log_factor) - wanted

    if miss(-3.0) > 0.0 or miss(3.0) < 0.0:
        raise Refused(f"no time prints the place to density {wanted:.2f}")
    return float(10.0 ** brentq(miss, -3.0, 3.0, xtol=1e-6))


def _carried(
    exposure: Exposure, time_s: float, ratio: float, before: PrintingRecord, old: Negative, after: PrintingRecord,
    new: Negative,
) -> Exposure:  # fmt: skip
    """Return an exposure at its new time, its cards at the same place of the picture and for the same share of time."""
    (x0, y0), (x1, y1) = _middle(old, before), _middle(new, after)
    share = time_s / exposure.time_s
    placed = (card.placed(ratio, x1 - x0 * ratio, y1 - y0 * ratio) for card in exposure.cards)
    cards = tuple(_in_time(card, share, time_s) for card in placed)
    shift = (round(exposure.paper_shift_mm[0] * ratio, 2), round(exposure.paper_shift_mm[1] * ratio, 2))
    return replace(exposure, time_s=time_s, cards=cards, paper_shift_mm=shift, light_s=None)


def _middle(negative: Negative, record: PrintingRecord) -> tuple[float, float]:
    left, top, width, height = frame_on_sheet(negative, record)
    return left + width / 2, top + height / 2


def _in_time(card: Card, share: float, time_s: float) -> Card:
    """Return a card in the light for the same share of a longer or shorter exposure."""
    return card.at_moments(lambda moment_s: min(round(moment_s * share, 4), time_s))
