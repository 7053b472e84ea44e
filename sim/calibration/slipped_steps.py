"""Readings that slipped by one step from some place on: a step passed over, or read twice.

Every place of every strip is asked both ways what the fit would be worth with the slip undone, first with the curve moved
along its tangents, then, for the likeliest, by a fit. A slip in the first or last tones of a strip reads like a little more
light behind it, and cannot be told: there it does little harm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from sim.calibration.bent_curves import BENDS, IntArray, unlikeliness
from sim.calibration.own_paper import OwnPaper, Tangent, fit_own_paper, tangent_at
from sim.calibration.strip_alone import SlipAlone, slip_of_strip
from sim.calibration.wedge_strips import STEP_ERROR, PaperReadings, Strip
from sim.quantities import FloatArray
from sim.refusals import Refused

TRIED_BENDS = BENDS[::2]
WEIGHED = 8  # slips that are held against a bend
LIKELIEST = 3  # slips that are tried by a fit
# By how much the sum of squares must fall for a slip to be taken as one, and to be asked about. Of 40 sound papers the best
# slip lowered it by 11.5 at most, two by more than 8; of 40 with a slip 36 by more than 14, 38 by more than 8.
SLIPPED, MAY_HAVE_SLIPPED = 14.0, 8.0
NOISE = 1.6  # mean square misfit in errors: with the slip undone nothing but the errors of reading is left
# By how much likelier (-2 ln) a slip must be than a smooth bend, where what it leaves is a paper like others; where its numbers
# stay odd, its form is another's and only a jump counts. Chosen: bent papers of our own making had rms numbers of 1.6 and more
# and slips likelier by 7 at most; papers of the program's form 1.1 at most, their slips -0.2 to 13.
LOCAL, LOCAL_ASKED, LOCAL_OF_BENT = -3.0, 8.0, 10.0
LIKE_OTHERS = 1.35  # prior deviations, rms of a paper's numbers
# By how much one strip's own sum of squares must fall: to bear out a slip that the fit tells, to be asked about, to be refused
# by itself. Of 66 sound strips (six forms) the best slip lowered it by 8.0 at most, four by more than 5.
# One sound strip of a paper of the program's own form lowered it by 17.5 and was refused: since then 25 (chosen).
BORNE_OUT, ASKED_ALONE, TOLD_ALONE = 6.0, 9.0, 25.0
SAME_STEP = 2  # a wedge's wrong step moves a strip's own slip by so many, the more the harder the filter (chosen)
NEAR = 1  # steps by which fit and strip may differ in the place of a slip
FLAT = 0.25  # density a log unit of light below which a reading is no place to slip at


@dataclass(frozen=True)
class Slip:
    """A slip that would explain readings better: its strip, the step it begins at, whether a step was passed over, and by how
    much the sum of squares falls with the slip undone.

    ``misfit``: what is then left (mean square in errors). ``local``: by how much likelier (-2 ln) the readings are with it
    undone than as they stand, where curves may bend smoothly away from the form both times. ``oddness``: how far the paper is
    then from the one begun from (rms of its numbers, prior deviations). ``borne_out``: the strip's own curve tells the
    same slip.
    """

    setting: str
    step: int
    passed_over: bool
    better_by: float
    misfit: float
    local: float
    oddness: float
    borne_out: bool = False

    @property
    def is_told(self) -> bool:
        """Tell whether it is to be refused: a jump at one place, and nothing left beside it that it does not explain."""
        return (self.better_by > SLIPPED and self._explains_all) or self.local > LOCAL_OF_BENT

    @property
    def is_likely(self) -> bool:
        """Tell whether the printer is to be asked."""
        return (self.better_by > MAY_HAVE_SLIPPED and self._explains_all) or self.local > LOCAL_ASKED

    @property
    def _explains_all(self) -> bool:
        like_a_slip = self.borne_out or (self.oddness < LIKE_OTHERS and self.local > LOCAL)
        return self.misfit < NOISE and like_a_slip

    def refusal(self) -> Refused:
        """Return it in words, to be refused."""
        return slip_refused(self.setting, self.step, self.passed_over)

    def or_another_wedge(self, apart: float, times: float) -> Refused:
        """Return it in words where steps of the wedge wrongly said (density ``apart``) would look like it.

        ``times``: contrast of all strips over the begun paper's, below 1 where they are harder.
        """
        return Refused(
            f"strip {self.setting}, step {self.step}: from there on readings must belong to their steps, got some that do not, "
            f"and every strip {max(times, 1.0 / times):.1f} times as {'soft' if times > 1.0 else 'hard'} as the paper begun "
            f"from. Either a step was {'passed over' if self.passed_over else 'read twice'} there, or the wedge's steps are "
            f"not {apart:.2f} apart; look at the wedge first, then count the strip's steps again"
        )


def slip_refused(setting: str, step: int, passed_over: bool) -> Refused:
    """Return in words that a strip slipped by one step."""
    return Refused(
        f"strip {setting}, step {step}: from there on readings must belong to their steps, got one that looks "
        f"{'passed over' if passed_over else 'read twice'}; read the strip again"
    )


def likeliest_slip(own: OwnPaper) -> Slip | None:
    """Return the slip that explains the readings best, tried by a fit; None where none would be better at all."""
    tangent, found = tangent_at(own), []
    as_they_stand: dict[bytes, float] = {}
    for k, strip in enumerate(own.readings.strips):
        first = int(np.flatnonzero(tangent.of_strip == k)[0]) if strip.readings else 0
        for place, way in _places(strip, tangent.slope[first : first + len(strip.readings)]):
            undone = _undone(strip, first, place, way, len(tangent.read))
            found.append((tangent.cost - _cost(tangent, undone), k, place, way, undone))
    tried = sorted(found, key=lambda one: -one[0])[:WEIGHED]
    weighed = [(_likelier(tangent, undone, as_they_stand), gain, k, at, way) for gain, k, at, way, undone in tried]
    slips = []
    likeliest = max(weighed, key=lambda one: one[0], default=None)
    for local, gain, k, place, way in dict.fromkeys((*weighed[:LIKELIEST], *([likeliest] if likeliest else []))):
        if gain > 0.0:
            again = fit_own_paper(own.generic, own.head, _told(own.readings, k, place, way))
            strip = own.readings.strips[k]
            odd = float(np.sqrt(np.mean(np.square(again.free[: len(again.freedom.shared)]))))
            better_by, step = own.cost - again.cost, strip.readings[place].step
            borne_out = _borne_out(own.readings, strip.setting, step, way > 0)
            slips.append(Slip(strip.setting, step, way > 0, better_by, again.misfit, local, odd, borne_out))
    return max(slips, key=lambda one: (one.is_told, one.better_by), default=None)


def slip_alone(readings: PaperReadings) -> SlipAlone | None:
    """Return the slip that one strip's own curve tells best; None where none is asked about.

    Where another strip stumbles at the same step the wedge's own step is wrong, and no strip slipped.
    """
    found = [slip_of_strip(strip, readings.unexposed) for strip in readings.strips]
    stumbled = [one for one in found if one is not None and one.better_by > ASKED_ALONE]
    best = max((one for one in stumbled if one.left < NOISE), key=lambda one: one.better_by, default=None)
    if best is None or any(one is not best and abs(one.step - best.step) <= SAME_STEP for one in stumbled):
        return None
    return best


def _borne_out(readings: PaperReadings, setting: str, step: int, passed_over: bool) -> bool:
    """Tell whether a strip's own curve tells the same slip."""
    strip = next(one for one in readings.strips if one.setting == setting)
    here = slip_of_strip(strip, readings.unexposed)
    if here is None or here.passed_over != passed_over or here.left > NOISE:
        return False
    return abs(here.step - step) <= NEAR and here.better_by > BORNE_OUT


def _likelier(tangent: Tangent, undone: tuple[IntArray, IntArray], as_they_stand: dict[bytes, float]) -> float:
    """Return by how much likelier readings are with a slip undone, bends allowed both times and the same readings kept."""
    kept = undone[0]
    key = kept.tobytes()
    if key not in as_they_stand:
        as_they_stand[key] = float(unlikeliness(tangent, (kept, kept), TRIED_BENDS).min())
    return as_they_stand[key] - float(unlikeliness(tangent, undone, TRIED_BENDS).min())


def _places(strip: Strip, slope: FloatArray) -> Iterator[tuple[int, int]]:
    """Yield where a strip may have slipped, and which way: between its first and its last tone, steps one after the other."""
    if len(strip.readings) < 6 or any(one.density is None for one in strip.readings):
        return
    if any(b.step - a.step != 1 for a, b in zip(strip.readings, strip.readings[1:], strict=False)):
        return
    steep = np.flatnonzero(slope > FLAT)
    for place in steep[(steep > 0) & (steep < len(slope) - 1)]:
        yield int(place), 1
        yield int(place), -1


def _undone(strip: Strip, first: int, place: int, way: int, count: int) -> tuple[IntArray, IntArray]:
    """Return which readings are kept and which step's place in the model each belongs to, with a slip undone."""
    readings, at = np.arange(count, dtype=np.intp), np.arange(count, dtype=np.intp)
    last = first + len(strip.readings)
    at[first + place : last] += way
    kept = np.ones(count, dtype=bool)
    kept[first + place : last] = (at[first + place : last] >= first) & (at[first + place : last] < last)
    return readings[kept], at[kept]


def _cost(tangent: Tangent, undone: tuple[IntArray, IntArray]) -> float:
    """Return the least sum of squares that the tangent reaches with readings at other steps."""
    reading, at = undone
    off = tangent.density[at] - tangent.read[reading]
    slope, step = tangent.slope[at], tangent.step[at]
    shared = np.where(step[:, None] == step[None, :], np.outer(slope, slope) * STEP_ERROR**2, 0.0)
    lower = np.linalg.cholesky(np.diag(tangent.own_variance[at]) + shared)
    both = np.linalg.solve(lower, np.column_stack([off, tangent.jacobian[at]]))
    now = np.concatenate([both[:, 0], tangent.rest])
    leaning = np.concatenate([both[:, 1:], tangent.rest_jacobian])
    move = -np.linalg.solve(leaning.T @ leaning, leaning.T @ now)
    return float(np.sum((now + leaning @ move) ** 2))


def _told(readings: PaperReadings, k: int, place: int, way: int) -> PaperReadings:
    """Return the readings with a slip undone."""
    strip = readings.strips[k]
    moved = []
    for n, one in enumerate(strip.readings):
        target = n + way if n >= place else n
        if 0 <= target < len(strip.readings):
            there = strip.readings[target]
            moved.append(replace(one, step=there.step, wedge_density=there.wedge_density))
    strips = (*readings.strips[:k], replace(strip, readings=tuple(moved)), *readings.strips[k + 1 :])
    return replace(readings, strips=strips)
