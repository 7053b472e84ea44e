"""A program that takes decisions in an evening as fast as it can: run by test_two_hands, more than one at a time.

Arguments: the evening's log, how many decisions it should have acknowledged, a name, and how: ``evening`` opens the evening
and tries again while it is open elsewhere; ``bare`` writes lines without holding anything. Prints what was acknowledged.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from sim.evening.evening import Evening
from sim.evening.log import append_line, repair_log
from sim.locking import OpenElsewhere
from sim.refusals import Refusal

A_FEW = 5  # decisions before the evening is put away for the other


def holding(log: Path, wanted: int, name: str) -> None:
    done = 0
    while done < wanted:
        try:
            evening = Evening.open(log, "glossy-rc-vc")
        except OpenElsewhere:
            print("elsewhere", flush=True)
            time.sleep(0.002)
            continue
        with evening:
            for _ in range(min(A_FEW, wanted - done)):
                evening.note(f"{name} {done}")
                print(f"kept {name} {done}", flush=True)
                done += 1


def bare(log: Path, wanted: int, name: str) -> None:
    done = 0
    while done < wanted:
        try:
            last = repair_log(log).lines[-1]
            while done < wanted:
                last = append_line(log, "note", {"text": f"{name} {done}"}, last)
                print(f"kept {name} {done}", flush=True)
                done += 1
        except (Refusal, OSError):
            continue


if __name__ == "__main__":
    (holding if sys.argv[4] == "evening" else bare)(Path(sys.argv[1]), int(sys.argv[2]), sys.argv[3])
