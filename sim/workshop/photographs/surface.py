"""What things are made of: how much light a surface sends back, how glossy and how rough it is, and its patterns.

Everything is grey: black-and-white film sees one weighted sum of the spectrum, and a scene gives that sum as luminance.
Patterns are numbers over a thing's own points, in metres; each thing has its own stretch of every pattern.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Cloudy:
    """Clouds, stains, mottling, grit: from `low` to `high` in lumps of `size_m`; `stretch` draws them out along x, y, z."""

    size_m: float
    low: float
    high: float
    detail: float = 3.0
    harsh: float = 0.55
    stretch: tuple[float, float, float] = (1.0, 1.0, 1.0)
    warp: float = 0.0
    sharp: float = 1.0  # above 1 the two ends have a harder border


@dataclass(frozen=True)
class Cells:
    """Grains, pits, cracks: `what` is the distance to the nearest grain ("grain") or to its border ("crack")."""

    size_m: float
    low: float
    high: float
    what: str = "grain"
    reach: float = 0.6  # distance, in sizes, at which `high` is reached
    uneven: float = 1.0
    stretch: tuple[float, float, float] = (1.0, 1.0, 1.0)
    warp: float = 0.0


@dataclass(frozen=True)
class Bands:
    """Growth rings, brushing, throwing lines: waves along one axis ("x", "y", "z") or in rings about it."""

    size_m: float
    low: float
    high: float
    along: str = "x"
    rings: bool = False
    warp: float = 0.0
    warp_size_m: float = 0.1


@dataclass(frozen=True)
class Along:
    """From 0 to 1 between two stations on an axis of the thing, in m; held beyond."""

    axis: str
    start_m: float
    end_m: float


@dataclass(frozen=True)
class Station:
    """Where on an axis of the thing, in m."""

    axis: str


@dataclass(frozen=True)
class Rings:
    """Level lines of another pattern, one every `period`: growth rings of a board, lines of drying."""

    of: Pattern
    period: float
    low: float
    high: float


@dataclass(frozen=True)
class Value:
    """A number the form carries at its points."""

    name: str


@dataclass(frozen=True)
class EachOne:
    """Another number for every single thing, from `low` to `high`."""

    low: float
    high: float


@dataclass(frozen=True)
class Hollows:
    """1 in corners and cracks that look at themselves within `reach_m`, 0 in the open: where dirt and ash gather."""

    reach_m: float


@dataclass(frozen=True)
class Blend:
    """`first` where `by` is 0, `second` where it is 1."""

    first: Pattern
    second: Pattern
    by: Pattern


@dataclass(frozen=True)
class InRoom:
    """A pattern laid over the room instead of over each thing: soot, damp and repairs run on from brick to brick."""

    of: Pattern


@dataclass(frozen=True)
class Times:
    """One pattern times another."""

    first: Pattern
    second: Pattern


@dataclass(frozen=True)
class Plus:
    """One pattern and another."""

    first: Pattern
    second: Pattern


Pattern = float | Cloudy | Cells | Bands | Along | Station | Rings | Value | EachOne | Hollows | InRoom | Blend | Times | Plus


def without_grain(pattern: Pattern) -> Pattern:
    """The pattern with every clouding, grain and ring at its mean (chosen: grains half a size from the nearest one)."""
    match pattern:
        case Cloudy(low=low, high=high) | Bands(low=low, high=high) | Rings(low=low, high=high):
            return (low + high) / 2
        case Cells(low=low, high=high, reach=reach, what=what):
            return low + (high - low) * min(1.0, (0.5 if what == "grain" else 0.2) / reach)
        case Hollows():
            return 0.15
        case InRoom(of):
            plain = without_grain(of)
            return plain if isinstance(plain, float) else InRoom(plain)
        case Blend(first, second, by):
            return Blend(without_grain(first), without_grain(second), without_grain(by))
        case Times(first, second) | Plus(first, second):
            return type(pattern)(without_grain(first), without_grain(second))
    return pattern


@dataclass(frozen=True)
class Material:
    """How a surface answers light.

    `reflectance` 0..1 is diffuse; `roughness` 0..1 of the gloss; `refraction` index of the gloss (1.0: none);
    `relief` heights in m, added up and shown by the shading; `coat` 0..1 a second, clear layer with `coat_roughness`
    (glaze, water, varnish); `lets_through` 0..1 of the diffuse light goes through a thin sheet (leaf, linen, paper);
    `deep_mm` how far light wanders inside (porcelain, wax, skin); `glow_cd_m2` its own light; `glass` is clear;
    `holes` 0..1 is cut away (lace).
    """

    reflectance: Pattern
    roughness: Pattern = 0.8
    refraction: float = 1.45
    relief: tuple[Pattern, ...] = field(default=())
    coat: Pattern = 0.0
    coat_roughness: Pattern = 0.05
    coat_bumps: bool = False  # the clear layer follows the relief (a wash of water) or lies level over it (thick glaze)
    metal: float = 0.0
    lets_through: float = 0.0
    deep_mm: float = 0.0
    glow_cd_m2: Pattern = 0.0
    lamp: bool = False  # its glow lights the room and is sought out; else it is only found by chance and seen
    glass: bool = False
    beyond_mist: bool = False
    holes: Pattern = 0.0
