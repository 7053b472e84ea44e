"""A flatbed scan whose rows are named in the order they lie in: where grey scale and strips are, and what they read."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.calibration.flatbed_strips import DOUBLE, STEPS_OF_SCALE, GreyScale, Patchwork, readings_of_scan
from sim.calibration.found_steps import found_rows
from sim.calibration.readings_csv import Exposing, Wedge
from sim.calibration.wedge_strips import PaperReadings
from sim.picture_reading import open_picture
from sim.refusals import Refused

GREY = "grey"  # the row that is the grey scale, among the names of settings


def grey_pixels(file: Path) -> NDArray[Any]:
    """Return a scan's green channel, or its grey: the middle of what the eye sees."""
    picture = open_picture(file)
    bands = [band if band.ndim == 2 else band[:, :, 1] for band in picture.bands()]
    return np.concatenate(bands)


def even_greys(steps: float, first: float, apart: float) -> tuple[float, ...]:
    """Return the reflection densities of a grey scale of even steps. Raises Refused for a number of steps that none has."""
    low, high = STEPS_OF_SCALE
    if not low <= steps <= high or steps != int(steps):
        raise Refused(f"the grey scale must have {low} to {high} steps, a whole number, got {steps:g}")
    return tuple(first + apart * k for k in range(int(steps)))


def found_by_rows(
    picture: NDArray[Any], names: Sequence[str], greys: tuple[float, ...], steps: int
) -> tuple[GreyScale, dict[str, Patchwork]]:
    """Return scale and strips where their edges show them; ``names`` are settings and GREY, from the top or the left.

    ``greys`` are the scale's reflection densities, ``steps`` those of the wedge. Raises Refused for what is not surely found.
    """
    counts = [len(greys) if name == GREY else steps for name in names]
    said = ["the grey scale" if name == GREY else f"strip {name}" for name in names]
    found = dict(zip(names, found_rows(picture, said, counts, [one for one in said if one.startswith("strip")]), strict=True))
    return GreyScale(found.pop(GREY), greys), found


def readings_by_rows(
    file: Path, names: Sequence[str], greys: tuple[float, ...], exposing: Exposing, wedge: Wedge
) -> PaperReadings:
    """Return what a scan reads. Raises Refused where rows and settings that were exposed are not the same."""
    settings = [name for name in names if name != GREY and not name.startswith(DOUBLE)]
    doubles = [name.removeprefix(DOUBLE) for name in names if name.startswith(DOUBLE)]
    if not set(doubles) <= set(settings) or len(set(doubles)) < len(doubles):
        raise Refused(f"a double row of the scan must be of a setting that lies there too, each once, got {', '.join(names)}")
    if names.count(GREY) != 1 or sorted(settings) != sorted(exposing.seconds):
        wanted = ", ".join((GREY, *exposing.seconds))
        raise Refused(f"the rows of the scan must be {wanted}, each once, in the order they lie in, got {', '.join(names)}")
    picture = grey_pixels(file)
    scale, laid = found_by_rows(picture, names, greys, len(wedge.densities))
    rows = {name: (row, exposing.log_exposure(name.removeprefix(DOUBLE))) for name, row in laid.items()}
    return readings_of_scan(picture, scale, None, rows, wedge.densities, exposing.lux is not None)
