"""A large course from roster to marks: ``PYTHONPATH=. python tests/benchmarks/large_course.py FOLDER [LEARNERS [JOBS]]``.

Two exercises: one on a negative that all share, one with a card on a negative of each learner's own. It assigns, hands in an
evening of three sheets for each (scripted, not printed), and marks. Every step goes on from where it was: stop it whenever you
like and type the same line again. 10,000 learners and 2 processes where nothing is said. It says what each step cost; nothing
here passes or fails by time.
"""

from __future__ import annotations

import resource
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np

from sim.evening.assignment import read_assignment
from sim.evening.evening import Evening
from sim.evening.handing_in import hand_in
from sim.marking.assign import assign, course_tasks
from sim.marking.batch import mark_batch, read_batch
from sim.marking.bundle import assigned_exercise
from sim.marking.course import read_course
from sim.marking.course_run import Wanted, run_course
from sim.marking.pages import file_name
from sim.marking.roster import read_roster
from sim.marking.running import chosen_executor
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data
from sim.scoring.derived import read_reference
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import find_exercise

SHARED, OWN = "time-from-a-strip", "holding-back-a-face"
COURSE = f"""format = 1
course = "large"
title = "A very large class"
secret_file = "course.key"
roster = "roster.csv"
[[exercise]]
folder = "{SHARED}"
[[exercise]]
folder = "{OWN}"
variants = true
"""
SHEETS, SPREAD_STOPS = 3, 0.8


def lay_out(folder: Path, learners: int) -> None:
    """Write course, secret and roster where they are not there yet."""
    folder.mkdir(parents=True, exist_ok=True)
    ids = "".join(f"learner-{n:05d}\n" for n in range(learners))
    files = {"course.key": "a secret for a very large course\n", "course.toml": COURSE, "roster.csv": f"id\n{ids}"}
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")


def make_bundles(folder: Path, jobs: int) -> int:
    """Make every learner's bundles; a negative that was found before is not looked for again."""
    course, roster = read_course(folder / "course.toml"), read_roster(folder / "roster.csv")
    with chosen_executor(jobs, 600.0, None) as executor:
        return sum(1 for _ in assign(course, roster, folder / "bundles", executor=executor))


def hand_in_all(folder: Path) -> int:
    """Hand in an evening for every learner and exercise that has none yet; return how many are new."""
    course, roster, new = read_course(folder / "course.toml"), read_roster(folder / "roster.csv"), 0
    (folder / "in").mkdir(exist_ok=True)
    for task in course_tasks(course):
        (reference,) = read_reference(find_exercise(task.exercise.name)[0])[:1]
        for number, learner in enumerate(roster.learners):
            out = folder / "in" / f"{learner.id}_{task.exercise.name}_1.jsonl"
            if not out.is_file():
                names = read_assignment(folder / "bundles" / file_name(learner.id) / task.exercise.name).negatives
                write_evening(folder / "evening.log", out, task.exercise, learner.id, names, reference, number)
                new += 1
    return new


def write_evening(
    log: Path, out: Path, exercise: Exercise, learner: str, names: tuple[str, ...], reference: PrintingRecord, number: int
) -> None:
    """Write an evening of some sheets about the time of a good print, the last of which counts; nothing is printed."""
    given = assigned_exercise(exercise, names).public()
    log.unlink(missing_ok=True)
    evening = Evening.open(
        log, exercise.paper, exercise.box.sheets, exercise.box.minutes, number + 1, exercise=exercise.name,
        exercise_version=exercise.version, exercise_digest=given.digest, learner=learner, attempt=1, negatives=list(names),
    )  # fmt: skip
    generator = np.random.Generator(np.random.PCG64([3, number]))
    for stops in np.sort(generator.uniform(-SPREAD_STOPS, 0.3, SHEETS)):
        longer = tuple(replace(e, time_s=round(e.time_s * 2.0 ** float(stops), 1)) for e in reference.exposures)
        record = replace(reference, negative=names[0], negative_digest="").with_exposures(*longer)
        evening._decide("sheet", {"record": record_data(evening.with_light_given(record))})
    evening.nominate(SHEETS)
    evening.close()
    hand_in(log, out)


def cost_of(what: str, step: Callable[[], int]) -> None:
    """Do a step and say what it cost, by all processes together."""
    def used() -> float:
        return sum(r.ru_utime + r.ru_stime for r in map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)))

    start, cpu = time.perf_counter(), used()
    done = step()
    peaks = [resource.getrusage(who).ru_maxrss / 1024 for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    spent = used() - cpu
    print(f"{what}: {done} in {time.perf_counter() - start:.0f} s, {spent:.1f} CPU s ({spent / max(done, 1):.3f} each); so far "
          f"this process held {peaks[0]:.0f} MB at most, the largest worker {peaks[1]:.0f} MB", flush=True)  # fmt: skip


def mark_evenings(folder: Path, exercise: str, jobs: int) -> int:
    """Replay what was handed in for one exercise and keep it; rows and pages come later. Return how many evenings were new."""
    batch = read_batch(folder / "in", folder / "course.toml", time_limit_s=60.0)
    batch = replace(batch, files=tuple(file for file in batch.files if file.exercise == exercise))
    with chosen_executor(jobs, 60.0, None) as executor:
        return mark_batch(batch, folder / "marks", executor, jobs).replayed


def main() -> None:
    """Go the whole way."""
    folder = Path(sys.argv[1])
    learners, jobs = (int(word) for word in (*sys.argv[2:], *("10000", "2")[len(sys.argv) - 2 :]))
    lay_out(folder, learners)
    cost_of("bundles", lambda: make_bundles(folder, jobs))
    cost_of("handed in", lambda: hand_in_all(folder))
    for exercise in (SHARED, OWN):
        cost_of(f"evenings of {exercise} marked", lambda name=exercise: mark_evenings(folder, name, jobs))
    wanted = Wanted(folder / "in", folder / "course.toml", folder / "marks", jobs=jobs, time_limit_s=60.0)
    cost_of("rows, pages and gradebook", lambda: run_course(wanted, print) or 2 * learners)


if __name__ == "__main__":
    main()
