"""A printer who skips the decision that is taught: one filter where two exposures are, no card where hands are.

Where a lesson leaves exposures open, any single filter is tried with ordinary cards over the places asked for, each as large as
its sleeve says, smaller or larger; where it teaches hands alone, any filter it leaves open, and no card. What places
would read is predicted from the light of the same spots and areas that marks are read at (``OneFilter``); thousands of
settings are bred so without a print, behind every filter by itself, and the best few are marked in full and bettered by marks.

``python -m tests.attacks.one_filter LESSON ... --into FOLDER`` goes on where it stopped (one JSON file a lesson, a piece
for each filter and each fresh variant). The winner's settings are then replayed on fresh variants. A lesson whose ``passes`` is
true does not need what it teaches.
"""

from __future__ import annotations

import argparse
import json
import time
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from sim.enlarger.filters import FilterSetting
from sim.negative.develop import find_negative
from sim.negative.negative import Negative, Place
from sim.printing.card_work import burnt_above
from sim.printing.make_print import frame_on_sheet
from sim.printing.place_model import PlaceModel
from sim.printing.record import PrintingRecord
from sim.quantities import FloatArray
from sim.refusals import Refusal
from sim.scoring.best_print_of_a_negative import with_a_real_card
from sim.scoring.best_prints_of_an_exercise import filters_allowed, ready_set_up
from sim.scoring.checking import negatives_of
from sim.scoring.derived import read_reference
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import find_exercise
from sim.scoring.judged import judge
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.place_areas import area_points
from sim.scoring.points import rim_share, share_for_miss
from sim.scoring.reach import Reached, ReachOptions, reach
from sim.scoring.start import CARD_SHARE_OF_AREA, carded
from sim.scoring.target_tones import Goal
from sim.scoring.tone_aims import ToneAims, tone_aims
from sim.scoring.traces import CardTraces
from sim.scoring.variants import variant_negative

BASE_S = 10.0  # of the light that is remembered; blue's late coming is reckoned from it (PlaceModel.short_of_blue)
TONES = 16
USUAL = CARD_SHARE_OF_AREA
TOOLS = (0.5, USUAL, 1.2)  # of what a sleeve says a place's extent is: a small tool, the usual one, a large one
STOPS = (-2.5, 3.5)  # as far as anybody plans a card
IDLE_STOPS = 0.05
LEAST_S, MOST_S = 0.5, 600.0
EVALUATIONS = 240  # a filter: some 2,600 for the set
PARENTS, CHILDREN = 8, 24
FINALISTS, BETTERED = 12, 40
LEANING = 1e-3  # points a tolerance: nearer counts while nothing is earned yet
MOVED = 0.03  # share of light: a tone whose light a card changes by less bears none of its rim (some 0.01 of density)
VARIANTS = 30
MOST_CARDS = 3  # on one sheet; who plans more has printed by hand what another would by halves (asked for: --cards)

Genes = list[float]  # log2 seconds, then for every place: stops (idle near 0), which tool


@dataclass(frozen=True)
class Tool:
    """An ordinary card over a place: how much of what each asked place's area gets it covers, and a hole's share likewise."""

    place: Place
    covers: FloatArray  # [asked place, area point], padded with NaN
    lets: FloatArray
    rims: tuple[float, float]  # what is seen of it a stop, held back and burnt in


@dataclass
class OneFilter:
    """What one negative's places would read behind any one filter, with ordinary cards over some of them."""

    bench: LadderBench
    index: int
    f_number: float
    most_cards: int
    _tools: dict[tuple[str, float], Tool] = field(default_factory=dict)

    @property
    def negative(self) -> Negative:
        """The negative in the carrier."""
        return self.bench.negatives[self.index]

    @cached_property
    def set_up(self) -> PrintingRecord:
        """The sheet ready but for seconds, filter and cards."""
        record = ready_set_up(self.bench.exercise, self.negative)
        return record.with_exposures(replace(record.exposures[0], time_s=BASE_S, f_number=self.f_number))

    @cached_property
    def asked(self) -> ToneAims:
        """The tones asked of this negative."""
        exercise, lights = self.bench.exercise, self.bench.lights
        judged = judge(exercise, self.bench.negatives, (self.set_up,), 0.0, lights=lights, only_places=True)
        return tone_aims(exercise, judged, replace(judged.judged_prints[0], negative=self.index))

    @cached_property
    def model(self) -> PlaceModel:
        """The light of the places' spots."""
        stock, lights = self.bench.exercise.stock, self.bench.lights
        return PlaceModel(self.negative, self.set_up, stock, self.asked.places, lights, tones=TONES)

    @cached_property
    def plain(self) -> Reached:
        """The best straight print: what a tool's rim is looked for on."""
        return self.reached(filters_allowed(self.bench.exercise, self.set_up), ())

    def reached(self, filters: tuple[str, ...], cards: tuple[str, ...]) -> Reached:
        """Return the solver's best print behind one of some filters, with cards over some places."""
        goals = {self.asked.places[a.at[0]].name: Goal(self.asked.places[a.at[0]], a.wanted)
                 for a in self.asked.aims if len(a.at) == 1 and a.exact}  # fmt: skip
        options = ReachOptions(filters=filters, card_places=cards)
        exercise = self.bench.exercise
        return reach(self.negative, self.set_up, exercise.stock, tuple(goals.values()), "one", options, self.bench.lights)

    @property
    def places(self) -> tuple[Place, ...]:
        """The places that may get a card."""
        return self.asked.places if self.most_cards else ()

    def tool(self, place: Place, size: float) -> Tool:
        """Return what a card of a size over a place does to all areas asked for."""
        key = place.name, size
        if key not in self._tools:
            straight = self.plain.record
            held, burnt = (self._traces(with_card(self.negative, straight, place, stops, size)) for stops in (-1.0, 1.0))
            covers = 2.0 * (1.0 - self._lit(held, 0))  # half its time in the light
            self._tools[key] = Tool(place, covers, self._lit(burnt, 1), (held.seen, burnt.seen))
        return self._tools[key]

    def _traces(self, record: PrintingRecord) -> CardTraces:
        return CardTraces(self.negative, record, self.bench.exercise.stock, self.bench.lights)

    def _lit(self, traces: CardTraces, exposure: int) -> FloatArray:
        """Return the share of an exposure's time that each area's points are lit."""
        lit = traces.model.rays[exposure].lit
        areas = [lit[traces._at(area_points(self.negative, place))] for place in self.asked.places]
        most = max(len(area) for area in areas)
        return np.array([np.concatenate([area, np.full(most - len(area), np.nan)]) for area in areas])

    def shares(self, genes: Genes) -> tuple[FloatArray, float]:
        """Return the share of the main light that each asked place's area gets, and what is seen of the cards."""
        share, seen = np.ones((len(self.asked.places), 1)), 0.0
        for place, stops, size in self.cards(genes):
            tool = self.tool(place, size)
            share = share + ((2.0**stops - 1.0) * tool.lets if stops > 0 else -(1.0 - 2.0**stops) * tool.covers)
            seen = max(seen, (2.0**stops - 1.0) * tool.rims[1] if stops > 0 else 2.0 * (1.0 - 2.0**stops) * tool.rims[0])
        return np.nanmedian(np.maximum(share, 0.0), axis=-1), seen

    def readings(self, filtration: FilterSetting, genes: Genes) -> FloatArray:
        """Return what every place asked for would read."""
        return self._read(filtration, genes, self.shares(genes)[0])

    def _read(self, filtration: FilterSetting, genes: Genes, share: FloatArray) -> FloatArray:
        whole_s = 2.0 ** genes[0]
        seconds = self.model.points.spread(share[None, :] * whole_s)[0]
        rates = self.model.short_of_blue(0, self.model.behind(0, filtration), whole_s, filtration)
        return self.model.points.means(self.model.densities_of([rates], [seconds]))

    def cards(self, genes: Genes) -> list[tuple[Place, float, float]]:
        """Return the cards that are used: place, stops, size."""
        pairs = zip(self.places, genes[1::2], genes[2::2], strict=True)
        return [(place, stops, TOOLS[min(int(size * len(TOOLS)), len(TOOLS) - 1)])
                for place, stops, size in pairs if abs(stops) >= IDLE_STOPS]  # fmt: skip

    def worth(self, filtration: FilterSetting, genes: Genes) -> float:
        """Return the share of the tones' points that these settings are predicted to earn, less a little for every miss."""
        share, seen = self.shares(genes)
        read = self._read(filtration, genes, share)
        points = misses = 0.0
        for aim in self.asked.aims:
            worked = max(abs(share[k] - 1.0) for k in aim.at) > MOVED
            earned = min(share_for_miss(aim.off(read), aim.tolerance), rim_share(seen) if worked else 1.0)
            points += aim.points * earned
            misses += min(abs(aim.off(read)) / aim.tolerance, 20.0)
        return points / self.asked.full_points - LEANING * misses

    def solved(self, name: str) -> Genes:
        """Return the solver's own settings behind a filter, with the usual cards where they help."""
        found = self.reached((name,), tuple(place.name for place in self.places))
        stops = {factor.place: factor.stops for factor in found.card_factors}
        usual = (TOOLS.index(USUAL) + 0.5) / len(TOOLS)
        cards = (value for place in self.places for value in (stops.get(place.name, 0.0), usual))
        return [round(float(g), 3) for g in (np.log2(found.record.exposures[0].time_s), *cards)]

    def record(self, name: str, genes: Genes) -> PrintingRecord:
        """Return the record of these settings."""
        first = replace(self.set_up.exposures[0], time_s=round(2.0 ** genes[0], 2), filter=FilterSetting.named(name))
        record = self.set_up.with_exposures(first)
        for place, stops, size in self.cards(genes):
            record = with_card(self.negative, record, place, round(stops, 2), size)
        return record

    def bred(self, name: str, evaluations: int, rng: np.random.Generator) -> list[tuple[float, Genes]]:
        """Return the best settings behind a filter of so many tried: the solver's, some at random, children of the best."""
        filtration, count, own = FilterSetting.named(name), 1 + 2 * len(self.places), self._with_few_cards(self.solved(name))
        best: list[tuple[float, Genes]] = [(self.worth(filtration, own), own)]
        for tried in range(evaluations):
            if tried < CHILDREN:
                genes = np.concatenate([[own[0] + rng.normal(0.0, 0.7)], *(self._random_card(rng) for _ in self.places)])
            else:
                left = 1.0 - tried / evaluations
                genes = np.array(best[int(rng.integers(len(best)))][1])
                moved = rng.uniform(size=count) < max(0.3, 1.5 / count)
                genes = genes + moved * rng.normal(0.0, 0.02 + 0.8 * left**2, count)
                idle = rng.uniform(size=len(self.places)) < 0.05
                genes[1::2] = np.where(idle, 0.0, np.clip(genes[1::2], *STOPS))
                genes[2::2] = np.clip(genes[2::2], 0.0, 0.999)
            genes[0] = float(np.clip(genes[0], np.log2(LEAST_S), np.log2(MOST_S)))
            found = self._with_few_cards([round(float(g), 3) for g in genes])
            best.append((self.worth(filtration, found), found))
            best = sorted(best, key=lambda one: -one[0])[:PARENTS]
        return best

    def _with_few_cards(self, genes: Genes) -> Genes:
        """Return settings with no more cards than allowed: those that do most."""
        works = sorted((abs(stops), k) for k, stops in enumerate(genes[1::2]))
        for _, k in works[: max(len(works) - self.most_cards, 0)]:
            genes[1 + 2 * k] = 0.0
        return genes

    @staticmethod
    def _random_card(rng: np.random.Generator) -> FloatArray:
        stops = float(rng.uniform(*STOPS)) if rng.uniform() < 0.4 else 0.0
        return np.array([stops, float(rng.uniform())])


def with_card(
    negative: Negative, record: PrintingRecord, place: Place, stops: float, size: float
) -> PrintingRecord:
    """Return the record with a place held back (-) or burnt in by an ordinary card: the usual one, or smaller or larger."""
    if size == USUAL:
        return with_a_real_card(negative, record, place, stops)
    if stops > 0 and place.area is not None and place.area[0] >= 1.0:
        _, top, _, height = frame_on_sheet(negative, record)
        return burnt_above(record, 0, top + (place.y + 0.5 * place.area[1] * size / USUAL) * height, stops)
    return carded(negative, record, place, stops, 0, size)


@dataclass
class Attack:
    """The search on a lesson, as far as it has come; what is known is kept in ``file`` where there is one."""

    bench: LadderBench
    apertures: tuple[float, ...]
    most_cards: int = MOST_CARDS
    file: Path | None = None
    kept: dict[str, Any] = field(default_factory=dict)

    @cached_property
    def printers(self) -> list[OneFilter]:
        """One for each negative."""
        pair_and_cards = {"exposures", "cards"} <= set(self.bench.exercise.unlocked)
        return [OneFilter(self.bench, k, f, self.most_cards * pair_and_cards) for k, f in enumerate(self.apertures)]

    def keep(self, key: str, value: Any) -> Any:
        """Keep a piece."""
        self.kept[key] = value
        if self.file is not None:
            self.file.write_text(json.dumps(self.kept), "utf-8")
        return value

    def settings(self, evaluations: int) -> list[tuple[str, Genes]]:
        """Return the settings found for every negative: filter and genes. Full marks decide between the best few."""
        return [self._settings_of(printer, evaluations) for printer in self.printers]

    def _settings_of(self, printer: OneFilter, evaluations: int) -> tuple[str, Genes]:
        done = f"winner {printer.index}"
        if done in self.kept:
            name, genes = self.kept[done]
            return name, genes
        found: list[tuple[float, str, Genes]] = []
        for number, name in enumerate(filters_allowed(self.bench.exercise, printer.set_up)):
            key = f"filter {printer.index} {name}"
            if key not in self.kept:
                rng = np.random.Generator(np.random.PCG64([17, printer.index, number]))
                self.keep(key, printer.bred(name, evaluations, rng))
            found += [(worth, name, genes) for worth, genes in self.kept[key]]
        found.sort(key=lambda one: -one[0])
        best = [(self.share_of(printer, name, genes), name, genes) for _, name, genes in found[:FINALISTS]]
        _, name, genes = self._bettered(printer, *max(best))
        self.keep(done, [name, genes])
        return name, genes

    def _bettered(self, printer: OneFilter, share: float, name: str, genes: Genes) -> tuple[float, str, Genes]:
        """Return settings moved a little as long as full marks rise."""
        rng = np.random.Generator(np.random.PCG64([19, printer.index]))
        for tried in range(BETTERED):
            step = 0.15 * (1.0 - tried / BETTERED) + 0.01
            other = np.array(genes)
            used = [0, *(2 * k + 1 for k, stops in enumerate(genes[1::2]) if abs(stops) >= IDLE_STOPS)]
            other[used] += rng.normal(0.0, step, len(used))
            moved = [round(float(g), 3) for g in other]
            if (now := self.share_of(printer, name, moved)) > share:
                share, genes = now, moved
        return share, name, genes

    def share_of(self, printer: OneFilter, name: str, genes: Genes) -> float:
        """Return the share of its points that one negative's print really earns."""
        try:
            record = printer.record(name, genes)
            marks = self.bench.marks_of([record] * len(self.bench.slots()))
        except Refusal:
            return 0.0
        return dict(marks.of_prints()).get(printer.index, 0.0)

    def marked(self, settings: list[tuple[str, Genes]]) -> tuple[float, bool]:
        """Return what all prints together earn, and whether they pass."""
        records = [self.printers[index].record(*settings[index]) for index in self.bench.slots()]
        marks = self.bench.marks_of(records)
        return marks.share, marks.passed(self.bench.exercise)

    def replayed(self, settings: list[tuple[str, Genes]], count: int) -> tuple[int, int]:
        """Return on how many fresh variants the same settings pass, and how many were tried."""
        passed = 0
        for number in range(count):
            key = f"fresh {number}"
            if key not in self.kept:
                self.keep(key, on_another(self.bench.exercise, self.apertures, f"fresh{number}", settings))
            passed += bool(self.kept[key])
        return passed, count


def on_another(exercise: Exercise, apertures: tuple[float, ...], key: str, settings: list[tuple[str, Genes]]) -> bool:
    """Tell whether settings pass on a fresh variant of the negatives."""
    names = [variant_negative(name.split("~")[0], key) for name in exercise.negatives]
    bench = LadderBench(exercise.on_negatives(*names), tuple(find_negative(name) for name in names))
    try:
        return Attack(bench, apertures).marked(settings)[1]
    except Refusal:
        return False


def attack_on(name: str, into: Path | None = None, most_cards: int = MOST_CARDS) -> Attack:
    """Return the search on a lesson as it was left; at the marks of the lens that its reference uses."""
    folder, exercise = find_exercise(name)
    reference = read_reference(folder)[:: exercise.copies]
    file = into / f"{name}-{most_cards}.json" if into else None
    kept = json.loads(file.read_text("utf-8")) if file is not None and file.exists() else {}
    negatives = negatives_of(exercise)
    of = " ".join([exercise.digest, *(negative.digest for negative in negatives)])
    if kept.get("of") != of:  # another exercise, or another picture, than what was searched
        kept = {"of": of}
    apertures = tuple(record.exposures[0].f_number for record in reference)
    return Attack(LadderBench(exercise, negatives), apertures, most_cards, file, kept)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("lesson", nargs="+")
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("--evaluations", type=int, default=EVALUATIONS, help="settings predicted a filter (240)")
    parser.add_argument("--variants", type=int, default=VARIANTS)
    parser.add_argument("--cards", type=int, default=MOST_CARDS, help="cards on one sheet (3)")
    options = parser.parse_args()
    options.into.mkdir(parents=True, exist_ok=True)
    for name in options.lesson:
        attack, before_s = attack_on(name, options.into, options.cards), time.process_time()
        settings = attack.settings(options.evaluations)
        share, passes = attack.marked(settings)
        tried = options.evaluations * sum(key.startswith("filter") for key in attack.kept)
        passed, of = attack.replayed(settings, options.variants)
        asked, spent_s = attack.bench.exercise.pass_share, time.process_time() - before_s
        print(f"{name}: {tried} tried, the best earns {share:.0%} ({asked:.0%} pass), passes: {passes}; replayed, it passes on "
              f"{passed} of {of} fresh variants; {spent_s:.0f} s of processor")  # fmt: skip
        for printer, (filter_name, genes) in zip(attack.printers, settings, strict=True):
            cards = ", ".join(f"{place.name} {stops:+.1f} stops, size {size:g}" for place, stops, size in printer.cards(genes))
            print(f"  {printer.negative.name}: filter {filter_name}, {2.0 ** genes[0]:.1f} s; {cards or 'no card'}", flush=True)


if __name__ == "__main__":
    main()
