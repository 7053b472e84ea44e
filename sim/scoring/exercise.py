"""An exercise: which negatives, what may be moved, what the print must read, and what that is worth.

The decisions of whoever writes a lesson, checked when made. ``exercise_file.py`` reads them from a folder.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass, field, replace
from typing import Literal

from sim.negative.negative import Negative, Place
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data
from sim.refusals import Refused

Kind = Literal[
    "tone", "at-least", "at-most", "may-go-white", "may-go-black", "separation", "black", "white", "sharp", "even",
    "size", "time-window", "match-sheet", "match-series", "match-print",
]  # fmt: skip
KINDS: tuple[str, ...] = Kind.__args__  # type: ignore[attr-defined]
CONTROL_NAMES: dict[str, str] = {
    "time_s": "the exposure time",
    "f_number": "the aperture",
    "filter": "the filter",
    "height_mm": "the height on the column",
    "focus_offset_mm": "the focus",
    "head": "the head",
    "lens": "the lens",
    "carrier": "the carrier",
    "contact": "contact or enlarged",
    "cards": "holding back and burning in",
    "exposures": "the number of exposures",
    "development_time_s": "the time in the developer",
    "temperature_c": "the developer's temperature",
    "sheet": "the sheet's size",
    "paper": "the paper",
    "image_shift": "where the image lies on the sheet",
    "easel_tilt_deg": "the easel's tilt",
    "negative_tilt_deg": "the carrier's tilt",
    "reciprocity": "reciprocity failure",
}
PREDICTIONS = ("which-step", "lighter-darker", "softer-harder", "filter", "seconds")
MODES = ("example", "completion", "solo")
MOST_ECONOMY_SHARE = 0.2
ECONOMY_GONE_AT = 3.0  # times the sheets that the trade's rules need
PARTS_AS_PLACES = ("lightest", "darkest")


@dataclass(frozen=True)
class Spot:
    """Where a criterion is read: a named place of the negative, its lightest or darkest place, or a point of its own."""

    name: str
    x: float | None = None
    y: float | None = None
    spot_mm: float = 3.0

    def on(self, negative: Negative) -> Place:
        """Return the place on a negative. Raises NoSuchPlace naming the known ones."""
        if self.x is not None and self.y is not None:
            return Place(self.name, self.x, self.y, self.spot_mm)
        return negative.place(self.known_as(negative.places) or self.name)

    def known_as(self, places: tuple[Place, ...]) -> str | None:
        """Return the name under which the spot is known among a negative's places; None when it is not."""
        if self.x is not None or any(place.name == self.name for place in places):
            return self.name
        parts = [place.name for place in places if place.part == self.name and self.name in PARTS_AS_PLACES]
        return parts[0] if parts else None


@dataclass(frozen=True)
class Criterion:
    """One thing that is marked. ``wanted`` and ``tolerance`` are in the unit of its kind (density, contrast, mm, s).

    ``most`` is the upper end of a time window. ``densities`` (or the ``record`` they are read from) say what a print to be
    matched reads at ``spots``. ``negative`` (1, 2, ...) is the one it counts for; None means every one.
    """

    name: str
    kind: Kind
    spots: tuple[Spot, ...] = ()
    wanted: float = 0.0
    tolerance: float = 0.03
    points: float = 1.0
    most: float | None = None
    negative: int | None = None
    hidden: bool = False
    sheet: str = ""
    record: str = ""
    densities: tuple[float, ...] = ()
    magnification: float | None = None

    @property
    def counts(self) -> bool:
        """Tell whether points hang on it (places that may go white or black never cost)."""
        return self.points > 0.0

    def belongs_to(self, index: int) -> bool:
        """Tell whether it is read on the print of a negative (0-based index)."""
        return self.negative is None or self.negative == index + 1


@dataclass(frozen=True)
class Box:
    """What the learner may use: sheets (a strip is a quarter), minutes, and the sheets that the trade's rules need."""

    sheets: int = 20
    minutes: float = 45.0
    expected_sheets: float = 2.0


@dataclass(frozen=True)
class Start:
    """How the enlarger stands at the beginning; None leaves what is usual for the negative."""

    time_s: float = 10.0
    f_number: float = 8.0
    filter: str = "2"
    width_mm: float = 203.2
    height_mm: float = 254.0
    border_mm: float = 6.0
    head: str | None = None
    lens: str | None = None
    column_mm: float | None = None
    contact: bool | None = None
    carrier: Literal["glass", "glassless"] = "glass"
    focus_offset_mm: float = 0.0
    negative_tilt_deg: float = 0.0
    easel_tilt_deg: float = 0.0
    development_time_s: float | None = None
    temperature_c: float = 20.0
    sheets_before: float = 0.0
    reciprocity: bool = False


@dataclass(frozen=True)
class Spread:
    """From where to where random starts go: lowest and highest, or a choice. Empty: stays as the start has it."""

    time_stops: tuple[float, float] | None = None
    filter: tuple[str, ...] = ()
    f_number: tuple[float, ...] = ()
    column_mm: tuple[float, float] | None = None
    focus_offset_mm: tuple[float, float] | None = None
    card_stops: tuple[float, float] | None = None
    development_time_s: tuple[float, float] | None = None
    easel_tilt_deg: tuple[float, float] | None = None


SPREAD_CONTROLS = {
    "time_stops": "time_s",
    "filter": "filter",
    "f_number": "f_number",
    "column_mm": "height_mm",
    "focus_offset_mm": "focus_offset_mm",
    "card_stops": "cards",
    "development_time_s": "development_time_s",
    "easel_tilt_deg": "easel_tilt_deg",
}


@dataclass(frozen=True)
class Exercise:
    """Everything that decides what is asked and how it is marked. ``goals`` holds the records that prints are matched to."""

    name: str
    title: str
    skill: str
    negatives: tuple[str, ...]
    paper: str
    unlocked: tuple[str, ...]
    criteria: tuple[Criterion, ...]
    version: int = 1
    also: tuple[str, ...] = ()
    pass_share: float = 0.75
    economy_points: float = 0.0
    copies: int = 1
    predict: str = "lighter-darker"
    mode: str = "solo"
    box: Box = Box()
    start: Start = Start()
    spread: Spread = Spread()
    goals: tuple[tuple[str, PrintingRecord], ...] = field(default=(), repr=False)

    @property
    def quality_points(self) -> float:
        """Points for the print itself, over all negatives."""
        return sum(c.points * self.times(c) for c in self.criteria)

    def times(self, criterion: Criterion) -> int:
        """Return how often a criterion is marked: once for each negative it belongs to; a series once for all."""
        whole = criterion.negative is not None or criterion.kind == "match-series"
        return 1 if whole else len(self.negatives)

    @property
    def digest(self) -> str:
        """SHA-256 of the canonical content, to tell one version from another whatever the file looked like."""
        content = asdict(replace(self, goals=()))
        content["goals"] = [[name, record_data(record)] for name, record in self.goals]
        text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
        return hashlib.sha256(text.encode("utf-8")).hexdigest()

    def public(self) -> Exercise:
        """Return what learners may see: without the criteria that are kept from them."""
        return replace(self, criteria=tuple(c for c in self.criteria if not c.hidden))

    def on_negatives(self, *names: str) -> Exercise:
        """Return the exercise on other negatives: one of ``also``, or a learner's variants. Raises ValueError for a count."""
        if len(names) != len(self.negatives):
            raise Refused(f"negatives must number {len(self.negatives)}, got {len(names)}")
        return replace(self, negatives=tuple(names))

    def goal(self, criterion: Criterion) -> PrintingRecord:
        """Return the record of the print to be matched. Raises KeyError when the criterion names none."""
        return dict(self.goals)[criterion.record]
