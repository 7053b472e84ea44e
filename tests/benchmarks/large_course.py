"""A large course from roster to marks: ``PYTHONPATH=. python tests/benchmarks/large_course.py FOLDER [LEARNERS [JOBS [OWN]]]``.

Two exercises on negatives that all share, for every learner; and, as a course beside it in ``FOLDER/own``, one with a card on a
negative of each learner's own, for the first OWN of them. It assigns, hands in an evening of three sheets for each, and marks.
Every step goes on from where it was: stop it whenever you like and type the same line again. 10,000 learners, 2 processes
and 500 negatives of their own where nothing is said. It says what each step cost; nothing here passes or fails by time.

The evenings are scripted: every learner has a log, a chain of hashes and lamp light drawn from a seed of their own, and the
last of three sheets counts. What a log holds are decisions, so no sheet is printed before the marker prints it.
"""

from __future__ import annotations

import resource
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from sim.evening.assignment import ASSIGNMENT_FILE, read_assignment
from sim.evening.evening import Evening
from sim.evening.evening_state import EveningState, Opening, after
from sim.evening.log import FIRST_HASH, Line
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
from sim.reading import validate
from sim.scoring.derived import read_reference
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import find_exercise
from sim.writing import write_bytes

SHARED, OWN = ("time-from-a-strip", "aperture-and-time"), "holding-back-a-face"
COURSE = """format = 1
course = "{name}"
title = "A very large class"
secret_file = "course.key"
roster = "roster.csv"
"""
ENTRY = """[[exercise]]
folder = "{folder}"
variants = {variants}
"""
SHEETS, SPREAD_STOPS = 3, 0.8


def lay_out(folder: Path, name: str, exercises: tuple[str, ...], own: bool, learners: int) -> None:
    """Write course, secret and roster where they are not there yet."""
    folder.mkdir(parents=True, exist_ok=True)
    ids = "".join(f"learner-{n:05d}\n" for n in range(learners))
    text = COURSE.format(name=name) + "".join(ENTRY.format(folder=one, variants=str(own).lower()) for one in exercises)
    files = {"course.key": "a secret for a very large course\n", "course.toml": text, "roster.csv": f"id\n{ids}"}
    for file, words in files.items():
        (folder / file).write_text(words, encoding="utf-8")


def make_bundles(folder: Path, jobs: int) -> int:
    """Make every learner's bundles; a negative that was found before is not looked for again, a bundle that is there stays."""
    course, roster = read_course(folder / "course.toml"), read_roster(folder / "roster.csv")
    missing = tuple(
        one.id for one in roster.learners
        if not all((folder / "bundles" / one.id / e.name / ASSIGNMENT_FILE).is_file() for e in course.exercises)
    )  # fmt: skip
    if not missing:
        return 0
    only = missing if len(missing) < len(roster.learners) else ()
    with chosen_executor(jobs, 600.0, None) as executor:
        return sum(1 for _ in assign(course, roster, folder / "bundles", only, executor=executor))


def hand_in_all(folder: Path) -> int:
    """Hand in an evening for every learner and exercise that has none yet; return how many are new."""
    course, roster, new = read_course(folder / "course.toml"), read_roster(folder / "roster.csv"), 0
    (folder / "in").mkdir(exist_ok=True)
    for task in course_tasks(course):
        (reference,) = read_reference(find_exercise(task.exercise.name)[0])[:1]
        digest_on = lru_cache(lambda names, task=task: assigned_exercise(task.exercise, names).public().digest)
        for number, learner in enumerate(roster.learners):
            out = folder / "in" / f"{learner.id}_{task.exercise.name}_1.jsonl"
            if not out.is_file():
                names = read_assignment(folder / "bundles" / file_name(learner.id) / task.exercise.name).negatives
                opening = opening_of(task.exercise, digest_on(names), learner.id, names, number)
                write_bytes(out, evening_of(out, opening, sheets_about(reference, names[0], number)))
                new += 1
    return new


def opening_of(exercise: Exercise, digest: str, learner: str, names: tuple[str, ...], number: int) -> dict[str, Any]:
    """Return what a learner's evening begins with; its lamp is drawn from a seed that no other evening of the class has."""
    return {
        "paper": exercise.paper, "sheets": exercise.box.sheets, "minutes": exercise.box.minutes, "seed": number + 1,
        "exercise": exercise.name, "exercise_version": exercise.version, "exercise_digest": digest, "learner": learner,
        "attempt": 1, "negatives": list(names),
    }  # fmt: skip


def sheets_about(reference: PrintingRecord, negative: str, number: int) -> Iterator[PrintingRecord]:
    """Yield some sheets about the time of a good print, each longer than the one before; nothing is printed."""
    generator = np.random.Generator(np.random.PCG64([3, number]))
    for stops in np.sort(generator.uniform(-SPREAD_STOPS, 0.3, SHEETS)):
        longer = tuple(replace(e, time_s=round(e.time_s * 2.0 ** float(stops), 1)) for e in reference.exposures)
        yield replace(reference, negative=negative, negative_digest="").with_exposures(*longer)


def evening_of(file: Path, opening: dict[str, Any], records: Iterable[PrintingRecord]) -> bytes:
    """Return a log that is handed in, the last of its sheets counting: every line is one that an evening accepts."""
    first = Line(0, "opened", opening, FIRST_HASH)
    evening, lines = Evening(file, EveningState(validate(file, opening, Opening)), first), [first]

    def decided(kind: str, data: dict[str, Any]) -> None:
        line = Line(len(lines), kind, data, lines[-1].hash)
        evening.state = after(evening.state, line, file)
        lines.append(line)

    for record in records:
        evening.check_room(record)
        decided("sheet", {"record": record_data(evening.with_light_given(record))})
    decided("nominated", {"sheets": [len(evening.state.sheets)]})
    decided("handed-in", {"lines": len(lines), "sheets": len(evening.state.sheets)})
    return "".join(line.text() for line in lines).encode("utf-8")


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


def size_of(folder: Path) -> str:
    """Return what lies in a folder: files and megabytes."""
    sizes = [file.stat().st_size for file in folder.rglob("*") if file.is_file()]
    return f"{folder.name}: {len(sizes)} files, {sum(sizes) / 1e6:.0f} MB"


def go(folder: Path, learners: int, exercises: tuple[str, ...], jobs: int) -> None:
    """Go the whole way with one course that is laid out."""
    cost_of("bundles", lambda: make_bundles(folder, jobs))
    cost_of("handed in", lambda: hand_in_all(folder))
    for exercise in exercises:
        cost_of(f"evenings of {exercise} marked", lambda name=exercise: mark_evenings(folder, name, jobs))
    wanted = Wanted(folder / "in", folder / "course.toml", folder / "marks", jobs=jobs, time_limit_s=60.0)
    cost_of("rows, pages and gradebook", lambda: run_course(wanted, print) or len(exercises) * learners)
    print("; ".join(size_of(folder / name) for name in ("bundles", "in", "marks")), flush=True)


def main() -> None:
    """Go the whole way with the shared negatives, then with those of one's own."""
    folder = Path(sys.argv[1])
    learners, jobs, own = (int(word) for word in (*sys.argv[2:], *("10000", "2", "500")[len(sys.argv) - 2 :]))
    for part, name, exercises, count in ((folder, "large", SHARED, learners), (folder / "own", "large-own", (OWN,), own)):
        if count:
            lay_out(part, name, exercises, part is not folder, count)
            go(part, count, exercises, jobs)


if __name__ == "__main__":
    main()
