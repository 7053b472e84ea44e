"""An exercise: which negatives, what may be moved, what the print must read, and what that is worth.

The decisions of whoever writes a lesson, checked when made. ``exercise_file.py`` reads them from a folder.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass, field, fields, replace
from functools import cached_property
from typing import Annotated, Literal

from pydantic import Field

from sim.enlarger.equipment import find_head, find_lens
from sim.enlarger.filters import FILTER_NAMES
from sim.negative.negative import Negative, Place
from sim.paper.safelight import Safelight
from sim.paper.stock import Stock, find_stock
from sim.printing.controls import LOCKS, TABLE, number_in_range
from sim.printing.record import PrintingRecord
from sim.printing.record_file import record_data
from sim.refusals import Refused
from sim.scoring.criterion_kinds import KINDS, Kind

CONTROL_NAMES = LOCKS  # what an exercise may unlock
Prediction = Literal["which-step", "lighter-darker", "softer-harder", "filter", "seconds"]
Mode = Literal["example", "completion", "solo"]
MOST_ECONOMY_SHARE = 0.2
PARTS_AS_PLACES = ("lightest", "darkest")
Fraction = Annotated[float, Field(ge=0.0, le=1.0)]
PlaceName = Annotated[str, Field(min_length=1, max_length=48)]
Pair = tuple[float, float]


@dataclass(frozen=True)
class Spot:
    """Where a criterion is read: a named place of the negative, its lightest or darkest place, or a point of its own."""

    name: PlaceName
    x: Fraction | None = None
    y: Fraction | None = None
    spot_mm: Annotated[float, Field(ge=0.2, le=50.0)] = 3.0

    def __post_init__(self) -> None:
        if (self.x is None) != (self.y is None):
            raise Refused(f"x and y must be given together, got x={self.x!r}, y={self.y!r}")

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
    kind: str
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

    @property
    def of_kind(self) -> Kind:
        """What is true of all criteria of its kind."""
        return KINDS[self.kind]

    @property
    def window(self) -> tuple[float, float | None] | None:
        """Both ends of what it accepts, the upper one None where there is none; None where one value is wanted."""
        has_upper = any(key.field == "most" for key in self.of_kind.keys)
        return (self.wanted, self.most) if has_upper or self.of_kind.cause == "time" else None

    def belongs_to(self, index: int) -> bool:
        """Tell whether it is read on the print of a negative (0-based index)."""
        return self.negative is None or self.negative == index + 1


@dataclass(frozen=True)
class Box:
    """What the learner may use: sheets (a strip is a quarter), minutes, and the sheets that the trade's rules need."""

    sheets: Annotated[int, Field(ge=1, le=100)] = 20
    minutes: Annotated[float, Field(gt=0.0, le=600.0)] = 45.0
    expected_sheets: Annotated[float, Field(gt=0.0, le=100.0)] = 2.0


@dataclass(frozen=True)
class Start:
    """How the enlarger stands at the beginning; None leaves what is usual for the negative.

    ``safelight`` is the lamp that every sheet of this exercise lies under, and for how long; None: one within its rules.
    """

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
    safelight: Safelight | None = None

    def __post_init__(self) -> None:
        for field_ in fields(self):
            _in_range(_OTHER_CONTROL.get(field_.name, field_.name), getattr(self, field_.name), field_.name)
        if self.filter not in FILTER_NAMES:
            raise Refused(f"filter must be one of {', '.join(FILTER_NAMES)}, got {self.filter!r}")
        if self.head is not None:
            find_head(self.head)
        if self.lens is not None:
            find_lens(self.lens)


@dataclass(frozen=True)
class Spread:
    """From where to where random starts go: lowest and highest, or a choice. Empty: stays as the start has it.

    ``second_filter`` begins every random start with a second exposure of the whole sheet, as long as ``second_stops`` more or
    less than the start's first; a card then lies in either of the two. ``flash_s`` are seconds of a flash, dimmed as usual.
    """

    time_stops: Pair | None = None
    filter: Annotated[tuple[str, ...], Field(min_length=1, max_length=12)] = ()
    f_number: Annotated[tuple[float, ...], Field(min_length=1, max_length=20)] = ()
    column_mm: Pair | None = None
    focus_offset_mm: Pair | None = None
    card_stops: Pair | None = None
    development_time_s: Pair | None = None
    easel_tilt_deg: Pair | None = None
    second_filter: Annotated[tuple[str, ...], Field(min_length=1, max_length=12)] = ()
    second_stops: Pair | None = None
    flash_s: Pair | None = None

    def __post_init__(self) -> None:
        for key in SPREAD_CONTROLS:
            value = getattr(self, key)
            if key not in CHOSEN_SPREADS and value is not None and not value[0] < value[1]:
                raise Refused(f"{key} must run from low to high, got {list(value)!r}")
            for number in value if value is not None and key not in NAMED_SPREADS else ():
                _in_range("height_mm" if key == "column_mm" else key, number, key)
        for key in NAMED_SPREADS:
            unknown = [name for name in getattr(self, key) if name not in FILTER_NAMES]
            if unknown:
                raise Refused(f"{key} must be chosen from {', '.join(FILTER_NAMES)}, got {unknown[0]!r}")
        if self.second_stops and not self.second_filter:
            raise Refused("second_stops must stand beside second_filter, got it alone")


def _in_range(control: str, value: float | None, key: str) -> None:
    if value is not None and control in TABLE and TABLE[control].limits is not None:
        number_in_range(control, value, key)


_OTHER_CONTROL = {"width_mm": "sheet", "height_mm": "sheet", "column_mm": "height_mm"}
SPREAD_CONTROLS = {
    "time_stops": "time_s",
    "filter": "filter",
    "f_number": "f_number",
    "column_mm": "height_mm",
    "focus_offset_mm": "focus_offset_mm",
    "card_stops": "cards",
    "development_time_s": "development_time_s",
    "easel_tilt_deg": "easel_tilt_deg",
    "second_filter": "exposures",
    "second_stops": "exposures",
    "flash_s": "flash",
}
NAMED_SPREADS = ("filter", "second_filter")
LATER_SPREADS = ("second_filter", "second_stops", "flash_s")
CHOSEN_SPREADS = (*NAMED_SPREADS, "f_number")


@dataclass(frozen=True)
class Exercise:
    """Everything that decides what is asked and how it is marked. ``goals`` holds the records that prints are matched to.

    ``each_share`` of its own points every negative must earn, whatever the others do. ``kept_back_points`` is what is judged
    without being announced, in the form that learners get: the criteria are not there.
    """

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
    kept_back_points: float = 0.0
    each_share: float = 0.0

    @property
    def stock(self) -> Stock:
        """The paper it is printed on."""
        return find_stock(self.paper)

    @property
    def quality_points(self) -> float:
        """Points for the print itself, over all negatives, as far as the criteria are known here."""
        return sum(c.points * self.times(c) for c in self.criteria)

    def times(self, criterion: Criterion) -> int:
        """Return how often a criterion is marked: once for each negative it belongs to; a series once for all."""
        whole = criterion.negative is not None or criterion.of_kind.series
        return 1 if whole else len(self.negatives)

    @cached_property
    def digest(self) -> str:
        """SHA-256 of the canonical content, to tell one version from another whatever the file looked like."""
        content = asdict(replace(self, goals=()))
        content["goals"] = [[name, record_data(record)] for name, record in self.goals]
        if not self.kept_back_points:  # an exercise that keeps nothing back is what it was before there was such a number
            del content["kept_back_points"]
        if not self.each_share:  # likewise one whose prints are weighed together
            del content["each_share"]
        if self.start.safelight is None:  # likewise one without a lamp to be tried
            del content["start"]["safelight"]
        for key in LATER_SPREADS:  # likewise one whose random starts have a single exposure and no flash
            if not content["spread"][key]:
                del content["spread"][key]
        text = json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
        return hashlib.sha256(text.encode("utf-8")).hexdigest()

    def public(self) -> Exercise:
        """Return what learners may see: without the criteria that are kept from them, but with what these are worth."""
        kept_back = sum(c.points * self.times(c) for c in self.criteria if c.hidden)
        shown = tuple(c for c in self.criteria if not c.hidden)
        return replace(self, criteria=shown, kept_back_points=self.kept_back_points + kept_back)

    def on_negatives(self, *names: str) -> Exercise:
        """Return the exercise on other negatives: one of ``also``, or a learner's variants. Raises Refused for a count."""
        if len(names) != len(self.negatives):
            raise Refused(f"negatives must number {len(self.negatives)}, got {len(names)}")
        return replace(self, negatives=tuple(names))

    def goal(self, criterion: Criterion) -> PrintingRecord:
        """Return the record of the print to be matched. Raises KeyError when the criterion names none."""
        return dict(self.goals)[criterion.record]
