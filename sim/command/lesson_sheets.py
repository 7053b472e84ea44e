"""From a line's settings to a printing record: what is not named stays as the lesson begins, or as in an earlier sheet."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

from sim.command.lesson_lines import Act, whole_in
from sim.command.printing_lines import burnt_past, check_burnt_past, filter_said, print_said, set_up_said, then_said
from sim.command.setting_options import named_place
from sim.negative.negative import Negative
from sim.printing.flash import USUAL_DIMMED_STOPS
from sim.printing.record import FLASHES, Exposure, PrintingRecord, StripWay
from sim.printing.strips import lay_strip, step_times_s
from sim.refusals import Refused
from sim.teaching.lesson import LessonRun
from sim.teaching.strip_verdict import deciding_place
from sim.teaching.worked_example import strip_across

STRIP_FIRST_S, STRIP_STEP_STOPS, STRIP_STEPS = 2.0, 0.5, 7


def print_record(run: LessonRun, act: Act) -> PrintingRecord:
    """Return the record of a whole print. Raises Refused in words."""
    negative, record = _base(run, act)
    return print_said(negative, record, act)


def strip_record(run: LessonRun, act: Act) -> PrintingRecord:
    """Return the record of a strip, a quarter sheet across a place. Raises Refused in words."""
    negative, record = _base(run, act)
    exposure = record.exposures[0]
    place = act.one("at") or deciding_place(run.exercise, negative, run.negatives.index(negative))
    if place:
        named_place(negative, "at", place)
    way = act.one("way", "same-place")
    if way not in get_args(StripWay):
        raise Refused(f"way must be one of {', '.join(get_args(StripWay))}, got {way[:40]!r}")
    each = tuple(then_said(exposure, text, "over") for text in act.settings.get("over", []))
    through, past = act.one("through"), act.one("past")
    check_burnt_past(way, through, past, bool(each))
    if "dimmed" in act.settings and way not in FLASHES:
        raise Refused(f"dimmed must stand with way=flash or way=local-flash only, got way={way}")
    dimmed_stops = act.number("dimmed", USUAL_DIMMED_STOPS) if way in FLASHES else 0.0
    piece = strip_across(negative, record, place)
    laid = lay_strip(
        piece.record, _times_s(act, way, each), act.number("f-number", exposure.f_number), filter_said(act, exposure),
        way, act.number("along", 0.0), each, piece.at_mm, dimmed_stops,  # type: ignore[arg-type]
    )  # fmt: skip
    return burnt_past(laid, piece.record, through, past, piece.at_mm).record


def _times_s(act: Act, way: str, each: tuple[Exposure, ...]) -> tuple[float, ...]:
    """Return the steps' seconds, even stops or even seconds apart; of burns in stops of what they are laid over."""
    if "stops" in act.settings and "seconds" in act.settings:
        raise Refused("a strip must step in stops or in seconds, got both")
    if way == "burn" and "first" in act.settings and "seconds" not in act.settings:
        raise Refused("first must stand with seconds in a strip of burns, whose first step in stops is none, got it alone")
    return step_times_s(
        act.number("first", STRIP_FIRST_S), act.number("stops", STRIP_STEP_STOPS),
        act.number("seconds", 1.0) if "seconds" in act.settings else None,
        whole_in("steps", act.one("steps", str(STRIP_STEPS))), each[0].time_s if way == "burn" else None,
    )  # fmt: skip


def _base(run: LessonRun, act: Act) -> tuple[Negative, PrintingRecord]:
    """Return the negative and the record that a line starts from, set up as the line says."""
    names = [negative.name for negative in run.negatives]
    like = act.one("like")
    if like:
        number = whole_in("like", like)
        sheets = run.evening.state.sheets
        if not 1 <= number <= len(sheets):
            made = f"between 1 and {len(sheets)}" if sheets else "made before, and there is none yet"
            raise Refused(f"like must be a sheet {made}, got {number}")
        earlier = sheets[number - 1].record
    name = act.one("negative") or (earlier.negative if like else names[0])
    if name not in names:
        raise Refused(f"negative must be one of {', '.join(names)}, got {name[:60]!r}")
    negative = run.negatives[names.index(name)]
    record = run.start(name)
    if like and earlier.sheet.kind == "strip":  # a strip's set-up, not its pieces of time
        one = replace(record.exposures[0], f_number=earlier.exposures[-1].f_number, filter=earlier.exposures[-1].filter)
        record = replace(record, enlarger=earlier.enlarger, development=earlier.development).with_exposures(one)
    elif like:
        record = replace(earlier, negative=name, negative_digest=negative.digest)
    return negative, set_up_said(act, run.in_this_bath(record))
