"""What marking one evening costs in processor time: ``PYTHONPATH=. python tests/benchmarks/bench_evening.py FOLDER [COUNT]``.

It takes a course that ``large_course.py FOLDER …`` has laid out and handed in, and marks COUNT evenings (24 where nothing is
said) of every exercise in this process, one after the other and with nothing known from before. Said are seconds, median and
quarters, the share of them in which a negative of one's own is developed, and how many float32 ``np.exp`` of 3.9 megapixels
that is, measured between the evenings, so that both are slowed down alike. Nothing here passes or fails by time.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from sim.marking.batch import read_batch, task_of
from sim.marking.handed_files import content_of
from sim.marking.replaying import Task, mark_evening, prepare_worker
from sim.negative.develop import find_negative

PICTURE = np.linspace(-8.0, 0.0, 3_900_000, dtype=np.float32)


def cpu_s(step: Callable[[], object]) -> float:
    """Return the processor time that a step takes, of all threads of this process."""
    before = time.process_time()
    step()
    return time.process_time() - before


def tasks_of(folder: Path, exercise: str, count: int) -> list[Task]:
    """Return the work for the first evenings of an exercise, one negative after the other as the marker does it."""
    batch = read_batch(folder / "in", folder / "course.toml", time_limit_s=60.0)
    found = []
    for file in [file for file in batch.files if file.exercise == exercise][: count + 1]:
        task = task_of(batch, file)
        found.append(Task(task.key, task.content, content_of(file), task.exercise, task.digests, 60.0))
    return sorted(found, key=lambda task: (task.exercise.negatives if task.exercise else (), task.content))


def measure(folder: Path, exercise: str, count: int) -> str:
    """Return what the evenings of an exercise cost; the first warms up and is not counted."""
    first, *rest = tasks_of(folder, exercise, count)
    mark_evening(first)
    spent, copies, developed = [], [], []
    for task in rest:
        copies.append(cpu_s(lambda: np.exp(PICTURE)))
        spent.append(cpu_s(lambda task=task: mark_evening(task)))
        names = task.exercise.negatives if task.exercise else ()
        developed.append(sum(cpu_s(lambda name=name: find_negative(name)) for name in names))
    low, middle, high = np.percentile(spent, (25, 50, 75))
    own = len({task.exercise.negatives for task in rest if task.exercise}) > 1
    share = f", {np.median(developed):.3f} of them to develop it" if own else ""
    each = f"{middle:.3f} CPU s each (quarters {low:.3f}, {high:.3f}; least {min(spent):.3f}){share}"
    return f"{exercise}: {len(spent)} evenings, {each}; {middle / np.median(copies):.1f} np.exp of 3.9 megapixels"


def main() -> None:
    """Measure every exercise that was handed in."""
    folder, count = Path(sys.argv[1]), int((sys.argv[2:] or ["24"])[0])
    prepare_worker()
    for part in (folder, folder / "own"):
        if (part / "in").is_dir():
            for exercise in sorted({file.name.split("_")[1] for file in (part / "in").iterdir()}):
                print(measure(part, exercise, count), flush=True)


if __name__ == "__main__":
    main()
