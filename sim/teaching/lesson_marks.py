"""Readings, marks and advice in a lesson: always the one ``score``, on one sheet or on the nominated ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sim.evening.evening_state import EveningState, SheetMade
from sim.negative.negative import Negative
from sim.notebook.record_words import changes
from sim.printing.exposure import LightCache
from sim.printing.record import PrintingRecord
from sim.refusals import Refused
from sim.scoring.advice import Advice, advise, advise_on_one
from sim.scoring.criterion_kinds import TONE_KINDS
from sim.scoring.exercise import Exercise
from sim.scoring.judged import Judged, judge
from sim.scoring.marks import Mark, Marks, score
from sim.teaching.lesson_step import Contrast
from sim.viewing.lightness import lightness
from sim.viewing.plain_names import plain_name

SEEN_LIGHTNESS = 1.0  # L*: about the smallest difference that is seen between two prints side by side


def index_of(negatives: Sequence[Negative], record: PrintingRecord) -> int:
    """Return which negative of the lesson a record belongs to. Raises Refused naming them."""
    names = [negative.name for negative in negatives]
    if record.negative not in names:
        raise Refused(f"negative must be one of {', '.join(names)}, got {record.negative!r}")
    return names.index(record.negative)


def exercise_for_one(exercise: Exercise, index: int, negative: Negative) -> Exercise:
    """Return the exercise as far as one print of one negative can be read: its own criteria, no series, no economy.

    "lightest" and "darkest" become the places they stand for here.
    """
    own = tuple(
        replace(
            c, negative=None, spots=tuple(replace(s, name=s.known_as(negative.places) or s.name) for s in c.spots)
        )
        for c in exercise.criteria
        if c.belongs_to(index) and not c.of_kind.series and not c.hidden
    )  # fmt: skip
    return replace(
        exercise, negatives=(exercise.negatives[index],), criteria=own, copies=1, economy_points=0.0, also=()
    )


def first_whole_sheets(state: EveningState) -> tuple[PrintingRecord, ...]:
    """Return the first whole sheet of each negative in the order they were made."""
    first: dict[str, PrintingRecord] = {}
    for made in state.sheets:
        if made.record.sheet.kind == "sheet":
            first.setdefault(made.record.negative, made.record)
    return tuple(first.values())


@dataclass(frozen=True)
class SheetRead:
    """A whole sheet's readings beside what is wanted, what it still needs, and all that holds on it, told or not."""

    marks: tuple[Mark, ...] = ()
    advice: tuple[Advice, ...] = ()
    holds: tuple[Advice, ...] = ()


def read_sheet(
    exercise: Exercise, negatives: Sequence[Negative], state: EveningState, made: SheetMade, lights: LightCache,
    advised: bool = True,
) -> SheetRead:  # fmt: skip
    """Return the readings of one whole sheet; ``advised`` with what it still needs."""
    index = index_of(negatives, made.record)
    single = exercise_for_one(exercise, index, negatives[index])
    if not single.criteria:
        return SheetRead()
    judged = judge(
        single, [negatives[index]], [made.record], state.sheets_used, lights=lights, first=first_whole_sheets(state)
    )
    marks = score(judged, single)
    first, holds = advise_on_one(single, judged, marks) if advised else ((), ())
    return SheetRead(marks.marks, first, holds)


def in_marking_order(
    exercise: Exercise, negatives: Sequence[Negative], state: EveningState, numbers: Sequence[int]
) -> tuple[SheetMade, ...]:
    """Return the sheets that count, negative by negative. Raises Refused, in words, when one is missing or too many."""
    sheets = [state.sheets[number - 1] for number in numbers]
    ordered: list[SheetMade] = []
    for index, negative in enumerate(negatives):
        own = [made for made in sheets if index_of(negatives, made.record) == index]
        if len(own) != exercise.copies:
            prints = "1 print" if exercise.copies == 1 else f"{exercise.copies} prints"
            raise Refused(f"{negative.name} needs {prints} that count, got {len(own)}")
        ordered += own
    return tuple(ordered)


def mark_lesson(
    exercise: Exercise, negatives: Sequence[Negative], state: EveningState, lights: LightCache
) -> tuple[Marks, tuple[Advice, ...], Judged]:
    """Return marks and advice for the nominated sheets, made again from their records."""
    ordered = in_marking_order(exercise, negatives, state, state.nominated)
    judged = judge(
        exercise, negatives, [made.record for made in ordered], state.sheets_used, lights=lights,
        minutes_used=state.used_s / 60.0, first=first_whole_sheets(state),
    )  # fmt: skip
    marks = score(judged, exercise)
    numbers = {order: made.number for order, made in enumerate(ordered, start=1)}
    advice = advise(exercise, judged, marks)
    return marks, tuple(replace(one, prints=tuple(numbers[k] for k in one.prints)) for one in advice), judged


def contrasts(
    exercise: Exercise, negatives: Sequence[Negative], state: EveningState, lights: LightCache
) -> tuple[Contrast, ...]:
    """Return, for each negative, two of the learner's own prints side by side: best where they differ in one decision."""
    found = []
    for negative in negatives:
        own = [m for m in state.sheets if m.record.negative == negative.name and m.record.sheet.kind == "sheet"]
        pairs = [(a, b) for k, b in enumerate(own) for a in own[:k] if changes(a.record, b.record)]
        if pairs:  # one decision apart beats several; of equals the latest
            a, b = min(pairs, key=lambda p: (len(changes(p[0].record, p[1].record)), -p[1].number, -p[0].number))
            found.append(_contrast(exercise, negatives, state, a, b, lights))
    return tuple(found)


def _contrast(
    exercise: Exercise, negatives: Sequence[Negative], state: EveningState, a: SheetMade, b: SheetMade, lights: LightCache
) -> Contrast:  # fmt: skip
    """Return two prints' readings beside each other, and where the eye sees most of what was done, in lightness.

    Densities are no measure of that: a tenth more in a black is hardly seen, a hundredth in a light is.
    """
    before, after = (read_sheet(exercise, negatives, state, made, lights, advised=False).marks for made in (a, b))
    done = changes(a.record, b.record)
    words = [f"Print {a.number} and print {b.number}: {', '.join(done)}."]
    moves: list[tuple[float, str]] = []
    unseen: list[str] = []
    for one, two in zip(before, after, strict=True):
        if not (one.missing or two.missing) and one.kind in (*TONE_KINDS, "black"):
            moves.append((float(lightness(two.measured)) - float(lightness(one.measured)), one.place))
            wanted = f"{one.measured:.2f} became {two.measured:.2f} (wanted {one.wanted:.2f})"
            seen = _seen(moves[-1][0])
            if seen:
                words.append(f"The {plain_name(one.place)}: {wanted}, {seen}.")
            else:
                unseen.append(f"the {plain_name(one.place)}")
    if unseen:
        words.append(f"In {_listed(unseen)} no difference is seen.")
    most = max(moves, key=lambda move: abs(move[0]), default=(0.0, ""))
    if len(moves) > 1 and abs(most[0]) >= SEEN_LIGHTNESS and not unseen:
        least = min(moves, key=lambda move: abs(move[0]))
        words.append(f"The eye sees that most in the {plain_name(most[1])} and least in the {plain_name(least[1])}.")
    if len(done) > 1:
        words.append("Several things were changed at once, so the difference cannot be laid to one of them.")
    return Contrast(a.number, b.number, tuple(words))


def _listed(names: Sequence[str]) -> str:
    """Return names as a list in a sentence: the sky, the wall and the floor."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _seen(change: float) -> str:
    """Return a change of lightness (L*) in words; empty where it is not seen."""
    if abs(change) < SEEN_LIGHTNESS:
        return ""
    steps = f"{abs(change):.0f}"
    return f"{steps} step{'' if steps == '1' else 's'} of lightness {'lighter' if change > 0 else 'darker'}"
