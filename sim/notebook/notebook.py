"""The notebook: every piece of paper of the evening with what was done for it, to read, and to take away.

Exported as records (JSON) and pictures (PNG), with a page that shows them all and a table for a spreadsheet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sim.evening.evening_state import EveningState
from sim.negative.sleeve import find_sleeve
from sim.notebook.control_words import filter_words
from sim.notebook.record_words import describe
from sim.page_templates import from_template, our_markup
from sim.plain_text import page_text, table_cell, table_text
from sim.printing.record_file import record_json
from sim.writing import write_png, write_text

Picture = Callable[[int, tuple[int, int]], NDArray[np.uint8]]
TEMPLATE = Path(__file__).with_name("templates") / "index.html"
PICTURE_PX = (900, 900)
COLUMNS = (
    "sheet", "piece", "counts", "negative", "paper", "minute", "exposures", "seconds", "aperture", "filter", "column_mm",
    "developer_s", "predicted", "observed", "explained",
)  # fmt: skip


@dataclass(frozen=True)
class Page:
    """A page of the notebook: one piece of paper, what was done, and what was said before and after."""

    number: int
    title: str
    lines: tuple[str, ...]
    predicted: tuple[str, ...] = ()
    observed: tuple[str, ...] = ()
    explained: tuple[str, ...] = ()


def pages(state: EveningState) -> tuple[Page, ...]:
    """Return the notebook's pages, oldest first."""
    out = []
    for made in state.sheets:
        record = made.record
        piece = "Strip" if record.sheet.kind == "strip" else "Sheet"
        counts = ", the one that counts" if made.number in state.nominated else ""
        title = f"{piece} {made.number}: {find_sleeve(record.negative).title}{counts}"
        out.append(
            Page(
                made.number, title, describe(record), _said(state, "predicted", made.number - 1),
                _said(state, "observed", made.number), _said(state, "explained", made.number),
            )
        )  # fmt: skip
    return tuple(out)


def _said(state: EveningState, kind: str, sheets_before: int) -> tuple[str, ...]:
    said = state.said_of(kind, sheets_before)
    return tuple(": ".join(filter(None, (words.choice, words.text))) for words in said)


def export(state: EveningState, picture: Picture, folder: Path) -> Path:
    """Write the whole notebook into a folder; return its index.html. Raises WritingFailed.

    ``picture`` gives the screen values [row, col] of a sheet by its number, fitted inside a size in pixels.
    """
    written = pages(state)
    for page in written:
        record = record_json(state.sheets[page.number - 1].record)
        write_text(folder / "records" / f"sheet-{page.number:02d}.json", record + "\n")
        write_png(folder / "prints" / f"sheet-{page.number:02d}.png", picture(page.number, PICTURE_PX))
    write_text(folder / "index.csv", _table(state, written))
    index = folder / "index.html"
    write_text(index, _index(state, written))  # last: an index never names what is not there
    return index


def _table(state: EveningState, written: tuple[Page, ...]) -> str:
    lines: list[Iterable[str]] = [COLUMNS]
    for page, made in zip(written, state.sheets):
        r = made.record
        lines.append(map(table_cell, (
            str(page.number), r.sheet.kind, "yes" if page.number in state.nominated else "", r.negative, r.sheet.paper,
            f"{made.minute:.1f}", str(len(r.exposures)), " + ".join(f"{e.time_s:g}" for e in r.exposures),
            " + ".join(f"f/{e.f_number:g}" for e in r.exposures), " + ".join(filter_words(e.filter) for e in r.exposures),
            f"{r.enlarger.height_mm:g}", f"{r.development.time_s:g}", "; ".join(page.predicted),
            "; ".join(page.observed), "; ".join(page.explained),
        )))  # fmt: skip
    return table_text(lines)


def _index(state: EveningState, written: tuple[Page, ...]) -> str:
    minutes = f"{state.used_s / 60.0:.0f} of {state.opening.minutes:g} minutes"
    about = f"{state.sheets_used:g} of {state.opening.sheets} sheets, {minutes}"
    return from_template(
        TEMPLATE, about=about, notes=state.notes, pages=written, nominated=state.nominated,
        plain=lambda text: our_markup(page_text(text)),
    ) + "\n"  # fmt: skip
