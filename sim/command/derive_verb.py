"""``tonewright derive``: from what lessons and sleeves wish for to references, targets, trials and numbers; or compare."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from sim.control_ranges import in_range


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("lessons", nargs="*", metavar="LESSON",
                        help="lessons, or folders of your own exercises (default: every lesson, and the sleeves)")  # fmt: skip
    parser.add_argument("--check", action="store_true", help="change nothing; tell where derived files are not up to date")
    parser.add_argument("--sleeves", action="store_true", help="the sleeves' claims too, when lessons are named")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="processes (default: %(default)s)")


def run(options: argparse.Namespace) -> int:
    """Derive or check; exit code 1 when a claim is broken or, with --check, when something is not up to date."""
    from sim.command.of_a_course import refuse_of_a_course
    from sim.scoring.exercise_file import exercise_folder, exercise_names
    from sim.workshop.derive.run import derive_all

    in_range("--jobs", options.jobs, 1, 64)
    folders: list[Path] = [exercise_folder(name) for name in options.lessons or exercise_names()]
    refuse_of_a_course(name for folder in folders if options.lessons for name in _negatives_named(folder))
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


def _negatives_named(folder: Path) -> list[str]:
    """Return the negatives that an exercise's file names, whatever else of it is still to be derived."""
    from sim.reading import MAX_TOML_BYTES, parse_toml, read_text
    from sim.scoring.exercise_file import EXERCISE_FILE

    file = folder / EXERCISE_FILE
    named = parse_toml(file, read_text(file, MAX_TOML_BYTES)).get("negatives")
    return [name for name in named if isinstance(name, str)] if isinstance(named, list) else []
