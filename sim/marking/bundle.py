"""A learner's bundle: what one learner gets for one exercise, with nothing in it that gives the answer away.

A folder with the exercise as learners may see it, its texts, and the assignment: who, which negatives, until when, how
often. The marker makes the same exercise again from course, secret and roster, so it needs nothing of the learner's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from pathlib import Path

from sim.evening.assignment import ASSIGNMENT_FILE, TASK_FILE, Assignment
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.make_print import make_print
from sim.reading import read_text
from sim.refusals import Refused
from sim.scoring.derived import filled
from sim.scoring.exercise import Criterion, Exercise
from sim.scoring.exercise_file import exercise_toml, toml_value
from sim.scoring.variants import learner_variant_key, tone_share, variant_negative
from sim.viewing.densitometer import read_place
from sim.words import SOURCE, languages
from sim.writing import write_text

TEXTS = ("brief.md", "hints.md")  # all else is for whoever sets the exercise; of derived/ only densities go out
MOST_TRIES = 60
FAIR_SHARE = 0.95  # of the tones' points: all learners of a course can reach about the same
MAX_TEXT_BYTES = 64 * 1024


class CannotBeDone(Refused):
    """None of a learner's variants can be printed to the targets; the exercise asks too much of this negative."""


def learner_negatives(exercise: Exercise, secret: bytes, learner: str) -> tuple[str, ...]:
    """Return the negatives that a learner gets: for each sleeve the first of the learner's variants that is fair.

    Keys come from a keyed hash of secret, exercise, learner and a count, so the marker finds the same ones again. Fair is a
    variant on which the controls that the exercise leaves open reach nearly every point of the tones; where none of 60
    is, the best of those that can pass is taken. Raises CannotBeDone when none can.
    """
    return tuple(_fair_variant(exercise, secret, learner, number) for number in range(len(exercise.negatives)))


def _fair_variant(exercise: Exercise, secret: bytes, learner: str, number: int) -> str:
    alone = _only(exercise, number)
    passing: list[tuple[float, str]] = []
    for name in variants_in_turn(exercise, secret, learner, number):
        share = tone_share(alone.on_negatives(name), find_negative(name))
        if share is not None and share >= FAIR_SHARE:
            return name
        if share is not None and share >= exercise.pass_share:
            passing.append((share, name))
    if passing:
        return max(passing)[1]
    raise CannotBeDone(
        f"{exercise.name}: none of {MOST_TRIES} variants of {exercise.negatives[number]} can be printed to the targets with "
        f"{', '.join(exercise.unlocked)} unlocked, for learner {learner!r}; unlock more or set variants = false"
    )


def variants_in_turn(exercise: Exercise, secret: bytes, learner: str, number: int) -> Iterator[str]:
    """Yield the variants a learner may get of one sleeve of the exercise (0-based), in the order they are tried."""
    for count in range(MOST_TRIES):
        key = learner_variant_key(secret, exercise.name, f"{learner}\n{number}\n{count}")
        yield variant_negative(exercise.negatives[number], key)


def _only(exercise: Exercise, number: int) -> Exercise:
    """Return the exercise reduced to one of its negatives, for asking whether that one can be printed."""
    kept = (replace(c, negative=None) for c in exercise.criteria if c.belongs_to(number) and not c.of_kind.series)
    return replace(exercise, negatives=(exercise.negatives[number],), criteria=tuple(kept))


def with_densities(exercise: Exercise) -> Exercise:
    """Return the exercise with the densities of the prints to be matched instead of the records behind them.

    An instructor's record is the answer; its tones are the task.
    """
    criteria = tuple(_read_from_print(exercise, c) if c.record else c for c in exercise.criteria)
    return replace(exercise, criteria=criteria, goals=())


def _read_from_print(exercise: Exercise, criterion: Criterion) -> Criterion:
    record = exercise.goal(criterion)
    negative = find_negative(record.negative)
    sheet = make_print(negative, record, find_stock(record.sheet.paper))
    densities = tuple(round(read_place(sheet, spot.on(negative)), 3) for spot in criterion.spots)
    return replace(criterion, record="", densities=densities)


def assigned_exercise(exercise: Exercise, negatives: tuple[str, ...]) -> Exercise:
    """Return the exercise as it is marked for a learner: on the learner's negatives, every criterion in it."""
    return replace(with_densities(exercise), negatives=negatives, also=())


def bundled_exercise(exercise: Exercise, negatives: tuple[str, ...]) -> Exercise:
    """Return the exercise as a learner gets it: without what is kept from learners."""
    return assigned_exercise(exercise, negatives).public()


def write_bundle(target: Path, source: Path, exercise: Exercise, assignment: Assignment) -> tuple[Path, ...]:
    """Write a bundle; return its files. Raises OutsideError or WritingFailed.

    ``source`` is the exercise's own folder, of which only the learner's texts are taken.
    """
    given = bundled_exercise(exercise, assignment.negatives)
    target.mkdir(parents=True, exist_ok=True)
    task = exercise_toml(given)
    sealed = replace(assignment, seal=assignment.sealed_with(task))
    contents = {TASK_FILE: task, ASSIGNMENT_FILE: assignment_toml(sealed)}
    for name in _texts_in(source):
        contents[name] = without_pictures(filled(source / name, read_text(source / name, MAX_TEXT_BYTES)))
    for name, text in contents.items():
        write_text(target / name, text)
    return tuple(target / name for name in contents)


def _texts_in(source: Path) -> list[str]:
    """Return the names of an exercise's texts, in every language they stand in."""
    foreign = [language for language in languages() if language != SOURCE]
    others = [f"{name.removesuffix('.md')}.{language}.md" for name in TEXTS for language in foreign]
    return [name for name in (*TEXTS, *others) if (source / name).is_file()]


def without_pictures(text: str) -> str:
    """Return a text without its picture lines: a bundle stands alone, and the figures are not in it."""
    return "\n".join(line for line in text.split("\n") if not line.lstrip().startswith("!["))


def assignment_toml(assignment: Assignment) -> str:
    """Return an assignment as TOML text."""
    keys = {field.name: toml_value(getattr(assignment, field.name)) for field in fields(assignment)}
    keys["attempts"] += "" if assignment.attempts else "  # no limit"
    lines = ["# What is asked of whom, until when. Open it with: tonewright lesson --folder THIS-FOLDER", "format = 1"]
    return "\n".join([*lines, *(f"{key} = {value}" for key, value in keys.items())]) + "\n"
