"""tonewright sleeves: the negatives in the file."""

from __future__ import annotations

import argparse


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the verb's options."""
    parser.add_argument("--json", action="store_true", help="as JSON instead of a table")


def run(options: argparse.Namespace) -> int:
    """List the sleeves."""
    from sim.command.pictures import show_json, show_table
    from sim.negative.sleeve import find_sleeve, sleeve_names

    sleeves = [find_sleeve(name) for name in sleeve_names()]
    if options.json:
        keys = ("name", "title", "teaches", "scene", "film", "frame_mm", "wants_filter")
        return show_json([{key: getattr(sleeve, key) for key in keys} for sleeve in sleeves])
    rows = [[s.name, f"{s.frame_mm[0]:.0f}x{s.frame_mm[1]:.0f}", s.teaches] for s in sleeves]
    return show_table("Negatives", ["name", "frame mm", "what it teaches"], rows, words=True)
