"""A paper of one's own worked out from what was read, and laid on one's own shelf: one way for the command and the window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sim.calibration.contradictions import LeftOutStep, sound_fit
from sim.calibration.empty_gate import empty_gate_lux
from sim.calibration.next_strip import NextSheet, next_sheet
from sim.calibration.number_table import NumberTable, number_table_of
from sim.calibration.own_curves import Behind, behind
from sim.calibration.own_paper import OwnPaper
from sim.calibration.own_shape import Generic
from sim.calibration.own_stock_file import Told, stock_data, toml_of
from sim.calibration.readings_csv import Wedge, read_exposing, read_readings, readings_of
from sim.calibration.scan_by_rows import GREY, even_greys, readings_by_rows
from sim.calibration.wedge_strips import PaperReadings
from sim.enlarger.equipment import find_head
from sim.enlarger.filters import GRADED_NAMES
from sim.notebook.own_paper_graph import PaperGraph, graph_of
from sim.notebook.own_paper_page import own_paper_lines, own_paper_page, range_text, speed_text
from sim.paper.stock import find_stock
from sim.reading import tables_in
from sim.refusals import Refused
from sim.shelf import HEAD, PAPER, Shelf, is_plain, own_folder, own_shelf
from sim.writing import write_text

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SETTINGS = (*GRADED_NAMES, "none")  # behind which a strip, or a print, may have been made
SHOWN_FILTERS = ("00", "0", "1", "2", "3", "4", "5")
BY_EYE = Path("readings by eye")  # stands before refusals of what was typed, and is no file


@dataclass(frozen=True, eq=False)
class FoundPaper:
    """A paper that its readings told: the fit, the steps left out of it, the sheet to read next, curves behind settings."""

    own: OwnPaper
    left_out: tuple[LeftOutStep, ...]
    sheet: NextSheet
    curves: tuple[Behind, ...]
    begun_from: Path

    def lines(self) -> list[str]:
        """Return in words what was left out, what is still open, and what to measure next."""
        return own_paper_lines(self.own, self.sheet, self.left_out)

    def rows(self) -> list[tuple[str, str, str, bool]]:
        """Return per filter ISO R and ISO P, nine of ten within, and whether it was read."""
        return [(one.setting, range_text(one), speed_text(self.own, one), one.read) for one in self.curves]

    def graph(self) -> PaperGraph:
        """Return curves, readings and misses as they are drawn."""
        return graph_of(self.own, self.curves)

    def page(self, title: str, size: str = "a4", large: bool = False) -> tuple[Figure, ...]:
        """Return the page of curves."""
        return own_paper_page(self.own, self.curves, title, self.sheet, self.left_out, size, large)

    def keep(self, name: str, title: str, read_on: str = "") -> Path:
        """Lay the paper on one's own shelf under a plain name; return its file. Raises Refused, WritingFailed."""
        data = stock_data(self.own, tables_in(self.begun_from), Told(title, read_on))
        remark = (
            f"A paper of one's own, begun from {self.own.generic.stock.name} and read behind "
            f"{', '.join(self.own.readings.settings)}.\n"
            f"Good with {self.own.head.name} and the filters it was read behind: lamp and filters cannot be told from the "
            "paper."
        )
        file = PAPER.file(own_folder() / PAPER.folder, plain_name_of(name, "paper"))
        write_text(file, toml_of(data, remark))
        return file


def plain_name_of(name: str, what: str) -> str:
    """Return a name that something on one's own shelf may have. Raises Refused."""
    if not is_plain(name):
        raise Refused(f"the {what}'s name must be small letters, digits and hyphens, and no device's name (con), got {name!r}")
    return name


def title_of(name: str) -> str:
    """Return what a thing is called in tables where nobody says otherwise."""
    return name.replace("-", " ").capitalize()


def paper_of(readings: PaperReadings, generic_name: str, head_name: str, shelf: Shelf | None = None) -> FoundPaper:
    """Return the paper that readings tell, begun from one on the shelf. Raises Refused naming strip and step."""
    on = shelf or own_shelf()
    generic, head = Generic.of(find_stock(generic_name, on)), find_head(head_name, on)
    own, left_out = sound_fit(generic, head, readings)
    wanted = SHOWN_FILTERS if generic.grains else ("none",)
    curves = tuple(behind(own, s) for s in dict.fromkeys((*wanted, *own.readings.settings)))
    return FoundPaper(own, left_out, next_sheet(own), curves, on.file(PAPER, generic_name))


@dataclass(frozen=True)
class StripsLight:
    """How strips were exposed as the window asks for it; ``height_mm`` None: the light is not known, only the seconds."""

    head: str
    lens: str
    height_mm: float | None
    f_number: float

    def lux(self) -> float | None:
        """Return the light on the paper. Raises Refused for a height or aperture that there is not."""
        if self.height_mm is None:
            return None
        return empty_gate_lux(self.head, self.lens, self.height_mm, self.f_number)


@dataclass(frozen=True)
class EvenScale:
    """A wedge or a grey scale of even steps: how many, the first density, the difference."""

    steps: int
    first: float
    apart: float

    def wedge(self) -> Wedge:
        """Return it as a step wedge. Raises Refused for what no wedge is."""
        return Wedge.even(self.steps, self.first, self.apart)


@dataclass(frozen=True)
class EyeStrip:
    """What the eye called of a strip: steps from the wedge's clear end, halves allowed; None: not called."""

    seconds: float
    first_tone: float | None = None
    match: float | None = None
    black: float | None = None


def readings_of_table(file: Path, light: StripsLight, wedge: EvenScale | None) -> PaperReadings:
    """Return what a table of readings says; without ``wedge`` its densities stand in the table."""
    return read_readings(file, light.lux(), wedge.wedge() if wedge else None)


def readings_of_scan(
    table: Path, scan: Path, light: StripsLight, wedge: EvenScale, grey: EvenScale, rows: Sequence[str] = ()
) -> PaperReadings:
    """Return what a flatbed scan says. ``table`` holds seconds; ``rows`` say the order, else grey scale, then the table's."""
    exposing = read_exposing(table, light.lux())
    names = tuple(rows) or (GREY, *exposing.seconds)
    return readings_by_rows(scan, names, even_greys(grey.steps, grey.first, grey.apart), exposing, wedge.wedge())


def readings_by_eye(strips: dict[str, EyeStrip], card_percent: float, light: StripsLight, wedge: EvenScale) -> PaperReadings:
    """Return what the eye called. Raises Refused where nothing was called, or what no eye can have seen."""
    if not strips:
        raise Refused("readings by eye must be of a strip or more, got none: say a filter, its seconds and its steps")
    return readings_of(_eye_table(strips, card_percent), light.lux(), wedge.wedge())


def _eye_table(strips: dict[str, EyeStrip], card_percent: float) -> NumberTable:
    """Return what the eye called as the table that a person would write."""
    def row(name: str, values: list[float | None]) -> str:
        return ",".join((name, "", *("" if value is None else f"{value:g}" for value in values)))

    each = list(strips.values())
    lines = ["row,wedge," + ",".join(strips), row("seconds", [one.seconds for one in each])]
    called = {"first tone": [one.first_tone for one in each], f"match {card_percent:g}%": [one.match for one in each],
              "black": [one.black for one in each]}  # fmt: skip
    lines += [row(name, values) for name, values in called.items() if any(value is not None for value in values)]
    return number_table_of("\n".join(lines), BY_EYE)


def lies_there(name: str, paper: bool) -> bool:
    """Tell whether a paper, or an enlarger, of that name lies on one's own shelf."""
    return own_shelf().find(PAPER if paper else HEAD, f"own:{name}") is not None
