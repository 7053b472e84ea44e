"""What a tone is worth on a real paper, beside the readings of a print: a table for people, numbers for machines."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from sim.refusals import Refused

if TYPE_CHECKING:
    from sim.negative.negative import Negative
    from sim.paper.stock import Stock
    from sim.printing.record import PrintingRecord
    from sim.viewing.real_paper import RealTone


def add_real_paper_option(parser: argparse.ArgumentParser) -> None:
    """Add the option of every verb that reads tones."""
    parser.add_argument("--real-paper", action="store_true",
                        help="also say how far each tone may lie off on a real sheet, untested and after a strip")  # fmt: skip


def tones_on_real_paper(negative: Negative, record: PrintingRecord, stock: Stock) -> tuple[RealTone, ...]:
    """Return every place that lies on the sheet, the lightest that must keep texture put right by a strip."""
    from sim.negative.sleeve import find_sleeve
    from sim.scoring.readings import on_sheet
    from sim.viewing.real_paper import real_tones

    places = tuple(place for place in negative.places if on_sheet(negative, record, place))
    if not places:
        raise Refused("--real-paper needs a named place on the sheet, got none")
    strip_at = next((place for place in places if place.part == "lightest"), places[0])
    return real_tones(find_sleeve(record.negative), negative, record, stock, places, strip_at)


def real_paper_data(tones: tuple[RealTone, ...]) -> list[dict[str, Any]]:
    """Return the tones for a machine: standard uncertainties in density."""
    return [
        {"place": t.place, "print_density": round(t.density, 3), "untested": round(t.untested, 3),
         "after_a_strip": round(t.after_a_strip, 3), "mostly": list(t.mostly)}
        for t in tones
    ]  # fmt: skip


def _said(key: str) -> str:
    """Return a number's key as it is said: ``paper emulsion.image_density`` is the paper's image density."""
    thing, _, name = key.partition(" ")
    if thing not in ("paper", "film", "head", "lens"):
        return key
    units = ("mm", "s", "k", "cd", "m2", "deg", "lp", "log")
    return f"{thing}'s {' '.join(word for word in name.rpartition('.')[2].split('_') if word not in units)}"


def show_real_paper(tones: tuple[RealTone, ...]) -> None:
    """Print the tones for people; nothing where nobody asked for them."""
    from sim.command.pictures import show_table

    rows = [
        [t.place, f"{t.density:.2f}", f"± {t.untested:.2f}", f"± {t.after_a_strip:.2f}", ", ".join(map(_said, t.mostly)) or "–"]
        for t in tones
    ]
    if not rows:
        return
    columns = ["place", "print D", "untested", "after a strip", "mostly from"]
    show_table("On a real paper (two of three sheets lie within)", columns, rows, words=True)
