"""A course to look at: six learners by number, eight exercises, forty evenings handed in, some late, some damaged.

Everything in it follows from one seed. The learners are played by rules (``scripted_learner.py``), each with a skill of
their own; what they hand in is marked like anybody's.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from sim.evening.evening import Evening
from sim.evening.handing_in import hand_in
from sim.marking.assign import assign, course_tasks
from sim.marking.bundle import bundled_exercise
from sim.marking.course import Course, read_course
from sim.marking.roster import Roster, read_roster
from sim.marking.scripted_learner import Skill, print_evening
from sim.negative.develop import find_negative
from sim.page_templates import from_template
from sim.scoring.exercise import Exercise
from sim.writing import write_bytes, write_text

COURSE = Path(__file__).with_name("templates") / "first-course.toml"
SEED = 20
EXERCISES = (
    "time-from-a-strip", "strip-along-the-tone", "aperture-and-time", "lights-by-time-darks-by-filter",
    "new-filter-new-time", "holding-back-a-face", "filter-for-a-normal-negative", "mist-stays-mist",
)  # each needs only what stands before it (the syllabus's own "needs")  # fmt: skip
FIRST_DUE = datetime(2026, 3, 6, 18, 0, tzinfo=UTC)
ROSTER = (
    ("k01", Skill(0.08)),
    ("k02", Skill(0.18, mistakes=0.1)),
    ("k03", Skill(0.30, strips=0.7, mistakes=0.2)),
    ("k04", Skill(0.45, strips=0.5, mistakes=0.3)),
    ("k05", Skill(0.70, strips=0.2, mistakes=0.5, patience=0.6)),
    ("k06", Skill(0.25, mistakes=0.1)),
)  # fmt: skip
# (learner, exercise, both 0-based): nothing handed in; a second attempt; hours after the due time; damage done to the file
MISSING = {(4, 4), (4, 5), (4, 6), (4, 7), (3, 7), (2, 7), (5, 0), (5, 1), (3, 5), (2, 6), (1, 7)}
TWICE = {(2, 4), (3, 2), (4, 1)}
LATE_H = {(1, 3): 5.0, (3, 4): 30.0, (4, 2): 80.0, (2, 0): 0.1}
DAMAGED = {(4, 3): "cut", (5, 6): "edited", (3, 3): "locked"}


@dataclass(frozen=True)
class DemoCourse:
    """Where the course stands: its file, what was handed in, and when it came."""

    course_file: Path
    submissions: Path
    received_file: Path
    handed_in: int


def make_demo_course(folder: Path) -> DemoCourse:
    """Write course, roster, secret, bundles and forty submissions to a folder. Raises OutsideError or WritingFailed."""
    folder.mkdir(parents=True, exist_ok=True)
    course_file = folder / "course.toml"
    write_text(course_file, from_template(COURSE, exercises=[*zip(EXERCISES, map(_due, range(len(EXERCISES))))]))
    write_text(folder / "roster.csv", "id\r\n" + "".join(f"{learner}\r\n" for learner, _ in ROSTER))
    # a real course writes one that nobody can know: tonewright assign --new-secret
    write_text(folder / "course.key", "a secret for show, known to all\n")
    course, roster = read_course(course_file), read_roster(folder / "roster.csv")
    received: list[tuple[str, datetime]] = []
    for name, text, when in _submissions(course, roster, folder / "bundles"):
        write_bytes(folder / "submissions" / name, text)
        received.append((name, when))
    lines = "".join(f"{name},{when.isoformat()}\r\n" for name, when in sorted(received))
    write_text(folder / "received.csv", "file,received\r\n" + lines)
    return DemoCourse(course_file, folder / "submissions", folder / "received.csv", len(received))


def _due(exercise: int) -> datetime:
    return FIRST_DUE + timedelta(days=7 * exercise)


def _submissions(course: Course, roster: Roster, bundles: Path) -> Iterator[tuple[str, bytes, datetime]]:
    """Yield name, content and time of every file handed in."""
    given = {(one.learner, one.exercise): one for one in assign(course, roster, bundles)}
    for j, task in enumerate(course_tasks(course)):
        for i, (learner, skill) in enumerate(ROSTER):
            if (i, j) in MISSING:
                continue
            negatives = given[learner, task.exercise.name].negatives
            for attempt in (1, 2) if (i, j) in TWICE else (1,):
                rng = np.random.Generator(np.random.PCG64([SEED, i, j, attempt]))
                exercise = bundled_exercise(task.exercise, negatives)
                better = Skill(skill.spread / attempt, skill.strips, skill.mistakes / attempt, skill.patience)
                text = _evening(exercise, learner, attempt, better, rng, locked=DAMAGED.get((i, j)) == "locked")
                early = timedelta(hours=-30.0 + 10.0 * attempt + float(rng.uniform(0.0, 9.0)))
                when = _due(j) + (timedelta(hours=LATE_H[i, j]) if (i, j) in LATE_H else early)
                yield f"{learner}-{task.exercise.name}-{attempt}.jsonl", _damaged(text, DAMAGED.get((i, j), "")), (
                    when.replace(microsecond=0)
                )


def _evening(
    exercise: Exercise, learner: str, attempt: int, skill: Skill, rng: np.random.Generator, locked: bool
) -> bytes:
    """Return the file of an evening printed by a learner's rules."""
    with TemporaryDirectory() as folder:
        log, out = Path(folder) / "evening.jsonl", Path(folder) / "handed-in.jsonl"
        with Evening.open(
            log, exercise.paper, exercise.box.sheets, exercise.box.minutes, int(rng.integers(1, 2**31)),
            exercise=exercise.name, exercise_version=exercise.version, exercise_digest=exercise.digest,
            learner=learner, attempt=attempt, negatives=exercise.negatives,
        ) as evening:  # fmt: skip
            start = replace(exercise.start, f_number=exercise.start.f_number * 2.0) if locked else exercise.start
            negatives = [find_negative(name) for name in exercise.negatives]
            print_evening(evening, replace(exercise, start=start), negatives, skill, rng)
        hand_in(log, out)
        return out.read_bytes()


def _damaged(text: bytes, how: str) -> bytes:
    """Return a file as it comes after a broken upload, or after somebody wrote a better number into it."""
    if how == "cut":
        return text[: int(len(text) * 0.7)]
    if how == "edited":
        at = text.index(b'"time_s":') + len(b'"time_s":')
        return text[:at] + b"1" + text[at:]
    return text
