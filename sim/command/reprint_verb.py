"""tonewright reprint: a record for the same print at another size, on another paper, or from another negative."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from sim.refusals import Refused


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("record", help="a printing record (JSON)")
    parser.add_argument("--negative", metavar="NAME", help="print another negative in the same way")
    parser.add_argument("--size", metavar="WxH", help="on a sheet of that size in mm, such as 305x406")
    parser.add_argument("--paper", metavar="NAME", help="on another paper")
    parser.add_argument("-o", "--output", metavar="JSON", help="where the new record goes (default: RECORD-reprint.json)")


def run(options: argparse.Namespace) -> int:
    """Write the new record and say what was changed."""
    from sim.notebook.reprint import reprinted
    from sim.printing.record_file import read_record, write_record

    file = Path(options.record)
    size = _size(options.size) if options.size else None
    record, notes = reprinted(read_record(file), options.negative, size, options.paper)
    output = Path(options.output or f"{file.stem}-reprint.json")
    write_record(output, record)
    for note in notes:
        print(note[0].upper() + note[1:] + ".")
    print(f"New record written to {output}")
    return 0


def _size(text: str) -> tuple[float, float]:
    from sim.control_ranges import checked

    sides = re.fullmatch(r"(\d{1,4}(?:\.\d{1,2})?)x(\d{1,4}(?:\.\d{1,2})?)", text)
    if sides is None:
        raise Refused(f"--size must be width x height in mm such as 305x406, got {text!r}")
    width, height = (checked("--size", float(side), "paper_mm") for side in sides.groups())
    return width, height
