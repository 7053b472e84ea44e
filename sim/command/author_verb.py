"""tonewright author: begin an exercise of one's own from a negative and a few answers."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from sim.plain_text import plain
from sim.refusals import Refused


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("folder", help="the exercise's new folder; its name is the exercise's name")
    parser.add_argument("--negative", metavar="NAME", help="the sleeve (asked for when left out, unless --goal is given)")
    parser.add_argument("--paper", default="glossy-rc-vc", help="the paper (default: %(default)s)")
    parser.add_argument("--unlock", metavar="CONTROLS", help="what the learner may move, such as time_s,filter")
    parser.add_argument("--places", metavar="NAMES", default="", help="places that are marked (default: lightest and darkest)")
    parser.add_argument("--title", default="", help="the title")
    parser.add_argument("--skill", default="free-print", help="the skill it counts for (default: %(default)s)")
    parser.add_argument("--sheets", type=int, default=20, help="sheets in the box (default: %(default)s)")
    parser.add_argument("--minutes", type=float, default=45.0, help="length of the evening (default: %(default)s)")
    parser.add_argument("--start-time", type=float, default=10.0, metavar="S", help="time at the start (default: %(default)s)")
    parser.add_argument("--start-filter", default="2", metavar="NAME", help="filter at the start (default: %(default)s)")
    parser.add_argument("--goal", metavar="RECORD", help="a record (JSON) of your own print: these tones are the goal")


def run(options: argparse.Namespace) -> int:
    """Write the folder; say what comes next."""
    from sim.command.of_a_course import refuse_of_a_course
    from sim.marking.authoring import Answers, write_new_exercise
    from sim.printing.record_file import read_record

    goal = read_record(Path(options.goal)) if options.goal else None
    negative = options.negative or (goal.negative if goal else _ask("Which negative? (see tonewright sleeves)", ""))
    if not negative:
        raise Refused("--negative or --goal is needed when there is nobody to ask, got neither")
    refuse_of_a_course((negative, *((goal.negative,) if goal else ())))
    unlock = options.unlock or _ask("What may the learner move?", "time_s,filter")
    folder = Path(options.folder)
    answers = Answers(
        folder.resolve().name, negative, options.paper, _names(unlock), _names(options.places), options.title,
        options.skill, options.start_time, options.start_filter, options.sheets, options.minutes,
    )  # fmt: skip
    for file in write_new_exercise(folder, answers, goal):
        print(file)
    return _derive(folder)


def _derive(folder: Path) -> int:
    """Have what follows from the new wishes worked out; exit code 1 when a person must decide something first."""
    from sim.workshop.derive.run import derive_all

    found = derive_all([folder], sleeves=False, jobs=1, progress=lambda name: None)
    for stop in found.stops:
        print(f"stop: {stop.in_words()}")
    if found.stops:
        print(f"What was written are wishes, and they do not all hold yet. Change them, then: tonewright derive {folder}")
        return 1
    found.write()
    for derived, files in found.folders:
        for name in files:
            print(derived / name)
    print(f"Now change the texts, then: tonewright derive {folder}, and tonewright check {folder}")
    return 0


def _names(text: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name.strip() for name in text.split(",") if name.strip()))


def _ask(question: str, usual: str) -> str:
    """Ask at the keyboard; without one, take what is usual."""
    if not sys.stdin.isatty():
        return usual
    hint = f" [{usual}]" if usual else ""
    return input(plain(f"{question}{hint} ")).strip() or usual
