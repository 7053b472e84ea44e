"""`tonewright window`, and `tonewright` alone: the darkroom on the screen."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

from sim.refusals import Refused


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--folder", type=Path, default=None, help="where evenings and preferences are kept (default: your data folder)"
    )
    parser.add_argument(
        "--scale", type=float, default=None, metavar="PERCENT", help="how large everything is drawn, 100 to 250"
    )
    parser.add_argument(
        "--words", type=Path, default=None, metavar="POT", help="write all texts for translators, and stop"
    )
    parser.add_argument("--exercise", default="", metavar="NAME", help="open this exercise, by its name or folder")


def run(options: argparse.Namespace) -> int:
    """Open the window; refuses in words where there is no display."""
    if options.scale is not None and not 100.0 <= options.scale <= 250.0:
        raise Refused(f"scale must be between 100 and 250 (per cent), got {options.scale:g}")
    if options.words is not None:
        from sim.words_template import template
        from sim.writing import write_text

        write_text(options.words, template())
        print(f"Texts written to {options.words}")
        return 0
    if options.exercise:  # refused here in words, before a window is up
        from sim.scoring.exercise_file import exercise_at

        exercise_at(options.exercise)
    folder = options.folder
    if folder is not None and folder.exists() and not folder.is_dir():
        raise Refused(f"--folder must be a folder, got the file {str(folder)!r}")
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")  # what stands on the terminal is ours to say
    from sim.window.main_loop import run_window

    if folder is None:
        from sim.shelf import data_of_ones_own

        folder = data_of_ones_own()
    folder.mkdir(parents=True, exist_ok=True)  # where nothing can be kept, no evening is begun
    scale = options.scale / 100.0 if options.scale is not None else None
    language = getattr(options, "language", "")
    if language:
        return run_window(folder, scale, options.exercise, language=language)
    return run_window(folder, scale, options.exercise)
