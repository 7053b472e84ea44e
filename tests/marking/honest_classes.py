"""How often honest evenings show a sign: ``python -m tests.marking.honest_classes LEARNERS [EXERCISES]``, by hand.

Scripted classes print grey steps, every learner with a skill of their own, times as they would be dialled: to a tenth, half or
whole second. What copying, replaying and tiny cards show stands below, so that one sees both sides of a threshold.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
from class_room import ClassRoom, class_room, wedge

from sim.evening.evening import Evening
from sim.evening.handing_in import hand_in
from sim.marking.replaying import Task, mark_evening
from sim.marking.results import CourseResults, ExerciseResult, RowResult, SubmissionResult
from sim.marking.scripted_learner import Skill, print_evening
from sim.marking.similar_work import Sign, signs_in
from sim.scoring.exercise import Exercise

DIALS_S = (0.1, 0.5, 1.0)


@dataclass
class Dialled(Evening):
    """An evening whose learner dials times in steps."""

    step_s: float = 0.1

    def with_light_given(self, record):  # type: ignore[no-untyped-def]
        """Round the seconds as they are dialled, then draw the light."""
        if record.sheet.kind == "strip":
            return super().with_light_given(record)
        rounded = (replace(e, time_s=max(self.step_s, round(e.time_s / self.step_s) * self.step_s)) for e in record.exposures)
        return super().with_light_given(record.with_exposures(*rounded))


def evening(exercise: Exercise, learner: str, rng: np.random.Generator, folder: Path) -> bytes:
    """Return an honest learner's evening, handed in."""
    log, out = folder / "log", folder / "out"
    for file in (log, out):
        file.unlink(missing_ok=True)
    skill = Skill(float(rng.uniform(0.05, 0.6)), float(rng.uniform(0.3, 1.0)), float(rng.uniform(0.0, 0.4)))
    about = {"exercise_version": exercise.version, "exercise_digest": exercise.public().digest}
    with Dialled.open(log, exercise.paper, 6, 45.0, int(rng.integers(1, 2**31)), exercise=exercise.name, learner=learner,
                      attempt=1, negatives=exercise.negatives, **about) as under_way:  # type: ignore[arg-type]  # fmt: skip
        assert isinstance(under_way, Dialled)
        under_way.step_s = float(rng.choice(DIALS_S))
        print_evening(under_way, exercise.public(), [wedge()], skill, rng)
    hand_in(log, out)
    return out.read_bytes()


def marked(room: ClassRoom, data: bytes) -> SubmissionResult:
    """Return what an evening came to."""
    digests = (room.exercise.digest, room.exercise.public().digest)
    return mark_evening(Task("k", "c" * 64, data, room.exercise, digests, 60.0)).result


def as_class(results: dict[tuple[str, str], SubmissionResult], exercises: list[str]) -> CourseResults:
    """Return a class's results."""
    listed = [ExerciseResult(name=e, title=e, version=1, digest="", due="", points=100.0, policy="best", attempts=None)
              for e in exercises]  # fmt: skip
    rows = [
        RowResult(learner=learner, name="", email="", exercise=exercise, status=result.status, limit="", points=0.0,
                  full_points=100.0, points_before_late=0.0, late=None, override=None, attempts=[], reasons=[],
                  submission=result)
        for (learner, exercise), result in results.items()
    ]  # fmt: skip
    return CourseResults(course="c", title="C", time_zone="UTC", marker_version="m", anonymous=False, exercises=listed,
                         rows=rows, unplaced=[])  # fmt: skip


def measure(learners: int, exercises: int) -> tuple[list[Sign], int]:
    """Return the signs of an honest class, and how many evenings it printed."""
    names, found = [f"e{n}" for n in range(exercises)], {}
    with TemporaryDirectory() as folder:
        room = class_room(Path(folder) / "course")
        for number in range(learners):
            for exercise in range(exercises):
                rng = np.random.Generator(np.random.PCG64([7, number, exercise]))
                data = evening(room.exercise, f"k{number:04d}", rng, Path(folder))
                found[f"k{number:04d}", names[exercise]] = marked(room, data)
    return signs_in(as_class(found, names)), len(found)


def main() -> None:
    """Measure and print."""
    learners, exercises = (int(word) for word in (*sys.argv[1:], "60", "3")[:2])
    signs, evenings = measure(learners, exercises)
    flagged = {(one, sign.exercise) for sign in signs for one in (sign.learner, sign.other) if one}
    print(f"{evenings} honest evenings of {learners} learners: {len(flagged)} with a sign ({len(flagged) / evenings:.2%})")
    for what, count in Counter(sign.what for sign in signs).items():
        print(f"  {what}: {count}")


if __name__ == "__main__":
    main()
