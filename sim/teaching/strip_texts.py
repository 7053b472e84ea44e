"""What a lesson says about a strip: what is asked, what an answer may be, what its readings mean, thinking aloud."""

from __future__ import annotations

from sim.evening.evening_state import SheetMade
from sim.negative.negative import Negative
from sim.notebook.advice_words import stops_in_words
from sim.notebook.record_words import shown_words
from sim.notebook.tone_words import PaperEnds, tone_words
from sim.paper.stock import find_stock
from sim.printing.flash import UNSEEN_NET_DENSITY, only_flashed
from sim.printing.strips import strip_in
from sim.teaching.lesson_looks import LIGHT, NOT_ON_IT, USUAL_STEPS, about_a_strip, said, strip_choices
from sim.teaching.lesson_marks import index_of
from sim.teaching.lesson_so_far import LessonSoFar
from sim.teaching.lesson_step import Choice
from sim.teaching.strip_verdict import (
    PartRead,
    StripAsked,
    StripSeen,
    WantedTone,
    lost_in_bursts,
    strip_asked,
    strip_seen,
    wanted_tones,
)
from sim.viewing.plain_names import plain_name
from sim.viewing.strip_reading import StripReading, places_shown, read_strip, steps_read
from sim.viewing.strip_tones import read_strip_on_tone
from sim.words import Words

StageWords = tuple[tuple[str, ...], str, tuple[Choice, ...]]
STRIP_WHY = {
    "bracketed": "the right step lies inside: lighter and darker steps on both sides",
    "begin-longer": "the strip began too short: every step is too light",
    "begin-shorter": "the strip began too long: every step is too dark",
}
FLASH_WHY = {
    "bracketed": "the step in which the paper begins to grey lies inside",
    "begin-longer": "every step is still white: the flashes were too short",
    "begin-shorter": "every step has greyed: the flashes were too long",
}
FLASH_SEEN = (
    "The strip lies under white light: no picture, only flashes, each longer than the last.",
    "Beside unlit paper, find the first step that is no longer white. The one before it is what this paper bears unseen.",
)
WORTH_SAYING_STOPS = 0.1
EARLY_SHARE = 0.9  # of the time in which this bath does all its work; a strip that had less is told so (chosen)
NEAR_ENOUGH = 1.2  # of a tone's tolerance: a step so near is that step still, however finely the strip was printed (chosen)
OTHER_PLACES = {"other-places": "its steps show different parts of the picture, so they cannot be compared"}


def strip_reading(run: LessonSoFar, made: SheetMade) -> StripReading | None:
    """Return the densities of a strip's steps: of a wanted tone where every step shows it, else of their middles.

    None when it was laid in a way of its own.
    """
    strip, everywhere = strip_in(made.record), asked_of(run, made).everywhere
    if strip is None:
        return None
    if everywhere is not None:
        return read_strip_on_tone(everywhere.place, negative_of(run, made), made.record, run.sheet(made.number))
    return read_strip(strip, run.sheet(made.number))


def asked_of(run: LessonSoFar, made: SheetMade) -> StripAsked:
    """Return what a strip of the lesson can be asked, before anything is read."""
    negative = negative_of(run, made)
    tones = wanted_tones(run.exercise, negative, index_of(run.negatives, made.record))
    return strip_asked(tones, negative, made.record)


def seen_on(run: LessonSoFar, made: SheetMade) -> StripSeen:
    """Return what a strip's readings say."""
    negative = negative_of(run, made)
    tones = wanted_tones(run.exercise, negative, index_of(run.negatives, made.record))
    return strip_seen(tones, negative, made.record, run.sheet(made.number))


def refused_sight(run: LessonSoFar, choice: str) -> str:
    """Return why an answer cannot be about the last piece of paper; empty when it can.

    A step can be called right only where every step shows a wanted tone, and only a step that is there; then nothing but a
    step answers, and of a print no step does.
    """
    last = run.last
    if last is None:
        return ""
    if last.record.sheet.kind != "strip":
        return no_steps("the last piece of paper", choice) if about_a_strip(choice) else ""
    asked = asked_of(run, last)
    if not about_a_strip(choice):
        return "" if asked.everywhere is None else _asks_for_a_step(asked.everywhere.place, last, choice)
    if asked.everywhere is None:
        return f"no step of this strip can be called right: {_not_everywhere(asked)}"
    keys = [one.key for one in _strip_choices_of(last)]
    return "" if choice in keys else f"the step must be one of this strip's {len(keys) - 2}, got {said(choice)}"


def no_steps(piece: str, choice: str) -> str:
    """Return why a step is no answer about a print."""
    return f"{piece} is a print and has no steps: say lighter, right or darker, softer or harder, got {said(choice)}"


def _asks_for_a_step(place: str, made: SheetMade, choice: str) -> str:
    """Return why only a step is an answer about a strip that shows one tone in every step."""
    last = len(_strip_choices_of(made)) - 2
    return (
        f"every step shows the {plain_name(place)}: say in which it looks right (step-1 to step-{last}, before-first or "
        f"after-last), got {said(choice)}"
    )


def _not_everywhere(asked: StripAsked) -> str:
    if not asked.parts:
        return "none of its steps shows a tone that is asked for"
    lie = ", ".join(f"{_shown_there(tone.place, at.itself)} lies in step {at.step}" for tone, at in asked.parts)
    return f"its steps show different parts of the picture ({lie})"


def _shown_there(place: str, itself: bool) -> str:
    """Return what a step shows of a wanted tone: the place, or only a part of the picture as dense as it."""
    return f"the {plain_name(place)}" if itself else f"a part as dense as the {plain_name(place)}"


def _strip_choices_of(made: SheetMade) -> tuple[Choice, ...]:
    strip = strip_in(made.record)
    return strip_choices(len(strip.steps) if strip else USUAL_STEPS)


def negative_of(run: LessonSoFar, made: SheetMade) -> Negative:
    return next(negative for negative in run.negatives if negative.name == made.record.negative)


def shown_by_steps(run: LessonSoFar, made: SheetMade) -> tuple[str, ...]:
    """Return for every step of a strip the places that it shows whole, each with its own reading; flashes alone show none."""
    if only_flashed(made.record):
        return ()
    read = steps_read(negative_of(run, made), made.record, run.sheet(made.number))
    return tuple(", ".join(f"{name} {density:.2f}" for name, density in step.shows) for step in read)


def lifted_early(run: LessonSoFar, made: SheetMade) -> str:
    """Return what a strip lifted from the developer too early is worth; empty for others, and where that is the lesson."""
    had, full_s = made.record.development, find_stock(made.record.sheet.paper).development.time_to_completion_s
    whole_s = full_s(had)
    if had.time_s >= EARLY_SHARE * whole_s or "development_time_s" in run.exercise.unlocked:
        return ""
    return (
        f"It came out of the developer after {had.time_s:.0f} seconds of {whole_s:.0f}: every step is lighter than its seconds "
        "would make it. Lay it again before you take a time from it."
    )


def see_strip(run: LessonSoFar, made: SheetMade) -> StageWords:
    """Ask about a step where every step shows a wanted tone; else about the tone in the step that shows it."""
    asked = asked_of(run, made)
    if only_flashed(made.record):
        return FLASH_SEEN, "What does it show?", (Choice(NOT_ON_IT, said(NOT_ON_IT)),)
    texts = ["The strip lies under white light. Look before you measure.", shown_words(negative_of(run, made), made.record)]
    texts += [early] if (early := lifted_early(run, made)) else []
    if asked.everywhere is not None:
        place = plain_name(asked.everywhere.place)
        if not any(one.place.name == asked.everywhere.place for one in places_shown(negative_of(run, made), made.record)[0]):
            texts[1] = f"Every step shows the tone of the {place}."
        texts += [
            f"The {plain_name(tone.place)} lies in step {at.step} only." if at.itself else
            f"A part as dense as the {plain_name(tone.place)} lies in step {at.step} only."
            for tone, at in asked.parts
        ]  # fmt: skip
        return tuple(texts), f"In which step does the {place} look right to you?", _strip_choices_of(made)
    texts.append(f"No step can be called right here: {_not_everywhere(asked)}.")
    if not asked.parts:
        return tuple(filter(None, texts)), "What does it show?", (Choice(NOT_ON_IT, said(NOT_ON_IT)),)
    tone, at = asked.parts[0]
    light = tuple(Choice(key, f"the {plain_name(tone.place)}: {words}") for key, words in LIGHT.items())
    looks = f"How does {_shown_there(tone.place, at.itself)} look in step {at.step}?"
    return tuple(filter(None, texts)), looks, light


def reply_to_strip(run: LessonSoFar, made: SheetMade, answer: str) -> tuple[str, ...]:
    """Return the answer to why a strip came out as it did, with what its readings say."""
    if only_flashed(made.record):
        return _reply_to_flashes(run, made, answer)
    seen = seen_on(run, made)
    verdict = seen.verdict
    if not verdict.step:
        agreed = "Yes" if answer in OTHER_PLACES else "Look again"
        first = f"{agreed}: {OTHER_PLACES['other-places']}. What one step shows of a tone still counts for that tone."
        return (first, *(_of_its_own(part) for part in seen.parts))
    right = {"before-first": "begin-shorter", "after-last": "begin-longer"}.get(verdict.step, "bracketed")
    agreed = "Yes" if answer == right else "Look again"
    more = "" if right == "bracketed" else " Lay another strip, or move two stops from its end."
    near = f" {_where_it_lies(run, made, verdict.place, verdict.step)}" if right == "bracketed" else ""
    return (f"{agreed}: {STRIP_WHY[right]}.{near}{more}", *_about_bursts(made, verdict.step))


def _where_it_lies(run: LessonSoFar, made: SheetMade, place: str, step: str) -> str:
    """Return which step is right for a place, or between which two its time lies."""
    everywhere, reading = asked_of(run, made).everywhere, strip_reading(run, made)
    if everywhere is not None and reading is not None and everywhere.place == place:
        return f"For the {plain_name(place)} the time lies {_follows(reading, everywhere)}."
    return f"For the {plain_name(place)} the nearest is {said(step)}."


def _follows(reading: StripReading, tone: WantedTone) -> str:
    """Return where between the steps a wanted tone lies: at one that is within its tolerance, else between two."""
    at = reading.nearest(tone.wanted)
    off = reading.densities[at] - tone.wanted
    other = at + 2 if off < 0 else at
    if abs(off) > NEAR_ENOUGH * tone.tolerance and 1 <= other <= len(reading.densities):
        low, high = sorted((at + 1, other))
        return f"between step {low} and step {high}, nearer to step {at + 1}"
    return f"at step {at + 1}"


def _reply_to_flashes(run: LessonSoFar, made: SheetMade, answer: str) -> tuple[str, ...]:
    """Return whether a strip of flashes holds the step in which the paper begins to grey, and which it is."""
    reading, ends = strip_reading(run, made), PaperEnds.of(run.sheet(made.number))
    grey = [density > ends.white + UNSEEN_NET_DENSITY for density in reading.densities] if reading else []
    right = "bracketed" if any(grey) and not grey[0] else "begin-shorter" if any(grey) else "begin-longer"
    first = f"{'Yes' if answer == right else 'Look again'}: {FLASH_WHY[right]}."
    if right != "bracketed":
        return (first,)
    step = grey.index(True) + 1
    return (first, f"Step {step} is the first with a tone of its own; step {step - 1} is what this paper bears unseen.")


def _about_bursts(made: SheetMade, key: str) -> tuple[str, ...]:
    """Return what bursts cost the step that is called right, where it is worth words."""
    lost = lost_in_bursts(made.record, int(key.removeprefix("step-"))) if key.startswith("step-") else 0.0
    if lost < WORTH_SAYING_STOPS:
        return ()
    less = stops_in_words(lost, Words())
    return (f"It was lit in bursts, and each lost the lamp's coming: one exposure of the same seconds gives {less} more.",)


def _of_its_own(part: PartRead) -> str:
    """Return what a tone in one step says about the time: for its own place alone."""
    need = {"lighter": "more light than that", "darker": "less light than that", "right": "that much light"}[part.tone]
    return f"Step {part.step} shows {_shown_there(part.place, part.itself)}, {LIGHT[part.tone]}: it needs {need}."


def thought_aloud(run: LessonSoFar) -> tuple[str, ...]:
    """Return what is to be seen on the strip just shown, and what follows for the print: before the decision is said.

    Nothing where the last piece of paper was no strip, or not every step of it shows a wanted tone.
    """
    made = run.last
    everywhere = asked_of(run, made).everywhere if made is not None and made.record.strip else None
    reading = strip_reading(run, made) if made is not None and everywhere is not None else None
    if made is None or everywhere is None or reading is None:
        return ()
    ends, at = PaperEnds.of(run.sheet(made.number)), reading.nearest(everywhere.wanted)
    near = range(max(at - 1, 0), min(at + 2, len(reading.densities)))
    told = "; ".join(f"in step {k + 1} it {tone_words(reading.densities[k], ends)}" for k in near)
    follows = _follows(reading, everywhere)
    return (f"Seen, of the {plain_name(everywhere.place)}: {told}.", f"What follows: the time lies {follows}.")
