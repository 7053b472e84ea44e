"""A negative in the carrier: silver density, stain, base and frame; and how much light of each colour it passes."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Annotated, Literal, get_args

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from sim.bands import bands
from sim.negative.grain import Grain
from sim.quantities import FloatArray
from sim.refusals import Refused

FRAME_LEVELS: FloatArray = np.arange(6 * 1024 + 1) / 1024.0  # silver densities by which a frame is counted for flare
FRAME_LEVELS.setflags(write=False)

NORMAL_GAMMA = 0.64  # straight line of the medium film developed to ISO 6: what is taken where nothing is known

Part = Literal["lightest", "darkest", "tone", "may-go-white", "may-go-black"]
PLACE_PARTS: tuple[Part, ...] = get_args(Part)
Side = Annotated[float, Field(gt=0.0, le=1.5)]  # of a place's own extent, in frames


@dataclass(frozen=True)
class Place:
    """A named place in the picture, as fractions of the frame (x right, y down), read with a round spot.

    ``part`` says what the place is for a printer: the lightest or darkest tone that must keep texture, a middle tone,
    or a place that may go white or black. ``area`` is the width and height (fractions of the frame) of what belongs to
    the place, for a card held over it. ``hole`` is what a printer cuts into a card for burning it in where an oval would spill
    over a straight edge (a window's panes): left, top, right, bottom.
    """

    name: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,47}$")]
    x: Annotated[float, Field(ge=0.0, le=1.0)]
    y: Annotated[float, Field(ge=0.0, le=1.0)]
    spot_mm: Annotated[float, Field(ge=0.2, le=50.0)] = 3.0
    part: Part = "tone"
    what: Annotated[str, Field(max_length=200)] = ""
    area: tuple[Side, Side] | None = None
    hole: tuple[float, float, float, float] | None = None

    def __post_init__(self) -> None:
        if not (0.0 <= self.x <= 1.0 and 0.0 <= self.y <= 1.0):
            raise Refused(f"place {self.name!r} must lie inside the frame (0 to 1), got x={self.x}, y={self.y}")
        if not 0.2 <= self.spot_mm <= 50.0:
            raise Refused(f"spot_mm must be between 0.2 and 50, got {self.spot_mm}")
        if self.part not in PLACE_PARTS:
            raise Refused(f"part must be one of {', '.join(PLACE_PARTS)}, got {self.part!r}")
        if self.hole is not None:
            left, top, right, bottom = self.hole
            if not (0.0 <= left < self.x < right <= 1.0 and 0.0 <= top < self.y < bottom <= 1.0):
                raise Refused(f"hole must be left, top, right, bottom around the place, within 0 to 1, got {self.hole}")


class NoSuchPlace(Refused):
    """The negative names no such place; the message lists those it names."""


@dataclass(frozen=True, eq=False)
class Negative:
    """A developed negative.

    ``silver_density`` is diffuse density above base and fog, float32 [row, col] as seen from the emulsion's back, so
    that the print reads the right way round. ``stain_share`` is stain density at 440 nm per unit of silver density.
    ``gamma`` is the straight line's gradient to which it was developed: the grain that scatters light grows with it
    (0: dyes, which do not scatter). ``clump_mm`` and ``grain_key`` say what its grain is like and where it lies on the film
    (None: the pixels bear no grain of ours).
    """

    name: str
    silver_density: NDArray[np.float32]
    base_density: float
    frame_mm: tuple[float, float]  # width, height
    stain_share: float = 0.0
    rebate_mm: float = 4.0
    rms_granularity: float = 0.0
    clump_mm: float = 0.0
    grain_key: int | None = None
    gamma: float = NORMAL_GAMMA
    places: tuple[Place, ...] = ()
    digest: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        if self.silver_density.ndim != 2 or self.silver_density.dtype != np.float32:
            raise Refused("silver_density must be a float32 array [row, col]")
        if min(self.frame_mm) <= 0:
            raise Refused(f"frame_mm must be above 0, got {self.frame_mm}")
        if not 0.0 <= self.gamma <= 5.0:
            raise Refused(f"gamma must be between 0 and 5, got {self.gamma}")

    @cached_property
    def frame_silver(self) -> NDArray[np.int64]:
        """How many of the frame's pixels have which silver density, on FRAME_LEVELS; counted once."""
        counts = np.zeros(len(FRAME_LEVELS), dtype=np.int64)
        for band in bands(self.silver_density.shape):
            steps = self.silver_density[band] * np.float32(1024.0)
            steps += np.float32(0.5)
            np.clip(steps, 0.0, len(FRAME_LEVELS) - 1, out=steps)
            counts += np.bincount(steps.astype(np.intp).ravel(), minlength=len(FRAME_LEVELS))
        return counts

    @property
    def px_per_mm(self) -> float:
        """Pixels per mm of film."""
        return self.silver_density.shape[1] / self.frame_mm[0]

    @property
    def grain(self) -> Grain:
        """What the film's grain is like, as it was developed."""
        return Grain(self.rms_granularity, self.clump_mm, self.grain_key or 0)

    @property
    def diagonal_mm(self) -> float:
        """Diagonal of the frame."""
        return float(np.hypot(*self.frame_mm))

    def place(self, name: str) -> Place:
        """Return a named place. Raises NoSuchPlace naming the known ones."""
        for place in self.places:
            if place.name == name:
                return place
        known = ", ".join(place.name for place in self.places) or "none"
        raise NoSuchPlace(f"no place {name!r} on this negative; known: {known}")

    def diffuse_density(self) -> NDArray[np.float32]:
        """Return what a densitometer with diffuse white light reads: silver plus base and fog (stain not counted)."""
        return self.silver_density + np.float32(self.base_density)


def stain_shape(wavelength_nm: FloatArray) -> FloatArray:
    """Return the stain's density relative to its density at 440 nm: a yellow-green, pyro-type image stain.

    Assumption (blue to green 2-3 : 1): 1 at 440 nm, 0.60 at 500 nm, 0.21 at 545 nm, falling smoothly between.
    """
    from scipy.interpolate import PchipInterpolator

    nodes = [380.0, 400.0, 420.0, 440.0, 470.0, 500.0, 520.0, 545.0, 570.0, 600.0, 620.0]
    shape = [1.06, 1.05, 1.03, 1.00, 0.84, 0.60, 0.42, 0.21, 0.10, 0.05, 0.03]
    return np.asarray(PchipInterpolator(nodes, shape)(wavelength_nm))
