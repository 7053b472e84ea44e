"""A sleeve: the data file of one negative. Which scene, how it was exposed and developed, and what it teaches.

A sleeve is TOML in sim/negative/sleeves, or a file of one's own. Nothing random is drawn from it: a variant of a
negative is simply another sleeve.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, model_validator

from sim.negative.camera import Camera
from sim.negative.negative import Place
from sim.reading import OUTSIDE_RULES, read_toml_as
from sim.refusals import Refused
from sim.shelf import NEGATIVE, Shelf, shelf_for, shipped_names
from sim.shelf import VARIANT_MARK as VARIANT_MARK

LEAST_CROP = 0.05
Fraction = Annotated[float, Field(ge=0.0, le=1.0)]
SLEEVE_FOLDER = NEGATIVE.shipped


@dataclass(frozen=True)
class Crop:
    """The part of the scene on the film, as fractions of the scene picture."""

    __pydantic_config__ = OUTSIDE_RULES
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
    holds it. ``development`` is contrast against normal; ``stain_share`` belongs to a pyro-type staining developer.
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
    series: str | None = None
    scan: ScanSource | None = None


class _Part(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")


Name = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,47}$")]


FrameSide = Annotated[float, Field(ge=10.0, le=300.0)]


class _Film(_Part):
    stock: Name = "medium"
    frame_mm: tuple[FrameSide, FrameSide]
    development: Annotated[float, Field(ge=0.3, le=2.5)] = 1.0
    stain_share: Annotated[float, Field(ge=0.0, le=1.0)] = 0.0
    rebate_mm: Annotated[float, Field(ge=0.0, le=20.0)] = 4.0
    mirrored: bool = False


class _Claim(_Part):
    filter: Annotated[str, Field(max_length=8)] | None = None
    single_exposure: bool = True

    @model_validator(mode="after")
    def _one_claim(self) -> _Claim:
        if self.single_exposure != (self.filter is not None):
            raise Refused(
                "a sleeve claims either a filter, or single_exposure = false and no filter, "
                f"got filter {self.filter!r} with single_exposure {self.single_exposure}"
            )
        return self


class _Scan(_Part):
    file: Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,120}\.png$")]
    base_density: Annotated[float, Field(ge=0.0, le=1.0)] = 0.1


class SleeveFile(_Part):
    """The file as people write it: film and frame in a table of their own, and what the sleeve claims."""

    format: Annotated[int, Field(ge=1, le=1)]
    title: Annotated[str, Field(min_length=3, max_length=120)]
    teaches: Annotated[str, Field(min_length=10, max_length=600)]
    scene: Name | None = None
    scan: _Scan | None = None
    series: Name | None = None
    camera: Camera | None = None
    film: _Film
    crop: Crop = Crop()
    claim: _Claim | None = None
    place: Annotated[tuple[Place, ...], Field(max_length=40)] = ()

    @model_validator(mode="after")
    def _one_source(self) -> SleeveFile:
        if (self.scene is None) == (self.scan is None):
            raise Refused(f"exactly one of scene and scan must be given, got scene {self.scene!r}, scan {self.scan!r}")
        if self.scene is not None and self.camera is None:
            raise Refused("camera is required for a scene and missing")
        return self

    @model_validator(mode="after")
    def _names_once(self) -> SleeveFile:
        names = [place.name for place in self.place]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise Refused(f"place names must stand only once, got {', '.join(twice)} twice")
        return self


def read_sleeve(path: Path) -> Sleeve:
    """Return the sleeve in a TOML file. Raises OutsideError with file, key, rule and value received."""
    file = read_toml_as(path, SleeveFile)
    film = file.film.model_dump()
    return Sleeve(
        name=path.stem,
        title=file.title,
        teaches=file.teaches,
        scene=file.scene or "",
        camera=file.camera or Camera(1.0),
        film=film.pop("stock"),
        crop=file.crop,
        places=file.place,
        wants_filter=file.claim.filter if file.claim else None,
        series=file.series,
        scan=ScanSource(path.parent / file.scan.file, file.scan.base_density) if file.scan else None,
        **film,
    )


def sleeve_names() -> tuple[str, ...]:
    """Return the negatives in the file, by name."""
    return shipped_names(NEGATIVE)


def find_sleeve(name: str, shelf: Shelf | None = None) -> Sleeve:
    """Return a sleeve, or a variant of one, by its name on the shelf (default: what is shipped, and ``own:NAME``).

    Raises OutsideError.
    """
    if VARIANT_MARK in name:
        from sim.negative.variants import variant_by_name

        return variant_by_name(name, shelf)
    return replace(read_sleeve(shelf_for(name, shelf).file(NEGATIVE, name)), name=name)


def seen_through(place: Place, crop: Crop, mirrored: bool) -> Place:
    """Return a place of the scene as it lies on a cropped or mirrored negative (clipped to the frame)."""
    x = (place.x - crop.left) / (crop.right - crop.left)
    y = (place.y - crop.top) / (crop.bottom - crop.top)
    x = 1.0 - x if mirrored else x
    area = place.area
    if area is not None:
        area = (area[0] / (crop.right - crop.left), area[1] / (crop.bottom - crop.top))
    return replace(place, x=min(max(x, 0.0), 1.0), y=min(max(y, 0.0), 1.0), area=area)
