"""tonewright progress: skills met, learning curve, what comes next; as a table, as data, or as one page."""

from __future__ import annotations

import argparse
from pathlib import Path

from sim.command.learner_options import add_learner_options, kept_in, today


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--html", metavar="FILE", help="write one page that stands alone")
    parser.add_argument("--json", action="store_true", help="the same as data")
    add_learner_options(parser)


def run(options: argparse.Namespace) -> int:
    """Show the progress, or write its page."""
    from dataclasses import asdict

    from sim.command.pictures import show_json, show_table
    from sim.scoring.syllabus import read_syllabus
    from sim.teaching.progress import read_progress
    from sim.teaching.progress_page import progress_page
    from sim.teaching.progress_picture import progress_picture
    from sim.writing import write_text

    progress = read_progress(kept_in(options), options.learner)
    picture = progress_picture(progress, read_syllabus(), today(options))
    if options.html:
        write_text(Path(options.html), progress_page(picture))
    if options.json:
        return show_json(asdict(picture))
    rows = [
        [s.title, "met" if s.met else f"{len(s.negatives)} of {s.needed}", ", ".join(s.negatives),
         " ".join(f"{100 * share:.0f}" for share in s.curve[-8:]), f"{s.sheets:g}" if s.curve else ""]
        for s in picture.skills
    ]  # fmt: skip
    title = f"Progress of {picture.learner or 'this account'}"
    show_table(title, ["skill", "met", "on", "quality in %", "sheets"], rows, words=True)
    print(f"{picture.skills_met} of {len(picture.skills)} skills met, {picture.evenings} evenings, "
          f"{picture.sheets_used:g} sheets used where the trade's rules need {picture.sheets_expected:g}.")  # fmt: skip
    for skill in picture.recall:
        print(f"Recall today: {skill.replace('-', ' ')}")
    if picture.next_title:
        print(f"Next: tonewright lesson {picture.next_lesson}   ({picture.next_title})")
    if options.html:
        print(f"Page written to {options.html}")
    return 0
