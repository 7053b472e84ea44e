"""The heads and lenses on the bench, from equipment.toml, checked number by number."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, model_validator

from sim.enlarger.spectra import Lamp
from sim.reading import Problem, ValueRefused, read_toml
from sim.refusals import Refused

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


class _EquipmentFile(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")
    format: Annotated[int, Field(ge=1, le=1)]
    head: list[_HeadEntry]
    lens: list[_LensEntry]


def _head(entry: _HeadEntry) -> Head:
    lamp = Lamp(entry.temperature_k, tuple((b[0], b[1], b[2]) for b in entry.bands))
    return Head(
        entry.name, entry.title, lamp, entry.gate_luminance_cd_m2, entry.scatter_share,
        (entry.gate_mm[0], entry.gate_mm[1]), (entry.column_mm[0], entry.column_mm[1]),
        entry.dead_time_s, entry.repeatability_s, entry.popping_mm, entry.popping_time_s,
    )  # fmt: skip


@lru_cache(maxsize=4)
def read_equipment(path: Path = EQUIPMENT_FILE) -> tuple[dict[str, Head], dict[str, Lens]]:
    """Return heads and lenses by name. Raises OutsideError with file, key, rule and value received."""
    file = read_toml(path, _EquipmentFile)
    heads = {entry.name: _head(entry) for entry in file.head}
    lenses = {e.name: Lens(**e.model_dump(exclude={"sources"})) for e in file.lens}
    return heads, lenses


def find_head(name: str) -> Head:
    """Return a head by name. Raises ValueRefused naming the known ones."""
    heads = read_equipment()[0]
    if name not in heads:
        raise ValueRefused("enlarger", [Problem("head", f"must be one of {', '.join(heads)}", repr(name)[:80])])
    return heads[name]


def find_lens(name: str) -> Lens:
    """Return a lens by name. Raises ValueRefused naming the known ones."""
    lenses = read_equipment()[1]
    if name not in lenses:
        raise ValueRefused("enlarger", [Problem("lens", f"must be one of {', '.join(lenses)}", repr(name)[:80])])
    return lenses[name]
