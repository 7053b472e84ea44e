"""A program in which evenings are finished: run by test_progress_shared, several at a time.

Arguments: the folder, the learner, a first number, how many. Says when it is ready, begins at a line of input.
"""

from __future__ import annotations

import sys
from pathlib import Path

from sim.teaching.progress import EveningDone, change_progress, with_evening


def done(number: int) -> EveningDone:
    return EveningDone(
        attempt=number + 1, log=f"{number:064x}", day=number, negatives=["morning-shelf"], skill="time-from-strip", mode="solo",
        version=1, share=0.9, points=9.0, full_points=10.0, passed=True, hints=0, sheets=2.0, expected_sheets=3.0,
    )  # fmt: skip


if __name__ == "__main__":
    folder, learner = Path(sys.argv[1]), sys.argv[2]
    numbers = range(int(sys.argv[3]), int(sys.argv[3]) + int(sys.argv[4]))
    print("ready", flush=True)
    sys.stdin.readline()
    for number in numbers:
        change_progress(folder, learner, lambda kept, n=number: with_evening(kept, "time-from-a-strip", done(n)))
        print(f"kept {number}", flush=True)
