"""A search for marks without a print: random settings and cards, then the best of them bred, by the public criteria alone.

Two thousand evaluations and the variants take two to four minutes of processor for a lesson with cards.

``python -m tests.attacks.search LESSON --into FOLDER --evaluations 2000`` goes on where it stopped (one JSON file a lesson). At
the end the winner's settings are printed on 150 fresh variants: a trick passes there too, an answer found by looking does not.
"""

from __future__ import annotations

import argparse
import json
import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from sim.enlarger.equipment import find_lens
from sim.enlarger.filters import GRADED_NAMES, FilterSetting
from sim.negative.develop import find_negative
from sim.negative.negative import Negative
from sim.paper.stock import find_stock
from sim.printing.card_work import burnt_in, held_back
from sim.printing.flash import with_flash
from sim.printing.make_print import frame_on_sheet
from sim.printing.record import Exposure, PrintingRecord
from sim.quantities import ENGRAVED_F_NUMBERS
from sim.refusals import Refusal
from sim.scoring.checking import negatives_of
from sim.scoring.exercise import Exercise
from sim.scoring.exercise_file import find_exercise
from sim.scoring.ladder_bench import LadderBench
from sim.scoring.start import start_record
from sim.scoring.variants import variant_negative

MOST_CARDS = 5
BEFORE_CARDS = 7  # time and filter of two exposures, whether there is a second, aperture, flash
LONGEST_FLASH_S = 40.0
CARD_GENES = 6  # which exposure and way, x, y, size, stops, height
POPULATION, PARENTS = 40, 10
RANDOM_FIRST = 400
SAVED_EVERY = 50
VARIANTS = 150


def genes_of(exercise: Exercise) -> int:
    """Return how many numbers from 0 to 1 describe a print: what stands before the cards, and the cards."""
    return BEFORE_CARDS + MOST_CARDS * CARD_GENES * ("cards" in exercise.unlocked)


def printed(exercise: Exercise, negative: Negative, genes: np.ndarray) -> PrintingRecord:
    """Return the record that numbers from 0 to 1 stand for; only what the exercise unlocks is moved."""
    start = start_record(exercise, negative, find_stock(exercise.paper))
    first = start.exposures[0]

    f_number = aperture(start, float(genes[5])) if "f_number" in exercise.unlocked else first.f_number

    def exposure(time_gene: float, filter_gene: float) -> Exposure:
        light = 2.0 ** (6.0 * time_gene - 4.0)
        time_s = round(first.time_s * light * (f_number / first.f_number) ** 2, 2)
        name = GRADED_NAMES[min(int(filter_gene * len(GRADED_NAMES)), len(GRADED_NAMES) - 1)]
        chosen = FilterSetting(name) if "filter" in exercise.unlocked else first.filter
        return Exposure(max(time_s, 0.1), f_number, chosen)

    mains = [exposure(genes[0], genes[1])]
    if "exposures" in exercise.unlocked and genes[4] > 0.3:
        mains.append(exposure(genes[2], genes[3]))
    record = start.with_exposures(*mains)
    left, top, width, height = frame_on_sheet(negative, record)
    for which, x, y, size, stops, high in genes[BEFORE_CARDS:].reshape(-1, CARD_GENES):
        if which < 0.2:  # no card
            continue
        work = held_back if which < 0.6 else burnt_in
        at = min(int((which * 10) % 1 * len(mains)), len(mains) - 1)
        size_mm = 3.0 * 40.0**size
        record = work(
            record, at, left + x * width, top + y * height, size_mm, 0.1 + 3.0 * stops, card_height_mm=10.0 + 140.0 * high
        )  # fmt: skip
    return flashed(without_wires(record), float(genes[6])) if "flash" in exercise.unlocked else without_wires(record)


def aperture(start: PrintingRecord, gene: float) -> float:
    """Return one of the lens's engraved marks."""
    lens = find_lens(start.enlarger.lens)
    marks = [mark for mark, _ in ENGRAVED_F_NUMBERS if lens.widest_f_number <= mark <= lens.smallest_f_number]
    return marks[min(int(gene * len(marks)), len(marks) - 1)]


def flashed(record: PrintingRecord, gene: float) -> PrintingRecord:
    """Return a record with a flash of up to forty seconds, dimmed as usual; none for the lowest fifth."""
    return with_flash(record, round(LONGEST_FLASH_S * (gene - 0.2) / 0.8, 2)) if gene > 0.2 else record


def without_wires(record: PrintingRecord) -> PrintingRecord:
    """Return a record whose tools are held by a hand outside the picture: legal, nothing of a wire to be seen, and half as long
    to print."""
    return record.with_exposures(
        *(replace(e, cards=tuple(replace(card, wire_mm=0.0) for card in e.cards)) for e in record.exposures)
    )


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
        if all(len(own) == genes_of(exercise) for _, genes in kept["best"] for own in genes):  # else other things were tried
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
        search, before_s = taken_up(name, options.into), time.process_time()
        while search.tried < options.evaluations:
            search.step()
            if search.tried % SAVED_EVERY == 0:
                search.save()
        search.save()
        assert search.best
        share, asked = search.best[0][0], search.bench.exercise.pass_share
        passed = search.passes_on_variants(VARIANTS)
        print(f"{name}: {search.tried} tried, the best earns {share:.0%} ({asked:.0%} pass); its settings pass on {passed} of "
              f"{VARIANTS} fresh variants; {time.process_time() - before_s:.0f} s of processor", flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
