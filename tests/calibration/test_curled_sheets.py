"""A sheet that curls away from the scanner's glass: light falls off to an edge, and what that makes of strips is refused."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from laws.secret_papers import read_by_hand, secret_paper
from numpy.typing import NDArray
from PIL import Image

from sim.calibration.lay_flat import check_flat
from sim.calibration.readings_csv import Exposing, Wedge
from sim.calibration.scan_by_rows import readings_by_rows
from sim.calibration.wedge_strips import PaperReadings
from sim.refusals import Refused

from .scans_made import SCALE, Laid, scanned, strip_densities

Floats = NDArray[np.float64]
SETTINGS = {"00": (1.6, 0.30), "2": (1.5, 0.15), "5": (1.4, 0.09)}
STEPS, LINEAR, VALUES = 21, 1 / 0.45, (0.02, 0.93)  # how ``scanned`` writes its values


def _readings(folder: Path, lifted: Callable[[Floats, Floats], Floats]) -> PaperReadings:
    """Return the readings of a scan whose sheet of strips (not its grey scale) loses the share of light that is said."""
    rows = [Laid(tuple(SCALE), (475, 75), (750, 60))]
    rows += [Laid(strip_densities(STEPS, *how), (475, 225 + 150 * k), (750, 80)) for k, how in enumerate(SETTINGS.values())]
    value = scanned(rows, (650, 950), behind=2.5).astype(float) / 65535
    y, x = np.mgrid[:650, :950] / np.array([650.0, 950.0])[:, None, None]
    light = ((value - VALUES[0]) / VALUES[1]).clip(1e-4) ** LINEAR * np.where(y > 0.23, 1.0 - lifted(x, y), 1.0)
    value = VALUES[0] + VALUES[1] * light**0.45 + 0.002 * np.random.default_rng(1).standard_normal(value.shape)
    Image.fromarray((65535 * value.clip(0.0, 1.0)).astype(np.uint16)).save(folder / "scan.png")
    exposing = Exposing(None, dict.fromkeys(SETTINGS, 20.0))
    return readings_by_rows(folder / "scan.png", ("grey", *SETTINGS), tuple(SCALE), exposing, Wedge.even(STEPS, 0.05, 0.15))


def test_a_sheet_that_lies_flat_is_taken(tmp_path: Path) -> None:
    check_flat(_readings(tmp_path, lambda x, y: 0.0 * x))


def test_a_sheet_that_curls_away_at_its_light_end_is_refused_with_strip_and_steps(tmp_path: Path) -> None:
    read = _readings(tmp_path, lambda x, y: 0.3 * np.clip((x - 0.5) / 0.4, 0.0, None) ** 2)
    with pytest.raises(Refused, match=r"^strip (2|5), steps 18 to 21 must not be darker .* curls away from the glass there"):
        check_flat(read)


def test_a_sheet_that_curls_away_along_one_strip_is_refused_by_its_other_white(tmp_path: Path) -> None:
    read = _readings(tmp_path, lambda x, y: np.where(y > 0.7, 0.2, 0.0))
    with pytest.raises(Refused, match=r"strips (00|2) and 5 must read the same white, .* at strip 5"):
        check_flat(read)


def test_the_light_that_falls_off_by_a_seventh_is_taken_and_by_a_fifth_refused() -> None:
    """White darkens by 0.055 D as the mean of four steps, and by 0.065: four errors of reading lie between."""
    def read(rise: float) -> PaperReadings:
        from dataclasses import replace

        rng = np.random.Generator(np.random.PCG64(3))
        sound = read_by_hand(secret_paper(rng), rng)
        strip = sound.strips[2]
        light = strip.readings[-12:]  # of filter 5: twelve steps of white
        steps = (*strip.readings[:-12], *(replace(one, density=0.06 + rise * (k > 7)) for k, one in enumerate(light)))
        return replace(sound, strips=(replace(strip, readings=steps),), unexposed=())

    check_flat(read(0.055))
    with pytest.raises(Refused, match="must not be darker"):
        check_flat(read(0.065))


def test_sound_readings_with_a_hands_noise_are_never_taken_for_a_curl() -> None:
    for number in range(60):
        rng = np.random.Generator(np.random.PCG64(7000 + number))
        check_flat(read_by_hand(secret_paper(rng), rng))
