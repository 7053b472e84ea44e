"""A box of paper: what its data file says, checked number by number.

A stock is one TOML file in sim/paper/stocks. Every number in it must have an entry in ``[sources]``: where it is from,
or the word "assumption". ISO range and ISO speed never stand in the file; they are computed from the curve.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass, field, fields, replace
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, model_validator

from sim.paper.development import DevelopmentResponse
from sim.paper.emulsion import Emulsion
from sim.reading import (
    OutsideFile,
    OutsideTable,
    Uncertainty,
    parse_as,
    parse_toml,
    refuse_unsourced,
    tables_in,
)
from sim.refusals import Refused
from sim.shelf import PAPER, Shelf, digest_of_numbers, shelf_for, shipped_names

STOCK_FOLDER = PAPER.shipped
USUAL_HALF_CONTRAST_LP_MM = 25.0  # of a paper whose file says nothing of it
USUAL_GELATIN_SHARE = {"fb": 0.2, "rc": 0.5}
OF_THE_BATH = ("doubling_c", "half_life_sheets")  # in files of papers before the developer had agents of its own


@dataclass(frozen=True)
class PaperError:
    """How far the curve of this paper may be off, in density, at an exposure counted from that of net density 0.60.

    ``along_curve`` is the root mean square along the curve of a setting that was not measured, ``at_ends`` the same at the
    softest and hardest light, ``worst`` the largest single departure seen.
    """

    along_curve: Annotated[float, Field(ge=0.0, le=1.0)]
    at_ends: Annotated[float, Field(ge=0.0, le=1.0)] | None = None
    worst: Annotated[float, Field(ge=0.0, le=3.0)] | None = None

    def as_data(self) -> dict[str, float]:
        """Return the numbers that there are, as plain data."""
        return {name: value for name, value in asdict(self).items() if value is not None}


@dataclass(frozen=True)
class LightBehind:
    """How much stronger or weaker a paper sees one setting than the shipped filter's densities say (log10).

    Only of a paper that was read behind a head and filters of one's own: what they do cannot be told from the paper.
    """

    setting: Annotated[str, Field(min_length=1, max_length=20)]
    log_blue: Annotated[float, Field(ge=-1.5, le=1.5)]
    log_green: Annotated[float, Field(ge=-1.5, le=1.5)]


@dataclass(frozen=True)
class Stock:
    """A kind of paper.

    ``base_density`` is the clean processed base; ``surface_reflection`` (dry) and ``wet_surface_reflection`` are shares
    of light that the surface sends back and that limit black; ``wet_gelatin_share`` is the gelatin's share by volume of
    the wet layer, the rest being water; ``schwarzschild_p`` applies only when reciprocity failure is switched on;
    ``error`` is how well the curve is known, None where nobody says;
    ``behind`` is how it sees the settings that it was read behind, where one's own filters differ from the shipped ones;
    ``read_with`` is the head under which a paper of one's own was read ("" of a shipped one: no head in particular);
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
    wet_gelatin_share: float
    schwarzschild_p: float
    reference_time_s: float
    half_contrast_lp_mm: float = USUAL_HALF_CONTRAST_LP_MM
    error: PaperError | None = None
    uncertainty: dict[str, float] = field(default_factory=dict, compare=False, repr=False)
    behind: tuple[LightBehind, ...] = ()
    read_with: str = ""

    def seen_behind(self, setting: str) -> tuple[float, float]:
        """Return what multiplies a setting's blue and green light for this paper (1, 1 unless it was read otherwise)."""
        for one in self.behind:
            if one.setting == setting:
                return float(10.0**one.log_blue), float(10.0**one.log_green)
        return 1.0, 1.0

    @property
    def is_variable_contrast(self) -> bool:
        """Tell whether filters change this paper's contrast."""
        return bool(self.emulsion.green_nodes)


Positive = Annotated[float, Field(gt=0.0, le=10_000.0)]


class _Base(OutsideTable):
    density: Annotated[float, Field(ge=0.0, le=0.5)]
    surface_reflection: Annotated[float, Field(gt=0.0, le=0.2)]
    wet_surface_reflection: Annotated[float, Field(gt=0.0, le=0.2)]
    half_contrast_lp_mm: Annotated[float, Field(ge=5.0, le=200.0)] | None = None


class _Drying(OutsideTable):
    wet_gelatin_share: Annotated[float, Field(ge=0.05, le=1.0)]


class _Reciprocity(OutsideTable):
    schwarzschild_p: Annotated[float, Field(ge=0.5, le=1.0)]
    reference_time_s: Positive


class StockFile(OutsideFile):
    """The file as people write it: base, drying and reciprocity in tables of their own, every number with its source."""

    title: Annotated[str, Field(min_length=3, max_length=120)]
    support: Literal["rc", "fb"]
    surface: Literal["glossy", "matt"]
    base: _Base
    emulsion: Emulsion
    development: DevelopmentResponse
    drying: _Drying
    reciprocity: _Reciprocity
    error: PaperError | None = None
    behind: Annotated[tuple[LightBehind, ...], Field(max_length=16)] = ()
    read_with: Annotated[str, Field(max_length=80)] = ""
    sources: dict[str, str]
    uncertainty: dict[str, Uncertainty] = Field(default_factory=dict)

    def numbers(self) -> Iterator[str]:
        """Yield the dotted key of every number in the file."""
        for part in ("base", "emulsion", "development", "drying", "reciprocity", "error"):
            table = getattr(self, part)
            if table is None:
                continue
            names = type(table).model_fields if isinstance(table, OutsideTable) else [f.name for f in fields(table)]
            yield from (f"{part}.{name}" for name in names if getattr(table, name) not in ((), None))
        if self.behind:
            yield from ("behind.log_blue", "behind.log_green")

    @model_validator(mode="after")
    def _every_number_has_a_source(self) -> StockFile:
        refuse_unsourced(self.numbers(), self.sources, self.uncertainty)
        extra = sorted(set(self.sources) - set(self.numbers()))
        if extra:
            raise Refused(f"sources must name only numbers that stand in the file, got {', '.join(extra)}")
        if self.base.wet_surface_reflection > self.base.surface_reflection:
            raise Refused(
                "wet_surface_reflection must not be above surface_reflection "
                f"(a wet sheet is glossier), got {self.base.wet_surface_reflection}"
            )
        return self


def _as_written_today(data: dict[str, Any]) -> dict[str, Any]:
    """Return a paper's file as it would be written today.

    Files used to say how a bath tires: it has a file of its own now. And how much density the lights lack while wet: that
    follows from how much the gelatin swells, for which a usual value of the support stands in.
    """
    parts = {name: dict(data[name]) for name in ("development", "drying", "sources") if isinstance(data.get(name), dict)}
    for key in OF_THE_BATH:
        parts.get("development", {}).pop(key, None)
        parts.get("sources", {}).pop(f"development.{key}", None)
    drying, sources = parts.get("drying", {}), parts.get("sources", {})
    if drying.pop("dry_down_share", None) is not None and "wet_gelatin_share" not in drying:
        drying["wet_gelatin_share"] = USUAL_GELATIN_SHARE.get(str(data.get("support")), 0.2)
        sources["drying.wet_gelatin_share"] = sources.pop("drying.dry_down_share", "assumption")
    return {**data, **parts}


def read_stock(path: Path) -> Stock:
    """Return the stock in a TOML file. Raises OutsideError with file, key, rule and value received."""
    file = parse_as(path, _as_written_today(tables_in(path)), StockFile)
    as_written = {one.name: getattr(file, one.name) for one in fields(Stock) if one.name in StockFile.model_fields}
    return Stock(
        name=path.stem, base_density=file.base.density, surface_reflection=file.base.surface_reflection,
        wet_surface_reflection=file.base.wet_surface_reflection, wet_gelatin_share=file.drying.wet_gelatin_share,
        schwarzschild_p=file.reciprocity.schwarzschild_p, reference_time_s=file.reciprocity.reference_time_s,
        half_contrast_lp_mm=file.base.half_contrast_lp_mm or USUAL_HALF_CONTRAST_LP_MM, **as_written,
    )  # fmt: skip


def refuse_unreadable_stock(path: Path, text: str) -> None:
    """Refuse a text that is to become a stock's file and could not be read from it. Raises OutsideError."""
    parse_as(path, _as_written_today(parse_toml(path, text)), StockFile)


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
    return digest_of_numbers(tables_in(shelf_for(name, shelf).file(PAPER, name)))


@lru_cache(maxsize=64)
def _shipped_digest(name: str) -> str:
    return digest_of_numbers(tables_in(PAPER.file(STOCK_FOLDER, name)))


@lru_cache(maxsize=16)
def _shipped(name: str) -> Stock:
    """Read one of our own stocks once: a tray asks for its paper at every frame."""
    return read_stock(PAPER.file(STOCK_FOLDER, name))
