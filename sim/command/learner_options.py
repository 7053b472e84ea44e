"""Options that the learner's verbs share: who, where things are kept, which day it is."""

from __future__ import annotations

import argparse
import time
from pathlib import Path

SECONDS_A_DAY = 86_400
MOST_DAYS, MOST_ID_CHARACTERS = 10_000_000, 200


def add_learner_options(parser: argparse.ArgumentParser) -> None:
    """Add the options that say whose progress this is."""
    group = parser.add_argument_group("learner")
    group.add_argument("--learner", default="", type=_learner, metavar="ID", help="who is working here (default: this account)")
    group.add_argument("--keep", metavar="DIR", help="where evenings and progress are kept (default: the account's own data)")
    group.add_argument("--day", type=_day, metavar="N", help="number of the day, for the spacing of recall (default: today's)")


def kept_in(options: argparse.Namespace) -> Path:
    """Return the folder in which evenings and progress are kept."""
    from sim.shelf import data_of_ones_own

    return Path(options.keep) if options.keep else data_of_ones_own()


def today(options: argparse.Namespace) -> int:
    """Return the number of the day, counted from 1970: the one place where the learner's verbs look at the clock."""
    day: int | None = options.day
    return int(time.time() // SECONDS_A_DAY) if day is None else day


def _learner(text: str) -> str:
    """Return a learner's id as it was typed; refused before anything is begun in that name."""
    if len(text) > MOST_ID_CHARACTERS or not text.isprintable():
        got = repr(text[:40])
        raise argparse.ArgumentTypeError(f"must be printable and at most {MOST_ID_CHARACTERS} characters long, got {got}")
    return text


def _day(text: str) -> int:
    """Return the number of a day; refused before a lesson is worked whose progress could then not be kept."""
    try:
        day = int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"must be a whole number, got {text[:40]!r}") from None
    if not 0 <= day <= MOST_DAYS:
        raise argparse.ArgumentTypeError(f"must be between 0 and {MOST_DAYS}, got {day}")
    return day


def evening_file(options: argparse.Namespace, exercise: str, learner: str, attempt: int) -> Path:
    """Return where the log of an attempt is kept."""
    from sim.teaching.progress import progress_file

    who = progress_file(Path(), learner).stem.removeprefix("progress").lstrip("-") or "own"
    return kept_in(options) / "evenings" / who / f"{exercise}-{attempt}.jsonl"
