"""A sleeve: the data file of one negative. Which scene, how it was exposed and developed, and what it teaches.

A sleeve is TOML in sim/negative/sleeves, or a file of one's own. Nothing random is drawn from it: a variant of a
negative is simply another sleeve.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, model_validator

from sim.negative.camera import Camera
from sim.negative.negative import Place
from sim.negative.roll import Roll
from sim.negative.sleeve_contents import Crop, ScanSource, Sleeve
from sim.negative.variants import variant
from sim.reading import OutsideFile, OutsideTable, parse_as, parse_toml, read_toml
from sim.refusals import Refused
from sim.shelf import NEGATIVE, VARIANT_MARK, Shelf, shelf_for, shipped_names, split_variant

SLEEVE_FOLDER = NEGATIVE.shipped
SHORTEST_TITLE = 3  # characters (chosen: fewer tell nobody which negative it is)


Name = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,47}$")]
Looks = Literal["dense", "thin", "flat", "harsh", "empty-shadows"]


FrameSide = Annotated[float, Field(ge=10.0, le=300.0)]


class _Film(OutsideTable):
    stock: Name = "medium"
    frame_mm: tuple[FrameSide, FrameSide]
    development: Annotated[float, Field(ge=0.3, le=2.5)] = 1.0
    stain_share: Annotated[float, Field(ge=0.0, le=1.0)] = 0.0
    rebate_mm: Annotated[float, Field(ge=0.0, le=20.0)] = 4.0
    mirrored: bool = False


class _Claim(OutsideTable):
    wants_filter: Annotated[str, Field(max_length=8)] | None = Field(None, validation_alias="filter")
    single_exposure: bool = True
    looks: tuple[Looks, ...] = ()
    owed: tuple[Looks, ...] = ()
    range_stops: Annotated[float, Field(gt=0.0, le=20.0)] | None = None
    scene_stops: Annotated[float, Field(gt=0.0, le=20.0)] | None = None
    beside: Name | Literal[""] = ""

    @model_validator(mode="after")
    def _one_claim(self) -> _Claim:
        if self.single_exposure != (self.wants_filter is not None):
            raise Refused(
                "a sleeve claims either a filter, or single_exposure = false and no filter, "
                f"got filter {self.wants_filter!r} with single_exposure {self.single_exposure}"
            )
        return self


class _Scan(OutsideTable):
    file: Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,120}\.png$")]
    base_density: Annotated[float, Field(ge=0.0, le=1.0)] = 0.1


class SleeveFile(OutsideFile):
    """The file as people write it: film and frame in a table of their own, and what the sleeve claims."""

    title: Annotated[str, Field(min_length=SHORTEST_TITLE, max_length=120)]
    teaches: Annotated[str, Field(min_length=10, max_length=600)]
    scene: Name | None = None
    scan: _Scan | None = None
    roll: Roll | None = None
    series: Name | None = None
    camera: Camera | None = None
    film: _Film
    crop: Crop = Crop()
    claim: _Claim | None = None
    place: Annotated[tuple[Place, ...], Field(max_length=40)] = ()

    @model_validator(mode="after")
    def _one_source(self) -> SleeveFile:
        if sum(one is not None for one in (self.scene, self.scan, self.roll)) != 1:
            given = [name for name in ("scene", "scan", "roll") if getattr(self, name) is not None]
            raise Refused(f"exactly one of scene, scan and roll must be given, got {', '.join(given) or 'none'}")
        if self.roll is not None and self.roll.size_mm != self.film.frame_mm:
            wide, high = self.roll.size_mm
            got = " x ".join(f"{side:g}" for side in self.film.frame_mm)
            raise Refused(f"film.frame_mm must be the size of all strips, {wide:g} x {high:g}, got {got}")
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
    return Sleeve(
        name=path.stem,
        title=file.title,
        teaches=file.teaches,
        scene=file.scene or "",
        camera=file.camera or Camera(1.0),
        film=film.pop("stock"),
        crop=file.crop,
        places=file.place,
        series=file.series,
        scan=ScanSource(path.parent / file.scan.file, file.scan.base_density) if file.scan else None,
        roll=file.roll,
        **film,
        **(file.claim.model_dump(exclude={"single_exposure"}) if file.claim else {}),
    )


def refuse_unreadable_sleeve(path: Path, text: str) -> None:
    """Refuse a text that is to become a sleeve and could not be read from it. Raises OutsideError."""
    parse_as(path, parse_toml(path, text), SleeveFile)


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
    if name in sleeve_names():
        return _shipped(name)
    return replace(read_sleeve(shelf_for(name, shelf).file(NEGATIVE, name)), name=name)


@lru_cache(maxsize=64)
def _shipped(name: str) -> Sleeve:
    """Read one of our own sleeves once: the wall asks for the title of every print at every frame."""
    return read_sleeve(NEGATIVE.file(SLEEVE_FOLDER, name))
