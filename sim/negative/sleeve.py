"""A sleeve: the data file of one negative. Which scene, how it was exposed and developed, and what it teaches.

A sleeve is TOML in sim/negative/sleeves, or a file of one's own. Nothing random is drawn from it: a variant of a
negative is simply another sleeve.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from sim.negative.camera import Camera
from sim.negative.negative import Place
from sim.negative.sleeve_contents import Crop, ScanSource, Sleeve
from sim.negative.variants import variant
from sim.reading import read_toml_as
from sim.refusals import Refused
from sim.shelf import NEGATIVE, VARIANT_MARK, Shelf, shelf_for, shipped_names, split_variant

SLEEVE_FOLDER = NEGATIVE.shipped


class _Part(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")


Name = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,47}$")]
Looks = Literal["dense", "thin", "flat", "harsh", "empty-shadows"]


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
    looks: list[Looks] = []
    owed: list[Looks] = []
    range_stops: Annotated[float, Field(gt=0.0, le=20.0)] | None = None
    scene_stops: Annotated[float, Field(gt=0.0, le=20.0)] | None = None
    beside: Name | None = None

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
        looks=tuple(file.claim.looks) if file.claim else (),
        owed=tuple(file.claim.owed) if file.claim else (),
        range_stops=file.claim.range_stops if file.claim else None,
        scene_stops=file.claim.scene_stops if file.claim else None,
        beside=(file.claim.beside or "") if file.claim else "",
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
        whole, key = split_variant(name)
        return variant(find_sleeve(whole, shelf), key)
    return replace(read_sleeve(shelf_for(name, shelf).file(NEGATIVE, name)), name=name)
