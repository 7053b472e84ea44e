"""Speed of marking: many different evenings of three sheets each, every learner on a negative of their own.

Run by hand: ``python tests/benchmarks/bench_marking.py [COUNT] [JOBS]`` (1000 and 2 where nothing is said). It writes the
evenings into a folder that is thrown away, marks them with nothing known from before, reports included, and says how
long that took, what a worker held at most, and how busy the machine was before. Nothing here passes or fails by time.
"""

from __future__ import annotations

import os
import resource
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from sim.evening.evening import Evening
from sim.evening.handing_in import hand_in
from sim.marking.bundle import assigned_exercise, variants_in_turn
from sim.marking.course_run import Wanted, run_course
from sim.negative.develop import find_negative
from sim.paper.stock import find_stock
from sim.printing.record_file import record_data
from sim.scoring.exercise_file import find_exercise
from sim.scoring.start import start_record

EXERCISE, SECRET = "time-from-a-strip", b"a secret for the benchmark's course"
COURSE = """format = 1
course = "bench"
title = "A very large class"
secret_file = "course.key"
roster = "roster.csv"
[[exercise]]
folder = "time-from-a-strip"
variants = true
"""


def write_class(folder: Path, count: int) -> int:
    """Write a course with so many learners and an evening of each; return on how many negatives."""
    learners = [f"learner-{n:04d}" for n in range(count)]
    (folder / "course.key").write_bytes(SECRET)
    (folder / "course.toml").write_text(COURSE, encoding="utf-8")
    (folder / "roster.csv").write_text("id\n" + "\n".join(learners) + "\n", encoding="utf-8")
    _, exercise = find_exercise(EXERCISE)
    stock = find_stock(exercise.paper)
    generator = np.random.Generator(np.random.PCG64(3))
    base = None
    names = set()
    for number, learner in enumerate(learners):
        name = next(variants_in_turn(exercise, SECRET, learner, 0))
        names.add(name)
        if base is None:  # the start differs between variants in the negative's name only
            base = start_record(exercise, find_negative(name), stock)
        given = assigned_exercise(exercise, (name,)).public()
        log = folder / "evening.log"
        log.unlink(missing_ok=True)
        evening = Evening.open(
            log, exercise.paper, exercise.box.sheets, exercise.box.minutes, number, exercise=exercise.name,
            exercise_version=exercise.version, exercise_digest=given.digest, learner=learner, attempt=1, negatives=[name],
        )  # fmt: skip
        for time_s in np.round(3.0 * 2.0 ** np.sort(generator.uniform(0.0, 1.6, 3)), 1):
            record = replace(base, negative=name, negative_digest="").with_exposures(
                replace(base.exposures[0], time_s=float(time_s))
            )
            evening._decide("sheet", {"record": record_data(evening.with_light_given(record))})
        evening.nominate(3)
        evening.close()
        hand_in(log, folder / "in" / f"{learner}.evening")
    return len(names)


def measure(count: int, jobs: int) -> dict[str, float]:
    """Mark a new class of so many learners; return seconds and megabytes."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "in").mkdir()
        negatives = write_class(folder, count)
        before = os.getloadavg()[0]
        start, cpu = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
        own = time.process_time()
        run_course(Wanted(folder / "in", folder / "course.toml", folder / "out", jobs=jobs), print)
        seconds, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
        return {
            "evenings": count, "negatives": negatives, "jobs": jobs, "load before": before, "seconds": round(seconds, 1),
            "workers' CPU s": round(after.ru_utime + after.ru_stime - cpu.ru_utime - cpu.ru_stime, 1),
            "own CPU s": round(time.process_time() - own, 1), "largest worker MB": round(after.ru_maxrss / 1024, 0),
            "output MB": round(sum(f.stat().st_size for f in (folder / "out").rglob("*") if f.is_file()) / 1e6, 1),
        }  # fmt: skip


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:3]]
    print(measure(*(numbers + [1000, 2][len(numbers) :])))
