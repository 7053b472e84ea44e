"""tonewright generate: make scenes, grain and figures again from their recipes, or check them."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import Any

from sim.control_ranges import in_range
from sim.plain_text import drawn_on, plain
from sim.refusals import Refused


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("only", nargs="*", metavar="PATTERN", help="only files that fit, e.g. 'scenes/*' (default: all)")
    parser.add_argument("--check", action="store_true", help="change nothing; compare stored files with manifest and recipes")
    parser.add_argument("--whole", action="store_true", help="with --check: trace windows of all photographs again, not of two")
    parser.add_argument("--preview", action="store_true", help="photographs only: small and rough, into the current folder")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="processes (default: %(default)s)")
    parser.add_argument("--folder", help="another folder with recipes.toml (default: assets_generated)")
    parser.add_argument("--json", action="store_true", help="findings as JSON")


def run(options: argparse.Namespace) -> int:
    """Make or check; exit code 1 when the check finds something."""
    from sim.reading import data_folder
    from sim.workshop.generate import check
    from sim.workshop.photographs.catalogue import AWAITING

    folder = Path(options.folder) if options.folder else data_folder("assets_generated")
    in_range("--jobs", options.jobs, 1, 64)
    if options.preview and options.check:
        raise Refused("--preview makes pictures and --check makes none: give one of them")
    if options.preview:
        return _preview(options, folder)
    if not options.check:
        return _make(options, folder)
    findings = check(folder, options.whole)
    if options.json:
        from sim.command.pictures import show_json

        show_json([{"path": f.path, "what": f.what} for f in findings])
    else:
        for finding in findings:
            print(f"{finding.path}: {finding.what}")
        print("All generated files are what their recipes say." if not findings else f"{len(findings)} findings")
        print(f"Not traced again, for they are described better since they were made: {', '.join(AWAITING)}")
    return 1 if findings else 0


def _preview(options: argparse.Namespace, folder: Path) -> int:
    from fnmatch import fnmatch

    from sim.workshop.photographs.catalogue import preview
    from sim.workshop.recipes import read_recipes
    from sim.writing import write_png

    recipes = [recipe for recipe in read_recipes(folder) if recipe.maker == "photograph"]
    chosen = [r for r in recipes if any(fnmatch(r.path, pattern) for pattern in options.only or ["*"])]
    if not chosen:
        raise Refused(f"no photograph fits {', '.join(options.only)}")
    for recipe in chosen:
        picture = Path(f"{recipe.subject}-preview.png")
        write_png(picture, preview(recipe.subject or "", options.jobs))
        print(f"Written to {picture}")
    return 0


def _make(options: argparse.Namespace, folder: Path) -> int:
    from fnmatch import fnmatch

    from rich.console import Console
    from rich.markup import escape
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    from sim.workshop.generate import generate
    from sim.workshop.recipes import read_recipes

    paths = [recipe.path for recipe in read_recipes(folder)]  # refused here, before there is a bar to draw
    if not any(fnmatch(path, pattern) for path in paths for pattern in options.only or ["*"]):
        raise Refused(f"no recipe fits {', '.join(options.only) or folder}")
    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.percentage:>3.0f} %"), TimeElapsedColumn())
    with Progress(*columns, console=Console(file=drawn_on(sys.stdout))) as progress:
        tasks: dict[str, object] = {}

        def report(path: str, done: int, total: int) -> None:
            if path not in tasks:
                tasks[path] = progress.add_task(escape(plain(path)), total=total)
            if total > 1 or done == 1:
                progress.update(tasks[path], completed=done, total=total)  # type: ignore[arg-type]

        made = generate(folder, options.only, options.jobs, report, {"window": _window_picture, "page": _page_picture})
    print(f"{len(made)} files made in {folder}")
    return 0


def _window_picture(recipe: Any) -> bytes:
    """Return the window in a state, drawn off the screen."""
    from sim.window.portraits import portrait_png

    return portrait_png(recipe.subject or "", recipe.width_px or 1280, recipe.height_px or 800)


def _page_picture(recipe: Any) -> bytes:
    """Return the top of a page of the demonstration course. Needs the extra ``pages``, as only this picture does."""
    from sim.command.page_pictures import demo_page_png

    return demo_page_png(recipe.subject or "", recipe.width_px or 1000, recipe.height_px or 1200)
