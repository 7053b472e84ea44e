"""A paper of one's own worked out from what was read, and laid on one's own shelf: one way for the command and the window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from sim.calibration.believed_wedge import believed_wedge
from sim.calibration.contradictions import LeftOutStep, sound_fit
from sim.calibration.empty_gate import empty_gate_lux
from sim.calibration.next_strip import NextSheet, next_sheet
from sim.calibration.own_curves import Behind, behind
from sim.calibration.own_paper import OwnPaper
from sim.calibration.own_shape import Generic
from sim.calibration.own_stock_file import Told, stock_data, toml_of
from sim.calibration.readings_csv import (
    CARDS_PERCENT,
    SECONDS,
    Exposing,
    Wedge,
    eye_reading,
    read_exposing,
    read_readings,
)
from sim.calibration.scan_by_rows import GREY, even_greys, readings_by_rows
from sim.calibration.wedge_strips import MOST_STRIPS, PaperReadings, Strip
from sim.control_ranges import in_range
from sim.enlarger.equipment import find_head
from sim.enlarger.filters import GRADED_NAMES
from sim.notebook.own_paper_graph import PaperGraph, graph_of
from sim.notebook.own_paper_page import WEDGE_LINES, own_paper_lines, own_paper_page, range_text, speed_text
from sim.paper.stock import find_stock, refuse_unreadable_stock
from sim.reading import tables_in
from sim.refusals import Refused
from sim.shelf import HEAD, PAPER, Shelf, is_plain, own_folder, own_shelf
from sim.writing import write_text

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SETTINGS = (*GRADED_NAMES, "none")  # behind which a strip, or a print, may have been made
LEAST_TITLE = 3  # letters that a title must have, as every file's title here
NAME_LETTERS = (2, 40)  # of a plain name; a head's file takes no longer one
SHOWN_FILTERS = ("00", "0", "1", "2", "3", "4", "5")


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
        return own_paper_lines(self.own, self.sheet, self.left_out, self.curves)

    @property
    def lines_before(self) -> int:
        """How many lines stand before any figure: of the wedge and of its count; readings by eye have none."""
        return 0 if believed_wedge(self.own.readings) is None else WEDGE_LINES

    @property
    def wedge_checked(self) -> bool:
        """Tell whether a strip with twice the light vouches for the wedge's steps."""
        wedge = believed_wedge(self.own.readings)
        return wedge is not None and wedge.stop is not None

    def rows(self) -> list[tuple[str, str, str, bool]]:
        """Return per filter ISO R and ISO P, nine of ten within, and whether it was read."""
        return [(one.setting, range_text(self.own, one), speed_text(self.own, one), one.read) for one in self.curves]

    def graph(self) -> PaperGraph:
        """Return curves, readings and misses as they are drawn."""
        return graph_of(self.own, self.curves)

    def page(self, title: str, size: str = "a4", large: bool = False) -> tuple[Figure, ...]:
        """Return the page of curves."""
        return own_paper_page(self.own, self.curves, title, self.sheet, self.left_out, size, large)

    def keep(self, name: str, title: str, read_on: str = "") -> Path:
        """Lay the paper on one's own shelf under a plain name; return its file.

        Raises Refused, WritingFailed; ValueRefused, and nothing is written, for what could not be read again.
        """
        data = stock_data(self.own, tables_in(self.begun_from), Told(title, read_on))
        remark = (
            f"A paper of one's own, begun from {self.own.generic.stock.name} and read behind "
            f"{', '.join(self.own.readings.settings)}.\n"
            f"Good with {self.own.head.name} and the filters it was read behind: lamp and filters cannot be told from the "
            "paper."
        )
        file = PAPER.file(own_folder() / PAPER.folder, plain_name_of(name))
        text = toml_of(data, remark)
        refuse_unreadable_stock(file, text)
        write_text(file, text)
        return file


def plain_name_of(name: str, said: str = "the paper's name") -> str:
    """Return a name that a paper or an enlarger on one's own shelf may have. Raises Refused of what the name is ``said`` to be.

    Two letters at least: a single one is a slip of the hand, and tells nobody what lies there.
    """
    if not is_plain(name) or not NAME_LETTERS[0] <= len(name) <= NAME_LETTERS[1]:
        rule = "two to forty small letters, digits and hyphens, and no device's name (con)"
        raise Refused(f"{said} must be {rule}, got {name!r}")
    return name


def title_of(name: str) -> str:
    """Return what a thing is called in tables where nobody says otherwise; a name of two letters is too short to be all."""
    return name.replace("-", " ").capitalize() if len(name) >= LEAST_TITLE else f"Own {name}"


def paper_of(
    readings: PaperReadings, generic_name: str, head_name: str, shelf: Shelf | None = None, as_it_is: bool = False
) -> FoundPaper:  # fmt: skip
    """Return the paper that readings tell, begun from one on the shelf. Raises Refused naming strip and step.

    ``as_it_is``: the readings are taken though another story of them is likelier.
    """
    on = shelf or own_shelf()
    generic, head = Generic.of(find_stock(generic_name, on)), find_head(head_name, on)
    own, left_out = sound_fit(generic, head, readings, as_it_is)
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
    if len(strips) > MOST_STRIPS:
        raise Refused(f"readings by eye must be of {MOST_STRIPS} strips at most, got {len(strips)}")
    in_range("the card", card_percent, *CARDS_PERCENT, "%")
    scale = wedge.wedge()
    lux = light.lux()
    found = [_eye_strip(setting, strip, card_percent, lux, scale) for setting, strip in strips.items()]
    return PaperReadings(tuple(found), (), lux is not None)


def _eye_strip(setting: str, strip: EyeStrip, card_percent: float, lux: float | None, wedge: Wedge) -> Strip:
    """Return what the eye called of one strip as its readings. Raises Refused naming filter and step."""
    behind_it = f"the strip behind filter {setting}"
    in_range(f"{behind_it}: its seconds", strip.seconds, *SECONDS, "s")
    called = {"first tone": strip.first_tone, "match": strip.match, "black": strip.black}
    steps = {name: step for name, step in called.items() if step is not None}
    if not steps:
        raise Refused(f"{behind_it} must have a step called: first tone, as grey as the card, or black, got none")
    for name, step in steps.items():
        said = "as grey as the card" if name == "match" else name
        in_range(f"{behind_it}: the step called {said}", step, 1.0, float(len(wedge.densities)))
    card = {"match": card_percent}
    readings = tuple(eye_reading(name, step, wedge, card.get(name)) for name, step in steps.items())
    return Strip(setting, Exposing(lux, {setting: strip.seconds}).log_exposure(setting), readings)


def lies_there(name: str, paper: bool) -> bool:
    """Tell whether a paper, or an enlarger, of that name lies on one's own shelf."""
    return own_shelf().find(PAPER if paper else HEAD, f"own:{name}") is not None
