"""Options that the learner's verbs share: who, where things are kept, which day it is."""

from __future__ import annotations

import argparse
import time
from pathlib import Path

SECONDS_A_DAY = 86_400


def add_learner_options(parser: argparse.ArgumentParser) -> None:
    """Add the options that say whose progress this is."""
    group = parser.add_argument_group("learner")
    group.add_argument("--learner", default="", metavar="ID", help="who is working here (default: this account)")
    group.add_argument("--keep", metavar="DIR", help="where evenings and progress are kept (default: the account's own data)")
    group.add_argument("--day", type=int, metavar="N", help="number of the day, for the spacing of recall (default: today's)")


def kept_in(options: argparse.Namespace) -> Path:
    """Return the folder in which evenings and progress are kept."""
    from sim.bench.progress import usual_folder

    return Path(options.keep) if options.keep else usual_folder()


def today(options: argparse.Namespace) -> int:
    """Return the number of the day, counted from 1970: the one place where the learner's verbs look at the clock."""
    day: int | None = options.day
    if day is None:
        return int(time.time() // SECONDS_A_DAY)
    if not 0 <= day <= 10_000_000:
        raise ValueError(f"--day must be between 0 and 10000000, got {day}")
    return day


def evening_file(options: argparse.Namespace, exercise: str, learner: str, attempt: int) -> Path:
    """Return where the log of an attempt is kept."""
    from sim.bench.progress import progress_file

    who = progress_file(Path(), learner).stem.removeprefix("progress").lstrip("-") or "own"
    return kept_in(options) / "evenings" / who / f"{exercise}-{attempt}.jsonl"
