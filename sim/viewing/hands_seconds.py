"""The aperture at which a print's exposures last as long as hands want: time for a card, and none to grow tired in."""

from __future__ import annotations

import math
from collections.abc import Sequence

from sim.enlarger.equipment import Lens
from sim.quantities import ENGRAVED_F_NUMBERS, exact_f_number, factor_to_stops

HANDS_S = (8.0, 30.0)  # common practice: below, a card cannot be brought in and out to a tenth; above, arms tire and film warms


def mark_for_hands(lens: Lens, f_number: float, times_s: Sequence[float], cards_first: bool = False) -> float:
    """Return the mark on a lens's ring that brings exposures nearest to HANDS_S; the one they stand at where they lie there.

    ``times_s`` are the seconds at ``f_number``. With ``cards_first`` the shortest gets its time for a card before the longest
    is kept short, as in a print of two exposures of which either may need a card. Of marks that do as well the one fewest
    stops away is taken: sharpness hangs on the aperture too.
    """
    marks = [mark for mark, _ in ENGRAVED_F_NUMBERS if lens.widest_f_number <= mark <= lens.smallest_f_number]

    def off(mark: float) -> tuple[float, ...]:
        stops = 2.0 * factor_to_stops(exact_f_number(mark) / exact_f_number(f_number))
        short_s, long_s = (end(times_s) * 2.0**stops for end in (min, max))
        short = round(max(math.log2(HANDS_S[0] / short_s), 0.0), 6)
        long = round(max(math.log2(long_s / HANDS_S[1]), 0.0), 6)
        return (short, long, abs(stops)) if cards_first else (round(short + long, 6), abs(stops))

    return min((f_number, *marks), key=off)


def too_short_for_hands(time_s: float) -> bool:
    """Tell whether an exposure is shorter than hands want, as its seconds are shown: to a tenth."""
    return round(time_s, 1) < HANDS_S[0]


def too_long_for_hands(time_s: float) -> bool:
    """Tell whether an exposure is longer than hands want, as its seconds are shown: to a tenth."""
    return round(time_s, 1) > HANDS_S[1]
