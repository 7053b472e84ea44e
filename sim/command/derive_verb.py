"""``tonewright derive``: from what lessons and sleeves wish for to references, targets, trials and numbers; or compare."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from sim.refusals import Refused


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("lessons", nargs="*", metavar="LESSON",
                        help="lessons, or folders of your own exercises (default: every lesson, and the sleeves)")  # fmt: skip
    parser.add_argument("--check", action="store_true", help="change nothing; tell where derived files are not up to date")
    parser.add_argument("--sleeves", action="store_true", help="the sleeves' claims too, when lessons are named")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="processes (default: %(default)s)")


def run(options: argparse.Namespace) -> int:
    """Derive or check; exit code 1 when a claim is broken or, with --check, when something is not up to date."""
    from sim.scoring.exercise_file import exercise_folder, exercise_names
    from sim.workshop.derive.run import derive_all

    if not 1 <= options.jobs <= 64:
        raise Refused(f"--jobs must be between 1 and 64, got {options.jobs}")
    folders: list[Path] = [exercise_folder(name) for name in options.lessons or exercise_names()]
    found = derive_all(folders, options.sleeves or not options.lessons, options.jobs, lambda name: print(name, flush=True))
    for owed in found.owed:
        print(f"owed: {owed}")
    for stop in found.stops:
        print(f"stop: {stop.in_words()}")
    if found.stops:
        print(f"{len(found.stops)} claims no longer hold; nothing was written. Change the wish, or the claim, by hand.")
        return 1
    changed = found.differences() if options.check else found.write()
    for line in changed:
        print(line if options.check else f"written: {line}")
    if options.check:
        print(f"{len(changed)} differences" if changed else "Everything derived is what follows from the wishes.")
        return 1 if changed else 0
    print(f"{len(changed)} files changed")
    return 0
