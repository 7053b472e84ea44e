"""The table of ``lessons/README.md``: what coach, printers of different skill and chance come to in every lesson.

``python -m tests.lessons.measured [STARTS] [RECORDS] [LESSON ...]`` prints a line a lesson; same numbers give the same lines.
With ``--into FOLDER`` every piece (a start coached, an evening climbed, fifty random records, the solver's print) is kept there
as soon as it is known, so that the work may be ended at any moment, goes on where it stopped, and grows when more starts are
asked for; ``--seconds N`` ends it by itself after so many seconds of processor, ``--table`` prints what is there. What was
kept of another exercise or other negatives is begun anew; after a change of the coach take another folder.
"""

from __future__ import annotations

import argparse
import json
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

from sim.scoring.best_prints_of_an_exercise import solved_records
from sim.scoring.checking import negatives_of
from sim.scoring.derived import DERIVED, MANIFEST_FILE
from sim.scoring.exercise_file import find_exercise
from sim.scoring.ladder import ByTheRules, climb
from sim.scoring.ladder_bench import LadderBench, accident_share
from sim.scoring.syllabus import read_syllabus
from sim.writing import write_text

from .coach import Bench, Conversation, coached, printer
from .printers import AtRandom, Guessing

STARTS, RECORDS = 40, 400
RECORDS_SEED = 1000  # other records than those the coach began from
RECORDS_A_PIECE = 50
SKILLS = {"chance": AtRandom, "guessing": Guessing, "rules": ByTheRules}
HEAD = (
    "| lesson | coach passes | its sheets | chance | guessing | rules | rules pass | their sheets | solver | by accident |\n"
    "|---|---|---|---|---|---|---|---|---|---|"
)

Kept = dict[str, Any]
Piece = Callable[[], Any]


class Lesson:
    """A lesson being measured; its negatives are developed and its light is projected once, when the first piece asks."""

    def __init__(self, name: str, talk: Conversation) -> None:
        self.name, self.talk = name, talk
        self._bench: LadderBench | None = None

    @property
    def bench(self) -> LadderBench:
        """The exercise with its negatives; coach and printers share their light."""
        if self._bench is None:
            exercise = find_exercise(self.name)[1]
            self._bench = LadderBench(exercise, negatives_of(exercise))
        return self._bench

    def pieces(self, starts: int, records: int) -> Iterator[tuple[str, Piece]]:
        """Yield every piece with the key that it is kept under, quick ones first."""
        yield "solver", lambda: self.bench.marks_of(solved_records(self.bench.exercise, self.bench)).share
        for first in range(0, records, RECORDS_A_PIECE):
            count = min(RECORDS_A_PIECE, records - first)
            yield f"accidents {first} {count}", lambda first=first, count=count: self._accidents(first, count)  # type: ignore[misc]
        for seed in range(starts):
            for skill in SKILLS:
                yield f"{skill} {seed}", lambda seed=seed, skill=skill: self._climbed(skill, seed)  # type: ignore[misc]
            yield f"coach {seed}", lambda seed=seed: self._coached(seed)  # type: ignore[misc]

    def _accidents(self, first: int, count: int) -> float:
        return accident_share(self.bench, count, RECORDS_SEED + first)

    def _climbed(self, skill: str, seed: int) -> list[float]:
        one = climb(self.bench, np.random.Generator(np.random.PCG64(seed)), SKILLS[skill])
        return [one.shares[-1], float(one.passed), one.sheets]

    def _coached(self, seed: int) -> list[float]:
        run = coached(Bench(self.bench.exercise, self.bench.negatives, self.bench.lights), seed, self.talk)
        return [float(run.passed), float(len(run.shares))]


def read_kept(into: Path | None, name: str) -> Kept:
    """Return what is known of a lesson already, as long as exercise and negatives are those that it was measured on."""
    folder, exercise = find_exercise(name)
    made_from = json.loads((folder / DERIVED / MANIFEST_FILE).read_text("utf-8"))["made_from"]
    of = f"{exercise.digest} {sorted(digest for thing, digest in made_from.items() if thing.startswith('negative '))}"
    file = into / f"{name}.json" if into else None
    kept: Kept = json.loads(file.read_text("utf-8")) if file is not None and file.exists() else {}
    return kept if kept.get("of") == of else {"of": of}


def measure(one: Lesson, kept: Kept, starts: int, records: int, into: Path | None, until_s: float) -> bool:
    """Work out the pieces that are not there yet and keep each; return False where the seconds ended before all were there."""
    for key, piece in one.pieces(starts, records):
        if key in kept:
            continue
        if time.process_time() > until_s:
            return False
        kept[key] = piece()
        if into is not None:
            write_text(into / f"{one.name}.json", json.dumps(kept, indent=0))
    return True


def line(name: str, kept: Kept) -> str:
    """Return a lesson's figures, of as many starts and records as are there, as a line of the table."""

    def all_of(kind: str) -> list[Any]:
        return [value for key, value in kept.items() if key.partition(" ")[0] == kind]

    needed = [sheets for passed, sheets in all_of("coach") if passed]
    sheets = [sheets for _, passed, sheets in all_of("rules") if passed]
    means = [float(np.mean([share for share, *_ in all_of(skill)])) if all_of(skill) else float("nan") for skill in SKILLS]
    counted = [(int(key.split()[2]), share) for key, share in kept.items() if key.startswith("accidents")]
    records = sum(count for count, _ in counted)
    accident = sum(count * share for count, share in counted) / records if records else float("nan")
    chance, guess, rules = (f"{mean:.2f}" for mean in means)
    own, by_rules = (_passes(passes, all_of(kind)) for passes, kind in ((needed, "coach"), (sheets, "rules")))
    solver = kept.get("solver", float("nan"))
    return f"| `{name}` | {own} | {chance} | {guess} | {rules} | {by_rules} | {solver:.2f} | {100 * accident:.1f} % |"


def _passes(sheets: list[float], every: list[Any]) -> str:
    return f"{len(sheets)} of {len(every)} | {np.mean(sheets):.2f}" if sheets else f"0 of {len(every)} | none"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("starts", nargs="?", type=int, default=STARTS)
    parser.add_argument("records", nargs="?", type=int, default=RECORDS)
    parser.add_argument("lessons", nargs="*")
    parser.add_argument("--into", type=Path, help="a folder that keeps every piece")
    parser.add_argument("--seconds", type=float, default=float("inf"), help="of processor, after which to stop")
    parser.add_argument("--table", action="store_true", help="work out nothing; print what the folder holds")
    asked = parser.parse_args()
    print(HEAD)
    with printer() as talk:
        for name in asked.lessons or [entry.slug for entry in read_syllabus().lessons]:
            kept = read_kept(asked.into, name)
            whole = True if asked.table else measure(
                Lesson(name, talk), kept, asked.starts, asked.records, asked.into, asked.seconds
            )  # fmt: skip
            if len(kept) > 1:
                print(line(name, kept), flush=True)
            if not whole:
                print("Stopped; the same line goes on.")
                return


if __name__ == "__main__":
    main()
