"""A roll cut into strips and laid side by side under glass: one negative of many frames, with the clear film between them.

What differs from frame to frame is how each was taken; film and development are the roll's own, for a roll is developed
whole. Pictures that stand otherwise than the frames are turned. Made as fine as a contact print shows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from sim.refusals import Refused

Float32Array = NDArray[np.float32]
PX_PER_MM = 8.0  # a contact print under a loupe: 4 line pairs a millimetre

FrameName = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,47}$")]
Side = Annotated[float, Field(ge=10.0, le=120.0)]


@dataclass(frozen=True)
class Taken:
    """How a frame was taken that is no negative of its own: the luminance metered, and by how much the light was missed."""

    metered_cd_m2: Annotated[float, Field(gt=0.0, le=100000.0)]
    error_stops: Annotated[float, Field(ge=-6.0, le=6.0)] = 0.0


@dataclass(frozen=True)
class Roll:
    """Which frames lie where: sleeves by name, in rows of ``across``; a frame's sides, the gap along the strip, its width.

    With ``taken`` (one for each frame) the frames are photographs of the roll's own, named by their scenes.
    """

    frames: Annotated[tuple[FrameName, ...], Field(min_length=1, max_length=48)]
    across: Annotated[int, Field(ge=1, le=12)]
    frame_mm: tuple[Side, Side]
    gap_mm: Annotated[float, Field(ge=0.5, le=20.0)]
    strip_mm: Side
    taken: Annotated[tuple[Taken, ...], Field(max_length=48)] = ()

    def __post_init__(self) -> None:
        if self.taken and len(self.taken) != len(self.frames):
            raise Refused(f"roll.taken must stand once for each of {len(self.frames)} frames, got {len(self.taken)}")

    @property
    def strips(self) -> int:
        """How many strips the roll is cut into."""
        return -(-len(self.frames) // self.across)

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of all strips side by side."""
        return self.across * self.frame_mm[0] + (self.across + 1) * self.gap_mm, self.strips * self.strip_mm

    def corner_mm(self, index: int) -> tuple[float, float]:
        """Return the top left corner of a frame (from 0) on the strips laid side by side."""
        row, col = divmod(index, self.across)
        left = self.gap_mm + col * (self.frame_mm[0] + self.gap_mm)
        return left, row * self.strip_mm + 0.5 * (self.strip_mm - self.frame_mm[1])


def upright_as(frame_mm: tuple[float, float], light: Float32Array) -> Float32Array:
    """Return a picture turned so that it stands as the frame does [row, col]."""
    wide_frame, wide = frame_mm[0] > frame_mm[1], light.shape[1] > light.shape[0]
    return light if wide_frame == wide else np.ascontiguousarray(np.rot90(light))


def as_fine_as_a_contact(light: Float32Array, frame_mm: tuple[float, float]) -> Float32Array:
    """Return a frame's light at PX_PER_MM: means of whole squares of pixels, the nearest of them taken."""
    step = max(1, int(light.shape[1] / (frame_mm[0] * PX_PER_MM)))
    rows, cols = (side // step for side in light.shape)
    means = light[: rows * step, : cols * step].reshape(rows, step, cols, step).mean(axis=(1, 3))
    down, across = (max(round(side * PX_PER_MM), 1) for side in (frame_mm[1], frame_mm[0]))
    row = ((np.arange(down) + 0.5) * rows / down).astype(np.intp)
    col = ((np.arange(across) + 0.5) * cols / across).astype(np.intp)
    return np.asarray(means[row[:, None], col[None, :]], dtype=np.float32)


def side_by_side(roll: Roll, frames: Sequence[Float32Array]) -> Float32Array:
    """Return the silver density of all strips: the frames, and nothing on the film between them [row, col]."""
    cols, rows = (round(side * PX_PER_MM) for side in roll.size_mm)
    out = np.zeros((rows, cols), dtype=np.float32)
    for index, silver in enumerate(frames):
        left, top = (round(at * PX_PER_MM) for at in roll.corner_mm(index))
        out[top : top + silver.shape[0], left : left + silver.shape[1]] = silver
    return out
