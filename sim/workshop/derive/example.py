"""The worked example of a lesson as facts: the strip that is shown, its right step, and what the print decides.

The strip is the one that ``teaching`` plays; here it is printed and read at the place it lies on.
"""

from __future__ import annotations

from typing import Any

from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.printing.record import Exposure, PrintingRecord
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.start import start_record
from sim.teaching.strip_verdict import deciding_place, wanted_tones
from sim.teaching.worked_example import fineness, plan_of
from sim.viewing.strip_reading import read_strip_at, shown_in_every_step
from sim.workshop.derive.broken_claims import Stop


def derived_example(
    bench: LadderBench, reference: tuple[PrintingRecord, ...]
) -> tuple[dict[str, Any], list[Stop]]:
    """Return the shown strip with its readings and right step, and every decision against the start; and what broke."""
    strip, stops = _strip(bench, reference)
    stock = find_stock(bench.exercise.paper)
    decided = [
        _decided(start_record(bench.exercise, bench.negatives[index], stock), record)
        for index, record in zip(bench.slots(), reference, strict=True)
    ]
    return {"strip": strip, "decisions": decided}, stops


def _strip(
    bench: LadderBench, reference: tuple[PrintingRecord, ...]
) -> tuple[dict[str, Any] | None, list[Stop]]:
    exercise, negative = bench.exercise, bench.negatives[0]
    plan = plan_of("completion", exercise, bench.negatives, reference)
    if not plan or plan[0].record.strip is None:
        return None, []
    record, decision, place = plan[0].record, plan[0].record.strip, deciding_place(exercise, negative)
    facts: dict[str, Any] = {
        "way": decision.way, "place": place, "times_s": [round(time_s, 2) for time_s in decision.times_s],
        "f_number": decision.f_number, "filter": decision.filter.graded,
    }  # fmt: skip
    where = f"{exercise.name}, the strip that is shown"
    if place not in shown_in_every_step(negative, record):
        return facts, [Stop(where, f"every step shows {place}", "some steps do not")]
    sheet = make_print(negative, record, find_stock(exercise.paper), fineness(negative, record))
    reading = read_strip_at(place, negative, record, sheet)
    time_s = reference[0].exposures[0].time_s
    right = min(range(len(decision.times_s)), key=lambda k: abs(decision.times_s[k] / time_s - 1.0))
    facts |= {"reads": [round(density, 2) for density in reading.densities], "right_step": right + 1}
    stops = []
    if right in (0, len(decision.times_s) - 1):
        stops.append(Stop(where, "the right step has others on both sides", f"it is step {right + 1}"))
    wanted = wanted_tones(exercise, negative, 0)[0].wanted
    nearest = reading.nearest(wanted)
    if nearest != right:
        found = f"step {nearest + 1} reads {reading.densities[nearest]:.2f}, step {right + 1} {reading.densities[right]:.2f}"
        stops.append(Stop(where, f"its right step comes nearest to the tone wanted of {place} ({wanted:.2f})", found))
    return facts, stops


def _decided(start: PrintingRecord, record: PrintingRecord) -> list[dict[str, Any]]:
    """Return every control that the reference sets otherwise than the start, with both values."""
    pairs: list[tuple[str, Any, Any]] = [
        ("height_mm", start.enlarger.height_mm, record.enlarger.height_mm),
        ("focus_offset_mm", start.enlarger.focus_offset_mm, record.enlarger.focus_offset_mm),
        ("development_time_s", start.development.time_s, record.development.time_s),
    ]
    first = start.exposures[0]
    for key in ("time_s", "f_number", "filter"):
        pairs.append((key, _value(first, key), [_value(exposure, key) for exposure in record.exposures]))
    out = [
        {"control": control, "start": before, "reference": after}
        for control, before, after in pairs
        if after not in (before, [before] * len(record.exposures))
    ]
    cards = [card for exposure in record.exposures for card in exposure.cards]
    return out + ([{"control": "cards", "start": 0, "reference": len(cards)}] if cards else [])


def _value(exposure: Exposure, key: str) -> Any:
    return exposure.filter.graded if key == "filter" else getattr(exposure, key)
