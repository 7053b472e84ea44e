"""What a miss costs: all points within the tolerance, none at four tolerances, evenly between. Why a highlight earned two.

Tones, sharpness, size, times, a series: every criterion's share comes from this one rule; paper used has its own. Tolerances
follow the eye: a hundredth in the highlights is seen, a tenth in deep black is not. The usual one is one and a half steps
of L* (differences of L* near 1 are just seen side by side).
"""

from __future__ import annotations

import numpy as np

from sim.viewing.lightness import lightness

TOLERANCE_LIGHTNESS = 1.5
ZERO_AT_TOLERANCES = 4.0  # this many tolerances off earns nothing
TIME_TOLERANCE = 0.05  # of the nearer end of a time window
# Shares of complete development: before the first the blacks are missing, beyond the other fog creeps in (paper/development.py)
LEAST_DEVELOPED, MOST_DEVELOPED = 0.97, 2.0
DEVELOPED_TOLERANCE = 0.05  # of complete development: six seconds of two minutes, a hand's care with a clock (chosen)
ALIKE_MOST = 0.08  # density: two blacks further apart are not alike, however little the eye sees there
RIM_SEEN, RIM_TOLERANCE = 0.06, 0.02  # density of a sharp step in middle grey: 1.5 L* from the surroundings, and half an L*
ECONOMY_GONE_AT = 3.0  # times the sheets that the trade's rules need


def share_for_miss(miss: float, tolerance: float) -> float:
    """Return the share of points for a miss: all within the tolerance, none at four, falling evenly between."""
    tolerances = abs(miss) / tolerance
    return float(np.clip((ZERO_AT_TOLERANCES - tolerances) / (ZERO_AT_TOLERANCES - 1.0), 0.0, 1.0))


def time_share(time_s: float, least_s: float, most_s: float) -> float:
    """Return the share of points for a time: all inside the window, none a fifth beyond it."""
    nearest = min(max(time_s, least_s), most_s)
    return share_for_miss(time_s - nearest, TIME_TOLERANCE * nearest)


def economy_share(sheets_used: float, expected_sheets: float) -> float:
    """Return the share of points for paper: all up to what the trade's rules need, none at three times that."""
    gone = (sheets_used / expected_sheets - 1.0) / (ECONOMY_GONE_AT - 1.0)
    return float(np.clip(1.0 - gone, 0.0, 1.0))


def rim_share(seen: float) -> float:
    """Return the share of points left where a card's rim is seen as much as a sharp step of that density in middle grey."""
    return share_for_miss(max(0.0, seen - RIM_SEEN), RIM_TOLERANCE)


def alike_tolerance(density: float, most: float) -> float:
    """Return how far two prints may lie apart at a tone and still be alike: as the eye has it there, at most ``most``."""
    return min(most, eye_tolerance(density))


def eye_tolerance(density: float, steps: float = TOLERANCE_LIGHTNESS) -> float:
    """Return the density change that moves L* by a number of steps at a density (larger in the blacks)."""
    slope = abs(float(lightness(density + 0.005) - lightness(density - 0.005))) / 0.01
    return steps / max(slope, 1e-3)
