"""The heads and lenses on the bench, from equipment.toml, checked number by number."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Annotated, Any, TypeVar

from pydantic import Field

from sim.enlarger.coming_light import Burning, filament_lost
from sim.enlarger.filament import Filament
from sim.enlarger.own_light import OwnLight
from sim.enlarger.spectra import Lamp
from sim.negative.callier import DIFFUSE_DEG
from sim.reading import OutsideFile, Uncertainty, parse_as, parse_toml, refuse_unsourced_fields, tables_in
from sim.refusals import Refused
from sim.shelf import HEAD, LENS, Kind, Shelf, digest_of_numbers, shelf_for

USUAL_SPHERICAL_WAVES, USUAL_ASTIGMATISM_SHARE = 1.5, 0.0006  # of a lens whose file says nothing of them
HOTTEST_WIRE_K = 3500.0  # colour temperature; tungsten melts not far above
USUAL_CONDENSER_DEG = 12.0  # of a head whose file says only that its light is directed
EQUIPMENT_FILE = Path(__file__).with_name("equipment.toml")


Length = Annotated[float, Field(gt=0.0, le=5000.0)]
Share = Annotated[float, Field(gt=0.0, le=1.0)]
Name = Annotated[str, Field(pattern=r"^[a-z0-9-]{2,40}$")]
Title = Annotated[str, Field(min_length=3, max_length=120)]
Band = Annotated[tuple[float, float, float], Field(min_length=3)]


@dataclass(frozen=True)
class Head:
    """A lamp house: what light it sends through the gate, how it switches, and what it can hold.

    The lamp is a filament (``temperature_k``, its colour temperature; above 3500 K something else that glows) or a sum of
    ``bands`` (peak nm, width nm, energy). How a filament switches follows from ``rated_volts`` and ``rated_watts``, or from
    a ``dead_time_s`` that was measured; other lamps say their dead time. ``light_half_angle_deg`` is half the cone from
    which light comes through every point of the gate: 90 for fully diffuse light, less for directed (condenser) light,
    which is why that prints harder. ``own`` is what was measured of a head of one's own.
    """

    name: Name
    title: Title
    gate_luminance_cd_m2: Annotated[float, Field(gt=0.0, le=1e6)]
    light_half_angle_deg: Annotated[float, Field(ge=0.1, le=90.0)]
    gate_mm: tuple[Length, Length]
    column_mm: tuple[Length, Length]
    repeatability_s: Annotated[float, Field(ge=0.0, le=1.0)]
    popping_mm: Annotated[float, Field(ge=0.0, le=2.0)]
    popping_time_s: Length
    sources: dict[str, str] = field(compare=False, repr=False)
    uncertainty: dict[str, Uncertainty] = field(default_factory=dict, compare=False, repr=False)
    temperature_k: Annotated[float, Field(ge=2000.0, le=7000.0)] | None = None
    bands: tuple[Band, ...] = ()
    dead_time_s: Annotated[float, Field(ge=0.0, le=2.0)] | None = None
    rated_volts: Annotated[float, Field(ge=1.0, le=1000.0)] | None = None
    rated_watts: Annotated[float, Field(ge=0.1, le=10_000.0)] | None = None
    own: OwnLight | None = None

    def __post_init__(self) -> None:
        refuse_unsourced_fields(self)
        if (self.temperature_k is None) == (not self.bands):
            raise Refused("exactly one of temperature_k and bands must be given, got both or none")
        wire = (self.rated_volts is not None) + (self.rated_watts is not None)
        if wire == 1 or (wire == 2) == (self.dead_time_s is not None):
            raise Refused("either dead_time_s, or rated_volts and rated_watts, must be given, got both, none or one of the two")
        if wire and not self._is_filament:
            given = self.temperature_k or "bands"
            raise Refused(f"rated_volts must be given of a filament only (temperature_k up to {HOTTEST_WIRE_K:g}), got {given}")

    @property
    def lamp(self) -> Lamp:
        """The lamp as a recipe for its spectrum."""
        return Lamp(self.temperature_k, self.bands)

    @property
    def _is_filament(self) -> bool:
        return self.temperature_k is not None and self.temperature_k <= HOTTEST_WIRE_K

    @cached_property
    def filament(self) -> Filament | None:
        """The wire of the lamp at its rated point, or None of a lamp without one."""
        if self.temperature_k is None or not self._is_filament:
            return None
        if self.rated_volts is not None and self.rated_watts is not None:
            return Filament.of_lamp(self.temperature_k, self.rated_volts, self.rated_watts)
        assert self.dead_time_s is not None
        return Filament(self.temperature_k, self.dead_time_s / filament_lost(self.temperature_k))

    @cached_property
    def burning(self) -> Burning | None:
        """How the filament burns at its present voltage, or None of a lamp without one."""
        return None if self.filament is None else Burning(self.filament, 1.0)

    def at_voltage(self, share: float) -> Head:
        """Return the head with its filament at a share of the rated voltage: dimmer, redder and slower below it.

        Light and colour follow from the filament's energy balance. Lamps without a filament are taken to be held steady by
        their supply (assumption).
        """
        if share == 1.0 or self.filament is None:
            return self
        low, burning = copy(self), Burning(self.filament, share)
        light = self.gate_luminance_cd_m2 * burning.flux_share
        now = {"burning": burning, "temperature_k": burning.colour_k, "gate_luminance_cd_m2": light}
        for name, value in now.items():
            object.__setattr__(low, name, value)
        return low


@dataclass(frozen=True)
class Lens:
    """An enlarging lens.

    ``spherical_waves`` is how late the light at the rim of its widest opening is, in waves of 500 nm; the error falls with
    the fourth power of the opening. ``astigmatism_mm`` is how far, at the edge of the circle it covers, the negative would
    have to be moved from the middle focus for detail across the radius to be sharp, and the other way for detail along it.
    """

    name: Name
    title: Title
    focal_mm: Length
    widest_f_number: Annotated[float, Field(ge=1.0, le=64.0)]
    smallest_f_number: Annotated[float, Field(ge=1.0, le=90.0)]
    covers_diagonal_mm: Length
    transmittance: Share
    flare_share: Annotated[float, Field(ge=0.0, le=0.2)]
    rim_distance_mm: Annotated[float, Field(ge=0.0, le=500.0)]
    sources: dict[str, str] = field(compare=False, repr=False)
    uncertainty: dict[str, Uncertainty] = field(default_factory=dict, compare=False, repr=False)
    spherical_waves: Annotated[float, Field(ge=0.0, le=8.0)] | None = None
    astigmatism_mm: Annotated[float, Field(ge=0.0, le=2.0)] | None = None

    def __post_init__(self) -> None:
        refuse_unsourced_fields(self)

    @property
    def spherical(self) -> float:
        """The wavefront's error at the rim of the widest opening, in waves; a usual lens's where the file says nothing."""
        return USUAL_SPHERICAL_WAVES if self.spherical_waves is None else self.spherical_waves

    @property
    def astigmatism(self) -> float:
        """Half the distance between both foci at the edge of the field, in mm; a usual lens's where the file says nothing."""
        return USUAL_ASTIGMATISM_SHARE * self.focal_mm if self.astigmatism_mm is None else self.astigmatism_mm


class _HeadFile(OutsideFile):
    """A head in a file of its own: a course's, or one's own."""

    head: Head


class _LensFile(OutsideFile):
    """A lens in a file of its own."""

    lens: Lens


Single = TypeVar("Single", _HeadFile, _LensFile)


class _EquipmentFile(OutsideFile):
    head: tuple[Head, ...]
    lens: tuple[Lens, ...]


@lru_cache(maxsize=4)
def read_equipment(path: Path = EQUIPMENT_FILE) -> tuple[dict[str, Head], dict[str, Lens]]:
    """Return heads and lenses by name. Raises OutsideError with file, key, rule and value received."""
    tables = tables_in(path)
    heads = tables.get("head")
    if isinstance(heads, list):
        tables = {**tables, "head": [_as_written_today(head) for head in heads]}
    file = parse_as(path, tables, _EquipmentFile)
    return {head.name: head for head in file.head}, {lens.name: lens for lens in file.lens}


def find_head(name: str, shelf: Shelf | None = None) -> Head:
    """Return a head by its name on the shelf (default: what is shipped, and ``own:NAME``). Raises OutsideError."""
    heads = read_equipment()[0]
    if name in heads:
        return heads[name]
    return replace(_alone(HEAD, _HeadFile, name, shelf, tuple(heads)).head, name=name)


def find_lens(name: str, shelf: Shelf | None = None) -> Lens:
    """Return a lens by its name on the shelf (default: what is shipped, and ``own:NAME``). Raises OutsideError."""
    lenses = read_equipment()[1]
    if name in lenses:
        return lenses[name]
    return replace(_alone(LENS, _LensFile, name, shelf, tuple(lenses)).lens, name=name)


def head_digest(name: str, shelf: Shelf | None = None) -> str:
    """Return the SHA-256 of all that is written about a head; its title, sources and remarks are left out."""
    if name in read_equipment()[0]:
        return _shipped_head_digest(name)
    return digest_of_numbers(tables_in(shelf_for(name, shelf).file(HEAD, name))["head"])


@lru_cache(maxsize=64)
def _shipped_head_digest(name: str) -> str:
    return digest_of_numbers(next(one for one in tables_in(EQUIPMENT_FILE)["head"] if one["name"] == name))


def _alone(kind: Kind, model: type[Single], name: str, shelf: Shelf | None, known: tuple[str, ...]) -> Single:
    """Return the file of a head or lens that does not come with the program, each in a file of its own."""
    path = shelf_for(name, shelf).file(kind, name, known)
    tables = tables_in(path)
    if "head" in tables:
        tables = {**tables, "head": _as_written_today(tables["head"])}
    return parse_as(path, tables, model)


def refuse_unreadable_head(path: Path, text: str) -> None:
    """Refuse a text that is to become a head's file and could not be read from it. Raises OutsideError."""
    parse_as(path, parse_toml(path, text), _HeadFile)


def _as_written_today(head: Any) -> Any:
    """Return a head's table as it would be written today; what is no table is given back, to be refused.

    Files used to say which share of the light that silver scatters still reaches the lens: that follows now from the cone
    of the lamp's light, for which a usual condenser's stands in where the light is directed.
    """
    share = head.get("scatter_share") if isinstance(head, dict) else None
    is_share = isinstance(share, int | float) and not isinstance(share, bool) and 0.0 < share <= 1.0
    if not is_share or "light_half_angle_deg" in head:
        return head
    kept = {key: value for key, value in head.items() if key != "scatter_share"}
    kept["light_half_angle_deg"] = DIFFUSE_DEG if share == 1.0 else USUAL_CONDENSER_DEG
    sources = head.get("sources")
    if isinstance(sources, dict):
        others = {key: value for key, value in sources.items() if key != "scatter_share"}
        kept["sources"] = {**others, "light_half_angle_deg": sources.get("scatter_share", "")}
    return kept
