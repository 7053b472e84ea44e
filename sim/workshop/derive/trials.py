"""The trials of a lesson: the reference with exactly one decision changed, and how large its cause is, measured.

The size is what the changed decision is worth in the cause's own unit, worked out from the two records and their prints;
the advice is not asked. Afterwards advice is held to it: it must name the cause first, the size within a quarter.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import log2

from sim.enlarger.filters import GRADE_OF_FILTER
from sim.enlarger.settings import set_up
from sim.negative.negative import Place
from sim.paper.stock import find_stock
from sim.printing.flash import flash_share
from sim.printing.record import PrintingRecord
from sim.quantities import exact_f_number
from sim.refusals import Refused
from sim.scoring.checking import first_advice
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.marks import Mark
from sim.scoring.readings import PlaceReadings
from sim.scoring.trial import Trial, apply_trial, with_light
from sim.workshop.derive.broken_claims import Stop

STOPS_APART = (-3.0, 3.0)
DIGITS = 2


@dataclass(frozen=True)
class Sized:
    """A trial with its size, and the record it changes (None where only the paper used is changed)."""

    trial: Trial
    record: PrintingRecord | None


@dataclass(frozen=True)
class _Changed:
    """The two prints that a trial sets beside each other."""

    bench: LadderBench
    trial: Trial
    before: PrintingRecord
    after: PrintingRecord
    index: int

    def marks(self, kind: str) -> list[Mark]:
        """Return the marks of one kind that the changed print gets for its own negative."""
        bench = LadderBench(replace(self.bench.exercise, copies=1), self.bench.negatives, self.bench.lights)
        return [m for m in bench.marks_of([self.after]).marks if m.kind == kind and m.negative == self.index + 1]


def sized_trials(
    bench: LadderBench, reference: tuple[PrintingRecord, ...], trials: tuple[Trial, ...]
) -> tuple[tuple[Sized, ...], list[Stop]]:
    """Return every trial with its size, and a stop for each that cannot be made or whose cause advice does not name first."""
    found, stops = [], []
    for trial in trials:
        where = f"{bench.exercise.name}, trial {trial.name}"
        try:
            one = sized(bench, reference, trial)
            said = first_advice(bench.exercise, bench, reference, one.trial)
        except Refused as error:
            stops.append(Stop(where, f"{trial.cause} {trial.direction}", str(error)))
            continue
        wanted = f"{trial.cause} {trial.direction} {one.trial.size:g} {trial.place}".strip()
        if said is None:
            stops.append(Stop(where, f"advice names {wanted} first", "it names nothing"))
        elif not one.trial.is_met_by(*said):
            told = f"{said[0]} {said[1]} {said[2]:.2f} {said[3]}".strip()
            stops.append(Stop(where, f"advice names {wanted} first", f"it names {told}"))
        found.append(one)
    return tuple(found), stops


def sized(bench: LadderBench, reference: tuple[PrintingRecord, ...], trial: Trial) -> Sized:
    """Return a trial with its size measured. Raises Refused where the change cannot be made or changes nothing."""
    if trial.change.sheets_used is not None:
        over = trial.change.sheets_used - bench.exercise.box.expected_sheets
        return Sized(replace(trial, size=_told(over)), None)
    copy = trial.change.copy
    if copy >= len(reference):
        raise Refused(f"copy must be below {len(reference)}, got {copy}")
    after = apply_trial(reference, trial)[copy]
    changed = _Changed(bench, trial, reference[copy], after, bench.slots()[copy])
    return Sized(replace(trial, size=_told(_SIZES[trial.cause](changed))), after)


def _told(size: float) -> float:
    size = round(abs(size), DIGITS)
    if size == 0.0:
        raise Refused("a trial must change something that its cause is measured by, got a size of 0")
    return size


def _stops_of_light(one: _Changed) -> float:
    """Stops by which the changed exposure, or the first, got more or less light."""
    change = one.trial.change
    if change.time_stops is not None:
        return change.time_stops
    a, b = (record.exposures[change.exposure or 0] for record in (one.before, one.after))
    return log2(b.time_s / a.time_s) - 2.0 * log2(exact_f_number(b.f_number) / exact_f_number(a.f_number))


def _grades(one: _Changed) -> float:
    """Grades between the two filters of the changed exposure."""
    k = one.trial.change.exposure or 0
    names = [record.exposures[k].filter.graded for record in (one.before, one.after)]
    if None in names:
        raise Refused("a trial of contrast needs graded filters, got other ones")
    return GRADE_OF_FILTER[names[1] or ""] - GRADE_OF_FILTER[names[0] or ""]


def _stops_at_the_place(one: _Changed) -> float:
    """Stops of light that the changed print lacks (+) at the place, by what the place then reads.

    Of all its light, or of the one exposure that the trial names.
    """
    from scipy.optimize import brentq

    negative = one.bench.negatives[one.index]
    place, stock = negative.place(one.trial.place), find_stock(one.bench.exercise.paper)
    wanted = _reads(one, one.before, place)

    def off(stops: float) -> float:
        light = with_light(one.after, stops, one.trial.change.exposure)
        return PlaceReadings(negative, light, stock, one.bench.lights, (place,)).spot(place) - wanted

    low, high = STOPS_APART
    if off(low) > 0.0 or off(high) < 0.0:
        raise Refused(f"{place.name} must come within {high:g} stops of the reference, got more")
    return float(brentq(off, low, high, xtol=1e-3))


def _reads(one: _Changed, record: PrintingRecord, place: Place) -> float:
    stock = find_stock(one.bench.exercise.paper)
    return PlaceReadings(one.bench.negatives[one.index], record, stock, one.bench.lights, (place,)).spot(place)


def _width_mm(one: _Changed) -> float:
    """Millimetres between the widths of the two images."""
    negative = one.bench.negatives[one.index]
    widths = [negative.frame_mm[0] * set_up(r.enlarger, negative).print_scale for r in (one.before, one.after)]
    return widths[1] - widths[0]


def _contrast_lost(one: _Changed) -> float:
    """Contrast at 5 lp/mm that is missing from what is asked, where most is missing."""
    return max((mark.wanted - mark.measured for mark in one.marks("sharp")), default=0.0)


def _completion_lost(one: _Changed) -> float:
    """Share of the reference's time in the developer that is missing or too much."""
    return 1.0 - one.after.development.time_s / one.before.development.time_s


def _stops_past_the_window(one: _Changed) -> float:
    """Stops of time between the longest main exposure and the nearer end of the window."""
    return max((abs(log2(mark.measured / mark.wanted)) for mark in one.marks("time-window")), default=0.0)


def _halo(one: _Changed) -> float:
    """Density by which the ring around the card's place is beyond what is allowed."""
    return max((mark.miss for mark in one.marks("even")), default=0.0)


def _apart(one: _Changed) -> float:
    """Density between the two prints at the place that is to match, where they differ most."""
    exercise, negative = one.bench.exercise, one.bench.negatives[one.index]
    spots = [spot.on(negative) for c in exercise.criteria if c.kind.startswith("match") for spot in c.spots]
    return max((abs(_reads(one, one.after, p) - _reads(one, one.before, p)) for p in spots), default=0.0)


def _flash_apart(one: _Changed) -> float:
    """Shares of what the paper bears unseen between the two flashes."""
    negative, stock = one.bench.negatives[one.index], find_stock(one.bench.exercise.paper)
    shares = [flash_share(negative, record, stock) for record in (one.before, one.after)]
    return shares[1] - shares[0]


_SIZES: dict[str, Callable[[_Changed], float]] = {
    "exposure": _stops_of_light, "contrast": _grades, "local": _stops_at_the_place, "size": _width_mm,
    "sharpness": _contrast_lost, "development": _completion_lost, "time": _stops_past_the_window, "evenness": _halo,
    "match": _apart, "flash": _flash_apart,
}  # fmt: skip
