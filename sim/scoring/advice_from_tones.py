"""Which decisions a print is off by: the fewest that, put right together, earn what can be earned.

Every cause is a number solved for with the light, cards and paper of the print itself: stops of light for all exposures (or
for soft and hard apart), grades of contrast, stops at a place, development brought to completion. One cause is tried
alone, then two, then three; what fewer explain nearly as well is taken (chosen: within 3 % of the tones' points). Contrast
is looked for on half grades, as filters come, and all else is solved again beside it: a fifth of a grade is no filter.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import combinations

import numpy as np

from sim.negative.negative import Negative
from sim.paper.development import Development
from sim.paper.response import Response
from sim.paper.stock import find_stock
from sim.printing.exposure import LightCache
from sim.printing.place_model import Change, PlaceModel
from sim.quantities import FloatArray
from sim.scoring.exercise import Exercise
from sim.scoring.flash_known import Flashed, flash_laid_on
from sim.scoring.judged import Judged, JudgedPrint
from sim.scoring.possible_causes import Cause, possible_causes, reached_stops
from sim.scoring.readings import on_sheet
from sim.scoring.tone_aims import ToneAims, tone_aims
from sim.scoring.under_a_card import stops_there

TONES_PER_PLACE = 8
THOROUGH_STARTS = 4  # of up to 45, tried where the likeliest one leaves points lying
NEAR_ENOUGH = 1e-4  # relative: sizes are told to hundredths, so that solving any further is wasted
GOOD_ENOUGH = 0.03  # of the tones' points: what a simpler explanation may fall short of the fullest one
LEAST_STEP = {"exposure": 0.03, "contrast": 0.25, "local": 0.05, "development": 0.01, "flash": 0.05}
FLASH_STARTS = (0.0, 0.7)  # paper white hides how much of a flash is missing
EFFORT = 0.02  # tolerances that one stop or grade must gain to be worth it: keeps idle causes at zero
MOST_CAUSES = 3


@dataclass(frozen=True)
class Explained:
    """The causes found with their sizes (+ more light, + harder, + share of completion), and the points now."""

    causes: tuple[Cause, ...]
    sizes: tuple[float, ...]
    losses: tuple[float, ...]
    points_now: float
    aims: ToneAims
    readings: FloatArray
    model: PlaceModel | None = field(default=None, compare=False)


@dataclass(frozen=True)
class Found:
    """Causes with their sizes, the points they would earn, and the squared misses that are left."""

    points: float
    left: float
    causes: tuple[Cause, ...]
    sizes: FloatArray

    def beats(self, other: Found | None, allowed: float) -> bool:
        """Tell whether this is to be preferred: more points, for more causes ``allowed`` more; then the smaller misses."""
        if other is None:
            return True
        needed = allowed * float(np.sign(len(self.causes) - len(other.causes)))
        return (self.points - needed, -self.left) > (other.points, -other.left)


class ToneProblem:
    """One print's tones with what may be changed about them.

    ``undoing``: a card that only reaches over a place may be what is wrong there, and is undone.
    """

    def __init__(self, exercise: Exercise, judged: Judged, one: JudgedPrint, undoing: bool = True):
        negative = judged.negatives[one.negative]
        self.exercise, self.one = exercise, one
        self._known: dict[tuple[tuple[Cause, float], ...], FloatArray] = {}
        self.aims = _on_the_sheet(tone_aims(exercise, judged, one), negative, one)
        if not self.aims.aims:
            return
        stock = find_stock(one.record.sheet.paper)
        lights = judged.lights or LightCache()
        self.flashed: Flashed | None = None
        record = one.record
        if "flash" in exercise.unlocked:
            record, self.flashed = flash_laid_on(negative, record, stock)
        self.model = PlaceModel(negative, record, stock, self.aims.places, lights, tones=TONES_PER_PLACE)
        self.read = np.array([one.readings.spot(place) for place in self.aims.places])
        self.thin_off = self.read - self.model.readings(Change(self._as_given()))
        self.completed = Response(stock, Development(stock.development.completion_time_s))
        progress = stock.development.progress(one.record.development)
        possible = possible_causes(exercise, negative, self.model, self.aims.places, progress, lights, self.flashed)
        self.possible = tuple(cause for cause in possible if undoing or not cause.only_undoes)

    def _as_given(self, more_flash: float = 0.0) -> FloatArray:
        """Return stops per exposure that leave all as it is, but for so many shares more of a flash."""
        stops = np.zeros(len(self.model.rays))
        if self.flashed is not None:
            stops[list(self.flashed.rays)] = self.flashed.stops(more_flash)
        return stops

    def readings(self, causes: tuple[Cause, ...], sizes: FloatArray) -> FloatArray:
        """Return the readings if the causes were put right by such sizes; what was asked before is remembered."""
        key = tuple((c, float(size)) for c, size in zip(causes, sizes, strict=True) if size)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._worked_out(causes, sizes)
        return found

    def _worked_out(self, causes: tuple[Cause, ...], sizes: FloatArray) -> FloatArray:
        flash = sum(float(size) for cause, size in zip(causes, sizes, strict=True) if cause.kind == "flash")
        stops = self._as_given(flash)
        grades, local, response = 0.0, None, None
        for cause, size in zip(causes, sizes, strict=True):
            if cause.kind == "exposure":
                stops[list(cause.rays)] += size
            elif cause.kind == "contrast":
                grades = float(size)
            elif cause.kind == "development":
                response = self.completed if size else None
            elif cause.kind == "local":
                local = self._local(local, cause, float(size))
        return self.model.readings(Change(stops, grades, local, response)) + self.thin_off

    def _local(self, local: FloatArray | None, cause: Cause, size: float) -> FloatArray:
        """Return stops per exposure and pixel with a place's share added, and what its card does at places it reaches."""
        out = np.zeros((len(self.model.rays), len(self.model.points.rows))) if local is None else local
        assert cause.place is not None
        out[list(cause.rays), self.model.points.group(cause.place)] += size
        for index in cause.reached if size else ():
            out[list(cause.rays), self.model.points.group(index)] += reached_stops(self.model, cause, index, size)
        for other, share in enumerate(cause.shares):
            if share and other != cause.place:
                out[list(cause.rays), self.model.points.group(other)] += stops_there(share, size)
        return out

    def points(self, causes: tuple[Cause, ...], sizes: FloatArray) -> float:
        """Return the tones' points if the causes were put right."""
        return self.aims.points(self.readings(causes, sizes))

    def fit(self, causes: tuple[Cause, ...], starts: int = 1) -> Found:
        """Return the sizes that bring the tones nearest to what is asked, tried from so many starting points."""
        return self._found(causes, self._solved(causes, {}, starts=starts))

    def _found(self, causes: tuple[Cause, ...], sizes: FloatArray) -> Found:
        readings = self.readings(causes, sizes)
        return Found(self.aims.points(readings), float(np.square(self.aims.misses(readings)).sum()), causes, sizes)

    def _solved(
        self, causes: tuple[Cause, ...], fixed: dict[int, float], near: FloatArray | None = None, starts: int = 1
    ) -> FloatArray:
        """Return all sizes, those not fixed solved for: from ``near``, or from the likeliest ``starts``.

        Several amounts of light are looked at before one is started from, for paper white hides how far off it is.
        """
        from scipy.optimize import least_squares

        held = {**{k: c.low for k, c in enumerate(causes) if c.low == c.high}, **fixed}
        free = [k for k in range(len(causes)) if k not in held]

        def whole(x: FloatArray) -> FloatArray:
            out = np.zeros(len(causes))
            out[list(held)] = list(held.values())
            out[free] = x
            return out

        if not free:
            return whole(np.zeros(0))

        def residuals(x: FloatArray) -> FloatArray:
            return np.concatenate([self.aims.misses(self.readings(causes, whole(x))), EFFORT * x])

        low, high = (np.array([getattr(causes[k], end) for k in free]) for end in ("low", "high"))
        if near is not None:
            tried = [np.clip(near[free], low + 1e-6, high - 1e-6)]
        else:
            tried = self._likeliest(self._starts(causes, free, low, high), residuals, starts)
        found = [
            least_squares(
                residuals, x0, bounds=(low - 1e-9, high + 1e-9), max_nfev=25, diff_step=np.full(len(free), 1e-3),
                ftol=NEAR_ENOUGH, xtol=NEAR_ENOUGH,
            )
            for x0 in tried
        ]
        return whole(min(found, key=lambda f: float(f.cost)).x)

    @staticmethod
    def _likeliest(
        starts: list[tuple[float, FloatArray]], residuals: Callable[[FloatArray], FloatArray], count: int
    ) -> list[FloatArray]:
        """Return the starts with the smallest misses; of several the likeliest for every contrast come first."""
        ordered = sorted(starts, key=lambda start: float(np.square(residuals(start[1])).sum()))
        firsts = {grades: k for k, (grades, _) in reversed(list(enumerate(ordered)))}.values()
        return [ordered[k][1] for k in [*sorted(firsts), *(k for k in range(len(ordered)) if k not in firsts)]][:count]

    @staticmethod
    def _starts(
        causes: tuple[Cause, ...], free: list[int], low: FloatArray, high: FloatArray
    ) -> list[tuple[float, FloatArray]]:
        """Return starting sizes with their contrast: none, and several amounts more and less of whatever is light."""
        light = [i for i, k in enumerate(free) if causes[k].kind == "exposure"] or [
            i for i, k in enumerate(free) if causes[k].kind == "local"
        ]
        scale = [i for i, k in enumerate(free) if causes[k].kind == "contrast"]
        flash = [i for i, k in enumerate(free) if causes[k].kind == "flash"]
        starts = []
        for amount in (0.0,) if not light else (0.0, -0.7, 0.7, -1.5, 1.5, -2.5, 2.5, -4.0, 4.0):
            for grades in (0.0,) if not scale else (0.0, -2.0, 2.0, -4.0, 4.0):
                for share in FLASH_STARTS if flash else (0.0,):
                    x = np.zeros(len(free))
                    x[light], x[scale], x[flash] = amount, grades, share
                    starts.append((grades, np.clip(x, low + 1e-6, high - 1e-6)))
        return starts

    def _on_filter_steps(self, found: Found) -> Found:
        """Return what was found with contrast on the nearer half grade, as filters come; all else solved again."""
        index = next(k for k, cause in enumerate(found.causes) if cause.kind == "contrast")
        cause, tried = found.causes[index], []
        for half in {np.floor(2.0 * found.sizes[index]) / 2.0, np.ceil(2.0 * found.sizes[index]) / 2.0}:
            if cause.low - 1e-6 <= half <= cause.high + 1e-6:
                tried.append(self._found(found.causes, self._solved(found.causes, {index: float(half)}, found.sizes)))
        return min(tried, key=lambda one: one.left, default=found)

    def explained(self) -> Explained:
        """Return the fewest causes that explain what the tones lose, largest loss first."""
        now = self.points((), np.zeros(0))
        nothing = Explained((), (), (), now, self.aims, self.read, self.model)
        full = self.aims.full_points
        if now >= full - 1e-6 or not self.possible:
            return nothing
        best = self._fewest(1)
        if best.points < (1.0 - GOOD_ENOUGH) * full:  # a start may have led astray: once more from several
            again = self._fewest(THOROUGH_STARTS)
            best = again if again.beats(best, GOOD_ENOUGH * full) else best
        return self.with_losses(best, now) if best.points > now + 1e-3 * full else nothing

    def _fewest(self, starts: int) -> Found:
        """Return the fewest causes that come within GOOD_ENOUGH of the best, each set tried from so many starts."""
        full = self.aims.full_points
        best: Found | None = None
        for count in range(1, min(MOST_CAUSES, len(self.possible)) + 1):
            for causes in self._together(count):
                found = self.fit(causes, starts)
                if any(cause.kind == "contrast" for cause in causes) and found.beats(best, GOOD_ENOUGH * full):
                    found = self._on_filter_steps(found)  # only what could win is worth the second solving
                if found.beats(best, GOOD_ENOUGH * full):
                    best = found
                if count > 1 and best is not None and best.points >= full - 1e-6:
                    break  # two causes that explain everything need no rival: those without a card were tried first
            if best is not None and best.points >= (1.0 - GOOD_ENOUGH) * full:
                break
        assert best is not None
        return best

    def _together(self, count: int) -> list[tuple[Cause, ...]]:
        """Return the sets of causes of a size; those without local work first (a card is the dearest remedy).

        The tray's clock is no guess: where the sheet was pulled, or left in till fog came, that is a cause in every set, and
        light is solved for beside it.
        """
        certain = tuple(cause for cause in self.possible if cause.kind == "development")
        others = [cause for cause in self.possible if cause.kind != "development"]
        if count < len(certain):
            return []
        sets = [(*certain, *more) for more in combinations(others, count - len(certain))]
        return sorted(sets, key=lambda causes: sum(cause.kind == "local" for cause in causes))

    def with_losses(self, found: Found, now: float) -> Explained:
        """Share out what is lost: what each cause costs alone and what it costs last of all, averaged.

        A size below what can be set on the enlarger is no cause and is left out.
        """
        causes, sizes = found.causes, found.sizes
        kept = [k for k, cause in enumerate(causes) if abs(sizes[k]) >= LEAST_STEP[cause.kind]]
        causes, sizes = tuple(causes[k] for k in kept), sizes[kept]
        then, losses = self.points(causes, sizes), []
        for k in range(len(causes)):
            alone, without = np.zeros(len(causes)), sizes.copy()
            alone[k], without[k] = sizes[k], 0.0
            losses.append(0.5 * (self.points(causes, alone) - now + then - self.points(causes, without)))
        order = sorted(range(len(causes)), key=lambda k: -losses[k])
        return Explained(
            tuple(causes[k] for k in order), tuple(float(sizes[k]) for k in order),
            tuple(max(losses[k], 0.0) for k in order), now, self.aims, self.read, self.model,
        )  # fmt: skip


def _on_the_sheet(aims: ToneAims, negative: Negative, one: JudgedPrint) -> ToneAims:
    """Return the aims whose places lie on the sheet; the others cannot be helped by light."""
    on = [k for k, place in enumerate(aims.places) if on_sheet(negative, one.record, place)]
    kept = tuple(
        replace(aim, at=tuple(on.index(k) for k in aim.at)) for aim in aims.aims if all(k in on for k in aim.at)
    )
    return ToneAims(tuple(aims.places[k] for k in on), kept)
