"""tonewright map: the printing map of a record, a page for a real darkroom."""

from __future__ import annotations

import argparse
from pathlib import Path

from sim.command.page_options import add_page_options


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("record", help="a printing record (JSON)")
    parser.add_argument("-o", "--output", metavar="PDF|PNG", help="where the page goes (default: RECORD-map.pdf)")
    add_page_options(parser)


def run(options: argparse.Namespace) -> int:
    """Draw the page."""
    from sim.notebook.printing_map import write_map
    from sim.printing.record_file import read_record

    file = Path(options.record)
    output = Path(options.output or f"{file.stem}-map.pdf")
    files = write_map(read_record(file), output, options.page, options.large)
    print(f"Printing map written to {' and '.join(map(str, files))}")
    return 0
