"""What a lamp and a timer really give: a filament loses a little at every switching, and no timer repeats perfectly."""

from __future__ import annotations

import numpy as np

from sim.enlarger.equipment import Head


def expected_light_s(dialled_time_s: float, head: Head) -> float:
    """Return the seconds of full light expected from a dialled time: the dead time of one switching is lost.

    Dead time: from a lumped model of a filament (rise slower than decay); an LED has none.
    """
    return max(0.0, dialled_time_s - head.dead_time_s)


def given_light_s(dialled_time_s: float, head: Head, generator: np.random.Generator) -> float:
    """Return the seconds of full light given this time, with the timer's spread (a normal deviate)."""
    spread = float(generator.normal(0.0, head.repeatability_s)) if head.repeatability_s else 0.0
    return max(0.0, expected_light_s(dialled_time_s, head) + spread)
