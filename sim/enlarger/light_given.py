"""What a lamp and a timer really give: a filament loses a little at every switching, and no timer repeats perfectly."""

from __future__ import annotations

import numpy as np

from sim.enlarger.coming_light import ComingLight
from sim.enlarger.equipment import Head
from sim.quantities import FloatArray


def coming_of(head: Head) -> ComingLight | None:
    """Return how a head's filament comes and goes at its present voltage, or None of a lamp without one."""
    return None if head.burning is None else head.burning.coming


def dead_time_s(head: Head) -> float:
    """Return the seconds of light that one switching loses, as the eye counts them, once the lamp has settled."""
    coming = coming_of(head)
    return (head.dead_time_s or 0.0) if coming is None else coming.dead_time_s


def expected_light_s(dialled_time_s: float, head: Head) -> float:
    """Return the seconds of full light expected from a dialled time, last glow included.

    A filament's rise and fall come from its energy balance; other lamps lose their dead time, a diode none.
    """
    coming = coming_of(head)
    return max(0.0, dialled_time_s - dead_time_s(head)) if coming is None else coming.given_s(dialled_time_s)


def dialled_time_s(light_s: float, head: Head) -> float:
    """Return the time to dial for seconds of full light: the inverse of ``expected_light_s``."""
    coming = coming_of(head)
    return light_s + dead_time_s(head) if coming is None else coming.switched_s(light_s)


def stretched_s(time_s: float, factor: float, head: Head) -> float:
    """Return the seconds to dial for so many times the light that a dialled time gives, what a switching loses made up for."""
    return dialled_time_s(expected_light_s(time_s, head) * factor, head)


def given_light_s(dialled_s: float, head: Head, generator: np.random.Generator) -> float:
    """Return the seconds of full light given this time, with the timer's spread (a normal deviate)."""
    spread = float(generator.normal(0.0, head.repeatability_s)) if head.repeatability_s else 0.0
    return max(0.0, expected_light_s(dialled_s, head) + spread)


def paper_extra_s(coming: ComingLight, weights: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return, by seconds of full light, what a sensitivity gets of them besides: ``light_s`` [moment], [moment, weight].

    ``weights`` [weight, wavelength]: the lamp's settled light as each sensitivity weighs it. Negative for blue, which
    comes late and goes early; constant past the last moment.
    """
    sums = weights.sum(axis=1)
    return coming.light_s, coming.extra_s @ weights.T / np.where(sums > 0.0, sums, 1.0)
