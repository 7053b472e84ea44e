"""The wedge's steps as they were said: every ISO R hangs on them, and other steps look like a harder or softer paper.

Steps wrongly said draw all curves out in one proportion. No strip tells that from another paper; but a paper begun from is
seldom so far away behind every filter alike, and where another usual wedge would bring all settings back, that is said.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.calibration.own_curves import curve_in_light
from sim.calibration.own_paper import OwnPaper, light_behind

USUAL_STEPS = (0.10, 0.15, 0.20, 0.30)  # density between neighbours of wedges there are
FAR_OFF = 0.20  # ln of ISO R, mean of all settings read: papers of one kind lie nearer to each other (assumption)
ALIKE = 0.35  # ln: how far either way settings may stand from each other in it (chosen: hard filters move less)
BROUGHT_BACK = 0.6  # of that distance, left with the other wedge at most (chosen)


@dataclass(frozen=True)
class BelievedWedge:
    """The usual difference between steps as said (density), and that of a wedge which would go better; None: none would."""

    apart: float
    rather: float | None


def believed_wedge(own: OwnPaper) -> BelievedWedge | None:
    """Return what must be believed of the wedge; None of readings by eye, which tell no contrast of their own."""
    steps = sorted({one.step: one.wedge_density for strip in own.readings.strips for one in strip.readings}.items())
    if len(steps) < 6 or any(one.density is None for strip in own.readings.strips for one in strip.readings):
        return None
    apart = float(np.median(np.diff([density for _, density in steps]) / np.diff([step for step, _ in steps])))
    return BelievedWedge(apart, _rather(own, apart))


def _rather(own: OwnPaper, apart: float) -> float | None:
    """Return the steps of a usual wedge that brings ISO R of all settings near the paper begun from."""
    off = []
    for k, setting in enumerate(own.readings.settings):
        begun, found = own.generic.stock, own.stock
        whole = [10.0**more for more in own.freedom.light_of(own.free, k)]
        blue, green = light_behind(found, own.head, setting)
        here = curve_in_light(found, blue * whole[0], green * whole[1]).iso_range()
        off.append(float(np.log(here / curve_in_light(begun, *light_behind(begun, own.head, setting)).iso_range())))
    middle = float(np.mean(off))
    if abs(middle) < FAR_OFF or max(off) - min(off) > 2.0 * ALIKE:
        return None
    left = {one: abs(middle + np.log(one / apart)) for one in USUAL_STEPS if abs(one / apart - 1.0) > 0.2}
    best = min(left, key=lambda one: left[one])
    return best if left[best] < BROUGHT_BACK * abs(middle) else None
