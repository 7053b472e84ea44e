"""What a lesson claims beside its tones: held against the derived reference; where one breaks, derive stops and asks."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from sim.control_ranges import CONTROLS
from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import GRADED_NAMES
from sim.notebook.control_words import filter_words
from sim.notebook.finding_words import finding_words
from sim.paper.stock import find_stock
from sim.printing.record import PrintingRecord
from sim.scoring.burn_stops import main_exposures
from sim.scoring.checking import reference_problems
from sim.scoring.criterion_kinds import KINDS
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.start import start_record
from sim.words import Words
from sim.workshop.derive.broken_claims import Stop
from sim.workshop.derive.reference import DIALLED_TIMES_S, Search
from sim.workshop.derive.wishes import Claim, Wishes

SOUGHT = ("not-without-a-card", "not-with-one-exposure", "not-without-a-flash")  # held by the best print without
MOVED_TOLERANCES = 2.0


def broken_claims(bench: LadderBench, reference: tuple[PrintingRecord, ...], wishes: Wishes) -> list[Stop]:
    """Return every claim of a lesson that its derived reference does not bear out."""
    name = bench.exercise.name
    lost = reference_problems(bench.exercise, bench, reference)
    stops = [Stop(name, "the reference earns full marks", finding_words(finding, Words())) for finding in lost]
    stops += _start_passes(bench)
    for index, record in zip(bench.slots(), reference, strict=True):
        stops += [
            Stop(f"{name}, {record.negative}", "the answer lies inside the range of its control", found)
            for found in at_an_end(bench, record, wishes.of(index))
        ]
    if "not-without-either-exposure" in wishes.claims:
        stops += _moves_little_without(bench, reference)
    if "at-neither-end-of-the-lens" in wishes.claims:
        stops += _passes_at_an_end(bench, wishes)
    claims = [claim for claim in wishes.claims if claim in SOUGHT]
    return stops + [stop for claim in claims for stop in _passes_without(bench, wishes, claim)]


def _moves_little_without(bench: LadderBench, reference: tuple[PrintingRecord, ...]) -> list[Stop]:
    """Return a stop for every exposure of the whole sheet that could be left out without a tone moving far.

    Exposures are never counted; one that no tone needs (a tenth of a second through the other filter) teaches nothing.
    """
    stops = []
    for number, record in enumerate(reference):
        mains = main_exposures(record)
        for index in mains if len(mains) > 1 else ():
            moved = tolerances_moved(bench, reference, number, index)
            if moved <= MOVED_TOLERANCES:
                one = record.exposures[index]
                left_out = f"without {one.time_s:g} s, {filter_words(one.filter)}"
                found = f"{left_out}, no tone moves by more than {moved:.1f} tolerances"
                stops.append(Stop(f"{bench.exercise.name}, {record.negative}", "not without either exposure", found))
    return stops


def tolerances_moved(
    bench: LadderBench, reference: tuple[PrintingRecord, ...], number: int, index: int
) -> float:
    """Return by how many of its tolerances the tone moves most when one exposure of a reference is left out.

    ``number`` is the record's place among the references, ``index`` the exposure's in the record, both from 0.
    """
    kept = [exposure for k, exposure in enumerate(reference[number].exposures) if k != index]
    without = (*reference[:number], reference[number].with_exposures(*kept), *reference[number + 1 :])
    before, after = bench.marks_of(reference).marks, bench.marks_of(without).marks
    tones = [(a, b) for a, b in zip(before, after, strict=True) if KINDS[a.kind].tones == "one"]
    return max((abs(b.measured - a.measured) / a.tolerance for a, b in tones), default=0.0)


def _passes_at_an_end(bench: LadderBench, wishes: Wishes) -> list[Stop]:
    """Return a stop for the widest and the smallest mark where the best print at it, its seconds free, passes."""
    stops = []
    for index in range(len(bench.negatives)):
        first = start_record(bench.exercise, bench.negatives[index], find_stock(bench.exercise.paper))
        lens = find_lens(first.enlarger.lens)
        for f_number in (lens.widest_f_number, lens.smallest_f_number):
            layout, seconds = Search(bench, wishes.of(index), index, f_number).best()
            share = bench.marks_of([layout.record(*seconds)] * bench.exercise.copies).share
            if share >= bench.exercise.pass_share:
                found = f"f/{f_number:g}, {seconds[0][0]:g} s earns {share:.0%} of the quality"
                stops.append(Stop(bench.exercise.name, "at neither end of the lens", found))
    return stops


def _start_passes(bench: LadderBench) -> list[Stop]:
    exercise, stock = bench.exercise, find_stock(bench.exercise.paper)
    marks = bench.marks_of([start_record(exercise, bench.negatives[index], stock) for index in bench.slots()])
    if not marks.passed(exercise):
        return []
    return [Stop(exercise.name, "the start does not pass", f"it earns {marks.share:.0%} of the quality")]


def at_an_end(bench: LadderBench, record: PrintingRecord, wishes: Wishes) -> list[str]:
    """Return, in words, every unlocked control that the reference has at an end of its range."""
    unlocked, found = bench.exercise.unlocked, []
    first, lens = record.exposures[0], find_lens(record.enlarger.lens)
    if "filter" in unlocked and not wishes.filters and first.filter.graded in (GRADED_NAMES[0], GRADED_NAMES[-1]):
        found.append(f"filter {first.filter.graded} is at the end of the set")
    for exposure in record.exposures if "time_s" in unlocked else ():
        if not DIALLED_TIMES_S[0] < exposure.time_s < DIALLED_TIMES_S[1]:
            found.append(f"{exposure.time_s:g} s is not between {DIALLED_TIMES_S[0]:g} and {DIALLED_TIMES_S[1]:g} s")
    if "f_number" in unlocked and first.f_number in (lens.widest_f_number, lens.smallest_f_number):
        found.append(f"f/{first.f_number:g} is at the end of the lens")
    limits = CONTROLS["height_mm"]
    if "height_mm" in unlocked and record.enlarger.height_mm in (limits.low, limits.high):
        found.append(f"{record.enlarger.height_mm:g} mm is at the end of the column")
    return found


def _passes_without(bench: LadderBench, wishes: Wishes, claim: Claim) -> list[Stop]:
    """Return a stop when the best print without cards, a flash, or through one filter, would pass all the same."""
    if claim == "not-without-a-card":
        less = replace(wishes, cards=())
    elif claim == "not-without-a-flash":
        less = replace(wishes, flash=False)
    else:
        less = replace(wishes, filters=(), prints=(), cards=tuple(replace(card, exposure=0) for card in wishes.cards))
    alone = LadderBench(replace(bench.exercise, copies=1), bench.negatives, bench.lights)
    records = []
    for index in range(len(bench.negatives)):
        layout, seconds = Search(alone, less.of(index), index).best()
        records += [layout.record(*seconds)] * bench.exercise.copies
    marks = bench.marks_of(records)
    if not marks.passed(bench.exercise):
        return []
    first = records[0].exposures[0]
    found = f"{filter_words(first.filter)}, {first.time_s:g} s earns {marks.share:.0%} of the quality"
    return [Stop(bench.exercise.name, claim.replace("-", " "), found)]


def broken_texts(folder: Path, patterns: list[tuple[str, str]], numbers: dict[str, str]) -> list[Stop]:
    """Return where a text names a number that is not derived, or gives an unlocked control's answer away."""
    import re

    from sim.reading import OutsideError, read_text
    from sim.scoring.derived import filled
    from sim.scoring.hints import MAX_TEXT_BYTES

    stops = []
    for name in ("brief.md", "hints.md", "design.md"):
        file = folder / name
        try:
            text = filled(file, read_text(file, MAX_TEXT_BYTES), numbers)
        except OutsideError as error:
            stops += [Stop(f"{folder.name}/{name}", "every number it names is derived", str(p)) for p in error.problems]
            continue
        if name != "design.md":
            given = [control for control, pattern in patterns if re.search(pattern, text, re.IGNORECASE)]
            stops += [Stop(f"{folder.name}/{name}", "it gives no answer away", f"it gives {c}") for c in given]
    return stops
