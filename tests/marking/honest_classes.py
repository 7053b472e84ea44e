"""How often honest evenings show a sign: ``python -m tests.marking.honest_classes LEARNERS [EXERCISES [SEED]]``, by hand.

Scripted classes print grey steps, every learner with a skill of their own, times as they would be dialled: to a tenth, half or
whole second. Then some of the evenings are come by in other ways (``OTHER_WAYS``), so that one sees both sides of a threshold.
Thresholds that were set on one seed are judged on another.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
from class_room import ClassRoom, class_room, wedge, write_sheet

from sim.evening.evening import Evening
from sim.evening.handing_in import hand_in, read_submission
from sim.marking.replaying import Task, mark_evening
from sim.marking.results import CourseResults, ExerciseResult, RowResult, SubmissionResult
from sim.marking.scripted_learner import Skill, print_evening
from sim.marking.similar_work import Sign, signs_in
from sim.printing.record import PrintingRecord
from sim.scoring.exercise import Exercise

DIALS_S = (0.1, 0.5, 1.0)
SET_ON, MOST_TAKEN, SOLVER_TRIES = 7, 40, 9


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
    listed = [ExerciseResult(name=e, title=e, version=1, digest="", due="", points=100.0, policy="best", attempts=None,
                             box_sheets=6.0, box_minutes=45.0) for e in exercises]  # fmt: skip
    rows = [
        RowResult(learner=learner, name="", email="", exercise=exercise, status=result.status, limit="", points=0.0,
                  full_points=100.0, points_before_late=0.0, late=None, override=None, attempts=[], reasons=[],
                  submission=result)
        for (learner, exercise), result in results.items()
    ]  # fmt: skip
    return CourseResults(course="c", title="C", time_zone="UTC", marker_version="m", anonymous=False, exercises=listed,
                         rows=rows, unplaced=[])  # fmt: skip


def measure(learners: int, exercises: int, seed: int = SET_ON) -> tuple[list[Sign], dict[tuple[str, str], bytes], ClassRoom]:
    """Return the signs of an honest class, the evenings it handed in, and its room."""
    names, found, handed = [f"e{n}" for n in range(exercises)], {}, {}
    with TemporaryDirectory() as folder:
        room = class_room(Path(folder) / "course")
        for number in range(learners):
            for exercise in range(exercises):
                rng = np.random.Generator(np.random.PCG64([seed, number, exercise]))
                data = evening(room.exercise, f"k{number:04d}", rng, Path(folder))
                handed[f"k{number:04d}", names[exercise]] = data
                found[f"k{number:04d}", names[exercise]] = marked(room, data)
    return signs_in(as_class(found, names)), handed, room


def records_of(data: bytes, folder: Path) -> tuple[int, list[PrintingRecord]]:
    """Return the seed and the decisions of an evening that was handed in."""
    file = folder / "taken"
    file.write_bytes(data)
    submission = read_submission(file)
    return submission.opening.seed, [made.record for made in submission.state.sheets]


def written(room: ClassRoom, seed: int, records: list[PrintingRecord], folder: Path) -> bytes:
    """Return an evening of somebody else with these decisions, its light drawn from a seed; the last sheet counts."""
    log, out = folder / "log", folder / "out"
    for file in (log, out):
        file.unlink(missing_ok=True)
    about = {"exercise_version": room.exercise.version, "exercise_digest": room.exercise.public().digest}
    with Evening.open(log, room.exercise.paper, 6, 45.0, seed, exercise=room.exercise.name, learner="k99", attempt=1,
                      negatives=room.exercise.negatives, **about) as under_way:  # type: ignore[arg-type]  # fmt: skip
        for record in records:
            write_sheet(under_way, record)
        under_way.nominate(len(records))
    hand_in(log, out)
    return out.read_bytes()


def copied(room: ClassRoom, seed: int, records: list[PrintingRecord], folder: Path) -> bytes:
    """The file, with another name in it."""
    return written(room, seed, records, folder)


def followed(room: ClassRoom, seed: int, records: list[PrintingRecord], folder: Path) -> bytes:
    """The same decisions, dialled at one's own enlarger."""
    return written(room, seed + 1, records, folder)


def followed_roughly(room: ClassRoom, seed: int, records: list[PrintingRecord], folder: Path) -> bytes:
    """The same decisions, every time a tenth of a second longer: what a comparison of decisions cannot see."""
    longer = [
        r if r.sheet.kind == "strip" else r.with_exposures(*(replace(e, time_s=round(e.time_s + 0.1, 1)) for e in r.exposures))
        for r in records
    ]  # fmt: skip
    return written(room, seed + 1, longer, folder)


def solved(room: ClassRoom, seed: int, records: list[PrintingRecord], folder: Path) -> bytes:
    """One sheet whose time a program found, with the very light that the evening gives."""
    low, high, best = 2.0, 20.0, b""
    for _ in range(SOLVER_TRIES):
        middle = (low * high) ** 0.5
        best = written(room, seed + 2, [room.record(middle)], folder)
        one = next(c for c in marked(room, best).criteria if not c.hidden)
        low, high = (middle, high) if (one.measured or 0.0) < (one.wanted or 0.0) else (low, middle)
    return best


OTHER_WAYS = {"copied": copied, "followed": followed, "followed roughly": followed_roughly, "solved": solved}


def found_out(handed: dict[tuple[str, str], bytes], room: ClassRoom) -> dict[str, tuple[int, int]]:
    """Return, for every other way of coming by an evening, how many of how many show a sign."""
    counts = {}
    with TemporaryDirectory() as folder:
        sources = list(handed.values())[:MOST_TAKEN]
        for name, way in OTHER_WAYS.items():
            taken = sources if name != "solved" else sources[: MOST_TAKEN // 4]
            shown = 0
            for data in taken:
                seed, records = records_of(data, Path(folder))
                pair = {("k1", "e"): marked(room, data), ("k2", "e"): marked(room, way(room, seed, records, Path(folder)))}
                shown += any("k2" in (sign.learner, sign.other) for sign in signs_in(as_class(pair, ["e"])))
            counts[name] = (shown, len(taken))
    return counts


def main() -> None:
    """Measure and print."""
    learners, exercises, seed = (int(word) for word in (sys.argv[1:] + ["60", "3", "11"][len(sys.argv) - 1 :])[:3])
    signs, handed, room = measure(learners, exercises, seed)
    flagged = {(one, sign.exercise) for sign in signs for one in (sign.learner, sign.other) if one}
    print(f"{len(handed)} honest evenings of {learners} learners, seed {seed}: {len(flagged)} with a sign "
          f"({len(flagged) / len(handed):.2%})")  # fmt: skip
    for what, count in Counter(sign.what for sign in signs).items():
        print(f"  {what}: {count}")
    for name, (shown, of) in found_out(handed, room).items():
        print(f"{name}: {shown} of {of} show a sign")


if __name__ == "__main__":
    main()
