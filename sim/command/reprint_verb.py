"""tonewright reprint: a record for the same print at another size, on another paper, or from another negative."""

from __future__ import annotations

import argparse
from pathlib import Path

from sim.command.setting_options import sheet_size_mm


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("record", help="a printing record (JSON)")
    parser.add_argument("--negative", metavar="NAME", help="print another negative in the same way")
    parser.add_argument("--size", metavar="WxH", help="on a sheet of that size in mm, such as 305x406")
    parser.add_argument("--paper", metavar="NAME", help="on another paper")
    parser.add_argument("--head", metavar="NAME", help="with another enlarger: own:NAME for the seconds of your own")
    parser.add_argument("-o", "--output", metavar="JSON", help="where the new record goes (default: RECORD-reprint.json)")


def run(options: argparse.Namespace) -> int:
    """Write the new record and say what was changed."""
    from sim.notebook.own_seconds import own_seconds_lines
    from sim.notebook.reprint import reprinted
    from sim.printing.record_file import read_record, write_record

    file = Path(options.record)
    size = sheet_size_mm(options.size, "--size") if options.size else None
    record, notes = reprinted(read_record(file), options.negative, size, options.paper, options.head)
    output = Path(options.output or f"{file.stem}-reprint.json")
    write_record(output, record)
    for note in notes:
        print(note[0].upper() + note[1:] + ".")
    for line in own_seconds_lines(record):
        print(line)
    print(f"New record written to {output}")
    return 0
