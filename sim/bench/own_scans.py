"""Scans of one's own negatives at the bench: measured, looked at on the light table, put into sleeves on one's own shelf."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sim.bench.light_table import light_seen
from sim.negative.scan import ScanEncoding
from sim.negative.scan_frame import Box
from sim.negative.scan_sleeve import NamedSpot, write_scan_sleeve
from sim.negative.scan_work import ScanChoices, Scanned, scanned_roll
from sim.refusals import Refused
from sim.shelf import NEGATIVE, OWN, name_for, own_folder, own_shelf

PICTURES = (".png", ".tif", ".tiff", ".jpg", ".jpeg")
MOST_SCANS = 48
FRAMES_MM = {"24 × 36 mm": (24.0, 36.0), "60 × 60 mm": (60.0, 60.0), "60 × 70 mm": (60.0, 70.0), "60 × 90 mm": (60.0, 90.0),
             "95 × 120 mm": (95.0, 120.0)}  # fmt: skip


@dataclass(frozen=True, eq=False)
class ScannedFile:
    """One scan as measured: its file and its frames."""

    file: Path
    scan: Scanned

    def seen(self, frame: int, side_px: int) -> NDArray[np.uint8]:
        """Return a frame as it looks on a light table, grey levels [row, col], its longer side so many pixels."""
        return light_seen(self.scan.frames[frame].density, self.scan.base_density, side_px)


def scans_at(path: Path) -> tuple[Path, ...]:
    """Return the scans meant: one file, or all pictures of a folder in the order of their names, a roll. Raises Refused."""
    if not path.is_dir():
        if not path.is_file():
            raise Refused(f"a scan must be a picture or a folder of pictures, got {str(path)!r}, which is not there")
        return (path,)
    return pictures_in(path)


def pictures_in(folder: Path, called: str = "a roll") -> tuple[Path, ...]:
    """Return the pictures of a folder in the order of their names: the scans of a roll. Raises Refused of what it is called."""
    found = sorted(one for one in folder.iterdir() if one.suffix.lower() in PICTURES and one.is_file())
    if not 1 <= len(found) <= MOST_SCANS:
        raise Refused(f"{called} must be a folder of 1 to {MOST_SCANS} pictures (png, tif, jpg), got {len(found)}")
    return tuple(found)


def measured(files: tuple[Path, ...], asked: ScanAsked) -> tuple[ScannedFile, ...]:
    """Return every scan of a roll, measured alike above one clear base. Raises OutsideError or Refused in words."""
    return tuple(ScannedFile(*one) for one in zip(files, scanned_roll(files, asked.choices()), strict=True))


def put_into_sleeves(
    scans: tuple[ScannedFile, ...], frame_mm: tuple[float, float], spots: dict[tuple[int, int], tuple[NamedSpot, ...]]
) -> tuple[str, ...]:  # fmt: skip
    """Write a sleeve for every frame onto one's own shelf; return their names, own:NAME, in order.

    ``spots`` are the places named in a frame (scan, frame). A name that lies there already gets a number. Raises Refused.
    """
    folder, made = own_folder() / NEGATIVE.folder, []
    for n, one in enumerate(scans):
        for k, frame in enumerate(one.scan.frames):
            name = _free(name_for(one.file.stem if len(one.scan.frames) == 1 else f"{one.file.stem}-{k + 1:02d}"))
            write_scan_sleeve(folder, name, frame.density, one.scan.base_density, frame_mm, spots.get((n, k), ()))
            made.append(f"{OWN}{name}")
    return tuple(made)


def _free(name: str) -> str:
    there = set(own_shelf().names(NEGATIVE))
    tried, number = name, 2
    while f"{OWN}{tried}" in there or tried in there:
        tried, number = f"{name}-{number}", number + 1
    return tried


@dataclass(frozen=True)
class ScanAsked:
    """How a scan is to be taken, as a hand turns it: see ScanChoices.

    ``clear`` is a spot of clear film in the scan, ``frame_mm`` the film's frame: one that is looked for has its proportion.
    """

    turn: int = 0
    flipped: bool = False
    inverted: bool = False
    find_frame: bool = False
    sheet: tuple[int, int] | None = None
    clear: tuple[float, float] | None = None
    frame_mm: tuple[float, float] | None = None

    def choices(self) -> ScanChoices:
        """Return them as the scanning takes them."""
        return ScanChoices(
            ScanEncoding(0.0, inverted=self.inverted), self.clear, turn=self.turn, flipped=self.flipped,
            find_frame=self.find_frame, sheet=self.sheet, frame_mm=self.frame_mm if self.find_frame else None,
        )  # fmt: skip

    def in_scan(self, box: Box, x: float, y: float) -> tuple[float, float]:
        """Return the point of the scan as it lies in its file under a point of a frame, both as fractions."""
        x, y = box.left + x * (box.right - box.left), box.top + y * (box.bottom - box.top)
        # a clear spot is as clear some pixels beside it: the few degrees that a frame was straightened by are left out
        for _ in range(self.turn // 90):  # turned clockwise: what is at the top now was at the left
            x, y = y, 1.0 - x
        return (1.0 - x if self.flipped else x), y


def spot(name: str, x: float, y: float) -> NamedSpot:
    """Return a place that was pointed at. Raises Refused for a name that is none."""
    return NamedSpot(name, x, y)
