"""tonewright submit: hand an evening in, as one file."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from sim.refusals import Refused


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("log", help="the evening's log")
    parser.add_argument("-o", "--output", metavar="FILE", help="the file to hand in (default: beside the log)")
    parser.add_argument("--counts", metavar="NUMBERS", default="",
                        help="the sheets that count, such as 3,5, where the evening has not named them")  # fmt: skip
    parser.add_argument("--part", action="store_true",
                        help="hand in what is there of several prints; a print that is missing earns nothing")  # fmt: skip
    parser.add_argument("--json", action="store_true", help="what was handed in, as JSON")


def run(options: argparse.Namespace) -> int:
    """Write the file, read it back, say what it holds."""
    from sim.command.pictures import show_json
    from sim.evening.handing_in import NothingNominated, TooFewNominated, hand_in
    from sim.evening.log import read_log

    log = Path(options.log)
    if not log.name:
        raise Refused(f"log must be the file of an evening, got {options.log!r}")
    lines = read_log(log).lines
    opening = lines[0].data if lines else {}
    output = Path(options.output) if options.output else log.with_name(_usual_name(log, opening))
    needed = sheets_needed(opening)
    try:
        handed = hand_in(log, output, needed, _numbers(options.counts), options.part)
    except NothingNominated as error:
        raise Refused(f"{error}, or name it with --counts") from None
    except TooFewNominated as error:
        raise Refused(f"{error}; --part hands in what is there, and what is missing earns nothing") from None
    data = {"file": str(handed.file), "lines": handed.lines, "sheets": handed.sheets, "nominated": list(handed.nominated),
            "missing": max(0, needed - len(handed.nominated))}  # fmt: skip
    if options.json:
        return show_json({**data, "size_bytes": handed.size_bytes})
    counts = ", ".join(f"sheet {number}" for number in handed.nominated)
    print(f"{handed.file}: {handed.sheets} pieces of paper, {handed.lines} lines, {handed.size_bytes / 1024:.0f} KB; "
          f"what counts: {counts}. Written and read back.")  # fmt: skip
    if data["missing"]:
        print(f"{data['missing']} of the {needed} prints asked for are missing; what is missing earns nothing.")
    print("Hand in this one file. The evening itself stays open; should you go on, hand it in again.")
    return 0


def _usual_name(log: Path, opening: dict[str, Any]) -> str:
    """Return the name of the file to hand in: whose it is, of which exercise and which attempt, where the log says so."""
    from sim.marking.pages import file_name

    learner, exercise, attempt = (str(opening.get(key, "")) for key in ("learner", "exercise", "attempt"))
    if not learner or not exercise:
        return f"{log.stem}-handed-in.jsonl"
    return f"{file_name(learner)}_{file_name(exercise)}_{file_name(attempt or '1')}.jsonl"


def _numbers(text: str) -> tuple[int, ...]:
    """Return the numbers of sheets as they were typed, each once."""
    words = [word.strip() for word in text.split(",") if word.strip()]
    if not all(word.isascii() and word.isdigit() and len(word) < 6 for word in words) or len(set(words)) < len(words):
        raise Refused(f"--counts must be numbers of sheets, each once, such as 3,5, got {text[:40]!r}")
    return tuple(int(word) for word in words)


def sheets_needed(opening: dict[str, Any]) -> int:
    """Return how many sheets the log's exercise asks for: one for each negative, times its copies.

    Copies stand in the log; of one begun before they did, a lesson's are known where it is still the same.
    """
    from sim.scoring.exercise_file import exercise_names, find_exercise

    negatives, name, copies = (opening.get(key) for key in ("negatives", "exercise", "copies"))
    each = max(1, len(negatives)) if isinstance(negatives, list) else 1
    if isinstance(copies, int):
        return each * max(1, copies)
    if not isinstance(name, str) or name not in exercise_names():
        return each
    exercise = find_exercise(name)[1]
    return each * (exercise.copies if opening.get("exercise_digest") == exercise.digest else 1)
