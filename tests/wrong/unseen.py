"""Wrong constants that nobody could see: by how much each moves the prints that show it most, in density and in L*.

No published value and no law tells these from the right ones, and no eye does: a step of L* (CIE 15) is about the least that
is seen side by side. ``test_unseen`` plants each and measures again; one that moves a print further is no longer here
by right. What a data file says of its own uncertainty stands in the file and is not repeated.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from sim.viewing.lightness import lightness

from .looks import LOOKS
from .planting import Wrong, plant

TESTS = Path(__file__).parents[1]
EYE = 1.0  # of L*


@dataclass(frozen=True)
class Unseen:
    """A wrong constant, the look that shows it most, the most it moves there in density and in L*, and why so little."""

    wrong: Wrong
    look: str
    most_density: float
    most_lightness: float
    why: str


_MEDIUM, _FILTERS = "negative/films/medium.toml", "enlarger/filters.toml"

UNSEEN: dict[str, Unseen] = {
    "medium film's speed x 1.15": Unseen(
        Wrong(_MEDIUM, "iso_speed", 1.15), "films", 0.001, 0.05, "the meter is set to the same speed, and both cancel"),
    "medium film's gain of speed x 0.87": Unseen(
        Wrong(_MEDIUM, "speed_gain", 0.87), "films", 0.020, 0.60,
        "0.02 log at the longest and shortest development; a strip's time takes all but the toe of it"),
    "filter 1 1/2's yellow x 0.87": Unseen(
        Wrong(_FILTERS, r"1\.5\.yellow", 0.87), "papers", 0.040, 0.85, "ISO R 118.7 for 120, and a maker's R is within 10"),
    "filter 5's neutral x 0.87": Unseen(
        Wrong(_FILTERS, r"5\.neutral", 0.87), "papers", 0.006, 0.25, "0.0005 density of grey: 0.002 stops"),
    "matt paper's curve a x 0.87": Unseen(
        Wrong("paper/stocks/matt-fb-vc.toml", r"emulsion\.curve_a", 0.87), "matt_by_strip", 0.025, 0.75,
        "the spread of green speeds makes the curve, not the single grain's; behind filter 5 it shows most, 0.041 and 1.4"
        " of L*, where the stock is sure of its ends to 0.055"),
    "grain clumped in the picture, not in the tile": Unseen(
        Wrong("negative/grain.py", "NEARLY_WHITE", 0.67), "grain", 0.0001, 0.001,
        "the same grain, but for clumps cut at a cell's edge"),
    "frequencies up to 0.87 of a pixel's diagonal": Unseen(
        Wrong("enlarger/sharpness.py", "CORNER", 0.87), "fine_lines", 0.002, 0.10,
        "only slanting lines of 1.6 pixels are beyond it"),
    "the least exposure of the tables x 1.5": Unseen(
        Wrong("printing/tone_tables.py", "TINY", 1.5), "papers", 2e-6, 0.001, "twelve powers of ten below any light"),
    "half the range in which a curve is sampled x 0.67": Unseen(
        Wrong("paper/emulsion.py", "CURVE_REACH", 0.67), "papers", 5e-6, 0.001,
        "a curve is black or white four powers of ten away"),
}  # fmt: skip


def moved(wrong: Wrong, look: str, into: Path) -> tuple[float, float]:
    """Return by how much a wrong constant moves the prints of a look at their worst point: density and L*."""
    planted = plant(wrong.changes(), into)
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join([str(planted), str(TESTS)]),
        "PYTHONDONTWRITEBYTECODE": "1",
    }
    done = subprocess.run(
        [sys.executable, "-m", "wrong.looks", look],
        env=environment, cwd=into, capture_output=True, text=True, timeout=600.0, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr[-2000:]
    told = json.loads(done.stdout.splitlines()[-1])
    assert told["sim"].startswith(str(planted)), "the copy was not imported"
    right, other = LOOKS[look](), np.array(told["densities"])
    return float(np.abs(other - right).max()), float(np.abs(lightness(other) - lightness(right)).max())
