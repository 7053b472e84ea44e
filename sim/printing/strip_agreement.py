"""Whether a strip's decision and its exposures agree, and the strip that somebody laid by hand, found in what was given.

The exposures are the truth: which steps there are, where they lie and what light each got is asked of the cards and seconds
that stand in the record. A decision that says something else is refused when a file is read.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

from sim.printing.cards import shaded_share_at
from sim.printing.record import Card, Exposure, Path, PrintingRecord, Still, StripDecision, StripWay
from sim.printing.strips import (
    COVER_HEIGHT_MM,
    SAME_PLACE,
    Bands,
    Light,
    Step,
    bands_of,
    light_of,
    lying_on_paper,
    stepped_light,
    strip_in,
)
from sim.refusals import Refused

# A decision agrees with its exposures when every step's seconds do, within what a hand on a timer means by the same time,
# and what lies on the paper does, as true as a hand lays it.
AGREE_SHARE, AGREE_S, AGREE_DEG, AGREE_MM = 0.01, 0.02, 0.5, 0.5


def disagreement(record: PrintingRecord) -> tuple[str, str] | None:
    """Return the key of a record's strip that its exposures do not bear out, and the rule; None when the two agree.

    Way and direction are held against the cards; the rest against the seconds of every light that reach every step where it
    is read, card edges taken as sharp; and what lies on the paper against the step that an exposure says it is.
    """
    decision = record.strip
    if decision is None:
        return None
    if record.sheet.kind != "strip":
        return "strip", "must stand on a piece of kind strip, got a whole sheet's record"
    return (
        _other_way(record, decision)
        or _other_direction(record, decision)
        or _other_steps(record, decision)
        or _other_seconds(record, decision)
    )


def _other_way(record: PrintingRecord, decision: StripDecision) -> tuple[str, str] | None:
    stepped = [e for e in record.exposures if e.step]
    slots = [e.cards[0] for e in stepped if e.cards and e.cards[0].lets_through == "inside"]
    if len(slots) == len(stepped) > 0:
        looks: tuple[str, ...] = ("local-flash",) if stepped[-1].through == "open" else ("same-place", "burn")
    elif len(stepped) == 1 and any(isinstance(c.motion, Path) for c in stepped[0].cards):
        looks = ("covered",)
    else:
        looks = ("flash",) if any(e.through == "open" for e in stepped) else ("bursts",)
    if decision.way in looks:
        return None
    return "strip.way", f"must be {' or '.join(looks)}, which is how the exposures lie, got {decision.way}"


def _other_direction(record: PrintingRecord, decision: StripDecision) -> tuple[str, str] | None:
    for card in (c for e in record.exposures if e.step for c in e.cards[:1]):  # what a burn's hole is turned to is its own
        turn, found = (180.0, card.angle_deg) if card.lets_through == "inside" else (360.0, card.angle_deg - 180.0)
        off = (found - decision.angle_deg + turn / 2) % turn - turn / 2
        if abs(off) > AGREE_DEG:
            return "strip.angle_deg", f"must be the {found:g} degrees that the cards lie at, got {decision.angle_deg:g}"
    return None


def _other_steps(record: PrintingRecord, decision: StripDecision) -> tuple[str, str] | None:
    """Every step must be said by an exposure, and slot or cardboard must lie where the exposure's step has it."""
    said = {exposure.step for exposure in record.exposures}
    missing = [step for step in _switched(decision) if step not in said]
    if missing:
        return "strip.times_s", f"must have an exposure that says it is step {missing[0]}"
    bands = bands_of(record.sheet, decision.angle_deg, len(decision.times_s))
    for index, exposure in enumerate(record.exposures):
        lies, must = _lying_at(exposure, bands), _must_lie_at(exposure.step, decision.way, bands)
        if len(lies) != len(must) or any(abs(a - b) > AGREE_MM for a, b in zip(lies, must, strict=True)):
            rule = f"must be the step that what lies on the paper makes, got {exposure.step}"
            return f"exposures[{index}].step", rule
    return None


def _switched(decision: StripDecision) -> tuple[int, ...]:
    """Return the steps that light is switched for: the last alone where a card is drawn on under the lamp."""
    steps = range(1, len(decision.times_s) + 1)
    return (steps[-1],) if decision.way == "covered" else tuple(k for k in steps if decision.times_s[k - 1] > 0.0)


def _lying_at(exposure: Exposure, bands: Bands) -> tuple[float, ...]:
    """Return how far along the strip the slot's middle or the cardboard's edge lies (mm); of a card drawn on, at every jump."""
    card = lying_on_paper(exposure)
    if card is None:
        return ()
    dx, dy = exposure.paper_shift_mm
    if isinstance(card.motion, Path):
        return tuple(bands.along(x - dx, y - dy) for _, x, y in card.motion.points)
    return (bands.along(card.motion.x_mm - dx, card.motion.y_mm - dy),)


def _must_lie_at(step: int, way: StripWay, bands: Bands) -> tuple[float, ...]:
    """Return where that must lie in an exposure that says it is a step (0: of the whole piece, so nothing may lie there)."""
    if step == 0:
        return ()
    if way in SAME_PLACE:
        return (bands.middles_mm[step - 1],)
    if way == "covered":
        return (bands.marks_mm[0], *(mark for k in range(step - 1) for mark in bands.marks_mm[k : k + 2]))
    return (bands.marks_mm[step - 1],) if step > 1 else ()


def _other_seconds(record: PrintingRecord, decision: StripDecision) -> tuple[str, str] | None:
    each: dict[Light, float] = {}
    for exposure in decision.each:
        each[light_of(exposure)] = each.get(light_of(exposure), 0.0) + exposure.time_s
    stepped = light_of(stepped_light(decision, max(decision.times_s)))
    for step, time_s in zip(strip_in(record).steps, decision.times_s, strict=True):  # type: ignore[union-attr]
        wanted = {**each, stepped: each.get(stepped, 0.0) + time_s}
        found = _seconds_at(record, step)
        for light in {*wanted, *found}:
            want, got = wanted.get(light, 0.0), found.get(light, 0.0)
            if abs(want - got) > max(AGREE_S, AGREE_SHARE * want):
                key = "strip.times_s" if light == stepped else "strip.each"
                said = f"step {step.number} is said to get {want:.2f} s, the exposures give it {got:.2f} s"
                return key, f"must say what the exposures gave at f/{light[0]:g} with filter {light[1].name}: {said}"
    return None


def _seconds_at(record: PrintingRecord, step: Step) -> dict[Light, float]:
    """Return the dialled seconds of every light at the middle of a step."""
    found: dict[Light, float] = {}
    for exposure in record.exposures:
        dx, dy = exposure.paper_shift_mm
        lit = 1.0
        for card in exposure.cards:
            stop_s = min(card.stop_s or exposure.time_s, exposure.time_s)
            if stop_s > card.start_s:
                dark = shaded_share_at(card, step.x_mm + dx, step.y_mm + dy, card.start_s, stop_s)
                lit -= dark * (stop_s - card.start_s) / exposure.time_s
        found[light_of(exposure)] = found.get(light_of(exposure), 0.0) + max(lit, 0.0) * exposure.time_s
    return found


def as_covered_by_hand(record: PrintingRecord) -> PrintingRecord:
    """Return the record with its strip, when somebody exposed a piece whole, covered it by even steps and exposed again.

    What does not look like that is returned as it is: a piece exposed in a way of its own, which has no steps.
    """
    first, *more = record.exposures
    cards = [e.cards[0] for e in more if len(e.cards) == 1 and _lies_as_cover(e.cards[0])]
    plain = not first.cards and not any(any(e.paper_shift_mm) for e in record.exposures)
    if record.sheet.kind != "strip" or not more or len(cards) != len(more) or not plain:
        return record
    if len({light_of(e) for e in record.exposures}) > 1 or first.through != "negative":
        return record
    times = tuple(round(t, 4) for t in itertools.accumulate(e.time_s for e in record.exposures))
    stepped = tuple(replace(e, step=k + 1) for k, e in enumerate(record.exposures))
    try:
        decision = StripDecision("bursts", times, first.f_number, first.filter, cards[0].angle_deg - 180.0)
        found = replace(record, exposures=stepped, strip=decision)
    except Refused:
        return record
    return found if disagreement(found) is None and _edges_are_even(found, cards) else record


def _lies_as_cover(card: Card) -> bool:
    return card.shape == "edge" and card.card_height_mm == COVER_HEIGHT_MM and isinstance(card.motion, Still)


def _edges_are_even(record: PrintingRecord, cards: list[Card]) -> bool:
    """Tell whether cardboard ended where one step meets the next: a piece laid by hand lies no truer than half a mm."""
    assert record.strip is not None
    bands = bands_of(record.sheet, record.strip.angle_deg, len(record.strip.times_s))
    for card, mark in zip(cards, bands.marks_mm[1:-1], strict=True):
        motion = card.motion
        if not isinstance(motion, Still) or abs(card.angle_deg - cards[0].angle_deg) > 0.1:
            return False
        if abs(bands.along(motion.x_mm, motion.y_mm) - mark) > AGREE_MM:
            return False
    return True
