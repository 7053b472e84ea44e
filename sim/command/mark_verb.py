"""tonewright mark: mark a folder of handed-in evenings; gradebook, pages for learners, a page for whoever teaches."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from sim.control_ranges import in_range
from sim.plain_text import drawn_on

MOST_JOBS = 64


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", help="the folder of handed-in files, or a zip of them")
    parser.add_argument("--course", required=True, metavar="TOML", help="the course file")
    parser.add_argument("--roster", metavar="CSV", help="who is in the course: id, name, email (default: the course file's)")
    parser.add_argument("-o", "--output", required=True, metavar="FOLDER", help="where results and pages go")
    parser.add_argument("--jobs", type=int, default=min(os.cpu_count() or 1, 8), metavar="N",
                        help="worker processes on this machine (default: %(default)s)")  # fmt: skip
    parser.add_argument("--scheduler", metavar="ADDRESS", help="mark on a cluster of your own: the address of a dask "
                        "scheduler, who can then do all that you can (see lessons/courses.md)")  # fmt: skip
    parser.add_argument("--shard", metavar="K/N", help="replay only part K of N, for machines that share these folders; "
                        "then mark once without it")  # fmt: skip
    parser.add_argument("--received", metavar="CSV", help="when files came, and from whom: file, received, "
                        "uploader (default: the course file's, else the files' own times)")  # fmt: skip
    parser.add_argument("--overrides", metavar="CSV", help="points given by a person: learner (id or code), exercise, "
                        "points, reason, private (default: the course file's)")  # fmt: skip
    parser.add_argument("--accept-version", action="store_true",
                        help="mark evenings done under earlier versions of an exercise by today's")  # fmt: skip
    parser.add_argument("--changes", metavar="CSV", help="write all marks that change against the last run here")
    parser.add_argument(
        "--mapping", metavar="TOML", help="the gradebook's columns: a file of yours, or one of the examples email-and-percent, "
        "line-for-each-piece, name-id-section-maxima (default: id, name, email, every exercise)",
    )  # fmt: skip
    parser.add_argument("--anonymous", action="store_true", help="no names, ids or addresses in anything written")
    parser.add_argument("--dry-run", action="store_true",
                        help="show what would change; only replayed evenings are kept, nothing else is written")  # fmt: skip
    parser.add_argument("--hand-back", metavar="FOLDER", help="then copy the learners' finished pages, and only them, here")
    parser.add_argument("--zip", action="store_true", help="hand back one zip of the pages with a list, pages.zip")
    parser.add_argument("--time-limit", type=float, default=20.0, metavar="S",
                        help="most seconds of a processor's time for one evening (default: %(default)s)")  # fmt: skip


def run(options: argparse.Namespace) -> int:
    """Mark, show findings and changes, and then write."""
    from sim.marking.course_run import Wanted, run_course
    from sim.marking.gradebook import mapping_file
    from sim.marking.shards import shard_in

    in_range("--jobs", options.jobs, 1, MOST_JOBS)
    in_range("--time-limit", options.time_limit, 0.5, 3600, "s")
    roster, received, overrides, hand_back_to, changes = (
        Path(name) if name else None
        for name in (options.roster, options.received, options.overrides, options.hand_back, options.changes)
    )
    mapping = mapping_file(options.mapping) if options.mapping else None
    wanted = Wanted(
        Path(options.folder), Path(options.course), Path(options.output), roster, received, overrides, mapping,
        options.jobs, options.scheduler, options.anonymous, options.dry_run, hand_back_to, options.time_limit,
        options.accept_version, changes, options.zip, shard_in(options.shard),
    )  # fmt: skip
    with _progress() as progress:
        return 1 if run_course(wanted, print, progress) else 0


@contextmanager
def _progress() -> Iterator[Callable[[int, int], None] | None]:
    """Show on a terminal how far it is; through a pipe say nothing."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(file=drawn_on(sys.stderr)), transient=True) as bar:
        task = bar.add_task("marking", total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)
