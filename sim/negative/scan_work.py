"""A scan from its file to frames of density: every choice in one place, and what has to be said about the result as facts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.negative.scan import (
    DENSEST,
    ScanEncoding,
    WedgeInFrame,
    calibrated,
    light_of_bands,
    light_of_value,
    reduced,
    scanned_density,
)
from sim.negative.scan_frame import Box, frame_in, frames_of_sheet, straightened, turned
from sim.picture_reading import open_picture
from sim.quantities import Float32Array
from sim.refusals import Refused

SPOT_PX = 4
RUN_FULL = 0.002  # share of a scan's pixels at the end of its values from which that is said
USUAL_BASE = 0.10
STEPS_SHOWN = (0.5, 1.0, 1.5, 2.0)  # densities at which the step between two values of a scan is told


@dataclass(frozen=True)
class ScanChoices:
    """How a scan is taken: how it was written, what is clear, how it lies, what of it is wanted.

    ``clear`` is a spot of clear base (x, y as fractions); ``base_density`` None stands for the usual one; ``crop`` a part of
    the turned and straightened scan, ``find_frame`` looks for the frame in it (or in every part of ``sheet``, columns and
    rows). ``most_px`` is the longest side kept.
    """

    encoding: ScanEncoding = ScanEncoding(0.0)
    clear: tuple[float, float] | None = None
    wedge: WedgeInFrame | None = None
    base_density: float | None = None
    turn: int = 0
    flipped: bool = False
    straighten_deg: float = 0.0
    crop: Box | None = None
    find_frame: bool = False
    sheet: tuple[int, int] | None = None
    most_px: int = 2400

    def __post_init__(self) -> None:
        if not 64 <= self.most_px <= 8000:
            raise Refused(f"--most-px must be between 64 and 8000, got {self.most_px}")
        if self.base_density is not None and not 0.0 <= self.base_density <= 1.0:
            raise Refused(f"--base must be between 0 and 1, got {self.base_density:g}")
        if self.clear is not None and not all(0.0 <= share <= 1.0 for share in self.clear):
            raise Refused(f"--clear must lie inside the scan (0 to 1), got {self.clear}")


@dataclass(frozen=True)
class ScanFacts:
    """What has to be said of a scan: ``bits`` and whether it was packed with loss; whether its base was guessed.

    ``clear_guessed``: the brightest hundredth stands for clear film. ``step_at`` says by how much two neighbouring values
    differ in density, at densities above base; ``run_full`` is the share of pixels at the end of the scanner's values.
    """

    bits: int
    lossy: bool
    clear_guessed: bool
    base_guessed: bool
    step_at: tuple[tuple[float, float], ...]
    run_full: float

    @property
    def coarse(self) -> bool:
        """Tell whether tones are lost: eight bits, or packing with loss."""
        return self.bits == 8 or self.lossy


@dataclass(frozen=True, eq=False)
class ScannedFrame:
    """One frame: densities above base [row, col], where it lay in the turned scan, and whether that was found by itself."""

    density: Float32Array
    box: Box
    found: bool


@dataclass(frozen=True, eq=False)
class Scanned:
    """A scan as taken: its frames in order, and what has to be said of it."""

    frames: tuple[ScannedFrame, ...]
    base_density: float
    facts: ScanFacts


def scanned(file: Path, choices: ScanChoices) -> Scanned:
    """Return the frames of a scan. Raises OutsideError or Refused in words."""
    picture = open_picture(file)
    rows, cols = picture.shape[:2]
    light = light_of_bands(picture.bands(), rows, cols, choices.encoding)
    bits, lossy = picture.header.bits, picture.header.kind == "JPEG"
    del picture
    clear = None if choices.clear is None else _at(light, choices.clear)
    level = clear if clear is not None else float(np.percentile(light, 99.5))
    ends = float(np.mean((light <= 0.0) | (light >= 1.0)))
    density = scanned_density(light, clear)
    del light
    if choices.wedge is not None:
        density = calibrated(density, choices.wedge)
    facts = ScanFacts(
        bits, lossy, choices.clear is None and choices.wedge is None, choices.base_density is None,
        tuple(_steps(choices.encoding, bits, level)), ends if ends > RUN_FULL else 0.0,
    )  # fmt: skip
    density = straightened(turned(density, choices.turn, choices.flipped), choices.straighten_deg)
    base = USUAL_BASE if choices.base_density is None else choices.base_density
    return Scanned(tuple(_frames(density, choices)), base, facts)


def _frames(density: NDArray[Any], choices: ScanChoices) -> Iterator[ScannedFrame]:
    """Yield the frames wanted, each found in its part of the scan, light averaged until it is small enough."""
    parts = frames_of_sheet(*choices.sheet, choices.crop) if choices.sheet else (choices.crop or Box(),)
    for number, part in enumerate(parts, 1):
        here = part.of(density)
        box = frame_in(here) if choices.find_frame else None
        if choices.find_frame and box is None:
            which = f"frame {number}" if choices.sheet else "the frame"
            raise Refused(
                f"{which} must lie inside a dark holder or clear rebate to be found, got neither: give --crop"
            )
        frame = here if box is None else box.of(here)
        small = np.maximum(reduced(np.ascontiguousarray(frame), choices.most_px), np.float32(0.0))
        yield ScannedFrame(small.astype(np.float32), part if box is None else box.within(part), box is not None)


def _at(light: Float32Array, spot: tuple[float, float]) -> float:
    """Return the mean light around a spot (x, y as fractions)."""
    row, col = (
        min(int(share * size), size - 1) for share, size in ((spot[1], light.shape[0]), (spot[0], light.shape[1]))
    )
    around = light[max(row - SPOT_PX, 0) : row + SPOT_PX + 1, max(col - SPOT_PX, 0) : col + SPOT_PX + 1]
    return float(around.mean())


def _steps(encoding: ScanEncoding, bits: int, clear: float) -> Iterator[tuple[float, float]]:
    """Yield densities above base and what the step to the next value of the scan is there, in density."""
    full = 2**bits - 1
    lights = np.sort(light_of_value(np.arange(full + 1) / full, encoding))
    for density in STEPS_SHOWN:
        wanted = clear * 10.0**-density
        at = int(np.clip(np.searchsorted(lights, wanted), 1, full))
        below, above = float(lights[at - 1]), float(lights[at])
        yield density, float(np.log10(above / below)) if below > 0.0 else DENSEST
