"""By day a draw, by night everything: which of many heavy cases a run takes, how often, and which files come first.

By day what is tried on many lessons at length takes some of them, drawn anew for every run. The seed is said at the end of the
run and with every failure; ``TONEWRIGHT_DRAW=SEED`` draws the same again. ``TONEWRIGHT_NIGHT=1`` takes all of them, and as many
turns as are worth a night. A name such as ``TONEWRIGHT_ROSTER=60`` sets the turns of one thing alone, by day or by night.
"""

from __future__ import annotations

import os
import secrets
import zlib
from collections.abc import Sequence
from pathlib import Path
from typing import TypeVar

import numpy as np
import pytest

Case = TypeVar("Case")
DRAW = "TONEWRIGHT_DRAW"
NIGHT = os.environ.get("TONEWRIGHT_NIGHT", "0") != "0"
SEED = int(os.environ.setdefault(DRAW, str(secrets.randbelow(10**6))))  # every process of a run inherits it
AGAIN = f"{DRAW}={SEED} draws the same cases again"
LONG = (
    "workshop/test_derive.py", "lessons/test_exercises.py", "lessons/test_ladder.py", "lessons/test_coach.py",
    "marking/test_walls.py", "marking/test_cut_off.py", "marking/test_cluster.py", "command/test_verbs.py",
    "command/test_lesson_verbs.py", "oracle/test_oracle.py", "wrong/test_unseen.py", "published/test_notices.py",
    "published/test_published_left_out.py", "reading/test_pictures.py", "scoring/test_under_a_card.py",
    "teaching/test_drills.py", "packaging/test_wheel.py", "window/test_real_display.py", "window/test_lesson_in_room.py",
    "window/test_one_room_layout.py", "window/test_window_sizes.py", "window/test_random_events.py",
    "laws/test_slipped_readings.py", "viewing/test_real_paper.py", "bench/test_darkroom_killed.py", "planted/test_planted.py",
    "marking/test_memory.py", "command/test_demo.py", "command/test_start.py",
)  # fmt: skip
derive_says_so = pytest.mark.skipif(not NIGHT, reason="by night: `tonewright derive --check` proves the same of every lesson")


def dice(what: str) -> np.random.Generator:
    """Return this run's dice for one thing: the same in every process of the run, others for every other thing."""
    return np.random.Generator(np.random.PCG64([SEED, zlib.crc32(what.encode())]))


def drawn(cases: Sequence[Case], most: int, what: str) -> list[Case]:
    """Return so many of the cases, in their order, drawn for this run; by night all of them."""
    if NIGHT or most >= len(cases):
        return list(cases)
    return [cases[k] for k in sorted(dice(what).choice(len(cases), most, replace=False))]


def turns(name: str, by_day: int, by_night: int) -> int:
    """Return how often something is tried: as often as the environment's ``name`` says, else as is usual by day or by night."""
    return int(os.environ.get(name) or (by_night if NIGHT else by_day))


def first_of_all(file: str) -> int:
    """Return where a file of tests stands in the order of a run: long ones first, the others in the order of their names."""
    name = "/".join(Path(file).parts[-2:])
    return LONG.index(name) if name in LONG else len(LONG)
