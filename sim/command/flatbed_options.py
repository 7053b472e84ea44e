"""Strips read on a flatbed: from the options that say where they lie to readings."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from sim.command.scan_verb import numbers_of
from sim.refusals import Refused

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from sim.calibration.flatbed_strips import Patchwork
    from sim.calibration.readings_csv import Wedge
    from sim.calibration.wedge_strips import PaperReadings


def scanned_readings(options: argparse.Namespace, file: Path, lux: float | None, wedge: Wedge | None) -> PaperReadings:
    """Return the readings of a scan; the CSV file says the seconds of every setting."""
    from sim.calibration.flatbed_strips import GreyScale, readings_of_scan
    from sim.calibration.readings_csv import read_exposing

    if wedge is None or not options.grey or not options.strip:
        raise Refused("--scan must come with --wedge, --grey and a --strip for every setting, got less")
    left, top, right, bottom, steps, first, step = numbers_of(options.grey, "--grey", 7, 7)
    scale = GreyScale(
        _row("--grey", (left, top, right, bottom), int(steps)), tuple(first + step * k for k in range(int(steps)))
    )
    exposing = read_exposing(file, lux)
    rows: dict[str, tuple[Patchwork, float]] = {}
    for text in options.strip:
        setting, equals, box = text.partition("=")
        if not equals or setting not in exposing.seconds or setting in rows:
            raise Refused(
                f"--strip must be one of {', '.join(exposing.seconds)}, =, and its box, each once, got {text!r}"
            )
        numbers = tuple(numbers_of(box, "--strip", 4, 8))
        rows[setting] = _row("--strip", numbers, len(wedge.densities)), exposing.log_exposure(setting)
    if missing := [s for s in exposing.seconds if s not in rows]:
        raise Refused(f"--strip must be given for every setting with seconds, got none for {', '.join(missing)}")
    white = _row("--white", tuple(numbers_of(options.white, "--white", 4, 4)), 5) if options.white else None
    return readings_of_scan(_grey_pixels(Path(options.scan)), scale, white, rows, wedge.densities, lux is not None)


def _row(option: str, numbers: tuple[float, ...], steps: int) -> Patchwork:
    from sim.calibration.flatbed_strips import Patchwork

    if len(numbers) == 4:
        return Patchwork.boxed(*numbers, steps)
    if len(numbers) != 8:
        raise Refused(f"{option} must be a box of 4 numbers or 4 corners of 8, got {len(numbers)}")
    return Patchwork(tuple(zip(numbers[::2], numbers[1::2], strict=True)), steps)


def _grey_pixels(file: Path) -> NDArray[Any]:
    """Return a scan's green channel, or its grey: the middle of what the eye sees."""
    from sim.picture_reading import open_picture

    picture = open_picture(file)
    bands = [band if band.ndim == 2 else band[:, :, 1] for band in picture.bands()]
    return np.concatenate(bands)
