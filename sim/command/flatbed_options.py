"""Strips read on a flatbed: from the options that say where they lie to readings."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.calibration.flatbed_strips import DOUBLE, GreyScale, Patchwork, readings_of_scan
from sim.calibration.found_steps import FewEdges
from sim.calibration.readings_csv import Wedge, read_exposing
from sim.calibration.scan_by_rows import GREY, even_greys, found_by_rows, grey_pixels
from sim.calibration.wedge_strips import PaperReadings
from sim.command.scan_verb import numbers_of
from sim.refusals import Refused

if TYPE_CHECKING:
    from numpy.typing import NDArray


def scanned_readings(options: argparse.Namespace, file: Path, lux: float | None, wedge: Wedge | None) -> PaperReadings:
    """Return the readings of a scan; the CSV file says the seconds of every setting."""
    if wedge is None or not options.grey or bool(options.strip) == bool(options.rows):
        raise Refused("--scan must come with --wedge, --grey, and a --strip for every setting or --rows, got less or both")
    exposing, picture = read_exposing(file, lux), grey_pixels(Path(options.scan))
    scale, laid = _by_themselves(options, picture, wedge) if options.rows else _where_said(options, wedge)
    if unknown := [name for name in laid if name.removeprefix(DOUBLE) not in exposing.seconds]:
        option = "--rows" if options.rows else "--strip"
        raise Refused(f"{option} must name settings with seconds, {', '.join(exposing.seconds)}, got {', '.join(unknown)}")
    if missing := [s for s in exposing.seconds if s not in laid]:
        option = "--rows" if options.rows else "--strip"
        raise Refused(f"{option} must be given for every setting with seconds, got none for {', '.join(missing)}")
    rows = {name: (row, exposing.log_exposure(name.removeprefix(DOUBLE))) for name, row in laid.items()}
    white = _row("--white", tuple(numbers_of(options.white, "--white", 4, 4)), 5) if options.white else None
    return readings_of_scan(picture, scale, white, rows, wedge.densities, lux is not None)


def _where_said(options: argparse.Namespace, wedge: Wedge) -> tuple[GreyScale, dict[str, Patchwork]]:
    """Return scale and strips where the options say that they lie."""
    left, top, right, bottom, steps, first, step = numbers_of(options.grey, "--grey", 7, 7)
    greys = even_greys(steps, first, step)
    scale = GreyScale(_row("--grey", (left, top, right, bottom), len(greys)), greys)
    laid: dict[str, Patchwork] = {}
    for text in options.strip:
        setting, equals, box = text.partition("=")
        if not equals or setting in laid:
            raise Refused(f"--strip must be a setting, =, and its box, each once, got {text!r}")
        laid[setting] = _row("--strip", tuple(numbers_of(box, "--strip", 4, 8)), len(wedge.densities))
    return scale, laid


def _by_themselves(
    options: argparse.Namespace, picture: NDArray[Any], wedge: Wedge
) -> tuple[GreyScale, dict[str, Patchwork]]:
    """Return scale and strips where their edges show them."""
    names = tuple(name.strip() for name in options.rows.split(","))
    if names.count(GREY) != 1 or len(set(names)) < len(names):
        raise Refused(f"--rows must name {GREY} and every setting once, such as grey,00,2,5, got {options.rows!r}")
    steps, first, step = numbers_of(options.grey, "--grey", 3, 3)
    try:
        return found_by_rows(picture, names, even_greys(steps, first, step), len(wedge.densities))
    except FewEdges as error:
        raise Refused(f"{error}; or say where all lies, with --grey and a --strip for every setting") from None


def _row(option: str, numbers: tuple[float, ...], steps: int) -> Patchwork:
    if len(numbers) == 4:
        return Patchwork.boxed(*numbers, steps)
    if len(numbers) != 8:
        raise Refused(f"{option} must be a box of 4 numbers or 4 corners of 8, got {len(numbers)}")
    return Patchwork(tuple(zip(numbers[::2], numbers[1::2], strict=True)), steps)
