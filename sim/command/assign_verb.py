"""tonewright assign: one bundle per learner and exercise, each with a negative of the learner's own, none with an answer."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from pathlib import Path

from sim.control_ranges import in_range
from sim.refusals import Refused

A_SEARCH_S = 600.0  # sixty variants of a large sheet, each tried
MOST_JOBS = 64


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("course", help="the course file (TOML)")
    parser.add_argument("--roster", metavar="CSV", help="the roster (default: the one the course names)")
    parser.add_argument("-o", "--output", default="bundles", metavar="FOLDER", help="where bundles go (default: %(default)s)")
    parser.add_argument("--learner", action="append", default=[], metavar="ID", help="only this learner; may be repeated")
    parser.add_argument("--jobs", type=int, default=1, metavar="N", help="processes that look for negatives (default: 1)")
    parser.add_argument("--scheduler", metavar="ADDRESS", help="look for them on a cluster of your own (see mark)")
    parser.add_argument("--shard", metavar="K/N", help="serve only part K of N of the learners, for machines that share it")
    parser.add_argument("--zip", action="store_true", help="beside the folders one zip a learner, and a list, index.csv")
    parser.add_argument("--new-secret", action="store_true", help="write the course's secret file first, if it is not there")


def run(options: argparse.Namespace) -> int:
    """Write the bundles; show how many, and where."""
    from sim.marking.assign import assign
    from sim.marking.course import read_course
    from sim.marking.roster import read_roster
    from sim.marking.shards import shard_in
    from sim.reading import FileRefused, Problem

    course = read_course(Path(options.course))
    roster_file = Path(options.roster) if options.roster else course.roster
    if roster_file is None:
        raise FileRefused(course.file, [Problem("roster", "is required here or as --roster", "none")])
    if options.new_secret:
        _new_secret(course.secret_file)
    count = 0
    learners: set[str] = set()
    roster = read_roster(roster_file, course.roster_columns)
    with _workers(options) as executor:
        for bundled in assign(course, roster, Path(options.output), tuple(options.learner), executor, shard_in(options.shard)):
            count += 1
            learners.add(bundled.learner)
    if options.zip:
        from sim.marking.assign import zip_bundles

        zip_bundles(roster, Path(options.output), learners)
    bundles = "1 bundle" if count == 1 else f"{count} bundles"
    print(f"{bundles} for {'1 learner' if len(learners) == 1 else f'{len(learners)} learners'} in {options.output}")
    return 0


@contextmanager
def _workers(options: argparse.Namespace) -> Iterator[Executor | None]:
    """Give who looks for negatives: processes of this machine, a cluster's, or nobody but us."""
    from sim.marking.running import chosen_executor

    in_range("--jobs", options.jobs, 1, MOST_JOBS)
    if options.jobs == 1 and not options.scheduler:
        yield None
        return
    with chosen_executor(options.jobs, A_SEARCH_S, options.scheduler) as executor:
        yield executor


def _new_secret(file: Path | None) -> None:
    """Write a secret nobody can guess; one that is there stays, or every learner would get another negative."""
    import contextlib
    import secrets

    from sim.writing import write_text

    if file is None:
        raise Refused("the course must name a secret_file before one can be written, got none")
    if not file.exists():
        write_text(file, secrets.token_hex(32) + "\n")
        with contextlib.suppress(OSError):  # where a file cannot be closed to others it is as private as its folder
            file.chmod(0o600)
