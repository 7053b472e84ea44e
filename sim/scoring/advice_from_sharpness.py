"""What would make a print sharp: focus, level, film held flat, aperture, each tried with the formula that marks sharpness.

All places that must be sharp are looked at together: focusing on one of two that lie at different depths is no remedy.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import log2

import numpy as np

from sim.control_ranges import CONTROLS
from sim.enlarger.equipment import find_lens
from sim.printing.controls import range_of
from sim.printing.make_print import place_on_sheet
from sim.printing.record import PrintingRecord
from sim.quantities import ENGRAVED_F_NUMBERS, exact_f_number
from sim.scoring.criterion_measures import Measured, measure
from sim.scoring.exercise import Criterion, Exercise
from sim.scoring.judged import Judged, JudgedPrint
from sim.scoring.points import share_for_miss
from sim.scoring.trial import timed
from sim.viewing.loupe import sharpness_at

GAIN = 0.02  # share of the points that a remedy must win to be one
SERVES = -1.0 - 1e-6  # tolerances to spare: what lies within its tolerance earns everything, as the marks have it
FOCUS_SCALES_MM = (2.0, 0.35, 0.06)  # nearer and nearer, as with a focusing magnifier


@dataclass(frozen=True)
class SettingCause:
    """What is off: measured and wanted at a place, what it needs, and by how much the control is off (signed)."""

    cause: str
    direction: str
    size: float
    place: str
    loss_points: float
    measured: float
    wanted: float
    amount: float = 0.0
    amount_unit: str = ""


@dataclass(frozen=True)
class Remedy:
    """A record with one thing changed, how it is called, and by how much the control moved."""

    record: PrintingRecord
    direction: str
    amount: float
    unit: str


Worth = Callable[[PrintingRecord], float]


def sharpness_causes(exercise: Exercise, judged: Judged, one: JudgedPrint) -> list[SettingCause]:
    """Return what one print's sharpness needs: the first single remedy that serves, else focus and aperture together."""
    criteria = [c for c in exercise.criteria if c.of_kind.cause == "sharpness" and c.counts and c.belongs_to(one.negative)]
    if not criteria:
        return []
    reads = [(c, measure(c, judged, one)) for c in criteria]
    lost = sum(c.points * (1.0 - read.share) for c, read in reads)
    if lost <= 0.0:
        return []
    full = sum(c.points for c in criteria)

    def worth(record: PrintingRecord) -> float:
        """Points, and a little for coming nearer where there are none yet."""
        contrasts = [_contrast(c, judged, one, record) for c in criteria]
        shares = [share_for_miss(min(x - c.wanted, 0.0), c.tolerance) for c, x in zip(criteria, contrasts, strict=True)]
        nearer = [min(x / c.wanted, 1.0) for c, x in zip(criteria, contrasts, strict=True)]
        return sum(c.points * (0.9 * s + 0.1 * n) for c, s, n in zip(criteria, shares, nearer, strict=True)) / full

    now = worth(one.record)

    def margin(record: PrintingRecord) -> float:
        """Contrast that the worst place has to spare beyond what is wanted, in tolerances."""
        return min((_contrast(c, judged, one, record) - c.wanted) / c.tolerance for c in criteria)

    found = _remedies(exercise, one.record, worth, now, margin)
    worst, read = max(reads, key=lambda pair: abs(pair[1].off))
    gains = sorted((max(worth(remedy.record) - now, 0.01) for remedy in found), reverse=True)  # focus comes first
    return [_cause(worst, read, remedy, lost * gain / sum(gains)) for remedy, gain in zip(found, gains, strict=True)]


def _contrast(criterion: Criterion, judged: Judged, one: JudgedPrint, record: PrintingRecord) -> float:
    negative = judged.negatives[one.negative]
    place = criterion.spots[0].on(negative)
    return sharpness_at(negative, record, *place_on_sheet(negative, record, place))


def _cause(criterion: Criterion, read: Measured, remedy: Remedy, loss: float) -> SettingCause:
    return SettingCause(
        "sharpness", remedy.direction, abs(read.off), read.place, loss, read.value, read.wanted, remedy.amount, remedy.unit
    )


def _remedies(exercise: Exercise, record: PrintingRecord, worth: Worth, now: float, margin: Worth) -> list[Remedy]:
    """Return the simplest set of remedies that serves, else the best one; nothing when none gains.

    Where several serve alone, the one that leaves the worst place most to spare: half a mark may be mended by a little focus
    moved from one place to another, and a little focus by a mark, but each mends its own fault best. Only where a larger mark
    serves is the lens stopped down past its best, whatever a hair of focus might win back.
    """
    single = [*_focus(exercise, record, worth), *_level(exercise, record), *_flat(exercise, record)]
    single += [*_apertures(exercise, record), *_apertures(exercise, record, light_kept=True)]
    gaining = [remedy for remedy in single if worth(remedy.record) > now + GAIN]
    serving = [remedy for remedy in gaining if margin(remedy.record) >= SERVES]
    if serving:
        opened = [remedy for remedy in serving if remedy.direction == "stop-up"]
        return [max(opened or serving, key=lambda remedy: margin(remedy.record))]
    pairs = (
        (replace(focus, record=record), aperture)
        for aperture in _apertures(exercise, record)
        for focus in _focus(exercise, aperture.record, worth)
        if margin(focus.record) >= SERVES and abs(focus.amount) > 0.005
    )
    pair = next(pairs, None)  # the aperture nearest to the present one that serves; the others are not tried
    if pair is not None:
        focus, aperture = pair
        return [_moved(focus, record), aperture]
    return [max(gaining, key=lambda remedy: worth(remedy.record))] if gaining else []


def _moved(focus: Remedy, record: PrintingRecord) -> Remedy:
    """Return a change of focus made on the record as it is."""
    return replace(focus, record=_focused(record, record.enlarger.focus_offset_mm + focus.amount))


def _focus(exercise: Exercise, record: PrintingRecord, worth: Worth) -> Iterator[Remedy]:
    """Yield the stage moved to where the picture is sharpest; of several positions the middle one."""
    if "focus_offset_mm" not in exercise.unlocked or record.enlarger.contact:
        return
    (low, high), best = range_of("focus_offset_mm"), record.enlarger.focus_offset_mm
    for width in FOCUS_SCALES_MM:
        offsets = np.unique(np.clip(np.append(best + np.linspace(-width, width, 15), 0.0), low, high))
        worths = np.array([worth(_focused(record, float(offset))) for offset in offsets])
        best = float(offsets[worths >= worths.max() - 1e-9].mean())
    yield Remedy(_focused(record, best), "focus", best - record.enlarger.focus_offset_mm, "mm of the negative stage")


def _focused(record: PrintingRecord, offset_mm: float) -> PrintingRecord:
    return replace(record, enlarger=replace(record.enlarger, focus_offset_mm=offset_mm))


def _level(exercise: Exercise, record: PrintingRecord) -> Iterator[Remedy]:
    """Yield easel and carrier made level, as far as they are unlocked."""
    settings = record.enlarger
    if "easel_tilt_deg" in exercise.unlocked and settings.easel_tilt_deg:
        level = replace(record, enlarger=replace(settings, easel_tilt_deg=0.0))
        yield Remedy(level, "level", -settings.easel_tilt_deg, "degrees of the easel")
    if "negative_tilt_deg" in exercise.unlocked and settings.negative_tilt_deg:
        level = replace(record, enlarger=replace(settings, negative_tilt_deg=0.0))
        yield Remedy(level, "level", -settings.negative_tilt_deg, "degrees of the carrier")


def _flat(exercise: Exercise, record: PrintingRecord) -> Iterator[Remedy]:
    """Yield the film held flat between glasses."""
    if "carrier" in exercise.unlocked and record.enlarger.carrier == "glassless":
        yield Remedy(replace(record, enlarger=replace(record.enlarger, carrier="glass")), "hold-flat", 0.0, "")


def _apertures(exercise: Exercise, record: PrintingRecord, light_kept: bool = False) -> list[Remedy]:
    """Return every other mark of the lens, the nearest first: in the same seconds, or in those that keep the light.

    Seconds count, for a film that lies free bows while the lamp burns; whether they stay, the print's tones decide.
    """
    if "f_number" not in exercise.unlocked or record.enlarger.contact:
        return []
    lens, now = find_lens(record.enlarger.lens), record.exposures[0].f_number
    found = []
    for mark, exact in ENGRAVED_F_NUMBERS:
        if lens.widest_f_number <= mark <= lens.smallest_f_number and mark != now:
            stops = 2.0 * log2(exact / exact_f_number(now))
            times = 2.0**stops if light_kept else 1.0
            dial = [min(max(e.time_s * times, CONTROLS["time_s"].low), CONTROLS["time_s"].high) for e in record.exposures]
            exposures = tuple(
                timed(replace(e, f_number=mark), time_s) for e, time_s in zip(record.exposures, dial, strict=True)
            )
            direction = "stop-down" if stops > 0 else "stop-up"
            found.append(Remedy(record.with_exposures(*exposures), direction, stops, "stops of aperture"))
    return sorted(found, key=lambda remedy: abs(remedy.amount))
