"""What a hand did, as advice: each fault apart, with the tone or the trace that shows it, before any light is spoken of."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scoring.advice_facts import UNIT_OF_CAUSE, Advice, Evidence
from sim.scoring.advice_of_hands import off_now
from sim.scoring.advice_on_tones import TOLD_FROM, Telling
from sim.scoring.criterion_measures import MOVED_DENSITY
from sim.scoring.hand_faults import HandFault
from sim.scoring.points import RIM_SEEN

_CAUSE = {"move": "place", "other-exposure": "place"}
_AMOUNT = {"smaller": "widths", "larger": "widths", "lower": "mm", "higher": "mm"}


def hand_advice(told: Telling) -> Iterator[Advice]:
    """Yield what the hand did, the fault that explains most first."""
    faults = told.attempt.faults
    for order, fault in enumerate(faults):
        loss = told.account.hand_loss * 0.5**order if len(faults) > 1 else told.account.hand_loss
        evidence = _tone_that_shows(told, fault)
        seen = _trace(told)
        by_trace = seen is not None and not (evidence and _strong(told, evidence))
        cause = _CAUSE.get(fault.direction, "hand")
        size = abs(evidence.off) if evidence and not by_trace else (seen[0] - seen[1] if seen else 0.0)
        yield Advice(
            cause, fault.direction, size, UNIT_OF_CAUSE[cause], fault.place, loss, fault.filter_grade and _half(told, fault),
            fault.amount, _AMOUNT.get(fault.direction, ""), (evidence,) if evidence and not by_trace else (),
            measured=seen[0] if by_trace and seen else 0.0, wanted=seen[1] if by_trace and seen else 0.0,
            over=fault.over or _reached(told, fault), tool="hole" if fault.through_hole else "tool",
        )  # fmt: skip


def _half(told: Telling, fault: HandFault) -> str:
    """Say whether the exposure that a card belongs to is the softer or the harder one."""
    exposures = told.one.record.exposures
    own = next(e for k, e in enumerate(exposures) if k == fault.card[0])
    return "soft" if fault.filter_grade < (own.filter.graded or "") or fault.filter_grade == "00" else "hard"


def _tone_that_shows(told: Telling, fault: HandFault) -> Evidence | None:
    """Return the reading that the hand put right brings nearest, in tolerances; of a place that was missed, its own."""
    aims, places = told.attempt.problem.aims.aims, told.attempt.problem.aims.places
    then = off_now(told.attempt, told.attempt.one)
    found = []
    for aim in aims:
        off = aim.off(told.now)
        if aim.hidden or abs(off) < TOLD_FROM or len(aim.at) != 1:
            continue
        own = places[aim.at[0]].name == fault.place and (fault.direction in _CAUSE or _lacks_its_card(fault, off))
        gain = (abs(off) - abs(aim.off(then))) / aim.tolerance
        if gain > 0.0 or own:
            found.append((own, gain, Evidence((places[aim.at[0]].name,), float(told.now[aim.at[0]]), off)))
    return max(found, key=lambda each: each[:2])[2] if found else None


def _lacks_its_card(fault: HandFault, off: float) -> bool:
    """Tell whether a place reads as one that its card is too small to reach: too light for a burn, too dark for a tool."""
    return fault.direction == "larger" and (off < 0.0) == fault.through_hole


def _strong(told: Telling, evidence: Evidence) -> bool:
    """Tell whether a reading lies outside its tolerance, so that it says more than the card's trace."""
    problem = told.attempt.problem
    return any(
        problem.aims.places[aim.at[0]].name == evidence.places[0] and abs(evidence.off) > aim.tolerance
        for aim in problem.aims.aims
        if len(aim.at) == 1
    )


def _trace(told: Telling) -> tuple[float, float] | None:
    """Return what is seen of the card and what may be; None where it may be seen."""
    traces = told.one.readings.traces
    if traces is None:
        return None
    even = [c.wanted for c in told.attempt.exercise.criteria if c.of_kind.cause == "evenness" and c.counts]
    most = min(even, default=RIM_SEEN)
    return (traces.seen, most) if traces.seen > most else None


def _reached(told: Telling, fault: HandFault) -> str:
    """Return the place besides its own that a card changes most and should not; empty where there is none."""
    traces = told.one.readings.traces
    if traces is None or fault.direction not in ("smaller", "lower"):
        return ""
    aims = told.attempt.problem.aims
    off = {aim.at[0]: abs(aim.off(told.now)) / aim.tolerance for aim in aims.aims if len(aim.at) == 1 and not aim.hidden}
    moved = [
        (miss, aims.places[k].name) for k, miss in off.items()
        if aims.places[k].name != fault.place and miss > 0.5 and abs(traces.change(aims.places[k])) > MOVED_DENSITY
    ]  # fmt: skip
    return max(moved)[1] if moved else ""
