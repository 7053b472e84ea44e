"""The printing record: every decision behind one sheet. Notebook page, submission line, undo step, reference answer.

One versioned JSON form, defined once: frozen dataclasses, read and written through one pydantic TypeAdapter. Lengths on
the easel are mm from the sheet's top left corner, x right, y down; a card's path is that of its shadow's centre.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Annotated, Literal, Self

from pydantic import Field

from sim.control_ranges import checked
from sim.enlarger.filters import FilterSetting
from sim.enlarger.settings import EnlargerSettings
from sim.paper.development import Development
from sim.paper.safelight import Safelight
from sim.refusals import Refused

RECORD_FORMAT = 2
MAX_PATH_POINTS = 200
MAX_EXPOSURES = 64
MAX_CARDS = 16
MAX_OUTLINE_POINTS = 100
MAX_STRIP_STEPS = 20
MAX_LIGHT_POINTS = 700  # one a second of the longest exposure, and some
FURTHEST_CARD_MM = 3000.0


@dataclass(frozen=True)
class Still:
    """A card held still: shadow centre on the easel."""

    x_mm: float
    y_mm: float
    kind: Literal["still"] = "still"

    def placed(self, scale: float, dx_mm: float, dy_mm: float) -> Still:
        """Return the motion scaled about the origin and then moved."""
        return replace(self, x_mm=self.x_mm * scale + dx_mm, y_mm=self.y_mm * scale + dy_mm)


@dataclass(frozen=True)
class _Swinging:
    """A card kept in even motion about a point."""

    x_mm: float
    y_mm: float
    amplitude_mm: float
    period_s: float

    def __post_init__(self) -> None:
        checked("amplitude_mm", self.amplitude_mm)
        checked("period_s", self.period_s)

    def placed(self, scale: float, dx_mm: float, dy_mm: float) -> Self:
        """Return the motion scaled about the origin and then moved."""
        x_mm, y_mm = self.x_mm * scale + dx_mm, self.y_mm * scale + dy_mm
        return replace(self, x_mm=x_mm, y_mm=y_mm, amplitude_mm=self.amplitude_mm * scale)


@dataclass(frozen=True)
class Circling(_Swinging):
    """A card kept turning around a point."""

    kind: Literal["circling"] = "circling"


@dataclass(frozen=True)
class Sweeping(_Swinging):
    """A card moved to and fro evenly along a direction (0 = right, 90 = down)."""

    angle_deg: float = 0.0
    kind: Literal["sweeping"] = "sweeping"


@dataclass(frozen=True)
class Path:
    """A card moved by hand: points (seconds since the exposure began, x mm, y mm), straight between them."""

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

    def at_moments(self, moment: Callable[[float], float]) -> Card:
        """Return the card with every moment that it keeps put as ``moment`` has it; circling and sweeping stay even.

        ``moment`` must rise and leave 0 at 0. A card that comes and goes within a moment keeps a thousandth of a second.
        """
        start_s, motion = moment(self.start_s), self.motion
        stop_s = max(moment(self.stop_s), start_s + 1e-3) if self.stop_s else 0.0
        if isinstance(motion, Path):
            motion = replace(motion, points=tuple((moment(t), x, y) for t, x, y in motion.points))
        return replace(self, start_s=start_s, stop_s=stop_s, motion=motion)

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
    (pre-flash); ``dimmed_stops`` holds the light back evenly (for a pre-flash through a diffuser). ``step`` says which
    step of a strip the exposure belongs to: 1 the first, 0 the whole piece; the one exposure of a covered strip carries
    the last step's number. ``light_by_second`` is the light as it was given: seconds since the lamp went on, seconds of
    full light so far; its last value is ``light_s``.
    """

    time_s: float
    f_number: float
    filter: FilterSetting = FilterSetting()
    cards: Annotated[tuple[Card, ...], Field(max_length=MAX_CARDS)] = ()
    light_s: float | None = None
    paper_shift_mm: tuple[float, float] = (0.0, 0.0)
    through: Literal["negative", "open"] = "negative"
    dimmed_stops: float = 0.0
    step: int = 0
    light_by_second: Annotated[tuple[tuple[float, float], ...], Field(max_length=MAX_LIGHT_POINTS)] = ()
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
        if not 0 <= self.step <= MAX_STRIP_STEPS:
            raise Refused(f"step must be 0 (the whole piece) to {MAX_STRIP_STEPS}, got {self.step!r}")
        self._check_light_by_second()
        for shift in self.paper_shift_mm:
            checked("paper_shift_mm", shift, "image_shift_mm")
        late = [card.stop_s for card in self.cards if card.stop_s > self.time_s + 1e-9]
        if late:
            raise Refused(f"a card's stop_s must lie within the exposure of {self.time_s:g} s, got {late[0]!r}")

    def _check_light_by_second(self) -> None:
        points = self.light_by_second
        falls = any(b[0] < a[0] or b[1] < a[1] for a, b in itertools.pairwise(points))
        if falls or any(not 0.0 <= value <= 700.0 for point in points for value in point):
            raise Refused("light_by_second must rise from one moment to the next, between 0 and 700 s, got one that does not")
        if points and (self.light_s is None or abs(points[-1][1] - self.light_s) > 1e-3):
            raise Refused(f"light_by_second must end at light_s ({self.light_s!r}), got {points[-1][1]!r}")

    def bare(self) -> Exposure:
        """Return the same light without cards, given to the whole piece where it lies: what a strip lays out in steps."""
        return Exposure(self.time_s, self.f_number, self.filter, through=self.through, dimmed_stops=self.dimmed_stops)


StripWay = Literal["covered", "bursts", "same-place", "burn", "flash", "local-flash"]
FLASHES = ("flash", "local-flash")  # ways whose stepped light goes without the negative


@dataclass(frozen=True)
class StripDecision:
    """How a strip was laid: the decision behind its exposures, which remain the truth.

    ``times_s`` are the dialled seconds that each step gets of the light that is stepped, in the order of the steps (0
    only for a first step of a burn or flash); ``f_number`` and ``filter`` are that light's. ``each`` are the exposures
    that every step gets besides, whole. ``angle_deg`` is the direction in which steps grow on the piece (0 right, 90 down).
    Ways: covered (lamp on, a card moved over step by step), bursts (switched for every step), same place (paper moved
    under a slot, so that every step shows the same piece of the picture), burn (the same, over ``each``), flash (steps
    of light without the negative), local-flash (the same under a slot, over ``each``: a flash of one place only).
    """

    way: StripWay
    times_s: Annotated[tuple[float, ...], Field(max_length=MAX_STRIP_STEPS)]
    f_number: float
    filter: FilterSetting = FilterSetting()
    angle_deg: float = 0.0
    each: Annotated[tuple[Exposure, ...], Field(max_length=MAX_EXPOSURES)] = ()
    dimmed_stops: float = 0.0

    def __post_init__(self) -> None:
        if not 2 <= len(self.times_s) <= MAX_STRIP_STEPS:
            raise Refused(f"a strip must have 2 to {MAX_STRIP_STEPS} steps, got {len(self.times_s)}")
        if any(not later > earlier for earlier, later in itertools.pairwise(self.times_s)):
            raise Refused(f"a strip's times must rise from step to step, got {self.times_s!r}")
        first, *rest = self.times_s
        for time_s in rest if first == 0.0 and self.way in ("burn", *FLASHES) else self.times_s:
            checked("time_s", time_s)
        checked("f_number", self.f_number)
        if not math.isfinite(self.angle_deg):
            raise Refused(f"a strip's direction must be a number of degrees, got {self.angle_deg!r}")
        if any(e.cards or e.step or e.light_s is not None or any(e.paper_shift_mm) for e in self.each):
            raise Refused("what every step gets must be whole: no card, shift, step or light of its own; got one that is not")

    @property
    def through(self) -> Literal["negative", "open"]:
        """What the stepped light goes through."""
        return "open" if self.way in FLASHES else "negative"


@dataclass(frozen=True)
class Sheet:
    """The piece of paper: stock, size, border under the blades, where the image lies on it.

    ``paper`` is a name on the shelf; ``paper_digest`` of a paper of one's own says which state of it was meant.
    """

    paper: str
    width_mm: float
    height_mm: float
    border_mm: float = 0.0
    image_shift_mm: tuple[float, float] = (0.0, 0.0)
    kind: Literal["sheet", "strip"] = "sheet"
    paper_digest: str = ""

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
    """Every decision behind one sheet of paper. ``strip`` says how its exposures were laid out, where they are a strip's."""

    negative: str
    sheet: Sheet
    enlarger: EnlargerSettings
    exposures: Annotated[tuple[Exposure, ...], Field(max_length=MAX_EXPOSURES)]
    development: Development
    safelight: Safelight | None = None
    reciprocity: bool = False
    note: str = ""
    negative_digest: str = ""
    strip: StripDecision | None = None
    format: Literal[2] = 2

    def __post_init__(self) -> None:
        if not 1 <= len(self.exposures) <= MAX_EXPOSURES:
            raise Refused(f"exposures must number 1 to {MAX_EXPOSURES}, got {len(self.exposures)}")
        last = len(self.strip.times_s) if self.strip else 0
        for exposure in self.exposures:
            if exposure.step > last:
                rule = f"must be 0 to {last}, the strip's steps" if last else "must be 0 where no strip is laid"
                raise Refused(f"exposures: step {rule}, got {exposure.step}")

    def with_exposure(self, index: int, exposure: Exposure) -> PrintingRecord:
        """Return the record with one of its exposures in another form."""
        return self.with_exposures(*self.exposures[:index], exposure, *self.exposures[index + 1 :])

    def with_exposures(self, *exposures: Exposure) -> PrintingRecord:
        """Return the same set-up with other exposures; they are no strip's unless they still say which step they are."""
        return replace(self, exposures=exposures, strip=self.strip if any(e.step for e in exposures) else None)

    @property
    def total_time_s(self) -> float:
        """Dialled seconds of all exposures together."""
        return sum(exposure.time_s for exposure in self.exposures)
