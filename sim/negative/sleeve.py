"""A sleeve: the data file of one negative. Which scene, how it was exposed and developed, and what it teaches.

A sleeve is TOML in sim/negative/sleeves, or a file of one's own. Nothing random is drawn from it: a variant of a
negative is simply another sleeve.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from sim.negative.camera import Camera
from sim.negative.negative import Place
from sim.reading import read_toml
from sim.refusals import Refused
from sim.shelf import NEGATIVE, Shelf, shelf_for, shipped_names
from sim.shelf import VARIANT_MARK as VARIANT_MARK

SLEEVE_FOLDER = NEGATIVE.shipped


@dataclass(frozen=True)
class Crop:
    """The part of the scene on the film, as fractions of the scene picture."""

    left: float = 0.0
    top: float = 0.0
    right: float = 1.0
    bottom: float = 1.0


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


Fraction = Annotated[float, Field(ge=0.0, le=1.0)]
Name = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,47}$")]


class _Camera(_Part):
    metered_cd_m2: Annotated[float, Field(gt=1e-3, le=1e5)]
    error_stops: Annotated[float, Field(ge=-6.0, le=6.0)] = 0.0
    forgotten_magnification: Annotated[float, Field(ge=0.0, le=3.0)] = 0.0
    flare_share: Annotated[float, Field(ge=0.0, le=0.2)] = 0.012
    falloff_stops: Annotated[float, Field(ge=0.0, le=5.0)] = 0.0
    falloff_towards_deg: Annotated[float, Field(ge=-360.0, le=360.0)] = 0.0


class _Film(_Part):
    stock: Name = "medium"
    frame_mm: Annotated[list[Annotated[float, Field(ge=10.0, le=300.0)]], Field(min_length=2, max_length=2)]
    development: Annotated[float, Field(ge=0.3, le=2.5)] = 1.0
    stain_share: Annotated[float, Field(ge=0.0, le=1.0)] = 0.0
    rebate_mm: Annotated[float, Field(ge=0.0, le=20.0)] = 4.0
    mirrored: bool = False


class _Crop(_Part):
    left: Fraction = 0.0
    top: Fraction = 0.0
    right: Fraction = 1.0
    bottom: Fraction = 1.0

    @model_validator(mode="after")
    def _has_a_size(self) -> _Crop:
        if self.right - self.left < 0.05 or self.bottom - self.top < 0.05:
            raise Refused(f"crop must be at least 0.05 of the scene each way, got {self.model_dump()}")
        return self


class _Place(_Part):
    name: Name
    x: Fraction
    y: Fraction
    spot_mm: Annotated[float, Field(ge=0.2, le=50.0)] = 3.0
    part: Literal["lightest", "darkest", "tone", "may-go-white", "may-go-black"] = "tone"
    what: Annotated[str, Field(max_length=200)] = ""
    area: Annotated[list[Annotated[float, Field(gt=0.0, le=1.5)]], Field(min_length=2, max_length=2)] | None = None

    def place(self) -> Place:
        """Return the place as the program uses it."""
        area = (self.area[0], self.area[1]) if self.area else None
        return Place(self.name, self.x, self.y, self.spot_mm, self.part, self.what, area)


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
    """The file as people write it."""

    format: Annotated[int, Field(ge=1, le=1)]
    title: Annotated[str, Field(min_length=3, max_length=120)]
    teaches: Annotated[str, Field(min_length=10, max_length=600)]
    scene: Name | None = None
    scan: _Scan | None = None
    series: Name | None = None
    camera: _Camera | None = None
    film: _Film
    crop: _Crop = _Crop()
    claim: _Claim | None = None
    place: Annotated[list[_Place], Field(max_length=40)] = []

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
    file = read_toml(path, SleeveFile)
    film = file.film.model_dump()
    width, height = film.pop("frame_mm")
    return Sleeve(
        name=path.stem,
        title=file.title,
        teaches=file.teaches,
        scene=file.scene or "",
        camera=Camera(**file.camera.model_dump()) if file.camera else Camera(1.0),
        film=film.pop("stock"),
        frame_mm=(width, height),
        crop=Crop(**file.crop.model_dump()),
        places=tuple(place.place() for place in file.place),
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
