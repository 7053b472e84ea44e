"""Options of every verb that makes a page for the darkroom: the paper it is printed on, and the size of its type."""

from __future__ import annotations

import argparse


def add_page_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--page", choices=("a4", "letter"), default="a4", help="size of the page (default: %(default)s)")
    parser.add_argument("--large", action="store_true", help="larger type, for a dim safelight; may take more pages")
