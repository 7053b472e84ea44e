"""A search for marks without a print: random settings and cards, then the best of them bred, by the public criteria alone.

``python -m tests.attacks.search LESSON --into FOLDER --evaluations 2000`` goes on where it stopped (one JSON file a lesson). At
the end the winner's settings are printed on 150 fresh variants: a trick passes there too, an answer found by looking does not.
"""

from __future__ import annotations

import argparse
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from sim.enlarger.filters import GRADED_NAMES
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_in, held_back
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import Exposure, PrintingRecord
from sim.refusals import Refusal
from sim.scoring.checking import negatives_of
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import find_exercise
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.start import filter_setting, start_record
from sim.scoring.variants import variant_negative

MOST_CARDS = 5
CARD_GENES = 6  # which exposure and way, x, y, size, stops, height
POPULATION, PARENTS = 40, 10
RANDOM_FIRST = 400
SAVED_EVERY = 50
VARIANTS = 150


def genes_of(exercise: Exercise) -> int:
    """Return how many numbers from 0 to 1 describe a print: two exposures of time and filter, and the cards."""
    return 4 + 1 + MOST_CARDS * CARD_GENES * ("cards" in exercise.unlocked)


def printed(exercise: Exercise, negative: Negative, genes: np.ndarray) -> PrintingRecord:
    """Return the record that numbers from 0 to 1 stand for; only what the exercise unlocks is moved."""
    start = start_record(exercise, negative, find_stock(exercise.paper))
    first = start.exposures[0]

    def exposure(time_gene: float, filter_gene: float) -> Exposure:
        time_s = round(first.time_s * 2.0 ** (6.0 * time_gene - 4.0), 2)
        name = GRADED_NAMES[min(int(filter_gene * len(GRADED_NAMES)), len(GRADED_NAMES) - 1)]
        chosen = filter_setting(name) if "filter" in exercise.unlocked else first.filter
        return Exposure(max(time_s, 0.1), first.f_number, chosen)

    mains = [exposure(genes[0], genes[1])]
    if "exposures" in exercise.unlocked and genes[4] > 0.3:
        mains.append(exposure(genes[2], genes[3]))
    record = start.with_exposures(*mains)
    left, top, width, height = frame_on_sheet(negative, record)
    for which, x, y, size, stops, high in genes[5:].reshape(-1, CARD_GENES):
        if which < 0.2:  # no card
            continue
        work = held_back if which < 0.6 else burnt_in
        at = min(int((which * 10) % 1 * len(mains)), len(mains) - 1)
        size_mm = 3.0 * 40.0**size
        record = work(
            record, at, left + x * width, top + y * height, size_mm, 0.1 + 3.0 * stops, card_height_mm=10.0 + 140.0 * high
        )  # fmt: skip
    return record


@dataclass
class Search:
    """What has been tried on a lesson so far."""

    bench: LadderBench
    file: Path
    tried: int = 0
    best: list[tuple[float, list[list[float]]]] | None = None

    def rng(self) -> np.random.Generator:
        """Return the draw that belongs to the number of what was tried, so that going on is as never having stopped."""
        return np.random.Generator(np.random.PCG64([11, self.tried]))

    def share(self, genes: list[list[float]]) -> float:
        """Return the quality that prints of every slot earn."""
        bench = self.bench
        try:
            records = [
                printed(bench.exercise, bench.negatives[index], np.array(own))
                for own, index in zip(genes, bench.slots(), strict=True)
            ]
            return bench.marks_of(records).share
        except Refusal:
            return 0.0

    def step(self) -> None:
        """Try one more: at random at first, then a child of two of the best."""
        rng, count, slots = self.rng(), genes_of(self.bench.exercise), len(self.bench.slots())
        best = self.best = self.best or []
        if self.tried < RANDOM_FIRST or len(best) < PARENTS:
            genes = rng.uniform(0.0, 1.0, (slots, count))
        else:
            mother, father = (np.array(best[int(k)][1]) for k in rng.integers(0, PARENTS, 2))
            genes = np.where(rng.uniform(size=mother.shape) < 0.5, mother, father)
            moved = rng.uniform(size=genes.shape) < 0.2
            genes = np.clip(genes + moved * rng.normal(0.0, 0.12, genes.shape), 0.0, 1.0)
        found = [[round(float(g), 4) for g in own] for own in genes]
        best.append((self.share(found), found))
        best.sort(key=lambda one: -one[0])
        del best[POPULATION:]
        self.tried += 1

    def save(self) -> None:
        """Write what was tried."""
        self.file.write_text(json.dumps({"tried": self.tried, "best": self.best}), "utf-8")

    def passes_on_variants(self, count: int) -> int:
        """Return on how many fresh variants the winner's settings pass."""
        assert self.best
        exercise, passed = self.bench.exercise, 0
        for number in range(count):
            names = [variant_negative(name.split("~")[0], f"fresh{number}") for name in exercise.negatives]
            bench = LadderBench(exercise.on_negatives(*names), tuple(find_negative(name) for name in names))
            other = Search(bench, self.file)
            passed += other.share(self.best[0][1]) >= exercise.pass_share
        return passed


def taken_up(name: str, into: Path) -> Search:
    """Return the search on a lesson as it was left."""
    _, exercise = find_exercise(name)
    search = Search(LadderBench(exercise, negatives_of(exercise)), into / f"{name}.json")
    if search.file.exists():
        kept: dict[str, Any] = json.loads(search.file.read_text("utf-8"))
        search.tried, search.best = kept["tried"], [(share, genes) for share, genes in kept["best"]]
    return search


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("lesson", nargs="+")
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("--evaluations", type=int, default=2000)
    options = parser.parse_args()
    options.into.mkdir(parents=True, exist_ok=True)
    for name in options.lesson:
        search = taken_up(name, options.into)
        while search.tried < options.evaluations:
            search.step()
            if search.tried % SAVED_EVERY == 0:
                search.save()
        search.save()
        assert search.best
        share, asked = search.best[0][0], search.bench.exercise.pass_share
        passed = search.passes_on_variants(VARIANTS)
        print(f"{name}: {search.tried} tried, the best earns {share:.0%} ({asked:.0%} pass); its settings pass on {passed} of "
              f"{VARIANTS} fresh variants", flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
