"""A scanned frame on one's own shelf: its densities as a 16-bit picture, and the sleeve that names it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sim.negative.scan import encode_density
from sim.negative.sleeve import SHORTEST_TITLE, refuse_unreadable_sleeve
from sim.page_templates import from_template
from sim.refusals import Refused
from sim.shelf import is_plain
from sim.writing import write_png, write_text

TEMPLATE = Path(__file__).with_name("scan_sleeve_template.toml")


@dataclass(frozen=True)
class NamedSpot:
    """A place that was clicked or typed: its plain name, and where it lies as fractions of the frame."""

    name: str
    x: float
    y: float

    def __post_init__(self) -> None:
        if not is_plain(self.name):
            raise Refused(f"a place's name must be small letters, digits and hyphens, got {self.name!r}")
        if not (0.0 <= self.x <= 1.0 and 0.0 <= self.y <= 1.0):
            raise Refused(f"a place must lie inside the frame (0 to 1), got {self.x:g}, {self.y:g}")


def write_scan_sleeve(
    folder: Path, name: str, density: NDArray[np.float32], base_density: float, frame_mm: tuple[float, float],
    spots: tuple[NamedSpot, ...] = (),
) -> Path:  # fmt: skip
    """Write densities and sleeve of one frame; return the sleeve. The frame's sides are turned as the picture lies.

    Raises OutsideError, and nothing is written, for a sleeve that could not be read again.
    """
    width, height = frame_mm
    if (density.shape[1] > density.shape[0]) != (width > height):
        width, height = height, width
    names = [spot.name for spot in spots]
    if len(set(names)) < len(names) or {"densest", "thinnest"} & set(names):
        raise Refused(f"places must have names of their own, not densest or thinnest, got {', '.join(names)}")
    dark, light = even_ends(density)
    picture = f"{name}-density.png"
    sleeve = from_template(
        TEMPLATE, title=title_of(name), picture=picture, base=base_density, width=width, height=height, light=light,
        dark=dark, spots=spots,
    )  # fmt: skip
    refuse_unreadable_sleeve(folder / f"{name}.toml", sleeve)
    write_png(folder / picture, encode_density(density))
    write_text(folder / f"{name}.toml", sleeve + "\n")
    return folder / f"{name}.toml"


def title_of(name: str) -> str:
    """Return the title of a frame called so: its name in words, or one made of it where that is too short for a title."""
    words = name.replace("-", " ")
    return words if len(words) >= SHORTEST_TITLE else f"Frame {words}"


def even_ends(density: NDArray[np.float32]) -> tuple[tuple[float, float], tuple[float, float]]:
    """Return where (y, x fractions) the thinnest and the densest even spots lie: block means, edges left out."""
    step = max(4, min(density.shape) // 40)
    rows, cols = (size // step for size in density.shape)
    blocks = density[: rows * step, : cols * step].reshape(rows, step, cols, step).mean(axis=(1, 3))
    inner = blocks[2:-2, 2:-2] if min(blocks.shape) > 8 else blocks
    rim = 2 if min(blocks.shape) > 8 else 0
    spots = []
    for index in (np.argmin(inner), np.argmax(inner)):
        r, c = np.unravel_index(int(index), inner.shape)
        spots.append((float(r + rim + 0.5) / rows, float(c + rim + 0.5) / cols))
    return spots[0], spots[1]
