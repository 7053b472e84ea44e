"""Whether a sheet lay flat when it was read: where it curls away from a scanner's glass, light falls off towards an edge.

No paper gets darker with less light, and white is the same behind every filter: so a strip that darkens along its light steps,
or has another white than the strip beside it, did not lie flat, or was fogged. A curl over the dark end alone darkens black, as
a paper might, and is not seen here; a piece of unexposed paper laid along the strips shows it (``flatbed_strips.white_of``).
"""

from __future__ import annotations

import itertools

import numpy as np

from sim.calibration.wedge_strips import PaperReadings, Strip
from sim.refusals import Refused

TOGETHER = 4  # readings whose mean is compared: its error is half of one's (chosen)
DARKER_BY = 0.06  # density by which such a mean may not rise with less light: four errors of a difference of two (chosen)
OTHER_WHITE = 0.05  # density between the whites of two strips: as between readings of one unexposed sheet
LEVEL = 0.015  # density by which the lightest steps still fall where a strip has not reached white (chosen)
APART = 3  # steps between two means that tell whether a strip still falls


def check_flat(readings: PaperReadings) -> None:
    """Refuse strips of a sheet that did not lie flat. Raises Refused naming strips and steps."""
    whites = [(strip.setting, white) for strip in readings.strips if (white := _white(strip)) is not None]
    for strip in readings.strips:
        _check_darkening(strip)
    for (one, here), (other, there) in itertools.combinations(whites, 2):
        if abs(here - there) > OTHER_WHITE:
            raise Refused(
                f"the lightest steps of strips {one} and {other} must read the same white, got {here:.2f} and {there:.2f}: the "
                f"sheet curls away from the glass at strip {other if there > here else one}, or was fogged there"
            )


def _means(strip: Strip) -> tuple[list[int], np.ndarray]:
    """Return the first step and the mean of every few readings that stand one after the other, from the wedge's clear end."""
    read = [(one.step, one.density) for one in strip.readings if one.density is not None]
    if len(read) < len(strip.readings) or len(read) < TOGETHER + APART:
        return [], np.zeros(0)
    steps, density = [step for step, _ in read], np.array([value for _, value in read])
    means = np.convolve(density, np.ones(TOGETHER) / TOGETHER, "valid")
    return steps, means


def _check_darkening(strip: Strip) -> None:
    steps, means = _means(strip)
    if not steps:
        return
    before = np.minimum.accumulate(means)
    worst = int(np.argmax(means - before))
    if means[worst] - before[worst] <= DARKER_BY:
        return
    lightest = int(np.argmin(means[: worst + 1]))
    raise Refused(
        f"strip {strip.setting}, steps {steps[worst]} to {steps[worst + TOGETHER - 1]} must not be darker than steps "
        f"{steps[lightest]} to {steps[lightest + TOGETHER - 1]}, which had more light, got {means[worst]:.2f} after "
        f"{before[worst]:.2f}: the sheet curls away from the glass there, or was fogged"
    )


def _white(strip: Strip) -> float | None:
    """Return what a strip's lightest steps read where it has come down to white; None where it still falls."""
    steps, means = _means(strip)
    if not steps or means[-1 - APART] - means[-1] > LEVEL:
        return None
    return float(means[-1])
