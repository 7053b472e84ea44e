"""What a print's settings say, word for word the same in a lesson's lines and on the command line.

    hold-back=face:0.5:40           burn=face:0.5:40x60          a place, stops, size of the shadow in mm (round, or oval)
    burn=85,120:0.7:30:2:filter=4   a point in mm from the sheet's corner; which exposure; behind another filter
    hold-back=face:0.5:40:height=60:angle=30:still               how high, how turned, held still
    burn=face:0.5:outline=-20,-10;25,-5;10,30                    an outline of one's own, mm around the place
    burn-above=horizon:1            everything above a place's lower edge, over the edge of a card
    edge-burn=top:0.3:25            from an edge of the picture inwards: top, bottom, left, right, or all
    then=5:8                        one more exposure of the whole sheet: filter and seconds
    flash=6:4                       seconds of light without the negative, and by how many stops it is dimmed (5 unless said)
    flash-at=window:1.5:40          a flash of one place only, through a hole: seconds, the hole's mm, then as for a hole

And of a strip of burns, or of flashes at one place, the card that they go past as it will be held over the print (--through,
--past on the command line):

    through=40x60:height=80:still   the hole of a card over the place: its size, how high, held still
    past=top:15:height=80           the edge of a card 15 mm beyond the place, which is burnt in towards the top
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from sim.command.lesson_lines import Act, number_in, whole_in
from sim.command.loupe_pictures import point_of
from sim.command.setting_options import named_place, sheet_size_mm
from sim.control_ranges import checked
from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import FilterSetting
from sim.enlarger.geometry import lens_to_paper_mm, magnification_at_height
from sim.negative.negative import Negative
from sim.printing.burn_past_card import past_card
from sim.printing.card_work import burnt_above, burnt_at_edge, burnt_in, held_back
from sim.printing.cards import HIGHEST_CARD
from sim.printing.controls import number_in_range
from sim.printing.flash import USUAL_DIMMED_STOPS, with_flash
from sim.printing.make_print import frame_on_sheet, place_on_sheet
from sim.printing.record import Card, Exposure, PrintingRecord, Still
from sim.printing.setup import picture_on_sheet
from sim.printing.strips import PAST_A_CARD, Point, Strip
from sim.refusals import Refused
from sim.scoring.burn_stops import burnt_over
from sim.scoring.start import with_card

EDGES = {"top": 90.0, "bottom": 270.0, "left": 0.0, "right": 180.0}  # the way a card's edge is turned to leave that side lit
CARD_KEYS = ("height", "angle", "filter", "outline")
LEAST_SOFT_MM, SOFT_SHARE = 4.0, 0.4
LEAST_TOOL_MM, MOST_TOOL_MM = 1.0, 1100.0  # of a card's shadow; a wider one could not be kept moving


def print_said(negative: Negative, record: PrintingRecord, act: Act) -> PrintingRecord:
    """Return a record with exposures and cards as a line says. Raises Refused in words."""
    first = record.exposures[0]
    time_s = act.number("time", first.time_s)
    exposures = [replace(first, time_s=time_s, filter=filter_said(act, first), f_number=act.number("f-number", first.f_number))]
    kept = () if "time" in act.settings or "then" in act.settings else record.exposures[1:]
    exposures += [then_said(exposures[0], text) for text in act.settings.get("then", [])]
    record = record.with_exposures(*(replace(e, light_s=None) for e in (*exposures, *kept)))
    for key, sign in (("hold-back", -1.0), ("burn", 1.0)):
        for text in act.settings.get(key, []):
            record = card_said(negative, record, key, sign, text)
    for text in act.settings.get("burn-above", []):
        record = _burn_above(negative, record, text)
    for text in act.settings.get("edge-burn", []):
        record = _edge_burn(negative, record, text)
    record = _flashed(record, act.one("flash")) if "flash" in act.settings else record
    for text in act.settings.get("flash-at", []):
        record = _flashed_at(negative, record, text)
    return record


def _flashed(record: PrintingRecord, text: str) -> PrintingRecord:
    """Return the record with a flash, SECONDS or SECONDS:STOPS, in the place of any other; 0 takes it away."""
    seconds, colon, stops = text.partition(":")
    time_s = number_in("flash", seconds)
    if time_s:
        number_in_range("time_s", time_s, "flash")
    return with_flash(record, time_s, number_in("flash, stops dimmed", stops) if colon else USUAL_DIMMED_STOPS)


def _flashed_at(negative: Negative, record: PrintingRecord, text: str) -> PrintingRecord:
    """Return the record with a flash of one place only through a hole: WHERE:SECONDS:MM, then dimmed=STOPS or the hole's."""
    where, *parts = text.split(":")
    if len(parts) < 2:
        raise Refused(f"flash-at must be a place, seconds and the hole's mm, such as window:1.5:40, got {text[:60]!r}")
    key, first = f"flash-at {where}", record.exposures[0]
    time_s = number_in_range("time_s", number_in(f"{key}, seconds", parts[0]), f"{key}, seconds")
    dimmed = next((part for part in parts if part.startswith("dimmed=")), "")
    stops = number_in(f"{key}, dimmed", dimmed.removeprefix("dimmed=")) if dimmed else USUAL_DIMMED_STOPS
    hole = ":".join(part for part in parts[1:] if part != dimmed)
    card = hole_said(record, key, hole, point_of(where, "flash-at", negative, record))
    flash = Exposure(time_s, first.f_number, first.filter, (card,), through="open", dimmed_stops=stops)
    return record.with_exposures(*record.exposures, flash)


def filter_said(act: Act, exposure: Exposure) -> FilterSetting:
    """Return the filter that a line names, else the exposure's own."""
    return FilterSetting.named(act.one("filter")) if "filter" in act.settings else exposure.filter


def then_said(first: Exposure, text: str, key: str = "then") -> Exposure:
    """Return one more exposure of the whole sheet, written FILTER:SECONDS."""
    name, colon, seconds = text.partition(":")
    if not colon or not seconds:
        raise Refused(f"{key} must be a filter and seconds such as 00:6, got {text[:40]!r}")

    time_s = number_in(f"{key}, seconds", seconds)
    return replace(first, filter=FilterSetting.named(name), time_s=time_s, cards=(), light_s=None)


def set_up_said(act: Act, record: PrintingRecord) -> PrintingRecord:
    """Return the record with enlarger, paper and tray as the line says."""
    enlarger, sheet, development = record.enlarger, record.sheet, record.development
    numbers = {"height": "height_mm", "focus": "focus_offset_mm", "easel-tilt": "easel_tilt_deg",
               "negative-tilt": "negative_tilt_deg"}  # fmt: skip
    moved = {field: act.number(key, 0.0) for key, field in numbers.items() if key in act.settings}
    names = {key: act.one(key) for key in ("head", "lens", "carrier") if key in act.settings}
    if "contact" in act.settings:
        moved["contact"] = act.one("contact") in ("yes", "true", "1")
    enlarger = replace(enlarger, **moved, **names)  # type: ignore[arg-type]
    if "size" in act.settings:
        width, height = sheet_size_mm(act.one("size"), "size")
        sheet = replace(sheet, width_mm=width, height_mm=height)
    if "border" in act.settings:
        sheet = replace(sheet, border_mm=act.number("border", 0.0))
    if "paper" in act.settings:
        sheet = replace(sheet, paper=act.one("paper"))
    if "shift" in act.settings:
        across, _, down = act.one("shift").partition(",")
        sheet = replace(sheet, image_shift_mm=(number_in("shift", across), number_in("shift", down)))
    if "develop" in act.settings:
        development = replace(development, time_s=act.number("develop", 0.0))
    if "temperature" in act.settings:
        development = replace(development, temperature_c=act.number("temperature", 20.0))
    reciprocity = act.one("reciprocity") in ("yes", "true", "1") if "reciprocity" in act.settings else record.reciprocity
    return replace(record, enlarger=enlarger, sheet=sheet, development=development, reciprocity=reciprocity)


@dataclass(frozen=True)
class _Tool:
    """What stands behind place and stops: size, exposure, and words of its own."""

    size_mm: tuple[float, float] | None
    exposure: int | None  # which one it is for; None: none was said
    still: bool
    words: dict[str, str]


def card_said(negative: Negative, record: PrintingRecord, key: str, sign: float, text: str) -> PrintingRecord:
    """Return the record with a place or point held back or burnt in: WHERE:STOPS, and if wanted size, exposure and words.

    A burn that names no exposure adds to what was there before behind its filter, else to all light before; one that does
    adds to that exposure.
    """
    where, *parts = text.split(":")
    if not parts:
        raise Refused(f"{key} must be a place, stops and if wanted mm, such as face:0.5:40, got {text[:60]!r}")
    stops = stops_in(f"{key} {where}", parts[0], or_none=len(parts) == 1)
    tool = _tool(f"{key} {where}", parts[1:], len(record.exposures))
    if len(parts) == 1:
        place = named_place(negative, key, where)
        with said_of(f"{key} {where}"):
            made = with_card(negative, record, place, sign * stops, 0)
            return burnt_over(made, stops) if sign > 0 and made is not record else made
    x_mm, y_mm = point_of(where, key, negative, record)
    if tool.size_mm is None and "outline" not in tool.words:
        raise Refused(f"{key} with more than stops must have a size in mm, such as face:0.5:40, got {text[:60]!r}")
    wide, long = tool.size_mm or (50.0, 50.0)
    work = held_back if sign < 0 else burnt_in
    more = {name: number_in(f"{key} {where}, {name}", tool.words[name]) for name in ("height", "angle") if name in tool.words}
    given = {"card_height_mm": _height(f"{key} {where}, height", more["height"], record)} if "height" in more else {}
    if "filter" in tool.words and sign < 0:
        raise Refused(f"{key} must stay behind its exposure's filter; only a burn may have one of its own, got {text[:60]!r}")
    with said_of(f"{key} {where}"):
        exposure = tool.exposure or 0
        made = work(record, exposure, x_mm, y_mm, wide, stops, long, more.get("angle", 0.0), **given)
        index = exposure if sign < 0 else len(made.exposures) - 1
        made = _reshaped(made, index, tool, f"{key} {where}", (x_mm, y_mm))
        return burnt_over(made, stops) if sign > 0 and tool.exposure is None else made


def burnt_past(strip: Strip, record: PrintingRecord, through: str, past: str, at_mm: Point, dash: str = "") -> Strip:
    """Return a strip of burns that go past the card that is said, if any; ``dash`` stands before the names of the two."""
    if through and past:
        raise Refused(f"this light must go through a hole or past an edge, got both {dash}through and {dash}past")
    if not through and not past:
        return strip
    key = f"{dash}through" if through else f"{dash}past"
    card = hole_said(record, key, through, at_mm) if through else _edge_said(record, key, past, at_mm)
    with said_of(key):
        return past_card(strip, card)


def check_burnt_past(way: str, through: str, past: str, over: bool, dash: str = "") -> None:
    """Refuse what belongs to a strip of burns of another, and a strip of burns that is laid over nothing."""
    for name, text in (("through", through), ("past", past)):
        if text and way not in PAST_A_CARD:
            raise Refused(f"{dash}{name} must stand with {dash}way burn or local-flash only, got {way}")
    if way in PAST_A_CARD and not over:
        what = "is burnt in over" if way == "burn" else "is flashed over"
        raise Refused(f"{dash}way {way} must have the exposure that {what}: {dash}over FILTER:S, got none")


def hole_said(record: PrintingRecord, key: str, text: str, at_mm: Point) -> Card:
    """Return a card with a hole as it is held over a point, written as a burn's is behind its stops: 40x60:height=80:still."""
    tool = _tool(key, text.split(":"), 1)
    if tool.size_mm is None and "outline" not in tool.words:
        raise Refused(f"{key} must say the size of the hole in mm, such as 40 or 40x60, got {text[:60]!r}")
    if "filter" in tool.words:
        raise Refused(f"{key} must leave the burn's filter to the strip's, got {text[:60]!r}")
    with said_of(key):
        wide, long = tool.size_mm or (50.0, 50.0)
        angle = number_in(f"{key}, angle", tool.words.get("angle", "0"))
        made = burnt_in(record, 0, *at_mm, wide, 1.0, long, angle, **_how_high(record, key, tool))
        return _reshaped(made, len(made.exposures) - 1, tool, key, at_mm).exposures[-1].cards[-1]


def _edge_said(record: PrintingRecord, key: str, text: str, at_mm: Point) -> Card:
    """Return the edge of a card held beyond a point, which lies on its light side: SIDE:MM, and if wanted height and still."""
    side, *parts = text.split(":")
    if side not in EDGES or not parts or "=" in parts[0]:
        raise Refused(f"{key} must be the light side ({', '.join(EDGES)}) and mm, such as top:15:height=80, got {text[:40]!r}")
    beyond_mm, tool = _mm(key, parts[0]), _tool(key, parts[1:], 1)
    if tool.size_mm is not None or set(tool.words) - {"height"}:
        raise Refused(f"{key} knows height and still behind its mm, got {text[:40]!r}")
    angle = math.radians(EDGES[side])
    line_mm = at_mm[0] + beyond_mm * math.cos(angle), at_mm[1] + beyond_mm * math.sin(angle)
    soft_mm = max(SOFT_SHARE * beyond_mm, LEAST_SOFT_MM)
    with said_of(key):
        made = burnt_at_edge(record, 0, line_mm, EDGES[side], 1.0, soft_mm, **_how_high(record, key, tool))
        return _reshaped(made, len(made.exposures) - 1, tool, key, line_mm).exposures[-1].cards[-1]


def _how_high(record: PrintingRecord, key: str, tool: _Tool) -> dict[str, float]:
    """Return the height that a card is said to be held at; nothing where that is left to the usual one."""
    if "height" not in tool.words:
        return {}
    return {"card_height_mm": _height(f"{key}, height", number_in(f"{key}, height", tool.words["height"]), record)}


@contextmanager
def said_of(key: str) -> Iterator[None]:
    """Say key and place before what is refused of a card that was worked out from them."""
    try:
        yield
    except Refused as error:
        raise error if str(error).startswith(key) else Refused(f"{key}: {error}") from None


def _tool(key: str, parts: list[str], exposures: int) -> _Tool:
    """Return what the parts behind the stops say: a size, a whole number for the exposure, still, or KEY=VALUE."""
    size, exposure, still, words = None, None, False, {}
    for place, part in enumerate(parts):
        name, equals, value = part.partition("=")
        if equals:
            if name not in CARD_KEYS or name in words or not value:
                raise Refused(f"{key} knows {', '.join(CARD_KEYS)}, each once and with a value, got {part[:40]!r}")
            words[name] = value
        elif part == "still":
            still = True
        elif place == 0:
            size = _size(key, part)
        else:
            exposure = whole_in(f"{key}, exposure", part)
    if exposure is not None and not 1 <= exposure <= exposures:
        raise Refused(f"{key}: the exposure must be between 1 and {exposures}, got {exposure}")
    return _Tool(size, None if exposure is None else exposure - 1, still, words)


def stops_in(key: str, text: str, or_none: bool = False) -> float:
    """Return stops of card work as they were typed; nil only where that means no card. Raises Refused naming key and place."""
    from sim.printing.card_work import MOST_STOPS

    stops = number_in(f"{key}, stops", text)
    if not 0.0 <= stops <= MOST_STOPS or (stops == 0.0 and not or_none):
        raise Refused(f"{key}, stops must be more than 0 and {MOST_STOPS:g} at most, got {text[:40]}")
    return stops


def _size(key: str, text: str) -> tuple[float, float]:
    wide, cross, long = text.lower().partition("x")
    return _mm(key, wide), _mm(key, long if cross else wide)


def _mm(key: str, text: str) -> float:
    """Return one side of a tool's shadow: what a hand can hold and keep moving."""
    size_mm = number_in(f"{key}, mm", text)
    if not LEAST_TOOL_MM <= size_mm <= MOST_TOOL_MM:
        raise Refused(f"{key}, mm must be between {LEAST_TOOL_MM:g} and {MOST_TOOL_MM:g}, got {text[:40]}")
    return size_mm


def _height(key: str, height_mm: float, record: PrintingRecord) -> float:
    """Return how high a card is held above the paper. Raises Refused for a height that no column has, or the lens's."""
    checked(key, height_mm, "card_height_mm")
    focal_mm = find_lens(record.enlarger.lens).focal_mm
    lens_mm = lens_to_paper_mm(focal_mm, magnification_at_height(focal_mm, record.enlarger.height_mm))
    if not height_mm < HIGHEST_CARD * lens_mm:
        most_mm = HIGHEST_CARD * lens_mm
        raise Refused(f"{key} must be below the lens, {most_mm:.0f} mm above the paper at most, got {height_mm:g}")
    return height_mm


def _reshaped(record: PrintingRecord, index: int, tool: _Tool, key: str, at_mm: tuple[float, float]) -> PrintingRecord:
    """Return the record with the card just made cut to an outline, held still, or its burn put behind another filter."""
    exposure = record.exposures[index]
    card: Card = exposure.cards[-1]
    if "outline" in tool.words:
        card = replace(card, shape="outline", outline=_outline(key, tool.words["outline"]))
    if tool.still:
        card = replace(card, motion=Still(*at_mm))
    exposure = replace(exposure, cards=(*exposure.cards[:-1], card))
    if "filter" in tool.words:
        exposure = replace(exposure, filter=FilterSetting.named(tool.words["filter"]))
    return record.with_exposure(index, exposure)


def _outline(key: str, text: str) -> tuple[tuple[float, float], ...]:
    points = []
    for pair in text.split(";"):
        across, comma, down = pair.partition(",")
        if not comma:
            raise Refused(f"{key}, outline must be points such as -20,-10;25,-5;10,30, got {text[:60]!r}")
        points.append((number_in(f"{key}, outline", across), number_in(f"{key}, outline", down)))
    if len(points) < 3:
        raise Refused(f"{key}, outline must have 3 points or more, got {len(points)}")
    return tuple(points)


def _burn_above(negative: Negative, record: PrintingRecord, text: str) -> PrintingRecord:
    """Return the record with everything above a place's lower edge burnt in over the edge of a card: PLACE:STOPS."""
    name, _, stops = text.partition(":")
    place = named_place(negative, "burn-above", name)
    below_mm = 0.5 * place.area[1] * frame_on_sheet(negative, record)[3] if place.area else 0.0
    horizon_mm = place_on_sheet(negative, record, place)[1] + below_mm
    added = stops_in(f"burn-above {name}", stops)
    return burnt_over(burnt_above(record, 0, horizon_mm, added), added)


def _edge_burn(negative: Negative, record: PrintingRecord, text: str) -> PrintingRecord:
    """Return the record with one edge of the picture, or all, burnt in over the edge of a card: SIDE:STOPS:MM."""
    side, *parts = text.split(":")
    if side not in (*EDGES, "all") or len(parts) != 2:
        raise Refused(f"edge-burn must be {', '.join(EDGES)} or all, stops and mm, such as top:0.3:25, got {text[:40]!r}")
    stops, reach_mm = stops_in(f"edge-burn {side}", parts[0]), number_in(f"edge-burn {side}, mm", parts[1])
    left, top, width, height = picture_on_sheet(negative, record)
    if not 0.0 < reach_mm < 0.5 * min(width, height):
        half_mm = 0.5 * min(width, height)
        raise Refused(f"edge-burn {side} must reach in by less than half the picture, {half_mm:.0f} mm, got {reach_mm:g}")
    middle = left + width / 2, top + height / 2
    lines = {"top": (middle[0], top + reach_mm), "bottom": (middle[0], top + height - reach_mm),
             "left": (left + reach_mm, middle[1]), "right": (left + width - reach_mm, middle[1])}  # fmt: skip
    soft_mm = max(SOFT_SHARE * reach_mm, LEAST_SOFT_MM)
    for name in EDGES if side == "all" else (side,):
        record = burnt_over(burnt_at_edge(record, 0, lines[name], EDGES[name], stops, soft_mm), stops)
    return record
