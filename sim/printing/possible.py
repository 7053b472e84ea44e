"""Whether a record could have been printed at all: every refusal of the enlarger asked for beforehand, without a print."""

from __future__ import annotations

from pathlib import Path

from sim.enlarger.equipment import find_head, find_lens
from sim.enlarger.settings import checked_aperture, set_up
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.cards import card_optics
from sim.printing.record import PrintingRecord
from sim.reading import OutsideError, Problem
from sim.refusals import Refused, refuse_any
from sim.shelf import HEAD, LENS, NEGATIVE, OWN, PAPER, SHIPPED, Shelf, is_variant_key, split_variant


def why_impossible(negative: Negative, record: PrintingRecord) -> str:
    """Return in words why no enlarger prints a record from a negative: column, gate, aperture, card; empty: it can be done.

    All that a record names must be known to stand on the shelf before.
    """
    try:
        bench = set_up(record.enlarger, negative)
        for exposure in record.exposures:
            optics = card_optics(bench, exposure.f_number)
            for card in exposure.cards:
                optics.shadow_scale(card.card_height_mm)
        if record.strip is not None:
            checked_aperture(bench.lens, record.strip.f_number)
    except Refused as error:
        return str(error)
    return ""


def refuse_off_the_shelf(file: Path, record: PrintingRecord, shelf: Shelf) -> None:
    """Raise ValueRefused naming every paper, negative, head and lens of a record that does not stand on the shelf."""
    problems: list[Problem] = []
    sleeve, key = split_variant(record.negative)
    if shelf.find(NEGATIVE, sleeve) is None or (sleeve != record.negative and not is_variant_key(key)):
        problems += shelf.refusal(NEGATIVE, record.negative).problems
    for find, name in (
        (find_stock, record.sheet.paper), (find_head, record.enlarger.head), (find_lens, record.enlarger.lens),
    ):  # fmt: skip
        try:
            find(name, shelf)
        except OutsideError as error:
            problems += error.problems
    refuse_any(file, problems)


def refuse_ones_own(file: Path, record: PrintingRecord) -> None:
    """Raise ValueRefused naming every paper, negative, head and lens of a record that is somebody's own."""
    named = (
        (NEGATIVE, record.negative), (PAPER, record.sheet.paper), (HEAD, record.enlarger.head),
        (LENS, record.enlarger.lens),
    )  # fmt: skip
    problems = [one for kind, name in named if name.startswith(OWN) for one in SHIPPED.refusal(kind, name).problems]
    refuse_any(file, problems)
