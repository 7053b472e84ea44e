"""What a strip in a lesson can be asked, and what its readings say: only what its steps really show.

Where every step shows a wanted tone, one of them can be called right. Where they do not, each wanted tone can still be
judged in the step that shows it, for its own place alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sim.enlarger.light_given import expected_light_s
from sim.enlarger.settings import head_of
from sim.negative.negative import Negative, NoSuchPlace, Place
from sim.printing.flash import only_flashed
from sim.printing.make_print import Print
from sim.printing.record import PrintingRecord
from sim.quantities import factor_to_stops
from sim.scoring.criterion_kinds import EXACT_TONE_KINDS, TONE_KINDS
from sim.scoring.exercise import Criterion, Exercise
from sim.scoring.start import card_places
from sim.teaching.lesson_looks import Verdict, side_of, verdict_on_strip
from sim.viewing.strip_tones import ToneInStep, read_strip_on_tone, read_tone, steps_that_show


@dataclass(frozen=True)
class WantedTone:
    """A tone that is asked for at a named place of a negative, and how far off still counts (densities)."""

    place: str
    wanted: float
    tolerance: float


@dataclass(frozen=True)
class StripAsked:
    """What a strip can be asked: the wanted tone that every step shows, if one is; ``parts`` are tones that only some show."""

    everywhere: WantedTone | None
    parts: tuple[tuple[WantedTone, ToneInStep], ...] = ()


@dataclass(frozen=True)
class PartRead:
    """What a wanted tone reads in the step that shows it: lighter, right or darker, and that step's seconds.

    ``itself`` when it is the place that lies there, not a part of the picture as dense as it.
    """

    place: str
    step: int
    time_s: float
    density: float
    tone: str
    itself: bool = True


@dataclass(frozen=True)
class StripSeen:
    """A strip as it is read: the verdict, and where no tone is everywhere each tone in the step that shows it."""

    verdict: Verdict
    parts: tuple[PartRead, ...] = ()


def wanted_tones(exercise: Exercise, negative: Negative, index: int) -> tuple[WantedTone, ...]:
    """Return the tones wanted of a negative (0-based index) at named places, in the order in which they decide the time.

    The lightest that must keep its surface comes first; one-sided wishes and places that a card works on come last.
    """
    worked = places_under_cards(exercise, negative)
    found: list[tuple[bool, bool, float, WantedTone]] = []
    for criterion in exercise.criteria:
        name = _place_of(criterion, negative) if criterion.belongs_to(index) else None
        if name is not None:
            tone = WantedTone(name, criterion.wanted, criterion.tolerance)
            found.append((name in worked, criterion.kind not in EXACT_TONE_KINDS, criterion.wanted, tone))
    return tuple(entry[3] for entry in sorted(found, key=lambda entry: entry[:3]))


def places_under_cards(exercise: Exercise, negative: Negative) -> frozenset[str]:
    """Return the named places that a card is meant for, and those that lie within the reach of one: the card decides them."""
    if "cards" not in exercise.unlocked:
        return frozenset()
    meant = card_places(exercise, negative)
    return frozenset(place.name for place in negative.places if any(_lies_within(place, other) for other in meant))


def _lies_within(place: Place, other: Place) -> bool:
    """Tell whether a place is another, or lies in the oval of its area."""
    if place.name == other.name or other.area is None:
        return place.name == other.name
    across, down = (place.x - other.x) / other.area[0], (place.y - other.y) / other.area[1]
    return across**2 + down**2 <= 0.25


def _place_of(criterion: Criterion, negative: Negative) -> str | None:
    if criterion.kind not in TONE_KINDS or not criterion.counts or criterion.hidden:
        return None
    name = criterion.spots[0].known_as(negative.places)
    return name if any(place.name == name for place in negative.places) else None


def deciding_place(exercise: Exercise, negative: Negative, index: int = 0) -> str:
    """Return the place whose tone decides the time: the lightest wanted one that the whole sheet's light must set.

    A place that a card works on is the answer only where no other tone is asked for. Empty when none is.
    """
    tones = wanted_tones(exercise, negative, index)
    return tones[0].place if tones else ""


def strip_asked(tones: Sequence[WantedTone], negative: Negative, record: PrintingRecord) -> StripAsked:
    """Return what a strip can be asked, from negative and geometry alone: nothing is read, so it may be said before looking.

    Of several steps that show a tone the middle one is asked about, the place itself before a part as dense as it. A strip of
    flashes alone shows none of the picture.
    """
    if only_flashed(record):
        return StripAsked(None)
    parts: list[tuple[WantedTone, ToneInStep]] = []
    for tone in tones:
        try:
            found = steps_that_show(negative, record, tone.place)
        except NoSuchPlace:
            continue
        if found and all(found):
            return StripAsked(tone, tuple(parts))
        shown = [one for one in found if one is not None]
        best = [one for one in shown if one.itself] or shown
        if best:
            parts.append((tone, best[len(best) // 2]))
    return StripAsked(None, tuple(parts))


def strip_seen(
    tones: Sequence[WantedTone], negative: Negative, record: PrintingRecord, sheet: Print
) -> StripSeen:
    """Return what a strip's readings say, and nothing that its steps do not show."""
    asked = strip_asked(tones, negative, record)
    if asked.everywhere is not None:
        tone = asked.everywhere
        reading = read_strip_on_tone(tone.place, negative, record, sheet)
        return StripSeen(verdict_on_strip(reading, tone.wanted, tone.tolerance, tone.place))
    parts = tuple(_part(record, sheet, tone, at) for tone, at in asked.parts)
    first = parts[0] if parts else None
    if first is None:
        return StripSeen(Verdict(), parts)
    return StripSeen(Verdict(tone=first.tone, place=first.place, in_step=first.step, as_dense=not first.itself), parts)


def _part(record: PrintingRecord, sheet: Print, tone: WantedTone, at: ToneInStep) -> PartRead:
    assert record.strip is not None, "only a strip has steps that show something"
    density = read_tone(sheet, at)
    side = side_of(density - tone.wanted, tone.tolerance, ("lighter", "darker"))
    return PartRead(tone.place, at.step, record.strip.times_s[at.step - 1], density, side, at.itself)



def lost_in_bursts(record: PrintingRecord, step: int) -> float:
    """Return the stops of light that a step laid in bursts lost against one exposure of the same seconds: 0 for other ways.

    Every switching loses the lamp's coming and gains its last glow (``sim/enlarger/light_given.py``).
    """
    bursts = [exposure.time_s for exposure in record.exposures if exposure.step and exposure.step <= step]
    if record.strip is None or record.strip.way != "bursts" or len(bursts) < 2:
        return 0.0
    head = head_of(record.enlarger)
    given = sum(expected_light_s(time_s, head) for time_s in bursts)
    return factor_to_stops(expected_light_s(sum(bursts), head) / given) if given > 0.0 else 0.0
