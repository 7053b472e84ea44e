"""What a print's settings say, word for word the same in a lesson's lines and on the command line.

    hold-back=face:0.5:40           burn=face:0.5:40x60          a place, stops, size of the shadow in mm (round, or oval)
    burn=85,120:0.7:30:2:filter=4   a point in mm from the sheet's corner; which exposure; behind another filter
    hold-back=face:0.5:40:height=60:angle=30:still               how high, how turned, held still
    burn=face:0.5:outline=-20,-10;25,-5;10,30                    an outline of one's own, mm around the place
    burn-above=horizon:1            everything above a place's lower edge, over the edge of a card
    edge-burn=top:0.3:25            from an edge of the picture inwards: top, bottom, left, right, or all
    then=5:8                        one more exposure of the whole sheet: filter and seconds
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sim.command.lesson_lines import Act, number_in, whole_in
from sim.command.setting_options import named_place, sheet_size_mm
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.enlarger.filters import FilterSetting
    from sim.negative.negative import Negative
    from sim.printing.record import Card, Exposure, PrintingRecord

EDGES = {"top": 90.0, "bottom": 270.0, "left": 0.0, "right": 180.0}  # the way a card's edge is turned to leave that side lit
CARD_KEYS = ("height", "angle", "filter", "outline")
LEAST_SOFT_MM, SOFT_SHARE = 4.0, 0.4


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
    return record


def filter_said(act: Act, exposure: Exposure) -> FilterSetting:
    """Return the filter that a line names, else the exposure's own."""
    from sim.enlarger.filters import FilterSetting

    return FilterSetting.named(act.one("filter")) if "filter" in act.settings else exposure.filter


def then_said(first: Exposure, text: str, key: str = "then") -> Exposure:
    """Return one more exposure of the whole sheet, written FILTER:SECONDS."""
    name, colon, seconds = text.partition(":")
    if not colon or not seconds:
        raise Refused(f"{key} must be a filter and seconds such as 00:6, got {text[:40]!r}")
    from sim.enlarger.filters import FilterSetting

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
    exposure: int
    still: bool
    words: dict[str, str]


def card_said(negative: Negative, record: PrintingRecord, key: str, sign: float, text: str) -> PrintingRecord:
    """Return the record with a place or point held back or burnt in: WHERE:STOPS, and if wanted size, exposure and words."""
    from sim.printing.card_work import burnt_in, held_back
    from sim.scoring.start import with_card

    where, *parts = text.split(":")
    if not parts:
        raise Refused(f"{key} must be a place, stops and if wanted mm, such as face:0.5:40, got {text[:60]!r}")
    stops = number_in(f"{key} {where}, stops", parts[0])
    tool = _tool(f"{key} {where}", parts[1:], len(record.exposures))
    if len(parts) == 1:
        return with_card(negative, record, named_place(negative, key, where), sign * stops, tool.exposure)
    x_mm, y_mm = _where(negative, record, key, where)
    if tool.size_mm is None and "outline" not in tool.words:
        raise Refused(f"{key} with more than stops must have a size in mm, such as face:0.5:40, got {text[:60]!r}")
    wide, long = tool.size_mm or (50.0, 50.0)
    work = held_back if sign < 0 else burnt_in
    more = {name: number_in(f"{key}, {name}", tool.words[name]) for name in ("height", "angle") if name in tool.words}
    given = {"card_height_mm": more["height"]} if "height" in more else {}
    if "filter" in tool.words and sign < 0:
        raise Refused(f"{key} must stay behind its exposure's filter; only a burn may have one of its own, got {text[:60]!r}")
    made = work(record, tool.exposure, x_mm, y_mm, wide, stops, long, more.get("angle", 0.0), **given)
    index = tool.exposure if sign < 0 else len(made.exposures) - 1
    return _reshaped(made, index, tool, key, (x_mm, y_mm))


def _tool(key: str, parts: list[str], exposures: int) -> _Tool:
    """Return what the parts behind the stops say: a size, a whole number for the exposure, still, or KEY=VALUE."""
    size, exposure, still, words = None, 1, False, {}
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
    if not 1 <= exposure <= exposures:
        raise Refused(f"{key}: the exposure must be between 1 and {exposures}, got {exposure}")
    return _Tool(size, exposure - 1, still, words)


def _size(key: str, text: str) -> tuple[float, float]:
    wide, cross, long = text.lower().partition("x")
    width = number_in(f"{key}, mm", wide)
    return width, number_in(f"{key}, mm", long) if cross else width


def _where(negative: Negative, record: PrintingRecord, key: str, text: str) -> tuple[float, float]:
    """Return where a card goes: a place of the negative, or mm from the sheet's top left corner."""
    from sim.printing.make_print import place_on_sheet

    across, comma, down = text.partition(",")
    if not comma:
        return place_on_sheet(negative, record, named_place(negative, key, text))
    x_mm, y_mm = number_in(f"{key}, mm to the right", across), number_in(f"{key}, mm down", down)
    sheet = record.sheet
    if not (0.0 <= x_mm <= sheet.width_mm and 0.0 <= y_mm <= sheet.height_mm):
        raise Refused(f"{key} must lie on the sheet of {sheet.width_mm:g} x {sheet.height_mm:g} mm, got {text[:40]!r}")
    return x_mm, y_mm


def _reshaped(record: PrintingRecord, index: int, tool: _Tool, key: str, at_mm: tuple[float, float]) -> PrintingRecord:
    """Return the record with the card just made cut to an outline, held still, or its burn put behind another filter."""
    from sim.enlarger.filters import FilterSetting
    from sim.printing.record import Still

    exposure = record.exposures[index]
    card: Card = exposure.cards[-1]
    if "outline" in tool.words:
        card = replace(card, shape="outline", outline=_outline(key, tool.words["outline"]))
    if tool.still:
        card = replace(card, motion=Still(*at_mm))
    exposure = replace(exposure, cards=(*exposure.cards[:-1], card))
    if "filter" in tool.words:
        exposure = replace(exposure, filter=FilterSetting.named(tool.words["filter"]))
    return record.with_exposures(*record.exposures[:index], exposure, *record.exposures[index + 1 :])


def _outline(key: str, text: str) -> tuple[tuple[float, float], ...]:
    points = []
    for pair in text.split(";"):
        across, comma, down = pair.partition(",")
        if not comma:
            raise Refused(f"{key}, outline must be points such as -20,-10;25,-5;10,30, got {text[:60]!r}")
        points.append((number_in(f"{key}, outline", across), number_in(f"{key}, outline", down)))
    return tuple(points)


def _burn_above(negative: Negative, record: PrintingRecord, text: str) -> PrintingRecord:
    """Return the record with everything above a place's lower edge burnt in over the edge of a card: PLACE:STOPS."""
    from sim.printing.card_work import burnt_above
    from sim.printing.make_print import frame_on_sheet, place_on_sheet

    name, _, stops = text.partition(":")
    place = named_place(negative, "burn-above", name)
    below_mm = 0.5 * place.area[1] * frame_on_sheet(negative, record)[3] if place.area else 0.0
    horizon_mm = place_on_sheet(negative, record, place)[1] + below_mm
    return burnt_above(record, 0, horizon_mm, number_in("burn-above, stops", stops))


def _edge_burn(negative: Negative, record: PrintingRecord, text: str) -> PrintingRecord:
    """Return the record with one edge of the picture, or all, burnt in over the edge of a card: SIDE:STOPS:MM."""
    from sim.printing.card_work import burnt_at_edge
    from sim.printing.setup import picture_on_sheet

    side, *parts = text.split(":")
    if side not in (*EDGES, "all") or len(parts) != 2:
        raise Refused(f"edge-burn must be {', '.join(EDGES)} or all, stops and mm, such as top:0.3:25, got {text[:40]!r}")
    stops, reach_mm = number_in("edge-burn, stops", parts[0]), number_in("edge-burn, mm", parts[1])
    left, top, width, height = picture_on_sheet(negative, record)
    if not 0.0 < reach_mm < 0.5 * min(width, height):
        half_mm = 0.5 * min(width, height)
        raise Refused(f"edge-burn must reach in by less than half the picture, {half_mm:.0f} mm, got {reach_mm:g}")
    middle = left + width / 2, top + height / 2
    lines = {"top": (middle[0], top + reach_mm), "bottom": (middle[0], top + height - reach_mm),
             "left": (left + reach_mm, middle[1]), "right": (left + width - reach_mm, middle[1])}  # fmt: skip
    soft_mm = max(SOFT_SHARE * reach_mm, LEAST_SOFT_MM)
    for name in EDGES if side == "all" else (side,):
        record = burnt_at_edge(record, 0, lines[name], EDGES[name], stops, soft_mm)
    return record
