"""Prints as picture files, and readings as tables for people and JSON for machines."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable, Collection, Sequence
from pathlib import Path
from typing import Any

from sim.command.in_language import told_on
from sim.enlarger.easel import MAX_SHEET_PX
from sim.negative.negative import Negative
from sim.plain_text import drawn_on, one_line, plain
from sim.printing.make_print import Print
from sim.printing.picture_fineness import Fineness
from sim.printing.record import PrintingRecord
from sim.printing.strips import Step
from sim.scoring.marks import Marks
from sim.viewing.densitometer import negative_density, places_read
from sim.viewing.lightness import lightness, safelight_values, screen_values
from sim.viewing.strip_numbers import numbered
from sim.viewing.strip_reading import StepRead, steps_read
from sim.writing import write_png

SHOWN = "shows, and reads"  # the column of the places that a strip's step shows, each with its reading


def save_print(
    path: Path, sheet: Print, steps: Sequence[Step] = (), viewing_lux: float = 500.0, view: str = "white"
) -> None:
    """Write a print as an 8-bit PNG as it looks under white light or a safelight, its size in the file (dpi).

    A strip's ``steps`` get their numbers at its edge.
    """
    values = screen_values(sheet.density, viewing_lux) if view == "white" else safelight_values(sheet.density, view)
    dpi = sheet.grid.px_per_mm * 25.4
    write_png(path, numbered(values, sheet, steps), dpi=(dpi, dpi))


def fineness_said(fineness: Fineness) -> list[str]:
    """Return in words what a picture's fineness leaves to be said: that memory cut it, that the negative holds no more."""
    dpi, usual, own = (round(px * 25.4) for px in (fineness.px_per_mm, fineness.wanted, fineness.native))
    lines = []
    if fineness.cut:
        lines.append(
            f"The picture has {dpi} pixels per inch of print where {usual} are usual: a sheet of this size "
            f"would pass {MAX_SHEET_PX // 1_000_000} megapixels, which memory allows."
        )
    if fineness.native < 0.98 * fineness.px_per_mm:
        lines.append(
            f"The negative's own pixels are {own} per inch of this print: the picture, drawn with {dpi}, "
            "shows no finer detail than they hold."
        )
    return lines


def readings_of(sheet: Print, negative: Negative) -> list[dict[str, Any]]:
    """Return the densitometer's readings of all named places: negative and print density, lightness."""
    rows = []
    for place, density in places_read(sheet, negative):
        rows.append(
            {
                "place": place.name,
                "part": place.part,
                "negative_density": round(negative_density(negative, place), 3),
                "print_density": round(density, 3),
                "lightness": round(float(lightness(density)), 1),
            }
        )
    return rows


_TWO_PLACES = re.compile(r", | to ")


def show_table(title: str, columns: list[str], rows: list[list[str]], words: bool | Collection[str] = False) -> int:
    """Print a table for people: first column to the left, numbers to the right, to the left when they are words.

    ``words``: all columns hold words, or those that are named. Returns the exit code 0, for a verb that has nothing more to
    say.
    """
    from rich import box
    from rich.console import Console
    from rich.markup import escape
    from rich.table import Table

    table, told = Table(box=box.SIMPLE_HEAD), told_on(sys.stdout)
    for index, column in enumerate(columns):
        left = index == 0 or (words if isinstance(words, bool) else column in words)
        table.add_column(escape(plain(told(column))), justify="left" if left else "right")
    for row in rows:
        cells = (_cell(column, cell, told) for column, cell in zip(columns, row, strict=True))
        table.add_row(*(escape(plain(cell)) for cell in cells))
    console = Console(highlight=False, file=drawn_on(sys.stdout))
    console.print(f"[bold]{escape(one_line(told(title)))}[/bold]")
    console.print(table)
    return 0


def _cell(column: str, cell: str, told: Callable[[str], str]) -> str:
    """Return a cell as it is said; a place in another language keeps beside it the name that is typed, two places have none."""
    if column == SHOWN:
        return ", ".join(_measured(one, told) for one in cell.split(", "))
    if column != "place":
        return _measured(cell, told) if told(cell) == cell else told(cell)
    spaced = cell.replace("-", " ")
    said = told(spaced)
    if said == spaced:
        return cell
    return said if _TWO_PLACES.search(cell) else f"{said} ({cell.replace(' ', '-')})"


def _measured(cell: str, told: Callable[[str], str]) -> str:
    """Return a number with its unit, or a place with its reading, each said by itself."""
    with_unit = re.fullmatch(r"([\d.]+) ([^\d]+)", cell)
    if with_unit:
        return f"{told(with_unit[1])} {told(with_unit[2])}"
    read = re.fullmatch(r"([a-z][a-z0-9-]*) ([\d.]+)", cell)
    return f"{_cell('place', read[1], told)} {told(read[2])}" if read else told(cell)


def show_readings(sheet: Print, negative: Negative, title: str) -> None:
    """Print the readings table of a print."""
    rows = [
        [r["place"], r["part"], f"{r['negative_density']:.2f}", f"{r['print_density']:.2f}", f"{r['lightness']:.0f}"]
        for r in readings_of(sheet, negative)
    ]
    show_table(title, ["place", "part", "negative D", "print D", "L*"], rows)


def steps_data(steps: Sequence[StepRead]) -> list[dict[str, Any]]:
    """Return a strip's steps for a machine: seconds, density of the middle, and what every place that is shown reads."""
    return [
        {"step": one.number, "time_s": round(one.time_s, 4), "density": round(one.density, 4),
         "shows": {name: round(read, 4) for name, read in one.shows}}
        for one in steps
    ]  # fmt: skip


def show_steps(steps: Sequence[StepRead], title: str) -> None:
    """Print a strip step by step: what its middle reads, and which places it shows."""
    rows = [
        [str(one.number), f"{one.time_s:.2f}", f"{one.density:.2f}",
         ", ".join(f"{name} {read:.2f}" for name, read in one.shows) or "-"]
        for one in steps
    ]  # fmt: skip
    show_table(title, ["step", "seconds", "its middle", SHOWN], rows)


def print_data(sheet: Print, negative: Negative, record: PrintingRecord) -> dict[str, Any]:
    """Return what was read, for a machine; a strip is read step by step, for its places do not lie where a print's do."""
    steps = steps_read(negative, record, sheet)
    return {"steps": steps_data(steps)} if steps else {"readings": readings_of(sheet, negative)}


def show_print(sheet: Print, negative: Negative, record: PrintingRecord, title: str) -> None:
    """Print what was read, for people; of a strip step by step."""
    steps = steps_read(negative, record, sheet)
    if steps:
        show_steps(steps, title)
    else:
        show_readings(sheet, negative, title)


def show_tones(marks: Marks, title: str, called: Callable[[str], str] = str) -> None:
    """Print marks of tones: what each place read, what was wanted, and what it earned."""
    rows = [
        [called(m.place), f"{m.measured:.2f}", f"{m.wanted:.2f}", f"{m.tolerance:.3f}", f"{m.points:.1f} of {m.full_points:g}"]
        for m in marks.marks
    ]
    show_table(title, ["place", "measured", "wanted", "tolerance", "points"], rows)


def show_json(data: Any) -> int:
    """Print data for a machine, which is all that a verb then says; return the exit code 0."""
    print(json.dumps(data, indent=2, allow_nan=False))  # plain ASCII: whole on any terminal and through any pipe
    return 0
