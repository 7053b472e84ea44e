"""A box of paper: what its data file says, checked number by number.

A stock is one TOML file in sim/paper/stocks. Every number in it must have an entry in ``[sources]``: where it is from,
or the word "assumption". ISO range and ISO speed never stand in the file; they are computed from the curve.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from sim.paper.development import DevelopmentResponse
from sim.paper.emulsion import Emulsion
from sim.reading import MAX_TOML_BYTES, parse_toml, read_text, read_toml_as, sources_problem
from sim.refusals import Refused
from sim.shelf import PAPER, Shelf, digest_of_numbers, shelf_for, shipped_names

STOCK_FOLDER = PAPER.shipped
USUAL_HALF_CONTRAST_LP_MM = 25.0  # of a paper whose file says nothing of it


@dataclass(frozen=True)
class Stock:
    """A kind of paper.

    ``base_density`` is the clean processed base; ``surface_reflection`` (dry) and ``wet_surface_reflection`` are shares
    of light that the surface sends back and that limit black; ``dry_down_share`` is the share of net density that the
    light tones still lack while wet; ``schwarzschild_p`` applies only when reciprocity failure is switched on;
    ``half_contrast_lp_mm`` is the fineness of light and dark lines of which scattered light leaves half the contrast.
    """

    name: str
    title: str
    support: Literal["rc", "fb"]
    surface: Literal["glossy", "matt"]
    emulsion: Emulsion
    development: DevelopmentResponse
    base_density: float
    surface_reflection: float
    wet_surface_reflection: float
    dry_down_share: float
    schwarzschild_p: float
    reference_time_s: float
    half_contrast_lp_mm: float = USUAL_HALF_CONTRAST_LP_MM

    @property
    def is_variable_contrast(self) -> bool:
        """Tell whether filters change this paper's contrast."""
        return bool(self.emulsion.green_nodes)


Share = Annotated[float, Field(ge=0.0, le=1.0)]
Positive = Annotated[float, Field(gt=0.0, le=10_000.0)]


class _Part(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid")


class _Base(_Part):
    density: Annotated[float, Field(ge=0.0, le=0.5)]
    surface_reflection: Annotated[float, Field(gt=0.0, le=0.2)]
    wet_surface_reflection: Annotated[float, Field(gt=0.0, le=0.2)]
    half_contrast_lp_mm: Annotated[float, Field(ge=5.0, le=200.0)] | None = None


class _Drying(_Part):
    dry_down_share: Share


class _Reciprocity(_Part):
    schwarzschild_p: Annotated[float, Field(ge=0.5, le=1.0)]
    reference_time_s: Positive


class StockFile(_Part):
    """The file as people write it: base, drying and reciprocity in tables of their own, every number with its source."""

    format: Annotated[int, Field(ge=1, le=1)]
    title: Annotated[str, Field(min_length=3, max_length=120)]
    support: Literal["rc", "fb"]
    surface: Literal["glossy", "matt"]
    base: _Base
    emulsion: Emulsion
    development: DevelopmentResponse
    drying: _Drying
    reciprocity: _Reciprocity
    sources: dict[str, str]

    def numbers(self) -> Iterator[str]:
        """Yield the dotted key of every number in the file."""
        for part in ("base", "emulsion", "development", "drying", "reciprocity"):
            table = getattr(self, part)
            names = type(table).model_fields if isinstance(table, BaseModel) else [f.name for f in fields(table)]
            yield from (f"{part}.{name}" for name in names if getattr(table, name) not in ((), None))

    @model_validator(mode="after")
    def _every_number_has_a_source(self) -> StockFile:
        problem = sources_problem(self.numbers(), self.sources)
        if problem:
            raise Refused(problem)
        extra = sorted(set(self.sources) - set(self.numbers()))
        if extra:
            raise Refused(f"sources must name only numbers that stand in the file, got {', '.join(extra)}")
        if self.base.wet_surface_reflection > self.base.surface_reflection:
            raise Refused(
                "wet_surface_reflection must not be above surface_reflection "
                f"(a wet sheet is glossier), got {self.base.wet_surface_reflection}"
            )
        return self


def read_stock(path: Path) -> Stock:
    """Return the stock in a TOML file. Raises OutsideError with file, key, rule and value received."""
    file = read_toml_as(path, StockFile)
    return Stock(
        name=path.stem,
        title=file.title,
        support=file.support,
        surface=file.surface,
        emulsion=file.emulsion,
        development=file.development,
        base_density=file.base.density,
        surface_reflection=file.base.surface_reflection,
        wet_surface_reflection=file.base.wet_surface_reflection,
        dry_down_share=file.drying.dry_down_share,
        schwarzschild_p=file.reciprocity.schwarzschild_p,
        reference_time_s=file.reciprocity.reference_time_s,
        half_contrast_lp_mm=file.base.half_contrast_lp_mm or USUAL_HALF_CONTRAST_LP_MM,
    )


def stock_names() -> tuple[str, ...]:
    """Return the names of the stocks that come with the program."""
    return shipped_names(PAPER)


def find_stock(name: str, shelf: Shelf | None = None) -> Stock:
    """Return a stock by its name on the shelf (default: what is shipped, and ``own:NAME``). Raises OutsideError."""
    if name in stock_names():
        return _shipped(name)
    return replace(read_stock(shelf_for(name, shelf).file(PAPER, name)), name=name)


def paper_digest(name: str, shelf: Shelf | None = None) -> str:
    """Return the SHA-256 of all that a stock's file says about the paper; title, sources and remarks are left out."""
    if name in stock_names():
        return _shipped_digest(name)
    return _digest_in(shelf_for(name, shelf).file(PAPER, name))


def _digest_in(file: Path) -> str:
    return digest_of_numbers(parse_toml(file, read_text(file, MAX_TOML_BYTES)))


@lru_cache(maxsize=64)
def _shipped_digest(name: str) -> str:
    return _digest_in(PAPER.file(STOCK_FOLDER, name))


@lru_cache(maxsize=16)
def _shipped(name: str) -> Stock:
    """Read one of our own stocks once: a tray asks for its paper at every frame."""
    return read_stock(PAPER.file(STOCK_FOLDER, name))
