"""The kinds of criteria, declared once each: keys with ranges and defaults, unit, which side of a miss counts, what it reads.

A new kind is an entry here, how it is measured (``criterion_measures.py``), and its words (``sim/notebook/mark_words.py``).
Nothing else names it: files are read and written, marks given and tones aimed at by what stands here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import Field

from sim.refusals import Refused
from sim.scoring.points import (
    ALIKE_MOST,
    DEVELOPED_TOLERANCE,
    LEAST_DEVELOPED,
    MOST_DEVELOPED,
    TIME_TOLERANCE,
    eye_tolerance,
)

Density = Annotated[float, Field(ge=0.0, le=3.0)]
USUAL_TOLERANCE = 0.03


@dataclass(frozen=True)
class Key:
    """One key of a criterion in ``exercise.toml``: its form (type and range), and the field of ``Criterion`` it becomes.

    ``default`` is what a criterion has when the key is not given.
    """

    name: str
    field: Literal["wanted", "tolerance", "most", "sheet", "record", "densities", "magnification"]
    form: Any
    required: bool = False
    default: float | None = None


@dataclass(frozen=True)
class Kind:
    """What is true of all criteria of a kind.

    ``places`` are the fewest and the most places it is read at. ``tolerance`` is the usual one, or follows from what is
    wanted. ``side`` says which misses count. ``tones`` says how its readings are tones to be aimed at: one place, two
    places apart, or a print to be matched place by place. ``cause`` is what advice calls it when it is off and no tone can
    show why. ``series`` kinds are marked once for all nominated prints.
    """

    name: str
    places: tuple[int, int] = (1, 1)
    keys: tuple[Key, ...] = ()
    tolerance: float | Callable[[float], float] = USUAL_TOLERANCE
    unit: str = "density"
    side: Literal["both", "too-little", "too-much", "none"] = "both"
    tones: Literal["none", "one", "apart", "match"] = "none"
    cause: Literal["", "sharpness", "evenness", "size", "time", "match", "development", "paper"] = ""
    costs: bool = True
    series: bool = False
    matched: Literal["no", "sheet", "record"] = "no"
    one_of: tuple[str, ...] = ()
    controls: tuple[str, ...] = ()
    check: Callable[[Mapping[str, Any]], None] = lambda keys: None

    @property
    def place_key(self) -> str:
        """The key its places stand under; empty when it is read at none."""
        return ("", "place", "places")[min(self.places[1], 2)]

    @property
    def required(self) -> tuple[str, ...]:
        """Keys it must have."""
        return (*((self.place_key,) if self.place_key else ()), *(key.name for key in self.keys if key.required))

    @property
    def optional(self) -> tuple[str, ...]:
        """Keys it may have, besides those of every criterion."""
        return tuple(key.name for key in self.keys if not key.required)

    @property
    def yes_or_no(self) -> bool:
        """Tell whether it is so or it is not: nothing is read off a scale."""
        return self.costs and not self.keys

    @property
    def series_factor(self) -> float:
        """How many tolerances of one print a series' tolerance is: two prints may be off to either side."""
        return 2.0 if self.series else 1.0

    def kept_off(self, off: float) -> float:
        """Return what counts of a miss: one-sided kinds do not mind the other side."""
        return {"both": off, "too-little": min(off, 0.0), "too-much": max(off, 0.0), "none": 0.0}[self.side]

    def usual_tolerance(self, wanted: float) -> float:
        """Return the tolerance where none is given."""
        return self.tolerance(wanted) if callable(self.tolerance) else self.tolerance


def _window(keys: Mapping[str, Any]) -> None:
    if keys["least_s"] >= keys["most_s"]:
        raise Refused(f"least_s must be below most_s, got {keys['least_s']:g} and {keys['most_s']:g}")


def _tray(keys: Mapping[str, Any]) -> None:
    least, most = keys.get("least_share", LEAST_DEVELOPED), keys.get("most_share", MOST_DEVELOPED)
    if least >= most:
        raise Refused(f"least_share must be below most_share, got {least:g} and {most:g}")


def _as_many(keys: Mapping[str, Any]) -> None:
    densities, places = keys.get("densities"), keys.get("places") or ()
    if densities is not None and len(densities) != len(places):
        raise Refused(f"densities must number as many as places, got {len(densities)}")


_MANY = (1, 20)
_Share = Annotated[float, Field(gt=0.0, le=1.0)]
_Seconds = Annotated[float, Field(gt=0.0, le=600.0)]
_Developed = Annotated[float, Field(gt=0.0, le=8.0)]
_HAND_TIME = ("time_s", "f_number", "height_mm")
_NEAR = Key("tolerance_density", "tolerance", _Share)
_TONE = (Key("density", "wanted", Density, required=True), _NEAR)
_RECORD = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]{0,60}\.json$")]

_ALL = (
    Kind("tone", keys=_TONE, tolerance=eye_tolerance, tones="one"),
    Kind("at-least", keys=_TONE, tolerance=eye_tolerance, side="too-little", tones="one"),
    Kind("at-most", keys=_TONE, tolerance=eye_tolerance, side="too-much", tones="one"),
    Kind("may-go-white", side="none", costs=False),
    Kind("may-go-black", side="none", costs=False),
    Kind("separation", (2, 2), _TONE, side="too-little", tones="apart"),
    Kind("black", keys=(Key("share", "wanted", _Share, default=0.9), _NEAR), tolerance=0.06, side="too-little", tones="one"),
    Kind(
        "white", keys=(Key("net_density", "wanted", Annotated[float, Field(ge=0.0, le=1.0)], default=0.04), _NEAR),
        tolerance=0.01, side="too-much", tones="one",
    ),
    Kind(
        "sharp", keys=(Key("contrast_5_lp_mm", "wanted", _Share, required=True), Key("tolerance", "tolerance", _Share)),
        tolerance=0.03, unit="contrast at 5 lp/mm", side="too-little", cause="sharpness",
    ),
    Kind(
        "even", keys=(Key("most_density", "wanted", _Share, required=True), _NEAR), tolerance=0.01, side="too-much",
        cause="evenness",
    ),
    Kind(
        "size", (0, 0),
        (
            Key("magnification", "magnification", Annotated[float, Field(ge=1.0, le=40.0)]),
            Key("image_width_mm", "wanted", Annotated[float, Field(ge=10.0, le=700.0)]),
            Key("tolerance_mm", "tolerance", Annotated[float, Field(gt=0.0, le=50.0)]),
        ),
        tolerance=2.0, unit="mm", cause="size", one_of=("magnification", "image_width_mm"),
    ),
    Kind(
        "time-window", (0, 0),
        (Key("least_s", "wanted", _Seconds, required=True), Key("most_s", "most", _Seconds, required=True)),
        tolerance=lambda least_s: TIME_TOLERANCE * least_s, unit="s", cause="time",
        controls=_HAND_TIME, check=_window,
    ),
    Kind(
        "each-time", (0, 0), (Key("least_s", "wanted", _Seconds, required=True),),
        tolerance=lambda least_s: TIME_TOLERANCE * least_s, unit="s", side="too-little", cause="time", controls=_HAND_TIME,
    ),
    Kind(
        "developed", (0, 0),
        (
            Key("least_share", "wanted", _Developed, default=LEAST_DEVELOPED),
            Key("most_share", "most", _Developed, default=MOST_DEVELOPED),
        ),
        tolerance=DEVELOPED_TOLERANCE, unit="share of complete development", cause="development",
        controls=("development_time_s", "temperature_c"), check=_tray,
    ),
    Kind("on-paper", (0, 0), unit="", side="too-little", cause="paper", controls=("paper",)),
    Kind(
        "match-sheet", _MANY, (Key("sheet", "sheet", Literal["first", "start"], required=True), _NEAR),
        tolerance=ALIKE_MOST, tones="match", cause="match", matched="sheet",
    ),
    Kind("match-series", _MANY, (_NEAR,), tolerance=ALIKE_MOST, tones="match", cause="match", series=True),
    Kind(
        "match-print", _MANY,
        (
            Key("record", "record", _RECORD),
            Key("densities", "densities", Annotated[list[Density], Field(min_length=1, max_length=20)]),
            _NEAR,
        ),
        tolerance=ALIKE_MOST, tones="match", cause="match", matched="record", one_of=("record", "densities"), check=_as_many,
    ),
)  # fmt: skip
KINDS: dict[str, Kind] = {kind.name: kind for kind in _ALL}
TONE_KINDS = tuple(kind.name for kind in _ALL if kind.keys == _TONE and kind.tones == "one")
EXACT_TONE_KINDS = tuple(name for name in TONE_KINDS if KINDS[name].side == "both")
LEAST_SECONDS_KINDS = tuple(kind.name for kind in _ALL if "least_s" in {key.name for key in kind.keys})
