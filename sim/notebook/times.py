"""Seconds by stops: a table of exposures, and what dodging and burning are in seconds of one base time.

Stops are of light. A lamp and timer that lose something at every switching are made up for, so that a burn of half a stop
is half a stop; a card dodges while the lamp burns and loses nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from sim.control_ranges import checked
from sim.enlarger.equipment import Head
from sim.enlarger.light_given import dialled_time_s, expected_light_s, stretched_s
from sim.refusals import Refused

STEPS = tuple(Fraction(1, n) for n in (12, 6, 4, 3, 2, 1))
LOCAL_STOPS = tuple(Fraction(n, 12) for n in (1, 2, 3, 4, 6, 8, 9, 10, 12, 16, 18, 24))


@dataclass(frozen=True)
class LocalTime:
    """Dodging and burning by so many stops of a base time: seconds held back (None: more than all), seconds burnt in."""

    stops: Fraction
    dodge_s: float | None
    burn_s: float


def step_of(text: str) -> Fraction:
    """Return a step such as 1/12 or 0.5. Raises Refused for one that is none of the usual ones."""
    try:
        step = Fraction(text).limit_denominator(1000)
    except (ValueError, ZeroDivisionError):
        step = Fraction(0)
    if step not in STEPS:
        raise Refused(f"--step must be one of {', '.join(map(str, STEPS))} stop, got {text!r}")
    return step


def exposure_times_s(base_s: float, step: Fraction, steps: int, head: Head | None = None) -> tuple[float, ...]:
    """Return the seconds to dial from ``base_s`` upwards, a step of light more each."""
    checked("base", base_s, "time_s")
    if not 2 <= steps <= 60:
        raise Refused(f"--steps must be between 2 and 60, got {steps}")
    factors = [2.0 ** float(step * k) for k in range(steps)]
    times = tuple(base_s * more if head is None else stretched_s(base_s, more, head) for more in factors)
    checked("longest time", times[-1], "time_s")
    return times


def local_times(base_s: float, head: Head | None = None) -> tuple[LocalTime, ...]:
    """Return dodge and burn seconds of a base time."""
    checked("base", base_s, "time_s")
    light_s = base_s if head is None else expected_light_s(base_s, head)
    out = []
    for stops in LOCAL_STOPS:
        dodge_s = light_s * (1.0 - 2.0 ** -float(stops))
        more_s = light_s * (2.0 ** float(stops) - 1.0)
        burn_s = more_s if head is None else dialled_time_s(more_s, head)
        out.append(LocalTime(stops, dodge_s if dodge_s < base_s else None, burn_s))
    return tuple(out)


def stops_text(stops: Fraction) -> str:
    """Return stops as printers write them: 1/3, 1, 1 1/2."""
    whole, rest = divmod(stops, 1)
    return " ".join(part for part in (str(whole) if whole else "", str(rest) if rest else "") if part) or "0"
