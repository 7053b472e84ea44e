"""The printing record: every decision behind one sheet. Notebook page, submission line, undo step, reference answer.

One versioned JSON form, defined once: frozen dataclasses, read and written through one pydantic TypeAdapter. Lengths on
the easel are mm from the sheet's top left corner, x right, y down; a card's path is that of its shadow's centre.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from typing import Annotated, Literal

from pydantic import Field

from sim.enlarger.filters import FilterSetting
from sim.enlarger.settings import EnlargerSettings
from sim.paper.development import Development
from sim.paper.safelight import Safelight
from sim.quantities import checked
from sim.reading import OUTSIDE_RULES
from sim.refusals import Refused

RECORD_FORMAT = 1
MAX_PATH_POINTS = 200
MAX_EXPOSURES = 64
MAX_CARDS = 16
MAX_OUTLINE_POINTS = 100
FURTHEST_CARD_MM = 3000.0


@dataclass(frozen=True)
class Still:
    """A card held still: shadow centre on the easel."""

    __pydantic_config__ = OUTSIDE_RULES
    x_mm: float
    y_mm: float
    kind: Literal["still"] = "still"

    def placed(self, scale: float, dx_mm: float, dy_mm: float) -> Still:
        """Return the motion scaled about the origin and then moved."""
        return replace(self, x_mm=self.x_mm * scale + dx_mm, y_mm=self.y_mm * scale + dy_mm)


@dataclass(frozen=True)
class Circling:
    """A card kept turning around a point."""

    __pydantic_config__ = OUTSIDE_RULES
    x_mm: float
    y_mm: float
    amplitude_mm: float
    period_s: float
    kind: Literal["circling"] = "circling"

    def __post_init__(self) -> None:
        checked("amplitude_mm", self.amplitude_mm)
        checked("period_s", self.period_s)

    def placed(self, scale: float, dx_mm: float, dy_mm: float) -> Circling:
        """Return the motion scaled about the origin and then moved."""
        x_mm, y_mm = self.x_mm * scale + dx_mm, self.y_mm * scale + dy_mm
        return replace(self, x_mm=x_mm, y_mm=y_mm, amplitude_mm=self.amplitude_mm * scale)


@dataclass(frozen=True)
class Sweeping:
    """A card moved to and fro evenly along a direction (0 = right, 90 = down)."""

    __pydantic_config__ = OUTSIDE_RULES
    x_mm: float
    y_mm: float
    amplitude_mm: float
    period_s: float
    angle_deg: float = 0.0
    kind: Literal["sweeping"] = "sweeping"

    def __post_init__(self) -> None:
        checked("amplitude_mm", self.amplitude_mm)
        checked("period_s", self.period_s)

    def placed(self, scale: float, dx_mm: float, dy_mm: float) -> Sweeping:
        """Return the motion scaled about the origin and then moved."""
        x_mm, y_mm = self.x_mm * scale + dx_mm, self.y_mm * scale + dy_mm
        return replace(self, x_mm=x_mm, y_mm=y_mm, amplitude_mm=self.amplitude_mm * scale)


@dataclass(frozen=True)
class Path:
    """A card moved by hand: points (seconds since the exposure began, x mm, y mm), straight between them."""

    __pydantic_config__ = OUTSIDE_RULES
    points: Annotated[tuple[tuple[float, float, float], ...], Field(max_length=MAX_PATH_POINTS)]
    kind: Literal["path"] = "path"

    def __post_init__(self) -> None:
        if not 1 <= len(self.points) <= MAX_PATH_POINTS:
            raise Refused(f"points must number 1 to {MAX_PATH_POINTS}, got {len(self.points)}")
        times = [point[0] for point in self.points]
        if any(later < earlier for earlier, later in itertools.pairwise(times)):
            raise Refused("points must not go back in time, got a later point with an earlier time")

    def placed(self, scale: float, dx_mm: float, dy_mm: float) -> Path:
        """Return the motion scaled about the origin and then moved."""
        return Path(tuple((t, x * scale + dx_mm, y * scale + dy_mm) for t, x, y in self.points))


Motion = Annotated[Still | Circling | Sweeping | Path, Field(discriminator="kind")]


@dataclass(frozen=True)
class Card:
    """A dodging or burning tool in the light.

    ``shape``: disc, oval, bar (rectangle), edge (everything on one side of a line) or outline (a polygon of mm around its
    centre). ``lets_through`` is "outside" for a tool that shades its shape, "inside" for a card with such a hole.
    Sizes are the tool's own; its shadow is larger by v/(v-h). ``wire_mm`` is the width of the wire that holds it (0: held
    by the hand outside the picture). ``start_s``/``stop_s`` say when it is in the light (stop 0: to the end).
    """

    __pydantic_config__ = OUTSIDE_RULES
    shape: Literal["disc", "oval", "bar", "edge", "outline"]
    motion: Motion
    card_height_mm: float
    width_mm: float = 50.0
    length_mm: float = 50.0
    angle_deg: float = 0.0
    outline: Annotated[tuple[tuple[float, float], ...], Field(max_length=MAX_OUTLINE_POINTS)] = ()
    lets_through: Literal["outside", "inside"] = "outside"
    wire_mm: float = 0.0
    wire_towards_deg: float = 45.0
    start_s: float = 0.0
    stop_s: float = 0.0
    note: str = ""

    def __post_init__(self) -> None:
        checked("card_height_mm", self.card_height_mm)
        checked("width_mm", self.width_mm, "card_size_mm")
        checked("length_mm", self.length_mm, "card_size_mm")
        if (self.shape == "outline") != (len(self.outline) >= 3) or len(self.outline) > MAX_OUTLINE_POINTS:
            raise Refused(f"outline must hold 3 to 100 points for shape 'outline' only, got {len(self.outline)}")
        if any(abs(c) > 1500 for point in self.outline for c in point):
            raise Refused("outline points must lie within 1500 mm of the centre, got one beyond")
        if not 0.0 <= self.wire_mm <= 20.0:
            raise Refused(f"wire_mm must be between 0 and 20, got {self.wire_mm!r}")
        if self.start_s < 0 or self.stop_s < 0 or (self.stop_s and self.stop_s <= self.start_s):
            raise Refused(f"stop_s must be after start_s (or 0), got {self.start_s!r} to {self.stop_s!r}")
        if not (math.isfinite(self.angle_deg) and math.isfinite(self.wire_towards_deg)):
            raise Refused(f"a card's angles must be finite, got {self.angle_deg!r} and {self.wire_towards_deg!r}")
        motion = self.motion
        for x, y in [p[1:] for p in motion.points] if isinstance(motion, Path) else [(motion.x_mm, motion.y_mm)]:
            if not max(abs(x), abs(y)) <= FURTHEST_CARD_MM:  # NaN fails this too
                raise Refused(f"a card must stay within {FURTHEST_CARD_MM:g} mm of the sheet, got ({x!r}, {y!r})")

    def placed(self, scale: float, dx_mm: float, dy_mm: float) -> Card:
        """Return the card for a print of another size: tool and path scaled about the sheet's corner, then moved."""
        return replace(
            self,
            motion=self.motion.placed(scale, dx_mm, dy_mm),
            width_mm=self.width_mm * scale,
            length_mm=self.length_mm * scale,
            outline=tuple((x * scale, y * scale) for x, y in self.outline),
        )


@dataclass(frozen=True)
class Exposure:
    """One switching of the lamp: dialled time, aperture, filter, cards.

    ``light_s`` is the full light really given; None means what lamp and timer are expected to give. ``paper_shift_mm``
    moves the paper under a fixed image (same-place strips). ``through`` "open" is light without the negative
    (pre-flash); ``dimmed_stops`` holds the light back evenly (for a pre-flash through a diffuser).
    """

    __pydantic_config__ = OUTSIDE_RULES
    time_s: float
    f_number: float
    filter: FilterSetting = FilterSetting()
    cards: Annotated[tuple[Card, ...], Field(max_length=MAX_CARDS)] = ()
    light_s: float | None = None
    paper_shift_mm: tuple[float, float] = (0.0, 0.0)
    through: Literal["negative", "open"] = "negative"
    dimmed_stops: float = 0.0
    note: str = ""

    def __post_init__(self) -> None:
        checked("time_s", self.time_s)
        checked("f_number", self.f_number)
        if self.light_s is not None:
            checked("light_s", self.light_s)
        if len(self.cards) > MAX_CARDS:
            raise Refused(f"cards must number at most {MAX_CARDS}, got {len(self.cards)}")
        if not 0.0 <= self.dimmed_stops <= 20.0:
            raise Refused(f"dimmed_stops must be between 0 and 20, got {self.dimmed_stops!r}")
        if self.through not in ("negative", "open"):
            raise Refused(f"through must be 'negative' or 'open', got {self.through!r}")
        for shift in self.paper_shift_mm:
            checked("paper_shift_mm", shift, "image_shift_mm")
        late = [card.stop_s for card in self.cards if card.stop_s > self.time_s + 1e-9]
        if late:
            raise Refused(f"a card's stop_s must lie within the exposure of {self.time_s:g} s, got {late[0]!r}")


@dataclass(frozen=True)
class Sheet:
    """The piece of paper: stock, size, border under the blades, where the image lies on it."""

    __pydantic_config__ = OUTSIDE_RULES
    paper: str
    width_mm: float
    height_mm: float
    border_mm: float = 0.0
    image_shift_mm: tuple[float, float] = (0.0, 0.0)
    kind: Literal["sheet", "strip"] = "sheet"

    def __post_init__(self) -> None:
        checked("width_mm", self.width_mm, "paper_mm")
        checked("height_mm", self.height_mm, "paper_mm")
        checked("border_mm", self.border_mm)
        if 2 * self.border_mm >= min(self.width_mm, self.height_mm):
            raise Refused(f"border_mm must leave paper uncovered, got {self.border_mm!r}")
        for shift in self.image_shift_mm:
            checked("image_shift_mm", shift)


@dataclass(frozen=True)
class PrintingRecord:
    """Every decision behind one sheet of paper."""

    __pydantic_config__ = OUTSIDE_RULES
    negative: str
    sheet: Sheet
    enlarger: EnlargerSettings
    exposures: Annotated[tuple[Exposure, ...], Field(max_length=MAX_EXPOSURES)]
    development: Development
    safelight: Safelight | None = None
    reciprocity: bool = False
    note: str = ""
    negative_digest: str = ""
    format: Literal[1] = 1

    def __post_init__(self) -> None:
        if not 1 <= len(self.exposures) <= MAX_EXPOSURES:
            raise Refused(f"exposures must number 1 to {MAX_EXPOSURES}, got {len(self.exposures)}")

    def with_exposures(self, *exposures: Exposure) -> PrintingRecord:
        """Return the same set-up with other exposures."""
        return replace(self, exposures=exposures)

    @property
    def total_time_s(self) -> float:
        """Dialled seconds of all exposures together."""
        return sum(exposure.time_s for exposure in self.exposures)
