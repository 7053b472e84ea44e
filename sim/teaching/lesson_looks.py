"""Predictions, what is seen, and what the instrument says: the same few words for all three, so that they can be compared.

A strip is about a step; a print is about light (lighter, as wanted, darker) and contrast (softer, as wanted, harder). A
predicted filter or time counts as right when the readings ask for a move in its direction, or for none.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from sim.enlarger.filters import GRADED_NAMES
from sim.printing.controls import range_of
from sim.printing.record import PrintingRecord
from sim.quantities import factor_to_stops
from sim.refusals import Refused
from sim.scoring.advice import Advice
from sim.scoring.criterion_kinds import EXACT_TONE_KINDS, TONE_KINDS
from sim.scoring.marks import Mark
from sim.scoring.points import rim_share
from sim.teaching.lesson_step import Choice
from sim.viewing.plain_names import plain_name
from sim.viewing.strip_reading import StripReading

USUAL_STEPS = 7
SAME_TIME_STOPS = 0.25  # a predicted time this near to the right one is right: finer than a strip's step
LIGHT = {"lighter": "lighter than wanted", "right": "as wanted", "darker": "darker than wanted"}
CONTRAST = {"softer": "softer (flatter) than wanted", "right": "as wanted", "harder": "harder than wanted"}
BESIDES = {  # what the eye, the loupe or a ruler finds besides tones
    "unsharp": "not sharp under the loupe",
    "too-small": "the picture is too small",
    "too-large": "the picture is too large",
    "card-shows": "the edge of a card shows",
}
NOT_ON_IT = "not-on-it"  # what is said of a strip that shows no wanted tone
STRIP_ENDS = {"before-first": "even the first step is too dark", "after-last": "even the last step is too light"}
_STEP = re.compile(r"^step-([1-9]|1[0-9]|20)$")
_SECONDS = re.compile(r"^([0-9]{1,3}(?:\.[0-9]{1,2})?) ?s$")
_POINTED = re.compile(r"^([a-z0-9][a-z0-9-]{0,47})=(lighter|right|darker)$")  # at a place, as one points at it


@dataclass(frozen=True)
class Verdict:
    """What the readings say about one piece of paper: the words of ``LIGHT`` and ``CONTRAST``, or the right step's key.

    ``contrast`` is what is left once the rest is put right; ``range_now`` what the range from the lightest to the darkest tone
    reads on the print as it lies, empty where that is the same: too little light shortens a range that a filter made too long.
    ``in_step`` is the one step of a strip that ``tone`` is about, ``as_dense`` when it shows not the place but a part of the
    picture as dense as it; ``places`` says lighter, right or darker place by place;
    ``besides`` holds what of ``BESIDES`` is so.
    """

    tone: str = ""
    contrast: str = ""
    step: str = ""
    place: str = ""
    pair: tuple[str, str] | None = None
    off_stops: float | None = None
    in_step: int = 0
    places: tuple[tuple[str, str], ...] = ()
    besides: tuple[str, ...] = ()
    range_now: str = ""
    as_dense: bool = False

    @property
    def words(self) -> str:
        """The verdict in words."""
        if self.step:
            return step_words(self.step)
        where = f" in step {self.in_step}" if self.in_step else ""
        what = f"a part as dense as the {plain_name(self.place)}" if self.as_dense else f"the {plain_name(self.place)}"
        parts = [f"{what}{where} is {LIGHT[self.tone]}"] if self.tone else []
        if self.contrast:
            ends = " to ".join(f"the {plain_name(name)}" for name in self.pair or ())
            what = f"the range from {ends}" if ends else "the contrast"
            parts.append(f"{what} {self._contrast_words()}")
        parts += [f"it is {BESIDES[one]}" if one == "unsharp" else BESIDES[one] for one in self.besides]
        return ", ".join(parts)

    def _contrast_words(self) -> str:
        """Say the range as it reads; what a filter does to it is told by a print whose light is right."""
        left = CONTRAST[self.contrast]
        if not self.range_now:
            return f"is {left}"
        reads = f"reads {CONTRAST[self.range_now]} now"
        if self.tone != "right":
            return f"{reads} (the contrast is judged once the light is right)"
        return f"{reads}, and with the rest put right would be {left}"


def step_words(key: str) -> str:
    """Return a step's key in words."""
    return STRIP_ENDS.get(key) or key.replace("-", " ")


def main_mark(marks: Sequence[Mark]) -> Mark | None:
    """Return the tone that is worth most; the first of equals."""
    tones = [mark for mark in marks if mark.kind in TONE_KINDS and mark.full_points > 0 and not mark.missing]
    return max(tones, key=lambda mark: mark.full_points) if tones else None


def tone_pair(marks: Sequence[Mark]) -> tuple[Mark, Mark] | None:
    """Return the lightest and the darkest tone wanted, when there are two that differ."""
    read = [mark for mark in marks if mark.kind in EXACT_TONE_KINDS and mark.full_points > 0 and not mark.missing]
    tones = sorted(read, key=lambda mark: mark.wanted)
    return (tones[0], tones[-1]) if len(tones) > 1 and tones[-1].wanted > tones[0].wanted + 0.3 else None


def verdict_on_print(marks: Sequence[Mark], holds: Sequence[Advice], contrast_free: bool) -> Verdict:
    """Return what a print's readings say about light, and, where the filter is free, about contrast.

    Contrast is what is left when the light is put right, so it is taken from what holds on the print, told or not.
    """
    main, pair = main_mark(marks), tone_pair(marks)
    tone = side_of(main.miss, main.tolerance, ("lighter", "darker")) if main else ""
    if main and main.kind not in EXACT_TONE_KINDS and main.share >= 1.0:
        tone = "right"
    needed = next((one.direction for one in holds if one.cause == "contrast"), "")
    contrast = {"softer": "harder", "harder": "softer"}.get(needed, "right") if contrast_free and marks else ""
    stops = next((one.size if one.direction == "more-light" else -one.size for one in holds if one.cause == "exposure"), None)
    if stops is None and tone == "right":
        stops = 0.0
    names = (pair[0].place, pair[1].place) if pair else None
    each = tuple(
        (mark.place, side_of(mark.miss, mark.tolerance, ("lighter", "darker")))
        for mark in marks
        if mark.kind in EXACT_TONE_KINDS and not mark.missing
    )
    now = _range_now(pair)
    if contrast and now == "right" and pair and all(abs(mark.miss) <= mark.tolerance for mark in pair):
        contrast = "right"  # what its readings do not show is not said of it, though another filter might come nearer
    return Verdict(
        tone, contrast, "", main.place if main else "", names, stops, places=each, besides=_besides(marks),
        range_now=now if now != contrast else "",
    )  # fmt: skip


def _range_now(pair: tuple[Mark, Mark] | None) -> str:
    """Return whether two tones lie too near, rightly or too far apart on the print; within both tolerances it is right."""
    if pair is None:
        return ""
    light, dark = pair
    return side_of(dark.miss - light.miss, light.tolerance + dark.tolerance, ("softer", "harder"))


def _besides(marks: Sequence[Mark]) -> tuple[str, ...]:
    """Return what is so of a print besides its tones: sharpness, size, the trace of a card."""
    found = []
    for mark in marks:
        if mark.missing or mark.share >= 1.0:  # a trace that costs nothing is none to speak of
            continue
        if mark.kind == "sharp":
            found.append("unsharp")
        elif mark.kind == "size":
            found.append("too-small" if mark.miss < 0 else "too-large")
        elif mark.kind == "even" or rim_share(mark.rim) < 1.0:
            found.append("card-shows")
    return tuple(dict.fromkeys(found))


def side_of(off: float, tolerance: float, words: tuple[str, str]) -> str:
    """Return "right" for what is off by no more than a tolerance, else the word for too little or that for too much."""
    if abs(off) <= tolerance:
        return "right"
    return words[0] if off < 0 else words[1]


def verdict_on_strip(reading: StripReading, wanted: float, tolerance: float, place: str) -> Verdict:
    """Return which step comes nearest to a wanted density, or that the strip lies all to one side of it."""
    if wanted < min(reading.densities) - tolerance:
        return Verdict(step="before-first", place=place)
    if wanted > max(reading.densities) + tolerance:
        return Verdict(step="after-last", place=place)
    return Verdict(step=f"step-{reading.nearest(wanted) + 1}", place=place)


def strip_choices(steps: int = USUAL_STEPS) -> tuple[Choice, ...]:
    """Return the answers about a strip: one of its steps, or none."""
    numbered = [Choice(f"step-{k}", f"step {k}") for k in range(1, steps + 1)]
    return (Choice("before-first", STRIP_ENDS["before-first"]), *numbered, Choice("after-last", STRIP_ENDS["after-last"]))


def print_choices(kind: str, place: str) -> tuple[Choice, ...]:
    """Return the answers about a print, by what the exercise asks to be predicted."""
    if kind == "softer-harder":
        return tuple(Choice(key, f"contrast {words}") for key, words in CONTRAST.items())
    if kind == "filter":
        return tuple(Choice(f"filter-{name}", f"filter {name} will be the right one") for name in GRADED_NAMES)
    light = tuple(Choice(key, f"the {plain_name(place)}: {words}" if place else words) for key, words in LIGHT.items())
    if kind == "seconds":
        return (*light, Choice("8.5 s", "or the seconds that will be right, such as 8.5 s"))
    return light


def besides_choices(kinds: Collection[str], cards: bool) -> tuple[Choice, ...]:
    """Return what can be seen of a print besides its tones, as far as the exercise asks for it or a card was in the light."""
    keys = [*(["unsharp"] if "sharp" in kinds else []), *(["too-small", "too-large"] if "size" in kinds else [])]
    return tuple(Choice(key, BESIDES[key]) for key in [*keys, *(["card-shows"] if cards else [])])


def about_a_strip(choice: str) -> bool:
    """Tell whether a prediction or observation is about a strip."""
    return choice in STRIP_ENDS or bool(_STEP.match(choice))


def checked_choice(choice: str) -> str:
    """Return a choice as it is kept. Raises Refused for what is none of the answers."""
    key = choice.strip().lower()
    key = f"step-{key}" if key.isascii() and key.isdigit() and 1 <= int(key) <= 20 else key
    known = {*LIGHT, *CONTRAST, *STRIP_ENDS, *BESIDES, *(f"filter-{name}" for name in GRADED_NAMES)}
    if key in known or key == NOT_ON_IT or _STEP.match(key) or _POINTED.match(key):
        return key
    seconds = _SECONDS.match(key)
    shortest_s, longest_s = range_of("time_s")
    if seconds and shortest_s <= float(seconds[1]) <= longest_s:
        return f"{float(seconds[1]):g} s"
    raise Refused(
        "the answer must be lighter, right, darker, softer, harder, lighter, right or darker at a place (white-cup=lighter), "
        "unsharp, too-small, too-large, card-shows, "
        f"a step (step-4), before-first, after-last, a filter (filter-2) or seconds (8.5 s), "
        f"got {choice[:40]!r}"
    )


def came_true(choice: str, verdict: Verdict, record: PrintingRecord, about: str = "") -> bool | None:
    """Tell whether a prediction agrees with the readings; None when the two cannot be compared.

    ``about`` is "light" or "contrast" where "as wanted" was asked of that alone.
    """
    if verdict.step:
        return choice == verdict.step if about_a_strip(choice) else None
    pointed = pointed_at(choice)
    if pointed:
        found = dict(verdict.places).get(pointed[0])
        return pointed[1] == found if found else None
    if choice in BESIDES:
        return choice in verdict.besides
    if choice in ("lighter", "darker"):
        return choice == verdict.tone if verdict.tone else None
    if choice in ("softer", "harder"):  # whoever speaks of the print as it lies is right, and so is who looks further
        return choice in (verdict.contrast, verdict.range_now) if verdict.contrast or verdict.range_now else None
    if choice == "right":
        return _as_wanted(verdict, about)
    if choice.startswith("filter-"):
        return _filter_true(choice.removeprefix("filter-"), verdict, record)
    seconds = _SECONDS.match(choice)
    return _seconds_true(float(seconds[1]), verdict, record) if seconds else None


def _as_wanted(verdict: Verdict, about: str) -> bool | None:
    """Tell whether what was called right is so: the tone or the contrast that was asked about, else both."""
    if about == "contrast" and verdict.contrast:
        return "right" in (verdict.contrast, verdict.range_now)
    if about == "light" and verdict.tone:
        return verdict.tone == "right"
    said = [word for word in (verdict.tone, verdict.contrast) if word]
    return all(word == "right" for word in said) if said else None


def _filter_true(name: str, verdict: Verdict, record: PrintingRecord) -> bool | None:
    used = record.exposures[0].filter.graded
    if not verdict.contrast or used not in GRADED_NAMES:
        return None
    move = GRADED_NAMES.index(name) - GRADED_NAMES.index(used)
    return {"right": move == 0, "softer": move > 0, "harder": move < 0}[verdict.contrast]


def _seconds_true(seconds: float, verdict: Verdict, record: PrintingRecord) -> bool | None:
    move = factor_to_stops(seconds / record.exposures[0].time_s)
    if verdict.off_stops is not None:
        return abs(move - verdict.off_stops) <= SAME_TIME_STOPS
    if not verdict.tone:
        return None
    near = abs(move) <= SAME_TIME_STOPS
    return {"right": near, "lighter": move > 0 and not near, "darker": move < 0 and not near}[verdict.tone]


def compared(predicted: str, seen: str, verdict: Verdict, record: PrintingRecord, asked: str = "light") -> tuple[str, ...]:
    """Return prediction, what was seen, and the instrument beside each other, in words.

    ``asked`` says what a prediction was asked about: "light" or "contrast". What is seen is asked about light at one place.
    """
    lines = []
    if predicted:
        true = came_true(predicted, verdict, record, asked)
        outcome = {True: "The readings agree.", False: "The readings say otherwise.", None: "The readings cannot decide it."}
        lines.append(f"You predicted: {_said_of(predicted, verdict, asked)}. {outcome[true]}")
    if seen:
        true = came_true(seen, verdict, record, "light")
        eye = {
            True: "Your eye and the densitometer agree.",
            False: "Eye and densitometer differ: look again beside the step scale, the number decides here.",
            None: "",
        }
        lines.append(f"You saw: {_said_of(seen, verdict, 'light')}. {eye[true]}".strip())
    if verdict.words:
        lines.append(f"Measured: {verdict.words}.")
    return tuple(lines)


def _said_of(choice: str, verdict: Verdict, about: str) -> str:
    """Return a choice with what it speaks of, where that is known: the place, or the contrast."""
    if about == "contrast" and choice == "right" and verdict.contrast:
        return f"contrast {CONTRAST[choice]}"
    where = verdict.tone and about == "light" and choice in LIGHT and verdict.place
    return f"the {plain_name(where)} {LIGHT[choice]}" if where else said(choice)


def pointed_at(choice: str) -> tuple[str, str] | None:
    """Return place and tone of an answer that points at a place, None for any other."""
    found = _POINTED.match(choice)
    return (found[1], found[2]) if found else None


def said(choice: str) -> str:
    """Return a choice in words."""
    pointed = pointed_at(choice)
    if pointed:
        return f"the {plain_name(pointed[0])} {LIGHT[pointed[1]]}"
    if choice == NOT_ON_IT:
        return "none of the tones asked for lies on it"
    if about_a_strip(choice):
        return step_words(choice)
    if choice.startswith("filter-"):
        return f"filter {choice.removeprefix('filter-')}"
    return LIGHT.get(choice) or CONTRAST.get(choice) or BESIDES.get(choice) or choice
