"""What a lesson does for the learner: the worked example, the example with its last steps left out, and what is locked.

New skill: everything is shown, then the last steps are left to the learner, then the learner works alone. What is shown
are the decisions of the reference record, each with its reason in stops, steps or millimetres.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from sim.enlarger.equipment import find_lens
from sim.enlarger.geometry import magnification_at_height
from sim.negative.negative import Negative, NoSuchPlace
from sim.notebook.control_words import control_words, filter_words
from sim.notebook.record_words import purpose
from sim.paper.stock import find_stock
from sim.printing.flash import flashes
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import Exposure, PrintingRecord
from sim.printing.setup import StripPiece, strip_on
from sim.printing.strips import lay_strip, lights_of, stop_times_s
from sim.quantities import exact_f_number, factor_to_stops
from sim.scoring.burn_stops import burn_of, main_exposures
from sim.scoring.criterion_kinds import TONE_KINDS
from sim.scoring.derived import read_reference, read_shown, reference_file
from sim.scoring.exercise import Exercise
from sim.scoring.start import Moved, locked_changes, start_record
from sim.teaching.strip_verdict import deciding_place
from sim.viewing.plain_names import plain_name
from sim.words import Words

STRIP_STEPS, STRIP_STOPS = 7, 0.5
SHORTEST_STEP_S = 0.5
FADED = {"example": ("example", "completion"), "completion": ("completion",), "solo": ()}
CLEAN_TO_SKIP = 2
LEAST_TOLD_STOPS, ABOVE_ONE = 0.05, 1.05  # what rounds to 0.0 is not told; what rounds to 1.0 is one stop and no more
STRIP_PX_PER_MM = 2.5  # spots read within 0.01 of what the negative's own pixels give (three lessons), in a sixth of the time


@dataclass(frozen=True)
class Played:
    """One piece of paper that the lesson makes: its record, and the decisions behind it in words."""

    record: PrintingRecord
    words: tuple[str, ...]


def mode_for(declared: str, attempt: int, clean_successes: int = 0) -> str:
    """Return how an attempt is worked: example, completion, solo in turn; two clean successes skip what is shown."""
    if clean_successes >= CLEAN_TO_SKIP:
        return "solo"
    fading = FADED[declared]
    return fading[attempt - 1] if 1 <= attempt <= len(fading) else "solo"


def read_references(folder: Path) -> tuple[PrintingRecord, ...]:
    """Return the reference records of an exercise; empty when the folder holds none (as what learners are given)."""
    return read_reference(folder) if reference_file(folder).is_file() else ()


def shown_negatives(folder: Path, exercise: Exercise) -> tuple[str, ...]:
    """Return the negatives of the worked example, others than are practised on; empty when the folder has none."""
    names = tuple(dict.fromkeys(record.negative for record in read_shown(folder)))
    return names if len(names) == len(exercise.negatives) else ()


def plan_of(
    mode: str, exercise: Exercise, negatives: Sequence[Negative], references: Sequence[PrintingRecord]
) -> tuple[Played, ...]:
    """Return what is shown: in an example everything, in a completion all but the last print, alone nothing.

    References made for other negatives are not shown: their numbers would be wrong here.
    """
    names = [negative.name for negative in negatives]
    fitting = [record for record in references if record.negative in names]
    if mode not in ("example", "completion") or len(fitting) < len(names) * exercise.copies:
        return ()
    by_name = {negative.name: negative for negative in negatives}
    plan: list[Played] = []
    if "time_s" in exercise.unlocked:
        plan.append(_shown_strip(exercise, by_name[fitting[0].negative], fitting[0], names.index(fitting[0].negative)))
    for record in fitting:
        start = start_record(exercise, by_name[record.negative], find_stock(exercise.paper))
        plan.append(Played(record, decisions(start, record)))
    return tuple(plan if mode == "example" else plan[:-1])


def _shown_strip(exercise: Exercise, negative: Negative, reference: PrintingRecord, index: int) -> Played:
    """Return a half-stop strip across the tone that decides; the right step lies in another place for every exercise.

    Of a pair the first light is stepped and every step gets the other whole, so that the right step is that of the print.
    """
    exposure, *others = (reference.exposures[k] for k in (*main_exposures(reference), *flashes(reference)))
    digest = hashlib.sha256(exercise.name.encode()).digest()[0]
    first_s = max(SHORTEST_STEP_S, round(exposure.time_s * 2.0 ** (-STRIP_STOPS * (2 + digest % 3)), 1))
    start = replace(
        start_record(exercise, negative, find_stock(exercise.paper)), enlarger=reference.enlarger,
        development=reference.development,
    )  # fmt: skip
    place = deciding_place(exercise, negative, index)
    piece, times = strip_across(negative, start, place), stop_times_s(first_s, STRIP_STOPS, STRIP_STEPS)
    each = tuple(replace(one, cards=(), light_s=None) for one in others)
    laid = lay_strip(piece.record, times, exposure.f_number, exposure.filter, "same-place", each=each, home_mm=piece.at_mm)
    over = " and ".join(_in_words(one) for one in others)
    words = (
        f"First a strip: a quarter sheet, {STRIP_STEPS} steps, every step showing the same place"
        f"{': the ' + plain_name(place) if place else ''}. Each gets half a stop more than the last, 1.4 times its seconds.",
        "So the steps look evenly spaced, and the right one can be found between too light and too dark.",
        *((f"Every step got {over} as well; what grows is the light with {filter_words(exposure.filter)}.",) if over else ()),
    )
    return Played(laid.record, words)


def _in_words(exposure: Exposure) -> str:
    """Return an exposure that every step gets whole: its seconds and filter, or that it is a flash."""
    if exposure.through == "open":
        return f"a flash of {exposure.time_s:g} s"
    return f"{exposure.time_s:g} s with {filter_words(exposure.filter)}"


def main_place(exercise: Exercise, negative: Negative) -> str:
    """Return the place whose tone is worth most on a negative; empty when no tone is marked."""
    tones = [c for c in exercise.criteria if c.kind in TONE_KINDS and c.counts and not c.hidden]
    for criterion in sorted(tones, key=lambda c: -c.points):
        spot = criterion.spots[0]
        known = spot.known_as(negative.places)
        if known is not None:
            return known
    return ""


def strip_across(negative: Negative, record: PrintingRecord, place: str = "") -> StripPiece:
    """Return the record on a quarter of its sheet laid across a place (the middle when there is none)."""
    try:
        spot = negative.place(place) if place else None
    except NoSuchPlace:
        spot = None
    x, y = (spot.x, spot.y) if spot else (0.5, 0.5)
    return strip_on(negative, record, x, y)


def fineness(negative: Negative, record: PrintingRecord) -> float | None:
    """Return the pixels per mm at which a lesson prints: a strip coarser (seven slots cost seven times), a sheet as it is."""
    if record.sheet.kind != "strip":
        return None
    _, _, width_mm, _ = frame_on_sheet(negative, record)
    return min(STRIP_PX_PER_MM, negative.silver_density.shape[1] / width_mm)


def decisions(start: PrintingRecord, record: PrintingRecord) -> tuple[str, ...]:
    """Return in words what a record decides against the start, largest work last."""
    words = [*_set_up(start, record)]
    first, now = start.exposures[0], record.exposures[0]
    if now.f_number != first.f_number:
        words.append(_other_mark(start, record))
    if now.filter != first.filter:
        words.append(f"{filter_words(now.filter)} instead of {filter_words(first.filter)}: the range between light and dark "
                     "places decides the contrast.")  # fmt: skip
    mains = main_exposures(record)
    if now.time_s != first.time_s and len(mains) == 1:  # of a pair neither half is the sheet's light
        words.append(_other_seconds(start, record))
    if len(mains) > 1:
        each = (record.exposures[k] for k in mains)
        parts = ", then ".join(f"{one.time_s:g} s with {filter_words(one.filter)}" for one in each)
        words.append(f"The sheet is exposed {len(mains)} times: {parts}. Soft light sets the lights, hard light the darks.")
    words += [
        f"The sheet is flashed: {record.exposures[k].time_s:g} s without the negative, as much as this paper bears unseen, so "
        "that the faintest light of the picture shows."
        for k in flashes(record)
    ]
    for index, exposure in enumerate(record.exposures):
        burn, half = burn_of(record.exposures, index), f" in the light of {filter_words(exposure.filter)} alone"
        for card in exposure.cards:
            said = burn is not None and not card.note  # the burn's own words say which light
            words.append(f"A card: {purpose(card, exposure, burn) or card.shape}{half if len(mains) > 1 and not said else ''}.")
    return tuple(words) or ("Nothing is changed against the start.",)


def _other_mark(start: PrintingRecord, record: PrintingRecord) -> str:
    """Return why the lens stands at another mark: what it makes of the shortest exposure of the whole sheet."""
    before, now = start.exposures[0].f_number, record.exposures[0].f_number
    shortest_s = min(record.exposures[k].time_s for k in main_exposures(record))
    then_s = shortest_s * (before / now) ** 2
    which = "the shortest exposure" if len(main_exposures(record)) > 1 else "the exposure"
    return f"The lens goes from f/{before:g} to f/{now:g}: {which} lasts {shortest_s:.2g} s, where it would last {then_s:.2g}."


def _other_seconds(start: PrintingRecord, record: PrintingRecord) -> str:
    """Return why the seconds are others, with the light that comes of them and of all else that was changed."""
    first, now = start.exposures[0], record.exposures[0]
    stops = light_against(start, record)
    if first.f_number == now.f_number:
        seconds = f"{now.time_s:g} s instead of {first.time_s:g} s"
    else:
        seconds = f"{now.time_s:g} s at f/{now.f_number:g} instead of {first.time_s:g} s at f/{first.f_number:g}"
    if stops is None:
        return f"{seconds}, chosen for the light tones: through another set-up it is no count of light."
    change = stops_of_light(stops)
    counted = " on the paper, with what the head's new height does to it" if _projection_stops(start, record) else ""
    behind = ", not counting what the other filter does to it" if first.filter != now.filter else ""
    return f"{seconds}: {change}{counted}{behind}, chosen for the light tones."


def light_against(before: PrintingRecord, record: PrintingRecord) -> float | None:
    """Return the stops of light (+ more) that a record's first exposure gives the paper against another's, filters left out.

    Dialled seconds, the exact aperture and the head's height count; None where head, lens or contact differ, for then none
    of the three says what light there is.
    """
    projection = _projection_stops(before, record)
    if projection is None:
        return None
    first, now = before.exposures[0], record.exposures[0]
    opened = 2.0 * factor_to_stops(exact_f_number(first.f_number) / exact_f_number(now.f_number))
    return factor_to_stops(now.time_s / first.time_s) + opened + projection


def _projection_stops(before: PrintingRecord, record: PrintingRecord) -> float | None:
    """Return the stops of light (+ more) that the head's height alone makes, 0 below what is told; None for other set-ups.

    Light on the easel goes with (1 + magnification) to the power of -2, as of every lens at one aperture.
    """
    a, b = before.enlarger, record.enlarger
    if (a.head, a.lens, a.contact, a.lamp_voltage_share) != (b.head, b.lens, b.contact, b.lamp_voltage_share):
        return None
    if a.height_mm == b.height_mm:
        return 0.0
    if a.contact:
        return None
    focal_mm = find_lens(a.lens).focal_mm
    low, high = (1.0 + magnification_at_height(focal_mm, one.height_mm) for one in (a, b))
    stops = 2.0 * factor_to_stops(low / high)
    return stops if abs(stops) >= LEAST_TOLD_STOPS else 0.0


def stops_of_light(stops: float) -> str:
    """Return stops of more (+) or less light in words; what would be told as nought is hardly any."""
    if abs(stops) < LEAST_TOLD_STOPS:
        return "hardly any other light"
    return f"{abs(stops):.1f} {'stop' if abs(stops) < ABOVE_ONE else 'stops'} {'more' if stops > 0 else 'less'} light"


def _set_up(start: PrintingRecord, record: PrintingRecord) -> list[str]:
    a, b = start.enlarger, record.enlarger
    words = []
    if abs(a.height_mm - b.height_mm) > 0.2:
        words.append(f"The head goes {'up' if b.height_mm > a.height_mm else 'down'} to {b.height_mm:.0f} mm.")
    if a.focus_offset_mm != b.focus_offset_mm:
        words.append("The image is focused with the focus magnifier.")
    if (a.head, a.lens, a.carrier, a.contact) != (b.head, b.lens, b.carrier, b.contact):
        words.append(f"The set-up is {b.head}, {b.lens} lens, {b.carrier} carrier{', contact' if b.contact else ''}.")
    if (a.easel_tilt_deg, a.negative_tilt_deg) != (b.easel_tilt_deg, b.negative_tilt_deg):
        words.append("Easel and carrier are set level.")
    if start.development != record.development:
        words.append(f"The developer gets {record.development.time_s:.0f} s, the paper's full time.")
    return words


def refused_controls(exercise: Exercise, negative: Negative, record: PrintingRecord) -> tuple[Moved, ...]:
    """Return what a piece of paper moves that the lesson keeps locked. A strip's times are always free."""
    if record.sheet.kind != "strip":
        return locked_changes(exercise, negative, record)
    start = start_record(exercise, negative, find_stock(exercise.paper))
    time_s = start.exposures[0].time_s
    plain = tuple(
        replace(e, time_s=time_s, light_s=None, cards=(), paper_shift_mm=(0.0, 0.0)) for e in lights_of(record)
    )
    whole = replace(record, sheet=replace(start.sheet, paper=record.sheet.paper), exposures=plain)
    return locked_changes(exercise, negative, whole)


def why_locked(control: str, words: Words | None = None) -> str:
    """Return why a control is locked, in words that stand beside it."""
    name = control_words(control, words or Words())
    return (words or Words()).text(
        "{control} stays as it is in this lesson: one new decision at a time. A later lesson opens it.",
        control=f"{name[0].upper()}{name[1:]}",
    )
