"""The heads and lenses on the bench, from equipment.toml, checked number by number."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any, TypeVar

from pydantic import BaseModel, ConfigDict, Field, model_validator

from sim.enlarger.spectra import Lamp
from sim.reading import MAX_TOML_BYTES, parse_toml, read_text, read_toml
from sim.refusals import Refused
from sim.shelf import HEAD, LENS, Kind, Shelf, digest_of_numbers, shelf_for

FLUX_EXPONENT, TEMPERATURE_EXPONENT = 3.4, 0.42
EQUIPMENT_FILE = Path(__file__).with_name("equipment.toml")


@dataclass(frozen=True)
class Head:
    """A lamp house: what light it sends through the gate, how it switches, and what it can hold.

    ``scatter_share`` is the share of light scattered by silver that still reaches the lens: 1 for fully diffuse light,
    less for directed (condenser) light, which is why that prints harder.
    """

    name: str
    title: str
    lamp: Lamp
    gate_luminance_cd_m2: float
    scatter_share: float
    gate_mm: tuple[float, float]
    column_mm: tuple[float, float]
    dead_time_s: float
    repeatability_s: float
    popping_mm: float
    popping_time_s: float

    def at_voltage(self, share: float) -> Head:
        """Return the head with its filament at a share of the rated voltage: dimmer and redder below it.

        Flux as V**3.4 and temperature as V**0.42 near the rated point (handbook exponents, from memory). Lamps without a
        filament are taken to be held steady by their supply (assumption).
        """
        if share == 1.0 or self.lamp.temperature_k is None:
            return self
        lamp = Lamp(self.lamp.temperature_k * share**TEMPERATURE_EXPONENT)
        return replace(self, lamp=lamp, gate_luminance_cd_m2=self.gate_luminance_cd_m2 * share**FLUX_EXPONENT)


@dataclass(frozen=True)
class Lens:
    """An enlarging lens."""

    name: str
    title: str
    focal_mm: float
    widest_f_number: float
    smallest_f_number: float
    covers_diagonal_mm: float
    transmittance: float
    flare_share: float
    rim_distance_mm: float


Length = Annotated[float, Field(gt=0.0, le=5000.0)]
Share = Annotated[float, Field(gt=0.0, le=1.0)]


class _Entry(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")
    name: Annotated[str, Field(pattern=r"^[a-z0-9-]{2,40}$")]
    title: Annotated[str, Field(min_length=3, max_length=120)]
    sources: dict[str, str]

    @model_validator(mode="after")
    def _every_number_has_a_source(self) -> _Entry:
        numbers = {key for key, value in self if key not in ("name", "title", "sources") and value not in (None, [])}
        missing = sorted(key for key in numbers if not self.sources.get(key, "").strip())
        if missing:
            raise Refused(f"sources must name a source or 'assumption' for {', '.join(missing)}, got none")
        return self


class _HeadEntry(_Entry):
    temperature_k: Annotated[float, Field(ge=2000.0, le=7000.0)] | None = None
    bands: list[Annotated[list[float], Field(min_length=3, max_length=3)]] = []
    gate_luminance_cd_m2: Annotated[float, Field(gt=0.0, le=1e6)]
    scatter_share: Share
    gate_mm: Annotated[list[Length], Field(min_length=2, max_length=2)]
    column_mm: Annotated[list[Length], Field(min_length=2, max_length=2)]
    dead_time_s: Annotated[float, Field(ge=0.0, le=2.0)]
    repeatability_s: Annotated[float, Field(ge=0.0, le=1.0)]
    popping_mm: Annotated[float, Field(ge=0.0, le=2.0)]
    popping_time_s: Length

    @model_validator(mode="after")
    def _one_kind_of_lamp(self) -> _HeadEntry:
        if (self.temperature_k is None) == (not self.bands):
            raise Refused("exactly one of temperature_k and bands must be given, got both or none")
        return self


class _LensEntry(_Entry):
    focal_mm: Length
    widest_f_number: Annotated[float, Field(ge=1.0, le=64.0)]
    smallest_f_number: Annotated[float, Field(ge=1.0, le=90.0)]
    covers_diagonal_mm: Length
    transmittance: Share
    flare_share: Annotated[float, Field(ge=0.0, le=0.2)]
    rim_distance_mm: Annotated[float, Field(ge=0.0, le=500.0)]


class _HeadFile(BaseModel):
    """A head in a file of its own: a course's, or one's own."""

    model_config = ConfigDict(strict=True, extra="forbid")
    format: Annotated[int, Field(ge=1, le=1)]
    head: _HeadEntry


class _LensFile(BaseModel):
    """A lens in a file of its own."""

    model_config = ConfigDict(strict=True, extra="forbid")
    format: Annotated[int, Field(ge=1, le=1)]
    lens: _LensEntry


Single = TypeVar("Single", _HeadFile, _LensFile)


class _EquipmentFile(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")
    format: Annotated[int, Field(ge=1, le=1)]
    head: list[_HeadEntry]
    lens: list[_LensEntry]


def _head(entry: _HeadEntry, name: str = "") -> Head:
    lamp = Lamp(entry.temperature_k, tuple((b[0], b[1], b[2]) for b in entry.bands))
    return Head(
        name or entry.name, entry.title, lamp, entry.gate_luminance_cd_m2, entry.scatter_share,
        (entry.gate_mm[0], entry.gate_mm[1]), (entry.column_mm[0], entry.column_mm[1]),
        entry.dead_time_s, entry.repeatability_s, entry.popping_mm, entry.popping_time_s,
    )  # fmt: skip


def _lens(entry: _LensEntry, name: str = "") -> Lens:
    return Lens(**{**entry.model_dump(exclude={"sources"}), "name": name or entry.name})


@lru_cache(maxsize=4)
def read_equipment(path: Path = EQUIPMENT_FILE) -> tuple[dict[str, Head], dict[str, Lens]]:
    """Return heads and lenses by name. Raises OutsideError with file, key, rule and value received."""
    file = read_toml(path, _EquipmentFile)
    heads = {entry.name: _head(entry) for entry in file.head}
    lenses = {entry.name: _lens(entry) for entry in file.lens}
    return heads, lenses


def find_head(name: str, shelf: Shelf | None = None) -> Head:
    """Return a head by its name on the shelf (default: what is shipped, and ``own:NAME``). Raises OutsideError."""
    heads = read_equipment()[0]
    if name in heads:
        return heads[name]
    return _head(_alone(HEAD, _HeadFile, name, shelf, tuple(heads)).head, name)


def find_lens(name: str, shelf: Shelf | None = None) -> Lens:
    """Return a lens by its name on the shelf (default: what is shipped, and ``own:NAME``). Raises OutsideError."""
    lenses = read_equipment()[1]
    if name in lenses:
        return lenses[name]
    return _lens(_alone(LENS, _LensFile, name, shelf, tuple(lenses)).lens, name)


def head_digest(name: str, shelf: Shelf | None = None) -> str:
    """Return the SHA-256 of all that is written about a head; its title, sources and remarks are left out."""
    if name in read_equipment()[0]:
        return _shipped_head_digest(name)
    return digest_of_numbers(_tables(shelf_for(name, shelf).file(HEAD, name))["head"])


@lru_cache(maxsize=64)
def _shipped_head_digest(name: str) -> str:
    return digest_of_numbers(next(one for one in _tables(EQUIPMENT_FILE)["head"] if one["name"] == name))


def _tables(file: Path) -> dict[str, Any]:
    return parse_toml(file, read_text(file, MAX_TOML_BYTES))


def _alone(kind: Kind, model: type[Single], name: str, shelf: Shelf | None, known: tuple[str, ...]) -> Single:
    """Return the file of a head or lens that does not come with the program, each in a file of its own."""
    return read_toml(shelf_for(name, shelf).file(kind, name, known), model)
