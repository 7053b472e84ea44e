"""A scan from its file to frames of density: every choice in one place, and what has to be said about the result as facts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from sim.negative.frame_finding import Unsure, find_frame, grid_on_gaps, tilt_of_sheet
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
from sim.negative.scan_frame import Box, frames_of_sheet, straightened, turned
from sim.picture_reading import open_picture
from sim.quantities import Float32Array
from sim.refusals import Refused

SPOT_PX = 4
RUN_FULL = 0.002  # share of a frame's pixels at the end of the scanner's values from which that is said
SAME_DENSITY = 1e-5  # what reading, turning and straightening leave of a difference between pixels at one value
USUAL_BASE = 0.10
CLEARER = 0.05  # density by which film is clearer than clear film in earnest (chosen: a scanner's noise and grain stay within)
MOST_CLEARER = 0.25  # share of a picture (chosen: light beside film and perforation may be that much of an uncut scan)
STEPS_SHOWN = (0.5, 1.0, 1.5, 2.0)  # densities at which the step between two values of a scan is told


@dataclass(frozen=True)
class ScanChoices:
    """How a scan is taken: how it was written, what is clear, how it lies, what of it is wanted.

    ``clear`` is a spot of clear base (x, y as fractions); ``base_density`` None stands for the usual one; ``crop`` a part of
    the turned and straightened scan, ``find_frame`` looks for the frame in it (or in every part of ``sheet``, columns and
    rows), which must have the proportion of ``frame_mm``. ``most_px`` is the longest side kept.
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
    frame_mm: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        if not 64 <= self.most_px <= 8000:
            raise Refused(f"--most-px must be between 64 and 8000, got {self.most_px}")
        if self.base_density is not None and not 0.0 <= self.base_density <= 1.0:
            raise Refused(f"--base must be between 0 and 1, got {self.base_density:g}")
        if self.clear is not None and not all(0.0 <= share <= 1.0 for share in self.clear):
            raise Refused(f"--clear must lie inside the scan (0 to 1), got {self.clear}")


ClearBy = Literal["said", "wedge", "rebate", "brightest", "roll's rebate", "roll's brightest"]


@dataclass(frozen=True)
class ScanFacts:
    """What has to be said of a scan: ``bits`` and whether it was packed with loss; whether its base was guessed.

    ``clear_by`` says what stands for clear film: a spot that was pointed at, a wedge, the rebate around it, the brightest
    hundredth; of a roll its frames' rebate, or the brightest hundredth of its clearest frame. ``step_at`` says by how much two
    neighbouring values differ in density, at densities above base. ``grid_unseen``: a sheet was cut as said, and no gaps were
    seen that would tell whether its frames lie so.
    """

    bits: int
    lossy: bool
    clear_by: ClearBy
    base_guessed: bool
    step_at: tuple[tuple[float, float], ...]
    grid_unseen: bool = False

    @property
    def clear_guessed(self) -> bool:
        """Tell whether the brightest hundredth stands for clear film."""
        return self.clear_by in ("brightest", "roll's brightest")

    @property
    def coarse(self) -> bool:
        """Tell whether tones are lost: eight bits, or packing with loss."""
        return self.bits == 8 or self.lossy


@dataclass(frozen=True, eq=False)
class ScannedFrame:
    """One frame: densities above base [row, col], where it lay in the turned scan, and whether that was found by itself.

    ``tilt_deg`` is how far clockwise the scan was turned besides to lay it straight; ``box`` lies in what that made of it.
    ``run_full`` is the share of its pixels at the end of the scanner's values, what lies around it not counted; 0 below what
    does harm.
    """

    density: Float32Array
    box: Box
    found: bool
    tilt_deg: float = 0.0
    run_full: float = 0.0


@dataclass(frozen=True, eq=False)
class Scanned:
    """A scan as taken: its frames in order, and what has to be said of it; ``clear_light`` is that of clear film (0 to 1)."""

    frames: tuple[ScannedFrame, ...]
    base_density: float
    facts: ScanFacts
    clear_light: float = 1.0


def scanned_roll(files: Sequence[Path], choices: ScanChoices) -> tuple[Scanned, ...]:
    """Return the frames of every scan of a roll, all above one clear base. Raises OutsideError or Refused in words.

    Files of a roll are taken to be scanned with one setting: the rebate's light where some show it (the middle of what
    they show), else the brightest hundredth of the clearest, is the base of all. A file alone is its own roll.
    """
    taken = [_measured(file, choices) for file in files]
    for file, one in zip(files, taken, strict=True):
        _refuse_dense_as_clear(file, one)
    shown = [one.clear_light for one in taken if one.facts.clear_by == "rebate"]
    guessed = [one.facts.clear_by in ("rebate", "brightest") for one in taken]
    if len(taken) > 1 and all(guessed):
        base = float(np.median(shown)) if shown else max(one.clear_light for one in taken)
        by: ClearBy = "roll's rebate" if shown else "roll's brightest"
        taken = [_above(one, base, by) for one in taken]
    return tuple(_cut_off(one) for one in taken)


def _refuse_dense_as_clear(file: Path, one: Scanned) -> None:
    """Refuse a spot shown as clear film that much of the picture is clearer than: all of that would be cut off at nil."""
    share = float(np.mean([np.mean(frame.density < -CLEARER) for frame in one.frames]))
    if one.facts.clear_by == "said" and share > MOST_CLEARER:
        percent = 100.0 * share
        raise Refused(
            f"{file.name}: clear film must be as clear as anything on the film, got a spot that {percent:.0f} % of the "
            "picture is clearer than, all of which would be lost: show bare film, such as the rebate"
        )


def _above(one: Scanned, clear_light: float, by: ClearBy) -> Scanned:
    """Return a scan's densities above another base."""
    more = np.float32(np.log10(clear_light / one.clear_light))
    frames = tuple(replace(frame, density=frame.density + more) for frame in one.frames)
    return Scanned(frames, one.base_density, replace(one.facts, clear_by=by), clear_light)


def _cut_off(one: Scanned) -> Scanned:
    """Return a scan without what is clearer than clear film, and no denser than can be kept."""
    frames = tuple(
        replace(frame, density=np.clip(frame.density, 0.0, DENSEST).astype(np.float32)) for frame in one.frames
    )
    return replace(one, frames=frames)


def _measured(file: Path, choices: ScanChoices) -> Scanned:
    """Return the frames of one scan above its own base, what is clearer than that still below nil."""
    picture = open_picture(file)
    rows, cols = picture.shape[:2]
    light = light_of_bands(picture.bands(), rows, cols, choices.encoding)
    bits, lossy = picture.header.bits, picture.header.kind == "JPEG"
    del picture
    clear = None if choices.clear is None else _at(light, choices.clear)
    level = clear if clear is not None else float(np.percentile(light, 99.5))
    full, black = float(light.max()) >= 1.0, float(light.min()) <= 0.0
    density = scanned_density(light, clear)
    del light
    if choices.wedge is not None:
        density = calibrated(density, choices.wedge)
    ends = (float(density.min()) if full else -np.inf, float(density.max()) if black else np.inf)
    density = straightened(turned(density, choices.turn, choices.flipped), choices.straighten_deg)
    unseen = _grid_unseen(file, density, choices)
    frames, rebates = _frames(file, density, choices, ends)
    by: ClearBy = "said" if clear is not None else "wedge" if choices.wedge is not None else "brightest"
    if by == "brightest" and rebates:
        above = float(np.median(rebates))
        by, level = "rebate", level * 10.0**-above
        frames = [replace(frame, density=frame.density - np.float32(above)) for frame in frames]
    facts = ScanFacts(
        bits, lossy, by, choices.base_density is None, tuple(_steps(choices.encoding, bits, level)),
        unseen,
    )  # fmt: skip
    base = USUAL_BASE if choices.base_density is None else choices.base_density
    return Scanned(tuple(frames), base, facts, level)


def _grid_unseen(file: Path, density: NDArray[Any], choices: ScanChoices) -> bool:
    """Tell whether nothing is seen of the gaps between frames cut as said. Raises Refused where they lie elsewhere."""
    if choices.sheet is None or choices.find_frame:  # a frame that is looked for shows itself whether it lies in its part
        return False
    columns, rows = choices.sheet
    sides = grid_on_gaps(density if choices.crop is None else choices.crop.of(density), columns, rows)
    if "off" in sides:
        raise Refused(
            f"{file.name}: the cuts between frames must lie in the gaps that the sheet shows, got {columns} x {rows} columns "
            "and rows that do not: say other columns and rows, or cut the scan to the sheet's own part"
        )
    return "unseen" in sides


def _frames(
    file: Path, density: NDArray[Any], choices: ScanChoices, ends: tuple[float, float]
) -> tuple[list[ScannedFrame], list[float]]:
    """Return the frames wanted, light averaged until each is small enough, and the densities of the rebate around them.

    ``ends`` are the densities at the ends of the scanner's values.
    """
    parts: tuple[Box, ...] = (choices.crop or Box(),)
    tilt: float | None = None
    if choices.sheet is not None:
        if choices.find_frame:
            tilt = tilt_of_sheet(density if choices.crop is None else choices.crop.of(density))
            density = straightened(density, tilt)
        parts = frames_of_sheet(*choices.sheet, choices.crop)
    frames, rebates = [], []
    for number, part in enumerate(parts, 1):
        here = part.of(density)
        if not choices.find_frame:
            frames.append(ScannedFrame(_small(here, choices.most_px), part, False, 0.0, _at_ends(here, ends)))
            continue
        found = find_frame(here, choices.frame_mm, 1 if choices.sheet is None else 4, tilt)
        if isinstance(found, Unsure):
            which = "frame" if choices.sheet is None else f"frame {number}/{len(parts)}"
            raise _unsure(f"{file.name}: {which}", found, choices)
        straight = here if tilt is not None else straightened(here, found.tilt_deg)
        frame = found.box.of(straight)
        small, lost = _small(frame, choices.most_px), _at_ends(frame, ends)
        frames.append(ScannedFrame(small, found.box.within(part), True, found.tilt_deg, lost))
        rebates += [] if found.rebate is None else [found.rebate]
    return frames, rebates


def _at_ends(frame: NDArray[Any], ends: tuple[float, float]) -> float:
    """Return the share of a frame's pixels at the ends of the scanner's values; 0 where they are too few to matter."""
    share = float(np.mean((frame <= ends[0] + SAME_DENSITY) | (frame >= ends[1] - SAME_DENSITY)))
    return share if share > RUN_FULL else 0.0


def _small(frame: NDArray[Any], most_px: int) -> Float32Array:
    return np.asarray(reduced(np.ascontiguousarray(frame), most_px), dtype=np.float32)


def _unsure(which: str, found: Unsure, choices: ScanChoices) -> Refused:
    """Return the refusal of a frame that is not sure: why, and what to do."""
    if found.missing == "proportion" and choices.frame_mm is not None:
        wide, high = choices.frame_mm
        wanted = max(wide, high) / min(wide, high)
        return Refused(
            f"{which} must have the film's proportion, got one of {found.proportion:.2f} to 1 where {wide:g} x {high:g} mm "
            f"is {wanted:.2f}: say the film's frame with --film, or cut it out by hand with --crop L,T,R,B"
        )
    if choices.sheet is not None:
        columns, rows = choices.sheet
        return Refused(
            f"{which} must lie in clear rebate all around, got a part whose edges do not: the frames hardly lie in "
            f"{columns} x {rows} even columns and rows; say others, or cut the scan to the sheet's own part"
        )
    if found.missing == "two frames":
        return Refused(
            f"{which} must be one, got clear film across it, as between two frames: say --frames COLSxROWS, or cut it out "
            "by hand with --crop L,T,R,B"
        )
    if found.missing == "no edge":
        return Refused(
            f"{which} must lie in a dark holder or clear rebate, got neither around it: cut it out by hand with --crop L,T,R,B "
            "(--straighten DEG turns it)"
        )
    return Refused(
        f"{which} must end in holder or rebate on every side, got a side where not: thin film to its edge cannot be told "
        "from rebate; cut it out by hand with --crop L,T,R,B (--straighten DEG turns it)"
    )


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
