"""From a line's settings to a printing record: what is not named stays as the lesson begins, or as in an earlier sheet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from sim.command.lesson_lines import Act, number_in, whole_in
from sim.command.setting_options import named_place, sheet_size_mm
from sim.command.typed_work import typed_exposure, with_typed_burn_above, with_typed_card
from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.enlarger.filters import FilterSetting
    from sim.negative.negative import Negative
    from sim.printing.record import Exposure, PrintingRecord
    from sim.teaching.lesson import LessonRun

STRIP_FIRST_S, STRIP_STEP_STOPS, STRIP_STEPS = 2.0, 0.5, 7


def print_record(run: LessonRun, act: Act) -> PrintingRecord:
    """Return the record of a whole print. Raises ValueError in words."""
    negative, record = _base(run, act)
    first = record.exposures[0]
    time_s = act.number("time", first.time_s)
    exposures = [replace(first, time_s=time_s, filter=_filter(act, first), f_number=act.number("f-number", first.f_number))]
    kept = () if "time" in act.settings or "then" in act.settings else record.exposures[1:]
    exposures += [typed_exposure(exposures[0], text, "then") for text in act.settings.get("then", [])]
    record = record.with_exposures(*(replace(e, light_s=None) for e in (*exposures, *kept)))
    for key, sign in (("hold-back", -1.0), ("burn", 1.0)):
        for text in act.settings.get(key, []):
            record = with_typed_card(negative, record, key, sign, text)
    for text in act.settings.get("burn-above", []):
        record = with_typed_burn_above(negative, record, text)
    return record


def strip_record(run: LessonRun, act: Act) -> PrintingRecord:
    """Return the record of a strip, a quarter sheet across a place. Raises ValueError in words."""
    from sim.printing.strips import lay_strip, linear_times_s, stop_times_s
    from sim.teaching.strip_verdict import deciding_place
    from sim.teaching.worked_example import strip_across

    negative, record = _base(run, act)
    exposure = record.exposures[0]
    place = act.one("at") or deciding_place(run.exercise, negative, run.negatives.index(negative))
    if place:
        named_place(negative, "at", place)
    if "stops" in act.settings and "seconds" in act.settings:
        raise Refused("a strip must step in stops or in seconds, got both")
    first, steps = act.number("first", STRIP_FIRST_S), whole_in("steps", act.one("steps", str(STRIP_STEPS)))
    times = (
        linear_times_s(first, act.number("seconds", 1.0), steps)
        if "seconds" in act.settings
        else stop_times_s(first, act.number("stops", STRIP_STEP_STOPS), steps)
    )
    way = act.one("way", "same-place")
    if way not in ("bursts", "covered", "same-place"):
        raise Refused(f"way must be one of bursts, covered, same-place, got {way[:40]!r}")
    each = tuple(typed_exposure(exposure, text, "over") for text in act.settings.get("over", []))
    piece = strip_across(negative, record, place)
    laid = lay_strip(
        piece.record, times, act.number("f-number", exposure.f_number), _filter(act, exposure),
        way, act.number("along", 0.0), each, piece.at_mm,  # type: ignore[arg-type]
    )  # fmt: skip
    return laid.record


def _filter(act: Act, exposure: Exposure) -> FilterSetting:
    from sim.enlarger.filters import FilterSetting

    return FilterSetting.named(act.one("filter")) if "filter" in act.settings else exposure.filter


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
    return negative, _set_up(act, record)


def _set_up(act: Act, record: PrintingRecord) -> PrintingRecord:
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
