"""A picture of a sheet that is even but for some rows and columns: what a card leaves of an exposure mostly is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from sim.quantities import Float32Array

Box = tuple[slice, slice]


@dataclass(frozen=True, eq=False)
class Patch:
    """Values [row, col] ``inside`` a box of a sheet of that shape, and the one number ``beyond`` everywhere else."""

    shape: tuple[int, int]
    box: Box
    inside: Float32Array
    beyond: float

    @cached_property
    def whole(self) -> Float32Array:
        """The values of the whole sheet [row, col]."""
        return self.within((slice(0, self.shape[0]), slice(0, self.shape[1])))

    def within(self, box: Box) -> Float32Array:
        """Return the values inside another box."""
        if box == self.box:
            return self.inside
        sides = [(max(o.start, w.start), min(o.stop, w.stop)) for o, w in zip(self.box, box, strict=True)]
        out = np.full(tuple(side.stop - side.start for side in box), np.float32(self.beyond))
        if all(start < stop for start, stop in sides):
            there = tuple(slice(a - w.start, b - w.start) for (a, b), w in zip(sides, box, strict=True))
            here = tuple(slice(a - o.start, b - o.start) for (a, b), o in zip(sides, self.box, strict=True))
            out[there] = self.inside[here]
        return out


def around(boxes: Iterable[Box]) -> Box:
    """Return the smallest box that holds some others; those that hold no pixel do not count."""
    kept = [box for box in boxes if all(side.stop > side.start for side in box)]
    if not kept:
        return slice(0, 0), slice(0, 0)
    rows, cols = (
        slice(min(box[axis].start for box in kept), max(box[axis].stop for box in kept)) for axis in (0, 1)
    )
    return rows, cols
