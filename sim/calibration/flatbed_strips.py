"""Strips read on a flatbed scanner, beside a grey scale of known steps: the scale says what every pixel value is in density.

The scanner need not be trusted, only be the same all over its glass: no gamma is asked for. What is darker or lighter than the
scale goes unread; what the scanner could not hold is refused, and so is a sheet that did not lie flat.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.calibration.wedge_strips import DENSITY_ERROR, DoubledReading, PaperReadings, StepReading, Strip
from sim.quantities import FloatArray
from sim.refusals import Refused

RUN_FULL = 0.05  # share of a patch's pixels at the end of the scanner's values
UNEVEN_PATCH = 0.25  # share of the scale's values by which one patch may vary: beyond it the box lies across steps
CURVED = 0.03  # density by which unexposed paper may vary under the glass
KEPT = 0.6  # of a step's length and width, in its middle
BEYOND_SCALE = 0.05  # density past the scale's ends that is still read, by the last steps' slope
LEAST_STEP_PX = 4.0
STEPS_OF_SCALE = (4, 64)
DOUBLE = "double "  # before the setting of a strip that had twice the light of that setting's own


@dataclass(frozen=True)
class Patchwork:
    """Where a row of steps lies in the scan: its four corners as fractions (x, y), going round from the first step's.

    The first side runs along the steps; ``steps`` of equal length.
    """

    corners: tuple[tuple[float, float], ...]
    steps: int

    def __post_init__(self) -> None:
        if len(self.corners) != 4 or not all(0.0 <= v <= 1.0 for corner in self.corners for v in corner):
            raise Refused(f"a row of steps must have four corners inside the scan (0 to 1), got {self.corners}")
        if not 1 <= self.steps <= 64:
            raise Refused(f"a row must have between 1 and 64 steps, got {self.steps}")

    @classmethod
    def boxed(cls, left: float, top: float, right: float, bottom: float, steps: int) -> Patchwork:
        """Return a row that lies straight in the scan; its steps run along the longer side of the box in fractions."""
        if not (left < right and top < bottom):
            raise Refused(f"a box must be left, top, right, bottom, got {left:g}, {top:g}, {right:g}, {bottom:g}")
        if right - left >= bottom - top:
            return cls(((left, top), (right, top), (right, bottom), (left, bottom)), steps)
        return cls(((left, bottom), (left, top), (right, top), (right, bottom)), steps)

    def patches(self, picture: NDArray[Any]) -> list[NDArray[Any]]:
        """Return the pixels in the middle of every step, as far as they lie in the picture."""
        rows, cols = picture.shape
        size = np.array([cols - 1.0, rows - 1.0])
        a, b, c, d = (np.array(corner) * size for corner in self.corners)
        length, width = float(np.hypot(*(b - a))) / self.steps, float(np.hypot(*(d - a)))
        if length < LEAST_STEP_PX or width < LEAST_STEP_PX:
            raise Refused(
                f"each step must be {LEAST_STEP_PX:g} px long and wide in the scan or more, got {length:.1f} x {width:.1f}"
            )
        across = np.linspace(0.5 - KEPT / 2, 0.5 + KEPT / 2, max(int(width * KEPT), 2))
        inside = np.linspace(0.5 - KEPT / 2, 0.5 + KEPT / 2, max(int(length * KEPT), 2))
        found = []
        for k in range(self.steps):
            along = ((k + inside) / self.steps)[None, :, None]
            down = across[:, None, None]
            point = (1 - down) * ((1 - along) * a + along * b) + down * ((1 - along) * d + along * c)
            found.append(picture[np.rint(point[..., 1]).astype(int), np.rint(point[..., 0]).astype(int)])
        return found


@dataclass(frozen=True)
class GreyScale:
    """A grey scale of known reflection densities beside the strips, the lightest first."""

    row: Patchwork
    densities: tuple[float, ...]

    def __post_init__(self) -> None:
        low, high = STEPS_OF_SCALE
        if not low <= len(self.densities) <= high or len(self.densities) != self.row.steps:
            raise Refused(
                f"the grey scale must have {low} to {high} steps, one density each, got {len(self.densities)}"
            )
        if not all(b > a for a, b in zip(self.densities, self.densities[1:])):
            raise Refused(f"the grey scale must grow darker from step to step, got {self.densities}")


@dataclass(frozen=True, eq=False)
class ScanReader:
    """What a scanner's values are in density, found on the grey scale: ``values`` grow lighter, ``densities`` with them."""

    values: FloatArray
    densities: FloatArray

    def density(self, value: float) -> float | None:
        """Return the density of a value; None too far past the scale's ends."""
        if self.values[0] <= value <= self.values[-1]:
            return float(np.interp(value, self.values, self.densities))
        end, inner = (0, 1) if value < self.values[0] else (-1, -2)
        slope = (self.densities[end] - self.densities[inner]) / (self.values[end] - self.values[inner])
        found = float(self.densities[end] + slope * (value - self.values[end]))
        return found if abs(found - self.densities[end]) <= BEYOND_SCALE else None


def reader_of(picture: NDArray[Any], scale: GreyScale) -> ScanReader:
    """Return what the scale says about the scanner. Raises Refused where it has run full or the box lies beside it."""
    values = []
    for k, patch in enumerate(scale.row.patches(picture)):
        number = f"the grey scale, step {k + 1}"
        values.append(_value(patch, number))
    densities = np.array(scale.densities)
    if values[0] < values[-1]:  # the box was laid from the dark end
        values = values[::-1]
    falling = -np.diff(values)
    if (falling <= 0.0).any():
        wrong = int(np.argmax(falling <= 0.0)) + 2
        raise Refused(
            f"the grey scale, step {wrong} must be darker in the scan than step {wrong - 1}, got {values[wrong - 1]:.0f} after "
            f"{values[wrong - 2]:.0f}: does the box lie on the scale, and has the scan kept its blacks?"
        )
    return ScanReader(np.array(values[::-1]), densities[::-1])


def _value(patch: NDArray[Any], what: str) -> float:
    """Return a patch's mean value. Raises Refused for one that has run full or is no even step."""
    full = np.iinfo(patch.dtype).max
    if float(np.mean((patch == 0) | (patch == full))) > RUN_FULL:
        raise Refused(
            f"{what} must lie within the scanner's values, got {RUN_FULL:.0%} or more of it run full: scan it darker or lighter"
        )
    mean = float(patch.mean())
    spread = float(np.percentile(patch, 95) - np.percentile(patch, 5))
    if spread > UNEVEN_PATCH * max(mean, 0.02 * full) + 0.004 * full:
        raise Refused(f"{what} must be even, got values from {np.percentile(patch, 5):.0f} to {np.percentile(patch, 95):.0f}: "
                      "the box lies across steps")  # fmt: skip
    return mean


def white_of(picture: NDArray[Any], reader: ScanReader, box: Patchwork) -> tuple[float, ...]:
    """Return densities along a piece of unexposed paper. Raises Refused where it did not lie flat under the glass."""
    number = "the unexposed paper"
    found = [reader.density(_value(patch, number)) for patch in box.patches(picture)]
    read = [one for one in found if one is not None]
    if not read:
        raise Refused("the unexposed paper must lie within the grey scale's densities, got none that does")
    if max(read) - min(read) > CURVED:
        raise Refused(
            f"the unexposed paper must read the same all along, got {min(read):.2f} to {max(read):.2f}: the sheet did not lie "
            "flat under the glass, or light got to it"
        )
    return tuple(read)


def strip_read(
    picture: NDArray[Any],
    reader: ScanReader,
    row: Patchwork,
    setting: str,
    log_exposure: float,
    wedge: tuple[float, ...],
) -> Strip:
    """Return a strip's readings; the clear end of the wedge prints darkest, so either way round is understood."""
    if row.steps != len(wedge):
        raise Refused(f"strip {setting} must have as many steps as the wedge, {len(wedge)}, got {row.steps}")
    read = []
    for k, patch in enumerate(row.patches(picture)):
        number = f"strip {setting}, step {k + 1}"
        read.append(reader.density(_value(patch, number)))
    if read[0] is not None and (read[-1] is None or read[0] < read[-1]) and _lighter_first(read):
        read = read[::-1]
    steps = tuple(
        StepReading(k + 1, under, density, None, DENSITY_ERROR)
        for k, (under, density) in enumerate(zip(wedge, read, strict=True))
        if density is not None
    )
    return Strip(setting, log_exposure, steps)


def _lighter_first(read: list[float | None]) -> bool:
    known = [one for one in read if one is not None]
    half = len(known) // 2
    return half > 0 and float(np.mean(known[:half])) < float(np.mean(known[half:]))


def readings_of_scan(
    picture: NDArray[Any], scale: GreyScale, white: Patchwork | None, rows: dict[str, tuple[Patchwork, float]],
    wedge: tuple[float, ...], light_known: bool,
) -> PaperReadings:  # fmt: skip
    """Return the readings of all strips in a scan: per setting where it lies and the log exposure of its clear light."""
    reader = reader_of(picture, scale)
    unexposed = white_of(picture, reader, white) if white else ()
    strips = tuple(strip_read(picture, reader, row, name, log_h, wedge) for name, (row, log_h) in rows.items())
    single = tuple(strip for strip in strips if not strip.setting.startswith(DOUBLE))
    steps = {(strip.setting, one.step) for strip in single for one in strip.readings}
    doubled = [
        DoubledReading(strip.setting.removeprefix(DOUBLE), one.step, one.density)
        for strip in strips if strip.setting.startswith(DOUBLE)
        for one in strip.readings if one.density is not None
    ]  # fmt: skip
    read = tuple(one for one in doubled if (one.setting, one.step) in steps)
    return PaperReadings(single, unexposed, light_known, doubled=read)
