"""Reach: the solver that says what can be printed. Which filter, which times, which cards; and what stops it, by how much.

Least squares in L* over any number of places, with the same light and the same response that make_print uses. Ways: one
exposure, a soft and hard pair, and either with cards (a factor of -1 to +2 stops per place and exposure).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import product
from typing import Literal

import numpy as np

from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.enlarger.light_given import dialled_time_s
from sim.enlarger.settings import head_of
from sim.negative.negative import Negative
from sim.paper.stock import Stock
from sim.printing.exposure import LightCache
from sim.printing.place_model import PlaceModel, Rates
from sim.printing.record import Exposure, PrintingRecord
from sim.quantities import FloatArray
from sim.refusals import Refused
from sim.scoring.target_tones import Goal
from sim.scoring.what_binds import Binds, Limit, binding_limits
from sim.viewing.lightness import lightness

CARD_STOPS = (-1.0, 2.0)
LEAST_FACTOR = 2.0**-6  # of the light: two tools over each other shut out no more
CARD_EFFORT = 0.15  # L* that one stop of card work must gain to be worth it: chosen, keeps idle cards at zero
CARD_STARTS = (0.0, 1.5, -0.5)  # paper white hides how far off a place is, so burning in must be tried from afar
SOFT_HARD_STARTS = ((0.0, -1.0), (-0.4, 0.0), (-0.8, 0.1), (-1.2, 0.2))  # log time against the middle goal's
USUAL_TIMES_S = (1.0, 180.0)
HOLDS_LIGHTNESS = 2.0
USUAL_TIME_S = 10.0  # for which a glassless carrier's negative is taken to have warmed
TONES_PER_PLACE = 24


@dataclass(frozen=True)
class CardFactor:
    """A place held back (-) or burnt in (+) during one exposure, in stops of that exposure."""

    place: str
    exposure: int
    stops: float


@dataclass(frozen=True)
class Reached:
    """The best print found: its record, what each goal comes to, and what binds where it falls short."""

    way: str
    record: PrintingRecord
    goals: tuple[Goal, ...]
    densities: tuple[float, ...]
    card_factors: tuple[CardFactor, ...] = ()
    limits: tuple[Limit, ...] = ()

    @property
    def misses_lightness(self) -> tuple[float, ...]:
        """L* reached minus L* wanted, per goal (+ too light)."""
        wanted = lightness(np.array([goal.density for goal in self.goals]))
        return tuple((lightness(np.array(self.densities)) - wanted).tolist())

    @property
    def rms_lightness(self) -> float:
        """Root mean square miss in L*."""
        return float(np.sqrt(np.mean(np.square(self.misses_lightness))))

    @property
    def holds(self) -> bool:
        """Tell whether every goal is met within two steps of L*."""
        return max(abs(miss) for miss in self.misses_lightness) <= HOLDS_LIGHTNESS


@dataclass(frozen=True)
class ReachOptions:
    """What the solver may use. ``card_stops`` are as far as a card holds back (-) and burns in (+).

    ``covered`` says of a card's place which other goals lie under the card, and what share of its work arrives there.
    """

    filters: tuple[str, ...] = GRADED_NAMES
    soft: str = "00"
    hard: str = "5"
    time_limits_s: tuple[float, float] = USUAL_TIMES_S
    card_places: tuple[str, ...] = ()
    card_exposures: tuple[int, ...] = (0, 1)
    card_stops: tuple[float, float] = CARD_STOPS
    covered: Mapping[str, Mapping[str, float]] = field(default_factory=dict)


@dataclass
class _Problem:
    """The goals with their light, ready to be evaluated for times and cards."""

    model: PlaceModel
    goals: tuple[Goal, ...]
    filters: tuple[str, ...]
    options: ReachOptions
    settings: list[FilterSetting] = field(init=False)
    rates: list[Rates] = field(init=False)
    carded: list[tuple[int, int]] = field(init=False)
    arrives: dict[int, FloatArray] = field(init=False)

    def __post_init__(self) -> None:
        self.settings = [FilterSetting.named(name) for name in self.filters]
        self.rates = [self.model.behind(0, filtration) for filtration in self.settings]
        self.carded = [
            (k, g)
            for k in range(len(self.filters))
            if k in self.options.card_exposures or len(self.filters) == 1
            for g, goal in enumerate(self.goals)
            if goal.place.name in self.options.card_places
        ]
        self.arrives = {g: self._arrives(g) for _, g in self.carded}

    def _arrives(self, card: int) -> FloatArray:
        """Return what share of a card's work over one goal every goal gets."""
        shares = self.options.covered.get(self.goals[card].place.name, {})
        return np.array([1.0 if g == card else shares.get(goal.place.name, 0.0) for g, goal in enumerate(self.goals)])

    def densities(self, log_light_s: FloatArray, stops: FloatArray) -> FloatArray:
        """Return the density of every goal for log10 seconds of light per filter and card stops."""
        factor = np.ones((len(self.filters), len(self.goals)))
        for (k, g), stop in zip(self.carded, stops, strict=True):
            factor[k] += (2.0**stop - 1.0) * self.arrives[g]
        factor = np.maximum(factor, LEAST_FACTOR)
        seconds = self.model.points.spread(factor * 10.0 ** log_light_s[:, None])
        rates = [
            self.model.short_of_blue(0, *behind)
            for behind in zip(self.rates, 10.0**log_light_s, self.settings, strict=True)
        ]
        return self.model.points.means(self.model.densities_of(rates, list(seconds)))

    def solve(self) -> tuple[FloatArray, FloatArray, float]:
        """Return log10 light seconds, card stops and the cost of the best of a few starts."""
        from scipy.optimize import least_squares

        wanted = lightness(np.array([goal.density for goal in self.goals]))
        count = len(self.filters)

        def residuals(x: FloatArray) -> FloatArray:
            miss = lightness(self.densities(x[:count], x[count:])) - wanted
            return np.concatenate([miss, CARD_EFFORT * x[count:]])

        low, high = (np.log10(limit) for limit in self.options.time_limits_s)
        bounds = (
            np.array([low] * count + [self.options.card_stops[0]] * len(self.carded)),
            np.array([high] * count + [self.options.card_stops[1]] * len(self.carded)),
        )
        best: tuple[FloatArray, float] | None = None
        for start, card in product(self._starts(low, high), CARD_STARTS if self.carded else (0.0,)):
            x0 = np.concatenate([start, np.full(len(self.carded), card)])
            found = least_squares(residuals, x0, bounds=bounds, x_scale=0.3, max_nfev=200)
            if best is None or found.cost < best[1]:
                best = found.x, float(found.cost)
        assert best is not None
        return best[0][:count], best[0][count:], best[1]

    def _starts(self, low: float, high: float) -> list[FloatArray]:
        """Return starting times: where the middle goal comes out right with each mix of the filters."""
        middle = sorted(range(len(self.goals)), key=lambda g: self.goals[g].density)[len(self.goals) // 2]
        grid = np.linspace(low, high, 61)
        single = len(self.filters) == 1
        mixes = [np.zeros(1)] if single else [np.array(mix) for mix in SOFT_HARD_STARTS]
        none = np.zeros(len(self.carded))
        starts = []
        for mix in mixes:

            def read(step: int, mix: FloatArray = mix) -> float:
                return float(self.densities(grid[step] + mix, none)[middle])

            nearest = nearest_step(read, len(grid), self.goals[middle].density)
            starts.append(np.clip(grid[nearest] + mix, low + 1e-6, high - 1e-6))
        return starts


def nearest_step(density: Callable[[int], float], steps: int, wanted: float) -> int:
    """Return which step of a strip (from 0) comes nearest to a density, the first of several that are alike.

    ``density`` says what a step reads; more light is never lighter, so that a few steps have to be looked at, not all.
    """
    reads = cache(density)
    after = bisect_left(range(steps), wanted, key=reads)
    around = [k for k in (after - 1, after) if 0 <= k < steps]
    nearest = min(around, key=lambda k: abs(reads(k) - wanted))
    return bisect_left(range(steps), reads(nearest), key=reads)


def reach(
    negative: Negative, record: PrintingRecord, stock: Stock, goals: Sequence[Goal],
    way: Literal["one", "pair"] = "one", options: ReachOptions | None = None, lights: LightCache | None = None,
) -> Reached:  # fmt: skip
    """Return the best print towards the goals on the record's sheet, enlarger and development.

    ``one`` tries every filter allowed; ``pair`` finds a soft and a hard exposure, or one of them if that is nearer. Cards
    are used at ``card_places`` only. The record's own exposures count only for aperture. Raises Refused for no goals or
    a place off the sheet.
    """
    if not goals:
        raise Refused("reach needs at least one goal, got none")
    options = options or ReachOptions()
    f_number = record.exposures[0].f_number
    places = tuple(goal.place for goal in goals)
    bare = record.with_exposures(Exposure(USUAL_TIME_S, f_number))
    model = PlaceModel(negative, bare, stock, places, lights or LightCache(), tones=TONES_PER_PLACE)
    for place, light in zip(places, model.light(0), strict=True):
        if light <= 0.0:
            raise Refused(f"place {place.name!r} does not lie on the open part of the sheet")
    choices = [((name,), options) for name in options.filters] if way == "one" else _pair_choices(options)
    solved = []
    for filters, allowed in choices:
        problem = _Problem(model, tuple(goals), filters, allowed)
        log_s, stops, cost = problem.solve()
        solved.append((cost, problem, log_s, stops))
    cost, problem, log_s, stops = min(solved, key=lambda item: item[0])
    return _reached(record, problem, log_s, stops, way)


def _pair_choices(options: ReachOptions) -> list[tuple[tuple[str, ...], ReachOptions]]:
    """Return a pair, and each of its ends alone, where the other would need less than the shortest time.

    Cards stay in the exposures they are allowed in: an end alone has one only if it may have one in the pair.
    """
    ends = (options.soft, options.hard)
    cardless = replace(options, card_places=())
    alone = [((end,), options if k in options.card_exposures else cardless) for k, end in enumerate(ends)]
    return [(ends, options), *alone]


def _reached(record: PrintingRecord, problem: _Problem, log_s: FloatArray, stops: FloatArray, way: str) -> Reached:
    head = head_of(record.enlarger)
    f_number = record.exposures[0].f_number
    exposures = tuple(
        Exposure(dialled_time_s(float(10.0**t), head), f_number, FilterSetting.named(name))
        for name, t in zip(problem.filters, log_s, strict=True)
    )
    densities = problem.densities(log_s, stops)
    factors = tuple(
        CardFactor(problem.goals[g].place.name, k, float(stop))
        for (k, g), stop in zip(problem.carded, stops, strict=True)
        if abs(stop) > 0.02
    )
    out = Reached(way, record.with_exposures(*exposures), problem.goals, tuple(densities.tolist()), factors)
    return replace(out, limits=_limits(out, problem, log_s, stops))


def _limits(out: Reached, problem: _Problem, log_s: FloatArray, stops: FloatArray) -> tuple[Limit, ...]:
    """Return what binds, for every goal that is not met."""
    shortest, longest = problem.options.time_limits_s
    ends = (Binds("shortest-time", seconds=shortest), Binds("longest-time", seconds=longest))
    at_time = [
        replace(end, filters=(name,))
        for name, t in zip(problem.filters, log_s, strict=True)
        for end in ends
        if abs(t - np.log10(end.seconds)) < 1e-3
    ]
    at_card = {
        problem.goals[g].place.name: Binds("card", stops=float(stop), exposure=k + 1)
        for (k, g), stop in zip(problem.carded, stops, strict=True)
        if min(abs(stop - end) for end in problem.options.card_stops) < 1e-3
    }
    light = problem.model.points.averages(problem.rates[0][0]).tolist()
    return binding_limits(
        [(goal.place.name, goal.density) for goal in out.goals], out.densities, out.misses_lightness, light,
        problem.model.response, problem.filters, tuple(at_time), at_card, HOLDS_LIGHTNESS,
    )  # fmt: skip
