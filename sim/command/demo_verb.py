"""tonewright demo: a short evening with two negatives of the pottery workshop, no display needed."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sim.scoring.marks import Marks
    from sim.teaching.demonstration import Demonstration

DEFAULT_FOLDER = "first-prints"
COURSE_FOLDER = "first-course"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("-o", "--output", metavar="FOLDER",
                        help=f"folder (default: {DEFAULT_FOLDER}, or {COURSE_FOLDER} with --course)")  # fmt: skip
    parser.add_argument("--course", action="store_true",
                        help="instead: a whole course of made-up learners, assigned, handed in and marked")  # fmt: skip
    parser.add_argument("--jobs", type=int, default=2, metavar="N", help="with --course: worker processes")
    parser.add_argument("--json", action="store_true", help="what was made and read, as JSON")


def run(options: argparse.Namespace) -> int:
    """Run the evening, write prints, records and a readings table."""
    from sim.command.pictures import save_print
    from sim.locking import take_hold
    from sim.printing.record_file import write_record
    from sim.teaching.demonstration import demonstrate
    from sim.workshop.demo_figures import demo_prints_png, demo_strip_png
    from sim.writing import write_bytes, write_text

    if options.course:
        return _course(options)
    folder = Path(options.output or DEFAULT_FOLDER)
    log = folder / "evening.jsonl"
    if log.is_file():  # the demonstration is always the same evening; it never continues an older one, nor loses it
        with take_hold(log):  # not from under somebody's hands
            log.replace(log.with_name("evening.previous.jsonl"))
    done = demonstrate(log)
    sheets = {"strip": done.strip, "first-print": done.first, "straight": done.straight, "split": done.split}
    for name, made in sheets.items():
        save_print(folder / f"{name}.png", made.sheet)
        write_record(folder / f"{name}.json", made.record)
    write_bytes(folder / "wall-strip.png", demo_strip_png(done))
    write_bytes(folder / "wall-prints.png", demo_prints_png(done))
    data = _data(done)
    write_text(folder / "readings.json", json.dumps(data, indent=2) + "\n")
    if options.json:
        print(json.dumps(data, indent=2))
    else:
        _show(done, folder)
    return 0


def _marks_data(marks: Marks) -> list[dict[str, object]]:
    return [
        {"place": m.place, "measured": round(m.measured, 3), "wanted": round(m.wanted, 3),
         "tolerance": round(m.tolerance, 3), "points": round(m.points, 2)}
        for m in marks.marks
    ]  # fmt: skip


def _data(done: Demonstration) -> dict[str, object]:
    from sim.command.pictures import readings_of

    return {
        "strip": [
            {"time_s": round(t, 2), "density": round(d, 3)}
            for t, d in zip(done.reading.times_s, done.reading.densities, strict=True)
        ],
        "first_print": readings_of(done.first.sheet, done.first.negative),
        "straight": {"readings": readings_of(done.straight.sheet, done.straight.negative),
                     "marks": _marks_data(done.straight_marks)},
        "split": {"readings": readings_of(done.split.sheet, done.split.negative), "marks": _marks_data(done.marks),
                  "nominated": True},
        "notes": list(done.evening_notes),
    }  # fmt: skip


def _show(done: Demonstration, folder: Path) -> None:
    from sim.command.pictures import show_readings, show_table, show_tones
    from sim.viewing.plain_names import plain_name

    rows = [[f"{t:.1f}", f"{d:.2f}"] for t, d in zip(done.reading.times_s, done.reading.densities, strict=True)]
    show_table("Half-stop strip, filter 2", ["seconds", "density"], rows)
    show_readings(done.first.sheet, done.first.negative, f"First print: {done.first.negative.name}")
    for title, marks in (("One exposure", done.straight_marks), ("Split, with a card (nominated)", done.marks)):
        show_tones(marks, f"{title}: {marks.points:.1f} of {marks.full_points:g} points", plain_name)
    for note in done.evening_notes:
        print(note)
    print(f"Prints, records, the evening's log and readings.json are in {folder}/")


def _course(options: argparse.Namespace) -> int:
    """Make the demonstration course and mark it, as an instructor would with the verb ``mark``."""
    from sim.command.main import build_parser
    from sim.marking.demo_course import make_demo_course

    folder = Path(options.output or COURSE_FOLDER)
    made = make_demo_course(folder)
    print(f"{made.handed_in} evenings handed in: {made.submissions}")
    words = [
        "mark", str(made.submissions), "--course", str(made.course_file), "--received", str(made.received_file),
        "-o", str(folder / "marks"), "--jobs", str(options.jobs),
    ]  # fmt: skip
    marking = build_parser("mark").parse_args(words)
    code: int = marking.run(marking)
    return 0 if code == 1 else code  # findings are part of the show: some of these files are damaged
