"""What a sleeve says of its negative: which scene, how it was exposed and developed, its places, and what it teaches."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Annotated

from pydantic import Field

from sim.negative.camera import Camera
from sim.negative.negative import Place
from sim.negative.roll import Roll
from sim.refusals import Refused

LEAST_CROP = 0.05
Fraction = Annotated[float, Field(ge=0.0, le=1.0)]


@dataclass(frozen=True)
class Crop:
    """The part of the scene on the film, as fractions of the scene picture."""

    left: Fraction = 0.0
    top: Fraction = 0.0
    right: Fraction = 1.0
    bottom: Fraction = 1.0

    def __post_init__(self) -> None:
        if self.right - self.left < LEAST_CROP or self.bottom - self.top < LEAST_CROP:
            raise Refused(f"crop must be at least {LEAST_CROP:g} of the scene each way, got {asdict(self)}")


@dataclass(frozen=True)
class ScanSource:
    """A scan of a real negative: a 16-bit picture of density 0 to 4 above the clear base, and that base's density."""

    file: Path
    base_density: float


@dataclass(frozen=True)
class Sleeve:
    """Everything needed to develop one negative from its scene, and what it is for.

    ``wants_filter`` is the sleeve's claim: the graded filter that prints it straight, or None when no single exposure
    holds it; ``looks`` are words said of it that measurement bears out, ``owed`` words that it does not bear out yet,
    ``range_stops`` and ``scene_stops`` the ranges of film and scene where it states them, ``beside`` the sleeve of the same
    scene whose metering is the normal one. ``development`` is contrast against normal; ``stain_share`` belongs to a
    pyro-type staining developer.
    """

    name: str
    title: str
    teaches: str
    scene: str
    camera: Camera
    film: str
    frame_mm: tuple[float, float]
    development: float = 1.0
    stain_share: float = 0.0
    crop: Crop = Crop()
    mirrored: bool = False
    rebate_mm: float = 4.0
    places: tuple[Place, ...] = ()
    wants_filter: str | None = None
    looks: tuple[str, ...] = ()
    owed: tuple[str, ...] = ()
    range_stops: float | None = None
    scene_stops: float | None = None
    beside: str = ""
    series: str | None = None
    scan: ScanSource | None = None
    roll: Roll | None = None


def seen_through(place: Place, crop: Crop, mirrored: bool) -> Place:
    """Return a place of the scene as it lies on a cropped or mirrored negative (clipped to the frame)."""

    def along(value: float) -> float:
        x = (value - crop.left) / (crop.right - crop.left)
        return min(max(1.0 - x if mirrored else x, 0.0), 1.0)

    def down(value: float) -> float:
        return min(max((value - crop.top) / (crop.bottom - crop.top), 0.0), 1.0)

    area = place.area
    if area is not None:
        area = (area[0] / (crop.right - crop.left), area[1] / (crop.bottom - crop.top))
    hole = place.hole
    if hole is not None:
        left, right = sorted((along(hole[0]), along(hole[2])))
        top, bottom = down(hole[1]), down(hole[3])
        within = left < along(place.x) < right and top < down(place.y) < bottom  # a crop may pass the place by
        hole = (left, top, right, bottom) if within else None
    return replace(place, x=along(place.x), y=down(place.y), area=area, hole=hole)
