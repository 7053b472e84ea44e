"""The keys of ``exercise.toml``, each with its range; what each kind of criterion needs, may have, and must not have."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from sim.enlarger.equipment import find_head, find_lens
from sim.enlarger.filters import FILTER_NAMES
from sim.quantities import CONTROLS
from sim.refusals import Refused
from sim.scoring.exercise import MODES, PREDICTIONS, Criterion, Kind, Spot
from sim.scoring.targets import eye_tolerance

Name = Annotated[str, Field(min_length=1, max_length=64, pattern=r"^[a-z0-9][a-z0-9~-]*$")]
Fraction = Annotated[float, Field(ge=0.0, le=1.0)]
Density = Annotated[float, Field(ge=0.0, le=3.0)]

# kind: keys it must have, keys it may have (besides name, kind, points, negative, hidden)
KEYS_OF_KIND: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "tone": (("place", "density"), ("tolerance_density",)),
    "at-least": (("place", "density"), ("tolerance_density",)),
    "at-most": (("place", "density"), ("tolerance_density",)),
    "may-go-white": (("place",), ()),
    "may-go-black": (("place",), ()),
    "separation": (("places", "density"), ("tolerance_density",)),
    "black": (("place",), ("share", "tolerance_density")),
    "white": (("place",), ("net_density", "tolerance_density")),
    "sharp": (("place", "contrast_5_lp_mm"), ("tolerance",)),
    "even": (("place", "most_density"), ("tolerance_density",)),
    "size": ((), ("magnification", "image_width_mm", "tolerance_mm")),
    "time-window": (("least_s", "most_s"), ()),
    "match-sheet": (("places", "sheet"), ("tolerance_density",)),
    "match-series": (("places",), ("tolerance_density",)),
    "match-print": (("places",), ("record", "densities", "tolerance_density")),
}
DEFAULT_BLACK_SHARE = 0.9
DEFAULT_WHITE_NET = 0.04
DEFAULT_TOLERANCE = {
    "separation": 0.03, "black": 0.06, "white": 0.01, "even": 0.01, "match-sheet": 0.03, "match-series": 0.02,
    "match-print": 0.03,
}  # fmt: skip
DEFAULT_SHARP_TOLERANCE = 0.03
DEFAULT_SIZE_TOLERANCE_MM = 2.0


class Part(BaseModel):
    """A table of the file: strict, nothing unknown."""

    model_config = ConfigDict(strict=True, extra="forbid")


class PlaceEntry(Part):
    """A point of one's own in the picture."""

    name: Annotated[str, Field(min_length=1, max_length=48)]
    x: Fraction
    y: Fraction
    spot_mm: Annotated[float, Field(ge=0.2, le=50.0)] = 3.0


AnyPlace = Annotated[str, Field(min_length=1, max_length=48)] | PlaceEntry


class CriterionEntry(Part):
    """One ``[[criterion]]``."""

    kind: Kind
    name: Annotated[str, Field(min_length=1, max_length=64)] | None = None
    place: AnyPlace | None = None
    places: Annotated[list[AnyPlace], Field(min_length=1, max_length=20)] | None = None
    density: Density | None = None
    tolerance_density: Annotated[float, Field(gt=0.0, le=1.0)] | None = None
    points: Annotated[float, Field(ge=0.0, le=1000.0)] | None = None
    negative: Annotated[int, Field(ge=1, le=12)] | None = None
    hidden: bool = False
    share: Annotated[float, Field(gt=0.0, le=1.0)] | None = None
    net_density: Annotated[float, Field(ge=0.0, le=1.0)] | None = None
    contrast_5_lp_mm: Annotated[float, Field(gt=0.0, le=1.0)] | None = None
    tolerance: Annotated[float, Field(gt=0.0, le=1.0)] | None = None
    most_density: Annotated[float, Field(gt=0.0, le=1.0)] | None = None
    magnification: Annotated[float, Field(ge=1.0, le=40.0)] | None = None
    image_width_mm: Annotated[float, Field(ge=10.0, le=700.0)] | None = None
    tolerance_mm: Annotated[float, Field(gt=0.0, le=50.0)] | None = None
    least_s: Annotated[float, Field(gt=0.0, le=600.0)] | None = None
    most_s: Annotated[float, Field(gt=0.0, le=600.0)] | None = None
    sheet: Literal["first", "start"] | None = None
    record: Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,60}\.json$")] | None = None
    densities: Annotated[list[Density], Field(min_length=1, max_length=20)] | None = None

    @model_validator(mode="after")
    def _keys_fit_the_kind(self) -> CriterionEntry:
        needs, may = KEYS_OF_KIND[self.kind]
        common = {"kind", "name", "points", "negative", "hidden"}
        given = {key for key, value in self if value is not None} - common
        for key in needs:
            if key not in given:
                raise Refused(f"{key} is required for kind {self.kind!r}, got none")
        for key in sorted(given - set(needs) - set(may)):
            raise Refused(f"{key} does not belong to kind {self.kind!r} (it takes {', '.join((*needs, *may))}), got one")
        self._pairs()
        return self

    def _pairs(self) -> None:
        """Refuse keys that contradict each other within a kind."""
        if self.kind == "separation" and len(self.places or ()) != 2:
            raise Refused(f"places must be two for kind 'separation', got {len(self.places or ())}")
        if self.kind == "size" and (self.magnification is None) == (self.image_width_mm is None):
            raise Refused("exactly one of magnification and image_width_mm is required for kind 'size', got none or both")
        if self.kind == "match-print" and (self.record is None) == (self.densities is None):
            raise Refused("exactly one of record and densities is required for kind 'match-print', got none or both")
        if self.densities is not None and len(self.densities) != len(self.places or ()):
            raise Refused(f"densities must number as many as places, got {len(self.densities)}")
        if self.least_s is not None and self.most_s is not None and self.least_s >= self.most_s:
            raise Refused(f"least_s must be below most_s, got {self.least_s:g} and {self.most_s:g}")
        if self.kind.startswith("may-go") and self.points:
            raise Refused(f"points must be 0 for kind {self.kind!r}, which never costs any, got {self.points:g}")

    def spots(self) -> tuple[Spot, ...]:
        """Return where it is read."""
        given = self.places or ([self.place] if self.place is not None else [])
        return tuple(Spot(p) if isinstance(p, str) else Spot(p.name, p.x, p.y, p.spot_mm) for p in given)

    def called(self) -> str:
        """Return its name: the one given, else kind, place and negative."""
        tail = [spot.name for spot in self.spots()] + ([str(self.negative)] if self.negative else [])
        return self.name or "-".join([self.kind, *tail])

    def points_or_default(self) -> float:
        """Return its points: 1 unless said, 0 for what never costs."""
        default = 0.0 if self.kind.startswith("may-go") else 1.0
        return default if self.points is None else self.points

    def criterion(self) -> Criterion:
        """Return the criterion with every default filled in."""
        wanted, tolerance = self._wanted_and_tolerance()
        return Criterion(
            name=self.called(), kind=self.kind, spots=self.spots(), wanted=wanted, tolerance=tolerance,
            points=self.points_or_default(), most=self.most_s, negative=self.negative, hidden=self.hidden,
            sheet=self.sheet or "", record=self.record or "", densities=tuple(self.densities or ()),
            magnification=self.magnification,
        )  # fmt: skip

    def _wanted_and_tolerance(self) -> tuple[float, float]:
        """Return wanted and tolerance in the kind's own unit."""
        kind, density = self.kind, self.density or 0.0
        if kind in ("tone", "at-least", "at-most"):
            return density, self.tolerance_density or eye_tolerance(density)
        if kind == "sharp":
            return self.contrast_5_lp_mm or 0.0, self.tolerance or DEFAULT_SHARP_TOLERANCE
        if kind == "size":
            return self.image_width_mm or 0.0, self.tolerance_mm or DEFAULT_SIZE_TOLERANCE_MM
        if kind == "time-window":
            return self.least_s or 0.0, 0.05 * (self.least_s or 0.0)
        wanted = {
            "black": self.share or DEFAULT_BLACK_SHARE,
            "white": DEFAULT_WHITE_NET if self.net_density is None else self.net_density,
            "even": self.most_density or 0.0,
        }.get(kind, density)
        return wanted, self.tolerance_density or DEFAULT_TOLERANCE.get(kind, 0.03)


def criterion_keys(c: Criterion) -> dict[str, Any]:
    """Return a criterion as the keys it is written with (the inverse of ``CriterionEntry.criterion``)."""
    spots = [s.name if s.x is None else {"name": s.name, "x": s.x, "y": s.y, "spot_mm": s.spot_mm} for s in c.spots]
    wanted_key = {
        "tone": "density", "at-least": "density", "at-most": "density", "separation": "density", "black": "share",
        "white": "net_density", "sharp": "contrast_5_lp_mm", "even": "most_density", "time-window": "least_s",
    }.get(c.kind)  # fmt: skip
    tolerance_key = {"sharp": "tolerance", "size": "tolerance_mm"}.get(c.kind, "tolerance_density")
    keys: dict[str, Any] = {"name": c.name, "kind": c.kind}
    if spots:
        keys["places" if "places" in KEYS_OF_KIND[c.kind][0] else "place"] = (
            spots if "places" in KEYS_OF_KIND[c.kind][0] else spots[0]
        )
    if wanted_key:
        keys[wanted_key] = c.wanted
    if tolerance_key in (*KEYS_OF_KIND[c.kind][0], *KEYS_OF_KIND[c.kind][1]):
        keys[tolerance_key] = c.tolerance
    optional = {
        "most_s": c.most, "negative": c.negative, "hidden": c.hidden or None, "sheet": c.sheet or None,
        "record": c.record or None, "densities": list(c.densities) or None, "magnification": c.magnification,
        "image_width_mm": c.wanted if c.kind == "size" and c.magnification is None else None,
    }  # fmt: skip
    return {**keys, "points": c.points, **{k: v for k, v in optional.items() if v is not None}}


def _in_range(control: str, value: float | None, key: str) -> None:
    limits = CONTROLS[control]
    if value is not None and not limits.low <= value <= limits.high:
        raise Refused(f"{key} must be between {limits.low:g} and {limits.high:g} {limits.unit}, got {value!r}")


class BoxEntry(Part):
    """``[box]``."""

    sheets: Annotated[int, Field(ge=1, le=100)] = 20
    minutes: Annotated[float, Field(gt=0.0, le=600.0)] = 45.0
    expected_sheets: Annotated[float, Field(gt=0.0, le=100.0)] = 2.0


class StartEntry(Part):
    """``[start]``."""

    time_s: float | None = None
    f_number: float | None = None
    filter: Literal["none", "00", "0", "0.5", "1", "1.5", "2", "2.5", "3", "3.5", "4", "4.5", "5"] | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    border_mm: float | None = None
    head: str | None = None
    lens: str | None = None
    column_mm: float | None = None
    contact: bool | None = None
    carrier: Literal["glass", "glassless"] | None = None
    focus_offset_mm: float | None = None
    negative_tilt_deg: float | None = None
    easel_tilt_deg: float | None = None
    development_time_s: float | None = None
    temperature_c: float | None = None
    sheets_before: float | None = None
    reciprocity: bool | None = None

    @model_validator(mode="after")
    def _inside_the_controls(self) -> StartEntry:
        other = {"width_mm": "paper_mm", "height_mm": "paper_mm", "column_mm": "height_mm"}
        for key, value in self:
            control = other.get(key, key)
            if isinstance(value, float) and control in CONTROLS:
                _in_range(control, value, key)
        if self.head is not None:
            find_head(self.head)
        if self.lens is not None:
            find_lens(self.lens)
        return self


Pair = Annotated[list[float], Field(min_length=2, max_length=2)]


class SpreadEntry(Part):
    """``[spread]``: lowest and highest, or the choice, of every unlocked control that random starts draw."""

    time_stops: Pair | None = None
    filter: Annotated[list[str], Field(min_length=1, max_length=12)] | None = None
    f_number: Annotated[list[float], Field(min_length=1, max_length=20)] | None = None
    column_mm: Pair | None = None
    focus_offset_mm: Pair | None = None
    card_stops: Pair | None = None
    development_time_s: Pair | None = None
    easel_tilt_deg: Pair | None = None

    @model_validator(mode="after")
    def _low_below_high(self) -> SpreadEntry:
        other = {"column_mm": "height_mm"}
        for key, value in self:
            if key not in ("filter", "f_number") and value is not None and not value[0] < value[1]:
                raise Refused(f"{key} must run from low to high, got {value!r}")
            for number in value or ():
                control = other.get(key, key)
                if isinstance(number, float) and control in CONTROLS:
                    _in_range(control, number, key)
        unknown = [name for name in self.filter or () if name not in FILTER_NAMES]
        if unknown:
            raise Refused(f"filter must be chosen from {', '.join(FILTER_NAMES)}, got {unknown[0]!r}")
        return self


class ExerciseFile(Part):
    """The whole of ``exercise.toml``."""

    format: Annotated[int, Field(ge=1, le=1)]
    version: Annotated[int, Field(ge=1, le=10_000)] = 1
    title: Annotated[str, Field(min_length=1, max_length=120)]
    skill: Name
    negatives: Annotated[list[Name], Field(min_length=1, max_length=12)]
    also: list[Name] = Field(default_factory=list, max_length=12)
    paper: Name
    unlocked: Annotated[list[str], Field(min_length=1, max_length=20)]
    pass_share: Annotated[float, Field(gt=0.0, le=1.0)] = 0.75
    economy_points: Annotated[float, Field(ge=0.0, le=1000.0)] = 0.0
    copies: Annotated[int, Field(ge=1, le=12)] = 1
    predict: Literal["which-step", "lighter-darker", "softer-harder", "filter", "seconds"] = "lighter-darker"
    mode: Literal["example", "completion", "solo"] = "solo"
    box: BoxEntry = BoxEntry()
    start: StartEntry = StartEntry()
    spread: SpreadEntry = SpreadEntry()
    criterion: Annotated[list[CriterionEntry], Field(min_length=1, max_length=60)]


assert ExerciseFile.model_fields["predict"].annotation.__args__ == PREDICTIONS  # type: ignore[union-attr]
assert ExerciseFile.model_fields["mode"].annotation.__args__ == MODES  # type: ignore[union-attr]
